"""The panel builder: everything that follows from a panel while it is being built, worked out afresh at each change."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property, partial

from django.utils import timezone

from estimates import hours
from estimates.builder.panel_price import PanelPrice, PanelRange, panel_hours, panel_price
from estimates.learning import own_stages, shop_model, stage_kinds
from estimates.pricing.money import Unpriceable
from jobs.drawings.cut_plan import Piece, cut_plan
from jobs.drawings.hours_bars import StageBar, hours_bars
from jobs.drawings.pattern import flat_pattern
from jobs.drawings.scene import Scene
from jobs.drawings.section import section
from jobs.drawings.shape import side_view
from jobs.drawings.strain import strain_plot
from jobs.forming import Work
from jobs.forming.along import Along, strain_along
from jobs.forming.errors import WriteLength
from jobs.models import Panel
from jobs.panel_facts import ROOMS, rule_over
from jobs.sheet_choice import Cut, cut_for
from shop.lengths import format_length
from shop.models import LabourRate, Person, SheetStock, Shop, StageKind
from shop.rates import rates_on

VIEW_PX, VIEW_HIGH_PX = 356.0, 240.0


@dataclass(frozen=True)
class Standing:
    """What every recomputation rests on: the shop, its stages, its history and, for the owner, its rates."""

    shop: Shop
    sees_price: bool
    on: date

    @classmethod
    def of(cls, shop: Shop, person: Person) -> "Standing":
        return cls(shop, person.is_owner, timezone.localdate())

    @cached_property
    def kinds(self) -> list[StageKind]:
        return stage_kinds()

    @cached_property
    def own_stages(self) -> list[StageKind]:
        return own_stages(self.kinds)

    @cached_property
    def model(self) -> hours.Model:
        return shop_model(self.shop, self.on, self.kinds)

    @cached_property
    def rates(self) -> dict[int, LabourRate]:
        return rates_on(self.on)

    @property
    def write(self) -> WriteLength:
        return partial(format_length, units=self.shop.units)

    @property
    def write_bare(self) -> WriteLength:
        """Lengths without their unit, for drawings whose rule says it."""
        return partial(format_length, units=self.shop.units, with_unit=False)


@dataclass(frozen=True, slots=True)
class Hung:
    """The flat pattern for a desk or a phone, and the rule over it at its scale."""

    room: str
    rule: Scene
    pattern: Scene


@dataclass(frozen=True, slots=True)
class Drawings:
    """The drawing: the pattern under its rule, in each room, and two views at scales of their own."""

    hung: tuple[Hung, ...]
    section: Scene
    side: Scene


@dataclass(frozen=True, slots=True)
class Reckoned:
    """All that follows from a panel. Hours are missing where ``hours_refusal`` says why, the price likewise."""

    panel: Panel
    work: Work
    count: int
    along: Along | None
    cut: Cut
    hours: PanelRange | None
    hours_refusal: str
    price: PanelPrice | None
    price_refusal: str


def reckon(panel: Panel, work: Work, count: int, standing: Standing) -> Reckoned:
    """Work out metal, hours and, for those who may see it, the price of ``count`` hands of a panel."""
    cut = cut_for(panel, count, list(SheetStock.objects.filter(metal=panel.metal_id)), standing.shop.units)
    spent, hours_refusal = _hours(panel, count, standing)
    money, price_refusal = _price(spent, cut, standing) if standing.sees_price and spent else (None, "")
    return Reckoned(
        panel,
        work,
        count,
        strain_along(work),
        cut,
        spent,
        hours_refusal,
        money,
        price_refusal or hours_refusal,
    )


def _hours(panel: Panel, count: int, standing: Standing) -> tuple[PanelRange | None, str]:
    try:
        return panel_hours(panel, count, standing.model, standing.kinds), ""
    except hours.UnusableDrivers:
        return None, "The panel is larger than anything hours can be told for."


def _price(spent: PanelRange, cut: Cut, standing: Standing) -> tuple[PanelPrice | None, str]:
    sheet = cut.stock if cut.stock and cut.stock.cost else None
    try:
        return panel_price(spent, sheet, standing.rates, standing.shop, standing.on), ""
    except (Unpriceable, ValueError) as error:
        return None, str(error)


def draw(reckoned: Reckoned, standing: Standing, highlight: str | None = None) -> Drawings:
    """Draw a panel; ``highlight`` names the dimension being edited, which is drawn thick."""
    work, write = reckoned.work, standing.write_bare
    look = {"write_length": write, "mirrored": reckoned.panel.is_mirrored, "highlight": highlight}
    return Drawings(
        tuple(_hung(room, reckoned, standing, look) for room in ROOMS),
        section(work, width=VIEW_PX, height=VIEW_HIGH_PX, **look),
        side_view(work, width=VIEW_PX, height=VIEW_HIGH_PX, **look),
    )


def _hung(room: str, reckoned: Reckoned, standing: Standing, look: dict[str, object]) -> Hung:
    work, width, hand = reckoned.work, ROOMS[room], reckoned.panel.hand_word
    pattern = flat_pattern(work, width=width, hand=hand, **look)
    # The rule is laid over the trim line, which has another look while it is being edited itself.
    plain = (
        flat_pattern(work, width=width, **{**look, "highlight": None})
        if look["highlight"] == "trim_mm"
        else pattern
    )
    return Hung(room, rule_over(plain, work, standing.shop.units), pattern)


def draw_strain(reckoned: Reckoned) -> Scene | None:
    """The strain along the section against the metal's elongation; nothing for a form that is only bent."""
    along = reckoned.along
    return strain_plot(along, limit=reckoned.panel.metal.elongation) if along and along.largest else None


def draw_hours(reckoned: Reckoned) -> Scene | None:
    """A bar for each stage whose hours are known."""
    if reckoned.hours is None:
        return None
    known = [stage for stage in reckoned.hours.stages if not stage.unsaid]
    return hours_bars([StageBar(s.kind.slug, s.kind.name, s.low, s.high) for s in known])


def draw_cut(reckoned: Reckoned, standing: Standing) -> Scene | None:
    """The sheet with the blanks on it; nothing where they fit on none."""
    if not reckoned.cut.sheets:
        return None
    sheet, drop = reckoned.cut.sheets[-1], reckoned.cut.drop
    blanks = [Piece(r.x, r.y, r.length_mm, r.width_mm) for _, r in sheet.placed]
    left = Piece(drop.x, drop.y, drop.length_mm, drop.width_mm) if drop else None
    return cut_plan((sheet.length_mm, sheet.width_mm), blanks, left, write_length=standing.write_bare)
