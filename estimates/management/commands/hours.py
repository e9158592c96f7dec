"""``manage.py hours``: the hours of one panel from a notebook, without a database."""

import json
import math
from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from django.utils import timezone

from estimates.hours import (
    FIRST_RATES,
    Drivers,
    HoursRange,
    Model,
    PanelHours,
    PastPanel,
    UnusableDrivers,
    UnusableHistory,
    learn,
    read_history,
    read_panel,
)
from shop.one_line import OneLineCommand, refuse


class Command(OneLineCommand):
    help = "Estimate the hours of a panel from a notebook of past panels. Needs no database."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--panel", type=Path, required=True, help="JSON file with the panel's drivers")
        parser.add_argument(
            "--history", type=Path, help="CSV file of past panels; first rates only without it"
        )
        parser.add_argument(
            "--half-life", type=_days, metavar="DAYS", help="age at which a past panel counts half"
        )
        parser.add_argument(
            "--on", type=_day, metavar="DAY", help="day to count ages from, as 2026-03-02 (default: today)"
        )
        parser.add_argument("--skip-bad", action="store_true", help="leave bad rows of the history out")
        parser.add_argument("--json", action="store_true", help="print one JSON object")

    def handle(self, **options: Any) -> None:
        on = options["on"] or timezone.localdate()
        try:
            drivers = read_panel(_contents(options["panel"]))
            past = self._past(options["history"], on, options["skip_bad"])
            model = learn(past, on=on, half_life_days=options["half_life"])
        except (UnusableDrivers, UnusableHistory) as error:
            refuse(str(error))
        self._point_out_a_strange_metal(drivers, past)
        for odd in model.unlike:
            self.stderr.write(str(odd))
        write = _as_json if options["json"] else _as_table
        self.say(write(model, model.estimate(drivers)))

    def _past(self, path: Path | None, on: date, skip_bad: bool) -> tuple[PastPanel, ...]:
        if path is None:
            return ()
        notebook = read_history(_contents(path))
        told = " ".join(f"line {row.line}: {row.reason}" for row in notebook.bad)
        if told and not skip_bad:
            raise UnusableHistory(f"{told} (--skip-bad leaves such rows out)")
        if told:
            self.stderr.write(f"Left out: {told}")
        if notebook.ignored_columns:
            self.stderr.write(f"Columns not used: {', '.join(notebook.ignored_columns)}")
        for panel, line in zip(notebook.panels, notebook.lines, strict=True):
            if panel.finished_on > on:  # a clock may be wrong, and a script may ask about a day long ago
                self.stderr.write(
                    f"line {line}: {panel.finished_on} is after {on}. It counts as of that day."
                )
        for double in notebook.doubles():
            self.stderr.write(f"line {double.line}: {double.reason} It counts twice.")
        if not notebook.panels:
            self.stderr.write(f"No past panel in {path}: first rates only.")
        return notebook.panels

    def _point_out_a_strange_metal(self, drivers: Drivers, past: Sequence[PastPanel]) -> None:
        known = {name for first in FIRST_RATES for name, _ in first.metal_factors}
        known |= {panel.drivers.kind.metal for panel in past if not panel.left_out_reason}
        if drivers.kind.metal not in known:
            self.stderr.write(
                f"Nothing is known of {drivers.metal}, so that its range is wide. Known metals: "
                f"{', '.join(sorted(known))}."
            )


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise ArgumentTypeError(f"{text!r} is not a day such as 2026-03-02") from error


def _days(text: str) -> float:
    try:
        return float(text)
    except ValueError as error:
        raise ArgumentTypeError(f"{text!r} is not a number of days") from error


def _contents(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        refuse(f"{path}: {error.strerror}")


def _as_json(model: Model, hours: PanelHours) -> str:
    answer = {name: _figures(stage, stage.n_past) for name, stage in hours.stages.items()}
    answer["total"] = _figures(hours.total, model.n_past)
    return json.dumps(answer, indent=2, allow_nan=False)


def _figures(hours: HoursRange, n_past: int) -> dict[str, float | int | None]:
    """No hours have no logarithm and hours known outright have no degrees of freedom: both are null."""
    return {
        "p50": hours.p50,
        "p80": hours.p80,
        "mean_log": _finite(hours.mean_log),
        "scale": hours.scale,
        "degrees_of_freedom": _finite(hours.df),
        "n_past": n_past,
    }


def _finite(number: float) -> float | None:
    return number if math.isfinite(number) else None


def _as_table(model: Model, hours: PanelHours) -> str:
    rows = [(name, stage, stage.n_past) for name, stage in hours.stages.items()]
    rows.append(("total", hours.total, model.n_past))
    lines = [f"{'stage':<12}{'P50 h':>10}{'P80 h':>10}{'past':>7}"]
    lines += [f"{name:<12}{hours.p50:>10.2f}{hours.p80:>10.2f}{count:>7}" for name, hours, count in rows]
    return "\n".join(lines)
