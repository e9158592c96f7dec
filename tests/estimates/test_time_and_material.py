"""A job by time and material: what is owed so far, at the rates of the quote that was accepted."""

import io
from decimal import Decimal

import pypdf
import pytest
from django.urls import reverse

from estimates.acceptance import accept
from estimates.closing import closing_of
from estimates.drafts import new_draft
from estimates.models import Payment
from estimates.payments import MuchMoney, job_statement, keep_payment
from estimates.quoting.frozen import offer_text
from estimates.sending import send_quote
from jobs.models import Job, MaterialUse, Panel, Stage
from jobs.panels import save_panel
from shop.models import LabourRate, StageKind
from tests.estimates.quote_cast import bought_in, discount, sent_quote
from tests.estimates.work_cast import accepted, book, stages_of

pytestmark = pytest.mark.django_db
D = Decimal
# The cast: 54 an hour, 8 % overhead, 15 % margin, 2.50 of consumables an hour, 23 % tax on top.
HOUR, GAS = D("68.61"), D("3.18")  # 54 and 2.50 x 1.08 / 0.85


@pytest.fixture
def by_hours(job):
    Job.objects.filter(pk=job.pk).update(time_and_material=True)
    job.refresh_from_db()
    return job


def cut(panel, sheet, cost="9") -> MaterialUse:
    return MaterialUse.objects.create(
        panel=panel, sheet=sheet, length_mm=600, width_mm=400, mass_kg=1.04, cost=D(cost)
    )


def test_hours_and_metal_come_to_what_the_quotes_rates_say(by_hours, panel, owner, shaper, shop, sheet):
    accepted(by_hours, owner, shop)
    stages = stages_of(panel)
    book(stages["layout"], shaper, "1.25")
    book(stages["layout"], owner, "0.25")
    book(stages["gathering"], shaper, "2")
    cut(panel, sheet)
    account = job_statement(by_hours)
    (bill,) = account.bills
    assert [(row.words, row.quantity, row.each, row.amount) for row in bill.hours] == [
        ("Layout", D("1.50"), HOUR, D("102.92")),
        ("Gathering", D("2.00"), HOUR, D("137.22")),
    ]
    assert [row.amount for row in bill.metal] == [D("11.44")]  # 9 x 1.08 / 0.85
    assert [(row.quantity, row.each, row.amount) for row in bill.others] == [(D("3.50"), GAS, D("11.13"))]
    net = D("102.92") + D("137.22") + D("11.44") + D("11.13")
    assert bill.total.net == net
    assert account.owed == net + (net * D("0.23")).quantize(D("0.01"))
    assert account.balance == account.owed
    assert account.price != account.owed


def test_what_the_job_earns_is_what_is_charged(by_hours, panel, owner, shop, owner_client):
    accepted(by_hours, owner, shop)
    book(stages_of(panel)["layout"], owner, "2")
    account = job_statement(by_hours)
    closing = closing_of(by_hours, shop)
    assert closing.price == account.charged == D("137.22") + D("6.36")
    assert closing.margin == closing.price - closing.cost.total
    for page in ("job-against", "job-close"):
        shown = owner_client.get(reverse(page, args=[by_hours.number])).content.decode()
        assert "by time and material, without tax" in shown


def test_rates_changed_since_charge_nothing_else(by_hours, panel, owner, shop):
    accepted(by_hours, owner, shop)
    book(stages_of(panel)["layout"], owner, "1")
    before = job_statement(by_hours).owed
    LabourRate.objects.update(per_hour=999)
    shop.margin_percent, shop.tax_percent, shop.consumables_per_hour = D(40), D(5), D(99)
    shop.save()
    assert job_statement(by_hours).owed == before


def test_a_stage_the_quote_did_not_have_counts_at_the_shops_rate_of_that_day(by_hours, panel, owner, shop):
    quote = accepted(by_hours, owner, shop)
    kind = StageKind.objects.create(name="Welding", slug="welding", position=9, driver="fixed")
    LabourRate.objects.create(stage_kind=kind, per_hour=D(60), holds_from=quote.made_on)
    welding = Stage.objects.create(panel=panel, kind=kind)
    book(welding, owner, "1")
    (bill,) = job_statement(by_hours).bills
    assert [row.each for row in bill.hours] == [D("76.24")]  # 60 x 1.08 / 0.85


def test_hours_without_any_rate_are_listed_and_charged_nothing(by_hours, panel, owner, shop):
    accepted(by_hours, owner, shop)
    kind = StageKind.objects.create(name="Welding", slug="welding", position=9, driver="fixed")
    book(Stage.objects.create(panel=panel, kind=kind), owner, "1")
    (bill,) = job_statement(by_hours).bills
    assert [(row.words, row.amount) for row in bill.hours] == [("Welding, no rate was agreed", 0)]


def test_panels_of_a_further_quote_go_by_its_rates_and_no_hour_is_charged_twice(by_hours, panel, owner, shop):
    accepted(by_hours, owner, shop)
    other = Panel.objects.get(pk=panel.pk)
    other.pk, other.code, other._state.adding = None, "CPY1BBBB", True
    save_panel(other, owner)
    LabourRate.objects.update(per_hour=D(100))
    further = new_draft(by_hours, owner, shop)
    send_quote(further, owner, shop)
    accept(further, name="Tamsin Pell", options=[])
    for each in (panel, other):
        book(stages_of(each)["layout"], owner, "1")
    first, second = job_statement(by_hours).bills
    assert [row.each for row in first.hours] == [HOUR]
    assert [row.each for row in second.hours] == [D("127.06")]  # 100 x 1.08 / 0.85


