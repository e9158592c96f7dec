"""Statement and closing sheet, read back."""

import io
from datetime import date, timedelta
from decimal import Decimal

import pypdf
import pytest
from django.utils import timezone

from estimates.acceptance import accept
from estimates.models import Payment
from estimates.payments import keep_payment
from jobs.models import MaterialUse, Reading, Stage, TimeEntry
from jobs.reading_log import log_reading
from shop.models import StageKind
from tests.estimates.quote_cast import bought_in, sent_quote
from tests.estimates.work_cast import book, budget, finish, stages_of


def text_of(response) -> str:
    assert response.status_code == 200
    reader = pypdf.PdfReader(io.BytesIO(b"".join(response.streaming_content)))
    text = "\n".join(page.extract_text() for page in reader.pages)
    return text.replace("\xa0", " ").replace("\u2009", " ")


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def accepted(panel, owner, shop):
    quote = sent_quote(panel.job, owner, shop, bought_in("Plating", "1000"))
    accept(quote, name="Tamsin Pell", options=[])
    quote.refresh_from_db()
    return quote


def statement(client, job) -> str:
    return flat(text_of(client.get(f"/jobs/{job.number}/statement.pdf")))


def money(amount: Decimal) -> str:
    return f"€ {amount:,.2f}".replace(",", " ")


def test_statement_adds_up(owner_client, owner, shop, accepted):
    job, total = accepted.job, accepted.total
    paid = Payment(
        kind=Payment.Kind.DEPOSIT, amount=Decimal("300"), received_on=timezone.localdate(), note="by card"
    )
    keep_payment(job, paid, owner, shop)
    said = statement(owner_client, job)
    for words in (f"Quote {accepted.number} {money(total)}", "by card € 300.00", f"Agreed in all {money(total)}",
                  "Received in all € 300.00", f"Still to pay {money(total - 300)}"):  # fmt: skip
        assert words in said
    asked = accepted.answer.total * Decimal("0.30")
    assert f"Deposit still asked for {money((asked - 300).quantize(Decimal('0.01')))}" in said


def test_statement_of_a_paid_job_says_so(owner_client, owner, shop, accepted):
    paid = Payment(kind=Payment.Kind.PAYMENT, amount=accepted.total, received_on=timezone.localdate())
    keep_payment(accepted.job, paid, owner, shop)
    assert "Everything is paid. Thank you." in statement(owner_client, accepted.job)


def test_hours_and_metal_are_listed_only_where_they_are_charged(owner_client, shaper, panel, sheet, accepted):
    job = accepted.job
    stage = panel.stages.order_by("kind__position").first() or Stage.objects.create(
        panel=panel, kind=StageKind.objects.first()
    )
    now = timezone.now()
    TimeEntry.objects.create(
        stage=stage,
        person=shaper,
        hours=Decimal("2.5"),
        source="hand",
        started_at=now - timedelta(hours=3),
        ended_at=now,
    )
    MaterialUse.objects.create(
        panel=panel, sheet=sheet, length_mm=600, width_mm=400, mass_kg=1.04, cost=Decimal("9")
    )
    assert "Hours worked" not in statement(owner_client, job)
    job.refresh_from_db()
    job.time_and_material = True
    job.save()
    said = statement(owner_client, job)
    assert "Quoted, as an estimate" in said
    hour = "Layout, 2.50 h at € 68.61 € 171.53"  # 54 an hour, 8 % overhead, 15 % margin
    for words in (hour, "600 × 400 mm, 1.04 kg, for Fairing skin € 11.44", "Gas, rod, discs and dye",
                  "Plating: as quoted", "VAT 23 %", "Owed so far", "Deposit asked for", "To pay so far"):  # fmt: skip
        assert words in said


def test_hours_without_a_quote_are_listed_without_amounts(owner_client, owner, panel):
    job = panel.job
    job.time_and_material = True
    job.save()
    book(Stage.objects.create(panel=panel, kind=StageKind.objects.first()), owner, "2.5")
    said = statement(owner_client, job)
    assert "Layout 2.50 h" in said
    assert "there are no rates to charge by" in said


def test_what_came_in_ahead_of_the_hours_is_kept_for_them(owner_client, owner, shop, accepted):
    job = accepted.job
    type(job).objects.update(time_and_material=True)
    keep_payment(job, Payment(kind="deposit", amount=Decimal("3000")), owner, shop, sure=True)
    said = statement(owner_client, job)
    assert "To your credit" in said
    assert "is kept for the work to come" in said


def test_closing_sheet_sets_hours_beside_their_range(owner_client, owner, panel):
    for kind in StageKind.objects.all():
        stage = Stage.objects.create(
            panel=panel, kind=kind, budget_low_hours=Decimal("2.5"), budget_high_hours=Decimal("3.5")
        )
        now = timezone.now()
        TimeEntry.objects.create(
            stage=stage,
            person=owner,
            hours=Decimal("4.2"),
            source="hand",
            started_at=now - timedelta(hours=5),
            ended_at=now,
        )
    log_reading(panel, owner, 1, Reading.Kind.EDGE_LENGTH, 558.8)
    said = flat(text_of(owner_client.get(f"/jobs/{panel.job.number}/closing-shop.pdf")))
    assert "Gathering 2.5–3.5 h 4.2 h 0.7 h over" in said
    assert "All stages" in said
    assert "Edge length, pass 1 558.8 mm 557.8 mm 1 mm over Osk" in said
    assert "Labour, 16.8 h" in said


def test_closing_sheet_calls_nothing_inside_a_range_that_is_none(
    owner_client, owner, shaper, panel, accepted
):
    stages = stages_of(panel)
    budget(stages["layout"], "0", "0")
    budget(stages["blending"], "2", "3")
    book(stages["layout"], shaper, "2")
    book(stages["blending"], shaper, "24")
    finish(stages["layout"], stages["blending"], stages["smoothing"])
    said = flat(text_of(owner_client.get(f"/jobs/{panel.job.number}/closing-shop.pdf")))
    assert "Layout 0 h 2 h nothing was estimated" in said
    assert "24 h 21 h over, 8 times its high end" in said
    assert "0 h no hours written down" in said
    assert "0 h not finished" in said
    assert "inside the range" not in said


def test_customers_copy_keeps_the_readings_and_leaves_the_hours(owner_client, owner, panel):
    log_reading(panel, owner, 1, Reading.Kind.EDGE_LENGTH, 558.8)
    said = flat(text_of(owner_client.get(f"/jobs/{panel.job.number}/closing-customer.pdf")))
    assert "558.8 mm" in said
    assert " h " not in said


def test_dates_of_a_closed_job_keep_their_capitals(owner_client, panel):
    job = panel.job
    job.promised_on = date(2030, 5, 10)
    job.save()
    said = flat(text_of(owner_client.get(f"/jobs/{job.number}/closing-shop.pdf")))
    assert "Promised Fri 10 May 2030, not closed yet" in said


@pytest.mark.parametrize(
    "rest", ["statement.pdf", "closing-shop.pdf", "panels/1/pattern.pdf", "panels/1/gauges.pdf"]
)
def test_papers_ask_for_a_constant_number_of_things(owner_client, panel, rest, django_assert_max_num_queries):
    with django_assert_max_num_queries(24):
        text_of(owner_client.get(f"/jobs/{panel.job.number}/{rest}"))
