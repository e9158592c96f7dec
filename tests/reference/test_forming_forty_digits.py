"""Every figure of the gathered and stretched forms against the same geometry at 40 digits.

Source: ``forty_digits.py``: surfaces of revolution integrated by mpmath (Gauss-Legendre and tanh-sinh quadrature), areas
by Pappus-Guldin, total curvature as the integral of Gauss's K over the surface (Gauss-Bonnet), thickness by constant
volume. Tolerance: 1e-11 of each figure, at ordinary sizes and at the ends of the ranges, where what is small is the
difference of what is large; curvature 1e-9.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from mpmath import mpf, quad, sqrt

from jobs.forming import Marking, Sheet, Work, build, work_out
from jobs.forming.along import strain_along
from tests.reference.forty_digits import Section, cap, chord_arc, flange, in_bands, on_lines, side

T = 1.2
TURN = math.pi / 2
CLOSE, CURVATURE = 1e-11, 1e-9


def close(wanted: mpf | float) -> object:
    """To CLOSE of the figure, however small it is."""
    return pytest.approx(float(wanted), rel=CLOSE, abs=0.0)


def worked(name: str, lines: int = 3, **given: object) -> Work:
    return work_out(build(name, given), Sheet(T), Marking(line_count=lines))


def assert_edge(work: Work, section: Section) -> None:
    edge, take_up = work.edges[0], section.flat_edge - section.finished_edge
    assert edge.flat_length_mm == close(section.flat_edge)
    assert edge.finished_length_mm == close(section.finished_edge)
    assert edge.take_up_mm == close(take_up)
    assert edge.strain == close(-take_up / section.flat_edge)
    assert edge.thickness_mm == close(T * section.flat_edge / section.finished_edge)


def assert_passes(work: Work, wanted: list[tuple[mpf, mpf]]) -> None:
    length = mpf(work.edges[0].flat_length_mm)
    for each, (wedge, take_up) in zip(work.passes, wanted, strict=True):
        length -= take_up
        assert each.wedge_rad == close(abs(float(wedge)))
        assert each.take_up_mm == close(take_up)
        assert each.edge_length_mm == close(length)


FLANGES = [
    # outside radius, inside bend radius, bend angle in degrees, depth, turn in degrees, lines
    (300.0, 25.0, 90.0, 75.0, 90.0, 3),
    (300.0, 0.0, 90.0, 60.0, 360.0, 2),
    (400.0, 25.0, 90.0, 26.25, 180.0, 3),  # depth only just past the bend
    (26.2, 25.0, 90.0, 90.0, 90.0, 3),  # the start line is a point
    (900.0, 40.0, 1.0, 3.0, 0.02, 50),
    (900.0, 40.0, 120.0, 90.0, 200.0, 7),
    (900.0, 4.0, 179.0, 10.2, 30.0, 20),
    (5000.0, 0.1, 30.0, 700.0, 359.0, 9),
]


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize(("outside", "inside", "degrees", "depth", "turn", "lines"), FLANGES)
def test_arch(outside, inside, degrees, depth, turn, lines, sign):
    if sign < 0 and outside < depth:
        outside += 200.0  # what is stretched has to open
    angle, turn = math.radians(degrees), math.radians(turn)
    section = flange(outside, inside, angle, depth, T, sign, turn)
    work = worked("arch", lines, outside_radius_mm=outside, turn_rad=turn, bend_radius_mm=inside, depth_mm=depth,
                  bend_angle_rad=angle, stretch=sign < 0)  # fmt: skip
    assert work.finished_area_mm2 == close(section.area)
    assert work.flat_area_by_length_mm2 == close(section.flat_area)
    assert work.flat_area_by_area_mm2 == close(section.area)
    assert work.moved_area_mm2 == close(abs(section.flat_area - section.area))
    curvature = work.gather_angle_rad - work.stretch_angle_rad
    assert curvature == pytest.approx(sign * float(section.curvature), rel=CURVATURE)
    by_area = sqrt(section.flat(mpf(0)) ** 2 + 2 * sign * section.area / section.turn)
    assert work.edges[0].flat_radius_by_area_mm == close(by_area)
    assert work.flat_length_mm == close(section.edge)
    assert_edge(work, section)
    assert_passes(work, on_lines(section, lines))


TRAYS = [(60.0, 5.0, 90.0, 40.0), (150.0, 0.0, 2.0, 3.0), (9.0, 8.0, 75.0, 30.0), (90.0, 4.0, 130.0, 60.0)]


@pytest.mark.parametrize(("corner", "inside", "degrees", "depth"), TRAYS)
def test_tray(corner, inside, degrees, depth):
    angle = math.radians(degrees)
    section = flange(corner, inside, angle, depth, T, 1, TURN)
    work = worked("tray", width_mm=300.0, length_mm=400.0, corner_radius_mm=corner, bend_radius_mm=inside,
                  depth_mm=depth, bend_angle_rad=angle)  # fmt: skip
    straight = 2 * (300 + 400) - 8 * mpf(corner)
    start = section.flat(mpf(0))
    web = (300 - 2 * mpf(corner)) * (400 - 2 * mpf(corner)) + straight * start + 2 * section.turn * start**2
    sides = web + straight * section.edge
    assert work.finished_area_mm2 == close(sides + 4 * section.area)
    assert work.flat_area_by_length_mm2 == close(sides + 4 * section.flat_area)
    assert work.moved_area_mm2 == close(4 * (section.flat_area - section.area))
    assert work.gather_angle_rad == pytest.approx(4 * float(section.curvature), rel=CURVATURE)
    assert_edge(work, section)
    assert_passes(work, on_lines(section, 3))


SIDES = [
    # flanges, gathered corners, and of the flanges those across the width and those along the length
    ("front right back left", 4, 2, 2),
    ("front right left", 2, 1, 2),
    ("front right back", 2, 2, 1),
    ("front back", 0, 2, 0),
    ("right left", 0, 0, 2),
    ("front right", 1, 1, 1),
    ("front", 0, 1, 0),
    ("right", 0, 0, 1),
]


@pytest.mark.parametrize(("sides", "corners", "across", "along"), SIDES)
def test_tray_with_open_sides(sides, corners, across, along):
    """Web, straight flanges and quarter turns added up piece by piece."""
    angle = 1.3
    section = flange(60.0, 5.0, angle, 40.0, T, 1, TURN)
    work = worked("tray", width_mm=300.0, length_mm=400.0, corner_radius_mm=60.0, bend_radius_mm=5.0, depth_mm=40.0,
                  bend_angle_rad=angle, sides=sides)  # fmt: skip
    start = section.flat(mpf(0))
    inset = 60 - start
    # A flange across the width stands at an end, and shortens the web; every gathered corner rounds it.
    web = (400 - across * inset) * (300 - along * inset) - corners * (1 - TURN / 2) * start**2
    straight = across * 300 + along * 400 - corners * 2 * 60
    alike = web + straight * section.edge
    assert work.finished_area_mm2 == close(alike + corners * section.area)
    assert work.flat_area_by_length_mm2 == close(alike + corners * section.flat_area)
    assert work.flat_area_by_area_mm2 == close(alike + corners * section.area)
    assert work.blank_length_mm == close(400 + across * (section.edge - inset) + 2 * mpf("19.05"))
    assert work.blank_width_mm == close(300 + along * (section.edge - inset) + 2 * mpf("19.05"))
    assert work.gather_angle_rad == pytest.approx(corners * float(section.curvature), rel=CURVATURE)


SWEEPS = [
    (330.0, 120.0, 180.0, 60.0, 40.0, 3),
    (330.0, 360.0, 180.0, 0.0, 90.0, 9),
    (900.0, 0.1, 90.0, 30.0, 0.01, 50),
]


@pytest.mark.parametrize(("crown", "degrees", "width", "flat", "drop", "lines"), SWEEPS)
def test_sweep(crown, degrees, width, flat, drop, lines):
    turn = math.radians(degrees)
    section = side(mpf(crown), (width - flat) / 2, drop, mpf(turn))
    work = worked(
        "sweep", lines, crown_radius_mm=crown, turn_rad=turn, width_mm=width, flat_mm=flat, drop_mm=drop
    )
    assert_strip(work, section, flat * section.turn * crown)
    assert_passes(work, in_bands(section, lines))


def assert_strip(work: Work, section: Section, middle: mpf) -> None:
    assert work.finished_area_mm2 == close(2 * section.area + middle)
    assert work.flat_area_by_length_mm2 == close(2 * section.flat_area + middle)
    assert work.moved_area_mm2 == close(2 * (section.flat_area - section.area))
    assert work.gather_angle_rad == pytest.approx(2 * float(section.curvature), rel=CURVATURE)
    assert_edge(work, section)


CROWNS = [(600.0, 900.0, 20.0, 30.0, 3), (600.0, 900.0, 300.0, 450.0, 2), (600.0, 900.0, 0.02, 0.05, 50)]


@pytest.mark.parametrize(("width", "length", "across", "along", "lines"), CROWNS)
def test_crown(width, length, across, along, lines):
    radius, turn = chord_arc(length, along)
    section = side(radius, width / 2, across, turn)
    given = {"width_mm": width, "length_mm": length, "width_height_mm": across, "length_height_mm": along}
    if across < radius * (1 - 1e-6):
        work = worked("crown", lines, **given)
        assert_strip(work, section, mpf(0))
        assert_passes(work, in_bands(section, lines))
    stretched = worked("crown", lines, method="stretch", **given)
    flat = 2 * section.edge * section.finished_edge
    assert stretched.flat_area_by_length_mm2 == close(flat)
    assert stretched.moved_area_mm2 == close(2 * section.area - flat)
    assert stretched.edges[0].take_up_mm == 0


@pytest.mark.parametrize(
    ("diameter", "height", "lines"), [(300.0, 60.0, 3), (300.0, 150.0, 9), (4000.0, 0.04, 50)]
)
def test_dome(diameter, height, lines):
    section = cap(diameter, height)
    work = worked("dome", lines, diameter_mm=diameter, height_mm=height)
    assert work.finished_area_mm2 == close(section.area)
    assert work.flat_area_by_length_mm2 == close(section.flat_area)
    assert work.moved_area_mm2 == close(section.flat_area - section.area)
    assert work.gather_angle_rad == pytest.approx(float(section.curvature), rel=CURVATURE)
    assert_edge(work, section)
    assert_passes(work, in_bands(section, lines))


PANELS = {
    "gathered flange": (
        "arch",
        {"outside_radius_mm": 300.0, "turn_rad": TURN, "bend_radius_mm": 25.0, "depth_mm": 75.0},
        flange(300.0, 25.0, TURN, 75.0, T, 1, TURN),
    ),
    "stretched flange bent past square": (
        "arch",
        {"outside_radius_mm": 300.0, "turn_rad": 2.0, "bend_radius_mm": 25.0, "depth_mm": 75.0, "stretch": True,
         "bend_angle_rad": 1.9},
        flange(300.0, 25.0, 1.9, 75.0, T, -1, 2.0),
    ),
    "corner of a tray": (
        "tray",
        {"width_mm": 300.0, "length_mm": 400.0, "corner_radius_mm": 60.0, "bend_radius_mm": 5.0, "depth_mm": 40.0},
        flange(60.0, 5.0, TURN, 40.0, T, 1, TURN),
    ),
    "sweep without a flat": (
        "sweep",
        {"crown_radius_mm": 330.0, "turn_rad": 2.0, "width_mm": 180.0, "flat_mm": 0.0, "drop_mm": 70.0},
        side(mpf(330), 90.0, 70.0, mpf(2)),
    ),
    "dome": ("dome", {"diameter_mm": 300.0, "height_mm": 140.0}, cap(300.0, 140.0)),
}  # fmt: skip


@pytest.mark.parametrize("name", PANELS)
def test_the_whole_side_holds_the_metal_it_was_made_from(name):
    """Constant volume, not at the edge alone: ∫ t/(1 + ε) dA over the finished side is t times the flat's area.

    The strains ε are those the drawing shows along the section, at 41 places; between them a straight line
    (trapezium rule, 0.1 %).
    """
    form, given, section = PANELS[name]
    found = strain_along(worked(form, **given))
    assert found is not None
    assert found.strains[-1][0] == pytest.approx(float(section.edge), rel=1e-12)
    columns = [
        (s, T / (1 + strain) * float(section.turn * section.radius(mpf(s)))) for s, strain in found.strains
    ]
    volume = math.fsum((s1 - s0) * (v0 + v1) / 2 for (s0, v0), (s1, v1) in pairwise(columns))
    assert volume == pytest.approx(T * float(section.flat_area), rel=1e-3)
    assert found.strains[-1][1] == pytest.approx(worked(form, **given).edges[0].strain, rel=1e-9)


def test_a_dome_stretched_evenly_is_as_thin_everywhere():
    """Rings of the disc go onto rings of the cap of (1 + (h/a)²) times the area: the two strains of each make it up."""
    work = worked("dome", diameter_mm=300.0, height_mm=60.0, method="stretch")
    section, spread = cap(300.0, 60.0), 1 + (60 / 150) ** 2
    found = strain_along(work)
    for ring, along in found.strains[8::8]:
        # The ring of the disc within ``ring`` lies on the cap within s, where the cap's area is spread times as much.
        s = _within(section, math.pi * ring**2 * spread)
        round_it = float(section.radius(mpf(s))) / ring
        assert (1 + along) * round_it == pytest.approx(spread, rel=1e-9)
    assert work.thinnest_mm * spread == close(T)


def _within(section: Section, area: float) -> float:
    """How far down from the top the cap within has this area, by halving."""
    low, high = mpf(0), section.edge * (1 + mpf(10) ** -9)
    for _ in range(48):
        middle = (low + high) / 2
        inside = section.turn * quad(section.radius, [0, middle])
        low, high = (middle, high) if inside < area else (low, middle)
    return float(low)
