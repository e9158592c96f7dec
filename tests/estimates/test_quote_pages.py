"""The owner's pages of quotes: who may open them, what they say, what a bad or late press does."""

from decimal import Decimal
from time import perf_counter

import pytest
from django.core import mail
from django.urls import reverse

from estimates.acceptance import accept
from estimates.answers import ask
from estimates.drafts import add_line, new_draft
from estimates.models import LinkSent, Payment, Quote
from estimates.quoting.figures import panel_key, quote_figures
from estimates.sending import withdraw_quote
from jobs.models import Job, Panel
from jobs.numbers import save_with_number
from jobs.panels import add_mirrored_hand, save_panel
from shop.models import LabourRate
from tests.conftest import ARCH
from tests.estimates.quote_cast import address, bought_in, discount, sent_quote, version

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
PAGES = [
    "",
    "override/",
    "lines/",
    "panels/",
    "price/",
    "discard/",
    "send/",
    "e-mail/",
    "answer/",
    "withdraw/",
    "revise/",
]


@pytest.fixture
def draft(job, panel, owner, shop):
    return new_draft(job, owner, shop)


@pytest.fixture
def sent(job, panel, owner, shop):
    return sent_quote(job, owner, shop, bought_in("Primer", is_option=True))


def flat(response) -> str:
    return " ".join(response.content.decode().split())


@pytest.mark.parametrize("page", PAGES)
def test_a_shaper_sees_no_prices(page, draft, shaper_client):
    method = shaper_client.get if page == "" else shaper_client.post
    assert method(address(draft, page)).status_code == 403


@pytest.mark.parametrize("page", PAGES)
def test_a_stranger_is_sent_to_the_door(page, draft, stranger_client):
    method = stranger_client.get if page == "" else stranger_client.post
    response = method(address(draft, page))
    assert response.status_code == 302
    assert response.url.startswith(reverse("sign-in"))


@pytest.mark.parametrize("name", ["quote-list", "payments", "quote-new"])
def test_lists_and_payments_are_the_owners(name, job, shaper_client, stranger_client):
    where = reverse(name, args=[] if name == "quote-list" else [job.number])
    assert shaper_client.get(where).status_code == 403
    assert stranger_client.get(where).status_code == 302


@pytest.mark.parametrize("page", PAGES[1:])
def test_what_changes_something_is_posted(page, draft, owner_client):
    assert owner_client.get(address(draft, page)).status_code == 405


def test_a_draft_starts_with_a_press(job, panel, owner_client):
    where = reverse("quote-new", args=[job.number])
    assert "1 panel" in flat(owner_client.get(where))
    assert not Quote.objects.exists()
    response = owner_client.post(where)
    assert response.url == Quote.objects.get().get_absolute_url()
    assert owner_client.post(where).url == response.url
    assert Quote.objects.count() == 1


def test_the_draft_page_shows_ranges_what_they_rest_on_and_the_price(draft, owner_client, shop):
    page = flat(owner_client.get(address(draft)))
    total = quote_figures(draft, shop).priced.total.gross
    for words in (
        "Fairing skin",
        "first rates only",
        "contingency in it",
        "margin, 15",
        f"€ {total}",
        "Send quote",
    ):
        assert words in page


def test_a_quote_of_nothing_says_what_to_do(job, owner, shop, owner_client):
    draft = new_draft(job, owner, shop)
    page = flat(owner_client.get(address(draft)))
    assert "Add the first" in page
    assert "There is nothing to send yet." in page


def test_a_missing_rate_is_words_and_no_crash(draft, owner_client):
    LabourRate.objects.all().delete()
    page = flat(owner_client.get(address(draft)))
    assert "Mend this before sending." in page
    assert "has no hourly rate today" in page


def test_an_impossible_stored_shape_does_not_break_the_page(draft, panel, owner_client):
    Panel.objects.filter(pk=panel.pk).update(dimensions={"turn_rad": "x"}, form="never")
    assert owner_client.get(address(draft)).status_code == 200


