"""Bringing old notebooks in: bad rows told, nothing written unless all is well, twice changes nothing."""

import io
from datetime import date, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone

from estimates.history import (
    MOST_BYTES,
    MOST_ROWS,
    HistoryRefused,
    import_panels,
    leave_out,
    plan_import,
    take_back,
    written_history,
)
from estimates.learning import shop_model
from estimates.models import PastPanel
from shop.models import AuditEntry

pytestmark = pytest.mark.django_db

HEAD = (
    "panel,finished_on,metal,method,hand_order,layout_m,moved_dm2,worked_dm2,finished_dm2,"
    "layout_hours,gathering_hours,blending_hours,smoothing_hours"
)
CAP = "Cap,2024-03-02,aluminium,hand,1,4.2,6.5,22,38,1.1,9.5,6.5,5"
TANK = "Tank end,2024-05-11,steel,power,2,6,3.5,18,44,1.6,,5.5,6.25"
BAD_METHOD = "Cowl,2024-06-01,steel,laser,1,6,3.5,18,44,1.6,4,5.5,6.25"
BAD_NUMBER = "Scoop,2024-06-09,steel,hand,1,six,3.5,18,44,1.6,4,5.5,6.25"
BAD_DATE = "Nose,2024-02-31,steel,hand,1,6,3.5,18,44,1.6,4,5.5,6.25"


def notebook(*rows: str) -> str:
    return "\n".join((HEAD, *rows)) + "\n"


def test_good_rows_come_in_as_they_stand(shop, owner):
    assert import_panels(plan_import(notebook(CAP, TANK)).new, owner) == 2
    cap, tank = PastPanel.objects.get(name="Cap"), PastPanel.objects.get(name="Tank end")
    assert (cap.origin, cap.finished_on, cap.metal) == ("imported", date(2024, 3, 2), "aluminium")
    assert (cap.layout_m, cap.moved_dm2, cap.worked_dm2, cap.finished_dm2) == (4.2, 6.5, 22, 38)
    assert (cap.layout_hours, cap.gathering_hours, cap.smoothing_hours) == (1.1, 9.5, 5)
    assert (tank.method, tank.hand_order, tank.gathering_hours) == ("power", 2, None)
    assert AuditEntry.objects.get(what="brought in 2 past panels").person == owner


def test_planning_writes_nothing(shop):
    assert len(plan_import(notebook(CAP, TANK)).new) == 2
    assert not PastPanel.objects.exists()


def test_every_bad_row_comes_with_its_line_and_its_reason(shop):
    plan = plan_import(notebook(BAD_METHOD, CAP, BAD_NUMBER, BAD_DATE))
    assert [row.line for row in plan.bad] == [2, 4, 5]
    assert "'laser' is none of hand, power" in plan.bad[0].reason
    assert "'six' is not a number" in plan.bad[1].reason
    assert "is not a day of the calendar" in plan.bad[2].reason
    assert [panel.panel for panel in plan.new] == ["Cap"]


def test_the_same_file_twice_changes_nothing(shop, owner):
    plan = plan_import(notebook(CAP, TANK))
    import_panels(plan.new, owner)
    before = list(PastPanel.objects.order_by("pk").values())
    again = plan_import(notebook(CAP, TANK))
    assert (again.new, again.known, again.differing) == ((), 2, ())
    assert import_panels(plan.new, owner) == 0
    assert list(PastPanel.objects.order_by("pk").values()) == before


def test_a_row_that_says_otherwise_than_the_book_is_named_and_the_book_stays(shop, owner):
    import_panels(plan_import(notebook(CAP)).new, owner)
    plan = plan_import(notebook(CAP.replace("9.5", "19.5")))
    assert plan.differing == ("Cap",)
    assert import_panels(plan.new, owner) == 0
    assert PastPanel.objects.get().gathering_hours == 9.5


def test_a_reason_given_in_the_book_does_not_make_a_row_differ(shop, owner):
    import_panels(plan_import(notebook(CAP)).new, owner)
    leave_out(PastPanel.objects.get(), owner, "Apprentice’s first")
    plan = plan_import(notebook(CAP))
    assert (plan.known, plan.differing) == (1, ())


