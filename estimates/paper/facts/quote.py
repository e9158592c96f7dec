"""What a quote's letter says, from the frozen quote alone."""

from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from estimates.models import Quote
from estimates.paper.document import Imprint
from estimates.paper.facts.letter import customer_party, mark_of, shop_party
from estimates.paper.letter import LetterHead, Row
from estimates.paper.page import SIZES
from estimates.paper.quote import QuoteLetter
from estimates.quoting.figures import quote_figures
from estimates.quoting.freezing import written_down
from estimates.quoting.frozen import Item, OfferText, offer_text
from shop.figures import full_day
from shop.lengths import MINUS
from shop.models import Shop

SHUT = {
    Quote.State.DECLINED: "This quote was declined.",
    Quote.State.WITHDRAWN: "This quote has been withdrawn and no longer holds.",
    Quote.State.REPLACED: "This quote has been replaced by a newer one and no longer holds.",
}


def quote_letter(quote: Quote, address: str = "") -> QuoteLetter:
    """What the letter says: from what was frozen when it was sent, with the options taken where it was accepted."""
    accepted = quote.state == Quote.State.ACCEPTED
    text = offer_text(quote.frozen, quote.answer.options_taken if accepted else ())
    standing = SHUT.get(quote.state, "")
    if quote.has_expired:
        standing = f"This quote held until {full_day(text.valid_until)} and has run out."
    return letter_of(
        text, frozen=quote.frozen, standing=standing,
        answered=_answered(quote) if accepted else "", address=address,
    )  # fmt: skip


def letter_of(
    text: OfferText, *, frozen: dict, standing: str = "", answered: str = "", address: str = ""
) -> QuoteLetter:
    """The letter of a quote's text; a draft's ``standing`` says that it is one."""
    kind = "Further quote" if text.is_further else "Quote"
    facts = (
        (kind.lower(), text.number), ("date", full_day(text.made_on)), ("holds until", full_day(text.valid_until)),
    )  # fmt: skip
    head = LetterHead(
        shop_party(text.shop), customer_party(text.customer), f"{kind} {text.number}", text.title, facts,
        mark_of(frozen["shop"]["mark"]),
    )  # fmt: skip
    included = (item for item in text.options if item.taken)
    offered = tuple(_row(item, text) for item in text.options if not item.taken) if not answered else ()
    return QuoteLetter(
        head=head, intro=text.intro, items=tuple(_row(item, text) for item in (*text.items, *included, *text.discounts)),
        options=offered, sums=tuple(_sums(text)), money_words=_money_words(text), deposit=_deposit(text),
        terms=text.terms, standing=standing, answered=answered, page_address=address,
        by_hours=text.by_hours,
    )  # fmt: skip


def quote_imprint(frozen: dict, printed: str) -> Imprint:
    """Shop's name, language and paper as they were when the quote was sent."""
    shop = frozen["shop"]
    return Imprint(shop["name"], printed, shop["language"] or "en", SIZES[shop["paper"]], shop["units"])


def _row(item: Item, text: OfferText) -> Row:
    amount = text.money(abs(item.amount))
    return Row(item.name, item.words, f"{MINUS}{amount}" if item.amount < 0 else amount)


def _sums(text: OfferText):
    if text.tax_percent and not text.tax_included:
        yield Row("Without tax", amount=text.money(text.net), over_line=True)
        yield Row(f"{text.tax_name} {_percent(text.tax_percent)}", amount=text.money(text.tax))
    yield Row(
        "Total, estimated" if text.by_hours else "Total",
        amount=text.money(text.total),
        strong=True,
        over_line=True,
    )
    if text.tax_percent and text.tax_included:
        yield Row(f"of which {text.tax_name} {_percent(text.tax_percent)}", amount=text.money(text.tax))


def _money_words(text: OfferText) -> str:
    currency = f"{text.currency.code}" if getattr(text.currency, "code", "") else ""
    if not text.tax_percent:
        return currency
    return f"{currency}, {'with' if text.tax_included else 'without'} {text.tax_name}".strip(", ")


def _deposit(text: OfferText) -> str:
    if not text.deposit:
        return ""
    return f"We ask for a deposit of {_percent(text.deposit_percent)}, {text.money(text.deposit)}, when you accept."


def _answered(quote: Quote) -> str:
    answer = quote.answer
    return f"Accepted by {answer.name} on {full_day(timezone.localtime(answer.at).date())}."


def _percent(percent: Decimal) -> str:
    return f"{percent.normalize():f} %"


def draft_letter(quote: Quote, shop: Shop) -> QuoteLetter:
    """The letter as it would be if the draft were sent today; it says that it has not been.

    Raises ``Unpriceable`` where the draft cannot be priced yet.
    """
    today = timezone.localdate()
    figures = quote_figures(quote, shop, today)
    held = written_down(quote, figures, shop, today)
    held["valid_until"] = held["valid_until"] or (today + timedelta(days=shop.quote_valid_days)).isoformat()
    standing = f"Draft. It has not been sent and does not bind anyone. {figures.blocked}".strip()
    return letter_of(offer_text(held), frozen=held, standing=standing)
