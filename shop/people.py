"""Adding and changing the people of the shop."""

from django.db import transaction

from shop.keeping import keep
from shop.models import Person

KEPT = ["first_name", "username", "email", "role", "bench_hours_per_day", "working_days", "is_active"]


@transaction.atomic
def keep_person(somebody: Person, by: Person, *, password: str = "") -> Person:
    """Save somebody's account; a password is only set where one is given, and never written into the trail."""
    if password:
        somebody.set_password(password)
    return keep(somebody, by, KEPT, "person")