@pytest.mark.parametrize("revision", ["2", "9" * 40])
def test_a_quote_that_is_not_there(revision, job, owner_client):
    assert owner_client.get(f"/jobs/{job.number}/quotes/{revision}/").status_code == 404


def test_changing_a_line_without_htmx(draft, panel, owner_client):
    key = panel_key(panel, "gathering")
    page = flat(owner_client.get(address(draft), {"change": key}))
    assert "Half are done in" in page
    figure = {
        "line": key,
        "low_hours": "9",
        "high_hours": "12:30",
        "reason": "Kink",
        "version": version(draft),
    }
    response = owner_client.post(address(draft, "override/"), figure)
    assert response.status_code == 302
    page = flat(owner_client.get(address(draft)))
    assert "<del" in page
    assert "Kink, Osk" in page
    override = draft.overrides.get()
    assert (override.low_hours, override.high_hours) == (9, Decimal("12.5"))


def test_changing_a_line_with_htmx_swaps_the_sheet_and_strikes_the_old_price(
    draft, panel, owner_client, shop
):
    was = quote_figures(draft, shop).priced.total.gross
    post = {"line": panel_key(panel, "metal"), "amount": "55", "reason": "By the foot", "seen_total": was}
    response = owner_client.post(
        address(draft, "override/"), post | {"version": version(draft)}, headers=HTMX
    )
    page = flat(response)
    assert response.status_code == 200
    assert "<html" not in page
    assert 'id="quote-send" hx-swap-oob' in page
    assert f"The price was € {was} and is" in page
    assert response.headers["Vary"].count("HX-Request") == 1


def test_an_override_can_be_undone(draft, panel, owner_client):
    key = panel_key(panel, "metal")
    owner_client.post(address(draft, "override/"), {"line": key, "amount": "55", "reason": "x"})
    assert "Undo: take the worked-out one" in flat(owner_client.get(address(draft), {"change": key}))
    owner_client.post(address(draft, "override/"), {"line": key, "undo": "1", "version": version(draft)})
    assert not draft.overrides.exists()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"low_hours": "9", "high_hours": "12", "reason": ""}, "Say why"),
        ({"low_hours": "12", "high_hours": "9", "reason": "x"}, "Write 12 or more"),
        ({"low_hours": "-2", "high_hours": "9", "reason": "x"}, "Write more than 0"),
        ({"low_hours": "9" * 60, "high_hours": "9", "reason": "x"}, "cannot be read as hours"),
        ({"low_hours": "nine", "high_hours": "9", "reason": "x"}, "cannot be read as hours"),
        ({"low_hours": "3000", "high_hours": "9000", "reason": "x"}, "at most 2000 hours"),
        ({"low_hours": "", "high_hours": "9", "reason": "x"}, "Write hours"),
    ],
)
def test_hours_that_cannot_be_keep_what_was_typed(typed, words, draft, panel, owner_client):
    response = owner_client.post(address(draft, "override/"), {"line": panel_key(panel, "gathering")} | typed)
    assert response.status_code == 422
    assert words in flat(response)
    assert f'value="{typed["low_hours"]}"' in flat(response) or not typed["low_hours"]
    assert not draft.overrides.exists()


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        ("-5", "not negative"), ("1e9", "cannot be read"), ("9" * 50, "cannot be read"), ("12.345", "at most 2 decimals"),
        ("99999999", "ten million"), ("NaN", "cannot be read"),
    ],
)  # fmt: skip
def test_money_that_cannot_be_is_said_beside_the_field(amount, words, draft, panel, owner_client):
    post = {"line": panel_key(panel, "metal"), "amount": amount, "reason": "x"}
    response = owner_client.post(address(draft, "override/"), post)
    assert response.status_code == 422
    assert words in flat(response)


