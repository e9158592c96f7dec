"""Customers: listed, kept once, changed without writing over each other."""

import uuid

import pytest
from django.urls import reverse

from jobs.customers import keep_customer
from jobs.models import Customer, Job
from shop.models import AuditEntry
from tests.jobs.test_listing import make_job

LIST = reverse("customer-list")
NEW = reverse("customer-new")


def typed(**other) -> dict:
    return {
        "name": "Tamsin Pell",
        "email": "tamsin@pell.example",
        "phone": "",
        "address": "",
        "note": "",
        **other,
    }


def seen_on(client, customer) -> str:
    return client.get(reverse("customer-edit", args=[customer.pk])).context["form"]["seen"].value()


def test_a_shaper_adds_a_customer(shaper_client, shaper, shop):
    response = shaper_client.post(NEW, typed(phone="0555 12", submission=str(uuid.uuid4())))
    customer = Customer.objects.get()
    assert response["Location"] == customer.get_absolute_url()
    assert AuditEntry.objects.filter(what="added customer", person=shaper).exists()


def test_a_double_press_adds_one(owner_client, shop):
    post = typed(submission=str(uuid.uuid4()))
    first, again = owner_client.post(NEW, post), owner_client.post(NEW, post)
    assert first["Location"] == again["Location"]
    assert Customer.objects.count() == 1


def test_two_presses_at_once_add_one(owner, monkeypatch):
    submission = uuid.uuid4()
    first = keep_customer(Customer(name="Tamsin Pell"), owner, submission=submission)
    looks = iter([Customer.objects.none(), Customer.objects.filter(submission=submission)])
    monkeypatch.setattr(Customer.objects, "filter", lambda **kwargs: next(looks))
    assert keep_customer(Customer(name="Tamsin Pell"), owner, submission=submission) == first


def test_a_change_keeps_the_old_value_in_the_trail(owner_client, customer):
    address = reverse("customer-edit", args=[customer.pk])
    owner_client.post(address, typed(name="Tamsin Pell-Ings", seen=seen_on(owner_client, customer)))
    assert AuditEntry.objects.get(what="changed customer").changes == {
        "name": ["Tamsin Pell", "Tamsin Pell-Ings"]
    }


def test_a_stale_form_is_refused_and_keeps_what_was_typed(owner_client, shaper_client, customer):
    address = reverse("customer-edit", args=[customer.pk])
    seen = seen_on(owner_client, customer)
    shaper_client.post(address, typed(phone="0555 12", seen=seen))
    response = owner_client.post(address, typed(email="new@pell.example", seen=seen))
    page = response.content.decode()
    assert response.status_code == 422
    assert "Somebody changed this while you had it open" in page
    assert "0555 12" in page
    assert 'value="new@pell.example"' in page
    customer.refresh_from_db()
    assert (customer.phone, customer.email) == ("0555 12", "tamsin@pell.example")


@pytest.mark.parametrize(
    ("name", "words"), [("name", ""), ("name", "x" * 121), ("email", "nobody"), ("phone", "9" * 41)]
)
def test_what_does_not_fit_is_refused(owner_client, shop, name, words):
    assert owner_client.post(NEW, typed(**{name: words})).status_code == 422
    assert Customer.objects.count() == 0


def test_the_list_counts_jobs_in_hand_and_in_all(owner_client, customer, owner):
    make_job(customer, owner)
    make_job(customer, owner, state=Job.State.DECLINED)
    row = owner_client.get(LIST).context["page"].object_list[0]
    assert (row.in_hand, row.job_count) == (1, 2)


@pytest.mark.parametrize("count", [3, 30])
def test_the_list_asks_the_database_the_same_for_many(
    owner_client, owner, count, django_assert_max_num_queries
):
    for number in range(count):
        make_job(Customer.objects.create(name=f"Customer {number}"), owner)
    with django_assert_max_num_queries(6):
        owner_client.get(LIST)


@pytest.mark.parametrize("count", [3, 30])
def test_a_customers_page_asks_the_database_the_same_for_many(
    owner_client, customer, owner, count, django_assert_max_num_queries
):
    for _ in range(count):
        make_job(customer, owner)
    with django_assert_max_num_queries(11):
        owner_client.get(customer.get_absolute_url())


def test_a_customers_page_shows_their_jobs_only(owner_client, customer, owner):
    make_job(customer, owner, "Bow fairing")
    make_job(Customer.objects.create(name="Hearth Lane Bakery"), owner, "Oven dome")
    page = owner_client.get(customer.get_absolute_url()).content.decode()
    assert "Bow fairing" in page
    assert "Oven dome" not in page


def test_an_empty_list_says_what_to_do(owner_client, shop):
    assert "Each comes in with their first enquiry." in owner_client.get(LIST).content.decode()


def test_a_customer_without_jobs_says_what_to_do(owner_client, customer):
    assert "Their jobs will be here." in owner_client.get(customer.get_absolute_url()).content.decode()


def test_a_customer_called_script_stays_words(owner_client, shop):
    script = "<script>alert(1)</script>"
    customer = Customer.objects.create(name=script, address=script, note=script, phone=script)
    for address in (LIST, customer.get_absolute_url(), reverse("customer-edit", args=[customer.pk])):
        assert script not in owner_client.get(address).content.decode()


@pytest.mark.parametrize("address", [LIST, NEW])
def test_a_stranger_sees_no_customers(stranger_client, address):
    assert stranger_client.get(address)["Location"].startswith(reverse("sign-in"))
