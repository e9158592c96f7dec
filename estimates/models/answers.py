"""What comes back on a quote: its one answer, questions, and the links that were sent out for it."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from estimates.models.quotes import Quote
from estimates.models.sent import Sent


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


class LinkSent(Sent):
    """The link of a quote, sent to the customer, and again when they are asked again."""

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="links_sent")

    class Meta(Sent.Meta):
        verbose_name_plural = "links sent"

    def __str__(self):
        return f"{self.quote} to {self.to}"
