"""Reading an old notebook: every way of writing a number that is clear, and a line and a reason for the rest."""

import json
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimates.hours import (
    BadRow,
    Drivers,
    PastPanel,
    UnusableDrivers,
    UnusableHistory,
    read_history,
    read_panel,
    write_history,
)
from estimates.hours.notebook import COLUMNS

from .cast import a_history, a_past_panel

HEADING = ",".join(COLUMNS)
GOOD = "wing skin,2025-06-01,steel,hand,1,6.0,4.0,30.0,45.0,0.9,3.2,4.5,2.25"


def book(*rows, heading=HEADING):
    return "\n".join([heading, *rows]) + "\n"


def test_a_plain_row():
    [panel] = read_history(book(GOOD)).panels
    assert panel == PastPanel(
        "wing skin", date(2025, 6, 1), Drivers(6.0, 4.0, 30.0, 45.0, "steel"), 0.9, 3.2, 4.5, 2.25
    )


def test_blank_hours_are_not_recorded():
    [panel] = read_history(book("a,2025-06-01,steel,hand,1,6,4,30,45,,3.2, ,")).panels
    assert (panel.layout_hours, panel.gathering_hours, panel.blending_hours) == (None, 3.2, None)


def test_semicolons_and_decimal_commas():
    row = "Kuppel;1.6.2025;aluminium;power;2;6,5;4,25;1 030,5;45;0,9;;4,5;2"
    notebook = read_history(book(row, heading=HEADING.replace(",", ";")))
    [panel] = notebook.panels
    assert panel.drivers.layout_m == 6.5
    assert panel.drivers.worked_dm2 == 1030.5
    assert panel.finished_on == date(2025, 6, 1)
    assert panel.drivers.hand_order == 2


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("1.5", 1.5),
        ('"1,5"', 1.5),
        ('"1.234,5"', 1234.5),
        ('"1,234.5"', 1234.5),
        ("1\u202f234.5", 1234.5),
        ("1 234", 1234.0),
        (".5", 0.5),
        ("7.", 7.0),
        ("+7", 7.0),
        ("1.5E-05", 1.5e-5),
    ],
)
def test_clear_numbers(text, number):
    [panel] = read_history(book(GOOD.replace("30.0", text))).panels
    assert panel.drivers.worked_dm2 == number


@pytest.mark.parametrize(
    "text", ['"1,234"', "1e300", "nan", "inf", "3 h", "1.2.3", '"1,2,3"', "12 34", "٣", "-"]
)
def test_unclear_numbers_are_refused(text):
    notebook = read_history(book(GOOD, GOOD.replace("30.0", text)))
    assert len(notebook.panels) == 1
    [bad] = notebook.bad
    assert bad.line == 3
    assert bad.reason.startswith("worked_dm2")


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (("wing skin", ""), "panel is blank"),
        (("2025-06-01", "2025-02-30"), "not a day of the calendar"),
        (("2025-06-01", "06/01/2025"), "not a date such as"),
        ((",1,", ",3,"), "neither 1 (first) nor 2"),
        ((",1,", ",,"), "neither 1 (first) nor 2"),
        (("hand", "lathe"), "none of hand, power"),
        (("steel", ""), "name of its metal"),
        (("6.0", "-6.0"), "not between 0"),
        (("45.0", "450000"), "450,000 dm² is more than any panel has (10,000 dm²); is it in another unit?"),
        (("3.2", "0.0001"), "gathering_hours: 0.0001 h is less than four seconds"),
        (("2025-06-01", "0225-06-01"), "finished_on: '0225-06-01' is before 1900."),
        (("2025-06-01", "1.6.225"), "not a date such as"),
        (("wing skin", "wing\0skin"), "panel: 'wing\\x00skin' has characters that cannot be printed"),
        (("wing skin", "w" * 201), f"panel: '{'w' * 40}…' is longer than 200 characters"),
        (("hand", '"lathe\nof the shop"'), "'lathe of the shop' is none of hand, power"),
        (("2025-06-01", "29.5.26"), "not a date such as 2026-03-02 or 2.3.2026"),
        ((",1,", ",1.0,"), "'1.0' is neither 1 (first) nor 2"),
        (("3.2", "1e308"), "not between 0 and a million"),
        (("45.0", "1e308"), "finished_dm2: 1e+308 dm² is more than any panel has"),
        (("3.2", "nan"), "gathering_hours: 'nan' is not a number"),
        (("6.0", ""), "layout_m is blank"),
        (("3.2", "0"), "leave it blank"),
        (("3.2", "-1"), "not between 0"),
        ((",2.25", ""), "12 cells where the heading has 13"),
        (("2.25", "2.25,7"), "14 cells where the heading has 13"),
    ],
)
def test_a_bad_row_comes_back_with_line_and_reason(change, reason):
    notebook = read_history(book(GOOD, "", GOOD.replace(*change), GOOD))
    assert len(notebook.panels) == 2
    [bad] = notebook.bad
    assert bad.line == 4
    assert reason in bad.reason


