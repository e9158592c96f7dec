"""A panel as its page shows it: drawings, figures, passes, stages, and what has been written down of it."""

from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from jobs.drawings.pattern import flat_pattern
from jobs.drawings.rule_lengths import millimetre_rule
from jobs.drawings.scene import Path, Scene, bounds, leaves
from jobs.drawings.section import section
from jobs.forming import FORMS, ImpossibleShape, Work
from jobs.models import Panel, PassDone, Photo, Reading, StageNote
from jobs.panel_figures import Figure, figures_of
from jobs.parts import PanelRange, ranges_of
from jobs.readings import plan_of
from jobs.stage_rows import StageRow, hours_in, shared_scale, stage_rows, strip_of
from shop.lengths import format_length
from shop.models import Shop

RULE_PX = 1216.0
ROOMS = {"wide": 820.0, "narrow": 350.0}  # a desk and a phone: pixels for the drawings
PHOTOS_SHOWN = 12
STRIP_PX = 356.0


@dataclass(frozen=True, slots=True)
class Drawings:
    """Pattern and section for a desk or a phone, and the rule at the pattern's scale."""

    room: str
    rule: Scene
    pattern: Scene
    section: Scene


@dataclass(frozen=True, slots=True)
class PassRow:
    """A pass of the plan, and who ticked it."""

    planned: object
    done: PassDone | None


@dataclass(frozen=True, slots=True)
class PanelPage:
    """All that the page of a panel shows. ``work`` is nothing where the shape cannot be made: ``refusal`` says why."""

    panel: Panel
    form_label: str
    work: Work | None = None
    refusal: str = ""
    drawings: tuple[Drawings, ...] = ()
    figures: tuple[Figure, ...] = ()
    warnings: tuple[str, ...] = ()
    first_hand: tuple[str, ...] = ()
    passes: tuple[PassRow, ...] = ()
    stages: tuple[StageRow, ...] = ()
    range: PanelRange | None = None
    strip: Scene | None = None
    readings: tuple[Reading, ...] = ()
    notes: tuple[StageNote, ...] = ()
    photos: tuple[Photo, ...] = ()
    material: tuple = ()

    @property
    def hours(self) -> Decimal:
        return hours_in(self.stages)


def panel_page(panel: Panel, shop: Shop) -> PanelPage:
    """Gather the page of a panel, in a constant number of queries. Needs job, metal and the pair's other hand."""
    stages = stage_rows([panel])[panel.pk]
    span = ranges_of([panel]).get(panel.pk) if stages else None
    return PanelPage(
        panel=panel,
        form_label=FORMS[panel.form].label if panel.form in FORMS else panel.form,
        stages=stages,
        range=span,
        strip=strip_of(stages, span, shared_scale([(stages, span)]), STRIP_PX),
        readings=tuple(panel.readings.select_related("person")),
        notes=tuple(
            StageNote.objects.filter(stage__panel=panel)
            .select_related("person", "stage__kind")
            .order_by("-at")
        ),
        photos=tuple(panel.photos.select_related("stage__kind", "taken_by")[:PHOTOS_SHOWN]),
        material=tuple(panel.material.select_related("sheet__metal", "person", "drop__metal")),
        **_worked_out(panel, shop),
    )


def _worked_out(panel: Panel, shop: Shop) -> dict[str, object]:
    """What the shape asks, drawn and in figures."""
    write = partial(format_length, units=shop.units)
    try:
        work, first_hand = plan_of(panel)
    except ImpossibleShape as impossible:
        return {"refusal": impossible.say(write)}
    ticked = {done.number: done for done in panel.passes_done.select_related("person")}
    return {
        "work": work,
        "first_hand": first_hand,
        "drawings": tuple(_drawings(room, work, panel, shop) for room in ROOMS),
        "figures": figures_of(work, shop),
        "warnings": tuple(warning.say(write) for warning in work.warnings),
        "passes": tuple(PassRow(one, ticked.get(one.number)) for one in work.passes),
    }


def _drawings(room: str, work: Work, panel: Panel, shop: Shop) -> Drawings:
    look = {"write_length": partial(format_length, units=shop.units), "mirrored": panel.is_mirrored}
    pattern = flat_pattern(work, width=ROOMS[room], hand=panel.hand_word, **look)
    cut = section(work, width=ROOMS[room], **look)
    return Drawings(room, rule_over(pattern, work, shop.units), pattern, cut)


def rule_over(pattern: Scene, work: Work, units: str) -> Scene:
    """A rule at the pattern's own scale, its zero over the blank's left end."""
    blank_px = bounds(next(leaf.runs for leaf in leaves(pattern.items) if _is_trim(leaf)))
    blank_mm = bounds(work.trimmed.runs)
    length_mm = blank_mm.right - blank_mm.left
    scale = (blank_px.right - blank_px.left) / length_mm
    return millimetre_rule(length_mm, scale, zero_px=blank_px.left, units=units, width=RULE_PX)


def _is_trim(leaf) -> bool:
    return isinstance(leaf, Path) and leaf.role == "trim"
