"""Panels and what their shape asks of the metal: the bridge between the stored panel and forming."""

from django.db import transaction
from django.db.models import Max

from jobs.forming import Marking, Sheet, Work, build, work_out
from jobs.models import Job, Panel
from shop.audit import changed, record, snapshot
from shop.models import Metal, Person

MM2_PER_DM2 = 1e4
AUDITED = [
    "name", "metal", "thickness_mm", "form", "dimensions", "hand", "finish", "method", "grain",
    "trim_mm", "line_count", "gather_mm", "die_width_mm", "own_stages", "note",
]  # fmt: skip
# What a mirrored hand takes over from the hand it mirrors.
SHARED_BY_A_PAIR = [
    "metal", "thickness_mm", "form", "dimensions", "finish", "method", "grain",
    "trim_mm", "line_count", "gather_mm", "die_width_mm", "own_stages",
]  # fmt: skip


def sheet_of(metal: Metal, thickness_mm: float) -> Sheet:
    """The sheet as forming needs to know it."""
    return Sheet(
        thickness_mm=thickness_mm,
        density_kg_m3=metal.density_kg_m3,
        elongation=metal.elongation,
        min_bend_radius_t=metal.min_bend_radius_t(thickness_mm),
    )


def marking_of(panel: Panel) -> Marking:
    return Marking(
        trim_mm=panel.trim_mm,
        gather_mm=panel.gather_mm,
        die_width_mm=panel.die_width_mm,
        line_count=panel.line_count,
    )


def work_of(panel: Panel) -> Work:
    """What the panel's shape asks of its metal; raises ``ImpossibleShape`` where it cannot be made.

    Shapes are worked out as the first hand; ``panel.is_mirrored`` tells the drawings to reflect them.
    """
    form = build(panel.form, panel.dimensions)
    return work_out(form, sheet_of(panel.metal, panel.thickness_mm), marking_of(panel))


def figure(panel: Panel) -> Work:
    """Work the shape out and copy its figures onto the panel, unsaved."""
    work = work_of(panel)
    panel.finished_area_mm2 = work.finished_area_mm2
    panel.mass_kg = work.mass_kg
    panel.blank_length_mm = work.blank_length_mm
    panel.blank_width_mm = work.blank_width_mm
    panel.layout_m = work.layout_length_mm / 1000
    panel.moved_dm2 = work.moved_area_mm2 / MM2_PER_DM2
    panel.worked_dm2 = work.worked_area_mm2 / MM2_PER_DM2
    panel.finished_dm2 = work.finished_area_mm2 / MM2_PER_DM2
    panel.pass_count = len(work.passes)
    return work


@transaction.atomic
def save_panel(panel: Panel, person: Person) -> Panel:
    """Save a panel with its figures, and its mirrored hand with it; the trail keeps what changed.

    Raises ``ImpossibleShape`` before anything is written.
    """
    figure(panel)
    before = {}
    if panel.pk:
        before = snapshot(Panel.objects.select_related("metal").get(pk=panel.pk), AUDITED)
    else:
        panel.position = next_position(panel.job)
    panel.save()
    record(
        person,
        "changed panel" if before else "added panel",
        panel,
        changes=changed(before, snapshot(panel, AUDITED)) if before else {},
        job_number=panel.job.number,
    )
    _bring_the_mirrored_hand_along(panel)
    return panel


@transaction.atomic
def add_mirrored_hand(panel: Panel, person: Person) -> Panel:
    """Add the other hand of a panel: same shape, reflected, never entered twice.

    The first hand becomes left if it had none. Raises ``ValueError`` when the pair is whole already.
    """
    if panel.mirrors_id or hasattr(panel, "mirrored_by"):
        raise ValueError("This panel has its other hand already.")
    if panel.hand == Panel.Hand.NEITHER:
        panel.hand = Panel.Hand.LEFT
        panel.save(update_fields=["hand", "changed_at"])
    other = Panel.Hand.RIGHT if panel.hand == Panel.Hand.LEFT else Panel.Hand.LEFT
    shared = {name: getattr(panel, name) for name in SHARED_BY_A_PAIR}
    return save_panel(Panel(job=panel.job, name=panel.name, hand=other, mirrors=panel, **shared), person)


def next_position(job: Job) -> int:
    return (job.panels.aggregate(last=Max("position"))["last"] or 0) + 1


def _bring_the_mirrored_hand_along(panel: Panel) -> None:
    mirrored = Panel.objects.filter(mirrors=panel).first()
    if mirrored is None:
        return
    for name in SHARED_BY_A_PAIR:
        setattr(mirrored, name, getattr(panel, name))
    figure(mirrored)
    mirrored.save()


def panel_before(job: Job) -> Panel | None:
    """The panel to start a new one like: the last of its job, else the last that anybody drew."""
    return job.panels.order_by("-position").first() or Panel.objects.order_by("-pk").first()
