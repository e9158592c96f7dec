"""The pattern files of every form and either hand, read back by other means than wrote them.

DXF with ezdxf, the PDF's own operators with pdfplumber, SVG with the standard library's parser. Lengths are checked in
test_drawn_lengths; here: units, layers, closed outlines, arcs as arcs, sheet sizes, and what a file without a page round
it says of itself.
"""

import io
import math
import xml.etree.ElementTree as ET
from itertools import pairwise

import ezdxf
import numpy as np
import pdfplumber
import pytest
from ezdxf.bbox import extents

from jobs.drawings import letters
from jobs.drawings.files import LAYERS, dxf_bytes, pdf_bytes, svg_text
from jobs.drawings.fullsize import full_size
from jobs.drawings.piece import flattened
from jobs.drawings.scene import Path, bounds
from jobs.forming import FORMS
from jobs.forming.outline import flatten
from jobs.forming.result import Arc
from tests.jobs.drawings.panels import AWKWARD, awkward, panel
from tests.jobs.drawings.test_no_overlap import inches

POINTS_PER_MM = 72 / 25.4
SHEETS = {
    "one gather": ("sweep", {"gather": 40.0, "lines": 2}),
    "a tray on three sides": ("tray", {"sides": "front right back"}),
    "a great flange": ("arch", {"outside_radius_mm": 4000.0, "turn_rad": 0.35}),
}
EVERY = [*FORMS, *AWKWARD, *SHEETS]


def work_of(name):
    if name in FORMS:
        return panel(name)
    return awkward(name) if name in AWKWARD else panel(SHEETS[name][0], **SHEETS[name][1])


def read(work, *, mirrored=False):
    return ezdxf.read(io.StringIO(dxf_bytes(work, mirrored=mirrored).decode()))


def ends_of(entity):
    if entity.dxftype() == "LINE":
        return entity.dxf.start, entity.dxf.end
    return entity.start_point, entity.end_point


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("name", EVERY)
def test_dxf_outlines_close(name, mirrored):
    """Outline and trim follow one another without a gap: each end meets one other; a circle has none."""
    drawing = read(work_of(name), mirrored=mirrored)
    assert drawing.header["$INSUNITS"] == 4
    for layer in ("OUTLINE", "TRIM"):
        made = list(drawing.modelspace().query(f'*[layer=="{layer}"]'))
        assert made
        ends = [end for one in made if one.dxftype() != "CIRCLE" for end in ends_of(one)]
        for point in ends:
            # A full ring is slit along its seam, where two more ends come together.
            assert sum(point.isclose(other, abs_tol=1e-6) for other in ends) in (2, 4)


@pytest.mark.parametrize("name", EVERY)
def test_dxf_arcs_are_arcs(name):
    """As many arcs and circles as the flat has arcs, of the same radii: nothing is cut up into straights."""
    work = work_of(name)
    drawing = read(work)
    wanted = {
        "OUTLINE": work.by_length.runs,
        "TRIM": work.trimmed.runs,
        "LINES": [run for one in work.lines for run in one.path],
    }
    for layer, runs in wanted.items():
        found = drawing.modelspace().query(f'ARC CIRCLE[layer=="{layer}"]')
        radii = sorted(run.radius_mm for run in runs if isinstance(run, Arc))
        assert sorted(one.dxf.radius for one in found) == pytest.approx(radii)
    assert {one.dxf.layer for one in drawing.modelspace()} <= set(LAYERS)


@pytest.mark.parametrize("name", EVERY)
def test_dxf_lines_are_told_apart_by_their_pattern(name):
    """Kinds of line that look alike on a screen without layers have line types of their own."""
    work = work_of(name)
    kinds = {one.kind for one in work.lines if one.path} - {"start", "edge"}
    types = {one.dxf.linetype for one in read(work).modelspace().query('*[layer=="LINES"]')} - {"BYLAYER"}
    assert len(types) == len(kinds)


@pytest.mark.parametrize("name", EVERY)
def test_svg_and_pdf_are_as_large_as_the_drawing(name):
    """SVG: a user unit is a millimetre; PDF: the sheet is the drawing with 10 mm round it."""
    work = work_of(name)
    root = ET.fromstring(svg_text(work))
    wide, high = (float(root.attrib[one].removesuffix("mm")) for one in ("width", "height"))
    assert [float(one) for one in root.attrib["viewBox"].split()] == pytest.approx(
        [0, 0, wide, high], abs=1e-3
    )
    box = [max(axis) - min(axis) for axis in zip(*flatten(work.trimmed.runs), strict=True)]
    assert wide >= box[0] + 2 * 8 - 0.01
    assert high >= box[1] + 2 * 8 - 0.01
    with pdfplumber.open(io.BytesIO(pdf_bytes(work))) as pdf:
        page = pdf.pages[0]
        assert float(page.width) / POINTS_PER_MM == pytest.approx(wide + 20, abs=0.01)
        assert float(page.height) / POINTS_PER_MM == pytest.approx(high + 20, abs=0.01)


@pytest.mark.parametrize(("write", "long"), [(None, 100.0), (inches, 101.6)])
def test_a_file_without_a_page_carries_a_bar_to_measure(write, long):
    look = {} if write is None else {"write_length": write}
    scene = full_size(panel("tray"), check=True, **look)
    group = next(item for item in scene.items if getattr(item, "name", "") == "scale")
    path, text = group.items
    assert math.dist(path.runs[0].start, path.runs[0].end) == pytest.approx(long)
    assert text.text == f"This must measure {'100 mm' if write is None else '4 in'}: full size."
    assert "must measure" in svg_text(panel("tray"))
    assert not [item for item in full_size(panel("tray")).items if getattr(item, "name", "") == "scale"]