def test_a_panel_twice_in_one_file_is_a_bad_row(shop):
    plan = plan_import(notebook(CAP, CAP))
    assert len(plan.new) == 1
    assert (plan.bad[0].line, plan.bad[0].reason) == (3, "Cap of 2024-03-02 stands on line 2 already.")


def test_both_hands_of_a_pair_come_in_under_one_name(shop, owner):
    plan = plan_import(notebook(CAP, CAP.replace("hand,1", "hand,2").replace("9.5", "8")))
    assert (len(plan.new), plan.bad) == (2, ())
    assert import_panels(plan.new, owner) == 2
    assert list(PastPanel.objects.order_by("hand_order").values_list("hand_order", "gathering_hours")) == [
        (1, 9.5), (2, 8),
    ]  # fmt: skip
    assert (plan_import(written_history()).known, import_panels(plan.new, owner)) == (2, 0)


def test_more_rows_than_the_book_takes_at_once_are_refused_good_or_bad(shop):
    with pytest.raises(HistoryRefused, match="more than 5000 rows"):
        plan_import(notebook(*["x"] * (MOST_ROWS + 1)))


def test_a_panel_finished_in_the_future_is_a_bad_row(shop):
    today = timezone.localdate()
    rows = [CAP.replace("2024-03-02", str(today + timedelta(days=ahead))) for ahead in (0, 1)]
    plan = plan_import(notebook(*rows))
    assert [panel.finished_on for panel in plan.new] == [today]
    [bad] = plan.bad
    assert (bad.line, bad.reason) == (3, f"finished_on: '{today + timedelta(days=1)}' is still to come.")


def test_a_metal_nobody_knows_is_pointed_out_with_what_is_known(shop, owner, owner_client):
    text = notebook(CAP.replace("aluminium", "Aluminum"), TANK, TANK.replace("Tank end", "Lid"))
    plan = plan_import(text)
    assert (len(plan.new), plan.strange_metals) == (3, (("aluminum", 1),))
    said = "No panel is made of aluminum (1 panel). Known metals: steel, galvanized, stainless, aluminium"
    assert plan.strange_words.startswith(said)
    upload = SimpleUploadedFile("old.csv", text.encode())
    page = owner_client.post(reverse("past-panels-import"), {"file": upload}).content.decode()
    assert said in page
    assert plan_import(notebook(CAP, TANK)).strange_words == ""


def test_hours_unlike_all_others_are_pointed_out_before_they_come_in(shop, owner, owner_client):
    rows = [CAP.replace("Cap", f"Cap {number}") for number in range(6)]
    import_panels(plan_import(notebook(*rows)).new, owner)
    text = notebook(CAP.replace("9.5", "10000"), TANK)
    [odd] = plan_import(text).unlike
    assert (odd.panel, odd.stage, odd.hours) == ("Cap", "gathering", 10000)
    assert 8 < odd.expected_hours < 11
    upload = SimpleUploadedFile("old.csv", text.encode())
    page = owner_client.post(reverse("past-panels-import"), {"file": upload}).content.decode()
    assert "Cap: gathering took 10000 h where the other panels say" in page
    assert plan_import(notebook(CAP, TANK)).unlike == ()


def test_a_heading_alone_is_said_to_hold_no_row(shop, owner_client):
    upload = SimpleUploadedFile("old.csv", notebook().encode())
    page = owner_client.post(reverse("past-panels-import"), {"file": upload}).content.decode()
    assert "The file has its heading, and no row under it." in page


def test_decimal_commas_and_semicolons_are_read(shop, owner):
    text = notebook(CAP).replace(".", ";;").replace(",", ";").replace(";;", ",")
    import_panels(plan_import(text).new, owner)
    assert PastPanel.objects.get().moved_dm2 == 6.5


def test_lines_in_several_encodings_are_read(shop, owner):
    source = (HEAD + "\n").encode() + CAP.replace("Cap", "Déflecteur").encode("cp1252") + b"\n"
    source += TANK.replace("Tank end", "Kühler").encode("utf-8") + b"\n"
    import_panels(plan_import(source).new, owner)
    assert set(PastPanel.objects.values_list("name", flat=True)) == {"Déflecteur", "Kühler"}


def test_metals_are_told_apart_whatever_their_capitals(shop, owner):
    import_panels(plan_import(notebook(CAP.replace("aluminium", " Aluminium "))).new, owner)
    assert PastPanel.objects.get().metal == "aluminium"
    assert plan_import(notebook(CAP.replace("aluminium", "ALUMINIUM"))).differing == ()


