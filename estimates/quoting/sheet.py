"""A quote as its page shows it: panels with their ranges, lines with what the owner changed, and the sums.

It is made from the plain values of :mod:`estimates.quoting.frozen` and a price, whether they were worked out a
moment ago for a draft or kept since the quote was sent, so that both look alike and a sent quote reads nothing
but its own copy.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace
from decimal import Decimal

from django.utils.safestring import SafeString

from estimates.pricing.money import ZERO, format_money
from estimates.pricing.price import Amounts, Line, Priced, total_of
from estimates.quoting.frozen import Item, OfferText, panel_of, panel_words, read_price
from estimates.quoting.metal import blank_mass_kg
from estimates.quoting.strip import strip_svg
from jobs.drawings.scene import Scene
from jobs.drawings.strip import FOUR, hours_scale
from jobs.drawings.strip_scales import hours_axis
from jobs.pieces import piece_of
from shop.figures import counted, hours, hours_between
from shop.lengths import NO_BREAK

STAGE_WIDTH = 150.0  # pixels of a stage's strip in the result


@dataclass(frozen=True, slots=True)
class Row:
    """One priced line, written out: a quote has a hundred of them, and its page is drawn at every change.

    ``cost`` is the shop's own, before overhead and margin; ``price`` has both in it and is what the customer pays.
    ``was`` (hours) or ``was_price`` is what stood there before the owner's own figure.
    """

    key: str
    name: str
    made_of: str
    cost: str
    price: str
    was: str = ""
    was_price: str = ""
    reason: str = ""
    who: str = ""
    rests_on: str = ""
    slug: str = ""
    line: int | None = None

    @property
    def anchor(self) -> str:
        """Where on the page the line stands."""
        return self.key.replace(":", "")

    @property
    def is_changed(self) -> bool:
        return bool(self.reason)


@dataclass(frozen=True, slots=True)
class PanelRow:
    """One panel: its piece, its strip, what its range rests on, its rows and what they come to."""

    pk: int
    position: int
    name: str
    words: str
    piece: SafeString
    strip: SafeString
    low: float
    high: float
    rests_on: str
    rows: tuple[Row, ...]
    cost: str
    price: str
    blank: tuple[float, float]
    mass_kg: Decimal
    metal_from: str


@dataclass(frozen=True, slots=True)
class StageTotal:
    name: str
    low: float
    high: float
    strip: SafeString


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything the quote's page shows of hours and money."""

    panels: tuple[PanelRow, ...]
    bought: tuple[Row, ...]
    options: tuple[Row, ...]
    discounts: tuple[Row, ...]
    stages: tuple[StageTotal, ...]
    stage_axis: Scene
    axis: Scene
    low: float
    high: float
    n_past: int
    first_rates: tuple[str, ...]
    priced: Priced
    sums: dict[str, Decimal]

    @property
    def total(self) -> Amounts:
        return self.priced.total

    @property
    def tax_included(self) -> bool:
        return self.priced.inputs.terms.tax_included


def sheet_of(held: dict, priced: Priced | None = None, taken: Collection[str] = ()) -> Sheet:
    """The sheet of a quote written down; ``priced`` saves reading the price again where it is at hand."""
    priced = priced or read_price(held, taken)
    lines = {line.key: line for line in priced.lines}
    scale = hours_scale(*(panel["hours"]["p80"] for panel in held["panels"]))
    notes = {f"{line['key']}": line for line in held["lines"]}
    added = [line for line in priced.lines if line.key in notes]
    stages, stage_axis = _stage_totals(held)
    return Sheet(
        panels=tuple(_panel(panel, held, lines, priced, scale) for panel in held["panels"]),
        bought=tuple(_added(line, held, notes, priced) for line in added if not line.option and line.kind != "discount"),
        options=tuple(_added(line, held, notes, priced) for line in added if line.option),
        discounts=tuple(_added(line, held, notes, priced) for line in priced.discounts),
        stages=stages, stage_axis=stage_axis, axis=hours_axis(scale),
        low=held["hours"]["p50"], high=held["hours"]["p80"], n_past=held["model"]["n_past"],
        first_rates=_first_rates(held), priced=priced, sums=_sums(priced),
    )  # fmt: skip


