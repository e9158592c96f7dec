"""Readings at the bench: what was measured, what it means for the passes to come, and what to measure next."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from jobs.drawings.check import gauge_check
from jobs.drawings.scene import Scene
from jobs.forming import Work, build, work_out
from jobs.forming import readings as forming
from jobs.forming.errors import ImpossibleShape
from jobs.forming.result import Pass
from jobs.forming.taped import TELLING_MM, at_each, outside_mm
from jobs.models import Panel, PassDone, Reading
from jobs.panels import marking_of, sheet_of, work_of
from jobs.reading_plot import FORMING_KIND, plot_of
from jobs.reading_words import (
    ON_THE_OUTSIDE,
    label_of,
    meaning,
    off_by,
    reads_as,
    signed,
    step_of,
    typed,
    written,
)
from shop.lengths import NO_BREAK
from shop.models import Shop

CHECK_HEIGHT = 216.0  # what 390 × 844 leaves for the drawing


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a panel stands: the plan, the passes as they look after the latest reading, and what that means."""

    work: Work
    passes: tuple[Pass, ...]
    readings: tuple[Reading, ...] = ()
    latest: Reading | None = None
    answer: forming.Replan | None = None
    said: tuple[str, ...] = ()
    first_hand: tuple[str, ...] = ()
    plot: Scene | None = field(default=None, compare=False)

    @property
    def gathers_in(self) -> bool:
        """Whether the edge is gathered in; otherwise it is stretched out."""
        return self.work.edges[0].take_up_mm >= 0

    @property
    def counts(self) -> bool:
        """Whether there is anything to count: an edge that keeps its length is only worked until the crown stands."""
        return any(one.gathers for one in self.work.passes)

    @property
    def at_each(self) -> str:
        """Where the gathers are counted and the edge is read; nothing where there is but one edge, or no count."""
        return at_each(self.work) if self.counts else ""

    @property
    def nouns(self) -> str:
        return "gather,gathers" if self.gathers_in else "stretch,stretches"


@dataclass(frozen=True, slots=True)
class Check:
    """What to measure next.

    ``value`` is what stands in the field and ``off`` how far that is from the plan, both as written; ``target``, the
    same ``target_as_read`` on a tape, and ``step`` are in mm or rad, of which ``per_unit`` make one of the shop's
    ``unit``.
    """

    pass_number: int
    kind: str
    label: str
    target: float
    target_as_read: float
    target_said: str
    value: str
    off: str
    unit: str
    step: float
    per_unit: float
    kinds: tuple[tuple[str, str, bool], ...] = ()
    drawing: Scene | None = field(default=None, compare=False)


def plan_of(panel: Panel, counted: Mapping[int, int] | None = None) -> tuple[Work, tuple[str, ...]]:
    """What the panel's shape asks, and for the second hand of a pair what the first hand taught, in words.

    The second hand starts from the gathers that the first really took; ``counted`` are these by pass, where they have
    been read already. Raises ``ImpossibleShape``.
    """
    work = work_of(panel)
    if not panel.mirrors_id:
        return work, ()
    planned = {one.number: one.gathers for one in work.passes}
    if counted is None:
        made = PassDone.objects.filter(panel=panel.mirrors_id, gathers_made__isnull=False)
        counted = {one.number: one.gathers_made for one in made}
    taken = {number: made for number, made in counted.items() if number in planned}
    if not taken:
        return work, ()
    correction = forming.correction_from(work, taken)
    corrected = work_out(
        build(panel.form, panel.dimensions),
        sheet_of(panel.metal, panel.thickness_mm),
        marking_of(panel),
        correction,
    )
    return corrected, _taught(planned, taken)


def _taught(planned: Mapping[int, int], taken: Mapping[int, int]) -> tuple[str, ...]:
    """What the first hand's counts, by pass, change of the plan."""
    others = [
        f"Pass {number}: the first hand took {made} where the plan said {planned[number]}."
        for number, made in sorted(taken.items())
        if made != planned[number]
    ]
    if not others:
        return ("The first hand took as many as the plan said.",)
    return (*others, "This plan starts from what the first hand took.")


def standing_of(
    panel: Panel, readings: Sequence[Reading], shop: Shop, counted: Mapping[int, int] | None = None
) -> Standing | None:
    """Where a panel stands after its readings; nothing where its shape has no passes to check.

    ``counted`` as in :func:`plan_of`.
    """
    try:
        work, first_hand = plan_of(panel, counted)
        kinds = forming.readings_for(work)
    except ImpossibleShape:
        return None
    if not kinds:
        return None
    latest, passes, answer = _that_counts(readings), list(work.passes), None
    for reading in _that_led_here(readings, latest):
        answer = _replanned(work, reading, shop)
        if answer is not None:
            passes[answer.done_pass :] = [one for one in answer.passes if one.number > answer.done_pass]
    said = meaning(work, latest, answer, shop) if latest and answer else ()
    plot = plot_of(work, passes, answer, readings, shop)
    return Standing(work, tuple(passes), tuple(readings), latest, answer, said, first_hand, plot)


