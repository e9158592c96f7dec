"""The quote as a letter: what is offered, for how much, on which terms."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from estimates.paper.blocks import Block
from estimates.paper.document import Imprint
from estimates.paper.letter import Letter, LetterHead, Row


@dataclass(frozen=True, slots=True)
class QuoteLetter:
    """What a quote says to its customer, with every amount written already."""

    head: LetterHead
    intro: str
    items: tuple[Row, ...]
    options: tuple[Row, ...]
    sums: tuple[Row, ...]
    money_words: str
    deposit: str
    terms: str
    standing: str
    answered: str
    page_address: str = ""


class QuotePaper(Letter):
    """A quote or a further quote."""

    def __init__(self, imprint: Imprint, quote: QuoteLetter):
        super().__init__(imprint, quote.head)
        self.quote = quote

    def blocks(self) -> Iterator[Block]:
        quote = self.quote
        if quote.standing:
            yield from self.words(quote.standing)
            yield self.space(2)
        yield from self.words(quote.intro)
        yield self.heading("What it comes to", quote.money_words)
        yield from (self.row(row) for row in quote.items)
        yield from (self.row(row) for row in quote.sums)
        if quote.options:
            yield self.heading("Also possible, if you wish", quote.money_words)
            yield from (self.row(row) for row in quote.options)
        yield self.space(4)
        yield from self.words(quote.deposit)
        if quote.terms.strip():
            yield self.heading("Terms")
            yield self.space(1.5)
            yield from self.words(quote.terms, 8.2)
        yield from self._answer()

    def _answer(self) -> Iterator[Block]:
        if self.quote.answered:
            yield self.space(5)
            yield from self.words(self.quote.answered)
            return
        if self.quote.standing:
            return
        yield self.space(4)
        if self.quote.page_address:
            yield from self.words(f"You can answer on your own page: {self.quote.page_address}", 8.2)
        yield self.signature("Accepted by, date", f"For {self.head.shop.name}")
