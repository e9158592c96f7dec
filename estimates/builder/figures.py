"""The figures of the builder's result strip in words, and what a change has done to them in one sentence."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from django.core import signing
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from estimates.builder.reckoning import Reckoned
from jobs.forms.dimensions import as_typed
from jobs.forms.panel import PanelForm
from jobs.forms.panel_texts import name_of
from jobs.panel_figures import fine_length
from shop.figures import EN_DASH, figure, hours, hours_between, mass, money_between
from shop.gauges import format_thickness
from shop.lengths import format_angle, format_blank, format_length
from shop.models import Shop

SALT = "panel-builder"
MOST_NAMED = 3
NOTHING = 0.05  # hours: three minutes are no change


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of the strip, and what it was before the change where it was another."""

    key: str
    name: str
    value: str
    unit: str = ""
    was: str = ""


@dataclass(frozen=True, slots=True)
class Kept:
    """A state of the page that was worked out: what was typed, what it came to, what the book had filled in.

    It travels with the page, signed, so that the next change can be told against it without anything being stored.
    """

    texts: dict[str, str]
    figures: dict[str, str]
    numbers: dict[str, list[float]]
    fill: dict[str, str] = field(default_factory=dict)

    def signed(self) -> str:
        return signing.dumps([self.texts, self.figures, self.numbers, self.fill], salt=SALT, compress=True)

    @classmethod
    def read(cls, text: str | None) -> "Kept | None":
        """Read what a page sent back; nothing where it sent none or somebody has been at it."""
        try:
            return cls(*signing.loads(text or "", salt=SALT))
        except (signing.BadSignature, TypeError):
            return None


def figures_of(reckoned: Reckoned, shop: Shop) -> dict[str, Figure]:
    """Every figure that can change, by its key."""
    work = reckoned.work
    found = [*_blank(reckoned, shop), *_strain(reckoned, shop)]
    for name, thickness_mm in (("thickest", work.thickest_mm), ("thinnest", work.thinnest_mm)):
        found.append(Figure(name, name, *_split(format_thickness(thickness_mm, shop.units))))
    if work.passes:
        found.append(Figure("passes", "passes", str(len(work.passes))))
    if reckoned.hours:
        total = reckoned.hours.total
        found.append(Figure("hours", "all stages", *_split(hours_between(total.p50, total.p80))))
    if reckoned.price:
        price = reckoned.price
        found.append(Figure("price", "comes to", _money(price.low, price.high, shop)))
    return {one.key: one for one in found}


def _blank(reckoned: Reckoned, shop: Shop) -> list[Figure]:
    work = reckoned.work
    blank = format_blank(work.blank_length_mm, work.blank_width_mm, shop.units)
    each = " each" if reckoned.count > 1 else ""
    found = [
        Figure("blank", "size", *_split(blank)),
        Figure("blank mass", f"mass as cut{each}", *_split(mass(work.blank_mass_kg, shop.units))),
        Figure("mass", f"finished part{each}", *_split(mass(work.mass_kg, shop.units))),
    ]
    if work.bend_allowance_mm is not None:
        found.append(
            Figure("allowance", "bend allowance", *_split(fine_length(work.bend_allowance_mm, shop)))
        )
    return found


def _strain(reckoned: Reckoned, shop: Shop) -> list[Figure]:
    work, found = reckoned.work, []
    for key, angle in (("gather angle", work.gather_angle_rad), ("stretch angle", work.stretch_angle_rad)):
        if angle > 1e-3:
            found.append(Figure("angle", key, format_angle(angle)))
    if reckoned.along and reckoned.along.largest:
        found.append(Figure("strain", _where(reckoned), figure(abs(reckoned.along.largest) * 100, 1), "%"))
    if work.edges and abs(work.edges[0].take_up_mm) >= 0.05:
        edge = work.edges[0]
        verb = "loses" if edge.take_up_mm > 0 else "gains"
        said = f"{_plain_edge(edge.name, len(work.edges))} {verb}"
        found.append(Figure("take-up", said, *_split(format_length(abs(edge.take_up_mm), shop.units))))
    return found


def _plain_edge(name: str, count: int) -> str:
    if count > 1 or name.startswith("either"):
        return "each edge"
    return "the rim" if name == "rim" else "the edge"


def _where(reckoned: Reckoned) -> str:
    """Where along the section the metal is strained most."""
    along = reckoned.along
    at = max(along.strains, key=lambda pair: abs(pair[1]))[0]
    return f"at the {along.marks[-1][1] if at > along.marks[-1][0] / 2 else along.marks[0][1]}"


def _split(said: str) -> tuple[str, str]:
    """Figure and unit apart, so that the unit can stand back."""
    for unit in ("mm", "in", "h", "kg", "lb"):
        for space in (" ", "\u00a0"):
            if said.endswith(space + unit):
                return said.removesuffix(space + unit), unit
    return said, ""


