"""The statement: what was agreed or has come together, what was asked for, what came in, what is open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from estimates.paper.blocks import Block, together
from estimates.paper.document import Imprint
from estimates.paper.letter import Letter, LetterHead, Row


@dataclass(frozen=True, slots=True)
class Work:
    """Hours, metal and what goes with them, as a job by time and material is charged; ``sums`` add them up."""

    hours: tuple[Row, ...]
    metal: tuple[Row, ...]
    others: tuple[Row, ...]
    sums: tuple[Row, ...]
    money_words: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class StatementLetter:
    """What a statement says, with every amount written already."""

    head: LetterHead
    agreed: tuple[Row, ...]
    payments: tuple[Row, ...]
    sums: tuple[Row, ...]
    agreed_head: str = "Agreed"
    work: Work | None = None
    words: str = ""


class StatementPaper(Letter):
    """The account of a job; hours and metal too where the job is charged by them."""

    def __init__(self, imprint: Imprint, statement: StatementLetter):
        super().__init__(imprint, statement.head)
        self.statement = statement

    def blocks(self) -> Iterator[Block]:
        said = self.statement
        yield from self._table(said.agreed_head, said.agreed, "Nothing has been agreed yet.")
        if said.work:
            yield from self._work(said.work)
        yield from self._table("Received", said.payments, "Nothing has come in yet.")
        yield together([self.row(row) for row in said.sums])
        yield self.space(4)
        yield from self.words(said.words)

    def _work(self, work: Work) -> Iterator[Block]:
        yield from self._table("Hours worked", work.hours, "No hours yet.", work.money_words)
        yield from self._table("Metal used", work.metal, "No metal yet.", work.money_words)
        if work.others:
            yield from self._table("And with it", work.others, "", work.money_words)
        yield together([self.row(row) for row in work.sums])
        if work.words:
            yield self.space(2)
            yield from self.words(work.words, 8.2)

    def _table(self, head: str, rows: tuple[Row, ...], empty: str, figure: str = "") -> Iterator[Block]:
        yield self.heading(head, figure)
        yield from (self.row(row) for row in rows or (Row(empty),))
