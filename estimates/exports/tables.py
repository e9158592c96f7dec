"""The book as files that other programs read: CSV by subject (everything in one is :mod:`estimates.exports.archive`).

CSV is UTF-8 with a byte order mark, so that spreadsheets read its letters as they are; lines end in CRLF and fields
are quoted where they must be (RFC 4180). Names of columns carry their unit. Amounts and hours are plain decimals,
dates ISO 8601. A text that a spreadsheet would run as a formula gets an apostrophe in front.
"""

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import timezone

from estimates.models import PastPanel, Payment, Quote
from jobs.models import Customer, Job, MaterialUse, Panel, Photo, Reading, TimeEntry
from shop.models import SheetStock

BYTE_ORDER_MARK = "\ufeff"
FORMULA = re.compile(r"[=+\-@\t\r\n]")
ROWS_AT_ONCE = 500
A_MINUTE = timedelta(minutes=1)

Row = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Export:
    """One subject: its file's name, what it holds in words, its columns, and what reads its rows."""

    key: str
    words: str
    columns: tuple[str, ...]
    rows: Callable[[], Iterable[Row]]


def cell(value: object) -> object:
    """A value as a spreadsheet should read it: text stays text, even where it begins like a formula.

    >>> cell("=1+1"), cell("Fairing"), cell(-2.5), cell(None)
    ("'=1+1", 'Fairing', '-2.5', '')
    """
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case datetime():
            return timezone.localtime(value).isoformat(timespec="seconds")
        case date():
            return value.isoformat()
        case float():
            return f"{value:.3f}".rstrip("0").rstrip(".")
        case str() if FORMULA.match(value.lstrip(" ")):
            return f"'{value}"
        case _:
            return value


def csv_lines(export: Export) -> Iterator[str]:
    """Give the file line by line, with its mark and head first."""
    line = io.StringIO()
    writer = csv.writer(line)

    def written(row: Iterable[object]) -> str:
        writer.writerow([cell(value) for value in row])
        text = line.getvalue()
        line.seek(0)
        line.truncate()
        return text

    yield BYTE_ORDER_MARK + written(export.columns)
    for row in export.rows():
        yield written(row)


def _hours() -> Iterable[Row]:
    entries = TimeEntry.objects.exclude(hours=None).select_related(
        "person", "stage__kind", "stage__panel__job__customer"
    )
    corrected = entries.prefetch_related("corrections__person")
    for one in corrected.order_by("started_at", "pk").iterator(ROWS_AT_ONCE):
        panel, last = one.stage.panel, next(iter(one.corrections.all()), None)
        yield (
            panel.job.number, panel.mark, panel.name, panel.job.customer.name, one.stage.kind.name, str(one.person),
            timezone.localtime(one.started_at).date(), one.started_at, _ended_at(one), one.hours,
            one.get_source_display(), one.note,
            last.at if last else None, str(last.person or "") if last else "", last.reason if last else "",
        )  # fmt: skip


def _ended_at(entry: TimeEntry) -> datetime | None:
    """When an entry ended; nothing where a correction says other hours than the clock, so that no row says both."""
    elapsed = entry.ended_at - entry.started_at
    as_clocked = abs(elapsed - timedelta(hours=float(entry.hours))) < A_MINUTE
    return entry.ended_at if as_clocked else None


def _metal() -> Iterable[Row]:
    uses = MaterialUse.objects.select_related("sheet__metal", "panel__job", "drop", "person").order_by(
        "at", "pk"
    )
    for one in uses.iterator(ROWS_AT_ONCE):
        drop = one.drop
        yield (
            one.panel.job.number, one.panel.mark, one.panel.name, one.at, one.sheet.metal.name, one.sheet.thickness_mm,
            one.length_mm, one.width_mm, one.mass_kg, one.cost, one.sheet.code, one.sheet.heat_number,
            drop.code if drop else "", drop.length_mm if drop else None, drop.width_mm if drop else None,
            str(one.person or ""), one.note,
        )  # fmt: skip


def _quotes() -> Iterable[Row]:
    quotes = Quote.objects.exclude(state=Quote.State.DRAFT).select_related("job__customer", "answer")
    for one in quotes.order_by("sent_at", "pk").iterator(ROWS_AT_ONCE):
        answer = getattr(one, "answer", None)
        yield (
            one.job.number, one.number, one.is_further, one.job.customer.name, one.job.title, one.get_state_display(),
            one.sent_at, one.valid_until, one.total, one.frozen["shop"]["currency"], one.deposit_percent,
            answer.at if answer else None, answer.name if answer else "", answer.total if answer else None,
        )  # fmt: skip


def _past_panels() -> Iterable[Row]:
    for one in PastPanel.objects.order_by("finished_on", "pk").iterator(ROWS_AT_ONCE):
        yield (
            one.name, one.finished_on, one.metal, one.method, one.finish, one.hand_order, one.layout_m, one.moved_dm2,
            one.worked_dm2, one.finished_dm2, one.layout_hours, one.gathering_hours, one.blending_hours,
            one.smoothing_hours, one.get_origin_display(), one.left_out_reason,
            "; ".join(f"{slug} {spent:g}" for slug, spent in sorted(one.own_hours.items())),
        )  # fmt: skip


def _customers() -> Iterable[Row]:
    for one in Customer.objects.order_by("pk").iterator(ROWS_AT_ONCE):
        yield one.pk, one.name, one.email, one.phone, one.address, one.note, one.created_at


