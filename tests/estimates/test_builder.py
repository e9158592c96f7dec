"""The panel builder: saved, told live, refused in words, with and without a script."""

import re
from datetime import timedelta
from decimal import Decimal
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimates.models import Quote
from jobs.forming import FORMS
from jobs.models import Job, Panel
from jobs.panel_figures import figured
from jobs.panels import add_mirrored_hand, save_panel
from shop.models import AuditEntry, LabourRate, Metal, SheetStock, Shop, StageKind

LIVE = {"HX-Request": "true"}


def fields_of(html: str) -> dict[str, str]:
    """What a browser would send of the builder's form as it stands."""
    form = html[html.index('id="builder"') :].partition("</form>")[0]
    sent = {"note": ""}
    for tag in re.findall(r"<input ([^>]*)>", form):
        attrs = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
        if attrs.get("type") not in ("radio", "checkbox") or re.search(r"\bchecked\b", tag):
            sent[attrs["name"]] = unescape(attrs.get("value", "on" if attrs["type"] == "checkbox" else ""))
    for name, options in re.findall(r'<select name="([^"]+)"(.*?)</select>', form, re.DOTALL):
        sent[name] = unescape(re.search(r'value="([^"]*)" selected', options)[1])
    sent.pop("csrfmiddlewaretoken", None)
    return sent


@pytest.fixture
def new(job) -> str:
    return reverse("panel-new", args=[job.number])


@pytest.fixture
def edit(panel) -> str:
    return reverse("panel-edit", args=[panel.job.number, panel.position])


def opened(client, url: str, **typed: str) -> dict[str, str]:
    return fields_of(client.get(url).content.decode()) | typed


def live(client, url: str, data: dict, edited: str = ""):
    return client.post(url, data, headers=LIVE | {"HX-Trigger-Name": edited})


# Saving


@pytest.mark.parametrize("name", FORMS)
def test_each_form_is_saved_and_shown(owner_client, aluminium, new, name):
    data = opened(owner_client, f"{new}?form={name}", name="Rear skin", do="save")
    assert owner_client.post(new, data).status_code == 302
    panel = Panel.objects.get()
    assert (panel.form, panel.name) == (name, "Rear skin")
    assert panel.blank_length_mm > 0
    assert AuditEntry.objects.filter(what="added panel", job_number=panel.job.number).exists()
    shown = owner_client.get(reverse("panel-edit", args=[panel.job.number, 1])).content.decode()
    assert fields_of(shown)["form"] == name
    assert shown.count('class="drawing"') >= 4


@pytest.mark.parametrize(("stretch", "sign"), [(False, 1), (True, -1)])
def test_an_arch_is_gathered_or_stretched(owner_client, aluminium, new, stretch, sign):
    ticked = {"arch-stretch": "on"} if stretch else {}
    owner_client.post(new, opened(owner_client, new, name="Skin", do="save", **ticked))
    panel = Panel.objects.get()
    assert panel.dimensions["stretch"] is stretch
    page = owner_client.get(reverse("panel-edit", args=[panel.job.number, 1])).content.decode()
    assert ("edge gains" in page, "edge loses" in page) == (stretch, not stretch)


def test_a_pair_is_made_in_one_go(owner_client, aluminium, new):
    data = opened(owner_client, new, name="Skin", hand="pair", do="save")
    assert "for the pair" in live(owner_client, new, data).content.decode()
    owner_client.post(new, data)
    first, second = Panel.objects.order_by("position")
    assert (first.hand, second.hand, second.mirrors) == ("left", "right", first)
    assert first.dimensions == second.dimensions


@pytest.fixture
def trimming(shop) -> StageKind:
    """A stage of the shop's own that the builder ticks by itself, and one that it does not."""
    fixed = {"driver": "fixed", "fixed_low_hours": 1, "fixed_high_hours": 2}
    StageKind.objects.create(name="Wiring", slug="wiring", position=6, **fixed)
    return StageKind.objects.create(name="Trimming", slug="trimming", position=5, usual=True, **fixed)


