"""Past panels: bringing in the old notebook, leaving one out with a reason, taking it back, giving them away as CSV."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from django.db import transaction
from django.utils import timezone

from estimates import hours
from estimates.learning import as_past_panel, first_rates, past_panels, stage_kinds
from estimates.models import PastPanel
from shop.audit import record
from shop.figures import counted
from shop.models import Metal, Person, Shop

MOST_ROWS = 5000
MOST_BYTES = 2 * 1024 * 1024
MOST_NAME, MOST_METAL, MOST_REASON = 120, 60, 200
LEAST_REASON = 3
KNOWN_METALS = tuple(Metal.Family.values)


class HistoryRefused(Exception):
    """The past panels cannot be brought in or changed so; the text says why and what fits."""


@dataclass(frozen=True, slots=True)
class ImportPlan:
    """What an import would do: rows to add, rows that are in the book already, rows that cannot be used.

    ``differing`` names rows of the book that the file says otherwise of: the book's own stay as they are.
    ``strange_metals`` are metals of new rows that no panel is made of, each with its number of rows: a slip, or a
    metal that nothing will be estimated by. ``unlike`` are stages of new rows that took hours nobody would expect
    from the book and the rest of the file.
    """

    new: tuple[hours.PastPanel, ...]
    known: int
    differing: tuple[str, ...]
    bad: tuple[hours.BadRow, ...]
    ignored_columns: tuple[str, ...]
    strange_metals: tuple[tuple[str, int], ...] = ()
    unlike: tuple[hours.Unlike, ...] = ()

    @property
    def strange_words(self) -> str:
        """The strange metals in a sentence, with what is known; empty where there are none."""
        if not self.strange_metals:
            return ""
        named = ", ".join(f"{name} ({counted(count, 'panel')})" for name, count in self.strange_metals)
        return f"No panel is made of {named}. Known metals: {', '.join(KNOWN_METALS)}."


def plan_import(source: bytes | str) -> ImportPlan:
    """Read a notebook and say what bringing it in would do. Nothing is written.

    Raises :class:`HistoryRefused` where the file as a whole cannot be read.
    """
    if len(source) > MOST_BYTES:
        raise HistoryRefused(f"The file is over {MOST_BYTES // 2**20} MB. Bring it in in parts.")
    try:
        notebook = hours.read_history(source, today=timezone.localdate())
    except hours.UnusableHistory as error:
        raise HistoryRefused(f"Line {error.line or 1}: {error.reason}") from error
    if len(notebook.panels) + len(notebook.bad) > MOST_ROWS:
        raise HistoryRefused(f"The file has more than {MOST_ROWS} rows. Bring it in in parts.")
    fitting, bad = _fitting(notebook)
    stored = _stored(fitting)
    new = [panel for panel in fitting if panel.key not in stored]
    known = [panel for panel in fitting if panel.key in stored]
    differing = [panel.panel for panel in known if _differs(panel, stored[panel.key])]
    return ImportPlan(
        tuple(new),
        len(known),
        tuple(differing),
        bad,
        notebook.ignored_columns,
        _strange_metals(new),
        _unlike(new),
    )


@transaction.atomic
def import_panels(panels: Iterable[hours.PastPanel], person: Person | None) -> int:
    """Add past panels from a notebook, all or none, and say how many were new.

    One that is in the book under the same name, day and hand is left as it is, so that bringing a file in twice
    changes nothing; the database holds to that too.
    """
    if person is not None and not person.is_owner:
        raise HistoryRefused("Only the owner brings past panels in. Ask them.")
    Shop.objects.select_for_update().first()  # two imports of one file wait for one another
    panels = list({panel.key: panel for panel in panels}.values())
    stored = _stored(panels)
    rows = [_as_row(panel) for panel in panels if panel.key not in stored]
    PastPanel.objects.bulk_create(rows)
    if rows:
        record(person, f"brought in {counted(len(rows), 'past panel')}", Shop.standing())
    return len(rows)


@transaction.atomic
def leave_out(past: PastPanel, person: Person, reason: str) -> PastPanel:
    """Leave a past panel out of learning, with a reason. The same reason twice writes it once."""
    _refuse_unless_owner(person)
    return _write_reason(past, person, said_reason(reason), "left out")


@transaction.atomic
def take_back(past: PastPanel, person: Person) -> PastPanel:
    """Let a past panel that was left out teach again."""
    _refuse_unless_owner(person)
    return _write_reason(past, person, "", "took back")


def said_reason(reason: str) -> str:
    """A reason to leave a panel out, as it is kept. Raises :class:`HistoryRefused` where it is too short or too long."""
    reason = " ".join(reason.split())
    if len(reason) < LEAST_REASON:
        raise HistoryRefused("Say in a few words why it is left out, such as “apprentice’s first”.")
    if len(reason) > MOST_REASON:
        raise HistoryRefused(f"The reason is longer than {MOST_REASON} characters. Say it shorter.")
    return reason


def written_history() -> str:
    """All past panels as CSV that the import reads back."""
    rows = PastPanel.objects.order_by("finished_on", "pk")
    return hours.write_history(_named(row) for row in rows)


def _write_reason(past: PastPanel, person: Person, reason: str, what: str) -> PastPanel:
    held = PastPanel.objects.select_for_update().get(pk=past.pk)
    old = held.left_out_reason
    if old == reason:
        return held
    held.left_out_reason, held.left_out_by = reason, person if reason else None
    held.save(update_fields=["left_out_reason", "left_out_by", "changed_at"])
    changes = {"left_out_reason": [old or None, reason or None]}
    number = held.panel.job.number if held.panel_id else ""
    record(person, f"{what} past panel", held, changes=changes, job_number=number)
    return held


def _refuse_unless_owner(person: Person) -> None:
    if not person.is_owner:
        raise HistoryRefused("Only the owner decides which panels teach. Ask them.")


def _fitting(notebook: hours.Notebook) -> tuple[list[hours.PastPanel], tuple[hours.BadRow, ...]]:
    """The panels that fit the book, each once, and all that is wrong with the file, line by line."""
    wrong = {row.line: row for row in (*notebook.bad, *notebook.doubles())}
    fitting = []
    for panel, line in zip(notebook.panels, notebook.lines, strict=True):
        if line in wrong:
            continue
        if reason := _why_it_does_not_fit(panel):
            wrong[line] = hours.BadRow(line, reason)
        else:
            fitting.append(panel)
    return fitting, tuple(sorted(wrong.values(), key=lambda row: row.line))


def _why_it_does_not_fit(panel: hours.PastPanel) -> str:
    if len(panel.panel) > MOST_NAME or len(panel.drivers.metal) > MOST_METAL:
        return f"{panel.panel[:40]}…: a name holds {MOST_NAME} characters and a metal {MOST_METAL}."
    if len(panel.left_out_reason) > MOST_REASON:
        return f"{panel.panel}: a reason holds {MOST_REASON} characters."
    return ""


def _strange_metals(panels: Iterable[hours.PastPanel]) -> tuple[tuple[str, int], ...]:
    names = Counter(panel.drivers.metal.strip().casefold() for panel in panels)
    return tuple((name, count) for name, count in names.items() if name not in KNOWN_METALS)


def _unlike(new: Iterable[hours.PastPanel]) -> tuple[hours.Unlike, ...]:
    """What the book would find odd about these panels if it had learned from them."""
    named = {f"new {number}": panel for number, panel in enumerate(new)}
    if not named:
        return ()
    joined = [replace(panel, panel=key) for key, panel in named.items()]
    shop = Shop.standing()
    model = hours.learn(
        [*past_panels(), *joined], first_rates(shop, stage_kinds()), on=timezone.localdate(),
        half_life_days=shop.history_half_life_days,
    )  # fmt: skip
    return tuple(replace(odd, panel=named[odd.panel].panel) for odd in model.unlike if odd.panel in named)


def _stored(panels: Iterable[hours.PastPanel]) -> dict[tuple[str, date, int], hours.PastPanel]:
    """Imported panels of the book on the days of these, by name, day and hand; one query."""
    days = {panel.finished_on for panel in panels}
    if not days:
        return {}
    rows = PastPanel.objects.filter(
        origin=PastPanel.Origin.IMPORTED, finished_on__gte=min(days), finished_on__lte=max(days)
    )
    return {panel.key: panel for panel in map(_named, rows)}


def _named(row: PastPanel) -> hours.PastPanel:
    """A stored panel under its own name; the model knows it by its key."""
    return replace(as_past_panel(row), panel=row.name)


def _differs(panel: hours.PastPanel, stored: hours.PastPanel) -> bool:
    """Whether the file and the book say different things; a reason to leave one out is the book's own."""
    metal = panel.drivers.metal.strip().casefold()
    said = replace(panel, left_out_reason="", drivers=replace(panel.drivers, metal=metal))
    return said != replace(stored, left_out_reason="")


def _as_row(panel: hours.PastPanel) -> PastPanel:
    drivers = panel.drivers
    return PastPanel(
        origin=PastPanel.Origin.IMPORTED, name=panel.panel, finished_on=panel.finished_on,
        metal=drivers.metal.strip().casefold(), method=drivers.method, finish=drivers.finish,
        hand_order=drivers.hand_order, layout_m=drivers.layout_m, moved_dm2=drivers.moved_dm2,
        worked_dm2=drivers.worked_dm2, finished_dm2=drivers.finished_dm2, left_out_reason=panel.left_out_reason,
        **{f"{stage}_hours": panel.hours(stage) for stage in hours.STAGES},
    )  # fmt: skip
