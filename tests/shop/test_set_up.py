"""A new book is set up once, by whoever sits at its machine."""

import datetime as dt
import re

import pytest
from django.db import IntegrityError
from django.urls import reverse
from django.utils import timezone

from shop.figures import MONEY_STYLES
from shop.models import GatherSize, LabourRate, Metal, Person, Shop, StageKind
from shop.setting_up import set_up_code

TYPED = {
    "shop_name": "Hearth Lane Panels", "time_zone": "America/Chicago", "units": "in", "paper": "Letter",
    "currency": "usd", "currency_symbol": "$", "per_hour": "72.50",
    "first_name": "Ada", "username": "ada", "password": "raise-the-crown-7",
}  # fmt: skip


@pytest.mark.django_db
def test_a_book_without_a_shop_leads_to_its_set_up(client):
    assert client.get(reverse("today")).url == reverse("set-up")


@pytest.mark.django_db
def test_setting_up_makes_a_shop_with_stages_rates_and_metals_and_signs_the_owner_in(client):
    response = client.post(reverse("set-up"), TYPED)

    assert response.url == reverse("shop-settings")
    assert client.get(reverse("shop-settings")).status_code == 200
    shop = Shop.objects.get()
    assert (shop.name, shop.units, shop.currency) == ("Hearth Lane Panels", "in", "USD")
    assert Person.objects.get().is_owner is True
    assert list(StageKind.objects.values_list("slug", flat=True)) == [
        "layout",
        "gathering",
        "blending",
        "smoothing",
    ]
    assert {str(rate.per_hour) for rate in LabourRate.objects.all()} == {"72.500"}
    assert Metal.objects.filter(name="Aluminium 3003-O").exists() is True


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("time_zone", "Mars/Base", "is not a time zone"),
        ("currency", "12", "three letters"),
        ("currency", "dollars", "three letters"),
        ("per_hour", "a lot", "cannot be read as an amount"),
        ("password", "short", "too short"),
        ("shop_name", "", "required"),
    ],
)
def test_what_does_not_fit_is_said_beside_its_field_and_the_rest_is_kept(client, field, typed, words):
    response = client.post(reverse("set-up"), TYPED | {field: typed})

    assert response.status_code == 422
    assert any(words in error for error in response.context["form"].errors[field])
    assert b"Ada" in response.content
    assert Shop.objects.exists() is False


@pytest.mark.django_db
def test_a_currency_in_words_is_not_cut_to_three_letters_by_the_browser(client):
    """Cut off at the field's edge, dollars would be taken for a currency called DOL."""
    page = client.get(reverse("set-up")).content.decode()
    (field,) = re.findall(r'<input[^>]*name="currency"[^>]*>', page)
    assert 'maxlength="3"' not in field


@pytest.mark.django_db
def test_a_book_opened_in_the_evening_has_rates_the_same_evening(client, monkeypatch):
    """Seven in the evening in Chicago is tomorrow in London: rates from then would leave work without a price."""
    evening = dt.datetime(2026, 11, 26, 1, 0, tzinfo=dt.UTC)
    monkeypatch.setattr(timezone, "now", lambda: evening)
    client.post(reverse("set-up"), TYPED)

    assert {rate.holds_from for rate in LabourRate.objects.all()} == {dt.date(2026, 11, 25)}
    assert "The book is open" in client.get(reverse("shop-settings")).content.decode()


def test_a_second_set_up_is_refused(client, owner):
    response = client.post(reverse("set-up"), TYPED)

    assert response.url == reverse("today")
    assert Shop.objects.get().name == "Drumlin & Daughter"


@pytest.mark.django_db
def test_a_book_on_a_public_address_asks_for_the_code_its_machine_printed(client, settings):
    settings.PRODUCTION = True

    assert client.post(reverse("set-up"), TYPED | {"code": "0000000000"}).status_code == 422
    assert Shop.objects.exists() is False
    assert client.post(reverse("set-up"), TYPED | {"code": set_up_code()}).status_code == 302


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("typed", "money", "symbol", "decimals", "tax_name"),
    [
        ({"currency": "USD"}, "sign-comma", "$", 2, "Sales tax"),
        ({"currency": "eur"}, "sign-space", "€", 2, "VAT"),
        ({"currency": "JPY", "per_hour": "4,500"}, "sign-comma", "¥", 0, "Consumption tax"),
        ({"currency": "XAU"}, "sign-space", "XAU", 2, "VAT"),
        (
            {"currency": "EUR", "currency_symbol": "Eu", "money_style": "dot-sign", "tax_name": "MwSt",
             "per_hour": "72,50"},
            "dot-sign", "Eu", 2, "MwSt",
        ),
    ],
)  # fmt: skip
def test_what_is_left_empty_is_what_is_usual_for_the_currency(
    client, typed, money, symbol, decimals, tax_name
):
    left_empty = {"currency_symbol": "", "money_style": "", "tax_name": ""}
    assert client.post(reverse("set-up"), TYPED | left_empty | typed).status_code == 302
    shop = Shop.objects.get()
    assert (shop.money_style, shop.currency_symbol, shop.currency_decimals) == (money, symbol, decimals)
    assert shop.tax_name == tax_name


@pytest.mark.django_db
def test_the_rate_may_be_typed_with_the_sign_of_the_currency_on_the_same_page(client):
    assert client.post(reverse("set-up"), TYPED | {"per_hour": "$1,072.50"}).status_code == 302
    assert {str(rate.per_hour) for rate in LabourRate.objects.all()} == {"1072.500"}


@pytest.mark.django_db(transaction=True)
def test_the_database_knows_every_way_of_writing_money_and_no_other(shop):
    assert set(Shop.MoneyWriting.values) == set(MONEY_STYLES)
    for style in MONEY_STYLES:
        Shop.objects.update(money_style=style)
    with pytest.raises(IntegrityError):
        Shop.objects.update(money_style="as-i-like")


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("units", "gathers_mm", "dies_mm"),
    [
        ("in", {3.175, 4.7625, 6.35}, {25.4, 38.1}),  # 1/8, 3/16 and 1/4 in; 1 and 1 1/2 in
        ("mm", {3.0, 4.5, 6.0}, {25.0, 40.0}),
    ],
)
def test_the_first_gathers_and_dies_are_sizes_that_the_shops_rule_shows(client, units, gathers_mm, dies_mm):
    client.post(reverse("set-up"), TYPED | {"units": units})
    sizes = GatherSize.objects.all()
    assert {size.gather_mm for size in sizes} == gathers_mm
    assert {size.die_width_mm for size in sizes} == dies_mm