@pytest.mark.parametrize("line", ["", "panel-9999:metal", "x\0y", "line-1", "z" * 500])
def test_a_line_that_is_not_there_is_said(line, draft, owner_client):
    response = owner_client.post(address(draft, "override/"), {"line": line, "amount": "1", "reason": "x"})
    assert response.status_code == 422
    assert not draft.overrides.exists()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"kind": "discount", "figure": "5 %", "reason": ""}, "Say why there is a discount"),
        ({"kind": "discount", "figure": "99999", "reason": "x"}, "is more than the"),
        ({"kind": "discount", "figure": "101 %", "reason": "x"}, "at most 100"),
        (
            {"kind": "discount", "figure": "5", "reason": "x", "is_option": "on"},
            "not for the customer to choose",
        ),
        ({"kind": "bought-in", "figure": "5 %"}, "Only a discount"),
        ({"kind": "bought-in", "figure": "0"}, "Write more than 0"),
        ({"kind": "bought-in", "figure": "-3"}, "not negative"),
        ({"kind": "gift", "figure": "3"}, "not one of the available choices"),
        ({"kind": "other", "figure": "9" * 19}, "cannot be read"),
    ],
)
def test_lines_that_cannot_be_are_kept_as_typed(typed, words, draft, owner_client):
    post = {"label": "Chrome plating", "version": version(draft)} | typed
    response = owner_client.post(address(draft, "lines/"), post)
    page = flat(response)
    assert response.status_code == 422
    assert words in page
    assert 'value="Chrome plating"' in page
    assert not draft.lines.exists()


def test_lines_are_added_and_removed(draft, owner_client):
    post = {"kind": "discount", "label": "Second order", "figure": "7,5 %", "reason": "Came back"}
    owner_client.post(address(draft, "lines/"), post | {"version": version(draft)})
    line = draft.lines.get()
    assert line.percent == Decimal("7.5")
    page = flat(owner_client.get(address(draft)))
    assert "Came back" in page
    owner_client.post(address(draft, f"lines/{line.pk}/remove/"), {"version": version(draft)})
    assert not draft.lines.exists()


def test_a_stale_page_is_told_what_was_done_and_keeps_what_was_typed(draft, owner, shop, owner_client):
    seen = version(draft)
    add_line(draft, owner, shop, bought_in("Handles"))
    post = {"kind": "other", "label": "Crate", "figure": "40", "version": seen}
    response = owner_client.post(address(draft, "lines/"), post)
    page = flat(response)
    assert response.status_code == 422
    assert "added bought-in work to “Handles”" in page
    assert 'value="Crate"' in page
    # Pressing again, having seen it, is a decision.
    again = owner_client.post(address(draft, "lines/"), post | {"version": version(draft)})
    assert again.status_code == 302


def test_words_are_saved_and_a_stale_form_is_refused(draft, owner_client):
    seen = owner_client.get(address(draft)).context["texts_form"]["seen"].value()
    post = {"intro": "Two skins", "terms": "Cash", "valid_until": "", "deposit_percent": "25", "seen": seen}
    assert owner_client.post(address(draft), post).status_code == 302
    response = owner_client.post(address(draft), post | {"intro": "Three skins"})
    assert response.status_code == 422
    assert "Somebody changed this" in flat(response)
    assert "Three skins" in flat(response)
    draft.refresh_from_db()
    assert (draft.intro, draft.deposit_percent) == ("Two skins", 25)


@pytest.mark.parametrize(
    ("name", "typed"),
    [("valid_until", "2020-01-01"), ("valid_until", "soon"), ("deposit_percent", "101"), ("deposit_percent", "-1"),
     ("deposit_percent", "NaN"), ("intro", "x" * 20_001)],
)  # fmt: skip
def test_words_that_cannot_be(name, typed, draft, owner_client):
    post = {"intro": "", "terms": "", "valid_until": "", "deposit_percent": "25", name: typed}
    response = owner_client.post(address(draft), post)
    assert response.status_code == 422
    assert name in response.context["texts_form"].errors


