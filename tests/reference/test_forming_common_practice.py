"""What shops do without a book: common practice, no source."""

import math

import pytest

from jobs.forming import Marking, Sheet, build, work_out

INCH = 25.4


def test_three_quarters_of_an_inch_on_either_side_of_the_centre_line():
    """Common practice, no source: for a bend of about 1 in, lines 3/4 in on both sides of the centre line.

    On a 1 in mid-surface radius half the bend is π/4 in = 0.785 in, of which 3/4 in is the shop's round figure.
    """
    arch = build(
        "arch",
        {
            "outside_radius_mm": 12 * INCH,
            "turn_rad": math.pi / 2,
            "bend_radius_mm": INCH - 0.5,
            "depth_mm": 3 * INCH,
        },
    )
    work = work_out(arch, Sheet(1.0), Marking())
    start, centre, stop = (line.from_start_mm / INCH for line in work.lines)
    assert centre - start == stop - centre == pytest.approx(0.785, abs=5e-4)
    assert centre - start == pytest.approx(0.75, abs=0.04)


def test_half_ball_of_spun_or_hammered_copper_moves_far_more_by_stretching():
    """Common practice, no source: deep bowls are raised (gathered), shallow ones may be sunk (stretched).

    Geometry says why: a half ball has twice the area of its rim's disc, so that stretching it halves the thickness and
    moves π a², where gathering it out of the disc of its length (π a / 2 in radius) moves (π²/4 - 2) π a².
    """
    raised = build("dome", {"diameter_mm": 150.0, "height_mm": 75.0, "method": "gather"})
    sunk = build("dome", {"diameter_mm": 150.0, "height_mm": 75.0, "method": "stretch"})
    by_gathering, by_stretching = (work_out(form, Sheet(1.0), Marking()) for form in (raised, sunk))
    assert by_stretching.thinnest_mm == pytest.approx(0.5)
    assert by_stretching.moved_area_mm2 == pytest.approx(math.pi * 75**2)
    assert by_gathering.moved_area_mm2 == pytest.approx((math.pi**2 / 4 - 2) * math.pi * 75**2)
    assert by_stretching.moved_area_mm2 > 2 * by_gathering.moved_area_mm2