def test_bought_in_work_stands_as_quoted_and_discounts_come_off(by_hours, panel, owner, shop):
    quote = accepted(by_hours, owner, shop, bought_in("Plating", "100"), discount("0", "10"))
    book(stages_of(panel)["layout"], owner, "1")
    (bill,) = job_statement(by_hours).bills
    plating = next(row for row in bill.others if row.name == "Plating")
    assert plating.amount == D("127.06")
    (off,) = bill.discounts
    assert (off.words, off.amount) == ("10 %", D("-19.89"))  # of 68.61 + 3.18 + 127.06
    assert quote.total > 0


def test_nothing_is_owed_before_there_is_a_quote_to_go_by(by_hours, panel, owner, shop):
    account = job_statement(by_hours)
    assert (account.bills, account.owed) == ((), 0)


def test_an_agreed_price_is_owed_whatever_the_hours(job, panel, owner, shop):
    accepted(job, owner, shop)
    book(stages_of(panel)["layout"], owner, "9")
    account = job_statement(job)
    assert account.bills is None
    assert account.owed == account.price


def test_a_deposit_before_the_first_hour_is_not_asked_about(by_hours, panel, owner, shop):
    accepted(by_hours, owner, shop)
    account = job_statement(by_hours)
    paid = Payment(kind=Payment.Kind.DEPOSIT, amount=account.deposit_asked)
    keep_payment(by_hours, paid, owner, shop)
    assert job_statement(by_hours).balance == -account.deposit_asked
    with pytest.raises(MuchMoney):
        keep_payment(by_hours, Payment(kind=Payment.Kind.PAYMENT, amount=account.price * 3), owner, shop)


def test_the_account_asks_a_constant_number_of_things(
    by_hours, panel, owner, shop, sheet, django_assert_num_queries
):
    accepted(by_hours, owner, shop)
    for stage in stages_of(panel).values():
        book(stage, owner, "1")
    for _ in range(5):
        cut(panel, sheet)
    with django_assert_num_queries(4):
        job_statement(by_hours)


def test_payments_page_says_what_is_owed_so_far(owner_client, by_hours, panel, owner, shop):
    accepted(by_hours, owner, shop)
    book(stages_of(panel)["layout"], owner, "1")
    page = owner_client.get(f"/jobs/{by_hours.number}/payments/").content.decode()
    for words in (
        "Quoted, as an estimate",
        "Owed so far",
        "To pay so far",
        "88.30",
        "charged by time and material",
    ):
        assert words in page
    Job.objects.update(time_and_material=False)
    assert "Owed so far" not in owner_client.get(f"/jobs/{by_hours.number}/payments/").content.decode()


def test_metal_is_told_in_the_units_the_quote_was_written_in(by_hours, panel, owner, shop, sheet):
    shop.units = "in"
    shop.save()
    accepted(by_hours, owner, shop)
    cut(panel, sheet)
    (bill,) = job_statement(by_hours).bills
    assert bill.metal[0].words.replace("\xa0", " ") == "23 5/8 × 15 3/4 in, 2.29 lb, for Fairing skin"


SAID = (
    "Charged by time and material: the total is an estimate, and what you pay follows from the work. Hours count at "
    "€ 68.61, with € 3.18 an hour for gas, rod, discs and dye, without VAT. Metal counts by what is cut of it."
)


def plain(text: str) -> str:
    return " ".join(text.replace("\xa0", " ").replace("&nbsp;", " ").split())


def test_a_quote_says_that_it_is_an_estimate_and_at_which_rates(
    by_hours, panel, owner, shop, owner_client, stranger_client
):
    quote = sent_quote(by_hours, owner, shop)
    pdf = stranger_client.get(f"/for/{quote.token}/pdf/")
    letter = pypdf.PdfReader(io.BytesIO(b"".join(pdf.streaming_content))).pages[0].extract_text()
    assert SAID in plain(letter)
    assert "Total, estimated" in letter
    page = plain(stranger_client.get(f"/for/{quote.token}/").content.decode())
    assert SAID in page
    assert ">Estimated</th>" in page
    assert "estimated, VAT in it" in page
    Job.objects.update(time_and_material=False)  # what was sent holds
    assert SAID in plain(stranger_client.get(f"/for/{quote.token}/").content.decode())


def test_an_agreed_price_says_nothing_of_rates(job, panel, owner, shop, stranger_client):
    quote = sent_quote(job, owner, shop)
    page = stranger_client.get(f"/for/{quote.token}/").content.decode()
    assert "time and material" not in page
    assert "68.61" not in page
    del quote.frozen["time_and_material"]  # as the first quotes of this version were kept
    assert offer_text(quote.frozen).by_hours == ""


def test_stages_of_different_rates_are_told_one_by_one(by_hours, panel, owner, shop):
    LabourRate.objects.filter(stage_kind__slug="layout").update(per_hour=D(40))
    words = offer_text(sent_quote(by_hours, owner, shop).frozen).by_hours
    assert "€ 50.82 for layout, € 68.61 for gathering" in plain(words)
