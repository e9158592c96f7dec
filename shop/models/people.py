"""The people of the shop and when they stand at the bench."""

from decimal import Decimal

from django.contrib.auth.models import AbstractUser
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q


class Person(AbstractUser):
    """Somebody who signs in: the owner sets rates and prices, a shaper logs and reads."""

    class Role(models.TextChoices):
        OWNER = "owner", "Owner"
        SHAPER = "shaper", "Shaper"

    role = models.CharField(max_length=10, choices=Role, default=Role.SHAPER)
    bench_hours_per_day = models.DecimalField(
        "bench hours on a working day",
        max_digits=4,
        decimal_places=2,
        default=Decimal("6"),
        validators=[MinValueValidator(0), MaxValueValidator(16)],
        help_text="Hours at the metal, without sweeping up and the telephone.",
    )
    working_days = models.CharField(
        max_length=7, default="12345", help_text="Days of the week, 1 for Monday to 7 for Sunday."
    )

    class Meta:
        ordering = ["first_name", "username"]
        constraints = [
            models.CheckConstraint(condition=Q(role__in=["owner", "shaper"]), name="person_role_known"),
            models.CheckConstraint(
                condition=Q(bench_hours_per_day__gte=0, bench_hours_per_day__lte=16),
                name="person_bench_hours_in_a_day",
            ),
        ]

    def __str__(self):
        return self.first_name or self.username

    @property
    def is_owner(self) -> bool:
        return self.role == self.Role.OWNER

    @property
    def works_on(self) -> frozenset[int]:
        """ISO weekdays worked, 1 for Monday to 7 for Sunday."""
        return frozenset(int(day) for day in self.working_days)


class DayOff(models.Model):
    """A day on which one person, or the whole shop, does not work."""

    person = models.ForeignKey(
        Person, null=True, blank=True, on_delete=models.CASCADE, related_name="days_off",
        help_text="Leave empty for a day on which the whole shop is shut.",
    )  # fmt: skip
    date = models.DateField()
    reason = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["date"]
        constraints = [
            models.UniqueConstraint(fields=["person", "date"], name="day_off_once_a_person"),
            models.UniqueConstraint(
                fields=["date"], condition=Q(person=None), name="day_off_once_for_the_shop"
            ),
        ]

    def __str__(self):
        return f"{self.person or 'The shop'} off on {self.date:%d %b %Y}"
