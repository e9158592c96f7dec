"""The blank command: one JSON object on stdout, or one line on stderr and exit code 2."""

import io
import json
import math
import os
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from jobs.management.commands.blank import Command
from tests.jobs.forming.by_command import LINES, blank

ROOT = Path(__file__).parents[3]
COMMON = {
    "form", "finished_area_mm2", "mass_kg", "flat_area_by_length_mm2", "flat_area_by_area_mm2", "blank_width_mm",
    "blank_length_mm", "gather_angle_deg", "stretch_angle_deg", "moved_area_mm2", "thinnest_mm", "thickest_mm",
    "lines", "passes", "outline", "warnings", "layout_m", "moved_dm2", "worked_dm2", "finished_dm2",
}  # fmt: skip
EDGE = {"flat_length_mm", "finished_length_mm", "take_up_mm", "strain", "thickness_mm"}
RADII = {"flat_radius_by_length_mm", "flat_radius_by_area_mm"}
PASS = {
    "line", "wedge_deg", "take_up_mm", "gathers", "rounds", "spacing_mm", "section_angle_deg", "edge_length_mm",
}  # fmt: skip


@pytest.mark.parametrize("form", LINES)
def test_keys_are_those_promised(form):
    report = blank(form)
    edge = {"edge"} if form in ("arch", "sweep", "dome", "crown", "tray") else set()
    lengths = {"bend_allowance_mm", "flat_length_mm"} & set(report)
    assert set(report) == COMMON | edge | lengths
    if edge:
        radii = RADII if form in ("arch", "dome", "tray") else set()
        assert set(report["edge"]) == EDGE | radii
        assert report["passes"]
    assert all(set(each) == PASS for each in report["passes"])
    assert all(set(line) == {"name", "from_start_mm", "from_edge_mm"} for line in report["lines"])
    assert report["outline"][0] == pytest.approx(report["outline"][-1])


@pytest.mark.parametrize("form", LINES)
def test_outline_encloses_the_flat_by_length(form):
    """Arcs to 0.05 mm: the polygon's area by the shoelace rule is the flat's, within 0.05 mm of its edge."""
    report = blank(form)
    points = report["outline"]
    twice = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise(points))
    around = sum(math.dist(a, b) for a, b in pairwise(points))
    assert twice / 2 == pytest.approx(report["flat_area_by_length_mm2"], abs=0.05 * around)


def test_lengths_are_read_as_the_trade_writes_them():
    out = io.StringIO()
    call_command(
        "blank", "dome", "--diameter", "11 13/16 in", "--height", '2 3/8"', "--thickness", "3/64 in",
        "--json", stdout=out,
    )  # fmt: skip
    inches = json.loads(out.getvalue())
    out = io.StringIO()
    call_command(
        "blank",
        "dome",
        "--diameter=300.0375",
        "--height=60.325",
        "--thickness=1.190625",
        "--json",
        stdout=out,
    )
    assert json.loads(out.getvalue()) == inches


def test_defaults_are_the_documented_ones():
    said = ["--trim=19.05", "--gather=5", "--die-width=25", "--lines=3", "--density=7850", "--bend-angle=90"]
    assert blank("arch") == blank("arch", *said)
    assert blank("arch") != blank("arch", "--lines=5")
    assert blank("arch", "--stretch")["edge"]["take_up_mm"] < 0


def test_mass_follows_density():
    assert blank("roll", "--density=2700")["mass_kg"] == pytest.approx(blank("roll")["mass_kg"] * 2700 / 7850)


def test_elongation_is_a_fraction_and_warns():
    assert any("past its elongation" in text for text in blank("arch", "--elongation=0.05")["warnings"])


def test_a_gauge_is_read_for_its_family():
    steel, aluminium = (
        blank("dome", "--thickness=18 ga", f"--family={each}") for each in ("steel", "aluminium")
    )
    assert steel == blank(
        "dome", "--thickness=0.0478 in"
    )  # 18 ga: tests/reference/test_gauges.py has the sources
    assert aluminium == blank("dome", "--thickness=0.0403 in", "--density=2710")