def next_check(
    panel: Panel, standing: Standing, number: int | None, shop: Shop, kind: str = "", value: str = ""
) -> Check:
    """What to measure after a pass, the last where ``number`` is nothing; ``value`` stands in the field so far."""
    pass_ = next((one for one in standing.passes if one.number == number), standing.passes[-1])
    known = _kinds(standing.work, pass_)
    kind = kind if kind in known else known[0]
    target = target_shown(standing, pass_, kind)
    amount = typed(kind, value, shop) if value else target
    return Check(
        pass_number=pass_.number,
        kind=kind,
        label=label_of(kind),
        target=target,
        target_as_read=off_by(kind, target, 0.0, shop),
        target_said=written(kind, target, shop),
        value=value,
        off=signed(kind, amount, target, shop) if amount is not None else "",
        unit="°" if kind == Reading.Kind.SECTION_ANGLE else shop.units,
        step=_step(kind, shop),
        per_unit=math.pi / 180 if kind == Reading.Kind.SECTION_ANGLE else 25.4 if shop.units == "in" else 1.0,
        kinds=tuple((name, label_of(name), name == kind) for name in known),
        drawing=gauge_check(
            standing.work, pass_.number, figure=written(kind, target, shop), mirrored=panel.is_mirrored,
            words=label_of(kind).lower(), remark=_gauge_words(pass_, kind, shop), height=CHECK_HEIGHT,
        ),
    )  # fmt: skip


def _that_led_here(readings: Sequence[Reading], latest: Reading | None) -> list[Reading]:
    """The readings that made the plan what it is: after each pass up to the latest read, the one that counts."""
    if latest is None:
        return []
    before = [one for one in readings if one.pass_number < latest.pass_number]
    numbers = sorted({one.pass_number for one in before})
    counting = [_that_counts([one for one in before if one.pass_number == number]) for number in numbers]
    return [*(one for one in counting if one), latest]


def _that_counts(readings: Sequence[Reading]) -> Reading | None:
    """The reading the plan goes by: the latest, or the tape's of the same pass, which no angle or crown outranks."""
    latest = max(readings, key=lambda one: (one.at, one.pk), default=None)
    if latest is None or latest.kind == Reading.Kind.EDGE_LENGTH:
        return latest
    taped = [
        one
        for one in readings
        if one.kind == Reading.Kind.EDGE_LENGTH and one.pass_number == latest.pass_number
    ]
    return max(taped, key=lambda one: (one.at, one.pk), default=latest)


def stepped(kind: str, value: float, steps: int, shop: Shop) -> str:
    """A reading moved by one press of plus or minus, as it is typed; never below nought."""
    moved = max(0.0, value + steps * _step(kind, shop))
    return written(kind, moved, shop, with_unit=False).replace(NO_BREAK, " ")


def _has(work: Work, pass_number: int) -> bool:
    return 0 <= pass_number <= len(work.passes)


def _replanned(work: Work, read: Reading, shop: Shop) -> forming.Replan | None:
    """The plan after a reading. One that is written as the plan is, is on plan: a tape cannot tell more."""
    kind, value = FORMING_KIND[read.kind], read.value
    try:
        targets = [read.target, target_after(work, read.pass_number, read.kind)]
        targets.append(target_after(work, len(work.passes), read.kind))
        known = (one for one in targets if one is not None and reads_as(read.kind, value, one, shop))
        reading = forming.Reading(kind, next(known, value))
        return forming.replan(work, read.pass_number, reading, step_of(Reading.Kind.EDGE_LENGTH, shop))
    except ImpossibleShape:
        return None  # the shape was changed since, and has no such pass or reading any more


def _gauge_words(pass_: Pass, kind: str, shop: Shop) -> str:
    """What the gauge of a pass is cut to, where that is not what is being read."""
    if pass_.height_mm is not None:
        height = written(Reading.Kind.CROWN_HEIGHT, pass_.height_mm, shop)
        return "" if kind == Reading.Kind.CROWN_HEIGHT else f"crown {height}"
    angle = written(Reading.Kind.SECTION_ANGLE, pass_.section_angle_rad, shop)
    return "" if kind == Reading.Kind.SECTION_ANGLE else f"gauge {angle}"


def _kinds(work: Work, pass_: Pass) -> list[str]:
    """What can be read after a pass; the edge on its outside face too, where a tape can tell it from the middle."""
    known = [str(name) for name, theirs in FORMING_KIND.items() if theirs in forming.readings_for(work)]
    if known[0] != Reading.Kind.EDGE_LENGTH:
        known.sort(
            key=lambda name: name != Reading.Kind.CROWN_HEIGHT
        )  # such a panel is worked until its crown stands
    if known[0] == Reading.Kind.EDGE_LENGTH and abs(outside_mm(work, pass_.section_angle_rad)) >= TELLING_MM:
        known.insert(1, ON_THE_OUTSIDE)
    return known


def middle_of(work: Work, pass_number: int, outside_read_mm: float) -> float:
    """The edge's length in the middle of the sheet, from what a tape on the outside face read after a pass."""
    angle_rad = next((one.section_angle_rad for one in work.passes if one.number == pass_number), 0.0)
    return outside_read_mm - outside_mm(work, angle_rad)


def target_after(work: Work, pass_number: int, kind: str) -> float | None:
    """What is planned after a pass, or before the first where it is 0; nothing for a pass that the shape has not."""
    return forming.target_of(work, pass_number, FORMING_KIND[kind]) if _has(work, pass_number) else None


def target_shown(standing: Standing, pass_: Pass, kind: str) -> float:
    """The corrected plan's own edge length; angle, height and thickness as first planned."""
    if kind == Reading.Kind.EDGE_LENGTH:
        return pass_.edge_length_mm
    if kind == ON_THE_OUTSIDE:
        return pass_.edge_length_mm + outside_mm(standing.work, pass_.section_angle_rad)
    return forming.target_of(standing.work, pass_.number, FORMING_KIND[kind])


def _step(kind: str, shop: Shop) -> float:
    """What one press of plus or minus changes: half a degree, half a millimetre, a thirty-second of an inch."""
    if kind == Reading.Kind.SECTION_ANGLE:
        return math.radians(0.5)
    if kind == Reading.Kind.THICKNESS:
        return 0.0254 if shop.units == "in" else 0.05
    return 25.4 / 32 if shop.units == "in" else 0.5
