"""Gauges are true to the face they are held to."""

import math

import pytest

from jobs.drawings.gauge import BAND_MM, crown_gauge, gauge, radius_gauge
from jobs.forming.outline import length
from jobs.forming.result import Arc
from tests.jobs.drawings.panels import panel, paths


def test_a_gauge_is_true_to_the_outside_face():
    work = panel("arch")
    (hollow,) = paths(gauge(work), "outline")
    (arc,) = [run for run in hollow.runs if isinstance(run, Arc)]
    assert arc.radius_mm == pytest.approx(25.0 + 1.6)
    assert abs(arc.sweep_rad) == pytest.approx(math.pi / 2)


def test_a_gauge_after_a_pass_has_its_angle():
    work = panel("arch")
    for one in work.passes:
        (hollow,) = paths(gauge(work, pass_number=one.number), "outline")
        (arc,) = [run for run in hollow.runs if isinstance(run, Arc)]
        assert abs(arc.sweep_rad) == pytest.approx(one.section_angle_rad)


def test_crown_and_radius_gauges_agree():
    """A chord of 480 with a height of 10 is a radius of 2885, by the sagitta c²/8h + h/2."""
    (one,), (other,) = paths(crown_gauge(480, 10), "outline"), paths(radius_gauge(2885, 480), "outline")
    assert length(one.runs) == pytest.approx(length(other.runs), abs=0.01)
    assert all(run.radius_mm == pytest.approx(2885) for run in (*one.runs, *other.runs))


def test_a_gauge_is_wide_enough_to_hold():
    scene = radius_gauge(300, 200)
    (card,) = paths(scene, "cut")[:1]
    arcs = sorted(run.radius_mm for run in card.runs if isinstance(run, Arc))
    assert arcs[-1] - arcs[0] == pytest.approx(BAND_MM)


@pytest.mark.parametrize("call", [lambda: radius_gauge(10, 30), lambda: crown_gauge(100, 60)])
def test_gauges_that_cannot_be_are_refused(call):
    with pytest.raises(ValueError, match=r"does not fit|more than half"):
        call()
