"""Finding things by what somebody remembers of them: a number, a mark, a code off a label, part of a name."""

import re
import unicodedata
from dataclasses import dataclass, field
from urllib.parse import urlsplit

from django.db.models import Q, QuerySet

from jobs.customers import customers_matching
from jobs.models import Customer, Job, Panel, Stage
from shop.codes import ALPHABET, LENGTH
from shop.models import SheetStock

LONGEST = 80  # nobody types more; a flood of words would make a flood of conditions
MOST_WORDS = 8
A_GROUP = 20

# 2026-014.1 L, or only as much of it as was remembered: 014, 014.1, 014 L.
_MARK = re.compile(r"(?:(\d{4})\s*-\s*)?0*(\d{1,6})(?:\s*\.\s*(\d{1,3}))?\s*([lr])?", re.IGNORECASE)
_CODE = re.compile(rf"[{ALPHABET}]{{{LENGTH}}}")
HANDS = {"l": Panel.Hand.LEFT, "r": Panel.Hand.RIGHT}


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found, by kind, the likeliest first; ``more`` names the kinds that were cut short."""

    text: str
    labelled: Panel | Stage | SheetStock | None = None
    jobs: list[Job] = field(default_factory=list)
    panels: list[Panel] = field(default_factory=list)
    customers: list[Customer] = field(default_factory=list)
    sheets: list[SheetStock] = field(default_factory=list)
    more: frozenset[str] = frozenset()

    @property
    def nothing(self) -> bool:
        return not (self.labelled or self.jobs or self.panels or self.customers or self.sheets)


def tidy(text: str) -> str:
    """What was typed, as it is searched for: one space between words, no more than the longest.

    >>> tidy("  Bow \\x00 fairing ")
    'Bow fairing'
    """
    plain = unicodedata.normalize("NFC", text).replace("\0", " ")
    return " ".join(plain[:LONGEST].split()[:MOST_WORDS])


def find(text: str) -> Found:
    """Search jobs, panels, customers and sheets; seven queries at most, whatever is typed."""
    text = tidy(text)
    if not text:
        return Found(text)
    groups = {
        "jobs": jobs_matching(text).select_related("customer"),
        "panels": panels_matching(text).select_related("job__customer", "metal"),
        "customers": customers_matching(text),
        "sheets": sheets_matching(text).select_related("metal"),
    }
    # One more than is shown tells whether there are more.
    rows = {name: list(found[: A_GROUP + 1]) for name, found in groups.items()}
    more = frozenset(name for name, found in rows.items() if len(found) > A_GROUP)
    return Found(
        text, thing_with_code(text), **{name: found[:A_GROUP] for name, found in rows.items()}, more=more
    )


def jobs_matching(text: str) -> QuerySet[Job]:
    """Jobs of this number, and jobs each word is found in: number, title, description, customer's name."""
    words = Q()
    for word in text.split():
        words &= (
            Q(number__icontains=word)
            | Q(title__icontains=word)
            | Q(description__icontains=word)
            | Q(customer__name__icontains=word)
        )
    return Job.objects.filter(words | _numbered(text, ""))


def panels_matching(text: str) -> QuerySet[Panel]:
    """Panels of this mark or code, and panels each word is found in: name, metal, job's number.

    A mark with a position or a hand (014.2, 014 R) means that panel and nothing else.
    """
    mark = _MARK.fullmatch(text)
    if mark and (mark[3] or mark[4]):
        return Panel.objects.filter(_numbered(text, "job__"))
    words = Q()
    for word in text.split():
        words &= Q(name__icontains=word) | Q(metal__name__icontains=word) | Q(job__number__icontains=word)
    return Panel.objects.filter(words | _numbered(text, "job__") | Q(code=text.upper())).order_by(
        "-job__year", "-job__count", "position"
    )


def sheets_matching(text: str) -> QuerySet[SheetStock]:
    """Sheets and drops of this code, heat number, place or metal that are not used up."""
    words = Q()
    for word in text.split():
        words &= Q(metal__name__icontains=word) | Q(place__icontains=word) | Q(heat_number__icontains=word)
    return SheetStock.objects.exclude(state=SheetStock.State.USED).filter(words | Q(code=text.upper()))


def thing_with_code(text: str) -> Panel | Stage | SheetStock | None:
    """The panel, stage or sheet whose label was read, as the code itself or as the address in the QR code."""
    code = urlsplit(text.strip()).path.strip("/").rpartition("/")[2].upper()
    if not _CODE.fullmatch(code):
        return None
    panels = Panel.objects.select_related("job__customer", "metal")
    stages = Stage.objects.select_related("kind", "panel__job__customer")
    sheets = SheetStock.objects.select_related("metal")
    for rows in (panels, stages, sheets):
        if found := rows.filter(code=code).first():
            return found
    return None


def _numbered(text: str, to_job: str) -> Q:
    """The condition for a job's number or a panel's mark; one that nothing meets where it is neither."""
    mark = _MARK.fullmatch(text)
    if mark is None:
        return Q(pk=None)
    year, count, position, hand = mark.groups()
    condition = Q(**{f"{to_job}count": int(count)})
    if year:
        condition &= Q(**{f"{to_job}year": int(year)})
    if to_job and position:
        condition &= Q(position=int(position))
    if to_job and hand:
        condition &= Q(hand=HANDS[hand.lower()])
    return condition