def numbers_of(reckoned: Reckoned) -> dict[str, list[float]]:
    """What the sentence reckons differences from."""
    found: dict[str, list[float]] = {}
    if reckoned.along:
        found["strain"] = [reckoned.along.largest * 100]
    if reckoned.hours:
        found["hours"] = [reckoned.hours.total.p50, reckoned.hours.total.p80]
    if reckoned.price:
        found["price"] = [float(reckoned.price.low), float(reckoned.price.high)]
    return found


@dataclass(frozen=True, slots=True)
class Change:
    """One field that says something else than before."""

    field: str
    label: str
    old: str
    new: str


def changes_between(
    before: Kept, texts: Mapping[str, str], fill: Mapping[str, str], form: PanelForm
) -> list[Change]:
    """What differs between two states. Another form brings its own dimensions; what the book fills in is no change."""
    found = []
    same_form = before.texts.get("form") == texts.get("form")
    for name, new in texts.items():
        old = before.texts.get(name, "")
        by_book = old == before.fill.get(name) and new == fill.get(name)
        if old.strip() == new.strip() or by_book or ("-" in name and not same_form):
            continue
        bound = form[name] if name in form.fields else None
        label = bound.label if bound else name
        found.append(Change(name, str(label), _said(form, name, old), _said(form, name, new)))
    return found


def _said(form: PanelForm, name: str, text: str) -> str:
    """A value as the sentence says it: what a choice is called, what else was typed."""
    one = form.fields.get(name)
    choices = dict(getattr(one, "choices", ()) or ())
    if choices:
        return str(choices.get(text, text)).lower() if name != "metal" else str(choices.get(text, text))
    if text in ("", "on"):
        return "yes" if text else "nothing" if hasattr(one, "read") else "no"
    return as_typed(text)


def sentence(
    changes: Sequence[Change],
    before: Mapping[str, list[float]],
    now: Mapping[str, list[float]],
    where: str,
    shop: Shop,
) -> SafeString:
    """One sentence: what was changed, and what that does to gathering (``where``), hours and price."""
    if not changes:
        return SafeString("")
    labels = [c.label if index == 0 else c.label.lower() for index, c in enumerate(changes[:MOST_NAMED])]
    named = [
        format_html("{} {} to {}", label, c.old, c.new) for label, c in zip(labels, changes, strict=False)
    ]
    if len(changes) > MOST_NAMED:
        named = [SafeString(f"{len(changes)} changes")]
    effects = [
        one
        for one in (_strained(before, now, where), _worked(before, now), _priced(before, now, shop))
        if one
    ]
    told = format_html_join(", ", "{}", ((one,) for one in effects)) if effects else "hours stay as they were"
    return format_html("{}: {}.", format_html_join(", ", "{}", ((one,) for one in named)), told)


def _strained(before: Mapping, now: Mapping, where: str) -> SafeString | None:
    old, new = before.get("strain"), now.get("strain")
    if not old or not new or (old[0] < 0) != (new[0] < 0):
        return None
    by = abs(new[0]) - abs(old[0])
    if abs(by) < NOTHING:
        return None
    word = "gather" if new[0] < 0 else "stretch"
    way = "up" if by > 0 else "down"
    return format_html(
        "{} {} {} <b>{}</b> to {} %", word, where, way, figure(abs(by), 1), figure(abs(new[0]), 1)
    )


def _worked(before: Mapping, now: Mapping) -> SafeString | None:
    return _moved("hours", before, now, NOTHING, lambda low, high: _span(hours(low), hours(high)))


def _priced(before: Mapping, now: Mapping, shop: Shop) -> SafeString | None:
    return _moved("price", before, now, 0.5, lambda low, high: _money(low, high, shop))


def _money(low, high, shop: Shop) -> str:
    return money_between(low, high, shop.currency_symbol, str(shop.money_style))


def _moved(what: str, before: Mapping, now: Mapping, least: float, write) -> SafeString | None:
    """Up or down by a range; where the ends part ways, from one range to another."""
    old, new = before.get(what), now.get(what)
    if not old or not new:
        return None
    by = [b - a for a, b in zip(old, new, strict=True)]
    if max(map(abs, by)) < least:
        return None
    if by[0] * by[1] < 0:
        return format_html("{} {} to <b>{}</b>", what, write(*old), write(*new))
    way = "up" if sum(by) > 0 else "down"
    return format_html("{} {} <b>{}</b>", what, way, write(*sorted(map(abs, by))))


def _span(low: str, high: str) -> str:
    return low if low == high else f"{low}{EN_DASH}{high}"


def dimension_edited(form: PanelForm, field_name: str) -> str | None:
    """The dimension that a field stands for, as drawings name it."""
    own = name_of(form.shape, "")
    return field_name.removeprefix(own) if field_name.startswith(own) or field_name == "trim_mm" else None
