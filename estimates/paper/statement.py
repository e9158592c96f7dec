"""The statement: what was agreed, what was asked for, what came in, what is open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from estimates.paper.blocks import Block
from estimates.paper.document import Imprint
from estimates.paper.letter import Letter, LetterHead, Row


@dataclass(frozen=True, slots=True)
class StatementLetter:
    """What a statement says, with every amount written already."""

    head: LetterHead
    agreed: tuple[Row, ...]
    payments: tuple[Row, ...]
    sums: tuple[Row, ...]
    hours: tuple[Row, ...] = ()
    metal: tuple[Row, ...] = ()
    words: str = ""


class StatementPaper(Letter):
    """The account of a job; hours and metal too where the job is charged by them."""

    def __init__(self, imprint: Imprint, statement: StatementLetter):
        super().__init__(imprint, statement.head)
        self.statement = statement

    def blocks(self) -> Iterator[Block]:
        said = self.statement
        yield from self._table("Agreed", said.agreed, "Nothing has been agreed yet.")
        yield from self._table("Received", said.payments, "Nothing has come in yet.")
        yield from (self.row(row) for row in said.sums)
        if said.hours or said.metal:
            yield from self._table("Hours worked", said.hours, "No hours yet.", "hours")
            yield from self._table("Metal used", said.metal, "No metal yet.", "mass")
        yield self.space(4)
        yield from self.words(said.words)

    def _table(self, head: str, rows: tuple[Row, ...], empty: str, figure: str = "") -> Iterator[Block]:
        yield self.heading(head, figure)
        yield from (self.row(row) for row in rows or (Row(empty),))
