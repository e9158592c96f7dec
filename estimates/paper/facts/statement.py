"""What a job's statement says."""

from functools import partial

from django.db.models import Sum
from django.utils import timezone

from estimates.paper.facts.letter import customer_party, mark_of, plain, shop_party
from estimates.paper.letter import LetterHead, Row
from estimates.paper.statement import StatementLetter
from estimates.payments import job_statement
from estimates.pricing.money import ZERO, format_money
from estimates.pricing.statement import Statement
from estimates.quoting.figures import currency_of
from jobs.models import Job, MaterialUse, TimeEntry
from shop.figures import day, figure, full_day, hours
from shop.gauges import sold_as
from shop.lengths import MINUS, format_length
from shop.models import Shop


def statement_letter(job: Job, shop: Shop) -> StatementLetter:
    """The account of a job as it stands, in a constant number of queries."""
    account = job_statement(job)
    money = partial(format_money, currency=currency_of(shop), decimals=True)
    today = timezone.localdate()
    head = LetterHead(
        shop_party(plain(shop)), customer_party(plain(job.customer)), "Statement", f"{job.number} {job.title}",
        (("job", job.number), ("date", full_day(today))), mark_of(shop.mark.name if shop.mark else ""),
    )  # fmt: skip
    return StatementLetter(
        head=head,
        agreed=tuple(Row(f"Quote {quote.name}", "", money(quote.gross)) for quote in account.agreed),
        payments=tuple(
            Row(f"{day(paid.on, today)}{': ' + paid.note if paid.note else ''}", "", _signed(paid.amount, money))
            for paid in account.payments
        ),
        sums=tuple(_sums(account, money)),
        hours=_hours(job) if job.time_and_material else (),
        metal=_metal(job, shop) if job.time_and_material else (),
        words=_words(account, money),
    )  # fmt: skip


def _sums(account: Statement, money):
    yield Row("Agreed in all", amount=money(account.price), over_line=True)
    yield Row("Received in all", amount=_signed(account.received, money))
    if account.deposit_open > ZERO:
        yield Row("Deposit still asked for", amount=money(account.deposit_open))
    name = "Your credit" if account.balance < ZERO else "Still to pay"
    yield Row(name, amount=money(abs(account.balance)), strong=True, over_line=True)


def _words(account: Statement, money) -> str:
    if account.balance < ZERO:
        return f"More has come in than was agreed: {money(-account.balance)} stands to your credit."
    if account.balance == ZERO and account.price > ZERO:
        return "Everything is paid. Thank you."
    return ""


def _signed(amount, money) -> str:
    return f"{MINUS}{money(-amount)}" if amount < ZERO else money(amount)


def _hours(job: Job) -> tuple[Row, ...]:
    entries = TimeEntry.objects.filter(stage__panel__job=job, hours__gt=0)
    sums = entries.values_list(
        "stage__panel__position", "stage__panel__name", "stage__kind__name", "stage__kind__position"
    )
    rows = sums.annotate(sum=Sum("hours")).order_by("stage__panel__position", "stage__kind__position")
    made = [Row(f"{position}. {name}", kind, f"{hours(total)} h") for position, name, kind, _, total in rows]
    total = sum((row[-1] for row in rows), ZERO)
    return (*made, Row("All hours", amount=f"{hours(total)} h")) if made else ()


def _metal(job: Job, shop: Shop) -> tuple[Row, ...]:
    uses = MaterialUse.objects.filter(panel__job=job).select_related("sheet__metal", "panel").order_by("at")
    return tuple(
        Row(
            f"{use.sheet.metal} {sold_as(use.sheet.thickness_mm, use.sheet.metal.family, shop.units)}",
            f"{_size(use, shop)}, for {use.panel.name}",
            f"{figure(use.mass_kg, 2)} kg",
        )
        for use in uses
    )  # fmt: skip


def _size(use: MaterialUse, shop: Shop) -> str:
    return f"{format_length(use.length_mm, shop.units, False)} × {format_length(use.width_mm, shop.units)}"
