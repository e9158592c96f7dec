"""A form's plain figures as lines to read, in millimetres, each with its words and unit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from jobs.forming.keys import PANEL, PARTS, Key

# Said once already, in the unit that drawings have.
REPEATED = ("moved_dm2", "finished_dm2")


def in_lines(report: dict[str, Any]) -> Iterator[str]:
    """Yield the figures of ``report.as_json`` as lines; the outline is left to ``--json`` and the pattern files.

    >>> list(in_lines({"form": "dome", "mass_kg": 0.7724, "edge": {"strain": -0.0938}, "warnings": []}))
    ['Form            dome', 'Mass, finished  0.77 kg', 'Edge', '  Strain, as a fraction of the flat length  -0.09']
    """
    plain = {key: value for key, value in report.items() if key not in PARTS and key not in REPEATED}
    plain = {key: value for key, value in plain.items() if key not in ("outline", "warnings")}
    yield from _pairs(plain, PANEL)
    if "edge" in report:
        yield PANEL["edge"].words
        yield from (f"  {line}" for line in _pairs(report["edge"], PARTS["edge"]))
    for part in ("lines", "passes"):
        if report.get(part):
            yield PANEL[part].words
            yield from (f"  {line}" for line in _table(report[part], PARTS[part]))
    for warning in report["warnings"]:
        yield f"{PANEL['warnings'].words}: {warning}"


def _pairs(figures: dict[str, Any], keys: dict[str, Key]) -> list[str]:
    wide = max(len(keys[name].words) for name in figures)
    return [
        f"{keys[name].words:<{wide}}  {_figure(value, keys[name].unit)}" for name, value in figures.items()
    ]


def _table(rows: list[dict[str, Any]], keys: dict[str, Key]) -> list[str]:
    """Return rows below headings that name the unit, each column as wide as its widest cell."""
    heads = [f"{keys[name].words}{f', {keys[name].unit}' if keys[name].unit else ''}" for name in rows[0]]
    cells = [heads, *([_figure(value) for value in row.values()] for row in rows)]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    return ["  ".join(map(str.rjust, line, widths)) for line in cells]


def _figure(value: object, unit: str = "") -> str:
    """Write one figure to a hundredth."""
    text = f"{value:.2f}" if isinstance(value, float) else str(value)
    return text + (unit if unit == "°" else f" {unit}" if unit else "")