@pytest.mark.parametrize("confidence", ["0.49", "1", "", "lots", "NaN"])
def test_a_confidence_that_cannot_be(confidence, draft, owner_client):
    response = owner_client.post(address(draft, "price/"), {"confidence": confidence})
    assert response.status_code == 422
    assert Quote.objects.get().confidence == Decimal("0.80")


def test_the_middle_can_be_priced(draft, owner_client):
    owner_client.post(address(draft, "price/"), {"confidence": "0.50", "version": version(draft)})
    assert Quote.objects.get().confidence == Decimal("0.50")


def test_panels_made_later_are_offered_for_the_quote(draft, panel, owner, owner_client):
    mirrored = add_mirrored_hand(panel, owner)
    assert "Not on this quote" in flat(owner_client.get(address(draft)))
    post = {"panels": [panel.pk, mirrored.pk], "version": version(draft)}
    owner_client.post(address(draft, "panels/"), post)
    assert draft.panels.count() == 2
    assert "Not on this quote" not in flat(owner_client.get(address(draft)))


def test_sending_leads_to_the_link_and_a_second_press_does_no_harm(draft, owner_client, shop):
    post = {"version": version(draft), "total": quote_figures(draft, shop).priced.total.gross}
    owner_client.post(address(draft, "send/"), post)
    first = Quote.objects.get()
    page = flat(owner_client.post(address(draft, "send/"), post, follow=True))
    assert "does not change" in page
    assert f"http://testserver/for/{first.token}/" in page
    assert Quote.objects.get().sent_at == first.sent_at


def test_a_price_other_than_the_one_seen_is_not_sent(draft, owner_client):
    response = owner_client.post(address(draft, "send/"), {"version": version(draft), "total": "1.00"})
    assert response.status_code == 422
    assert "Look at it, then send." in flat(response)
    assert Quote.objects.get().state == "draft"


@pytest.mark.parametrize("page", ["override/", "lines/", "price/", "panels/", "discard/", "send/", ""])
def test_a_draft_page_left_open_past_sending_changes_nothing(page, sent, panel, owner_client):
    post = {"line": panel_key(panel, "metal"), "amount": "1", "reason": "x", "kind": "other", "label": "x", "figure": "1",
            "confidence": "0.50", "panels": [], "intro": "y", "terms": "", "deposit_percent": "0"}  # fmt: skip
    response = owner_client.post(address(sent, page), post)
    assert response.status_code == 302
    kept = Quote.objects.get()
    assert (kept.state, kept.frozen, kept.lines.count()) == ("sent", sent.frozen, 1)


def test_htmx_on_a_page_left_open_past_sending_goes_to_the_sent_page(sent, owner_client):
    response = owner_client.post(address(sent, "price/"), {"confidence": "0.50"}, headers=HTMX)
    assert response.headers["HX-Redirect"] == address(sent)
    assert response.content == b""


def test_the_line_changed_last_keeps_the_focus(draft, panel, owner_client):
    key = panel_key(panel, "metal")
    assert "autofocus" in flat(owner_client.get(address(draft), {"change": key}, headers=HTMX))
    post = {"line": key, "amount": "55", "reason": "x", "version": version(draft)}
    assert flat(owner_client.post(address(draft, "override/"), post, headers=HTMX)).count("autofocus") == 1
    again = owner_client.post(address(draft, "override/"), post | {"version": version(draft)})
    assert again.url == f"{address(draft)}#panel-{panel.pk}metal"


def test_the_sent_page_reads_only_its_copy(sent, owner_client, shop):
    before = owner_client.get(address(sent)).context["sheet"]
    LabourRate.objects.update(per_hour=999)
    Panel.objects.update(name="Renamed")
    page = owner_client.get(address(sent))
    assert page.context["sheet"].total == before.total
    assert "Renamed" not in flat(page)


