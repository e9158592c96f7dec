"""Drawings of control: lettering never touches, every date and panel has its place, and the words say the same."""

from datetime import date, timedelta
from types import SimpleNamespace

import pytest

from estimates.hours import HoursRange, Trial
from estimates.past.over_time import over_time_plot
from estimates.today.drawings import sheet_layout
from estimates.work.date_strips import date_strip, dates_axis, days_shown
from jobs.cutting import Blank, CutSheet
from jobs.drawings.scene import Circle
from tests.jobs.drawings.test_no_overlap import assert_clear

TODAY = date(2026, 5, 14)


def trial(days: int, times: float, high: float = 1.3) -> Trial:
    estimated = HoursRange.between(10, 10 * high)
    return Trial(str(days), TODAY - timedelta(days=days), "total", "steel", estimated, 10 * times)


@pytest.mark.parametrize(
    "times", [(1.0,), (0.2, 5.0), (1.0, 1.0, 1.0), (0.01, 100.0), (0.9, 1.1, 1.31)]
)  # fmt: skip
@pytest.mark.parametrize("apart", [0, 1, 40, 400])
def test_the_record_over_time_is_readable_whatever_the_panels(times, apart):
    trials = [trial(index * apart, value) for index, value in enumerate(times)]
    scene = over_time_plot(trials)
    assert_clear(scene)
    assert sum(isinstance(item, Circle) for item in scene.items) == len(times)
    over = sum(value > 1.3 for value in times)
    assert f"{over} of them took more than their high end" in scene.description


def test_a_panel_as_estimated_stands_on_the_line_of_one():
    scene = over_time_plot([trial(0, 1.0), trial(50, 2.0)])
    (named,) = [text for text in scene.texts() if text.text == "as estimated"]
    circles = [item for item in scene.items if isinstance(item, Circle)]
    assert circles[0].centre[1] == pytest.approx(named.at[1], abs=6)
    assert circles[1].centre[1] < circles[0].centre[1]


def test_nothing_to_draw_over_time_is_refused():
    with pytest.raises(ValueError, match="nothing to draw"):
        over_time_plot([])


@pytest.mark.parametrize("days", [14, 21, 35, 70, 140, 366])
@pytest.mark.parametrize("start", [TODAY, date(2026, 12, 28), date(2026, 5, 31)])
def test_the_scale_of_dates_is_readable_however_long(days, start):
    scene = dates_axis(start, days)
    assert_clear(scene)
    assert scene.texts()[0].text.startswith(str(start.day))


def expected(middle: int, high: int, due: int | None, *, at_risk: bool = False):
    job = SimpleNamespace(
        deadline=TODAY + timedelta(days=due) if due is not None else None, promised_on=due is not None
    )
    return SimpleNamespace(
        job=job, middle=TODAY + timedelta(days=middle), high=TODAY + timedelta(days=high), why_none="",
        at_risk=at_risk,
    )  # fmt: skip


def test_the_scale_holds_the_last_date_in_whole_weeks_up_to_a_year():
    assert days_shown([expected(1, 2, None)], TODAY) == 14
    assert days_shown([expected(1, 2, 30)], TODAY) == 35
    assert days_shown([expected(1, 4000, None)], TODAY) == 366
    assert days_shown([], TODAY) == 14


@pytest.mark.parametrize("dates", [(0, 0, 0), (3, 9, 5), (3, 9, -20), (500, 900, 2), (3, 3, None)])
def test_a_span_of_days_stays_on_its_drawing_and_says_its_dates(dates):
    one = expected(*dates, at_risk=True)
    scene = date_strip(one, TODAY, 35)
    assert "as likely as not" in scene.description
    assert ("Promised for" in scene.description) == (dates[2] is not None)
    for item in scene.items:
        for run in getattr(item, "runs", ()):
            assert -5 <= run.start[0] <= scene.width + 5


@pytest.mark.django_db
def test_a_sheet_shows_its_pieces_and_its_largest_drop(panel):
    sheet = CutSheet(None, 2000, 1000)
    assert sheet.place(Blank(panel, panel.blank_length_mm, panel.blank_width_mm))
    scene = sheet_layout(sheet)
    assert str(panel) in scene.description
    roles = [item.role for item in scene.items]
    assert roles.count("kraft") == 1
    assert roles.count("drop") == 1


@pytest.mark.django_db
def test_a_piece_laid_across_the_sheet_is_turned_with_its_blank(panel):
    narrow = CutSheet(None, panel.blank_width_mm + 1, panel.blank_length_mm + 1)
    assert narrow.place(Blank(panel, panel.blank_length_mm, panel.blank_width_mm))
    (area,) = [item for item in sheet_layout(narrow).items if item.role == "kraft"]
    xs = [run.start[0] for run in area.runs if hasattr(run, "start")]
    ys = [run.start[1] for run in area.runs if hasattr(run, "start")]
    assert max(ys) - min(ys) > max(xs) - min(xs)
