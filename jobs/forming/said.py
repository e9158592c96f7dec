"""A form's plain figures as lines to read, in millimetres or as somebody's own measures write them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jobs.forming.keys import PANEL, PARTS, Key

# Said once already, in the unit that drawings have.
REPEATED = ("moved_dm2", "finished_dm2")


@dataclass(frozen=True, slots=True)
class Measure:
    """Another unit for figures of one unit, or of one key, and how they are written in it, without the unit."""

    unit: str
    write: Callable[[float], str]


Measures = Mapping[str, Measure]
"""By the key where that has a way of its own, else by the unit; what is in neither stays as it is."""


def in_lines(report: dict[str, Any], measures: Measures | None = None) -> Iterator[str]:
    """Yield the figures of ``report.as_json`` as lines; the outline is left to ``--json`` and the pattern files.

    >>> list(in_lines({"form": "dome", "mass_kg": 0.7724, "edge": {"strain": -0.0938}, "warnings": []}))
    ['Form            dome', 'Mass, finished  0.77 kg', 'Edge', '  Strain, as a fraction of the flat length  -0.09']
    """
    others = measures or {}
    plain = {key: value for key, value in report.items() if key not in PARTS and key not in REPEATED}
    plain = {key: value for key, value in plain.items() if key not in ("outline", "warnings")}
    yield from _pairs(plain, PANEL, others)
    if "edge" in report:
        yield PANEL["edge"].words
        yield from (f"  {line}" for line in _pairs(report["edge"], PARTS["edge"], others))
    for part in ("lines", "passes"):
        if report.get(part):
            yield PANEL[part].words
            yield from (f"  {line}" for line in _table(report[part], PARTS[part], others))
    for warning in report["warnings"]:
        yield f"{PANEL['warnings'].words}: {warning}"


def _pairs(figures: dict[str, Any], keys: dict[str, Key], measures: Measures) -> list[str]:
    wide = max(len(keys[name].words) for name in figures)
    lines = []
    for name, value in figures.items():
        measure = _measure(name, keys[name], measures)
        gap = "" if measure.unit in ("", "°") else " "
        lines.append(f"{keys[name].words:<{wide}}  {_figure(value, measure)}{gap}{measure.unit}")
    return lines


def _table(rows: list[dict[str, Any]], keys: dict[str, Key], measures: Measures) -> list[str]:
    """Return rows below headings that name the unit, each column as wide as its widest cell."""
    columns = {name: _measure(name, keys[name], measures) for name in rows[0]}
    heads = [f"{keys[name].words}{one.unit and f', {one.unit}'}" for name, one in columns.items()]
    cells = [heads, *([_figure(row[name], one) for name, one in columns.items()] for row in rows)]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    return ["  ".join(map(str.rjust, line, widths)) for line in cells]


def _measure(name: str, key: Key, measures: Measures) -> Measure:
    return measures.get(name) or measures.get(key.unit) or Measure(key.unit, "{:.2f}".format)


def _figure(value: object, measure: Measure) -> str:
    """Write a figure as its measure does; words and counts are what they are."""
    return measure.write(value) if isinstance(value, float) else str(value)
