"""The quote as a letter: what is offered, for how much, on which terms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimates.paper.blocks import Block, kept
from estimates.paper.document import Imprint
from estimates.paper.letter import Letter, LetterHead, Row

LARGEST_KEPT = 0.5  # of a page: what is higher may be parted, so that no page is left half white


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
    by_hours: str = ""


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
        after = [*self._sums_and_terms(), *self._answer()]
        if sum(block.high for block in after) <= self.paper.height_mm * LARGEST_KEPT:
            yield from kept(after)
        else:
            yield from (*self._sums_and_terms(), *self._answer(self._again()))

    def _sums_and_terms(self) -> Iterator[Block]:
        quote = self.quote
        yield from (self.row(row) for row in quote.sums)
        if quote.options:
            yield self.heading("Also possible, if you wish", quote.money_words)
            yield from (self.row(row) for row in quote.options)
        if quote.by_hours:
            yield self.space(3)
            yield from self.words(quote.by_hours)
        yield self.space(4)
        yield from self.words(quote.deposit)
        if quote.terms.strip():
            yield self.heading("Terms")
            yield self.space(1.5)
            yield from self.words(quote.terms, 8.2)

    def _again(self) -> list[Block]:
        """The total once more, for a place to sign that may stand on another page than the sums."""
        return [self.row(row) for row in self.quote.sums if row.strong]

    def _answer(self, again: Sequence[Block] = ()) -> list[Block]:
        if self.quote.answered:
            return kept([*again, self.space(5), *self.words(self.quote.answered)])
        if self.quote.standing:
            return []
        address = (
            f"You can answer on your own page: {self.quote.page_address}" if self.quote.page_address else ""
        )
        sign = self.signature("Accepted by, date", f"For {self.head.shop.name}")
        return kept([self.space(4), *again, *self.words(address, 8.2), sign])
