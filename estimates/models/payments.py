"""Money received for a job."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils import timezone

from jobs.models import Job


class Payment(models.Model):
    """A deposit or payment received."""

    class Kind(models.TextChoices):
        DEPOSIT = "deposit", "Deposit"
        PAYMENT = "payment", "Payment"
        REFUND = "refund", "Refund"

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="payments")
    kind = models.CharField(max_length=7, choices=Kind, default=Kind.PAYMENT)
    amount = models.DecimalField(
        max_digits=12, decimal_places=3, validators=[MinValueValidator(Decimal("0.001"))]
    )
    received_on = models.DateField(default=timezone.localdate)
    note = models.CharField(max_length=200, blank=True)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    submission = models.UUIDField(null=True, unique=True, editable=False)

    class Meta:
        ordering = ["received_on", "id"]
        constraints = [models.CheckConstraint(condition=Q(amount__gt=0), name="payment_is_positive")]

    def __str__(self):
        return f"{self.get_kind_display()} {self.amount}"
