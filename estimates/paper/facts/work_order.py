"""What a work order says: of one panel, or of all panels of a job in a handful of queries."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from django.db.models import Prefetch, Q
from django.utils import timezone

from estimates.paper.cautions import cautions_for
from estimates.paper.facts import plan_rows
from estimates.paper.facts.held import Held, held_of
from estimates.paper.facts.version import version_of
from estimates.paper.values import Fact, Note, Picture, StageBlock, WorkOrder
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.scene import Scene, bounds
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.forming import ImpossibleShape, Work
from jobs.forming.replanned import replanned
from jobs.models import Panel, PassDone, Photo, StageNote
from jobs.parts import PanelRange, ranges_of
from jobs.photos import open_photo
from jobs.readings import plan_of, standing_of
from shop.figures import day, hours_between, mass
from shop.gauges import sold_as
from shop.lengths import format_blank, format_length
from shop.models import SheetStock, Shop, StageKind

PATTERN_PX = 700.0  # 185 mm on the paper
BESIDE_PX = 562.0
VIEW_PX, BESIDE_VIEW_PX = (350.0, 100.0), (280.0, 148.0)  # room for a view under the pattern, and beside it
SECTION_PX, BESIDE_SECTION_PX = (350.0, 116.0), (280.0, 112.0)
TALL = 0.42  # a blank higher than this share of its length leaves no room below it
SUBJECTS = (Photo.Subject.PATTERN, Photo.Subject.OLD_PART, Photo.Subject.BEFORE)
MOST_PHOTOS = 9
Address = Callable[[str], str]


@dataclass(slots=True)
class Around:
    """What some panels need beside themselves, read once for all of them."""

    kinds: list[StageKind]
    ranges: dict[int, PanelRange]
    photos: dict[int, list[Photo]] = field(default_factory=lambda: defaultdict(list))
    repeats: dict[int, list[StageNote]] = field(default_factory=lambda: defaultdict(list))
    counted: dict[int, dict[int, int]] = field(default_factory=lambda: defaultdict(dict))


def with_all(panels):
    """A query of panels with what their work orders need."""
    notes = StageNote.objects.select_related("person", "stage__kind")
    return panels.select_related(
        "job__customer", "metal", "mirrors__job", "mirrored_by__job"
    ).prefetch_related(
        "stages__kind",
        Prefetch("stages__notes", queryset=notes),
        "passes_done__person",
        "readings__person",
        "material__drop",
    )


def work_orders(panels: Sequence[Panel], shop: Shop, address: Address) -> Iterator[WorkOrder]:
    """The work orders of panels fetched by :func:`with_all`, each made when it is asked for."""
    around = read_around(panels)
    for panel in panels:
        yield work_order(panel, around, shop, address)


def read_around(panels: Sequence[Panel]) -> Around:
    """Read what the panels need beside themselves, in as many queries for sixty as for one."""
    around = Around(list(StageKind.objects.filter(in_use=True)), ranges_of(panels))
    shown = Photo.objects.filter(
        Q(panel__in=panels) | Q(panel=None, job__in={panel.job_id for panel in panels}), subject__in=SUBJECTS
    )
    by_job = defaultdict(list)
    for panel in panels:
        by_job[panel.job_id].append(panel.pk)
    for photo in shown:
        for pk in [photo.panel_id] if photo.panel_id else by_job[photo.job_id]:
            around.photos[pk].append(photo)
    pairs = {_other_pk(panel): panel.pk for panel in panels if _other_pk(panel)}
    notes = StageNote.objects.filter(stage__panel__in=pairs, for_other_hand=True)
    for note in notes.select_related("person", "stage__kind", "stage__panel__job"):
        around.repeats[pairs[note.stage.panel_id]].append(note)
    first_hands = {panel.mirrors_id for panel in panels if panel.mirrors_id}
    counted = PassDone.objects.filter(panel__in=first_hands, gathers_made__isnull=False)
    for pk, number, made in counted.values_list("panel", "number", "gathers_made"):
        around.counted[pk][number] = made
    return around


def _other(panel: Panel) -> Panel | None:
    return panel.mirrors if panel.mirrors_id else getattr(panel, "mirrored_by", None)


def _other_pk(panel: Panel) -> int | None:
    other = _other(panel)
    return other.pk if other else None


def work_order(panel: Panel, around: Around, shop: Shop, address: Address) -> WorkOrder:
    """What the work order of one panel says: drawing, table and words from one plan."""
    write = partial(format_length, units=shop.units)
    try:
        work, corrected = _planned(panel, around, shop)
    except ImpossibleShape as impossible:
        order = _said(panel, around, shop, address, None, refusal=impossible.say(write))
    else:
        order = _said(
            panel, around, shop, address, work, corrected=corrected,
            warnings=tuple(caution.say(write) for caution in work.warnings), **_drawings(panel, work, shop),
        )  # fmt: skip
    return replace(order, version=version_of(panel, order))


def _planned(panel: Panel, around: Around, shop: Shop) -> tuple[Work, tuple[str, ...]]:
    """The plan with what the first hand taught and what the readings changed, and both in words."""
    readings, counted = list(panel.readings.all()), around.counted[panel.mirrors_id]
    if readings and (standing := standing_of(panel, readings, shop, counted)):
        answer = standing.answer
        work = replanned(standing.work, answer, standing.passes) if answer else standing.work
        return work, (*standing.first_hand, *standing.said)
    return plan_of(panel, counted)


def _said(
    panel: Panel,
    around: Around,
    shop: Shop,
    address: Address,
    work: Work | None,
    **more,
) -> WorkOrder:
    job, other = panel.job, _other(panel)
    held = held_of(panel, list(panel.readings.all()), shop, is_crowned=plan_rows.is_crowned(work))
    return WorkOrder(
        mark=panel.mark, name=panel.name, job=f"{job.customer.name}: {job.title}", due=_due(job),
        pair=f"Pair with {other.mark}" if other else "",
        hand=panel.get_hand_display().upper() if panel.hand_letter else "",
        hand_words=_hand_words(panel), code=panel.code, address=address(panel.code),
        facts=_facts(panel, around.ranges.get(panel.pk), shop),
        stages=_stages(panel, around, work, held, shop),
        also_read=held.others(max((one.number for one in work.passes), default=0) if work else 0),
        gauge_head=plan_rows.gauge_head(work), noun=plan_rows.count_head(work),
        cautions=cautions_for(panel.metal.family, panel.method),
        note=panel.note, notes=_notes(panel, around), pictures=_pictures(around.photos[panel.pk]), **more,
    )  # fmt: skip


def _due(job) -> str:
    if job.promised_on:
        return f"Promised for {day(job.promised_on, timezone.localdate())}"
    return f"Wanted by {day(job.due_on, timezone.localdate())}" if job.due_on else ""


def _hand_words(panel: Panel) -> tuple[str, ...]:
    if panel.mirrors_id:
        return ("drawn mirrored", f"mirror of {panel.mirrors.mark}")
    other = getattr(panel, "mirrored_by", None)
    return ("outside face up", f"mirrored by {other.mark}") if other else ("outside face up",)


def _facts(panel: Panel, hours: PanelRange | None, shop: Shop) -> tuple[Fact, ...]:
    length = partial(format_length, units=shop.units)
    blank = format_blank(panel.blank_length_mm, panel.blank_width_mm, shop.units)
    found = [
        Fact("sheet", f"{panel.metal} {sold_as(panel.thickness_mm, panel.metal.family, shop.units)}"),
        Fact("blank, with trim", blank),
        Fact("blank weighs", mass(panel.blank_mass_kg, shop.units)),
        Fact("trim all round", length(panel.trim_mm)),
        Fact("panel weighs", mass(panel.mass_kg, shop.units)),
        Fact("finish", panel.get_finish_display().lower()),
    ]
    if drop := _drop(panel):
        size = f"{length(drop.length_mm, with_unit=False)} × {length(drop.width_mm)}"
        found.append(Fact("drop to the rack", size))
    if panel.grain != Panel.Grain.ANY:
        found.append(Fact("rolling direction", panel.get_grain_display().lower()))
    found.append(Fact("hours in all", hours_between(hours.low, hours.high) if hours else "not set yet"))
    return tuple(found)


def _drop(panel: Panel) -> SheetStock | None:
    """What came back to the rack when the blank was cut."""
    return next((use.drop for use in panel.material.all() if use.drop), None)


def _drawings(panel: Panel, work: Work, shop: Shop) -> dict[str, Scene | bool]:
    write, mirrored = partial(format_length, units=shop.units), panel.is_mirrored
    box = bounds(work.trimmed.runs)
    tall = box.bottom - box.top > TALL * (box.right - box.left)
    pattern = flat_pattern(
        work,
        write_length=write,
        mirrored=mirrored,
        width=BESIDE_PX if tall else PATTERN_PX,
        hand=panel.hand_word,
    )
    told = {"write_length": write, "mirrored": mirrored}
    for_view, across = (BESIDE_VIEW_PX, BESIDE_SECTION_PX) if tall else (VIEW_PX, SECTION_PX)
    return {
        "pattern": pattern, "is_tall": tall,
        "side": side_view(work, **told, width=for_view[0], height=for_view[1]),
        "section": section(work, lines=False, **told, width=across[0], height=across[1]),
    }  # fmt: skip


def _stages(
    panel: Panel, around: Around, work: Work | None, held: Held, shop: Shop
) -> tuple[StageBlock, ...]:
    """The panel's stages with their budgets; before acceptance the kinds it will go through, without."""
    own = sorted(panel.stages.all(), key=lambda stage: stage.kind.position)
    rows = partial(plan_rows.rows_for, panel=panel, work=work, held=held, shop=shop)
    if not own:
        return tuple(
            StageBlock(plan_rows.pattern_of(kind), kind.name, "", rows(kind))
            for kind in around.kinds
            if kind.driver != StageKind.Driver.FIXED or kind.slug in panel.own_stages
        )
    return tuple(
        StageBlock(
            plan_rows.pattern_of(stage.kind), stage.kind.name,
            hours_between(stage.budget_low_hours, stage.budget_high_hours),
            rows(stage.kind, is_done=stage.done_at is not None),
        )
        for stage in own
    )  # fmt: skip