def test_one_press_sends_one_e_mail(sent, owner_client):
    form = owner_client.get(address(sent)).context["email_form"]
    post = {"to": "tamsin@pell.example", "words": "Here it is", "submission": str(form["submission"].value())}
    for _ in range(2):
        owner_client.post(address(sent, "e-mail/"), post)
    assert len(mail.outbox) == 1
    assert f"http://testserver/for/{sent.token}/" in mail.outbox[0].body
    page = flat(owner_client.get(address(sent)))
    assert "Ask again by e-mail" in page
    assert LinkSent.objects.count() == 1


@pytest.mark.parametrize("to", ["", "nobody", "a@b.example\nBcc: c@d.example", "x" * 300 + "@b.example"])
def test_an_address_that_cannot_be(to, sent, owner_client):
    response = owner_client.post(address(sent, "e-mail/"), {"to": to, "words": "Here it is"})
    assert response.status_code == 422
    assert mail.outbox == []


def test_an_answer_by_telephone(sent, owner_client):
    key = sent.frozen["lines"][0]["key"]
    post = {"kind": "accepted", "name": "Tamsin Pell", "note": "rang at noon", "options": [key]}
    page = flat(owner_client.post(address(sent, "answer/"), post, follow=True))
    assert "written down by Osk" in page
    assert Job.objects.get().state == Job.State.IN_WORK
    again = owner_client.post(address(sent, "answer/"), post, follow=True)
    assert "takes one answer" in flat(again)


def test_a_reply_stands_on_the_page(sent, owner_client):
    question = ask(sent, text="Can it be bright?")
    where = address(sent, f"questions/{question.pk}/reply/")
    assert owner_client.post(where, {"text": ""}).status_code == 422
    owner_client.post(where, {"text": "Yes, it can"})
    assert "Yes, it can" in flat(owner_client.get(address(sent)))


def test_withdrawing_and_revising(sent, owner_client):
    owner_client.post(address(sent, "withdraw/"))
    assert "Withdrawn." in flat(owner_client.get(address(sent)))
    response = owner_client.post(address(sent, "revise/"))
    assert response.url == address(Quote.objects.get(state="draft"))


@pytest.mark.parametrize("count", [3, 30])
def test_the_list_takes_the_same_queries_however_long(
    count, customer, owner, owner_client, django_assert_num_queries
):
    frozen = {
        "sent_at": "2026-01-01T00:00Z",
        "frozen": {},
        "total": 100,
        "valid_until": "2099-01-01",
        "state": "sent",
    }
    for number in range(count):
        job = save_with_number(Job(customer=customer, title=f"Job {number}"))
        Quote.objects.create(job=job, revision=1, **frozen)
    owner_client.get(reverse("quote-list"))
    with django_assert_num_queries(7):
        page = flat(owner_client.get(reverse("quote-list")))
    assert "Ask again" in page
    assert ("Next page" in page) is (count > 25)


def test_the_list_has_a_word_for_every_state(sent, job, owner, shop, owner_client):
    assert "new today" in flat(owner_client.get(reverse("quote-list")))
    accept(sent, name="Tamsin")
    assert "accepted by Tamsin" in flat(owner_client.get(reverse("quote-list"), {"show": "answered"}))
    new_draft(job, owner, shop)
    assert "further quote" in flat(owner_client.get(reverse("quote-list"), {"show": "drafts"}))
    for view in ("past", "waiting", "nonsense"):
        assert owner_client.get(reverse("quote-list"), {"show": view, "page": "x"}).status_code == 200


def test_a_withdrawn_quote_leaves_the_waiting_ones(sent, owner, owner_client):
    withdraw_quote(sent, owner)
    assert "Quotes that wait for an answer will be here" in flat(owner_client.get(reverse("quote-list")))
    assert sent.number in flat(owner_client.get(reverse("quote-list"), {"show": "past"}))


