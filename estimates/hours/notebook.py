"""The shop's notebook of past panels, read from CSV and written back, and a panel to come, read from JSON.

Spreadsheets in many countries write ``;`` between cells and a comma in numbers, and old notebooks mix encodings;
both are read. What cannot be read is never guessed at: every bad row comes back with its line and the reason.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from estimates.hours.cells import decode, read_day, read_number, read_text, shown, written
from estimates.hours.panels import (
    DRIVERS,
    STAGES,
    USUAL_FINISH,
    Drivers,
    PastPanel,
    UnusableDrivers,
    UnusableHistory,
)

DRIVER_COLUMNS: Final = tuple(driver.name for driver in DRIVERS.values())
HOURS_COLUMNS: Final = tuple(f"{stage}_hours" for stage in STAGES)
COLUMNS: Final = ("panel", "finished_on", "metal", "method", "hand_order", *DRIVER_COLUMNS, *HOURS_COLUMNS)
EXTRA_COLUMNS: Final = ("finish", "left_out_reason")
"""Columns that a notebook may have as well; without them the finish is the usual one and nothing is left out."""

LEAST_HOURS: Final = 0.001
GREATEST_DRIVER: Final = 10_000.0
"""A row with less or more than these is a slip of the pen: four seconds, a hundred square metres. Most such slips are
millimetres in a column of square decimetres."""


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that cannot be used: its line (the heading is line 1) and why."""

    line: int
    reason: str


@dataclass(frozen=True, slots=True)
class Notebook:
    """What was read: the good rows with their lines, the bad ones, and the names of columns nobody asked for."""

    panels: tuple[PastPanel, ...]
    lines: tuple[int, ...] = ()
    bad: tuple[BadRow, ...] = ()
    ignored_columns: tuple[str, ...] = ()

    def doubles(self) -> tuple[BadRow, ...]:
        """Return the good rows that tell of a panel the file has told of already (:attr:`PastPanel.key`)."""
        first: dict[tuple[str, date, int], int] = {}
        found = []
        for panel, line in zip(self.panels, self.lines, strict=True):
            if panel.key in first:
                told = f"{panel.panel} of {panel.finished_on} stands on line {first[panel.key]} already."
                found.append(BadRow(line, told))
            first.setdefault(panel.key, line)
        return tuple(found)


def read_history(source: str | bytes, *, today: date | None = None) -> Notebook:
    """Read past panels from CSV.

    Cells are separated by commas, semicolons or tabs. Text is UTF-8 or UTF-16 (with or without a byte order mark),
    or Windows-1252, even line by line. A blank hours cell means that the hours were not recorded. Dates are
    ``2026-03-02`` or ``2.3.2026``; one after ``today``, where that is given, makes its row a bad one.

    Raises
    ------
    UnusableHistory
        Where the heading lacks a column, with line 1.
    """
    text = decode(source) if isinstance(source, bytes) else source.removeprefix("\ufeff")
    rows = _rows(text)
    names = _heading(*next(rows, (1, [])))
    commas_separate = _separator(text) == ","
    panels, lines, bad = [], [], []
    for line, cells in rows:
        try:
            panels.append(_read_row(names, cells, commas_separate, today))
            lines.append(line)
        except (UnusableDrivers, UnusableHistory) as error:
            bad.append(BadRow(line, str(error)))
    ignored = tuple(name for name in names if name and name not in COLUMNS + EXTRA_COLUMNS)
    return Notebook(tuple(panels), tuple(lines), tuple(bad), ignored)


def write_history(panels: Iterable[PastPanel]) -> str:
    """Write past panels as the CSV that :func:`read_history` reads back to the same panels.

    ``EXTRA_COLUMNS`` are added only where a panel needs one. A text cell that a spreadsheet would take for a
    formula gets an apostrophe in front; reading takes it away again.
    """
    panels = list(panels)
    extra = [
        *(["finish"] if any(panel.drivers.finish != USUAL_FINISH for panel in panels) else []),
        *(["left_out_reason"] if any(panel.left_out_reason for panel in panels) else []),
    ]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([*COLUMNS, *extra])
    for panel in panels:
        writer.writerow([_cell(panel, name) for name in (*COLUMNS, *extra)])
    return out.getvalue()


def read_panel(source: str | bytes) -> Drivers:
    """Read the drivers of one panel to come from a JSON object with the notebook's keys but the hours.

    ``panel``, ``finished_on`` and ``finish`` may be left out.

    Raises
    ------
    UnusableDrivers
        For text that is no JSON object, and for a key that is missing, unknown or of the wrong kind.
    """
    try:
        found = json.loads(source, object_pairs_hook=_each_once)
    except UnusableDrivers:
        raise
    except (ValueError, RecursionError) as error:
        raise UnusableDrivers("panel", f"This is not JSON: {error}.") from error
    if not isinstance(found, dict):
        raise UnusableDrivers("panel", "A JSON object is needed, with a key for each driver.")
    needed = (*DRIVER_COLUMNS, "metal", "method", "hand_order")
    if missing := [key for key in needed if key not in found]:
        raise UnusableDrivers(missing[0], f"The panel lacks {', '.join(missing)}.")
    if unknown := [key for key in found if key not in COLUMNS + EXTRA_COLUMNS]:
        raise UnusableDrivers(unknown[0], f"Nothing is known by the name of {', '.join(unknown)}.")
    amounts = {key: _json_number(key, found[key]) for key in DRIVER_COLUMNS}
    order = found["hand_order"]
    if isinstance(order, bool) or not isinstance(order, int):
        raise UnusableDrivers("hand_order", f"{order!r} is neither 1 (first) nor 2 (second hand).")
    return Drivers(
        **amounts,
        metal=_json_text("metal", found["metal"]),
        method=_json_text("method", found["method"]).strip().casefold(),
        finish=_json_text("finish", found.get("finish", USUAL_FINISH)).strip().casefold(),
        hand_order=order,
    )


