"""The price of a quote: every line rounded once, every total the sum of its lines.

How a line's price comes about, from its exact direct cost ``c``::

    with overhead   c × (1 + overhead)
    net price       c × (1 + overhead) / (1 − margin)          margin is a share of the net price, not of cost
    tax on top      net is rounded, tax = net × rate is rounded, gross is their sum
    tax included    gross = net price × (1 + rate) is rounded, its tax part is rounded, net is the rest

Each figure is rounded once, by :func:`estimates.pricing.money.round_money`, and nothing rounded is ever
multiplied again, except by tax and discount, which are shares of what the customer reads.

Labour is reckoned three times: at the hours of P50, at those of the shop's confidence (the price), and at those
of P80. What lies between P50 and the price is the contingency; it is the owner's to see.

Discounts come after the lines that always count, one after another, each on what the one before left.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from estimates.pricing.entries import LEVELS, Discount, Entry, Labour, Level, Override
from estimates.pricing.inputs import Inputs, Terms
from estimates.pricing.money import MOST, ZERO, Currency, Unpriceable, format_money, round_money


@dataclass(frozen=True, slots=True)
class Amounts:
    """One line, or the sum of several: direct cost, overhead and margin make net; net and tax make gross."""

    cost: Decimal = ZERO
    overhead: Decimal = ZERO
    margin: Decimal = ZERO
    net: Decimal = ZERO
    tax: Decimal = ZERO
    gross: Decimal = ZERO

    def __add__(self, other: Amounts) -> Amounts:
        return Amounts(
            self.cost + other.cost,
            self.overhead + other.overhead,
            self.margin + other.margin,
            self.net + other.net,
            self.tax + other.tax,
            self.gross + other.gross,
        )

    @property
    def margin_percent(self) -> Decimal | None:
        """Margin as a percentage of the net price, to 0.1; ``None`` where there is no price."""
        return (self.margin / self.net * 100).quantize(Decimal("0.1")) if self.net else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A priced line. ``reckoned`` is what it comes to without the owner's own price or hours."""

    key: str
    kind: str
    name: str
    figures: str
    part: str
    option: str
    p50: Amounts
    priced: Amounts
    p80: Amounts
    reckoned: Amounts
    override: Override | None = None

    def at(self, level: Level) -> Amounts:
        """Return the amounts at one of the three levels."""
        return {"p50": self.p50, "priced": self.priced, "p80": self.p80}[level]


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """A price with all it was made from: what a sent quote keeps."""

    inputs: Inputs
    lines: tuple[Line, ...]

    @property
    def counted(self) -> tuple[Line, ...]:
        """The lines in the total: those without an option, and those of the options taken."""
        return tuple(line for line in self.lines if not line.option or line.option in self.inputs.taken)

    @property
    def parts(self) -> dict[str, Amounts]:
        """What the customer reads: each part's lines as one sum, without options and discounts."""
        always = [line for line in self.lines if not line.option and line.kind != Discount.kind]
        names = dict.fromkeys(line.part for line in always)
        return {name: total_of(line for line in always if line.part == name) for name in names}

    @property
    def discounts(self) -> tuple[Line, ...]:
        """The discount lines, in the order they were taken off."""
        return tuple(line for line in self.lines if line.kind == Discount.kind)

    @property
    def options(self) -> dict[str, Amounts]:
        """What each option adds, taken or not, in the order of the lines."""
        names = dict.fromkeys(line.option for line in self.lines if line.option)
        return {name: total_of(line for line in self.lines if line.option == name) for name in names}

    @property
    def total(self) -> Amounts:
        """The price, at the shop's confidence."""
        return total_of(self.counted)

    @property
    def low(self) -> Amounts:
        """What the price would be at the middle of the hours (P50)."""
        return total_of(self.counted, "p50")

    @property
    def high(self) -> Amounts:
        """What the price would be at the high end of the hours (P80)."""
        return total_of(self.counted, "p80")

    @property
    def contingency(self) -> Decimal:
        """Net price at the shop's confidence over net price at P50: for the owner's eyes only."""
        return self.total.net - self.low.net

    @property
    def shown_total(self) -> Decimal:
        """The total in the terms the lines are shown in: with tax where prices include it."""
        return self.total.gross if self.inputs.terms.tax_included else self.total.net

    @property
    def deposit(self) -> Decimal:
        """What is asked for at acceptance: a share of the gross price."""
        terms = self.inputs.terms
        return round_money(self.total.gross * terms.deposit_percent / 100, terms.currency)

    def with_options(self, taken: Collection[str]) -> Priced:
        """Return the same price with other options taken; no line changes. Unknown options are refused."""
        return replace(self, inputs=replace(self.inputs, taken=tuple(sorted(taken))))


def price(inputs: Inputs) -> Priced:
    """Price a quote; the module's text says by which rules.

    Raises :class:`Unpriceable` where an owner's price has more decimals than the currency, the hours of a line
    without hours are changed, a line comes to more than a thousand million, or discounts come to more than the
    lines they are taken from.
    """
    lines = [_line(entry, inputs.terms) for entry in inputs.entries]
    for discount in inputs.discounts:
        lines.append(_discount_line(discount, [line for line in lines if not line.option], inputs.terms))
    return Priced(inputs=inputs, lines=tuple(lines))