@pytest.mark.parametrize("panels", [1, 6])
def test_the_draft_page_takes_the_same_queries_however_many_panels(
    panels, draft, panel, owner, owner_client, sheet, django_assert_max_num_queries
):
    for number in range(1, panels):
        shared = {
            "metal": panel.metal,
            "thickness_mm": 1.6,
            "form": "arch",
            "dimensions": ARCH,
            "trim_mm": 19.05,
        }
        more = Panel(
            job=draft.job, name=f"Skin {number}", line_count=3, gather_mm=5, die_width_mm=25, **shared
        )
        draft.panels.add(save_panel(more, owner))
    owner_client.get(address(draft))
    with django_assert_max_num_queries(19):
        owner_client.get(address(draft))


def test_payments_are_written_down_once_and_struck_with_a_reason(job, owner_client):
    where = reverse("payments", args=[job.number])
    form = owner_client.get(where).context["form"]
    post = {"kind": "deposit", "amount": "120,50", "received_on": "2026-01-05", "note": "by bank",
            "submission": str(form["submission"].value())}  # fmt: skip
    for _ in range(2):
        assert owner_client.post(where, post).status_code == 302
    payment = Payment.objects.get()
    assert payment.amount == Decimal("120.5")
    assert "by bank" in flat(owner_client.get(where))
    owner_client.post(reverse("payment-strike", args=[job.number, payment.pk]), {"reason": "Not ours"})
    assert not Payment.objects.exists()


@pytest.mark.parametrize(
    ("name", "typed"),
    [("amount", "0"), ("amount", "-1"), ("amount", "1.005"), ("amount", "9" * 30), ("received_on", "2999-01-01"),
     ("received_on", "today"), ("kind", "gift")],
)  # fmt: skip
def test_payments_that_cannot_be(name, typed, job, owner_client):
    post = {"kind": "payment", "amount": "5", "received_on": "2026-01-05", "note": "", name: typed}
    response = owner_client.post(reverse("payments", args=[job.number]), post)
    assert response.status_code == 422
    assert name in response.context["form"].errors
    assert not Payment.objects.exists()


def test_a_refund_of_what_never_came(job, owner_client):
    post = {"kind": "refund", "amount": "5", "received_on": "2026-01-05"}
    response = owner_client.post(reverse("payments", args=[job.number]), post)
    assert response.status_code == 422
    assert "no more than that can go back" in flat(response)


def test_names_are_written_out_and_never_run(job, panel, owner, shop, owner_client):
    Job.objects.filter(pk=job.pk).update(title="<script>alert(1)</script>")
    job.refresh_from_db()
    draft = new_draft(job, owner, shop)
    add_line(draft, owner, shop, bought_in("<img src=x>"))
    add_line(draft, owner, shop, discount(percent="5", reason="<b>x</b>"))
    page = owner_client.get(address(draft)).content.decode()
    assert "<script>alert" not in page
    assert "<img src=x>" not in page
    assert "<b>x</b>" not in page


def test_a_draft_of_twelve_panels_is_redrawn_while_one_waits(draft, panel, owner, owner_client, sheet):
    for number in range(6):
        shared = {
            "metal": panel.metal,
            "thickness_mm": 1.6,
            "form": "arch",
            "dimensions": ARCH,
            "trim_mm": 19.05,
        }
        more = Panel(
            job=draft.job, name=f"Skin {number}", line_count=3, gather_mm=5, die_width_mm=25, **shared
        )
        first = save_panel(more, owner)
        draft.panels.add(first, add_mirrored_hand(first, owner))
    owner_client.get(address(draft), headers=HTMX)
    start = perf_counter()
    owner_client.get(address(draft), headers=HTMX)
    assert perf_counter() - start < 1


def test_a_shop_without_tax_reads_no_word_of_it(draft, owner_client, shop):
    assert "VAT in it" in flat(owner_client.get(address(draft)))
    shop.tax_percent = 0
    shop.save()
    page = flat(owner_client.get(address(draft)))
    assert "The quote comes to" in page
    assert "VAT" not in page.partition("<main")[2].partition("Lines")[0]