def test_an_unquoted_decimal_comma_is_named_as_the_likely_slip():
    [bad] = read_history(book(GOOD.replace("6.0", "6,5"))).bad
    assert "decimal comma" in bad.reason


@pytest.mark.parametrize("day", ["29.05.2026", "29.5.2026", "29. 5. 2026", "2026-05-29"])
def test_days_written_either_way(day):
    [panel] = read_history(book(GOOD.replace("2025-06-01", day))).panels
    assert panel.finished_on == date(2026, 5, 29)


def test_a_day_to_come_is_a_bad_row_and_today_is_not():
    rows = [GOOD.replace("2025-06-01", day) for day in ("2.3.2026", "2026-03-03")]
    notebook = read_history(book(*rows), today=date(2026, 3, 2))
    assert [panel.finished_on for panel in notebook.panels] == [date(2026, 3, 2)]
    assert notebook.bad == (BadRow(3, "finished_on: '2026-03-03' is still to come."),)


def test_a_panel_told_of_twice_is_named_with_both_lines_and_the_hands_of_a_pair_are_two():
    second, otherwise = GOOD.replace(",1,", ",2,"), GOOD.replace("3.2", "9.9")
    notebook = read_history(book(GOOD, second, "", otherwise, GOOD.replace("06-01", "06-02")))
    assert len(notebook.panels) == 4
    assert notebook.doubles() == (BadRow(5, "wing skin of 2025-06-01 stands on line 2 already."),)


def test_tabs_between_cells_and_quoted_headings():
    tabs = book(GOOD).replace(",", "\t")
    assert read_history(tabs).panels == read_history(book(GOOD)).panels
    quoted = ",".join(f'"{name}"' for name in HEADING.upper().split(","))
    assert read_history(book(GOOD, heading=quoted)).panels == read_history(book(GOOD)).panels


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-16-be"])
def test_encodings(encoding):
    text = book(GOOD.replace("wing skin", "Kuppel für die Mühle")).replace("\n", "\r\n")
    [panel] = read_history(text.encode(encoding)).panels
    assert panel.panel == "Kuppel für die Mühle"


def test_encodings_mixed_in_one_file():
    lines = book(GOOD.replace("wing skin", "Tür")).encode() + GOOD.replace("wing skin", "Tür hinten").encode(
        "cp1252"
    )
    assert [panel.panel for panel in read_history(lines).panels] == ["Tür", "Tür hinten"]


def test_bytes_of_no_encoding_are_refused():
    [bad] = read_history(book(GOOD).encode().replace(b"wing", b"w\x81ng")).bad
    assert bad.line == 2
    assert "neither UTF-8 nor Windows-1252" in bad.reason


def test_a_quotation_mark_that_is_never_closed_is_named_as_the_likely_slip():
    [bad] = read_history(book(GOOD.replace("wing skin", '"wing skin'), GOOD)).bad
    assert (bad.line, bad.reason) == (
        2, "1 cell where the heading has 13 (a quotation mark that is never closed?).",
    )  # fmt: skip


@pytest.mark.parametrize("source", [b"\x89PNG\r\n\x1a\n", "once upon a time", '{"panel": 1}', ""])
def test_a_file_without_any_of_the_columns_is_called_no_notebook(source):
    with pytest.raises(
        UnusableHistory, match="line 1: This is no notebook: the heading lacks panel, finished_on"
    ):
        read_history(source)


@pytest.mark.parametrize("source", ["", "\n\n", b"", HEADING.replace(",metal", ""), "\x00\x01", "{}"])
def test_a_heading_that_lacks_a_column_is_refused(source):
    with pytest.raises(UnusableHistory, match="lacks") as refusal:
        read_history(source)
    assert refusal.value.line == 1


def test_a_doubled_column_is_refused():
    with pytest.raises(UnusableHistory, match="metal twice"):
        read_history(HEADING + ",metal\n")


def test_a_heading_alone_is_an_empty_notebook():
    assert read_history(HEADING).panels == ()


