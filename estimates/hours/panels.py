"""What the hours model knows about a panel: its drivers before the work, its hours after it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from typing import Final, NamedTuple

STAGES: Final = ("layout", "gathering", "blending", "smoothing")
"""The four stages every panel goes through, in order."""

METHODS: Final = ("hand", "power")
FINISHES: Final = ("hammered", "smooth", "bright")


@dataclass(frozen=True, slots=True)
class Driver:
    """What a stage's hours grow with, and the unit it is counted in."""

    name: str
    meaning: str
    unit: str


DRIVERS: Final = {
    "layout": Driver("layout_m", "outline and lines", "m"),
    "gathering": Driver("moved_dm2", "moved area", "dm²"),
    "blending": Driver("worked_dm2", "worked area", "dm²"),
    "smoothing": Driver("finished_dm2", "finished area", "dm²"),
}


class UnusableDrivers(ValueError):
    """A panel whose drivers no estimate can rest on; ``field`` is the one to blame."""

    def __init__(self, field: str, reason: str) -> None:
        self.field = field
        self.reason = reason
        super().__init__(f"{field}: {reason}")


class UnusableHistory(ValueError):
    """A past panel that teaches nothing but error.

    ``line`` is its line in the notebook where it came from one, else ``None``; ``reason`` says what to mend.
    """

    def __init__(self, reason: str, line: int | None = None) -> None:
        self.line = line
        self.reason = reason
        super().__init__(reason if line is None else f"line {line}: {reason}")


class Kind(NamedTuple):
    """All of a panel that bears on its rates; panels of one kind differ only in size. ``metal`` is case-folded."""

    metal: str
    method: str
    finish: str
    hand_order: int


@dataclass(frozen=True, slots=True)
class Drivers:
    """What a panel asks of each stage.

    Parameters
    ----------
    layout_m
        Length of outline and lines to lay out and cut, metres.
    moved_dm2, worked_dm2, finished_dm2
        Moved, worked and finished area, square decimetres. A driver of 0 means that the stage is not needed.
    metal
        The metal's name as the shop spells it; capitals and spaces at the ends do not count.
    method
        ``hand`` or ``power``.
    finish
        ``hammered``, ``smooth`` or ``bright``; it bears on smoothing only.
    hand_order
        1 for a panel made on its own or first, 2 for the second hand of a pair.

    Raises
    ------
    UnusableDrivers
        For a driver that is negative or no number, or a method, finish or hand order that is none of those.
    """

    layout_m: float
    moved_dm2: float
    worked_dm2: float
    finished_dm2: float
    metal: str
    method: str = "hand"
    finish: str = "hammered"
    hand_order: int = 1

    def __post_init__(self) -> None:
        for stage, driver in DRIVERS.items():
            amount = self.amount(stage)
            if not math.isfinite(amount) or amount < 0:
                raise UnusableDrivers(
                    driver.name, f"{amount} {driver.unit} is not a length or area of 0 or more."
                )
        self._refuse_unless_one_of("method", self.method, METHODS)
        self._refuse_unless_one_of("finish", self.finish, FINISHES)
        if self.hand_order not in (1, 2):
            raise UnusableDrivers(
                "hand_order", f"{self.hand_order!r} is neither 1 (first) nor 2 (second hand)."
            )
        if not self.metal.strip():
            raise UnusableDrivers("metal", "A panel needs the name of its metal.")

    @staticmethod
    def _refuse_unless_one_of(field: str, value: str, choices: tuple[str, ...]) -> None:
        if value not in choices:
            raise UnusableDrivers(field, f"{value!r} is none of {', '.join(choices)}.")

    def amount(self, stage: str) -> float:
        """Return how much of its driver the stage has, in the driver's unit."""
        amount: float = getattr(self, DRIVERS[stage].name)
        return amount

    @property
    def kind(self) -> Kind:
        """What kind of work this is, apart from how much of it."""
        return Kind(self.metal.strip().casefold(), self.method, self.finish, self.hand_order)


@dataclass(frozen=True, slots=True)
class PastPanel:
    """A finished panel with the hours its stages took; ``None`` where they were not recorded.

    A panel with a ``left_out_reason`` teaches nothing and is counted as left out.

    Raises
    ------
    UnusableHistory
        For hours that are negative or no number, or 0 hours where there was work to do.
    """

    panel: str
    finished_on: date
    drivers: Drivers
    layout_hours: float | None = None
    gathering_hours: float | None = None
    blending_hours: float | None = None
    smoothing_hours: float | None = None
    left_out_reason: str = ""

    def __post_init__(self) -> None:
        for stage in STAGES:
            hours = self.hours(stage)
            if hours is None:
                continue
            if not math.isfinite(hours) or hours < 0:
                raise UnusableHistory(f"{stage}_hours of {self.panel}: {hours} is not a number of 0 or more.")
            if hours == 0 and self.drivers.amount(stage) > 0:
                raise UnusableHistory(
                    f"{stage}_hours of {self.panel} is 0 though there was work to do; "
                    "leave it blank if it was not recorded."
                )

    def hours(self, stage: str) -> float | None:
        """Return the hours recorded for a stage, or ``None``."""
        hours: float | None = getattr(self, f"{stage}_hours")
        return hours

    def hours_per_unit(self, stage: str) -> float | None:
        """Return hours per unit of the stage's driver, or ``None`` where that says nothing about a rate.

        Hours booked on a stage without a driver (a little gathering on a flat panel) say nothing about the
        rate of gathering.
        """
        hours, amount = self.hours(stage), self.drivers.amount(stage)
        return hours / amount if hours and amount else None
