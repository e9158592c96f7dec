"""The door: who is let in, and what is said to those who are not."""

import pytest
from django.urls import reverse

from tests.conftest import PASSWORD


def test_somebody_signs_in_and_comes_to_the_page_they_wanted(client, owner):
    typed = {"username": "osk", "password": PASSWORD, "next": reverse("metals")}

    assert client.post(reverse("sign-in"), typed).url == reverse("metals")


def test_a_wrong_password_is_said_and_the_name_is_kept(client, owner):
    response = client.post(reverse("sign-in"), {"username": "osk", "password": "no"})

    assert response.status_code == 200
    assert b'value="osk"' in response.content
    assert len(response.context["form"].non_field_errors()) == 1


def test_a_next_address_elsewhere_is_not_followed(client, owner):
    typed = {"username": "osk", "password": PASSWORD, "next": "https://elsewhere.example/"}

    assert client.post(reverse("sign-in"), typed).url == reverse("today")


def test_a_part_asked_for_after_the_session_ended_opens_the_door_as_a_page(stranger_client):
    headers = {"HX-Request": "true", "HX-Current-URL": "http://testserver/shop/metals/"}
    response = stranger_client.get(reverse("metals"), headers=headers)

    assert response.headers["HX-Redirect"] == f"{reverse('sign-in')}?next=%2Fshop%2Fmetals%2F"


def test_an_address_that_is_not_in_the_book_says_so(owner_client):
    response = owner_client.get("/nowhere/at/all/")

    assert response.status_code == 404
    assert b"not in the book" in response.content


def test_every_answer_forbids_scripts_from_elsewhere(owner_client):
    policy = owner_client.get(reverse("metals")).headers["Content-Security-Policy"]

    assert "script-src 'self'" in policy
    assert "unsafe" not in policy


def test_a_post_without_its_token_is_refused_in_words(owner):
    from django.test import Client

    client = Client(enforce_csrf_checks=True)
    client.force_login(owner)
    response = client.post(reverse("rates"), {"per_hour": "1"})

    assert response.status_code == 403
    assert b"open too long" in response.content


@pytest.mark.parametrize("address", ["/jobs/%00/", "/c/%00/", "/for/%00/"])
def test_a_path_with_nul_in_it_leads_nowhere(owner_client, address):
    assert owner_client.get(address).status_code == 404


@pytest.mark.parametrize("address", ["/search/?q=bow%00", "/shop/trail/?job=%00", "/jobs/?state=%00&q=%00"])
def test_nul_in_a_question_is_read_as_a_space(owner_client, address):
    assert owner_client.get(address).status_code == 200
