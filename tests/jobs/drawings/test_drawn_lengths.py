"""What is drawn is as long as what was figured: read back from the files by other means than wrote them.

The PDF's own drawing operators are read with pdfplumber, the DXF with ezdxf, the SVG's path commands here.
Tolerance 0.1 mm, as promised to whoever cuts by them.
"""

import io
import itertools
import math
import re
import xml.etree.ElementTree as ET

import ezdxf
import pdfplumber
import pytest

from jobs.drawings.files import LAYERS, dxf_bytes, pattern_bytes, pdf_bytes, svg_text
from jobs.forming import FORMS, Work
from jobs.forming.outline import flatten, length
from tests.jobs.drawings.panels import AWKWARD, awkward, panel

NEAR = 0.1
SVG = "{http://www.w3.org/2000/svg}"
POINTS_PER_MM = 72 / 25.4


def arc_length(start, radius, large, end):
    chord = math.dist(start, end)
    angle = 2 * math.asin(min(1.0, chord / (2 * radius)))
    return radius * (math.tau - angle if large else angle)


def svg_length(course: str) -> float:
    """Length of a path of M, L, A and Z commands."""
    total, pen, first = 0.0, (0.0, 0.0), (0.0, 0.0)
    for command, rest in re.findall(r"([MLAZ])([^MLAZ]*)", course):
        numbers = [float(one) for one in rest.split()]
        if command == "M":
            pen = first = (numbers[0], numbers[1])
        elif command == "L":
            total += math.dist(pen, (numbers[0], numbers[1]))
            pen = (numbers[0], numbers[1])
        elif command == "A":
            total += arc_length(pen, numbers[0], numbers[3], (numbers[5], numbers[6]))
            pen = (numbers[5], numbers[6])
        else:
            total += math.dist(pen, first)
    return total


def svg_paths(text: str, role: str) -> list[float]:
    root = ET.fromstring(text)
    size, box = float(root.attrib["width"].removesuffix("mm")), root.attrib["viewBox"].split()
    assert size == pytest.approx(float(box[2]), abs=1e-3)  # one user unit is a millimetre
    return [svg_length(one.attrib["d"]) for one in root.iter(f"{SVG}path") if f"d-{role}" == one.get("class")]


def curve_length(points) -> float:
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = points
    steps = [
        (
            (1 - t) ** 3 * ax + 3 * (1 - t) ** 2 * t * bx + 3 * (1 - t) * t**2 * cx + t**3 * dx,
            (1 - t) ** 3 * ay + 3 * (1 - t) ** 2 * t * by + 3 * (1 - t) * t**2 * cy + t**3 * dy,
        )
        for t in [index / 64 for index in range(65)]
    ]
    return sum(math.dist(a, b) for a, b in itertools.pairwise(steps))


def pdf_lengths(data: bytes) -> list[float]:
    """Lengths in mm of all paths of the page, from its own operators."""
    lengths = []
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        page = pdf.pages[0]
        for shape in (*page.lines, *page.curves, *page.rects):
            total, pen, first = 0.0, None, None
            for operator, *points in shape["path"]:
                if operator == "m":
                    pen = first = points[0]
                elif operator == "l":
                    total += math.dist(pen, points[0])
                    pen = points[0]
                elif operator == "c":
                    total += curve_length([pen, *points])
                    pen = points[-1]
                elif operator == "h":
                    total += math.dist(pen, first)
            lengths.append(total / POINTS_PER_MM)
    return lengths


def line_lengths(work: Work) -> list[float]:
    return [length(line.path) for line in work.lines if length(line.path) > 1e-6]


def assert_among(wanted: list[float], found: list[float]) -> None:
    """Every wanted length is there, each found one used once."""
    left = sorted(found)
    for one in wanted:
        nearest = min(left, key=lambda other: abs(other - one), default=math.inf)
        assert nearest == pytest.approx(one, abs=NEAR)
        left.remove(nearest)


EVERY = [(form, lambda form=form: panel(form)) for form in FORMS] + [
    (name, lambda name=name: awkward(name)) for name in AWKWARD
]


@pytest.mark.parametrize(("name", "make"), EVERY, ids=[name for name, _ in EVERY])
def test_svg_is_true(name, make):
    work = make()
    text = svg_text(work, words=["117 L"])
    assert_among([length(work.by_length.runs)], svg_paths(text, "outline"))
    assert_among([length(work.trimmed.runs)], svg_paths(text, "trim"))
    drawn = [one for kind in ("start", "centre", "stop", "pass", "bend") for one in svg_paths(text, kind)]
    assert_among(line_lengths(work), drawn)


@pytest.mark.parametrize(("name", "make"), EVERY, ids=[name for name, _ in EVERY])
def test_pdf_is_true(name, make):
    work = make()
    wanted = [length(work.by_length.runs), length(work.trimmed.runs), *line_lengths(work)]
    assert_among(wanted, pdf_lengths(pdf_bytes(work)))


