"""``manage.py hours``: no database, one JSON object, and one line where something is wrong."""

import json
import os
import subprocess
import sys
from datetime import timedelta
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from estimates.hours import read_history, write_history

from .cast import a_history, a_past_panel
from .test_notebook import PANEL

ROOT = Path(__file__).parents[3]
KEYS = {"p50", "p80", "mean_log", "scale", "degrees_of_freedom", "n_past"}


@pytest.fixture
def files(tmp_path):
    def write(history=None, **panel):
        (tmp_path / "panel.json").write_text(json.dumps(PANEL | panel))
        (tmp_path / "past.csv").write_text(write_history(a_history(30)) if history is None else history)
        return {"history": tmp_path / "past.csv", "panel": tmp_path / "panel.json"}

    return write


def run(**options):
    out, err = StringIO(), StringIO()
    call_command("hours", stdout=out, stderr=err, **options)
    return out.getvalue(), err.getvalue()


def test_json_holds_every_stage_and_the_total(files):
    out, _ = run(**files(), json=True)
    answer = json.loads(out)
    assert list(answer) == ["layout", "gathering", "blending", "smoothing", "total"]
    for figures in answer.values():
        assert set(figures) == KEYS
        assert 0 < figures["p50"] < figures["p80"]
        assert figures["n_past"] == 30


def test_a_stage_without_driver_is_zero_in_valid_json(files):
    out, _ = run(**files(moved_dm2=0), json=True)
    gathering = json.loads(out, parse_constant=pytest.fail)["gathering"]
    assert (gathering["p50"], gathering["p80"], gathering["mean_log"]) == (0.0, 0.0, None)


def test_table_for_people(files):
    out, _ = run(**files())
    assert [line.split()[0] for line in out.splitlines()] == [
        "stage", "layout", "gathering", "blending", "smoothing", "total",
    ]  # fmt: skip


def test_without_a_history_first_rates_speak(files):
    out, _ = run(panel=files()["panel"], json=True)
    assert json.loads(out)["total"]["n_past"] == 0


def test_bad_rows_are_all_named_and_refused(files):
    text = write_history([a_past_panel("a"), a_past_panel("b"), a_past_panel("c")])
    lines = text.splitlines()
    lines[1], lines[3] = lines[1].replace("steel", ""), lines[3].replace("hand", "lathe")
    paths = files("\n".join(lines))
    with pytest.raises(CommandError, match=r"line 2: .*line 4: .*--skip-bad") as refusal:
        run(**paths)
    assert refusal.value.returncode == 2
    out, err = run(**paths, skip_bad=True, json=True)
    assert json.loads(out)["total"]["n_past"] == 1
    assert "line 2" in err


def test_columns_nobody_asked_for_are_named(files):
    lines = write_history(a_history(3)).splitlines()
    text = "\n".join([lines[0] + ",weather", *(line + ",sunny" for line in lines[1:])])
    assert "weather" in run(**files(text))[1]
    assert len(read_history(text).panels) == 3


def test_a_day_after_the_one_asked_about_is_pointed_out(files):
    tomorrow = timezone.localdate() + timedelta(days=1)
    paths = files(write_history([a_past_panel(finished_on=tomorrow)]))
    out, err = run(**paths, json=True, half_life=100)
    assert json.loads(out)["total"]["n_past"] == 1
    assert err == f"line 2: {tomorrow} is after {timezone.localdate()}. It counts as of that day.\n"
    assert run(**paths, json=True, half_life=100, on=tomorrow) == (out, "")


def test_a_panel_told_of_twice_is_pointed_out(files):
    out, err = run(**files(write_history([a_past_panel(), a_past_panel()])), json=True)
    assert json.loads(out)["total"]["n_past"] == 2
    assert err == "line 3: dome of 2025-06-01 stands on line 2 already. It counts twice.\n"


def test_a_notebook_without_panels_leaves_the_first_rates_and_says_so(files):
    paths = files(write_history([]))
    out, err = run(**paths, json=True)
    assert out == run(panel=paths["panel"], json=True)[0]
    assert err == f"No past panel in {paths['history']}: first rates only.\n"


def test_a_metal_nobody_knows_is_pointed_out_with_what_is_known(files):
    past = write_history(
        [a_past_panel(metal="Pewter"), a_past_panel("b", metal="tin", left_out_reason="fell")]
    )
    assert run(**files(past, metal=" pewter"))[1] == ""
    out, err = run(**files(past, metal="tin"), json=True)
    assert err.startswith("Nothing is known of tin, so that its range is wide. Known metals: aluminium, ")
    assert "pewter" in err
    known = json.loads(run(**files(past, metal="pewter"), json=True)[0])
    strange = json.loads(out)
    assert strange["total"]["p80"] / strange["total"]["p50"] > known["total"]["p80"] / known["total"]["p50"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--on", "yesterday"], "'yesterday' is not a day such as 2026-03-02"),
        (["--half-life", "long"], "'long' is not a number of days"),
        (["--on", "2026-13-01"], "'2026-13-01' is not a day"),
        (["--weather", "fine"], "Not understood: --weather fine"),
    ],
)
def test_an_argument_that_cannot_be_read_is_refused_in_one_line(files, arguments, said):
    with pytest.raises(CommandError, match=said) as refusal:
        call_command("hours", "--panel", str(files()["panel"]), *arguments)
    assert (refusal.value.returncode, str(refusal.value).count("\n")) == (2, 0)


@pytest.mark.parametrize("half_life", [0, -1])
def test_impossible_half_life_is_refused(files, half_life):
    with pytest.raises(CommandError, match="half-life"):
        run(**files(), half_life=half_life)


def test_as_a_script_it_needs_no_database_and_fails_with_one_line(files, tmp_path):
    environment = os.environ | {
        "GATHERBOOK_VAR": str(tmp_path / "var"),
        "DJANGO_SETTINGS_MODULE": "shop.settings",
    }

    def script(*arguments):
        command = [sys.executable, str(ROOT / "manage.py"), "hours", *map(str, arguments)]
        return subprocess.run(
            command, capture_output=True, text=True, check=False, cwd=tmp_path, env=environment
        )

    paths = files()
    good = script("--history", paths["history"], "--panel", paths["panel"], "--json")
    assert good.returncode == 0, good.stderr
    assert json.loads(good.stdout)["total"]["n_past"] == 30
    assert not list((tmp_path / "var").glob("*.sqlite3"))
    lacking = {key: value for key, value in PANEL.items() if key != "moved_dm2"}
    paths["panel"].write_text(json.dumps(lacking))
    bad = script("--history", paths["history"], "--panel", paths["panel"], "--json")
    assert (bad.returncode, bad.stdout) == (2, "")
    assert len(bad.stderr.strip().splitlines()) == 1
    assert "moved_dm2" in bad.stderr
    missing = script("--history", tmp_path / "nowhere.csv", "--panel", paths["panel"])
    assert missing.returncode == 2
