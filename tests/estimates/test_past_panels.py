"""Pages of the past panels: who may do what, the list and its filters, the record in words, importing in two steps."""

from datetime import date, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from estimates.models import PastPanel
from estimates.past.pages import past_page
from tests.estimates.test_history import BAD_METHOD, CAP, TANK, notebook

pytestmark = pytest.mark.django_db


def make_past(count: int, *, name_from: int = 0, **more) -> list[PastPanel]:
    values = {
        "origin": "imported", "metal": "aluminium", "method": "hand", "layout_m": 4.0, "moved_dm2": 6.0,
        "worked_dm2": 20.0, "finished_dm2": 40.0, "layout_hours": 1.0, "gathering_hours": 6.0,
        "blending_hours": 7.0, "smoothing_hours": 8.0,
    }  # fmt: skip
    return [
        PastPanel.objects.create(
            name=f"Panel {number}", finished_on=date(2025, 1, 1) + timedelta(days=number), **(values | more)
        )
        for number in range(name_from, name_from + count)
    ]


def upload(text: str | bytes, name: str = "notebook.csv") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, text.encode() if isinstance(text, str) else text, "text/csv")


def test_an_empty_list_says_how_panels_come(owner_client, shaper_client):
    page = owner_client.get(reverse("past-panels")).content.decode()
    assert "Bring a notebook in" in page
    assert "Bring a notebook in" not in shaper_client.get(reverse("past-panels")).content.decode()


def test_the_record_is_told_in_words(owner_client, shop):
    make_past(12)
    page = owner_client.get(reverse("past-panels")).content.decode()
    assert "of 12 took no more than their high end; about 10 should." in page
    assert "Whole panel" in page
    assert "than the middle said." in page or "The middle is where it should be." in page


def test_what_changed_a_rate_most_is_named_with_the_panel_that_did(owner_client, shop):
    make_past(12)
    (slow,) = make_past(1, name_from=400, gathering_hours=20.0)
    shown = past_page(shop, stage="gathering")
    first = shown.moved[0]
    assert (first.past, first.move.stage) == (slow, "gathering")
    assert first.move.after > first.move.before
    assert {each.move.stage for each in shown.moved} == {"gathering"}
    page = owner_client.get(reverse("past-panels")).content.decode()
    told = page.partition("What changed the rates")[2].partition("</table>")[0]
    assert told.index("Panel 400") < told.index("slower")


def test_panels_of_more_than_a_year_before_the_last_are_no_news(shop):
    make_past(1, gathering_hours=60.0)
    make_past(3, name_from=400)
    named = {each.past.name for each in past_page(shop).moved}
    assert named
    assert named <= {"Panel 400", "Panel 401", "Panel 402"}


def test_a_few_panels_say_that_they_are_few(owner_client, shop):
    make_past(3)
    assert "3 panels can say little yet." in owner_client.get(reverse("past-panels")).content.decode()


def test_the_list_is_narrowed_by_metal_and_stage(shop, owner_client):
    make_past(3)
    PastPanel.objects.create(
        origin="imported", name="Steel one", finished_on=date(2025, 6, 1), metal="steel", method="hand",
        layout_m=4, moved_dm2=6, worked_dm2=20, finished_dm2=40, gathering_hours=9.0,
    )  # fmt: skip
    shown = past_page(shop, metal="steel", stage="gathering")
    assert [row.past.name for row in shown.rows] == ["Steel one"]
    assert shown.rows[0].hours == 9.0
    assert shown.rows[0].trial.stage == "gathering"
    assert past_page(shop, metal="steel").rows[0].hours is None
    page = owner_client.get(reverse("past-panels"), {"metal": "steel"}).content.decode()
    assert "hours not written down" in page
    assert "Panel 1" not in page


def test_a_made_up_metal_or_stage_shows_all(shop):
    make_past(2)
    shown = past_page(shop, metal="<b>", stage="welding", page="x")
    assert (shown.metal, shown.stage, len(shown.rows)) == ("", "", 2)


def test_what_is_left_out_stands_with_its_reason_and_teaches_nothing(owner_client, owner, shop):
    panels = make_past(4)
    address = reverse("past-panel", args=[panels[0].pk])
    answer = owner_client.post(address, {"reason": "Apprentice’s first"}, follow=True).content.decode()
    assert "Left out." in answer
    assert "Take it back" in answer
    page = owner_client.get(reverse("past-panels")).content.decode()
    assert "left out: Apprentice’s first" in page
    assert "of 3 took" in page
    owner_client.post(reverse("past-panel-back", args=[panels[0].pk]))
    assert PastPanel.objects.get(pk=panels[0].pk).left_out_reason == ""