def _separator(text: str) -> str:
    heading = next((line for line in text.splitlines() if line.strip()), "")
    return max(",;\t", key=heading.count)


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the line each row starts on and its cells; rows without any text are passed over."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text))
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise UnusableHistory(f"This is not CSV: {error}.", line) from error
        if any(cell.strip() for cell in cells):
            yield line, cells


def _heading(line: int, cells: Sequence[str]) -> list[str]:
    names = [" ".join(name.split()).casefold() for name in cells]
    if missing := [name for name in COLUMNS if name not in names]:
        what = "This is no notebook: the heading" if len(missing) == len(COLUMNS) else "The heading"
        raise UnusableHistory(f"{what} lacks {', '.join(missing)}.", line)
    if repeated := sorted({name for name in names if name and names.count(name) > 1}):
        raise UnusableHistory(f"The heading has {', '.join(repeated)} twice.", line)
    return names


def _read_row(
    names: Sequence[str], cells: Sequence[str], commas_separate: bool, today: date | None
) -> PastPanel:
    _refuse_unless_as_many(cells, len(names), commas_separate)
    wanted = {*COLUMNS, *EXTRA_COLUMNS}
    row = {name: read_text(name, cell) for name, cell in zip(names, cells, strict=False) if name in wanted}
    if not row["panel"]:
        raise UnusableHistory("panel is blank.")
    amounts = {name: read_number(name, row[name], commas_separate) for name in DRIVER_COLUMNS}
    hours = {
        name: read_number(name, row[name], commas_separate) if row[name] else None for name in HOURS_COLUMNS
    }
    _refuse_slips(amounts, hours)
    drivers = Drivers(
        **amounts,
        metal=row["metal"],
        method=row["method"].casefold(),
        finish=row.get("finish", "").casefold() or USUAL_FINISH,
        hand_order=_hand_order(row["hand_order"]),
    )
    day = read_day("finished_on", row["finished_on"], today)
    left_out = row.get("left_out_reason", "")
    return PastPanel(row["panel"], day, drivers, **hours, left_out_reason=left_out, own_hours=())


def _refuse_unless_as_many(cells: Sequence[str], needed: int, commas_separate: bool) -> None:
    count, hint = len(cells), ""
    if count < needed and any("\n" in cell for cell in cells):
        hint = " (a quotation mark that is never closed?)"
    elif count > needed and commas_separate:
        hint = " (a decimal comma that is not in quotes?)"
    if count < needed or any(cell.strip() for cell in cells[needed:]):
        noun = "cell" if count == 1 else "cells"
        raise UnusableHistory(f"{count} {noun} where the heading has {needed}{hint}.")


def _refuse_slips(amounts: dict[str, float], hours: dict[str, float | None]) -> None:
    for driver in DRIVERS.values():
        if amounts[driver.name] > GREATEST_DRIVER:
            raise UnusableHistory(
                f"{driver.name}: {amounts[driver.name]:,.7g} {driver.unit} is more than any panel has "
                f"({GREATEST_DRIVER:,.0f} {driver.unit}); is it in another unit?"
            )
    for name, taken in hours.items():
        if taken is not None and 0 < taken < LEAST_HOURS:
            raise UnusableHistory(
                f"{name}: {taken:g} h is less than four seconds; leave it blank if it was not recorded."
            )


def _hand_order(text: str) -> int:
    if text not in ("1", "2"):
        raise UnusableDrivers("hand_order", f"{shown(text)} is neither 1 (first) nor 2 (second hand).")
    return int(text)


def _cell(panel: PastPanel, name: str) -> str:
    for holder in (panel, panel.drivers):
        value = getattr(holder, name, None)
        if isinstance(value, str):
            return written(value)
        if isinstance(value, float):
            return repr(value)
        if value is not None:
            return str(value)
    return ""


def _each_once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = sorted({name for name in names if names.count(name) > 1})
        raise UnusableDrivers(twice[0], f"The panel says {', '.join(twice)} twice.")
    return found


def _json_number(key: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UnusableDrivers(key, f"{value!r} is not a number.")
    try:
        return float(value)
    except OverflowError as error:
        raise UnusableDrivers(key, "This number is too large.") from error


def _json_text(key: str, value: object) -> str:
    if not isinstance(value, str):
        raise UnusableDrivers(key, f"{value!r} is not text.")
    return value