@pytest.mark.parametrize(("name", "make"), EVERY, ids=[name for name, _ in EVERY])
def test_dxf_is_true(name, make):
    work = make()
    drawing = ezdxf.read(io.StringIO(dxf_bytes(work).decode()))
    assert drawing.header["$INSUNITS"] == 4
    assert {layer.dxf.name for layer in drawing.layers} >= set(LAYERS)
    assert drawing.audit().errors == []
    found = {layer: dxf_length(drawing, layer) for layer in LAYERS}
    assert found["OUTLINE"] == pytest.approx(length(work.by_length.runs), abs=NEAR)
    assert found["TRIM"] == pytest.approx(length(work.trimmed.runs), abs=NEAR)
    assert found["LINES"] == pytest.approx(sum(line_lengths(work)), abs=NEAR)
    sides = [math.dist(one.apex, side) for one in work.gathers for side in (one.left, one.right)]
    assert found["GATHERS"] == pytest.approx(sum(sides), abs=NEAR)


def dxf_length(drawing, layer: str) -> float:
    total = 0.0
    for entity in drawing.modelspace().query(f'*[layer=="{layer}"]'):
        if entity.dxftype() == "LINE":
            total += entity.dxf.start.distance(entity.dxf.end)
        elif entity.dxftype() == "CIRCLE":
            total += math.tau * entity.dxf.radius
        else:
            assert entity.dxftype() == "ARC"
            sweep = (entity.dxf.end_angle - entity.dxf.start_angle) % 360
            total += entity.dxf.radius * math.radians(sweep)
    return total


def test_dxf_ends_meet():
    """The outline's entities follow one another without a gap, in either hand."""
    for mirrored in (False, True):
        drawing = ezdxf.read(io.StringIO(dxf_bytes(panel("tray"), mirrored=mirrored).decode()))
        ends = [end for one in drawing.modelspace().query('*[layer=="OUTLINE"]') for end in dxf_ends(one)]
        for point in ends:
            assert sum(point.isclose(other, abs_tol=1e-6) for other in ends) == 2


def dxf_ends(entity):
    if entity.dxftype() == "LINE":
        return entity.dxf.start, entity.dxf.end
    return entity.start_point, entity.end_point


def outline_points(text: str) -> list[tuple[float, float]]:
    (course,) = re.findall(r'class="d-outline"[^>]* d="([^"]*)"', text)
    return [(float(x), float(y)) for x, y in re.findall(r"([-\d.]+) ([-\d.]+)(?=[MLAZ]|$)", course)]


def assert_same_places(some, others, near: float) -> None:
    """The same points, in whatever order."""
    assert len(some) == len(others)
    for point in some:
        assert min(math.dist(point, other) for other in others) <= near
    for other in others:
        assert min(math.dist(point, other) for point in some) <= near


def test_the_other_hand_is_a_mirror_image_and_its_lettering_is_not():
    work = panel("tray", sides="front right")  # its own image only in a mirror
    left, right = svg_text(work, words=["117"]), svg_text(work, mirrored=True, words=["117"])
    width = float(ET.fromstring(left).attrib["viewBox"].split()[2])
    image = [(width - x, y) for x, y in outline_points(left)]
    assert_same_places(image, outline_points(right), 0.001)
    with pytest.raises(AssertionError):
        assert_same_places(outline_points(left), outline_points(right), 0.001)
    assert "117" in right
    assert "scale(-1" not in right


def test_dxf_of_the_other_hand_is_reflected():
    work = panel("tray", sides="front right")

    def corners(mirrored):
        drawing = ezdxf.read(io.StringIO(dxf_bytes(work, mirrored=mirrored).decode()))
        ends = [end for one in drawing.modelspace().query('*[layer=="OUTLINE"]') for end in dxf_ends(one)]
        return [(end.x, end.y) for end in ends]

    assert_same_places([(-x, y) for x, y in corners(False)], corners(True), 1e-6)
    with pytest.raises(AssertionError):
        assert_same_places(corners(False), corners(True), 1e-6)


def test_files_are_written(tmp_path):
    work = panel("arch")
    for kind in ("svg", "dxf", "pdf"):
        (tmp_path / f"a.{kind}").write_bytes(pattern_bytes(work, kind))
    assert (tmp_path / "a.svg").read_text(encoding="utf-8").startswith("<?xml")
    assert ezdxf.readfile(tmp_path / "a.dxf").header["$INSUNITS"] == 4
    with pdfplumber.open(tmp_path / "a.pdf") as pdf:
        # Names run along their lines, so the letters are read in the order they were written.
        assert "stop line: 40.5 mm" in "".join(char["text"] for char in pdf.pages[0].chars)
        fonts = {char["fontname"].partition("+")[2] for char in pdf.pages[0].chars}
        assert all(font.startswith("B612") for font in fonts)  # a subset of our own, so embedded


def test_the_outline_read_back_is_where_it_was_put():
    """Not only as long as it should be: every corner of the flat lies where the outline has it."""
    work = panel("sweep")
    points = outline_points(svg_text(work))
    dx = min(x for x, _ in points) - min(x for x, _ in flatten(work.by_length.runs))
    dy = max(y for _, y in points) + min(y for _, y in flatten(work.by_length.runs))
    wanted = sorted((round(x + dx, 1), round(dy - y, 1)) for x, y in flatten(work.by_length.runs))
    assert sorted(set(wanted)) == sorted({(round(x, 1), round(y, 1)) for x, y in points})
