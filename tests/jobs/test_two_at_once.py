"""Two phones, or two people, at the same moment: real threads on a real database file."""

import threading
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection, connections
from django.utils import timezone

from jobs.clock import clock_in, clock_out
from jobs.hours_log import HoursRefused, add_hours
from jobs.material import MaterialRefused, use_sheet
from jobs.models import MaterialUse, PassDone, TimeEntry
from jobs.passes import tick_pass
from jobs.time_entries import ClockRefused
from shop.models import SheetStock

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def at_once(tmp_path):
    """Run several things at once, each in a thread with a connection of its own, and return what came of them.

    SQLite's test database lives in memory, which threads cannot share as a server's do: they work on a copy in a
    file. Any other database is shared as it is.
    """
    place = connections.settings["default"]
    memory, copy = place["NAME"], tmp_path / "shop.sqlite3"

    def run(*things):
        if connection.vendor == "sqlite":
            with connection.cursor() as cursor:
                cursor.execute("VACUUM INTO %s", [str(copy)])
            place["NAME"] = str(copy)
        start, results = threading.Barrier(len(things)), [None] * len(things)
        threads = [
            threading.Thread(target=_one, args=(start, results, index, thing))
            for index, thing in enumerate(things)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(30)
        return results

    yield run
    place["NAME"] = memory


def _one(start, results, index, thing):
    try:
        start.wait(10)
        results[index] = thing()
    except Exception as error:
        results[index] = error
    finally:
        connections.close_all()


def _in_the_copy(look):
    """Look at the copy from a thread of its own."""
    results = [None]
    thread = threading.Thread(target=_one, args=(threading.Barrier(1), results, 0, look))
    thread.start()
    thread.join(30)
    return results[0]


def sorted_out(results, refusal):
    """How many were done and how many refused in words; anything else is a fault of ours."""
    refused = [one for one in results if isinstance(one, refusal)]
    faults = [one for one in results if isinstance(one, Exception) and one not in refused]
    assert not faults, faults
    return len(results) - len(refused), len(refused)


def test_two_phones_start_two_clocks_and_one_gets_words(stages, shaper, at_once):
    results = at_once(*(lambda stage=stage: clock_in(stage, shaper) for stage in stages.values()))
    assert sorted_out(results, ClockRefused) == (1, 3)
    assert _in_the_copy(lambda: TimeEntry.objects.filter(ended_at=None).count()) == 1


def test_two_phones_stop_one_clock_once(gathering, shaper, at_once):
    clock_in(gathering, shaper, timezone.now() - timedelta(hours=1))
    results = at_once(lambda: clock_out(shaper), lambda: clock_out(shaper))
    assert sorted_out(results, ClockRefused) == (1, 1)


def test_two_people_cut_one_sheet_and_one_wins(panel, sheet, shaper, owner, at_once):
    results = at_once(
        lambda: use_sheet(panel, sheet, 700, 400, 1800, 1250, person=shaper),
        lambda: use_sheet(panel, sheet, 600, 400, 1900, 1250, person=owner),
    )
    assert sorted_out(results, MaterialRefused) == (1, 1)
    uses, drops, cost = _in_the_copy(
        lambda: (
            MaterialUse.objects.count(),
            SheetStock.objects.filter(kind="drop").count(),
            MaterialUse.objects.get().cost + MaterialUse.objects.get().drop.cost,
        )
    )
    assert (uses, drops, cost) == (1, 1, Decimal("92"))


def test_a_day_stays_within_its_hours_from_two_phones(gathering, shaper, at_once):
    today = timezone.localdate()
    results = at_once(*(lambda: add_hours(gathering, shaper, today, Decimal(15)) for _ in range(2)))
    assert sorted_out(results, HoursRefused) == (1, 1)


def test_a_pass_ticked_by_two_is_ticked_once(gathering, shaper, owner, at_once):
    results = at_once(*(lambda who=who: tick_pass(gathering.panel, 1, who) for who in (shaper, owner)))
    assert sorted_out(results, ()) == (2, 0)
    assert _in_the_copy(PassDone.objects.count) == 1
