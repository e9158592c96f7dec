"""The example shop's days at the bench come out whatever the moment at which the book is made."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise
from random import Random

from django.utils import timezone

from estimates.demo.bench import SCRAP, bench_before
from estimates.demo.moments import Days


def test_work_planned_backwards_fits_before_any_moment_of_a_week():
    chance = Random(7)
    week_begins = datetime(2026, 11, 23, 0, 4, tzinfo=UTC)
    with timezone.override("Europe/Dublin"):
        for minutes in range(0, 7 * 24 * 60, 11):
            moment = week_begins + timedelta(minutes=minutes)
            hours = [chance.uniform(0.2, 9) for _ in range(chance.randint(1, 12))]
            bench = bench_before(Days(moment), moment, hours)
            taken = [times for each in hours for times in bench.take(each)]
            assert (
                sum((end - begin for begin, end in taken), timedelta()) >= timedelta(hours=sum(hours)) - SCRAP
            )
            assert max(end for _, end in taken) <= moment + SCRAP
            assert all(first[1] <= second[0] for first, second in pairwise(taken))
