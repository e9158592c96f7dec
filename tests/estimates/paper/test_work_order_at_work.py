"""A work order printed while the panel is in work: one plan, and what the book holds already."""

import io
import math
import re
from collections import Counter

import pdfplumber
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from estimates.paper.facts.job_set import job_set
from estimates.paper.facts.work_order import with_all, work_orders
from jobs.drawings.scene import Text
from jobs.forming import FORMS
from jobs.models import Panel, Stage
from jobs.panels import add_mirrored_hand, save_panel
from jobs.passes import tick_pass, untick_pass
from jobs.reading_log import log_reading, take_back_reading
from shop.models import StageKind


@pytest.fixture
def staged(panel):
    for kind in StageKind.objects.all():
        Stage.objects.create(panel=panel, kind=kind)
    return panel


def order_of(panel, shop):
    (order,) = work_orders(list(with_all(Panel.objects.filter(pk=panel.pk))), shop, str)
    return order


def gathering(order):
    return next(stage for stage in order.stages if stage.slug == "gathering").rows


def page_of(client, panel):
    """The page with the table."""
    response = client.get(f"/jobs/{panel.job.number}/panels/{panel.position}/work-order.pdf")
    pages = pdfplumber.open(io.BytesIO(b"".join(response.streaming_content))).pages
    return next(page for page in pages if "meas." in page.extract_text())


def counts_of(rows) -> list[int]:
    return [int(re.search(r"(\d+) gather", row.words)[1]) for row in rows]


def test_drawing_words_and_table_show_the_corrected_plan(staged, owner, shop):
    before = counts_of(gathering(order_of(staged, shop)))
    log_reading(staged, owner, 1, "edge-length", 575.0)
    order = order_of(staged, shop)
    now = counts_of(gathering(order))
    assert now != before
    assert sum(now[1:]) > sum(before[1:])
    notes = [leaf.text for leaf in order.pattern.leaves() if isinstance(leaf, Text) and leaf.role == "note"]
    assert f"Gathers in passes 1 to 3: {', '.join(map(str, now))}." in " ".join(notes)
    assert f"{sum(now[1:])} gathers, the next {now[1]}" in order.corrected[1]
    numbers = [
        leaf.text for leaf in order.pattern.leaves() if isinstance(leaf, Text) and leaf.role == "number"
    ]
    assert {one for number in numbers for one in number.split(", ")} <= {"1", "2", "3", "1–3"}
    (fill,) = [leaf for leaf in order.pattern.leaves() if getattr(leaf, "role", "") == "gather-fill"]
    drawn = re.search(rf"(\d+) of {sum(now)} gathers are drawn", " ".join(notes))
    assert len(fill.runs) == 3 * (int(drawn[1]) if drawn else sum(now))


def test_what_is_left_after_the_last_pass_is_a_row_of_its_own(staged, owner, shop):
    for number in (1, 2, 3):
        tick_pass(staged, number, owner)
    finished = next(row.edge for row in reversed(gathering(order_of(staged, shop))))
    log_reading(staged, owner, 3, "edge-length", float(finished) + 8)
    order = order_of(staged, shop)
    *passes, again = gathering(order)
    assert [row.is_done for row in passes] == [True] * 3
    assert (again.number, again.words, again.edge, again.is_done) == (
        "3",
        "again: stop line, 2 gathers",
        finished,
        False,
    )
    assert "2 gathers, on the stop line" in order.corrected[1]


def test_a_pass_done_stands_as_it_was_planned_when_it_was_done(staged, owner, shop):
    """The second pass was planned anew after the first was read; a reading of the second does not change that."""
    first = float(gathering(order_of(staged, shop))[0].edge)
    log_reading(staged, owner, 1, "edge-length", first + 10)
    planned = gathering(order_of(staged, shop))[1].edge
    log_reading(staged, owner, 2, "edge-length", float(planned) + 3)
    assert gathering(order_of(staged, shop))[1].edge == planned


@pytest.mark.parametrize(("form", "head"), [("tray", "gathers at each corner"), ("arch", "gathers")])
def test_the_tables_head_says_where_gathers_are_counted(staged, owner, shop, form, head):
    staged.form, staged.dimensions = form, {each.name: each.example for each in FORMS[form].dimensions}
    save_panel(staged, owner)
    assert order_of(staged, shop).noun == head