def test_leaving_out_without_a_reason_comes_back_with_what_to_write(owner_client, shop):
    (panel,) = make_past(1)
    answer = owner_client.post(reverse("past-panel", args=[panel.pk]), {"reason": " "})
    assert answer.status_code == 422
    assert "Say in a few words why" in answer.content.decode()


def test_one_panel_shows_what_was_said_before_and_what_it_took(owner_client, shop):
    panels = make_past(5)
    page = owner_client.get(
        reverse("past-panel", args=[panels[-1].pk]), {"stage": "blending"}
    ).content.decode()
    assert "Blending of every past panel" in page
    assert "The whole panel took <b>22.0 h</b>" in page
    assert owner_client.get(reverse("past-panel", args=[99999])).status_code == 404


def test_who_may_do_what(owner_client, shaper_client, stranger_client, shop):
    (panel,) = make_past(1)
    one = reverse("past-panel", args=[panel.pk])
    back = reverse("past-panel-back", args=[panel.pk])
    bring = reverse("past-panels-import")
    for address in (reverse("past-panels"), one, reverse("past-panels-csv")):
        assert owner_client.get(address).status_code == 200
        assert shaper_client.get(address).status_code == 200
        assert stranger_client.get(address).status_code == 302
    assert owner_client.get(bring).status_code == 200
    assert shaper_client.get(bring).status_code == 403
    assert shaper_client.post(bring, {"file": upload(notebook(CAP))}).status_code == 403
    assert shaper_client.post(back).status_code == 403
    assert shaper_client.post(one, {"reason": "Because"}).status_code == 422
    assert PastPanel.objects.get().left_out_reason == ""
    assert stranger_client.post(bring).status_code == 302


def test_a_file_is_looked_at_first_and_brought_in_by_a_second_press(owner_client, shop):
    page = owner_client.post(reverse("past-panels-import"), {"file": upload(notebook(CAP, TANK))})
    assert page.status_code == 200
    assert "Nothing is written yet." in page.content.decode()
    assert not PastPanel.objects.exists()
    held = page.context["ready"].initial["held"]
    for _press in range(2):
        owner_client.post(reverse("past-panels-import"), {"held": held})
    assert PastPanel.objects.count() == 2


def test_bad_rows_are_told_and_nothing_comes_in_unless_they_are_to_be_skipped(owner_client, shop):
    page = owner_client.post(reverse("past-panels-import"), {"file": upload(notebook(CAP, BAD_METHOD))})
    assert "&#x27;laser&#x27; is none of hand, power" in page.content.decode()
    held = page.context["ready"].initial["held"]
    refused = owner_client.post(reverse("past-panels-import"), {"held": held})
    assert refused.status_code == 422
    assert "tick this to leave them out" in refused.content.decode()
    assert not PastPanel.objects.exists()
    owner_client.post(reverse("past-panels-import"), {"held": held, "skip_bad": "on"})
    assert PastPanel.objects.get().name == "Cap"


def test_a_file_that_was_not_shown_is_not_brought_in(owner_client, shop):
    answer = owner_client.post(reverse("past-panels-import"), {"held": "made up"})
    assert answer.status_code == 422
    assert "Choose it again" in answer.content.decode()


@pytest.mark.parametrize("source", [b"", b"\x00\xff\x00", b"panel\nx\n", b"\x89PNG\r\n\x1a\n"])
def test_a_file_that_is_no_notebook_is_refused_beside_the_field(owner_client, shop, source):
    answer = owner_client.post(reverse("past-panels-import"), {"file": upload(source)})
    assert answer.status_code == 422
    assert "Mend this." in answer.content.decode()


def test_a_press_without_a_file_says_to_choose_one(owner_client, shop):
    answer = owner_client.post(reverse("past-panels-import"))
    assert answer.status_code == 422
    assert "Choose the file." in answer.content.decode()


def test_the_csv_is_a_file_of_its_own(owner_client, shop):
    make_past(2)
    answer = owner_client.get(reverse("past-panels-csv"))
    assert answer.headers["Content-Type"].startswith("text/csv")
    assert answer.content.decode().count("\n") == 3


@pytest.mark.parametrize("count", [3, 30])
def test_the_list_asks_the_same_for_many(owner_client, shop, count, django_assert_max_num_queries):
    make_past(count)
    owner_client.get(reverse("past-panels"))
    with django_assert_max_num_queries(13):
        owner_client.get(reverse("past-panels"))
