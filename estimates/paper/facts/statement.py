"""What a job's statement says."""

from collections.abc import Iterator
from functools import partial

from django.utils import timezone

from estimates.paper.facts.letter import customer_party, mark_of, plain, shop_party
from estimates.paper.facts.time_and_material import Money, owed_words, work_of
from estimates.paper.letter import LetterHead, Row
from estimates.paper.statement import StatementLetter
from estimates.payments import job_statement
from estimates.pricing.money import ZERO, format_money
from estimates.pricing.statement import Statement
from estimates.quoting.figures import currency_of
from jobs.models import Job
from shop.figures import day, full_day
from shop.lengths import MINUS
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
    by_hours = job.time_and_material
    return StatementLetter(
        head=head,
        agreed=tuple(Row(f"Quote {quote.name}", "", money(quote.gross)) for quote in account.agreed),
        agreed_head="Quoted, as an estimate" if by_hours else "Agreed",
        payments=tuple(
            Row(f"{day(paid.on, today)}{': ' + paid.note if paid.note else ''}", "", _signed(paid.amount, money))
            for paid in account.payments
        ),
        sums=tuple(_sums(account, job, money)),
        work=work_of(job, account, shop, money) if by_hours else None,
        words=_words(account, job, money),
    )  # fmt: skip


def _sums(account: Statement, job: Job, money: Money) -> Iterator[Row]:
    is_open = account.bills is not None and job.state != Job.State.CLOSED
    name = "Agreed in all" if account.bills is None else owed_words(job)
    yield Row(name, amount=money(account.owed), over_line=True)
    if account.deposit_asked > ZERO:
        yield Row("Deposit asked for", amount=money(account.deposit_asked))
    yield Row("Received in all", amount=_signed(account.received, money))
    if account.deposit_open > ZERO:
        yield Row("Deposit still asked for", amount=money(account.deposit_open))
    name = "To your credit" if account.balance < ZERO else "To pay so far" if is_open else "Still to pay"
    yield Row(name, amount=money(abs(account.balance)), strong=True, over_line=True)


def _words(account: Statement, job: Job, money: Money) -> str:
    if account.balance < ZERO:
        credit = money(-account.balance)
        if account.bills is not None and job.state != Job.State.CLOSED:
            return f"More has come in than is owed so far: {credit} is kept for the work to come."
        return f"More has come in than was agreed: {credit} stands to your credit."
    if account.balance == ZERO and account.owed > ZERO:
        return "Everything is paid. Thank you."
    return ""


def _signed(amount, money: Money) -> str:
    return f"{MINUS}{money(-amount)}" if amount < ZERO else money(amount)
