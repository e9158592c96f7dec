"""Quotes: drafts that follow the shop's rates, and sent ones that no longer move."""

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from jobs.models import Job, Panel
from jobs.models.jobs import new_token


class FrozenQuote(Exception):
    """A sent quote was about to be changed; make a new revision instead."""


# All that may still happen to a quote once it is sent: it is answered, withdrawn or replaced.
MOVES_ONCE_SENT = frozenset({"state"})


class QuoteSet(models.QuerySet):
    """Quotes, of which the sent ones hold still."""

    def update(self, **values):
        if not MOVES_ONCE_SENT.issuperset(values) and self.exclude(state=Quote.State.DRAFT).exists():
            raise FrozenQuote("A sent quote does not change. Make a new revision.")
        return super().update(**values)

    def delete(self):
        if self.exclude(state=Quote.State.DRAFT).exists():
            raise FrozenQuote("A sent quote is kept. Withdraw it instead.")
        return super().delete()


class Quote(models.Model):
    """A quote for a job.

    While it is a draft everything is worked out afresh. Sending copies all it was made from into ``frozen``
    (rates, geometry, hours, text, every line); from then on only that copy is read, and the database refuses a
    sent quote without one. A change after acceptance is a further quote on the same job.
    """

    class State(models.TextChoices):
        DRAFT = "draft", "Draft"
        SENT = "sent", "Sent"
        ACCEPTED = "accepted", "Accepted"
        DECLINED = "declined", "Declined"
        WITHDRAWN = "withdrawn", "Withdrawn"
        REPLACED = "replaced", "Replaced"

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="quotes")
    revision = models.PositiveSmallIntegerField()
    is_further = models.BooleanField("further quote for extra work", default=False)
    revises = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.SET_NULL, related_name="revised_by", editable=False
    )
    panels = models.ManyToManyField(Panel, related_name="quotes", blank=True)
    state = models.CharField(max_length=9, choices=State, default=State.DRAFT)
    intro = models.TextField("what is offered", blank=True)
    terms = models.TextField(blank=True)
    made_on = models.DateField(default=timezone.localdate)
    valid_until = models.DateField(null=True, blank=True)
    confidence = models.DecimalField(max_digits=3, decimal_places=2, default=Decimal("0.80"))
    deposit_percent = models.DecimalField(max_digits=5, decimal_places=2, default=Decimal("0"))
    total = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True, editable=False)
    frozen = models.JSONField(null=True, blank=True, editable=False)
    sent_at = models.DateTimeField(null=True, blank=True)
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    token = models.CharField(max_length=64, unique=True, default=new_token, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(default=1, editable=False)
    submission = models.UUIDField(null=True, unique=True, editable=False)

    objects = QuoteSet.as_manager()

    class Meta:
        ordering = ["-created_at", "-id"]
        constraints = [
            models.UniqueConstraint(fields=["job", "revision"], name="quote_revision_once_a_job"),
            models.UniqueConstraint(fields=["job"], condition=Q(state="draft"), name="one_draft_a_job"),
            models.CheckConstraint(
                condition=Q(state="draft")
                | Q(
                    frozen__isnull=False,
                    sent_at__isnull=False,
                    total__isnull=False,
                    valid_until__isnull=False,
                ),
                name="sent_quote_is_frozen",
            ),
        ]
        indexes = [models.Index(fields=["state", "-sent_at"])]

    def __str__(self):
        return f"Quote {self.number}"

    def save(self, *args, update_fields=None, **kwargs):
        """Save a draft, or the next state of a sent quote; raises :class:`FrozenQuote` for anything else."""
        moved_only = update_fields is not None and MOVES_ONCE_SENT.issuperset(update_fields)
        if not self._is_draft_in_the_book() and not moved_only:
            raise FrozenQuote(f"{self} is sent and does not change. Make a new revision.")
        super().save(*args, update_fields=update_fields, **kwargs)
        self._stored_state = self.state

    def get_absolute_url(self):
        return reverse("quote", args=[self.job.number, self.revision])

    @classmethod
    def from_db(cls, db, field_names, values):
        quote = super().from_db(db, field_names, values)
        quote._stored_state = quote.__dict__.get("state")
        return quote

    def delete(self, *args, **kwargs):
        if not self._is_draft_in_the_book():
            raise FrozenQuote(f"{self} is sent and is kept. Withdraw it instead.")
        return super().delete(*args, **kwargs)

    def _is_draft_in_the_book(self) -> bool:
        if self._state.adding:
            return True
        stored = getattr(self, "_stored_state", None)
        if stored is None:
            stored = Quote.objects.values_list("state", flat=True).get(pk=self.pk)
        return stored == self.State.DRAFT

    @property
    def letter(self) -> str:
        """A for the first revision, B for the second, and so on; AA after Z."""
        letters, rest = "", self.revision
        while rest > 0:
            rest, digit = divmod(rest - 1, 26)
            letters = chr(ord("A") + digit) + letters
        return letters

    @property
    def number(self) -> str:
        """What the customer reads: 2026-014 B."""
        return f"{self.job.number} {self.letter}"

    @property
    def has_expired(self) -> bool:
        return (
            self.state == self.State.SENT
            and self.valid_until is not None
            and self.valid_until < timezone.localdate()
        )

    @property
    def days_waiting(self) -> int:
        """Whole days since it was sent."""
        return (timezone.localdate() - timezone.localtime(self.sent_at).date()).days if self.sent_at else 0


class DraftOnly(models.Model):
    """What belongs to a quote and moves only while that is a draft."""

    class Meta:
        abstract = True

    def save(self, *args, **kwargs):
        self._refuse_once_sent()
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        self._refuse_once_sent()
        return super().delete(*args, **kwargs)

    def _refuse_once_sent(self):
        if Quote.objects.filter(pk=self.quote_id).exclude(state=Quote.State.DRAFT).exists():
            raise FrozenQuote("The quote is sent: its lines do not change. Make a new revision.")


class QuoteLine(DraftOnly):
    """A line the owner adds: bought-in work, a discount with its reason, or anything else."""

    class Kind(models.TextChoices):
        BOUGHT_IN = "bought-in", "Bought-in work"
        OTHER = "other", "Other"
        DISCOUNT = "discount", "Discount"

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=9, choices=Kind, default=Kind.BOUGHT_IN)
    label = models.CharField(max_length=160)
    amount = models.DecimalField(
        max_digits=10, decimal_places=3, default=Decimal("0"),
        help_text="What it costs the shop, before overhead; for a discount what the customer is spared.",
    )  # fmt: skip
    percent = models.DecimalField(
        max_digits=5,
        decimal_places=2,
        null=True,
        blank=True,
        help_text="A discount in per cent of the price.",
    )
    is_option = models.BooleanField("the customer may take it or leave it", default=False)
    reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["quote", "position"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "position"], name="quote_line_position_once"),
            models.CheckConstraint(condition=Q(amount__gte=0), name="quote_line_not_negative"),
            models.CheckConstraint(
                condition=~Q(kind="discount") | (~Q(reason="") & Q(is_option=False)),
                name="discount_has_a_reason",
            ),
            models.CheckConstraint(
                condition=Q(percent=None) | Q(kind="discount", amount=0, percent__gt=0, percent__lte=100),
                name="only_a_discount_in_percent",
            ),
        ]

    def __str__(self):
        return self.label


class LineOverride(DraftOnly):
    """The owner's own figure in place of a worked-out one, and why.

    ``line`` is the key of the worked-out line, such as ``panel-12:gathering`` or ``panel-12:metal``;
    hours stages are overridden in hours (low and high), everything else in money: the line's price as the customer
    would read it.
    """

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="overrides")
    line = models.CharField(max_length=80)
    low_hours = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    high_hours = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    amount = models.DecimalField(max_digits=10, decimal_places=3, null=True, blank=True)
    reason = models.CharField(max_length=200)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["quote", "line"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "line"], name="one_override_a_line"),
            models.CheckConstraint(condition=~Q(reason=""), name="override_has_a_reason"),
            models.CheckConstraint(
                condition=(
                    Q(amount__isnull=False, amount__gte=0, low_hours=None, high_hours=None)
                    | Q(
                        amount=None,
                        low_hours__isnull=False,
                        high_hours__isnull=False,
                        low_hours__gte=0,
                        high_hours__gte=models.F("low_hours"),
                    )
                ),
                name="override_is_hours_or_money",
            ),
        ]

    def __str__(self):
        return f"{self.line}: {self.reason}"
