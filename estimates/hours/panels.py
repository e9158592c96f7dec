"""What the hours model knows about a panel: its drivers before the work, its hours after it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final, NamedTuple

STAGES: Final = ("layout", "gathering", "blending", "smoothing")
"""The four stages every panel goes through, in order."""

METHODS: Final = ("hand", "power")
FINISHES: Final = ("hammered", "smooth", "bright")
USUAL_FINISH: Final = "smooth"
"""The finish of a panel that does not say; first rates of smoothing are for it."""


@dataclass(frozen=True, slots=True)
class Driver:
    """What a stage's hours grow with, and the unit it is counted in.

    Hours on less than ``least`` say nothing about a rate: they went into picking the tools up and putting them
    down. A quarter of an hour on a hair's breadth of moved metal would teach the next panel nonsense.
    """

    name: str
    meaning: str
    unit: str
    least: float


DRIVERS: Final = {
    "layout": Driver("layout_m", "outline and lines", "m", 0.2),
    "gathering": Driver("moved_dm2", "moved area", "dm²", 0.05),
    "blending": Driver("worked_dm2", "worked area", "dm²", 0.2),
    "smoothing": Driver("finished_dm2", "finished area", "dm²", 0.2),
}


LEAST_DRIVER: Final = 1e-6
"""Less than this of a driver (a hundredth of a square millimetre) is what rounding leaves of no work at all."""
GREATEST_DRIVER: Final = 1e6
GREATEST_HOURS: Final = 1e6
"""More than these no shop of this kind has ever met; such a figure is a slip of the keyboard."""


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
        For a driver below 0 or above ``GREATEST_DRIVER``, or a method, finish or hand order that is none of those.
    """

    layout_m: float
    moved_dm2: float
    worked_dm2: float
    finished_dm2: float
    metal: str
    method: str = "hand"
    finish: str = USUAL_FINISH
    hand_order: int = 1

    def __post_init__(self) -> None:
        for driver in DRIVERS.values():
            amount = getattr(self, driver.name)
            if not 0 <= amount <= GREATEST_DRIVER:
                reason = f"{amount} {driver.unit} is not between 0 and {GREATEST_DRIVER:,.0f} {driver.unit}."
                raise UnusableDrivers(driver.name, reason)
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
        """Return how much of its driver the stage has, in the driver's unit; 0 below ``LEAST_DRIVER``."""
        amount: float = getattr(self, DRIVERS[stage].name)
        return amount if amount >= LEAST_DRIVER else 0.0

    @property
    def kind(self) -> Kind:
        """What kind of work this is, apart from how much of it."""
        return Kind(self.metal.strip().casefold(), self.method, self.finish, self.hand_order)


@dataclass(frozen=True, slots=True)
class PastPanel:
    """A finished panel with the hours its stages took; ``None`` where they were not recorded.

    ``own_hours`` are those of stages of the shop's own, by their slugs; a stage that is not among them teaches nothing.
    A panel with a ``left_out_reason`` teaches nothing and is counted as left out.

    Raises
    ------
    UnusableHistory
        For hours below 0 or above ``GREATEST_HOURS``, or 0 hours where there was work to do.
    """

    panel: str
    finished_on: date
    drivers: Drivers
    layout_hours: float | None = None
    gathering_hours: float | None = None
    blending_hours: float | None = None
    smoothing_hours: float | None = None
    left_out_reason: str = ""
    own_hours: tuple[tuple[str, float], ...] = ()

    def __post_init__(self) -> None:
        for slug, spent in self.own_hours:
            if not 0 < spent <= GREATEST_HOURS:
                raise UnusableHistory(f"{slug} of {self.panel}: {spent} h is not between 0 and a million.")
        for stage in STAGES:
            hours = self.hours(stage)
            if hours is None:
                continue
            if not 0 <= hours <= GREATEST_HOURS:
                raise UnusableHistory(
                    f"{stage}_hours of {self.panel}: {hours} is not between 0 and a million."
                )
            if hours == 0 and self.drivers.amount(stage) > 0:
                raise UnusableHistory(
                    f"{stage}_hours of {self.panel} is 0 though there was work to do; "
                    "leave it blank if it was not recorded."
                )

    @property
    def key(self) -> tuple[str, date, int]:
        """What tells a panel from all others of a notebook; the hands of a pair may share name and day."""
        return self.panel, self.finished_on, self.drivers.hand_order

    def hours(self, stage: str) -> float | None:
        """Return the hours recorded for a stage, or ``None``."""
        hours: float | None = getattr(self, f"{stage}_hours")
        return hours

    def hours_per_unit(self, stage: str) -> float | None:
        """Return hours per unit of the stage's driver, or ``None`` where that says nothing about a rate.

        Hours booked on a stage with next to no driver (a little gathering on a nearly flat panel) say nothing
        about the rate of gathering; :class:`Driver` says how little that is.
        """
        hours, amount = self.hours(stage), self.drivers.amount(stage)
        return hours / amount if hours and amount >= DRIVERS[stage].least else None
