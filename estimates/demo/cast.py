"""What every story of the example shop needs, and the few things most stories do: take in, quote, agree, be paid."""

import random
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from estimates.acceptance import accept
from estimates.demo.moments import Days
from estimates.drafts import add_line, change_texts, new_draft
from estimates.models import Answer, Payment, Quote, QuoteLine
from estimates.payments import job_statement, keep_payment
from estimates.sending import send_quote
from jobs.enquiry import Enquiry, take_enquiry
from jobs.job_facts import change_job
from jobs.models import Customer, Job, Panel, Photo, Stage
from jobs.panels import add_mirrored_hand, save_panel
from shop.models import Metal, Person, Shop, StageKind


@dataclass(frozen=True, slots=True)
class Wish:
    """A photograph to be drawn once everything else has happened: what it shows, and what it is of."""

    shows: str
    at_stage: str
    metal: str
    moment: str
    seed: int
    taken: object
    job: Job
    person: Person
    panel: Panel | None = None
    stage: Stage | None = None
    subject: str = Photo.Subject.SO_FAR
    caption: str = ""
    for_customer: bool = False


@dataclass(slots=True)
class Cast:
    """The shop, its people and customers, its metals, its days; and the photographs to be drawn."""

    shop: Shop
    people: dict[str, Person]
    customers: dict[str, Customer]
    metals: dict[str, Metal]
    days: Days
    chance: random.Random
    wishes: list[Wish] = field(default_factory=list)

    @property
    def osk(self) -> Person:
        return self.people["osk"]

    @property
    def maro(self) -> Person:
        return self.people["maro"]

    @property
    def linnet(self) -> Person:
        return self.people["linnet"]

    def take_in(
        self, customer: str, title: str, description: str = "", due_on=None, *, by_hours: bool = False
    ) -> Job:
        """An enquiry; ``by_hours`` where it is to be charged by time and material."""
        job = take_enquiry(Enquiry(self.customers[customer], title, description, due_on), self.osk)
        if by_hours:
            job.time_and_material = True
            change_job(job, self.osk, ["time_and_material"])
        return job

    def add_panel(self, job: Job, name: str, metal: str, thickness_mm: float, form: str, *, pair: bool = False,
                  lines: int = 3, method: str = "hand", finish: str = "smooth", note: str = "",
                  also: Iterable[str] = (), **dimensions) -> Panel:  # fmt: skip
        """A panel, and the hand that mirrors it where it is one of a pair; ``also`` names stages of the shop's own."""
        kind = self.metals[metal]
        size = kind.gather_sizes.get(method=method)
        panel = Panel(
            job=job, name=name, metal=kind, thickness_mm=thickness_mm, form=form, dimensions=dimensions,
            method=method, finish=finish, note=note, trim_mm=self.shop.trim_mm, line_count=lines,
            gather_mm=size.gather_mm, die_width_mm=size.die_width_mm,
            own_stages=list(StageKind.objects.filter(name__in=also).values_list("slug", flat=True)),
        )  # fmt: skip
        save_panel(panel, self.osk)
        if pair:
            add_mirrored_hand(panel, self.osk)
        return panel

    def quote(self, job: Job, intro: str, lines: Iterable[QuoteLine] = ()) -> Quote:
        """A draft of everything on the job."""
        draft = new_draft(job, self.osk, self.shop)
        texts = {"terms": draft.terms, "valid_until": None, "deposit_percent": draft.deposit_percent}
        change_texts(draft, self.osk, {"intro": intro, **texts})
        for line in lines:
            add_line(draft, self.osk, self.shop, line)
        draft.refresh_from_db()
        return draft

    def send(self, draft: Quote) -> Quote:
        return send_quote(draft, self.osk, self.shop)

    def agree(
        self, quote: Quote, name: str, options: Iterable[str] = (), note: str = "", promised=None
    ) -> Answer:
        """The customer's yes, and the day the shop promises for it."""
        answer = accept(quote, name=name, options=list(options), note=note)
        if promised:
            job = Job.objects.get(pk=quote.job_id)
            job.promised_on = promised
            change_job(job, self.osk, ["promised_on"])
        return answer

    def pay_deposit(self, job: Job) -> None:
        self._pay(job, Payment.Kind.DEPOSIT, job_statement(job).deposit_asked, "Bank transfer")

    def pay_the_rest(self, job: Job) -> None:
        statement = job_statement(job)
        self._pay(job, Payment.Kind.PAYMENT, statement.price - statement.received, "On collection")

    def _pay(self, job: Job, kind: str, amount: Decimal, note: str) -> None:
        keep_payment(job, Payment(kind=kind, amount=amount, note=note), self.osk, self.shop)

    def photograph(self, shows: str, at_stage: str, moment: str, person: Person, *, job: Job, taken,
                   metal: str = "copper", **words) -> None:  # fmt: skip
        """Wish for a photograph of a job, a panel or a stage."""
        seed = 100 + len(self.wishes)
        self.wishes.append(Wish(shows, at_stage, metal, moment, seed, taken, job=job, person=person, **words))
