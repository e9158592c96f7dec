"""An inch shop reads pounds, square inches and feet; what it leaves as it was shown keeps what is stored."""

import math
from decimal import Decimal

import pytest
from django.urls import reverse

from jobs.material import use_sheet
from jobs.models import Reading
from jobs.panels import save_panel
from jobs.reading_log import log_reading
from shop.models import AuditEntry, Metal, Shop, StageKind

NBSP = "\u00a0"


@pytest.fixture
def inches(shop):
    Shop.objects.update(units="in", currency_symbol="$", currency="USD", money_style="sign-comma")
    return shop


def page(client, name, *args):
    return client.get(reverse(name, args=args)).content.decode().replace(NBSP, " ")


def form_of(client, name, *args) -> dict:
    form = client.get(reverse(name, args=args)).context["form"]
    values = {field.html_name: field.value() for field in form if field.html_name != "mark"}
    return {name: value for name, value in values.items() if value not in (None, False)}


def test_a_metric_shop_reads_kilograms_for_the_cubic_metre_and_the_price_of_one(owner_client, aluminium):
    shown = page(owner_client, "metals")
    assert "2\u2009710 kg/m³" in shown
    assert "€ 6.80" in shown
    assert "A kilogram" in shown


def test_an_inch_shop_reads_pounds_for_the_cubic_inch_and_the_price_of_one(owner_client, aluminium, inches):
    """6.80 for a kilogram is 3.08 for a pound: 6.80 × 0.45359237 = 3.0844."""
    shown = page(owner_client, "metals")
    assert "0.0979 lb/in³" in shown
    assert "$3.08" in shown
    assert "A pound" in shown
    assert "kg" not in shown


def test_a_metal_saved_as_it_was_shown_keeps_every_digit(owner_client, aluminium, inches):
    metal = aluminium
    before = Metal.objects.filter(pk=metal.pk).values().get()
    typed = form_of(owner_client, "metal", metal.pk)
    assert typed["price_per_kg"] == "3.0844"
    assert typed["density_kg_m3"] == "0.097905"
    response = owner_client.post(reverse("metal", args=[metal.pk]), typed | {"source": "another"})
    assert response.status_code == 302
    assert Metal.objects.filter(pk=metal.pk).values().get() == before | {"source": "another"}


def test_a_price_typed_for_a_pound_is_stored_for_a_kilogram(owner_client, aluminium, inches):
    metal = aluminium
    owner_client.post(
        reverse("metal", args=[metal.pk]),
        form_of(owner_client, "metal", metal.pk) | {"price_per_kg": "$3.49", "density_kg_m3": "0.0990"},
    )
    metal.refresh_from_db()
    assert metal.price_per_kg == Decimal("7.694133")
    assert metal.density_kg_m3 == pytest.approx(2740.31, abs=0.01)
    assert "$3.49" in page(owner_client, "metals")


def test_a_density_no_sheet_has_is_refused_in_the_shops_unit(owner_client, aluminium, inches):
    metal = aluminium
    typed = form_of(owner_client, "metal", metal.pk) | {"density_kg_m3": "2710"}
    response = owner_client.post(reverse("metal", args=[metal.pk]), typed)
    assert response.status_code == 422
    assert "Write 0.018064 to 0.90318 lb/in³" in response.content.decode()


def test_first_rates_are_counted_in_what_the_shop_measures(owner_client, inches):
    """0.9 h/dm² is 0.058 h/in²: 0.9 × 0.064516 = 0.0581."""
    shown = page(owner_client, "rates")
    assert "0.058 h/in²" in shown
    assert "area moved, in²" in shown
    assert "outline and lines, ft" in shown
    kind = StageKind.objects.get(slug="gathering")
    typed = form_of(owner_client, "stage-kind", kind.pk)
    assert typed["hours_per_unit"] == "0.058064"
    owner_client.post(reverse("stage-kind", args=[kind.pk]), typed | {"spread": "0.4"})
    kind.refresh_from_db()
    assert (kind.hours_per_unit, kind.spread) == (0.9, 0.4)
    typed = form_of(owner_client, "stage-kind", kind.pk) | {"hours_per_unit": "0.1"}
    owner_client.post(reverse("stage-kind", args=[kind.pk]), typed)
    kind.refresh_from_db()
    assert kind.hours_per_unit == pytest.approx(1.55, abs=5e-4)


def test_bend_limits_are_read_in_the_shops_unit(owner_client, aluminium, inches):
    metal = aluminium
    typed = form_of(owner_client, "metal", metal.pk)
    assert typed["bends"] == "1/16: 0; 1/8: 0.5"
    owner_client.post(reverse("metal", args=[metal.pk]), typed | {"bends": "1/16: 1; 3/16: 2"})
    metal.refresh_from_db()
    assert metal.bend_limits == [[1.5875, 1.0], [4.7625, 2.0]]


