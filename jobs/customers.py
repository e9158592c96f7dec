"""Customers: found by what is typed, kept with a trail, listed with their jobs."""

import uuid

from django.db import IntegrityError
from django.db.models import Count, Q, QuerySet

from jobs.models import Customer, Job
from shop.keeping import keep
from shop.models import Person

FIELDS = ["name", "email", "phone", "address", "note"]
SUGGESTIONS = 12
IN_HAND = [Job.State.ENQUIRY, Job.State.QUOTED, Job.State.IN_WORK]


def customers_matching(text: str) -> QuerySet[Customer]:
    """Customers each word of ``text`` is found in: their name, e-mail or telephone number."""
    found = Customer.objects.all()
    for word in text.split():
        found = found.filter(Q(name__icontains=word) | Q(email__icontains=word) | Q(phone__icontains=word))
    return found


def with_job_counts(customers: QuerySet[Customer]) -> QuerySet[Customer]:
    """Add ``job_count`` and ``in_hand`` to each customer."""
    in_hand = Count("jobs", filter=Q(jobs__state__in=IN_HAND))
    return customers.annotate(job_count=Count("jobs"), in_hand=in_hand)


def suggestions(text: str) -> list[Customer]:
    """A few customers for what has been typed so far; with nothing typed, those added last."""
    found = customers_matching(text) if text.strip() else Customer.objects.order_by("-created_at")
    return list(found[:SUGGESTIONS])


def customers_named(name: str) -> list[Customer]:
    """Customers of exactly this name, capitals aside. Two may share one."""
    return list(Customer.objects.filter(name__iexact=name.strip()).order_by("pk")[:SUGGESTIONS])


def keep_customer(customer: Customer, person: Person, *, submission: uuid.UUID | None = None) -> Customer:
    """Save a customer, new or changed, with the trail. The same ``submission`` twice adds one."""
    if customer.pk is None and submission:
        if earlier := Customer.objects.filter(submission=submission).first():
            return earlier
        customer.submission = submission
    try:
        return keep(customer, person, FIELDS, "customer")
    except IntegrityError:
        if submission and (earlier := Customer.objects.filter(submission=submission).first()):
            return earlier
        raise
