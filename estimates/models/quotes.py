"""Quotes: drafts that follow the shop's rates, and sent ones that no longer move."""

from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from jobs.models import Job, Panel
from jobs.models.jobs import new_token


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

    def get_absolute_url(self):
        return reverse("quote", args=[self.job.number, self.revision])

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


class QuoteLine(models.Model):
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
        max_digits=10, decimal_places=3, help_text="What it costs the shop, before overhead."
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
        ]

    def __str__(self):
        return self.label


class LineOverride(models.Model):
    """The owner's own figure in place of a worked-out one, and why.

    ``line`` is the key of the worked-out line, such as ``panel-12:gathering`` or ``panel-12:metal``;
    hours stages are overridden in hours (low and high), everything else in money.
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
                    Q(amount__gte=0, low_hours=None, high_hours=None)
                    | Q(amount=None, low_hours__gte=0, high_hours__gte=models.F("low_hours"))
                ),
                name="override_is_hours_or_money",
            ),
        ]

    def __str__(self):
        return f"{self.line}: {self.reason}"


class Answer(models.Model):
    """The one answer a quote gets."""

    class Kind(models.TextChoices):
        ACCEPTED = "accepted", "Accepted"
        DECLINED = "declined", "Declined"

    quote = models.OneToOneField(Quote, on_delete=models.PROTECT, related_name="answer")
    kind = models.CharField(max_length=8, choices=Kind)
    name = models.CharField("typed name", max_length=120)
    note = models.TextField(max_length=2000, blank=True)
    options_taken = models.JSONField(default=list)
    total = models.DecimalField(max_digits=12, decimal_places=3)
    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+",
        help_text="Who of the shop wrote it down, where the customer answered by telephone.",
    )  # fmt: skip

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(name=""), name="answer_has_a_name")]

    def __str__(self):
        return f"{self.get_kind_display()} by {self.name}"


class Question(models.Model):
    """Something the customer asked on their page, and what the shop replied."""

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="questions")
    name = models.CharField(max_length=120, blank=True)
    text = models.TextField(max_length=2000)
    at = models.DateTimeField(auto_now_add=True)
    reply = models.TextField(max_length=2000, blank=True)
    replied_at = models.DateTimeField(null=True, blank=True)
    submission = models.UUIDField(null=True, unique=True, editable=False)

    class Meta:
        ordering = ["at"]

    def __str__(self):
        return self.text[:60]
