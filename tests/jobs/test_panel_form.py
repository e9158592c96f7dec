"""The panel's form: what the trade writes is read, what cannot be made is refused in words, nothing is lost."""

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobs.forming import FORMS, build
from jobs.forming.forms import values
from jobs.forms.panel import PanelForm, metals_to_choose
from jobs.forms.panel_texts import name_of, starting_texts, texts_of
from jobs.models import Panel
from shop.forms import LengthField
from shop.models import GatherSize


@pytest.fixture
def form(shop, job, aluminium, steel):
    """A form over a new panel's texts, some of them written over."""

    def make(form_name: str = "arch", panel: Panel | None = None, **typed: str) -> PanelForm:
        metals = metals_to_choose(panel)
        texts = texts_of(panel, shop) if panel else starting_texts(shop, metals, form_name)
        made = PanelForm({**texts, **typed}, shop=shop, metals=metals, job=job, panel=panel)
        made.is_valid()
        return made

    return make


@pytest.mark.parametrize("name", FORMS)
def test_every_form_starts_with_a_shape_that_can_be_made(form, name):
    made = form(name)
    assert not made.errors
    example = build(name, {dimension.name: dimension.example for dimension in FORMS[name].dimensions})
    for key, value in values(example).items():
        started = values(made.work.form)[key]
        assert started == (pytest.approx(value, rel=1e-6) if isinstance(value, float | list) else value)


@pytest.mark.parametrize("name", FORMS)
def test_a_shop_in_inches_starts_with_lengths_a_rule_shows(form, shop, name):
    shop.units = "in"
    made = form(name)
    assert not made.errors
    for dimension in FORMS[name].dimensions:
        if dimension.kind == "length":
            text = made.data[name_of(name, dimension.name)]
            assert "." not in text, f"{dimension.name} starts with {text}"


def test_lengths_are_read_as_the_trade_writes_them(form):
    made = form(
        **{"arch-depth_mm": "3 in", "arch-outside_radius_mm": "1 ft 2 1/2 in", "arch-turn_rad": "22 1/2"}
    )
    assert made.built.dimensions["depth_mm"] == 76.2
    assert made.built.dimensions["outside_radius_mm"] == pytest.approx(368.3)
    assert made.built.dimensions["turn_rad"] == pytest.approx(math.radians(22.5))


# Standard gauge for steel, American Wire Gauge for aluminium: the sources stand in shop/gauges.py.
@pytest.mark.parametrize(("family", "thickness_mm"), [("steel", 1.214), ("aluminium", 1.024)])
def test_18_ga_steel_and_18_ga_aluminium_differ_and_the_form_says_which_was_read(
    form, steel, aluminium, family, thickness_mm
):
    metal = {"steel": steel, "aluminium": aluminium}[family]
    made = form(metal=str(metal.pk), thickness_mm="18 ga")
    assert made.built.thickness_mm == pytest.approx(thickness_mm, abs=5e-4)
    assert f"{thickness_mm:.2f} mm" in made["thickness_mm"].help_text
    assert "18 ga in " + family in made["thickness_mm"].help_text


def test_the_metals_own_gather_is_filled_in_until_somebody_writes_over_it(form, aluminium, steel):
    assert (form().built.gather_mm, form().built.die_width_mm) == (5, 25)
    assert form(metal=str(steel.pk), gather_mm="").built.gather_mm == 4
    filled = {"gather_mm": "5", "die_width_mm": "25"}
    typed = starting_texts(form().shop, metals_to_choose()) | filled | {"metal": str(steel.pk)}
    common = {"shop": form().shop, "metals": metals_to_choose(), "job": form().job}
    followed = PanelForm(typed, filled=filled, **common)
    assert followed.is_valid()
    assert followed.built.gather_mm == 4
    kept = PanelForm(typed | {"gather_mm": "7"}, filled=filled, **common)
    assert kept.is_valid()
    assert kept.built.gather_mm == 7


def test_a_metal_without_a_gather_of_its_own_takes_the_usual_one(form, aluminium):
    GatherSize.objects.all().delete()
    assert form().built.gather_mm == GatherSize().gather_mm


BAD = [
    ({"arch-depth_mm": "20"}, "arch-depth_mm", "no room for the bend"),
    ({"arch-bend_angle_rad": "180"}, "arch-bend_angle_rad", "180 degrees or more"),
    ({"arch-bend_angle_rad": "200"}, "arch-bend_angle_rad", "180 degrees or more"),
    ({"arch-stretch": "on", "arch-outside_radius_mm": "20", "arch-bend_angle_rad": "135"}, None, ""),
    ({"arch-depth_mm": "seventy"}, "arch-depth_mm", "cannot be read as a length"),
    ({"arch-depth_mm": "-5"}, "arch-depth_mm", "sign in front"),
    ({"arch-depth_mm": "0"}, "arch-depth_mm", "more than 0"),
    ({"arch-depth_mm": ""}, "arch-depth_mm", "Write a length"),
    ({"arch-depth_mm": "9" * 5000}, "arch-depth_mm", "40 characters"),
    ({"arch-depth_mm": "1,250"}, "arch-depth_mm", "two ways"),
    ({"arch-turn_rad": "400"}, "arch-turn_rad", "full turn"),
    ({"arch-turn_rad": "0"}, "arch-turn_rad", "more than 0"),
    ({"thickness_mm": "99 ga"}, "thickness_mm", "no 99 ga"),
    ({"thickness_mm": "18"}, "thickness_mm", "may be a gauge"),
    ({"thickness_mm": "0.01"}, "thickness_mm", "0.05 mm to 25 mm"),
    ({"trim_mm": "501"}, "trim_mm", "0 mm to 500 mm"),
    ({"gather_mm": "0.01"}, "gather_mm", "0.1 mm to 100 mm"),
    ({"die_width_mm": "301"}, "die_width_mm", "1 mm to 300 mm"),
    ({"line_count": "1"}, "line_count", "Write a whole number from 2 to 25."),
    ({"line_count": "26"}, "line_count", "Write a whole number from 2 to 25."),
    ({"line_count": "9" * 5000}, "line_count", "whole number"),
    ({"metal": "999999"}, "metal", "Pick one"),
    ({"metal": "x" * 100}, "metal", "Pick one"),
    ({"form": "teapot"}, "form", "Pick one"),
    ({"hand": "both"}, "hand", "Pick one"),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "field", "words"), BAD)
