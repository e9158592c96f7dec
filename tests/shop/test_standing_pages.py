"""The owner keeps people, rates, metals and sheets; a shaper reads what the bench needs; a stranger sees the door."""

import re
from datetime import date
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from shop.audit import record
from shop.models import AuditEntry, LabourRate, Metal, Person, SheetStock, Shop, StageKind
from shop.rates import rates_on

OWNERS_PAGES = ["shop-settings", "people", "person-new", "rates", "stage-kind-new", "metal-new", "audit"]


@pytest.mark.parametrize("name", OWNERS_PAGES)
def test_owners_pages_open_for_the_owner_only(name, owner_client, shaper_client, stranger_client):
    assert owner_client.get(reverse(name)).status_code == 200
    refused = shaper_client.get(reverse(name))
    assert refused.status_code == 403
    assert b"Only the owner" in refused.content
    assert stranger_client.get(reverse(name)).url.startswith(reverse("sign-in"))


@pytest.mark.parametrize("name", ["metals", "sheet-list", "sheet-new"])
def test_a_shaper_reads_metals_and_keeps_the_rack(name, shaper_client, sheet):
    assert shaper_client.get(reverse(name)).status_code == 200


def settings_typed(shop, **changes):
    from shop.forms.standing import ShopSettingsForm

    form = ShopSettingsForm(instance=shop, shop=shop)
    typed = {name: form[name].value() for name in form.fields if name != "mark"}
    typed = {name: "" if value is None else value for name, value in typed.items() if value is not False}
    return {name: str(value) for name, value in typed.items()} | changes


def test_settings_are_saved_with_their_old_values_in_the_trail(owner_client, shop):
    response = owner_client.post(reverse("shop-settings"), settings_typed(shop, tax_percent="13.5"))

    assert response.status_code == 302, response.context["form"].errors
    assert Shop.objects.get().tax_percent == Decimal("13.5")
    assert AuditEntry.objects.latest("id").changes == {"tax_percent": ["23", "13.5"]}


def test_a_margin_of_everything_is_refused(owner_client, shop):
    response = owner_client.post(reverse("shop-settings"), settings_typed(shop, margin_percent="100"))

    assert response.status_code == 422
    assert "leaves nothing to pay for" in str(response.context["form"].errors["margin_percent"])


def test_a_stale_settings_page_does_not_overwrite_what_another_owner_saved(owner_client, shop):
    typed = settings_typed(shop, phone="01 555")
    Shop.objects.update(tax_percent=Decimal("9"))

    response = owner_client.post(reverse("shop-settings"), typed)

    assert response.status_code == 422
    assert "tax is now 9 %" in str(response.context["form"].non_field_errors()).lower()
    assert Shop.objects.get().tax_percent == Decimal("9")
    again = response.context["form"].data
    assert owner_client.post(reverse("shop-settings"), again).status_code == 302


SHARES = [
    "tax_percent",
    "overhead_percent",
    "margin_percent",
    "deposit_percent",
    "confidence",
    "second_hand_factor",
]


@pytest.mark.parametrize("name", SHARES)
def test_every_share_in_the_settings_is_written_in_per_cent_with_its_sign(name, owner_client, shop):
    page = owner_client.get(reverse("shop-settings"))
    field = page.content.decode().split(f'id="field-{name}"')[1].split("field-words")[0]
    assert '<span class="unit" aria-hidden="true">%</span>' in field
    kept = getattr(shop, name) * (100 if name in {"confidence", "second_hand_factor"} else 1)
    assert f'value="{kept.normalize():f}"' in field


def test_shares_are_typed_in_per_cent_and_kept_as_they_were(owner_client, shop):
    typed = settings_typed(shop, confidence="90 %", second_hand_factor="75", tax_percent="13,5 %")
    assert owner_client.post(reverse("shop-settings"), typed).status_code == 302
    kept = Shop.objects.get()
    assert (kept.confidence, kept.second_hand_factor, kept.tax_percent) == (
        Decimal("0.90"),
        Decimal("0.75"),
        Decimal("13.5"),
    )
    trail = " ".join(owner_client.get(reverse("audit")).content.decode().split())
    assert "confidence: <del>80 %</del> 90 %" in trail
    assert "tax: <del>23 %</del> 13.5 %" in trail