def test_the_trail_says_sizes_in_the_shops_units(owner_client, sheet, inches):
    """A 1.6 mm sheet, 1/16 in and a hair, is 0.063 in; 2500 mm are 98 7/16 in to the nearest 1/32."""
    typed = form_of(owner_client, "sheet", sheet.pk) | {"width_mm": "48", "state": "rack"}
    response = owner_client.post(reverse("sheet", args=[sheet.pk]), typed, follow=True)
    name = "Aluminium 1100-O 14 ga (0.063 in), 98 7/16 × 48 in"
    assert f"{name} is saved." in response.content.decode().replace(NBSP, " ")
    assert AuditEntry.objects.get(what="changed sheet").thing.replace(NBSP, " ") == name
    trail = page(owner_client, "audit")
    assert f"changed sheet: {name}" in trail
    assert "width: <del>49 7/32 in</del> 48 in" in trail
    assert "mm" not in str(sheet)


def test_a_changed_shape_is_told_dimension_by_dimension(owner, owner_client, panel, inches):
    panel.dimensions = panel.dimensions | {"depth_mm": 50.8}
    save_panel(panel, owner)
    trail = page(owner_client, "audit")
    assert "depth 2 in" in trail
    assert "outside radius 13 in" in trail
    assert "bend angle 90°" in trail
    assert "stretch no" in trail
    assert "_mm" not in trail
    assert "50.8" not in trail


def test_metal_and_readings_are_named_in_the_shops_units(owner, owner_client, panel, sheet, inches):
    Reading.objects.all().delete()
    use_sheet(panel, sheet, 609.6, 304.8, None, None, person=owner)
    log_reading(panel, owner, 1, Reading.Kind.SECTION_ANGLE, math.pi / 8, sure=True)
    things = set(AuditEntry.objects.values_list("thing", flat=True))
    assert f"24 × 12 in of Aluminium 1100-O, sheet {sheet.code}" in things
    assert "Section angle after pass 1: 22.5°" in things


def test_what_somebody_else_changed_is_said_in_the_shops_units(owner_client, inches):
    typed = form_of(owner_client, "shop-settings")
    Shop.objects.update(trim_mm=25.4, consumables_per_hour=Decimal("3.5"))
    response = owner_client.post(reverse("shop-settings"), typed)
    said = response.content.decode()
    assert "Trim, all round is now 1 in" in said
    assert "Consumables for an hour of work is now 3.5 $" in said


def test_what_a_column_cannot_hold_is_said_in_the_shops_units(owner_client, aluminium, inches):
    typed = form_of(owner_client, "shop-settings") | {"trim_mm": "25"}
    said = owner_client.post(reverse("shop-settings"), typed).content.decode()
    assert "Write 0 in to 19.685 in." in said
    new = {"metal": aluminium.pk, "thickness_mm": "2", "length_mm": "400 ft", "width_mm": "9", "cost": "1",
           "kind": "whole", "state": "rack", "how_many": "1"}  # fmt: skip
    said = owner_client.post(reverse("sheet-new"), new).content.decode()
    assert "longer than 328 ft" in said
    assert "at most 0.984 in" in said


@pytest.mark.parametrize(
    ("style", "written"),
    [("sign-comma", "$1,049.29"), ("dot-sign", "1.049,29\xa0$"), ("sign-space", "$\xa01\u2009049.29")],
)
def test_pages_write_money_as_the_shop_does(owner_client, sheet, inches, style, written):
    Shop.objects.update(money_style=style)
    type(sheet).objects.update(cost=Decimal("1049.29"))
    assert written in owner_client.get(reverse("sheet-list")).content.decode()


def test_the_trail_writes_amounts_as_the_shop_does(owner_client, aluminium, inches):
    """3.49 a pound; 6.80 for a kilogram was 3.08 for a pound."""
    typed = form_of(owner_client, "metal", aluminium.pk) | {"price_per_kg": "3.49"}
    owner_client.post(reverse("metal", args=[aluminium.pk]), typed)
    typed = form_of(owner_client, "shop-settings") | {"consumables_per_hour": "1,250.5"}
    owner_client.post(reverse("shop-settings"), typed)
    trail = page(owner_client, "audit")
    assert "price: <del>$3.08 a pound</del> $3.49 a pound" in trail
    assert "consumables per hour: <del>$2.50</del> $1,250.50" in trail


def test_a_sheet_to_order_is_filled_in_with_its_thickness_in_the_shops_units(owner_client, aluminium, inches):
    """The address names it in millimetres; 1.6 read as inches would be 25 times too thick."""
    wanted = {"metal": aluminium.pk, "thickness": "1.6"}
    form = owner_client.get(reverse("sheet-new"), wanted).context["form"]
    assert form["thickness_mm"].value() == "0.063"
    assert form["metal"].value() == str(aluminium.pk)
    assert (
        not owner_client.get(reverse("sheet-new"), {"thickness": "thick"})
        .context["form"]["thickness_mm"]
        .value()
    )