def test_what_cannot_be_made_is_refused_beside_its_field(form, typed, field, words):
    made = form(**typed)
    assert made.built is None
    assert made.errors
    if field:
        assert words in " ".join(made.errors[field])
    assert all(made.data[name] == text for name, text in typed.items())


def test_a_refusal_speaks_the_shops_own_units(form, shop):
    shop.units = "in"
    made = form(**{"arch-depth_mm": "3/4"})
    assert "3/4 in" in made.errors["arch-depth_mm"][0]
    assert "mm" not in made.errors["arch-depth_mm"][0]


def test_legs_are_several_lengths(form):
    assert form("fold", **{"fold-leg_mm": "2 in; 100, 50"}).built.dimensions["leg_mm"] == [50.8, 100, 50]
    assert "semicolon" in form("fold", **{"fold-leg_mm": "60,120,60"}).errors["fold-leg_mm"][0]
    assert "two or more" in form("fold", **{"fold-leg_mm": "60"}).errors["fold-leg_mm"][0]
    assert form("fold", **{"fold-leg_mm": ";".join(["1"] * 60)}).errors["fold-leg_mm"]


def test_the_shops_own_k_may_stay_empty(form):
    assert form("fold", **{"fold-k": ""}).built.dimensions["k"] is None
    assert form("fold", **{"fold-k": "0,4"}).built.dimensions["k"] == 0.4
    assert form("fold", **{"fold-k": "four"}).errors["fold-k"]
    assert form("fold", **{"fold-k": "7"}).built is None


def test_switching_the_form_keeps_what_was_typed_for_the_other(form):
    made = form("arch", **{"form": "dome", "arch-depth_mm": "81", "dome-height_mm": "50"})
    assert made.shape == "dome"
    assert made.built.dimensions["height_mm"] == 50
    assert ("arch-depth_mm", "81") in made.kept_dimensions


def test_a_stored_panel_that_is_not_touched_stays_exactly_as_it_is(form, panel):
    panel.dimensions["outside_radius_mm"] = 330.123456789
    panel.trim_mm = 19.0512345
    made = form(panel=panel)
    assert made.built.dimensions == panel.dimensions
    assert made.built.trim_mm == panel.trim_mm


def test_a_name_is_only_asked_for_when_saving(form, shop, job):
    assert not form(name="").errors
    metals = metals_to_choose()
    saving = PanelForm(starting_texts(shop, metals), shop=shop, metals=metals, job=job, saving=True)
    assert not saving.is_valid()
    assert list(saving.errors) == ["name"]
    assert saving.built is not None


ODD = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=60),
    st.sampled_from(
        ["1e400", "nan", "inf", "0.0000001", "1/0", "360", "٣", "1" * 400, "100 m", "1/64 in", "\0"]
    ),
    st.decimals(0, 100000, places=4).map(str),
)


@pytest.mark.parametrize(
    "name", ["method", "finish", "grain", "hand", "metal", "form", "name", "note", "thickness_mm"]
)
def test_a_character_no_database_keeps_is_refused(form, name):
    made = form(**{name: "hand\0"})
    assert made.errors


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(data=st.data())
def test_any_text_in_any_field_is_read_or_refused(form, data):
    shape = data.draw(st.sampled_from(list(FORMS)))
    names = [name for name in form(shape).fields if name != "form"]
    typed = data.draw(st.dictionaries(st.sampled_from(names), ODD, min_size=1, max_size=4))
    made = form(shape, **typed)
    assert bool(made.built) == (not set(made.errors) - {"name", "note"})


@pytest.mark.parametrize("name", FORMS)
def test_every_dimension_that_can_be_measured_two_ways_says_how(form, name):
    """Outside, inside or middle of the sheet, over the edges or along the metal: the label or the help says it."""
    said = {
        bound.name: f"{bound.label}. {bound.field.help_text}".lower()
        for bound in form(name).dimension_fields
        if isinstance(bound.field, LengthField)
    }
    ways = ("outside", "inside", "middle", "straight", "over ", "edge", "along", "lines", "flat", "drop")
    assert said
    for dimension, words in said.items():
        assert any(way in words for way in ways), (dimension, words)
