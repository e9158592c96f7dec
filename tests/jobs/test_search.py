"""Finding things by what somebody remembers of them."""

import pytest
from django.urls import reverse

from jobs.models import Customer, Job, Panel, Stage
from jobs.numbers import save_with_number
from jobs.panels import add_mirrored_hand
from jobs.search import find
from shop.models import SheetStock, StageKind
from tests.jobs.test_listing import make_job, make_panels

SEARCH = reverse("search")


@pytest.fixture
def fourteen(customer, owner) -> Job:
    """The fourteenth job of 2026 among others that look like it."""
    for year, count in [(2026, 13), (2025, 14), (2026, 114), (2026, 140)]:
        Job.objects.create(
            customer=customer, title="Other", year=year, count=count, number=f"{year}-{count:03d}"
        )
    return Job.objects.create(customer=customer, title="Bow fairing", year=2026, count=14, number="2026-014")


def test_a_whole_number_finds_its_job(fourteen):
    assert find("2026-014").jobs == [fourteen]


def test_the_count_alone_finds_the_jobs_of_that_count(fourteen):
    found = find("014").jobs
    assert fourteen in found
    assert {job.count for job in found} == {14}


def test_the_count_without_its_nought_finds_it_too(fourteen):
    assert fourteen in find("14").jobs


def test_the_mark_chalked_on_the_metal_finds_the_panel(panel, owner):
    right = add_mirrored_hand(panel, owner)
    panel.refresh_from_db()
    assert find(right.mark).panels == [right]
    assert find(panel.mark).panels == [panel]
    assert find(f"{panel.job.count} R").panels == [right]


@pytest.mark.parametrize("text", ["fairing", "FAIR", "skin fairing", "1100-O", "aluminium skin"])
def test_part_of_a_name_or_metal_finds_the_panel(panel, text):
    assert panel in find(text).panels


@pytest.mark.parametrize("text", ["tamsin", "PELL", "pell.example", "pell tamsin"])
def test_part_of_a_customer_finds_them_and_their_job(job, customer, text):
    found = find(text)
    assert found.customers == [customer]
    if "example" not in text:
        assert found.jobs == [job]


def test_a_label_finds_its_panel_stage_or_sheet(panel, sheet):
    stage = Stage.objects.create(panel=panel, kind=StageKind.objects.first())
    for thing in (panel, stage, sheet):
        for text in (
            thing.code,
            thing.code.lower(),
            f" {thing.code} ",
            f"https://shop.example/c/{thing.code}/",
        ):
            assert find(text).labelled == thing


def test_a_used_up_sheet_is_left_out(sheet):
    assert find("rack").sheets == [sheet]
    SheetStock.objects.update(state=SheetStock.State.USED)
    assert find("rack").sheets == []


@pytest.mark.parametrize(
    "text", ["%", "_____", "\\%", "'; DROP TABLE", "a" * 100_000, "1" * 5000, "\0", "９９９", "[(*", "☃" * 90]
)
def test_odd_input_finds_nothing_and_breaks_nothing(owner_client, panel, text):
    assert find(text).nothing
    assert owner_client.get(SEARCH, {"q": text}).status_code == 200


def test_wildcards_are_only_letters(customer):
    exact = Customer.objects.create(name="50% Tin")
    Customer.objects.create(name="50 by Tin")
    assert find("50%").customers == [exact]


def test_a_search_for_nothing_finds_nothing_and_says_what_to_type(owner_client, job):
    assert find("   ").nothing
    assert "the code off a label" in owner_client.get(SEARCH).content.decode()


def test_a_long_answer_is_cut_short_and_says_so(owner_client, customer, owner):
    for _ in range(25):
        make_job(customer, owner, "Pump hood")
    assert len(find("pump").jobs) == 20
    page = owner_client.get(SEARCH, {"q": "pump"}).content.decode()
    assert f"{reverse('job-list')}?state=all&amp;q=pump" in page


@pytest.mark.parametrize("count", [3, 30])
def test_searching_asks_the_database_the_same_for_many(
    owner_client, customer, owner, panel, count, django_assert_max_num_queries
):
    for _ in range(count):
        make_panels(make_job(customer, owner, "Fairing"), panel, 1)
        Customer.objects.create(name="Fairing maker")
    with django_assert_max_num_queries(12):
        owner_client.get(SEARCH, {"q": "fairing"})


def test_what_was_typed_cannot_carry_a_script(owner_client, shop):
    page = owner_client.get(SEARCH, {"q": "<script>alert(1)</script>"}).content.decode()
    assert "<script>alert" not in page


def test_a_stranger_cannot_search(stranger_client, job):
    assert stranger_client.get(SEARCH, {"q": "Bow"}).status_code == 302


def test_a_code_leads_to_panel_bench_and_sheet(shaper_client, panel, sheet):
    stage = Stage.objects.create(panel=panel, kind=StageKind.objects.first())
    addresses = [
        (panel.code, panel.get_absolute_url()),
        (stage.code.lower(), reverse("bench", args=[stage.code])),
        (sheet.code, reverse("sheet", args=[sheet.pk])),
    ]
    for code, address in addresses:
        assert shaper_client.get(reverse("code", args=[code]))["Location"] == address


@pytest.mark.parametrize("code", ["ZZZZZZ", "%", "O0O0O0", "a" * 500])
def test_a_code_that_nothing_has_is_not_found(shaper_client, panel, code):
    assert shaper_client.get(reverse("code", args=[code])).status_code == 404


def test_a_strangers_code_leads_to_the_door(stranger_client, panel):
    response = stranger_client.get(reverse("code", args=[panel.code]))
    assert response["Location"].startswith(reverse("sign-in"))


def test_the_numbers_of_two_years_are_both_found(customer, owner):
    save_with_number(Job(customer=customer, title="New"))
    old = Job.objects.create(customer=customer, title="Old", year=2020, count=1, number="2020-001")
    assert set(find("001").jobs) == set(Job.objects.all())
    assert find("2020-1").jobs == [old]
    assert Panel.objects.count() == 0
