"""What the blank command says to a person: figures in words, its help, and the README's own commands."""

import io
import re
import shlex
from pathlib import Path

import pdfplumber
import pytest
from django.core.management import CommandError, call_command

from jobs.forming import FORMS
from jobs.forming.keys import PANEL, PARTS
from jobs.management.commands.blank import Command
from shop.lengths import parse_length_mm
from tests.jobs.forming.by_command import LINES, blank

ROOT = Path(__file__).parents[3]


def lines_of(form: str, *more: str) -> list[str]:
    out = io.StringIO()
    call_command("blank", form, *LINES[form].split(), "--thickness=1.2", *more, stdout=out)
    return out.getvalue().splitlines()


def test_without_json_figures_are_said_in_words_with_their_unit():
    arch = blank("arch")
    said = {line.partition("  ")[0]: line.rpartition("  ")[2] for line in lines_of("arch")}
    assert said["Mass, finished"] == f"{arch['mass_kg']:.2f} kg"
    assert said["Gather angle"] == f"{arch['gather_angle_deg']:.2f}°"
    assert not [line for line in lines_of("arch") if "_mm" in line or "outline" in line]
    assert any(
        line.startswith("Mind this: The metal is gathered by")
        for line in lines_of("arch", "--elongation=0.05")
    )


def test_an_inch_shop_reads_inches_pounds_and_feet_and_its_blank_is_never_cut_too_small():
    """Pound and inch exactly, from NIST SP 811 (2008), appendix B.8."""
    arch, found = blank("arch"), lines_of("arch", "--units=in")
    said = {re.split(r"  +", line.strip())[0]: re.split(r"  +", line.strip())[-1] for line in found}
    assert said["Mass, finished"] == f"{arch['mass_kg'] / 0.45359237:.2f} lb"
    assert (
        said["Finished area, at the middle of the sheet"] == f"{arch['finished_area_mm2'] / 645.16:.2f} in²"
    )
    assert said["Area worked"] == f"{arch['worked_dm2'] / 9.290304:.2f} ft²"
    assert said["Thinnest"] == "0.047 in"
    for side in ("width", "length"):
        cut_mm = parse_length_mm(said[f"Blank, {side} with trim"])
        assert 0 <= cut_mm - arch[f"blank_{side}_mm"] < 25.4 / 32
    heads = found[found.index("Passes") + 1]
    assert "edge then, in" in heads
    assert not [line for line in found if "mm" in line]


def test_warnings_and_refusals_are_said_in_the_units_asked_for():
    told = "apart at the edge, and the trim is only 1/32 in"
    assert any(told in line for line in lines_of("arch", "--units=in", "--trim=1"))
    assert any(told in one for one in blank("arch", "--units=in", "--trim=1")["warnings"])
    with pytest.raises(
        CommandError, match="A height of 6 11/16 in is more than half the diameter of 11 13/16 in"
    ):
        call_command("blank", "dome", "--diameter=300", "--height=170", "--thickness=1", "--units=in")
    with pytest.raises(CommandError, match="--units: “cm” is not one of its choices"):
        call_command("blank", "dome", "--diameter=300", "--height=70", "--thickness=1", "--units=cm")


@pytest.mark.parametrize(
    ("sheet", "told"),
    [
        (["--thickness=1.6"], "1.6 mm thick"),
        (["--thickness=18 ga", "--family=aluminium"], "1.02 mm thick"),
        (["--thickness=18 ga", "--family=aluminium", "--units=in"], "0.040 in thick"),
    ],
)
def test_a_pattern_of_no_panel_says_its_form_and_sheet(sheet, told, tmp_path):
    """To a hundredth: gauges of sheet stand closer together than tenths."""
    files = [f"--{kind}={tmp_path}/dome.{kind}" for kind in ("svg", "pdf")]
    call_command("blank", "dome", *LINES["dome"].split(), *sheet, *files, stdout=io.StringIO())
    svg = re.sub(r"<[^>]*>", " ", (tmp_path / "dome.svg").read_text())
    with pdfplumber.open(tmp_path / "dome.pdf") as pdf:
        pages = pdf.pages[0].extract_text()
    assert told in svg
    assert told in pages
    assert ("trim line: 3/4 in out" in svg.replace("\u00a0", " ")) == ("--units=in" in sheet)


def test_tables_in_lines_have_headings_over_their_columns():
    lines = lines_of("arch")
    at = lines.index("Passes")
    assert lines[at + 1].split("  ")[-1] == "edge then, mm"
    assert len({len(line) for line in lines[at + 1 : at + 5]}) == 1


@pytest.mark.parametrize("form", FORMS)
def test_every_key_that_is_printed_is_explained_in_the_help(form):
    told = Command().create_parser("manage.py", "blank").format_help()
    found = blank(form)
    assert list(found) == [key for key in PANEL if key in found]
    assert all(f"  {key} " in told for key in found)
    for part, keys in PARTS.items():
        rows = found.get(part, [])
        for row in [rows] if isinstance(rows, dict) else rows:
            assert list(row) == [key for key in keys if key in row]
            assert all(f"    {key} " in told for key in row)


@pytest.mark.parametrize("form", FORMS)
def test_the_help_says_which_options_each_form_wants(form):
    told = Command().create_parser("manage.py", "blank").format_help()
    own = " ".join(re.search(rf"^  {form}: .*\n((?:    .*\n?)+)", told, re.MULTILINE)[1].split())
    for dimension in FORMS[form].dimensions:
        assert f"--{dimension.option}" in own
        assert (f"[--{dimension.option}" in own) == (dimension.default is not None or not dimension.required)
        assert all(f"'{stored}'" in " ".join(told.split()) for stored, _ in dimension.choices)


def test_the_help_says_where_each_dimension_is_measured_and_leaves_the_programs_own_options_out():
    told = " ".join(Command().create_parser("manage.py", "blank").format_help().split())
    for form in FORMS.values():
        for dimension in form.dimensions:
            assert dimension.help.rstrip(".")[1:] in told or dimension.choices
    assert "Depth: from the web's outside face to the flange's edge (arch, tray)" in told
    assert "--settings" not in told
    assert "flat_length_mm Length laid flat, mm: across a flange (arch, tray)" in told


def readme_blocks() -> list[str]:
    section = (ROOT / "README.md").read_text().partition("## Figures for scripts")[2].partition("\n## ")[0]
    return re.findall(r"```\n(.*?)```", section, re.DOTALL)


def test_the_commands_of_the_readme_run_and_print_what_it_shows(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    blocks = readme_blocks()
    shown = next(at for at, block in enumerate(blocks) if block.startswith("Form "))
    for block in blocks[:shown]:
        for command in block.replace("\\\n", " ").splitlines():
            words, out = shlex.split(command), io.StringIO()
            assert words[:3] == ["python", "manage.py", "blank"]
            call_command(*words[2:], stdout=out)
    # The last of the commands is the one whose lines are shown.
    assert out.getvalue().splitlines() == blocks[shown].splitlines()
    assert {file.suffix for file in tmp_path.iterdir()} == {".svg", ".dxf"}
