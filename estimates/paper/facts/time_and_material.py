"""The rows of a statement where the job is charged by time and material."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from estimates.paper.letter import Row
from estimates.paper.statement import Work
from estimates.pricing.billing import Bill, Charge
from estimates.pricing.inputs import Terms
from estimates.pricing.money import ZERO
from estimates.pricing.price import Amounts
from estimates.pricing.statement import Statement
from estimates.time_and_material import metal_words, pieces_of, unpriced_hours
from jobs.models import Job
from shop.figures import figure
from shop.lengths import MINUS
from shop.models import Shop

Money = Callable[[Decimal], str]
BY_RATE = (
    "Hours and metal count at the rates of the quote that was accepted. A clock that runs is not in yet."
)
NO_RATES = "No quote is accepted yet, so there are no rates to charge by: hours and metal are only listed."


def work_of(job: Job, account: Statement, shop: Shop, money: Money) -> Work:
    """Hours and metal with what they come to; without an accepted quote only how much there is of them."""
    if not account.bills:
        return _unpriced(job, shop)
    return Work(
        hours=tuple(_on_one_line(_row(one, money)) for bill in account.bills for one in bill.hours),
        metal=tuple(_row(one, money) for bill in account.bills for one in bill.metal),
        others=tuple(_others(account.bills, money)),
        sums=tuple(_sums(account, job, money)),
        money_words=_money_words(account.bills[0].terms),
        words=BY_RATE,
    )


def _unpriced(job: Job, shop: Shop) -> Work:
    return Work(
        hours=tuple(
            Row(f"{one.position}. {one.panel_name}", one.kind_name, f"{figure(one.hours, 2)} h")
            for one in unpriced_hours(job)
        ),
        metal=tuple(Row(*metal_words(use, shop.units)) for use in pieces_of(job)),
        others=(), sums=(), words=NO_RATES,
    )  # fmt: skip


def _row(one: Charge, money: Money) -> Row:
    """A row that can be multiplied by whoever reads it."""
    words = one.words
    if one.quantity is not None:
        hours = f"{figure(one.quantity, 2)} h"
        counted = hours if one.each is None else f"{hours} at {money(one.each)}"
        words = ", ".join(part for part in (words, counted) if part)
    return Row(one.name, words, money(one.amount))


def _on_one_line(row: Row) -> Row:
    """Rows of a few words each: a page should hold them all."""
    return replace(row, words=f"{row.words}: {row.below}", below="")


def _others(bills: Sequence[Bill], money: Money) -> Iterator[Row]:
    for bill in bills:
        yield from (_on_one_line(_row(one, money)) for one in bill.others)
        for one in bill.discounts:
            name = f"Discount of {one.words}: {one.name}" if one.words else f"Discount: {one.name}"
            yield Row(name, "", f"{MINUS}{money(-one.amount)}")


def _sums(account: Statement, job: Job, money: Money) -> Iterator[Row]:
    bills = account.bills or ()
    terms = bills[0].terms
    total = sum((bill.total for bill in bills), Amounts())
    tax = f"{terms.tax_name} {terms.tax_percent.normalize():f} %"
    if len({bill.terms.tax_percent for bill in bills}) > 1:
        tax = terms.tax_name
    if total.tax and not terms.tax_included:
        yield Row("Without tax", amount=money(total.net), over_line=True)
        yield Row(tax, amount=money(total.tax))
    yield Row(owed_words(job), amount=money(account.owed), strong=True, over_line=True)
    if total.tax and terms.tax_included:
        yield Row(f"of which {tax}", amount=money(total.tax))


def owed_words(job: Job) -> str:
    """What the sum by time and material is called: it grows until the job is closed."""
    return "Owed in all" if job.state == Job.State.CLOSED else "Owed so far"


def _money_words(terms: Terms) -> str:
    code = terms.currency.code
    if terms.tax_percent == ZERO:
        return code
    return f"{code}, {'with' if terms.tax_included else 'without'} {terms.tax_name}"