def shown_price(cost: Decimal, terms: Terms) -> Decimal:
    """Return what the customer reads for a direct cost: overhead and margin in it, tax where prices include it."""
    amounts = _from_cost(cost, terms)
    return amounts.gross if terms.tax_included else amounts.net


def taxed(shown: Decimal, terms: Terms) -> Amounts:
    """Return net, tax and gross of a rounded amount in the customer's terms; what it cost is left at nought."""
    net, tax = _net_and_tax(shown, terms)
    return Amounts(net=net, tax=tax, gross=net + tax)


def total_of(lines: Iterable[Line], level: Level = "priced") -> Amounts:
    """Return the sum of lines, figure by figure."""
    return sum((line.at(level) for line in lines), Amounts())


def _check_decimals(field: str, amount: Decimal, currency: Currency) -> None:
    if round_money(amount, currency) != amount:
        raise Unpriceable(
            field, f"{amount} has more decimals than {currency.code} has ({currency.decimals})."
        )


def _line(entry: Entry, terms: Terms) -> Line:
    """Price one entry at the three levels; most cost the same at several of them and are reckoned once."""
    override = entry.override
    if override and override.hours is not None and not isinstance(entry, Labour):
        raise Unpriceable("hours", f"“{entry.name}” has no hours to change. Change its price.")
    plain = (replace(entry, override=None) if override else entry).cost("priced")
    reckoned = _from_cost(plain, terms)
    if override and override.price is not None:
        p50 = priced = p80 = _from_price(override.price, reckoned, terms)
    else:
        costs = [entry.cost(level) for level in LEVELS]
        known = {plain: reckoned} | {cost: _from_cost(cost, terms) for cost in {*costs} - {plain}}
        p50, priced, p80 = (known[cost] for cost in costs)
    return Line(
        key=entry.key, kind=entry.kind, name=entry.name, figures=entry.figures(terms.currency),
        part=entry.part, option=entry.option, p50=p50, priced=priced, p80=p80, reckoned=reckoned, override=override,
    )  # fmt: skip


def _from_cost(cost: Decimal, terms: Terms) -> Amounts:
    """Add overhead, margin and tax to an exact direct cost."""
    with_overhead = cost * (1 + terms.overhead_percent / 100)
    net = with_overhead / (1 - terms.margin_percent / 100)
    shown = net * (1 + terms.tax_rate) if terms.tax_included else net
    return _amounts(cost, with_overhead, shown, terms)


def _from_price(shown: Decimal, reckoned: Amounts, terms: Terms) -> Amounts:
    """Keep cost and overhead of a line and let the owner's price decide its margin."""
    _check_decimals("price", shown, terms.currency)
    return _amounts(reckoned.cost, reckoned.cost + reckoned.overhead, shown, terms)


def _amounts(cost: Decimal, with_overhead: Decimal, shown: Decimal, terms: Terms) -> Amounts:
    """Round each figure once; what is left between rounded figures is overhead and margin."""
    if max(with_overhead, shown) > MOST:
        raise Unpriceable("price", f"A line comes to more than {MOST:,}. Check its figures and the margin.")
    cost, with_overhead, shown = (
        round_money(amount, terms.currency) for amount in (cost, with_overhead, shown)
    )
    net, tax = _net_and_tax(shown, terms)
    return Amounts(cost, with_overhead - cost, net - with_overhead, net, tax, net + tax)


def _net_and_tax(shown: Decimal, terms: Terms) -> tuple[Decimal, Decimal]:
    """Split a rounded amount in the customer's terms into net and tax."""
    if terms.tax_included:
        tax = round_money(shown * terms.tax_rate / (1 + terms.tax_rate), terms.currency)
        return shown - tax, tax
    return shown, round_money(shown * terms.tax_rate, terms.currency)


def _discount_line(discount: Discount, before: list[Line], terms: Terms) -> Line:
    """Price one discount on the lines before it, at the three levels."""
    p50, priced, p80 = (discount_amounts(discount, total_of(before, level), terms) for level in LEVELS)
    if discount.percent is not None:
        figures = f"{discount.percent:f} %"
    else:
        figures = format_money(discount.amount or ZERO, terms.currency)
    return Line(
        key=discount.key, kind=discount.kind, name=discount.reason, figures=figures, part="", option="",
        p50=p50, priced=priced, p80=p80, reckoned=priced,
    )  # fmt: skip


def discount_amounts(discount: Discount, before: Amounts, terms: Terms) -> Amounts:
    """Take a discount off a sum, tax in proportion, so that a discount of everything leaves nothing at all."""
    shown_before = before.gross if terms.tax_included else before.net
    if discount.percent is not None:
        shown, share = shown_before * discount.percent / 100, discount.percent / 100
    else:
        shown = discount.amount or ZERO
        _check_decimals("amount", shown, terms.currency)
        if shown > shown_before:
            left = format_money(shown_before, terms.currency)
            raise Unpriceable(
                "amount", f"The discount “{discount.reason}” is more than the {left} it is taken from."
            )
        share = shown / shown_before if shown_before else ZERO
    shown, tax = round_money(shown, terms.currency), round_money(before.tax * share, terms.currency)
    net = shown - tax if terms.tax_included else shown
    return Amounts(margin=-net, net=-net, tax=-tax, gross=-net - tax)