@pytest.mark.parametrize(
    ("name", "typed", "words"),
    [("confidence", "0.8", "Write 50 to 95 %."), ("second_hand_factor", "0.85", "Write 50 to 100 %."),
     ("tax_percent", "101", "Write 0 to 100 %."), ("overhead_percent", "-1", "Write 0 to 100 %."),
     ("margin_percent", "lots", "cannot be read as a share"), ("confidence", "80.5", "whole per cent"),
     ("deposit_percent", "1e1", "cannot be read as a share"), ("deposit_percent", "", "such as 15")],
)  # fmt: skip
def test_a_share_that_cannot_be_says_what_fits(name, typed, words, owner_client, shop):
    response = owner_client.post(reverse("shop-settings"), settings_typed(shop, **{name: typed}))
    assert response.status_code == 422
    assert words in str(response.context["form"].errors[name])
    assert response.context["form"][name].value() == typed


def test_a_metals_elongation_is_written_in_per_cent(owner_client, aluminium):
    page = owner_client.get(reverse("metal", args=[aluminium.pk])).content.decode()
    field = page.split('id="field-elongation"')[1].split("field-words")[0]
    assert 'value="35"' in field
    assert '<span class="unit" aria-hidden="true">%</span>' in field


def test_the_mark_is_encoded_afresh(owner_client, shop, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    out = BytesIO()
    Image.new("RGB", (2000, 1000), "navy").save(out, "JPEG", comment=b"secret place")
    upload = SimpleUploadedFile("mark.jpg", out.getvalue(), "image/jpeg")

    assert (
        owner_client.post(reverse("shop-settings"), settings_typed(shop) | {"mark": upload}).status_code
        == 302
    )
    stored = Shop.objects.get().mark
    assert stored.name.endswith(".png")
    content = Path(stored.path).read_bytes()
    assert b"secret place" not in content
    assert max(Image.open(BytesIO(content)).size) == 800


def test_a_rate_holds_from_its_day_until_the_next(owner_client, shop):
    kind = StageKind.objects.get(slug="blending")
    typed = {"stage_kind": kind.pk, "per_hour": "61", "holds_from": "2026-06-01"}

    assert owner_client.post(reverse("rates"), typed).status_code == 302
    assert rates_on(date(2026, 5, 31))[kind.pk].per_hour == Decimal("54")
    assert rates_on(date(2026, 6, 1))[kind.pk].per_hour == Decimal("61")


def test_a_rate_for_every_stage_is_set_at_once(owner_client, shop):
    owner_client.post(reverse("rates"), {"per_hour": "60", "holds_from": "2026-07-01"})

    assert LabourRate.objects.filter(holds_from=date(2026, 7, 1)).count() == 4


def test_a_stage_of_the_shops_own_has_fixed_hours(owner_client, shop):
    typed = {
        "name": "Trimming",
        "fixed_low_hours": "1",
        "fixed_high_hours": "1.5",
        "in_use": "on",
        "per_hour": "48",
    }

    assert owner_client.post(reverse("stage-kind-new"), typed).status_code == 302
    trimming = StageKind.objects.get(name="Trimming")
    assert (trimming.position, trimming.usual) == (5, False)
    assert rates_on(timezone.localdate())[trimming.pk].per_hour == 48
    changed = typed | {"usual": "on", "per_hour": "99"}
    assert owner_client.post(reverse("stage-kind", args=[trimming.pk]), changed).status_code == 302
    assert StageKind.objects.get(pk=trimming.pk).usual is True
    assert rates_on(timezone.localdate())[trimming.pk].per_hour == 48  # rates are set on their own page
    assert owner_client.post(reverse("stage-kind-new"), typed | {"per_hour": ""}).status_code == 422
    refused = owner_client.post(
        reverse("stage-kind-new"), typed | {"name": "Welding", "fixed_high_hours": "0.5"}
    )
    assert refused.status_code == 422


def test_the_hours_of_a_stage_of_the_shops_own_may_wait(owner_client, shop):
    typed = {
        "name": "Edge wiring",
        "fixed_low_hours": "",
        "fixed_high_hours": "",
        "in_use": "on",
        "per_hour": "48",
    }
    half = owner_client.post(reverse("stage-kind-new"), typed | {"fixed_low_hours": "1"})
    assert "Write both hours, or leave both empty." in half.content.decode()
    assert owner_client.post(reverse("stage-kind-new"), typed).status_code == 302
    assert StageKind.objects.get(name="Edge wiring").fixed_low_hours is None
    assert "said on each quote" in owner_client.get(reverse("rates")).content.decode()


@pytest.mark.parametrize(
    "hours",
    [
        {"fixed_low_hours": 1},
        {"fixed_high_hours": 1},
        {"fixed_low_hours": 2, "fixed_high_hours": 1},
        {"driver": "layout_m"},
    ],
)
def test_the_database_refuses_half_a_range_and_a_driver_without_a_rate(shop, hours):
    welding = {"name": "Welding", "slug": "welding", "position": 9, "driver": "fixed"}
    with pytest.raises(IntegrityError), transaction.atomic():
        StageKind.objects.create(**welding | hours)


def test_the_last_owner_cannot_be_made_a_shaper(owner_client, owner):
    typed = {
        "first_name": "Osk", "username": "osk", "role": "shaper", "bench_hours_per_day": "6",
        "working_days": ["1", "2"], "is_active": "on",
    }  # fmt: skip
    response = owner_client.post(reverse("person", args=[owner.pk]), typed)

    assert response.status_code == 422
    assert "needs an owner" in str(response.context["form"].non_field_errors())
    assert Person.objects.get().is_owner is True


def test_a_password_never_reaches_the_trail(owner_client):
    typed = {
        "first_name": "Ena", "username": "ena", "role": "shaper", "bench_hours_per_day": "6",
        "working_days": ["1", "2", "3"], "is_active": "on", "password": "bench-and-stake-9",
    }  # fmt: skip
    assert owner_client.post(reverse("person-new"), typed).status_code == 302
    assert Person.objects.get(username="ena").check_password("bench-and-stake-9") is True
    assert "bench-and-stake-9" not in str(list(AuditEntry.objects.values()))


def test_a_gauge_means_another_thickness_in_another_metal(owner_client, steel, aluminium):
    typed = {
        "length_mm": "2440",
        "width_mm": "1220",
        "cost": "80",
        "kind": "whole",
        "state": "rack",
        "how_many": "1",
    }
    for metal in (steel, aluminium):
        response = owner_client.post(
            reverse("sheet-new"), typed | {"metal": metal.pk, "thickness_mm": "18 ga"}
        )
        assert response.status_code == 302, response.context["form"].errors

    # 18 gauge: steel 0.0478 in (Manufacturers' Standard Gauge), aluminium 0.0403 in (Brown & Sharpe).
    assert SheetStock.objects.get(metal=steel).thickness_mm == pytest.approx(0.0478 * 25.4, abs=0.002)
    assert SheetStock.objects.get(metal=aluminium).thickness_mm == pytest.approx(0.0403 * 25.4, abs=0.002)


def test_several_like_sheets_get_codes_of_their_own(owner_client, aluminium):
    typed = {
        "metal": aluminium.pk, "thickness_mm": "1.6", "length_mm": "2500", "width_mm": "1250", "cost": "92",
        "kind": "whole", "state": "ordered", "how_many": "3",
    }  # fmt: skip
    owner_client.post(reverse("sheet-new"), typed)

    assert SheetStock.objects.values("code").distinct().count() == 3


def test_a_metal_keeps_its_bend_limits_and_gathers(owner_client, aluminium):
    url = reverse("metal", args=[aluminium.pk])
    typed = {
        "name": "Aluminium 1100-O", "family": "aluminium", "density_kg_m3": "2710", "elongation": "35",
        "price_per_kg": "7", "source": "mill certificate", "in_use": "on", "bends": "1.6: 0; 3.2: 0.5",
        "hand_gather": "6", "hand_die": "25", "power_gather": "7", "power_die": "40",
    }  # fmt: skip
    assert owner_client.post(url, typed).status_code == 302
    metal = Metal.objects.get(pk=aluminium.pk)
    assert metal.bend_limits == [[1.6, 0.0], [3.2, 0.5]]
    assert metal.elongation == 0.35
    assert "elongation" not in AuditEntry.objects.latest("id").changes
    assert metal.gather_sizes.get(method="power").die_width_mm == 40
    assert owner_client.post(url, typed | {"bends": "3.2: 1; 1.6: 0"}).status_code == 422
    assert owner_client.post(url, typed | {"bends": "thick"}).status_code == 422


@pytest.mark.parametrize("count", [3, 30])
def test_the_trail_asks_a_constant_number_of_queries(
    count, owner_client, owner, django_assert_max_num_queries
):
    from shop.audit import record

    for _ in range(count):
        record(owner, "looked at", owner)
    with django_assert_max_num_queries(6):
        owner_client.get(reverse("audit"))


def test_a_shaper_neither_sees_nor_writes_what_a_sheet_cost(shaper_client, owner_client, sheet):
    """The owner's cost stays as it was, and a sheet that a shaper adds waits for one."""
    address = reverse("sheet", args=[sheet.pk])
    assert 'name="cost"' not in shaper_client.get(address).content.decode()
    typed = {
        "metal": sheet.metal_id, "thickness_mm": "1.6", "length_mm": "2500", "width_mm": "1250", "cost": "1",
        "kind": "whole", "state": "rack", "place": "by the door",
    }  # fmt: skip
    shaper_client.post(address, typed)
    sheet.refresh_from_db()
    assert (sheet.place, sheet.cost) == ("by the door", 92)
    shaper_client.post(reverse("sheet-new"), typed | {"how_many": "1"})
    assert SheetStock.objects.latest("pk").cost == 0
    rows = reverse("sheet-list")
    assert "no cost yet" in owner_client.get(rows).content.decode()
    assert "no cost yet" not in shaper_client.get(rows).content.decode()


def test_a_shapers_menu_holds_what_he_may_open(shaper_client, owner_client):
    def words(client):
        page = client.get(reverse("metals")).content.decode()
        return {
            name for name in ("quote-list", "shop-settings", "people", "rates", "audit", "exports", "sheet-list")
            if f'href="{reverse(name)}"' in page
        }  # fmt: skip

    assert words(shaper_client) == {"sheet-list"}
    assert words(owner_client) == {
        "quote-list", "shop-settings", "people", "rates", "audit", "exports", "sheet-list",
    }  # fmt: skip


def test_a_shaper_is_not_told_by_the_trail_what_was_paid(shaper_client, owner_client, job, owner):
    record(owner, "wrote down a deposit", job, job_number=job.number)
    AuditEntry.objects.filter(what="wrote down a deposit").update(
        model="estimates.payment", thing="Deposit 731"
    )
    assert "Deposit 731" in owner_client.get(job.get_absolute_url()).content.decode()
    assert "Deposit 731" not in shaper_client.get(job.get_absolute_url()).content.decode()


@pytest.mark.parametrize("name", ["metals", "sheet-list"])
def test_every_cell_says_what_it_is_where_a_phone_folds_the_table(name, owner_client, sheet):
    rows = owner_client.get(reverse(name)).content.decode().partition("<tbody>")[2].partition("</tbody>")[0]
    assert "<td" in rows
    assert re.findall(r"<td(?![^>]* data-label=)[^>]*>", rows) == []


def test_where_the_values_of_a_metal_come_from_is_read_in_several_lines(owner_client, aluminium):
    page = owner_client.get(reverse("metal", args=[aluminium.pk])).content.decode()
    assert re.search(r'<textarea name="source"[^>]*>\s*reference values</textarea>', page)
