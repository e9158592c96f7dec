"""What work orders and closing sheets say: plain values, below whatever lays them out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import IO

from jobs.drawings.scene import Scene


@dataclass(frozen=True, slots=True)
class Fact:
    """One figure of the strip: what it is, and how much."""

    name: str
    value: str


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the table: a pass, or a step of a stage without passes, with what to measure after it.

    ``gauge_read``, ``edge_read``, ``by`` and ``is_done`` are what the book holds already; the rest is for a pencil.
    """

    number: str
    words: str
    spacing: str = ""
    gauge: str = ""
    edge: str = ""
    gauge_read: str = ""
    edge_read: str = ""
    by: str = ""
    is_done: bool = False


@dataclass(frozen=True, slots=True)
class StageBlock:
    """A stage: its pattern, its budgeted hours, its rows."""

    slug: str
    name: str
    hours: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Note:
    """Something a shaper wrote, whose it is, and whether it is to be repeated on the other hand."""

    text: str
    by: str
    repeat: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo with its caption; ``open`` is only called when its page is drawn."""

    open: Callable[[], IO[bytes]]
    caption: str


@dataclass(frozen=True, slots=True)
class WorkOrder:
    """All that a work order says."""

    mark: str
    name: str
    job: str
    due: str
    pair: str
    hand: str
    hand_words: tuple[str, ...]
    code: str
    address: str
    facts: tuple[Fact, ...]
    stages: tuple[StageBlock, ...]
    version: str = ""
    gauge_head: str = "gauge"
    noun: str = "gathers"
    pattern: Scene | None = None
    section: Scene | None = None
    side: Scene | None = None
    is_tall: bool = False
    refusal: str = ""
    warnings: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    corrected: tuple[str, ...] = ()
    also_read: tuple[str, ...] = ()
    note: str = ""
    notes: tuple[Note, ...] = ()
    pictures: tuple[Picture, ...] = ()
