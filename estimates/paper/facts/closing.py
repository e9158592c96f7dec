"""What a closing sheet says: everything for the shop, and for the customer what was made and measured."""

from collections.abc import Sequence
from decimal import Decimal
from functools import partial

from django.utils import timezone

from estimates.closing import Closing, closing_of
from estimates.paper.closing import ClosedPanel, ClosingSheet, Table
from estimates.paper.values import Picture
from estimates.pricing.money import format_money
from estimates.quoting.figures import currency_of
from estimates.work.standing import PanelStanding, StageStanding
from jobs.drawings.piece import small_piece
from jobs.drawings.scene import Scene, bounds
from jobs.forming import FORMS, ImpossibleShape
from jobs.models import Job, Panel, Photo, Reading
from jobs.panels import work_of
from jobs.photos import open_photo
from jobs.reading_words import difference, written
from shop.figures import day, figure, hours, hours_between, mass
from shop.gauges import format_thickness
from shop.lengths import MINUS
from shop.models import Shop

HOURS_HEAD = ("stage", "estimated", "took", "how it came out")
READINGS_HEAD = ("what, after which pass", "read", "planned", "so", "by", "on")
RANGE_WORDS = (
    "An estimate is a range: half of panels are done by its first figure, most of them by its second."
)
PIECE_WIDE, PIECE_HIGH, PIECE_ROOM = 150.0, 84.0, 6.0  # pixels
HOURS_WIDE = (1.6, 1.1, 0.8, 2.0)


def closing_sheet(job: Job, shop: Shop, *, for_customer: bool) -> ClosingSheet:
    """The closing sheet of a job; the customer's copy shows no hours, no money, and only photos meant for them."""
    closing = None if for_customer else closing_of(job, shop)
    standings = {each.panel.pk: each for each in closing.standing.panels} if closing else {}
    panels = job.panels.select_related("metal", "job").prefetch_related(
        "readings__person", "stages__notes__person"
    )
    return ClosingSheet(
        number=job.number, title=job.title, customer=f"For {job.customer.name}", dates=_dates(job),
        copy="customer’s copy" if for_customer else "shop’s copy",
        panels=tuple(_panel(panel, standings.get(panel.pk), shop, for_customer) for panel in panels.order_by("position")),
        money=_money(closing, shop) if closing else None,
        pictures=_pictures(job, for_customer),
        remark="" if for_customer else RANGE_WORDS,
    )  # fmt: skip


def _dates(job: Job) -> str:
    today = timezone.localdate()
    said = []
    if job.accepted_at:
        said.append(f"accepted {day(timezone.localdate(job.accepted_at), today)}")
    if job.deadline:
        said.append(f"{'promised' if job.promised_on else 'wanted'} {day(job.deadline, today)}")
    said.append(
        f"closed {day(timezone.localdate(job.closed_at), today)}" if job.closed_at else "not closed yet"
    )
    first, *rest = said
    return ", ".join([f"{first[0].upper()}{first[1:]}", *rest])


def _panel(panel: Panel, standing: PanelStanding | None, shop: Shop, for_customer: bool) -> ClosedPanel:
    form = FORMS[panel.form].label.lower() if panel.form in FORMS else panel.form
    hand = f", {panel.get_hand_display().lower()} hand" if panel.hand_letter else ""
    thickness, finish = format_thickness(panel.thickness_mm, shop.units), panel.get_finish_display().lower()
    return ClosedPanel(
        mark=panel.mark, name=panel.name,
        words=f"{panel.metal} {thickness}, {form}{hand}, {finish}, {mass(panel.mass_kg, shop.units)}",
        drawing=_piece(panel), hours=_hours(standing) if standing else None,
        readings=_readings(list(panel.readings.all()), shop),
        notes=() if for_customer else tuple(_notes(panel)),
    )  # fmt: skip


def _piece(panel: Panel) -> Scene | None:
    """The panel's piece, small; a long strip takes no more height than it has."""
    try:
        work = work_of(panel)
    except ImpossibleShape:
        return None
    box = bounds(work.by_length.runs)
    as_high = PIECE_WIDE * (box.bottom - box.top) / (box.right - box.left) + PIECE_ROOM
    return small_piece(work, width=PIECE_WIDE, height=min(as_high, PIECE_HIGH), mirrored=panel.is_mirrored)


def _hours(standing: PanelStanding) -> Table:
    rows = [
        (each.stage.kind.name, hours_between(each.low, each.high), f"{hours(each.used)} h", _came_out(each))
        for each in standing.stages
    ]
    whole = standing.estimated
    range_of_all = hours_between(whole.p50, whole.p80)
    rows.append(("All stages", range_of_all, f"{hours(standing.used)} h", _came_out(standing)))
    return Table(HOURS_HEAD, tuple(rows), HOURS_WIDE, last_strong=True)


def _came_out(standing: StageStanding | PanelStanding) -> str:
    """As the closing page says it; of what is still being worked on only what is over already."""
    outcome = standing.outcome
    return outcome.words if standing.is_done or outcome.is_over else "not finished"


def _readings(readings: Sequence[Reading], shop: Shop) -> Table | None:
    if not readings:
        return None
    rows = tuple(
        (
            f"{one.get_kind_display()}, {f'pass {one.pass_number}' if one.pass_number else 'before the first pass'}",
            written(one.kind, one.value, shop),
            written(one.kind, one.target, shop) if one.target is not None else "",
            difference(one.kind, one.value, one.target, shop) if one.target is not None else "",
            str(one.person or ""), day(timezone.localdate(one.at)),
        )
        for one in readings
    )  # fmt: skip
    return Table(READINGS_HEAD, rows, (2.4, 1.0, 1.0, 1.2, 0.9, 1.1))


def _notes(panel: Panel):
    for stage in panel.stages.all():
        for note in stage.notes.all():
            by = f", {note.person}" if note.person else ""
            yield f"{stage.kind.name}{by}: {note.text}"


def _money(closing: Closing, shop: Shop) -> Table:
    money = partial(format_money, currency=currency_of(shop), decimals=True)
    cost, share = closing.cost, closing.margin_share
    rows = [
        (
            f"Price {'by time and material' if closing.by_hours else 'agreed'}, without tax",
            money(closing.price),
        ),
        (f"Labour, {hours(cost.hours)} h", money(cost.labour)),
        ("Metal", money(cost.metal)),
        ("Consumables", money(cost.consumables)),
        ("Bought-in work, as quoted", money(cost.bought_in)),
        (f"Overhead, {cost.overhead_percent.normalize():f} %", money(cost.overhead)),
        (
            _left_over(share),
            f"{MINUS}{money(-closing.margin)}" if closing.margin < 0 else money(closing.margin),
        ),
    ]
    return Table(("", shop.currency), tuple(rows), (3.0, 1.0), last_strong=True)


def _left_over(share: Decimal | None) -> str:
    return "Left over" if share is None else f"Left over, {figure(share * 100, 1)} % of the price"


def _pictures(job: Job, for_customer: bool) -> tuple[Picture, ...]:
    photos = job.photos.select_related("panel__job", "stage__kind").order_by("taken_at", "pk")
    if for_customer:
        photos = photos.filter(for_customer=True)
    return tuple(Picture(partial(open_photo, photo), _caption(photo)) for photo in photos)


def _caption(photo: Photo) -> str:
    words = photo.caption or photo.get_subject_display()
    return ", ".join(part for part in (photo.panel.mark if photo.panel else "", words) if part)