def _jobs() -> Iterable[Row]:
    jobs = Job.objects.select_related("customer").order_by("year", "count")
    for one in jobs.iterator(ROWS_AT_ONCE):
        yield (
            one.number, one.title, one.customer.name, one.get_state_display(), one.due_on, one.promised_on,
            one.time_and_material, one.created_at, one.accepted_at, one.closed_at, one.description,
        )  # fmt: skip


def _panels() -> Iterable[Row]:
    panels = Panel.objects.select_related("job", "metal", "mirrors__job").order_by(
        "job__year", "job__count", "position"
    )
    for one in panels.iterator(ROWS_AT_ONCE):
        yield (
            one.job.number, one.mark, one.name, one.code, one.metal.name, one.thickness_mm, one.form,
            one.get_hand_display(), one.mirrors.mark if one.mirrors else "", one.get_finish_display(),
            one.get_method_display(), one.get_grain_display(), one.trim_mm, one.blank_length_mm, one.blank_width_mm,
            one.mass_kg, one.layout_m, one.moved_dm2, one.worked_dm2, one.finished_dm2, one.pass_count, one.note,
        )  # fmt: skip


def _readings() -> Iterable[Row]:
    readings = Reading.objects.select_related("panel__job", "person").order_by("at", "pk")
    for one in readings.iterator(ROWS_AT_ONCE):
        unit = "rad" if one.kind == Reading.Kind.SECTION_ANGLE else "mm"
        yield (
            one.panel.job.number, one.panel.mark, one.pass_number, one.get_kind_display(), one.value, one.target, unit,
            one.at, str(one.person or ""), one.note,
        )  # fmt: skip


def _payments() -> Iterable[Row]:
    for one in Payment.objects.select_related("job").order_by("received_on", "pk").iterator(ROWS_AT_ONCE):
        amount = -one.amount if one.kind == Payment.Kind.REFUND else one.amount
        yield one.job.number, one.get_kind_display(), one.received_on, amount, one.note


def _sheets() -> Iterable[Row]:
    for one in SheetStock.objects.select_related("metal").order_by("pk").iterator(ROWS_AT_ONCE):
        yield (
            one.code, one.metal.name, one.thickness_mm, one.length_mm, one.width_mm, one.cost, one.get_kind_display(),
            one.get_state_display(), one.place, one.heat_number, one.added_on, one.expected_on,
        )  # fmt: skip


def photo_name(photo: Photo) -> str:
    """What a photo's file is called in the archive: by its job and its own number."""
    return f"photos/{photo.job.number}/{photo.pk}.jpg"


def _photos() -> Iterable[Row]:
    photos = Photo.objects.select_related("job", "panel__job", "stage__kind", "taken_by").order_by("pk")
    for one in photos.iterator(ROWS_AT_ONCE):
        yield (
            photo_name(one), one.job.number, one.panel.mark if one.panel else "",
            one.stage.kind.name if one.stage else "",
            one.get_subject_display(), one.caption, one.for_customer, one.taken_at, str(one.taken_by or ""),
        )  # fmt: skip


EXPORTS = {
    export.key: export
    for export in (
        Export("hours", "Hours, entry by entry", (
            "job", "mark", "panel", "customer", "stage", "person", "day", "started_at", "ended_at", "hours", "source",
            "note", "corrected_at", "corrected_by", "why_corrected"), _hours),
        Export("metal", "Metal cut, and the drops that came back", (
            "job", "mark", "panel", "cut_at", "metal", "thickness_mm", "length_mm", "width_mm", "mass_kg", "cost",
            "sheet_code", "heat_number", "drop_code", "drop_length_mm", "drop_width_mm", "person", "note"), _metal),
        Export("quotes", "Quotes that were sent, and their answers", (
            "job", "quote", "further", "customer", "title", "state", "sent_at", "valid_until", "total", "currency",
            "deposit_percent", "answered_at", "answered_by", "accepted_total"), _quotes),
        Export("past-panels", "Past panels, what estimates learn from", (
            "name", "finished_on", "metal", "method", "finish", "hand_order", "layout_m", "moved_dm2", "worked_dm2",
            "finished_dm2", "layout_hours", "gathering_hours", "blending_hours", "smoothing_hours", "origin",
            "left_out_reason", "own_stage_hours"), _past_panels),
        Export("customers", "Customers", (
            "customer", "name", "email", "phone", "address", "note", "since"), _customers),
        Export("jobs", "Jobs", (
            "job", "title", "customer", "state", "wanted_by", "promised_for", "time_and_material", "created_at",
            "accepted_at", "closed_at", "description"), _jobs),
        Export("panels", "Panels with their figures", (
            "job", "mark", "panel", "code", "metal", "thickness_mm", "form", "hand", "mirror_of", "finish", "method",
            "rolling_direction", "trim_mm", "blank_length_mm", "blank_width_mm", "mass_kg", "layout_m", "moved_dm2",
            "worked_dm2", "finished_dm2", "passes", "note"), _panels),
        Export("readings", "Readings at the bench", (
            "job", "mark", "after_pass", "what", "read", "planned", "unit", "at", "person", "note"), _readings),
        Export("payments", "Payments", ("job", "kind", "received_on", "amount", "note"), _payments),
        Export("sheets", "Sheets and drops", (
            "code", "metal", "thickness_mm", "length_mm", "width_mm", "cost", "kind", "state", "place", "heat_number",
            "added_on", "expected_on"), _sheets),
        Export("photos", "Photos: which file shows what", (
            "file", "job", "mark", "stage", "shows", "caption", "for_customer", "taken_at", "taken_by"), _photos),
    )
}  # fmt: skip