def test_a_panel_goes_through_the_stages_of_the_shops_own_that_are_ticked(
    owner_client, aluminium, new, trimming
):
    data = opened(owner_client, new, name="Skin", hand="pair", do="save")
    assert (data["stage-trimming"], "stage-wiring" in data) == ("on", False)
    owner_client.post(new, data)
    assert [panel.own_stages for panel in Panel.objects.all()] == [["trimming"], ["trimming"]]
    edit = reverse("panel-edit", args=[Panel.objects.first().job.number, 1])
    data = opened(owner_client, edit, do="save", **{"stage-wiring": "on"})
    del data["stage-trimming"]
    assert "Trimming yes to no" in live(owner_client, edit, data).content.decode()
    owner_client.post(edit, data)
    assert [panel.own_stages for panel in Panel.objects.all()] == [["wiring"], ["wiring"]]
    trail = AuditEntry.objects.filter(what="changed panel").first()
    assert trail.changes["own_stages"] == [["trimming"], ["wiring"]]


def test_a_stage_out_of_use_stays_with_its_panels(owner_client, panel, edit, trimming):
    Panel.objects.update(own_stages=["trimming"])
    StageKind.objects.filter(slug="trimming").update(in_use=False)
    owner_client.post(edit, opened(owner_client, edit, do="save", note="Mind the seam"))
    assert Panel.objects.get().own_stages == ["trimming"]


def test_a_second_press_makes_no_second_panel(owner_client, aluminium, new):
    data = opened(owner_client, new, name="Skin", hand="pair", do="save")
    first, second = owner_client.post(new, data), owner_client.post(new, data)
    assert first["Location"] == second["Location"]
    assert Panel.objects.count() == 2


def test_two_pages_make_two_panels(owner_client, aluminium, new):
    for _ in range(2):
        owner_client.post(new, opened(owner_client, new, name="Skin", do="save"))
    assert list(Panel.objects.order_by("position").values_list("position", flat=True)) == [1, 2]


def test_the_owner_goes_on_to_the_quote_with_the_panel_on_it(owner_client, aluminium, new):
    response = owner_client.post(new, opened(owner_client, new, name="Skin", do="save"))
    draft = Quote.objects.get()
    assert response["Location"] == draft.get_absolute_url()
    owner_client.post(new, opened(owner_client, new, name="Cap", do="save"))
    assert {panel.name for panel in draft.panels.all()} == {"Skin", "Cap"}


def test_a_shaper_goes_on_to_the_panel_and_makes_no_quote(shaper_client, aluminium, new):
    response = shaper_client.post(new, opened(shaper_client, new, name="Skin", do="save"))
    assert response["Location"] == Panel.objects.get().get_absolute_url()
    assert not Quote.objects.exists()


def test_changing_a_first_hand_changes_the_second(owner_client, owner, panel, edit):
    second = add_mirrored_hand(panel, owner)
    response = owner_client.post(edit, opened(owner_client, edit, do="save", **{"arch-depth_mm": "66"}))
    assert response["Location"] == panel.get_absolute_url()
    second.refresh_from_db()
    assert second.dimensions["depth_mm"] == 66
    assert second.hand == "right"


@pytest.mark.parametrize("name", FORMS)
def test_of_every_form_the_second_hand_follows_the_first_reflected(owner_client, aluminium, new, name):
    """Nothing is entered twice: what is changed on one hand is figured alike on both, drawn as in a mirror."""
    owner_client.post(new, opened(owner_client, f"{new}?form={name}", name="Skin", hand="pair", do="save"))
    first, second = Panel.objects.order_by("position")
    edit = reverse("panel-edit", args=[first.job.number, first.position])
    longer = next(
        key for key in opened(owner_client, edit) if re.fullmatch(rf"{name}-(?!flat|web|bend)\w+_mm", key)
    )
    typed = opened(owner_client, edit)
    typed[longer] = "; ".join(f"{float(part) * 1.1:.1f}" for part in typed[longer].split(";"))
    assert owner_client.post(edit, typed | {"do": "save"}).status_code == 302
    first.refresh_from_db()
    before, second = second.dimensions, Panel.objects.get(pk=second.pk)
    assert second.dimensions == first.dimensions != before
    explained = [figured(hand, Shop.standing()) for hand in (first, second)]
    assert explained[0].chapters == explained[1].chapters
    assert [first.hand, second.hand] == ["left", "right"]
    assert [first.is_mirrored, second.is_mirrored] == [False, True]