BAD = {
    "no room for the bend": ["arch", "--outside-radius=300", "--turn=90", "--bend-radius=25", "--depth=5"],
    "more than a full turn": ["roll", "--width=4", "--radius=4", "--turn=400"],
    "cannot be read as a length": ["dome", "--diameter=wide", "--height=6"],
    "Height is missing": ["dome", "--diameter=300"],
    "dome has no --width": ["dome", "--diameter=300", "--height=6", "--width=3"],
    "There is no form “scan”": ["scan"],
    "cannot be read as a whole number": ["dome", "--diameter=300", "--height=6", "--lines=many"],
    "finite number": ["dome", "--diameter=300", "--height=6", "--elongation=nan"],
    "sign in front": ["dome", "--diameter=-300", "--height=6"],
    "Not understood: --colour=red": ["dome", "--diameter=300", "--height=6", "--colour=red"],
    "Say --family": ["dome", "--diameter=300", "--height=6", "--thickness=18 ga"],
    "not sold by gauge": ["dome", "--diameter=300", "--height=6", "--thickness=18 ga", "--family=zinc"],
    "no 2 ga in steel": ["dome", "--diameter=300", "--height=6", "--thickness=2 ga", "--family=steel"],
    "Lines must be 2 to 50, and 51 is not": ["dome", "--diameter=300", "--height=6", "--lines=51"],
    "Write one such as 0.25": ["dome", "--diameter=300", "--height=6", "--elongation=much"],
    "or 0 for none": ["dome", "--diameter=300", "--height=6", "--trim=0.0001"],
    "at least 0.01 degrees": ["roll", "--width=4", "--radius=4", "--turn=0.001"],
    "--svg names no file": ["dome", "--diameter=300", "--height=6", "--svg="],
    "--svg and --dxf both name": ["dome", "--diameter=300", "--height=6", "--svg=a/../b", "--dxf=b"],
    "Put what holds a space in quotes": ["dome", "--diameter=300", "--height", "2", "1/2", "in"],
    "--diameter has no value: write one after it": ["dome", "--diameter", "--height=6"],
    "--stretch takes no value": ["arch", "--stretch=no"],
    "Legs are missing: give --leg for each": ["fold", "--width=3", "--bend-radius=3"],
    "--method: “beat” is not one of its choices. Write one of ‘least’, ‘gather’, ‘stretch’": [
        "dome", "--diameter=300", "--height=6", "--method=beat",
    ],
    "A density of 7.85 kg/m³ is no metal's: write 500 to 30000": [
        "dome", "--diameter=300", "--height=6", "--density=7.85",
    ],
    "Write one such as 7850": ["dome", "--diameter=300", "--height=6", "--density=heavy"],
    "thicker than sheet is: write at most 25 mm": ["dome", "--diameter=300", "--height=6", "--thickness=26"],
    "one leg alone stays flat": ["fold", "--width=3", "--leg=40", "--bend-radius=3"],
}  # fmt: skip


@pytest.mark.parametrize("words", BAD)
def test_bad_input_exits_with_2_and_one_line(words, capsys):
    with pytest.raises(SystemExit) as ending:
        Command().run_from_argv(["manage.py", "blank", "--thickness=1.2", *BAD[words], "--json"])
    out, err = capsys.readouterr()
    assert ending.value.code == 2
    assert out == ""
    assert words in err
    assert err.startswith("Refused: ")
    assert len(err.strip().splitlines()) == 1


@pytest.mark.parametrize("option", ["--bend-radius=--", "--thickness=--", "--leg=--"])
def test_an_option_with_dashes_for_a_value_has_none(option):
    with pytest.raises(CommandError, match=rf"^{option.partition('=')[0]} has no value\.$"):
        call_command("blank", "fold", *LINES["fold"].split(), "--thickness=1.2", option)


