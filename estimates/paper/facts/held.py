"""What the book holds of a panel's passes already: ticks, counts and readings, as a work order shows them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from jobs.models import Panel, PassDone, Reading
from jobs.reading_words import written
from shop.models import Shop

Kind = Reading.Kind


@dataclass(frozen=True, slots=True)
class Held:
    """Ticks by pass, and the latest reading of each kind after each pass, 0 being the flat blank."""

    shop: Shop
    gauge: str
    ticks: Mapping[int, PassDone] = field(default_factory=dict)
    read: Mapping[tuple[int, str], Reading] = field(default_factory=dict)

    def after(self, number: int) -> dict[str, str]:
        """What was read after a pass, for the cells of its row."""
        return {
            "gauge_read": self._written(number, self.gauge),
            "edge_read": self._written(number, Kind.EDGE_LENGTH),
        }

    def done(self, number: int) -> dict[str, str | bool]:
        """Whether a pass is ticked and by whom; nothing where it is not."""
        tick = self.ticks.get(number)
        return {"is_done": True, "by": str(tick.person or "")} if tick else {}

    def made(self, number: int) -> int | None:
        """How many gathers a pass really took, where they were counted."""
        tick = self.ticks.get(number)
        return tick.gathers_made if tick else None

    def others(self, last: int) -> tuple[str, ...]:
        """The readings that no cell of the table shows: thickness, and those after a pass the shape has no more."""
        shown = {self.gauge, Kind.EDGE_LENGTH}
        return tuple(
            f"{one.get_kind_display()} {written(one.kind, one.value, self.shop)}, {_after(number)}."
            for (number, kind), one in sorted(self.read.items())
            if kind not in shown or number > last
        )

    def _written(self, number: int, kind: str) -> str:
        one = self.read.get((number, kind))
        return written(kind, one.value, self.shop, with_unit=kind == Kind.SECTION_ANGLE) if one else ""


def held_of(panel: Panel, readings: Sequence[Reading], shop: Shop, *, is_crowned: bool) -> Held:
    """What is in the book of a panel; of readings of one kind after one pass the latest counts."""
    latest_last = sorted(readings, key=lambda one: (one.at, one.pk))
    return Held(
        shop, Kind.CROWN_HEIGHT if is_crowned else Kind.SECTION_ANGLE,
        ticks={one.number: one for one in panel.passes_done.all()},
        read={(one.pass_number, one.kind): one for one in latest_last},
    )  # fmt: skip


def _after(number: int) -> str:
    return f"after pass {number}" if number else "before the first pass"