def test_a_single_panel_becomes_a_pair(owner_client, panel, edit):
    owner_client.post(edit, opened(owner_client, edit, do="save", hand="pair"))
    panel.refresh_from_db()
    assert (panel.hand, panel.mirrored_by.hand) == ("left", "right")


def test_the_second_hand_is_changed_through_the_first(owner_client, owner, panel, edit):
    second = add_mirrored_hand(panel, owner)
    url = reverse("panel-edit", args=[second.job.number, second.position])
    response = owner_client.get(url, follow=True)
    assert response.redirect_chain == [(edit, 302)]
    assert "change it here, and both hands follow" in response.content.decode()


def test_saving_over_somebody_else_is_refused_once_with_what_they_changed(owner_client, owner, panel, edit):
    data = opened(owner_client, edit, do="save", **{"arch-depth_mm": "66"})
    panel.dimensions["turn_rad"] = 1.0
    save_panel(panel, owner)
    refused = owner_client.post(edit, data)
    page = refused.content.decode()
    assert refused.status_code == 422
    assert "turn is now 57.2958" in page
    assert fields_of(page)["arch-depth_mm"] == "66"
    panel.refresh_from_db()
    assert panel.dimensions["depth_mm"] == 60
    assert owner_client.post(edit, fields_of(page) | {"do": "save"}).status_code == 302
    panel.refresh_from_db()
    assert panel.dimensions["depth_mm"] == 66


def test_nothing_is_changed_where_nothing_was_touched(owner_client, panel, edit):
    before = Panel.objects.values().get()
    owner_client.post(edit, opened(owner_client, edit, do="save"))
    after = Panel.objects.values().get()
    assert {**before, "changed_at": 0} == {**after, "changed_at": 0}


@pytest.mark.parametrize("state", [Job.State.CLOSED, Job.State.DECLINED])
def test_a_shut_job_takes_no_panel(owner_client, panel, new, edit, state):
    Job.objects.update(state=state, closed_at=timezone.now() if state == Job.State.CLOSED else None)
    for url in (new, edit):
        response = owner_client.get(url, follow=True)
        assert "its panels stay as they are" in response.content.decode()
        assert owner_client.post(url, {"do": "save"}).status_code == 302
    assert Panel.objects.count() == 1


def test_a_panel_on_an_accepted_quote_needs_a_further_quote(owner_client, owner, panel, edit):
    now = timezone.now()
    quote = Quote.objects.create(
        job=panel.job, revision=1, state="accepted", frozen={}, sent_at=now, total=Decimal("1"),
        valid_until=(now + timedelta(days=9)).date(),
    )  # fmt: skip
    quote.panels.add(panel)
    page = owner_client.get(edit).content.decode()
    assert f"accepted quote {quote.number}" in page
    assert "needs a further quote" in page


# Without a script


def test_without_a_script_a_button_updates_the_page(owner_client, panel, edit):
    response = owner_client.post(edit, opened(owner_client, edit, do="update", **{"arch-depth_mm": "66"}))
    page = response.content.decode()
    assert response.status_code == 200
    assert page.startswith("<!doctype html>")
    assert "Depth 60 to 66: gather at the edge up <b>" in page
    assert '<del class="was" id="was-arch-depth_mm">60</del>' in page
    assert "d-editing" in page
    panel.refresh_from_db()
    assert panel.dimensions["depth_mm"] == 60


def test_undo_puts_back_what_stood_there_and_keeps_name_and_note(owner_client, panel, edit):
    typed = {"arch-depth_mm": "66", "name": "New name", "note": "Mind the flange."}
    changed = fields_of(
        owner_client.post(edit, opened(owner_client, edit, do="update", **typed)).content.decode()
    )
    page = owner_client.post(edit, changed | {"do": "undo"}).content.decode()
    assert fields_of(page)["arch-depth_mm"] == "60"
    assert fields_of(page)["name"] == "New name"
    assert "Undo the change" not in page


def test_a_new_panel_tells_each_change_against_the_state_before_it(owner_client, aluminium, new):
    first = fields_of(
        owner_client.post(
            new, opened(owner_client, new, do="update", **{"arch-depth_mm": "80"})
        ).content.decode()
    )
    page = owner_client.post(new, first | {"do": "update", "arch-turn_rad": "120"}).content.decode()
    assert "Turn 90 to 120: " in page
    assert "Depth 75 to 80" not in page


