"""The flat pattern of every form, written by the ``blank`` command as DXF and read back by another library.

Source: ezdxf reads the file; unit code 4 is the millimetre in ``$INSUNITS`` (the format owner's list of header
variables). What is expected is worked out here from the dimensions typed, not asked of the forming package:
perimeter and enclosed area of the outline, the outline's size, and the size of the trim round it.
Tolerance: 1e-6 of a length, 1e-6 of an area (arcs walked in chords no further than 0.0001 mm off).
"""

from __future__ import annotations

import io
import math
from itertools import pairwise

import ezdxf
import pytest
from django.core.management import call_command
from ezdxf import bbox
from ezdxf.document import Drawing

from tests.jobs.forming.by_command import LINES

T, TRIM = 1.2, 19.05
Flat = tuple[float, float, float, float]


def rectangle(along: float, across: float) -> Flat:
    """Perimeter, area, and size along x and y."""
    return 2 * (along + across), along * across, along, across


def arc(chord: float, height: float) -> float:
    radius = (chord**2 / 4 + height**2) / (2 * height)
    return 2 * radius * math.asin(chord / 2 / radius)


def arch() -> Flat:
    rho, turn = 25.6, math.pi / 2
    start = 300 - 0.6 - rho
    edge = start + rho * math.pi / 2 + 75 - 0.6 - rho
    chord, rise = 2 * edge * math.sin(turn / 2), edge - start * math.cos(turn / 2)
    return turn * (start + edge) + 2 * (edge - start), turn * (edge**2 - start**2) / 2, chord, rise


def sweep() -> Flat:
    ball = (60**2 + 40**2) / (2 * 40)
    side = ball * math.asin(60 / ball)  # a fall of 40 over 60 turns by less than a right angle
    return rectangle(math.radians(120) * 330, 60 + 2 * side)


def dome() -> Flat:
    reach = arc(300, 60) / 2
    return math.tau * reach, math.pi * reach**2, 2 * reach, 2 * reach


def fold() -> Flat:
    allowance = math.pi / 2 * (3 + (0.65 + 0.5 * math.log10(3 / T)) * T / 2)
    return rectangle(40 + 70 + 30 - 4 * (3 + T) + 2 * allowance, 250)


def tray() -> Flat:
    inset, rho = 0.6 + 6.6, 6.6  # a square bend begins ρ inside the flange's middle
    reach = rho * math.pi / 2 + 30 - 0.6 - rho
    corner = 60 - inset + reach
    across, along = 300 - 2 * inset + 2 * reach, 400 - 2 * inset + 2 * reach
    perimeter = 2 * (across + along) - 8 * corner + math.tau * corner
    return perimeter, across * along - (4 - math.pi) * corner**2, along, across


WANTED = {
    "arch": arch(),
    "sweep": sweep(),
    "dome": dome(),
    "crown": rectangle(arc(900, 30), arc(600, 20)),
    "roll": rectangle(math.pi / 2 * 200.6, 400),
    "fold": fold(),
    "tray": tray(),
}


@pytest.fixture(params=LINES)
def form(request) -> str:
    return request.param


@pytest.fixture
def drawing(form, tmp_path) -> Drawing:
    path = tmp_path / "pattern.dxf"
    call_command(
        "blank",
        form,
        *LINES[form].split(),
        f"--thickness={T}",
        f"--dxf={path}",
        "--json",
        stdout=io.StringIO(),
    )
    return ezdxf.readfile(path)


def courses(drawing: Drawing, layer: str) -> list[list[tuple[float, float]]]:
    """Return every line and arc of a layer as points."""
    found = []
    for entity in drawing.modelspace().query(f'*[layer=="{layer}"]'):
        points = [entity.dxf.start, entity.dxf.end] if entity.dxftype() == "LINE" else entity.flattening(1e-4)
        found.append([(point.x, point.y) for point in points])
    return found


def length(drawing: Drawing, layer: str) -> float:
    return sum(math.dist(a, b) for course in courses(drawing, layer) for a, b in pairwise(course))


def enclosed(drawing: Drawing, layer: str) -> float:
    """Follow the courses of one closed outline, each from where the last one ended (shoelace formula)."""
    rest = courses(drawing, layer)
    walk = rest.pop(0)
    while rest:
        end = walk[-1]
        nearest = min(rest, key=lambda course: min(math.dist(end, course[0]), math.dist(end, course[-1])))
        rest.remove(nearest)
        if math.dist(end, nearest[-1]) < math.dist(end, nearest[0]):
            nearest = nearest[::-1]
        assert math.dist(end, nearest[0]) < 1e-6
        walk += nearest
    assert math.dist(walk[0], walk[-1]) < 1e-6
    return abs(math.fsum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise(walk))) / 2


def size(drawing: Drawing, layer: str) -> tuple[float, float]:
    box = bbox.extents(drawing.modelspace().query(f'*[layer=="{layer}"]'))
    return box.size.x, box.size.y


def test_it_is_in_millimetres_and_sound(drawing):
    assert drawing.header["$INSUNITS"] == 4
    assert drawing.header["$MEASUREMENT"] == 1
    assert drawing.audit().errors == []
    assert {"OUTLINE", "TRIM", "LINES", "GATHERS"} <= {layer.dxf.name for layer in drawing.layers}


def test_the_outline_is_the_flat_with_lengths_kept(form, drawing):
    perimeter, area, along, across = WANTED[form]
    assert length(drawing, "OUTLINE") == pytest.approx(perimeter, rel=1e-6)
    assert enclosed(drawing, "OUTLINE") == pytest.approx(area, rel=1e-6)
    assert size(drawing, "OUTLINE") == pytest.approx((along, across), rel=1e-6)


def test_the_trim_stands_all_round_it(form, drawing):
    _, _, along, across = WANTED[form]
    assert size(drawing, "TRIM") == pytest.approx((along + 2 * TRIM, across + 2 * TRIM), rel=1e-6)


def test_the_lines_of_the_arch_lie_where_they_are_marked(tmp_path):
    """Start, centre and stop: arcs of 90 degrees round the middle of the curve, ρπ/4 apart."""
    path = tmp_path / "pattern.dxf"
    call_command("blank", "arch", *LINES["arch"].split(), f"--thickness={T}", f"--dxf={path}", "--json",
                 stdout=io.StringIO())  # fmt: skip
    arcs = ezdxf.readfile(path).modelspace().query('ARC[layer=="LINES"]')
    radii = sorted(each.dxf.radius for each in arcs)
    assert radii == pytest.approx([273.8 + 25.6 * math.pi / 4 * step for step in range(3)], rel=1e-9)
    assert [(each.dxf.end_angle - each.dxf.start_angle) % 360 for each in arcs] == pytest.approx([90.0] * 3)
