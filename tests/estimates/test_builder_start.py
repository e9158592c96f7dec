"""What a new panel starts with in the builder."""

import pytest
from django.urls import reverse

from jobs.models import Job
from jobs.numbers import save_with_number
from tests.estimates.test_builder import opened


@pytest.fixture
def new(job) -> str:
    return reverse("panel-new", args=[job.number])


def test_the_next_panel_starts_in_the_metal_of_the_last(owner_client, panel, new, steel):
    """Asked once: a job's panels are mostly cut from one sheet."""
    panel.metal, panel.thickness_mm, panel.finish, panel.method = steel, 1.2, "hammered", "power"
    panel.save()
    start = opened(owner_client, new)
    assert (start["metal"], start["thickness_mm"], start["finish"], start["method"]) == (
        str(steel.pk), "1.2", "hammered", "power",
    )  # fmt: skip
    assert (start["name"], start["form"]) == ("", "arch")
    other = save_with_number(Job(customer=panel.job.customer, title="Cowl", created_by=panel.job.created_by))
    assert opened(owner_client, reverse("panel-new", args=[other.number]))["metal"] == str(steel.pk)


def test_it_starts_in_a_metal_that_is_in_use(owner_client, panel, new, steel, aluminium):
    panel.metal = steel
    panel.save()
    steel.in_use = False
    steel.save()
    assert opened(owner_client, new)["metal"] == str(aluminium.pk)