def test_missing_thickness_and_missing_form(capsys):
    for argv, words in (
        [["dome", "--diameter=3", "--height=1"], "Thickness is missing"],
        [[], "Say which form: arch, sweep"],
    ):
        with pytest.raises(SystemExit) as ending:
            Command().run_from_argv(["manage.py", "blank", *argv])
        assert ending.value.code == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert words in err


def test_called_from_code_it_raises_instead_of_ending():
    with pytest.raises(CommandError, match="Not understood: --colour=red"):
        call_command("blank", "dome", "--colour=red")


def test_pattern_files_are_written(tmp_path):
    files = [tmp_path / f"pattern.{kind}" for kind in ("svg", "dxf", "pdf")]
    blank("arch", *(f"--{file.suffix[1:]}={file}" for file in files))
    svg, dxf, pdf = (file.read_bytes() for file in files)
    assert b"<svg" in svg
    assert b"$INSUNITS" in dxf
    assert pdf.startswith(b"%PDF")


def test_a_file_that_cannot_be_written_leaves_stdout_empty(tmp_path):
    out = io.StringIO()
    with pytest.raises(CommandError, match=r"cannot be written to .*no/such/folder\.svg: "):
        call_command(
            "blank", "dome", "--diameter=300", "--height=60", "--thickness=1", "--json",
            f"--svg={tmp_path}/no/such/folder.svg", stdout=out,
        )  # fmt: skip
    assert out.getvalue() == ""


def test_where_one_pattern_cannot_be_written_none_is(tmp_path):
    with pytest.raises(CommandError, match="there is no folder"):
        blank("dome", f"--svg={tmp_path}/a.svg", f"--pdf={tmp_path}/b.pdf", f"--dxf={tmp_path}/no/c.dxf")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("written", ["right front", "front,right", "right, front"])
def test_sides_may_be_told_in_any_order(written):
    assert blank("tray", f"--sides={written}") == blank("tray", "--sides=front right")


@pytest.mark.parametrize(
    ("family", "density"),
    [
        ("steel", 7850),
        ("galvanized", 7850),
        ("stainless", 8000),
        ("aluminium", 2710),
        ("copper", 8920),
        ("brass", 8530),
    ],
)
def test_a_family_brings_its_density_and_a_given_density_comes_first(family, density):
    """Densities of the metals a new shop starts with; tests/reference/test_densities.py has the sources."""
    assert blank("roll", f"--family={family}") == blank("roll", f"--density={density}")
    assert blank("roll", f"--family={family}", "--density=4510") == blank("roll", "--density=4510")


def as_script(*arguments, **how):
    command = [
        sys.executable,
        "manage.py",
        "blank",
        "dome",
        *LINES["dome"].split(),
        "--thickness=1",
        *arguments,
    ]
    return subprocess.run(command, cwd=ROOT, stderr=subprocess.PIPE, text=True, check=False, **how)


def test_figures_that_cannot_be_printed_are_told_in_one_line():
    with open("/dev/full", "w") as full:
        done = as_script("--json", stdout=full)
    assert (done.returncode, done.stderr) == (
        2, "Refused: The figures cannot be printed: No space left on device.\n",
    )  # fmt: skip


def test_a_reader_that_has_had_enough_is_no_error():
    reading, writing = os.pipe()
    os.close(reading)
    with open(writing, "w") as gone:
        assert as_script(stdout=gone).stderr == ""


def test_a_console_of_few_letters_gets_the_figures_all_the_same():
    done = as_script(stdout=subprocess.PIPE, env=os.environ | {"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0
    assert "Mass, finished                             0.64 kg\n" in done.stdout


@pytest.mark.parametrize("form", LINES)
def test_no_database_is_touched(form):
    """pytest-django forbids the database here, so merely answering is the proof."""
    assert blank(form)["form"] == form