# Live


def test_a_change_is_told_live_without_touching_the_fields(owner_client, panel, edit):
    data = opened(owner_client, edit, **{"arch-depth_mm": "66"})
    response = live(owner_client, edit, data, "arch-depth_mm")
    part = response.content.decode()
    assert response.status_code == 200
    assert "<!doctype" not in part
    assert 'id="id_arch-depth_mm"' not in part
    assert "Depth 60 to 66: gather at the edge up <b>" in part
    assert re.search(r'<span class="unseen">was </span>[^<]+</del><b class="changed">', part)
    assert "d-editing" in part
    assert "HX-Request" in response["Vary"]


def test_the_sentence_says_how_far_the_strain_went_and_where_to(owner_client, panel, edit):
    part = live(owner_client, edit, opened(owner_client, edit, **{"arch-depth_mm": "66"})).content.decode()
    by, to = re.search(r"at the edge up <b>([\d.]+)</b> to ([\d.]+) %", part).groups()
    total = re.search(r'at the edge <b class="figures">([\d.]+)</b> %', part)[1]
    assert 0 < float(by) < float(to) == float(total)


@pytest.mark.parametrize(("form", "noun"), [("arch", "Stretches"), ("dome", None)])
def test_the_passes_of_a_stretched_shape_say_so_on_a_phone_too(owner_client, aluminium, new, form, noun):
    typed = {"arch-stretch": "on"} if form == "arch" else {"dome-method": "stretch"}
    part = live(owner_client, new, opened(owner_client, f"{new}?form={form}", **typed)).content.decode()
    labels = set(re.findall(r'data-label="([^"]+)"', part))
    assert "Gathers" not in labels
    assert noun in labels if noun else {"Crown height then"} <= labels


def test_a_tray_of_straight_bends_is_not_said_to_gather(owner_client, aluminium, new):
    data = opened(owner_client, f"{new}?form=tray", **{"tray-sides": "front"})
    part = live(owner_client, new, data).content.decode()
    assert "The metal is only bent" in part
    assert "elongation" not in part
    assert "at the edge" not in part


def test_legs_have_a_whole_row(owner_client, new, aluminium):
    page = owner_client.get(f"{new}?form=fold").content.decode()
    assert '<div class="field field-all" id="field-fold-leg_mm">' in page


def test_the_sentence_is_not_said_twice(owner_client, panel, edit):
    data = opened(owner_client, edit, **{"arch-depth_mm": "66"})
    part = live(owner_client, edit, data).content.decode()
    said = unescape(re.search(r'name="said" value="([^"]*)"', part)[1])
    assert "#b-sum" in part
    assert "#b-sum" not in live(owner_client, edit, data | {"said": said}).content.decode()


def test_a_shape_that_cannot_be_made_keeps_the_last_drawing_and_says_so(owner_client, panel, edit):
    data = opened(owner_client, edit, **{"arch-depth_mm": "20"})
    response = live(owner_client, edit, data, "arch-depth_mm")
    part = response.content.decode()
    assert response.status_code == 422
    assert "drawing of the last shape that can be made" in part
    assert "no room for the bend" in part
    assert 'class="drawing"' in part
    whole = owner_client.post(edit, data | {"do": "save"})
    assert whole.status_code == 422
    assert fields_of(whole.content.decode())["arch-depth_mm"] == "20"
    panel.refresh_from_db()
    assert panel.dimensions["depth_mm"] == 60


def test_another_form_brings_its_fields_and_keeps_the_others(owner_client, panel, edit):
    data = opened(owner_client, edit, form="dome", **{"arch-depth_mm": "81"})
    part = live(owner_client, edit, data, "form").content.decode()
    assert 'id="id_dome-height_mm"' in part
    assert '<input type="hidden" name="arch-depth_mm" value="81">' in part
    assert "Form flange on a curved edge to dome" in part


def test_another_metal_brings_its_own_gather(owner_client, panel, steel, edit):
    part = live(owner_client, edit, opened(owner_client, edit, metal=str(steel.pk)), "metal").content.decode()
    assert re.search(r'<input [^>]*name="gather_mm" value="4"[^>]*hx-swap-oob="true"', part)


