"""Material, hours and photos put into the book from the bench, by plain forms without a script."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.hours_log import add_hours
from jobs.material import use_sheet
from jobs.models import Photo, TimeEntry
from shop.models import SheetStock
from tests.jobs.bench_pages import text, url
from tests.jobs.photo_files import picture, saved, upload


def test_metal_is_booked_from_the_bench(gathering, sheet, shaper_client):
    page = shaper_client.get(url("material-add", gathering))
    assert sheet.code in text(page)
    piece = {"sheet": sheet.pk, "length": "700", "width": "400", "came_back": "figured"}
    said = shaper_client.post(url("material-add", gathering), piece, follow=True)
    assert "went back to rack 2" in text(said)
    use = gathering.panel.material.get()
    assert (use.drop.length_mm, use.drop.width_mm) == (2100, 1250)
    refused = shaper_client.post(url("material-add", gathering), piece)
    assert refused.status_code == 422
    assert "has been cut by Maro" in text(refused)
    back = reverse("material-take-back", args=[gathering.code, use.pk])
    assert back in text(shaper_client.get(url("material-add", gathering)))
    assert "on the rack again" in text(shaper_client.post(back, follow=True))
    assert not gathering.panel.material.exists()


def test_a_second_piece_of_metal_wants_a_tick(gathering, sheet, shaper, owner, shaper_client):
    page = shaper_client.get(url("material-add", gathering))
    assert "book another" not in text(page)
    first = use_sheet(gathering.panel, sheet, 700, 400, 1800, 1250, person=shaper)
    piece = {"sheet": first.drop.pk, "length": "700", "width": "400", "came_back": "figured", "note": "spare"}
    meanwhile = shaper_client.post(url("material-add", gathering), piece | {"booked_seen": "0"})
    assert meanwhile.status_code == 422
    assert "1 piece of this metal is booked on this panel already, by Maro" in text(meanwhile)
    assert 'name="booked_seen" value="1"' in text(meanwhile)
    assert "spare" in text(meanwhile)
    second = use_sheet(gathering.panel, first.drop, 700, 400, 1000, 1250, person=owner, booked_seen=1)
    piece["sheet"] = second.drop.pk
    stale = shaper_client.post(url("material-add", gathering), piece | {"booked_seen": "1", "another": "on"})
    assert (stale.status_code, "2 pieces" in text(stale)) == (422, True)
    assert "checked" not in str(stale.context["form"]["another"])
    shaper_client.post(url("material-add", gathering), piece | {"booked_seen": "2", "another": "on"})
    assert gathering.panel.material.count() == 3


def test_sheets_too_small_for_the_blank_are_folded_under_their_own_words(gathering, sheet, shaper_client):
    page = shaper_client.get(url("material-add", gathering))
    assert "Does not fit the blank" not in text(page)
    small = SheetStock.objects.create(
        metal=sheet.metal, thickness_mm=1.6, length_mm=200, width_mm=150, cost=Decimal("2")
    )
    page = shaper_client.get(url("material-add", gathering))
    offered, folded = text(page).split("Does not fit the blank: 1 more")
    assert sheet.code in offered
    assert small.code not in offered
    assert f"{small.code}, sheet 200 × 150 mm, smaller than the blank" in folded
    assert '<details class="rack-others">' in text(page)
    picked = shaper_client.post(
        url("material-add", gathering), {"sheet": small.pk, "length": "3 m", "width": "1 m"}
    )
    assert '<details class="rack-others" open>' in text(picked)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"length": "3 m"}, "does not fit in the sheet"),
        ({"length": "abc"}, "cannot be read as a length"),
        ({"came_back": "measured"}, "Write what the drop measures"),
        (
            {"came_back": "measured", "drop_length": "2400", "drop_width": "1240"},
            "cannot come out of the same sheet",
        ),
        ({"sheet": "999"}, "no such sheet"),
    ],
)
def test_metal_that_does_not_fit_is_refused_and_kept(gathering, sheet, shaper_client, given, words):
    piece = {
        "sheet": sheet.pk,
        "length": "700",
        "width": "400",
        "came_back": "figured",
        "note": "from the door end",
    }
    page = shaper_client.post(url("material-add", gathering), piece | given)
    assert page.status_code == 422
    assert words in text(page)
    assert "from the door end" in text(page)


def test_an_empty_rack_says_what_to_do(gathering, shaper_client):
    assert "Tell the owner what you need" in text(shaper_client.get(url("material-add", gathering)))


def test_hours_by_hand_and_their_correction(gathering, shaper, shaper_client):
    today = timezone.localdate().isoformat()
    given = {"stage": gathering.pk, "day": today, "hours": "1:30", "submission": str(uuid4())}
    for _ in range(2):
        shaper_client.post(url("hours-add", gathering), given)
    entry = TimeEntry.objects.get()
    assert entry.hours == Decimal("1.5")
    correct = reverse("hours-correct", args=[entry.pk])
    change = {"stage": gathering.pk, "day": today, "hours": "2", "seen": 0}
    missing = shaper_client.post(correct, change)
    assert (missing.status_code, "Say why" in text(missing)) == (422, True)
    shaper_client.post(correct, change | {"reason": "miscounted"})
    stale = shaper_client.post(correct, change | {"reason": "again", "hours": "3"})
    assert (stale.status_code, "corrected this entry meanwhile" in text(stale)) == (422, True)
    shaper_client.post(correct, {**change, "seen": 1, "hours": "", "reason": "not at all", "strike": "1"})
    entry.refresh_from_db()
    assert entry.hours == 0
    book = text(shaper_client.get(reverse("hours-list")))
    assert "<del>1.50 h</del> Maro: miscounted" in book


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"hours": "25"}, "at most 24"),
        ({"hours": "soon"}, "cannot be read as hours"),
        ({"day": "2999-01-01"}, "to come"),
    ],
)
def test_hours_that_cannot_be_are_refused_and_kept(gathering, shaper_client, given, words):
    typed = {
        "stage": gathering.pk,
        "day": timezone.localdate().isoformat(),
        "hours": "1",
        "note": "trim",
    } | given
    page = shaper_client.post(url("hours-add", gathering), typed)
    assert page.status_code == 422
    assert words in text(page)
    assert "trim" in text(page)


def test_a_shaper_sees_and_corrects_only_their_own(gathering, owner, shaper, shaper_client, owner_client):
    his = add_hours(gathering, owner, timezone.localdate(), Decimal(2))
    add_hours(gathering, shaper, timezone.localdate(), Decimal(3))
    assert shaper_client.get(reverse("hours-correct", args=[his.pk])).status_code == 403
    assert (
        "Osk"
        not in text(shaper_client.get(reverse("hours-list"))).partition("<main")[2].partition("</main")[0]
    )
    everyone = text(owner_client.get(reverse("hours-list")))
    assert "Osk 2.00 h" in everyone
    assert "Maro 3.00 h" in everyone


def test_a_photo_of_the_stage(gathering, shaper_client, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    given = {"photos": upload(saved(picture())), "subject": "so-far", "submission": str(uuid4())}
    shaper_client.post(url("photo-add", gathering), given)
    assert Photo.objects.get().stage == gathering
    assert shaper_client.post(url("photo-add", gathering), {"subject": "so-far"}).status_code == 422


@pytest.mark.parametrize("days", [0, 3, 30])
def test_a_photo_kept_on_a_phone_was_taken_when_it_was_picked(gathering, shaper_client, days):
    at = timezone.now() - timedelta(days=days)
    given = {"photos": upload(saved(picture())), "subject": "so-far", "pressed_at": at.isoformat()}
    assert shaper_client.post(url("photo-add", gathering), given).status_code == 302
    assert Photo.objects.get().taken_at == at


def test_a_photo_older_than_a_month_is_refused_in_words(gathering, shaper_client):
    at = timezone.now() - timedelta(days=32)
    given = {"photos": upload(saved(picture())), "subject": "so-far", "pressed_at": at.isoformat()}
    assert "more than 31 days old" in text(shaper_client.post(url("photo-add", gathering), given))
    assert not Photo.objects.exists()


def test_without_a_sheet_the_one_to_add_is_named_already(gathering, owner_client):
    page = text(owner_client.get(url("material-add", gathering)))
    panel = gathering.panel
    assert f"/sheets/new/?metal={panel.metal_id}&amp;thickness={panel.thickness_mm}" in page