def with_pieces(offer: OfferText) -> list[tuple[Item, SafeString]]:
    """The rows the customer reads, each with the pattern piece of its panel where it is one."""
    panels = {panel["part"]: panel for panel in offer.panels}
    return [
        (item, piece_of(panel_of(panels[item.key])) if item.key in panels else SafeString())
        for item in offer.items
    ]


def written(amounts: Amounts, priced: Priced) -> str:
    """A line's price in the terms the lines are shown in: with tax where prices include it."""
    terms = priced.inputs.terms
    return format_money(amounts.gross if terms.tax_included else amounts.net, terms.currency, decimals=True)


def written_cost(amounts: Amounts, priced: Priced) -> str:
    """What a line costs the shop itself, before overhead and margin; a discount costs nothing."""
    return format_money(amounts.cost, priced.inputs.terms.currency, decimals=True) if amounts.cost else ""


def _panel(panel: dict, held: dict, lines: dict[str, Line], priced: Priced, scale: float) -> PanelRow:
    spans = [(s["slug"], s["name"], s["hours"]["p50"], s["hours"]["p80"]) for s in panel["stages"]]
    low, high = panel["hours"]["p50"], panel["hours"]["p80"]
    rows = [_stage(stage, lines.get(stage["key"]), priced) for stage in panel["stages"]]
    for what in ("metal", "consumables"):
        if line := lines.get(f"panel-{panel['pk']}:{what}"):
            rows.append(_money_row(line, held, priced))
    strip = strip_svg(f"strip-{panel['pk']}", tuple(spans), low, high, scale)
    mine = [line for line in priced.lines if line.part == panel["part"] and not line.option]
    return PanelRow(
        pk=panel["pk"], position=panel["position"], name=panel["part"], words=panel_words(panel, held["shop"]["units"]),
        piece=piece_of(panel_of(panel)), strip=strip, low=low, high=high,
        rests_on=_panel_rests_on(panel), rows=tuple(rows),
        cost=written_cost(total_of(mine), priced), price=written(total_of(mine), priced),
        blank=(panel["blank_length_mm"], panel["blank_width_mm"]), mass_kg=blank_mass_kg(panel_of(panel)),
        metal_from=_metal_from(panel),
    )  # fmt: skip


def _metal_from(panel: dict) -> str:
    sheet = panel["sheet"]
    return f"{sheet['kind'].replace('whole', 'sheet')} {sheet['code']}" if sheet else "to be bought"


def _stage(stage: dict, line: Line | None, priced: Priced) -> Row:
    override, span = stage["override"], stage["hours"]
    nothing = "hours still to be said" if stage.get("unsaid") else "nothing to do"
    made_of = hours_between(span["p50"], span["p80"]) if span["p80"] else nothing
    if line is not None:
        made_of += f", priced {line.figures}"
    return Row(
        key=stage["key"], name=stage["name"], made_of=made_of, slug=stage["slug"],
        cost=written_cost(line.priced if line else Amounts(), priced),
        price=written(line.priced if line else Amounts(), priced),
        was=_was(stage) if override else "",
        reason=override["reason"] if override else "", who=override["who"] if override else "",
        rests_on=rests_on(stage),
    )  # fmt: skip


def _was(stage: dict) -> str:
    """What the model said where the owner says otherwise; nothing where it had nothing to say."""
    worked_out = stage["worked_out"]
    if not worked_out["p80"] and stage["slug"] not in FOUR:
        return ""
    return hours_between(worked_out["p50"], worked_out["p80"])