def test_cells_hold_what_is_in_the_book(staged, owner, shop):
    log_reading(staged, owner, 0, "edge-length", 577.5)
    log_reading(staged, owner, 1, "edge-length", 557.0)
    log_reading(staged, owner, 1, "edge-length", 558.5)  # measured once more: the later one counts
    log_reading(staged, owner, 1, "angle", math.radians(23))
    log_reading(staged, owner, 1, "thickness", 1.7)
    tick_pass(staged, 1, owner, 5)
    order = order_of(staged, shop)
    first, second, _ = gathering(order)
    assert (first.gauge_read, first.edge_read, first.by, first.is_done) == ("23°", "558.5", "Osk", True)
    assert first.words.endswith("5 made")
    assert (second.gauge_read, second.edge_read, second.by, second.is_done) == ("", "", "", False)
    layout = order.stages[0].rows[0]
    assert layout.edge_read == "577.5"
    assert order.also_read == ("Thickness 1.7 mm, after pass 1.",)


def test_cells_are_printed_in_their_columns(shaper_client, staged, owner):
    log_reading(staged, owner, 1, "edge-length", 558.5)
    log_reading(staged, owner, 1, "angle", math.radians(23))
    tick_pass(staged, 1, owner)
    page = page_of(shaper_client, staged)
    words = page.extract_words()
    heads = sorted((word for word in words if word["text"] == "meas."), key=lambda word: word["x0"])
    for head, said in zip(heads, ("23°", "558.5"), strict=True):
        (cell,) = [
            word for word in words
            if word["text"] == said and word["top"] > head["bottom"]
        ]  # fmt: skip
        assert abs((cell["x0"] + cell["x1"]) / 2 - (head["x0"] + head["x1"]) / 2) < 3
    assert "558.5" in page.extract_text()


def test_stages_done_are_ticked(staged, owner, shop):
    staged.stages.filter(kind__slug="layout").update(progress=1, done_at=staged.created_at)
    layout, *others = order_of(staged, shop).stages
    assert [row.is_done for row in layout.rows] == [True]
    assert not any(row.is_done for stage in others for row in stage.rows)


def test_other_hand_starts_from_what_the_first_took(staged, owner, shop):
    tick_pass(staged, 1, owner, 9, sure=True)
    other = add_mirrored_hand(staged, owner)
    order = order_of(other, shop)
    assert counts_of(gathering(order))[0] == 9
    assert order.corrected == (
        "Pass 1: the first hand took 9 where the plan said 2.",
        "This plan starts from what the first hand took.",
    )


def test_version_changes_with_readings_ticks_and_notes_and_with_nothing_else(staged, owner, shop):
    seen = Counter({order_of(staged, shop).version: 1})
    assert seen[order_of(staged, shop).version] == 1

    def new() -> bool:
        version = order_of(staged, shop).version
        seen[version.split(" of ")[0]] += 1
        return seen[version.split(" of ")[0]] == 1

    tick_pass(staged, 1, owner)
    assert new()
    tick_pass(staged, 1, owner, 7)
    assert new()
    reading = log_reading(staged, owner, 1, "edge-length", 559.0)
    assert new()
    assert not new()
    take_back_reading(reading, owner)
    assert not new()  # as it was before the reading
    untick_pass(staged, 1, owner)
    staged.refresh_from_db()
    staged.note = "Mind the old rivets."
    staged.save()
    assert new()


def test_version_is_printed_at_the_foot(shaper_client, staged, owner, shop):
    tick_pass(staged, 1, owner)
    version = order_of(staged, shop).version
    assert re.fullmatch(r"version [2-9B-Z]{4} of \w{3} \d+ \w+ \d\d:\d\d", version)
    assert version in page_of(shaper_client, staged).extract_text()


def pair_at_work(panel, owner) -> None:
    """A pair whose first hand was counted, and both hands read."""
    other = add_mirrored_hand(panel, owner)
    tick_pass(panel, 1, owner, 3)
    for each in (panel, other):
        log_reading(each, owner, 1, "edge-length", 559.0)


def queries_of_set(job, shop) -> int:
    with CaptureQueriesContext(connection) as caught:
        count, papers = job_set(job, shop, str)
        assert len(list(papers)) == count
    return len(caught)


def test_a_set_of_pairs_at_work_asks_no_more_for_more_of_them(staged, owner, shop):
    pair_at_work(staged, owner)
    one = queries_of_set(staged.job, shop)
    for index in range(4):
        more = Panel.objects.get(pk=staged.pk)
        more.pk, more.code, more.hand, more._state.adding = None, f"CPY{index}BBBB", "neither", True
        pair_at_work(save_panel(more, owner), owner)
    assert queries_of_set(staged.job, shop) == one
