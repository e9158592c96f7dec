"""How work came out, in words: factors where a percentage would say nothing, no range where there is none."""

import re
from datetime import date
from decimal import Decimal

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from estimates.hours import Move, Score
from estimates.outcome import bias_words, came_out, ends_at, off_by, rate_moved
from jobs.models import TimeEntry
from tests.estimates.test_past_panels import make_past
from tests.estimates.work_cast import accepted, book, budget, finish, stages_of

D = Decimal
ANY_HOURS = st.floats(0, 1e6, allow_nan=False)


def moved(before: float, after: float) -> Move:
    return Move("Cap", date(2026, 3, 2), "gathering", "aluminium", before, after)


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        (1.0, 1.06, "6 % slower"), (1.0, 0.9, "10 % quicker"), (1.0, 1.004, "as before"), (1.0, 1.99, "99 % slower"),
        (1.0, 2.0, "2 times as long"), (0.5, 4.0, "8 times as long"), (1.0, 0.125, "8 times as quick"),
        (0.01, 11.9879, "1\u2009199 times as long"), (0.0001, 0.12, "from next to nothing"),
        (0.0, 0.0, "next to nothing, as before"), (0.2, 0.0001, "to next to nothing"),
    ],
)  # fmt: skip
def test_a_rate_moves_by_a_percentage_or_by_a_factor(before, after, words):
    assert rate_moved(moved(before, after)) == words


@given(st.floats(1e-9, 1e6), st.floats(1e-9, 1e6))
def test_no_rate_moves_by_a_hundred_per_cent_or_more(before, after):
    percent = re.search(r"(\d+) %", rate_moved(moved(before, after)))
    assert percent is None or int(percent[1]) <= 100


@given(ANY_HOURS, ANY_HOURS, ANY_HOURS)
def test_inside_the_range_is_said_only_of_hours_inside_a_range(taken, one, other):
    low, high = sorted((one, other))
    said = came_out(taken, low, high)
    if said.words == "inside the range":
        assert low <= taken < high + 0.05
        assert taken > 0
        assert high >= 0.05
    assert said.is_over == (taken - high > 0.0499999 and high >= 0.05) or abs(taken - high - 0.05) < 1e-5


def test_hours_and_decimals_are_told_alike():
    assert came_out(D("6.5"), D("4"), D("6")) == came_out(6.5, 4.0, 6.0)


@pytest.mark.parametrize(
    ("middle", "words"),
    [
        (6.02, "its middle is inside the range estimated"),
        (3.0, "its middle is 1 h under the range estimated"),
        (48.0, "its middle is 42 h past the range estimated, 8 times its high end"),
    ],
)
def test_where_a_job_ends_is_told_against_its_range(middle, words):
    assert ends_at(middle, 4, 6) == words


def test_a_bias_far_off_is_a_factor_either_way():
    def words(bias: float) -> str:
        return bias_words(Score(20, 0.8, 0.8, 0.5, 0.2, bias))

    assert words(0.001) == "Half the time the middle said at least 1\u2009000 times what work takes."
    assert words(1198.79) == "Half the time work takes at least 1\u2009199 times what the middle said."
    assert words(0.9) == "Half the time work takes at least 10 % less than the middle said."
    assert (off_by(0.994), off_by(1.0)) == ("99 %", "a factor of 2")


@pytest.fixture
def strange(job, panel, owner, shaper, shop):
    """A job that is done: layout was estimated at 0 h, gathering has no hours, blending took eight times its high end."""
    accepted(job, owner, shop)
    stages = stages_of(panel)
    budget(stages["layout"], "0", "0")
    budget(stages["blending"], "2", "3")
    budget(stages["smoothing"], "0.01", "0.02")
    for slug, spent in {"layout": "2", "gathering": "1", "blending": "24", "smoothing": "3"}.items():
        book(stages[slug], shaper, spent)
        finish(stages[slug])
    TimeEntry.objects.filter(stage=stages["gathering"]).delete()
    return job


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["job-close", "job-against"])
def test_a_stage_without_an_estimate_or_without_hours_is_not_called_inside(strange, owner_client, name):
    page = owner_client.get(reverse(name, args=[strange.number])).content.decode()
    assert "inside the range" not in page.replace("its middle is inside the range estimated", "")
    assert "nothing was estimated" in page
    assert "next to nothing was estimated" in page
    assert "no hours written down" in page
    assert "21 h over, 8 times its high end" in page


@pytest.mark.django_db
def test_hours_where_nothing_was_estimated_are_added_up_by_themselves(strange, owner_client):
    page = owner_client.get(reverse("job-against", args=[strange.number])).content.decode()
    assert "besides, 2 h on stages where nothing was estimated" in page


@pytest.mark.django_db
def test_past_panels_tell_factors(owner_client, shop):
    make_past(12)
    last = make_past(1, name_from=100, gathering_hours=600.0)[0]
    one = owner_client.get(reverse("past-panel", args=[last.pk])).content.decode()
    many = owner_client.get(reverse("past-panels"), {"stage": "gathering"}).content.decode()
    for page in (one, many):
        assert re.search(r"5\d\d(\.\d)? h over, \d\d times its high end", page)
