"""Timing two things in turn, so that whatever else the machine does falls on both, and a table of what came out."""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass

Action = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Figure:
    """One row: what was measured, its bare counterpart, both in milliseconds, and the bar it is held to."""

    what: str
    beside: str
    ms: float
    bare_ms: float
    bar: str
    held: bool

    @property
    def ratio(self) -> float:
        return self.ms / self.bare_ms if self.bare_ms else float("nan")


def medians(*actions: Action, tries: int) -> list[float]:
    """The median of several times of each action, milliseconds; the actions take turns."""
    times: list[list[float]] = [[] for _ in actions]
    for action in actions:
        action()  # what is only loaded once is not timed
    gc.collect()
    gc.freeze()
    for _ in range(tries):
        for action, kept in zip(actions, times, strict=True):
            begun = time.perf_counter()
            action()
            kept.append((time.perf_counter() - begun) * 1e3)
    gc.unfreeze()
    return [statistics.median(kept) for kept in times]


def many_times(action: Action, count: int) -> Action:
    """The action so often in a row, for what is over too soon to be timed alone."""

    def repeated() -> None:
        for _ in range(count):
            action()

    return repeated


def ratio_at_most(
    bar: float, what: str, action: Action, beside: str, bare: Action, tries: int = 15
) -> Figure:
    """Hold an action to so many times its bare counterpart."""
    ms, bare_ms = medians(action, bare, tries=tries)
    return Figure(what, beside, ms, bare_ms, f"at most {bar:g} ×", ms <= bar * bare_ms)


def time_at_most(
    bar_ms: float, what: str, action: Action, beside: str, bare: Action, *, tries: int = 15, count: int = 1
) -> Figure:
    """Hold an action to a time, with its bare counterpart beside it to say what machine this is."""
    ms, bare_ms = medians(many_times(action, count), many_times(bare, count), tries=tries)
    return Figure(what, beside, ms / count, bare_ms / count, f"at most {bar_ms:g} ms", ms / count <= bar_ms)


def count_at_most(bar: int, what: str, count: int) -> Figure:
    """Hold a number of queries, or of anything, to a bar; it is shown where times are."""
    return Figure(what, "", float(count), 0.0, f"at most {bar}", count <= bar)


def table(figures: list[Figure]) -> str:
    """All figures under one another."""
    rows = [("", "ms", "beside", "ms", "ratio", "bar", "")]
    for one in figures:
        counted = not one.beside
        rows.append(
            (
                one.what,
                f"{one.ms:.0f}" if counted else _short(one.ms),
                one.beside,
                "" if counted else _short(one.bare_ms),
                "" if counted else f"{one.ratio:.1f}",
                one.bar,
                "held" if one.held else "BROKEN",
            )
        )
    widths = [max(len(row[column]) for row in rows) for column in range(7)]
    right = {1, 3, 4}
    return "\n".join(
        "  ".join(
            cell.rjust(width) if column in right else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )


def _short(ms: float) -> str:
    return f"{ms:.1f}" if ms >= 10 else f"{ms:.2f}" if ms >= 0.1 else f"{ms:.4f}"