@pytest.mark.parametrize(
    ("source", "words"),
    [(b"", "lacks"), (b"a,b\n1,2\n", "heading lacks panel"), (b"x" * (MOST_BYTES + 1), "over 2 MB")],
)
def test_a_file_that_is_no_notebook_is_refused_as_a_whole(shop, source, words):
    with pytest.raises(HistoryRefused, match=words):
        plan_import(source)


def test_names_too_long_for_the_book_are_bad_rows(shop):
    plan = plan_import(notebook(CAP.replace("Cap", "C" * 121), CAP.replace("aluminium", "m" * 61)))
    assert plan.new == ()
    assert len(plan.bad) == 2


def test_a_shaper_brings_nothing_in(shop, shaper):
    with pytest.raises(HistoryRefused, match="Only the owner"):
        import_panels(plan_import(notebook(CAP)).new, shaper)
    assert not PastPanel.objects.exists()


def test_what_is_given_away_is_read_back_the_same(shop, owner):
    import_panels(plan_import(notebook(CAP, TANK)).new, owner)
    leave_out(PastPanel.objects.get(name="Cap"), owner, "=SUM(A1)")
    text = written_history()
    assert "'=SUM(A1)" in text
    again = plan_import(text)
    assert (again.known, again.differing, again.bad) == (2, (), ())


# Leaving out


@pytest.fixture
def cap(shop, owner) -> PastPanel:
    import_panels(plan_import(notebook(CAP)).new, owner)
    return PastPanel.objects.get()


def test_a_panel_left_out_teaches_no_more_and_taken_back_teaches_again(cap, owner, shop):
    day = date(2026, 5, 14)
    assert shop_model(shop, day).n_past == 1
    leave_out(cap, owner, "  Apprentice’s   first ")
    assert PastPanel.objects.get().left_out_reason == "Apprentice’s first"
    assert shop_model(shop, day).n_past == 0
    take_back(cap, owner)
    assert shop_model(shop, day).n_past == 1
    assert list(AuditEntry.objects.filter(what__contains="past panel").values_list("what", flat=True))[:2] == [
        "took back past panel", "left out past panel",
    ]  # fmt: skip


@pytest.mark.parametrize("reason", ["", "  ", "x", "y" * 201])
def test_a_reason_is_needed_and_fits(cap, owner, reason):
    with pytest.raises(HistoryRefused, match=r"reason|left out"):
        leave_out(cap, owner, reason)


def test_only_the_owner_leaves_out_and_takes_back(cap, shaper):
    for attempt in (lambda: leave_out(cap, shaper, "Because"), lambda: take_back(cap, shaper)):
        with pytest.raises(HistoryRefused, match="Only the owner"):
            attempt()


# The command


def run(path, *options) -> tuple[str, str]:
    out, err = io.StringIO(), io.StringIO()
    call_command("import_history", str(path), *options, stdout=out, stderr=err)
    return out.getvalue(), err.getvalue()


def file_of(tmp_path, text: str):
    path = tmp_path / "notebook.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_command_brings_a_notebook_in_once(shop, tmp_path):
    path = file_of(tmp_path, notebook(CAP, TANK))
    assert run(path)[0] == "2 panels brought in.\n"
    assert run(path)[0] == "0 panels brought in, 2 in the book already.\n"


def test_the_dry_run_writes_nothing(shop, tmp_path):
    out, _ = run(file_of(tmp_path, notebook(CAP)), "--dry-run")
    assert out == "1 panel would be brought in. Nothing is written.\n"
    assert not PastPanel.objects.exists()


def test_a_bad_row_stops_the_command_unless_it_is_to_be_skipped(shop, tmp_path, capsys):
    path = file_of(tmp_path, notebook(CAP, BAD_METHOD))
    with pytest.raises(CommandError, match="1 bad row; nothing is brought in"):
        run(path)
    assert not PastPanel.objects.exists()
    out, err = run(path, "--skip-bad")
    assert out == "1 panel brought in.\n"
    assert err.startswith("line 3: ")


def test_a_file_that_is_not_there_is_told(shop, tmp_path):
    with pytest.raises(CommandError, match="No such file"):
        run(tmp_path / "none.csv")