def _notes(panel: Panel, around: Around) -> tuple[Note, ...]:
    """Those to be repeated from the other hand first, then the panel's own."""
    repeats = [
        Note(note.text, f"{note.stage.kind.name}, from {note.stage.panel.mark}", repeat=True)
        for note in around.repeats[panel.pk]
    ]
    own = [
        Note(note.text, _by(stage.kind, note), note.for_other_hand)
        for stage in panel.stages.all()
        for note in stage.notes.all()
    ]  # fmt: skip
    return (*repeats, *own)


def _by(kind: StageKind, note: StageNote) -> str:
    return f"{kind.name}, {day(timezone.localdate(note.at))}" + (f", {note.person}" if note.person else "")


def _pictures(photos: Sequence[Photo]) -> tuple[Picture, ...]:
    made = [Picture(partial(open_photo, photo), _caption(photo)) for photo in photos[:MOST_PHOTOS]]
    if len(photos) > MOST_PHOTOS:
        last = made.pop()
        more = len(photos) - MOST_PHOTOS
        made.append(Picture(last.open, f"{last.caption}. {more} more are in the book."))
    return tuple(made)


def _caption(photo: Photo) -> str:
    shows = photo.get_subject_display()
    return f"{shows}: {photo.caption}" if photo.caption else shows
