"""Blanks of raised work by equal area, against old workshop books and worked answers.

Sources:
- Evan A. Atkins, "Practical Sheet and Plate Metal Work": "Spherical Bowl" (a disc of 1.414 diameters for a half
  ball; for any spherical segment the radius of the disc is the hypotenuse of half the mouth and the depth), and
  chapter XXVIII (raised pan: r 12 in, h 18 in gives a disc of exactly 24 in radius).
- R. B. Hodgson, "Machines and Tools Employed in the Working of Sheet Metals", ch. XX: diameter of a disc of a
  given area, D = 1.12838 √A (28.519 in² is 6.026 in; 29.06 in² is 6.083 in).
Tolerance: the printed digits.
"""

import math

import pytest

from jobs.forming import Marking, Sheet, Work, build, work_out
from jobs.forming.dome import Dome
from jobs.forming.outline import area

INCH = 25.4


def dome(diameter: float, height: float) -> Work:
    return work_out(Dome(diameter, height), Sheet(1.0), Marking(trim_mm=0.0))


def disc_of(work: Work) -> float:
    """Return the diameter of the disc by area, by Hodgson's rule from the flat's area."""
    return 1.12838 * math.sqrt(area(work.by_area))


@pytest.mark.parametrize(("diameter_in", "disc_in"), [(5.0, 2 * 3.5355), (6.0, 8.4853)])
def test_atkins_half_ball_takes_a_disc_of_root_two_diameters(diameter_in, disc_in):
    work = dome(diameter_in * INCH, diameter_in * INCH / 2)
    assert disc_of(work) / INCH == pytest.approx(disc_in, abs=1e-3)
    assert 2 * work.edges[0].flat_radius_by_area_mm / INCH == pytest.approx(disc_in, abs=1e-4)


def test_atkins_segment_takes_the_hypotenuse_for_radius():
    work = dome(200.0, 30.0)
    assert 2 * work.edges[0].flat_radius_by_area_mm == pytest.approx(208.806, abs=5e-4)
    assert work.edges[0].flat_radius_by_area_mm == pytest.approx(math.hypot(100, 30))


@pytest.mark.parametrize(("area_in2", "disc_in"), [(28.519, 6.026), (29.06, 6.083)])
def test_hodgson_disc_of_a_given_area(area_in2, disc_in):
    """A half ball of the area Hodgson gives, A = 2π a², wants the disc he prints."""
    rim = math.sqrt(area_in2 / (2 * math.pi)) * INCH
    work = dome(2 * rim, rim)
    assert work.finished_area_mm2 / INCH**2 == pytest.approx(area_in2)
    assert 2 * work.edges[0].flat_radius_by_area_mm / INCH == pytest.approx(disc_in, abs=5e-4)


def test_atkins_raised_pan_is_a_closed_flange_by_area():
    """Pan of 12 in radius, 18 in deep: a bottom and a flange right round it, with as good as no bend.

    Disc² = r² + 2 r h = 24² in². The flange's flat by area starts at the bottom's edge; in 0.01 mm sheet with a
    sharp corner the bend is nothing, so its outer radius is Atkins' disc (within 0.02 mm).
    """
    pan = build(
        "arch",
        {
            "outside_radius_mm": 12 * INCH,
            "turn_rad": math.tau,
            "bend_radius_mm": 0.0,
            "depth_mm": 18 * INCH,
        },
    )
    work = work_out(pan, Sheet(0.01), Marking())
    assert work.edges[0].flat_radius_by_area_mm == pytest.approx(24 * INCH, abs=0.02)


def test_cylinder_with_a_rounded_bottom_corner():
    """D² = (d - 2r)² + 4d(h - r) + 2πr(d - 2r) + 8r² (Pappus): d 100, h 60, r 5 gives D 182.0094 mm.

    All to the mid-surface: sheet of 0.001 mm stands for none at all (within 0.01 mm).
    """
    cup = build(
        "arch",
        {"outside_radius_mm": 50.0, "turn_rad": math.tau, "bend_radius_mm": 5.0, "depth_mm": 60.0},
    )
    work = work_out(cup, Sheet(0.001), Marking())
    assert 2 * work.edges[0].flat_radius_by_area_mm == pytest.approx(182.0094, abs=0.01)


def test_mouth_strain_of_pure_gathering():
    """Rim strain sin φ/φ - 1, edge thickness φ/sin φ: at 45° -0.099684, at 90° -0.363380 (closed forms)."""
    for degrees, strain in [
        (10, -0.005069),
        (20, -0.020184),
        (30, -0.045070),
        (45, -0.099684),
        (90, -0.363380),
    ]:
        angle = math.radians(degrees)
        edge = dome(200 * math.sin(angle), 100 * (1 - math.cos(angle))).edges[0]
        assert edge.strain == pytest.approx(strain, abs=5e-7)