def test_the_strain_is_told_against_the_metals_elongation(owner_client, panel, edit):
    Metal.objects.update(elongation=0.02)
    page = owner_client.get(edit).content.decode()
    assert "past elongation 2 %" in page
    assert "past its elongation of 2 %" in page


def test_the_sheet_on_the_rack_is_named_with_its_drop(owner_client, panel, edit, sheet):
    page = owner_client.get(edit).content.decode()
    assert f"sheet {sheet.code}" in page
    assert "Largest drop" in page
    SheetStock.objects.update(thickness_mm=3)
    assert "No sheet or drop of the stock takes it." in owner_client.get(edit).content.decode()


def test_a_blank_larger_than_any_sheet_says_so(owner_client, panel, edit):
    data = opened(owner_client, edit, **{"arch-outside_radius_mm": "9000"})
    assert "needs a larger sheet or a seam" in live(owner_client, edit, data).content.decode()


# Who sees what


def test_a_shaper_sees_hours_and_no_price(shaper_client, owner_client, panel, edit):
    shown = shaper_client.get(edit).content.decode()
    assert "all stages" in shown
    assert "€" not in shown
    part = live(shaper_client, edit, opened(shaper_client, edit, **{"arch-depth_mm": "66"})).content.decode()
    assert "hours up" in part
    assert "price" not in part.lower()
    assert (
        "price up"
        in live(owner_client, edit, opened(owner_client, edit, **{"arch-depth_mm": "66"})).content.decode()
    )


def test_a_stranger_is_sent_to_the_door(stranger_client, panel, new, edit):
    for url in (new, edit):
        assert reverse("sign-in") in stranger_client.get(url)["Location"]
        assert reverse("sign-in") in stranger_client.post(url, {"do": "save"})["Location"]


def test_a_shop_without_a_metal_is_told_where_to_add_one(owner_client, shaper_client, new):
    assert reverse("metal-new") in owner_client.get(new).content.decode()
    assert "Ask the owner to add one" in shaper_client.get(new).content.decode()


def test_a_stage_without_a_rate_is_named(owner_client, panel, edit):
    LabourRate.objects.filter(stage_kind__slug="layout").delete()
    assert "Layout has no hourly rate today" in owner_client.get(edit).content.decode()


def test_what_was_signed_cannot_be_forged(owner_client, panel, edit):
    data = opened(owner_client, edit, do="save")
    for name in ("before", "now", "press"):
        assert owner_client.post(edit, data | {name: "x:y:z"}).status_code in (302, 422)


# Queries, and anything at all


def test_a_live_change_costs_the_same_few_queries_whatever_is_stored(
    owner_client, panel, edit, sheet, django_assert_num_queries
):
    data = opened(owner_client, edit, **{"arch-depth_mm": "66"})
    live(owner_client, edit, data)
    # Three of them ask who it is and for which shop; seven are the builder's own.
    with django_assert_num_queries(10):
        live(owner_client, edit, data)
    for number in range(30):
        Metal.objects.create(name=f"Metal {number}", family="steel", density_kg_m3=7850)
        SheetStock.objects.create(metal=panel.metal, thickness_mm=1.6, length_mm=100 + number, width_mm=90)
    with django_assert_num_queries(10):
        live(owner_client, edit, data)


ODD = st.text(st.characters(exclude_categories=["Cs"]), max_size=50) | st.sampled_from(
    ["99999", "0.001", "1e400", "360", "9" * 300, "1/64 in", "100 m"]
)


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(data=st.data())
def test_no_text_in_any_field_is_an_error_page(owner_client, job, aluminium, new, data):
    form = data.draw(st.sampled_from(list(FORMS)))
    sent = opened(owner_client, f"{new}?form={form}", name="Skin")
    sent |= data.draw(st.dictionaries(st.sampled_from(sorted(sent)), ODD, min_size=1, max_size=3))
    sent["do"] = data.draw(st.sampled_from(["", "update", "undo", "save"]))
    headers = data.draw(st.sampled_from([LIVE, {}]))
    assert owner_client.post(new, sent, headers=headers).status_code in (200, 302, 422)
