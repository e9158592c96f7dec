"""A panel's page: its drawings and figures, its other hand, how it was figured, and removing it."""

import re
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from estimates.models import Quote
from jobs.drawings.scene import Path, bounds, leaves
from jobs.forming import FORMS, build, values
from jobs.models import Job, MaterialUse, Panel, PassDone, Photo, Reading, Stage, StageNote
from jobs.panel_facts import panel_page
from jobs.panels import add_mirrored_hand, save_panel, work_of
from jobs.photos import add_photo
from jobs.removal import PanelStays, remove_panel
from shop.lengths import format_length
from shop.models import AuditEntry, StageKind
from tests.conftest import ARCH
from tests.jobs.photo_files import jpeg_upload
from tests.jobs.test_listing import book_hours


@pytest.fixture(autouse=True)
def _photos_of_this_test_only(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def address(name, panel) -> str:
    return reverse(name, args=[panel.job.number, panel.position])


@pytest.fixture
def sent_quote(panel) -> Quote:
    now = timezone.now()
    quote = Quote.objects.create(
        job=panel.job, revision=1, state=Quote.State.SENT, frozen={}, sent_at=now, total=Decimal("100"),
        valid_until=now.date(),
    )  # fmt: skip
    quote.panels.add(panel)
    return quote


def test_the_page_shows_drawings_figures_and_passes(shaper_client, panel):
    response = shaper_client.get(panel.get_absolute_url())
    page = response.content.decode()
    work = work_of(panel)
    assert response.status_code == 200
    assert page.count("Flat pattern") >= 2
    for words in ("Blank, with trim", "Gather angle", "Thickest", "How this was figured", panel.code):
        assert words in page
    assert format_length(work.passes[-1].edge_length_mm) in page


def heads(page: str) -> list[str]:
    """The heads of the table of passes."""
    table = page[page.index("What to do on each line") :].partition("</thead>")[0]
    return re.findall(r"<th [^>]*>([^<]+)</th>", table)


def test_a_stretched_dome_has_its_heights_and_nothing_to_count(shaper_client, owner, panel):
    panel.form, panel.dimensions = "dome", {"diameter_mm": 300, "height_mm": 60, "method": "stretch"}
    save_panel(panel, owner)
    page = shaper_client.get(panel.get_absolute_url()).content.decode()
    assert {"Stretches", "Rounds", "Apart"}.isdisjoint(heads(page))
    assert "no stretches to count" in page
    for one in work_of(panel).passes:
        assert f'data-label="Crown height then">{format_length(one.height_mm)}</td>' in page


def test_gathers_are_counted_and_a_height_is_read_where_there_is_a_crown(shaper_client, owner, panel):
    page = shaper_client.get(panel.get_absolute_url()).content.decode()
    assert "Gathers" in heads(page)
    assert "Crown height then" not in heads(page)
    assert "to count" not in page
    panel.form, panel.dimensions = "dome", {"diameter_mm": 300, "height_mm": 60, "method": "gather"}
    save_panel(panel, owner)
    page = shaper_client.get(panel.get_absolute_url()).content.decode()
    assert {"Gathers", "Rounds", "Apart", "Crown height then"} <= set(heads(page))
    assert "straightedge laid from edge to edge" in page


def test_the_figures_follow_the_shops_units(panel, shop, shaper_client):
    shop.units = "in"
    shop.save()
    page = shaper_client.get(panel.get_absolute_url()).content.decode()
    assert "0.063 in" in page
    assert " mm" not in page.replace("0 mm", "")


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_form_has_its_page_and_its_explanation(shaper_client, panel, owner, shop, form, units):
    shop.units = units
    shop.save()
    panel.form = form
    panel.dimensions = values(build(form, {one.name: one.example for one in FORMS[form].dimensions}))
    save_panel(panel, owner)
    mirrored = add_mirrored_hand(panel, owner)
    for each in (panel, mirrored):
        for name in ("panel", "panel-figured", "panel-svg", "panel-dxf"):
            assert shaper_client.get(address(name, each)).status_code == 200
    page = shaper_client.get(address("panel", mirrored)).content.decode()
    assert "This shape cannot be made." not in page
    assert "mirrored hand" in page


def test_the_rule_measures_the_pattern_below_it(panel, shop):
    """Its zero stands over the blank's left end; its scale is the pattern's."""
    page = panel_page(panel, shop)
    for drawn in page.drawings:
        trims = (
            leaf.runs
            for leaf in leaves(drawn.pattern.items)
            if isinstance(leaf, Path) and leaf.role == "trim"
        )
        blank = bounds(next(trims))
        texts = {text.text: text for text in drawn.rule.texts()}
        zero, hundred = texts["0 mm"].at[0], texts["200"].at[0]
        scale = (blank.right - blank.left) / page.work.blank_length_mm
        assert zero - blank.left == pytest.approx(4, abs=0.5)
        assert (hundred - zero) / 200 == pytest.approx(scale, rel=0.01)


def test_warnings_are_said(panel, owner, shaper_client):
    panel.trim_mm = 0.5
    save_panel(panel, owner)
    page = shaper_client.get(panel.get_absolute_url()).content.decode()
    assert "Mind this" in page


def test_a_shape_that_can_no_longer_be_made_says_why(shaper_client, panel):
    Panel.objects.update(dimensions=ARCH | {"depth_mm": 5.0})
    for name in ("panel", "panel-figured"):
        response = shaper_client.get(address(name, panel))
        assert response.status_code == 200
        assert "This shape cannot be made." in response.content.decode()
    assert shaper_client.get(address("panel-svg", panel)).status_code == 404
    assert shaper_client.get(panel.job.get_absolute_url()).status_code == 200
    assert shaper_client.get(reverse("job-list")).status_code == 200


def test_stages_passes_readings_and_notes_stand_on_the_page(shaper_client, panel, shaper):
    stage = Stage.objects.create(
        panel=panel, kind=StageKind.objects.get(slug="gathering"), budget_low_hours=3, budget_high_hours=4,
        started_at=timezone.now(), progress=Decimal("0.4"),
    )  # fmt: skip
    book_hours(panel, shaper, "5.5", stage.kind)
    PassDone.objects.create(panel=panel, number=1, gathers_made=9, person=shaper)
    Reading.objects.create(panel=panel, pass_number=1, value=551.5, target=550.0, person=shaper)
    StageNote.objects.create(stage=stage, person=shaper, text="From the thin end.", for_other_hand=True)
    page = shaper_client.get(panel.get_absolute_url()).content.decode()
    for words in (
        "40 % done",
        "1.5 h over",
        "took 9",
        "1.5 mm over",
        "From the thin end.",
        "Repeat on the other hand.",
    ):
        assert words in page


@pytest.mark.parametrize("count", [1, 12])
def test_the_page_asks_the_database_the_same_for_many(
    owner_client, panel, shaper, count, django_assert_max_num_queries
):
    for kind in StageKind.objects.all():
        for _ in range(count):
            entry = book_hours(panel, shaper, "0.5", kind)
            StageNote.objects.create(stage=entry.stage, person=shaper, text="Note")
    for _ in range(count):
        add_photo(panel.job, jpeg_upload(), panel=panel, person=shaper)
        Reading.objects.create(panel=panel, value=550, person=shaper)
    with django_assert_max_num_queries(16):
        owner_client.get(panel.get_absolute_url())


def test_the_other_hand_is_added_once(shaper_client, panel):
    first = shaper_client.post(address("panel-mirror", panel))
    again = shaper_client.post(address("panel-mirror", panel))
    other = Panel.objects.get(mirrors=panel)
    assert first["Location"] == again["Location"] == other.get_absolute_url()
    said = shaper_client.get(other.get_absolute_url()).content.decode()
    assert f"{other} is added: the mirror of {other.mirrors}." in said
    assert "once the customer has accepted a quote that holds it" in said
    assert (other.hand, Panel.objects.count()) == ("right", 2)
    assert "Add the other hand" not in shaper_client.get(panel.get_absolute_url()).content.decode()
    assert "mirrored hand" in shaper_client.get(other.get_absolute_url()).content.decode()


@pytest.mark.parametrize("state", [Job.State.CLOSED, Job.State.DECLINED])
def test_a_job_that_is_over_gets_no_other_hand(shaper_client, panel, state):
    Job.objects.update(state=state, closed_at=timezone.now() if state == Job.State.CLOSED else None)
    shaper_client.post(address("panel-mirror", panel))
    assert Panel.objects.count() == 1


def test_looking_at_a_page_adds_no_hand(shaper_client, panel):
    assert shaper_client.get(address("panel-mirror", panel)).status_code == 405


def test_a_shaper_cannot_remove_a_panel(shaper_client, panel):
    assert shaper_client.post(address("panel-remove", panel)).status_code == 403
    assert "Remove this panel" not in shaper_client.get(panel.get_absolute_url()).content.decode()


def test_the_owner_removes_a_panel_its_pair_and_their_photos(
    owner_client, panel, owner, tmp_path, django_capture_on_commit_callbacks
):
    add_mirrored_hand(panel, owner)
    add_photo(panel.job, jpeg_upload(), panel=panel, person=owner)
    with django_capture_on_commit_callbacks(execute=True):
        response = owner_client.post(address("panel-remove", panel))
    assert response["Location"] == panel.job.get_absolute_url()
    assert (Panel.objects.count(), Photo.objects.count()) == (0, 0)
    assert not [path for path in tmp_path.rglob("*") if path.is_file()]
    assert AuditEntry.objects.filter(what="removed panel").count() == 2


def test_a_panel_with_hours_stays(owner_client, panel, shaper):
    book_hours(panel, shaper)
    page = owner_client.post(address("panel-remove", panel), follow=True).content.decode()
    assert "Hours are booked on it" in page
    assert Panel.objects.filter(pk=panel.pk).exists()


def test_a_panel_whose_other_hand_has_hours_stays(panel, owner):
    book_hours(add_mirrored_hand(panel, owner), owner)
    with pytest.raises(PanelStays, match="Hours are booked"):
        remove_panel(panel, owner)


def test_a_panel_with_metal_cut_for_it_stays(panel, owner, sheet):
    MaterialUse.objects.create(panel=panel, sheet=sheet, length_mm=10, width_mm=10, mass_kg=1, cost=1)
    with pytest.raises(PanelStays, match="Metal was cut"):
        remove_panel(panel, owner)


def test_a_panel_in_a_sent_quote_stays(owner_client, panel, sent_quote):
    page = owner_client.post(address("panel-remove", panel), follow=True).content.decode()
    assert f"Quote {sent_quote.number}, which was sent, describes it." in page
    assert Panel.objects.filter(pk=panel.pk).exists()


def test_a_panel_in_a_draft_may_go(panel, owner):
    Quote.objects.create(job=panel.job, revision=1).panels.add(panel)
    remove_panel(panel, owner)
    assert Panel.objects.count() == 0


def test_a_sent_quote_is_what_the_job_waits_for(owner_client, panel, sent_quote):
    Job.objects.update(state=Job.State.QUOTED)
    page = owner_client.get(panel.job.get_absolute_url()).content.decode()
    assert f"The customer has quote {sent_quote.number}, sent today." in page
    assert sent_quote.get_absolute_url() in page


def test_a_shaper_sees_no_money_on_the_jobs_page(owner_client, shaper_client, panel, sent_quote):
    assert "100.00" in owner_client.get(panel.job.get_absolute_url()).content.decode()
    page = shaper_client.get(panel.job.get_absolute_url()).content.decode()
    assert sent_quote.number in page
    assert "100.00" not in page
    assert reverse("payments", args=[panel.job.number]) not in page


def test_the_pattern_comes_as_svg_and_dxf(shaper_client, panel):
    svg = shaper_client.get(address("panel-svg", panel))
    dxf = shaper_client.get(address("panel-dxf", panel))
    assert svg["Content-Type"] == "image/svg+xml"
    assert b"<svg" in svg.content
    assert b"OUTLINE" in dxf.content
    assert dxf["Content-Disposition"].endswith('fairing-skin.dxf"')


def test_names_and_notes_cannot_carry_a_script(shaper_client, panel):
    script = "<script>alert(1)</script>"
    Panel.objects.update(name=script[:80], note=script)
    for name in ("panel", "panel-figured"):
        assert script not in shaper_client.get(address(name, panel)).content.decode()
    assert script not in shaper_client.get(panel.job.get_absolute_url()).content.decode()
    assert b"<script>" not in shaper_client.get(address("panel-svg", panel)).content


@pytest.mark.parametrize("name", ["panel", "panel-figured", "panel-svg", "panel-dxf"])
def test_a_stranger_sees_no_panel(stranger_client, panel, name):
    assert stranger_client.get(address(name, panel))["Location"].startswith(reverse("sign-in"))


def test_a_panel_that_is_not_there_is_not_found(shaper_client, panel):
    for position in (0, 99, 10**12):
        assert shaper_client.get(reverse("panel", args=[panel.job.number, position])).status_code == 404