def test_the_bar_measures_what_it_says_on_the_pdf():
    with pdfplumber.open(io.BytesIO(pdf_bytes(panel("tray")))) as pdf:
        longs = [
            abs(one["x1"] - one["x0"]) / POINTS_PER_MM for one in (*pdf.pages[0].lines, *pdf.pages[0].curves)
        ]
    assert any(one == pytest.approx(100.0, abs=0.05) for one in longs)


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("name", EVERY)
def test_the_dxf_header_tells_where_the_drawing_lies(name, mirrored):
    drawing = read(work_of(name), mirrored=mirrored)
    drawn = extents(drawing.modelspace())
    # Arcs are measured there as straights, to a hundredth of a millimetre.
    assert drawing.header["$EXTMIN"] == pytest.approx(tuple(drawn.extmin), abs=0.02)
    assert drawing.header["$EXTMAX"] == pytest.approx(tuple(drawn.extmax), abs=0.02)


def test_dashes_of_the_dxf_can_be_told_from_a_line_drawn_through():
    """The shortest gap of any line type, at the drawing's scale: a millimetre or more."""
    drawing = read(panel("tray"))
    used = {one.dxf.linetype for one in drawing.modelspace()} - {"BYLAYER"} | {"DASHED"}
    for name in used:
        gaps = [-tag.value for tag in drawing.linetypes.get(name).pattern_tags.tags if tag.code == 49]
        gaps = [gap for gap in gaps if gap > 0]
        assert min(gaps) * drawing.header["$LTSCALE"] >= 1.0


@pytest.mark.parametrize("form", ["arch", "dome", "sweep", "crown", "tray"])
def test_the_worked_edge_is_named_on_the_full_size_pattern(form):
    texts = [text.text for text in full_size(panel(form)).texts()]
    assert "edge" in texts


def test_words_stand_on_the_piece_where_it_has_room_and_below_it_where_not():
    roomy = full_size(panel("tray"), words=["117 L Hood", "left hand"])
    slim = full_size(panel("arch", turn_rad=0.05), words=["117 L Hood", "left hand"])
    for scene, is_on in ((roomy, True), (slim, False)):
        (name,) = (text for text in scene.texts() if text.text == "117 L Hood")
        (trim,) = (leaf for leaf in scene.leaves() if isinstance(leaf, Path) and leaf.role == "trim")
        assert (name.at[1] < bounds(trim.runs).bottom) is is_on


def test_only_the_panels_name_is_bold():
    bold = [text.text for text in full_size(panel("tray")).texts() if text.bold]
    assert bold == []
    named = full_size(panel("tray"), words=["117 L"]).texts()
    assert [text.text for text in named if text.bold] == ["117 L"]


SMALL = {
    "a little dome": ("dome", {"diameter_mm": 30.0, "height_mm": 8.0}),
    "a short flange": ("arch", {"turn_rad": 0.1, "bend_radius_mm": 10.0, "depth_mm": 40.0}),
    "a little tray": ("tray", {"width_mm": 80.0, "length_mm": 60.0, "corner_radius_mm": 20.0,
                               "bend_radius_mm": 2.0, "depth_mm": 15.0, "trim": 0.0}),
}  # fmt: skip


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("name", [*FORMS, *SMALL])
def test_a_name_lies_along_its_line_from_end_to_end(name, mirrored):
    """A straight name over a tight curve, or past the end of a short line, would cover what lies beside it."""
    work = panel(SMALL[name][0], **SMALL[name][1]) if name in SMALL else panel(name)
    scene = full_size(work, mirrored=mirrored)
    paths = [dense(flattened(leaf.runs)) for leaf in scene.leaves() if isinstance(leaf, Path)]
    names = [text for text in scene.texts() if text.role == "label" and text.anchor == "middle"]
    assert names
    for text in names:
        turn, half = math.radians(text.rotate_deg), letters.width(text.text, text.size) / 2
        up, along = (math.sin(turn), -math.cos(turn)), (math.cos(turn), math.sin(turn))
        middle = [at + letters.MIDDLE * text.size * part for at, part in zip(text.at, up, strict=True)]
        reached = [[m + side * half * a for m, a in zip(middle, along, strict=True)] for side in (-1, 0, 1)]
        off = min(max(np.hypot(*(path - at).T).min() for at in reached) for path in paths)
        assert off <= text.size / 2 + 0.2, text.text


@pytest.mark.parametrize("form", ["arch", "tray", "sweep", "crown", "dome"])
def test_a_name_hides_no_gather_that_leaves_it_room(form):
    scene = full_size(panel(form))
    wedges = [dense([run.start, run.end]) for leaf in scene.leaves()
              if isinstance(leaf, Path) and leaf.role == "gather" for run in leaf.runs]  # fmt: skip
    assert wedges
    names = [text for text in scene.texts() if text.role == "label" and text.anchor == "middle"]
    for text in names:
        turn = math.radians(-text.rotate_deg)
        half = letters.width(text.text, text.size) / 2
        for wedge in wedges:
            x, y = (wedge - text.at).T
            level, upright = x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)
            under = (abs(level) < half) & (upright < 0) & (upright > -letters.MIDDLE * 2 * text.size)
            assert not under.any(), text.text


def dense(path):
    """A path as points hardly two tenths of a millimetre apart."""
    corners = np.array(path)
    return np.concatenate(
        [np.linspace(a, b, 2 + math.ceil(math.dist(a, b) / 0.2)) for a, b in pairwise(corners)]
    )