def test_columns_may_stand_in_any_order_and_others_are_named():
    names, cells = HEADING.split(","), GOOD.split(",")
    notebook = read_history(
        book(",".join([*cells[::-1], "sunny"]), heading=",".join([*names[::-1], "Weather"]))
    )
    assert notebook.panels == read_history(book(GOOD)).panels
    assert notebook.ignored_columns == ("weather",)


def test_lines_are_counted_as_an_editor_counts_them():
    notebook = read_history(
        book('"two\nlines",2025-06-01,steel,hand,1,6,4,30,45,,,,', GOOD.replace("6.0", "x"))
    )
    assert notebook.panels[0].panel == "two lines"
    assert notebook.bad[0].line == 4


def test_finish_and_reason_are_read_where_they_stand():
    heading = HEADING + ",finish,left_out_reason"
    [panel] = read_history(book(GOOD + ",Bright,fell off the bench", heading=heading)).panels
    assert panel.drivers.finish == "bright"
    assert panel.left_out_reason == "fell off the bench"


def test_what_is_written_is_read_back():
    history = (
        *a_history(20),
        a_past_panel("odd", finish="bright"),
        a_past_panel("x", left_out_reason="dropped; twice"),
    )
    assert read_history(write_history(history)).panels == history
    assert write_history(a_history(1)).splitlines()[0] == HEADING


def test_a_cell_is_never_a_formula():
    panel = a_past_panel('=HYPERLINK("x")')
    text = write_history([panel])
    assert "\"'=HYPERLINK" in text
    assert read_history(text).panels == (panel,)


names = st.text(
    st.characters(
        codec="utf-8", exclude_categories=("Cc", "Cs", "Zs", "Zl", "Zp"), exclude_characters="\ufffd"
    ),
    min_size=1,
    max_size=12,
)


@given(name=names, metal=names, amount=st.floats(0, 1e4), hours=st.one_of(st.none(), st.floats(1e-3, 1e6)))
@settings(max_examples=100, deadline=None)
def test_any_panel_is_read_back(name, metal, amount, hours):
    panel = a_past_panel(name, metal=metal, worked_dm2=amount, hours={"blending": hours})
    assert read_history(write_history([panel])).panels == (panel,)
    assert read_history(write_history([panel]).encode()).panels == (panel,)


@given(st.one_of(st.text(max_size=200), st.binary(max_size=200)))
@settings(max_examples=100, deadline=None)
def test_anything_else_is_refused_and_never_breaks(source):
    heading = HEADING + "\n"
    try:
        notebook = read_history(heading + source if isinstance(source, str) else heading.encode() + source)
    except UnusableHistory:
        return
    assert notebook.panels == ()


PANEL = {
    "layout_m": 6,
    "moved_dm2": 4.0,
    "worked_dm2": 30,
    "finished_dm2": 45,
    "metal": "steel",
    "method": "hand",
    "hand_order": 1,
}


def test_a_panel_to_come():
    assert read_panel(json.dumps(PANEL)) == Drivers(6.0, 4.0, 30.0, 45.0, "steel")
    more = PANEL | {"panel": "wing", "finished_on": "2026-01-01", "finish": "bright"}
    assert read_panel(json.dumps(more).encode()).finish == "bright"
    assert read_panel(json.dumps(PANEL | {"method": " Power"})).method == "power"


@pytest.mark.parametrize(
    ("source", "reason"),
    [
        ("not json", "not JSON"),
        (b"\xff\xfe\xff", "not JSON"),
        ("[" * 100_000, "not JSON"),
        ("[]", "JSON object"),
        (json.dumps({k: v for k, v in PANEL.items() if k != "metal"}), "lacks metal"),
        (json.dumps(PANEL | {"weight": 3}), "weight"),
        (json.dumps(PANEL)[:-1] + ', "layout_m": 7}', "^layout_m: The panel says layout_m twice.$"),
        (json.dumps(PANEL | {"layout_m": "6"}), "not a number"),
        (json.dumps(PANEL | {"layout_m": True}), "not a number"),
        (json.dumps(PANEL | {"layout_m": 10**400}), "too large"),
        (json.dumps(PANEL | {"layout_m": float("nan")}), "not between"),
        (json.dumps(PANEL | {"metal": 3}), "not text"),
        (json.dumps(PANEL | {"hand_order": 1.5}), "neither 1"),
        (json.dumps(PANEL | {"method": ["hand"]}), "not text"),
    ],
)
def test_a_panel_that_cannot_be_read_is_refused(source, reason):
    with pytest.raises(UnusableDrivers, match=reason):
        read_panel(source)