def rests_on(stage: dict) -> str:
    """What a stage's range rests on: how many past panels, and the most alike of them; nothing where there are none.

    That a line rests on first rates alone is said once for the whole quote, from :attr:`Sheet.first_rates`.
    """
    if not stage["n_past"]:
        return "" if _on_first_rates(stage) else stage["note"]
    words = counted(stage["n_past"], "past panel")
    near = next((one for one in stage["nearest"] if one["name"]), None)
    return f"{words}, nearest: {near['name']}, {hours(near['hours'])}{NO_BREAK}h" if near else words


def _panel_rests_on(panel: dict) -> str:
    """The words of the panel's longest stage: that is where most of its range comes from."""
    longest = max(panel["stages"], key=lambda stage: stage["hours"]["p50"], default=None)
    rests = rests_on(longest) if longest else ""
    return f"{longest['name']}: {rests}" if rests else ""


def _first_rates(held: dict) -> tuple[str, ...]:
    """The stages on the quote whose hours rest on first rates alone, in the order of the panels' stages."""
    stages = (stage for panel in held["panels"] for stage in panel["stages"])
    return tuple(dict.fromkeys(stage["name"] for stage in stages if _on_first_rates(stage)))


def _on_first_rates(stage: dict) -> bool:
    """Stages of the shop's own rest on the owner's word, and a stage with nothing to do on nothing."""
    return stage["slug"] in FOUR and not stage["n_past"] and bool(stage["worked_out"]["p80"])


def _money_row(line: Line, held: dict, priced: Priced) -> Row:
    note = held["overrides"].get(line.key)
    return Row(
        key=line.key, name=line.name, made_of=_in_words(line),
        cost=written_cost(line.priced, priced), price=written(line.priced, priced),
        was_price=written(line.reckoned, priced) if note else "",
        reason=note["reason"] if note else "", who=note["who"] if note else "",
    )  # fmt: skip


def _in_words(line: Line) -> str:
    """What a line is made of; consumables count by the hour, and a single purchase needs no count."""
    if line.kind == "consumable":
        return line.figures.replace(" at ", " h at ", 1)
    return f"costs {line.figures.removeprefix('1 at ')}" if line.figures.startswith("1 at ") else line.figures


def _added(line: Line, held: dict, notes: dict[str, dict], priced: Priced) -> Row:
    """A line the owner added: its own words, and the reason of a discount."""
    note, row = notes[line.key], _money_row(line, held, priced)
    return replace(row, name=note["label"], rests_on=note["reason"], line=int(line.key.removeprefix("line-")))


def _stage_totals(held: dict) -> tuple[tuple[StageTotal, ...], Scene]:
    """Each stage over all panels, on a scale of their own: 2, 5, 10, 20 hours and on by tens."""
    names = {stage["slug"]: stage["name"] for panel in held["panels"] for stage in panel["stages"]}
    # In the order of the panels' stages: a database may keep the keys of an object in an order of its own.
    spans = [
        (slug, name, held["stage_hours"][slug]["p50"], held["stage_hours"][slug]["p80"])
        for slug, name in names.items()
        if slug in held["stage_hours"]
    ]
    scale = hours_scale(*(high for *_, high in spans))
    totals = tuple(
        StageTotal(
            name, low, high,
            strip_svg(f"strip-{slug}", ((slug, name, low, high),), low, high, scale, width=STAGE_WIDTH, grid=False),
        )
        for slug, name, low, high in spans
    )  # fmt: skip
    return totals, hours_axis(scale, width=STAGE_WIDTH)


def _sums(priced: Priced) -> dict[str, Decimal]:
    """What the price is made of by kind, in direct cost: for the owner's eyes."""
    sums = {"labour": ZERO, "metal": ZERO, "consumable": ZERO, "bought_in": ZERO}
    for line in priced.counted:
        kind = "metal" if line.kind in {"whole_sheets", "part_of_sheet", "by_mass"} else line.kind
        if kind in sums:
            sums[kind] += line.priced.cost
    return sums
