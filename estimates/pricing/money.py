"""Money: one currency a shop, one rounding rule, one way to write it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from shop import figures
from shop.currencies import USUAL

MOST = Decimal(1_000_000_000)  # no line of a small shop comes near; beyond it a slip of the finger shows

ZERO = Decimal(0)


class Unpriceable(ValueError):
    """Something that no price can be made from; ``field`` names it, the text says what fits."""

    def __init__(self, field: str, text: str) -> None:
        self.field = field
        super().__init__(text)


@dataclass(frozen=True, slots=True)
class Currency:
    """A currency: its ISO 4217 code, the sign people write, how many decimals its minor unit has, and in which of
    ``shop.figures.MONEY_STYLES`` it is written."""

    code: str
    symbol: str
    decimals: int = 2
    style: str = figures.FIRST_STYLE

    def __post_init__(self) -> None:
        if not 0 <= self.decimals <= 4:
            raise Unpriceable("currency", f"A currency has 0 to 4 decimals, not {self.decimals}.")

    @property
    def unit(self) -> Decimal:
        """The smallest amount there is: 0.01 for two decimals, 1 for none."""
        return _UNITS[self.decimals]


_UNITS = tuple(Decimal(1).scaleb(-decimals) for decimals in range(5))

CURRENCIES: dict[str, Currency] = {
    code: Currency(code, usual.symbol, usual.decimals, usual.style) for code, usual in USUAL.items()
}


def round_money(amount: Decimal, currency: Currency) -> Decimal:
    """Round to the currency's minor unit, halves away from nought. The only place where money is rounded.

    >>> round_money(Decimal("2.345"), CURRENCIES["EUR"]), round_money(Decimal("-2.5"), CURRENCIES["JPY"])
    (Decimal('2.35'), Decimal('-3'))
    """
    rounded = amount.quantize(currency.unit, ROUND_HALF_UP)
    return rounded if rounded else abs(rounded)  # never minus nought


def format_money(amount: Decimal, currency: Currency, *, decimals: bool = False) -> str:
    """Write an amount with its sign, in the currency's style.

    A whole amount is written without decimals unless ``decimals`` asks for them, as columns of figures do.

    >>> format_money(Decimal("2545"), CURRENCIES["EUR"]) == "€\u00a02\u2009545"
    True
    >>> format_money(Decimal("2545.5"), CURRENCIES["EUR"]) == "€\u00a02\u2009545.50"
    True
    """
    rounded = round_money(amount, currency)
    whole = rounded == rounded.to_integral_value() and not decimals
    return figures.money(rounded, currency.symbol, 0 if whole else currency.decimals, currency.style)


def check_money(field: str, amount: Decimal, *, least: Decimal = ZERO) -> None:
    """Refuse an amount that is no Decimal, not finite, under ``least`` or over a thousand million."""
    if not isinstance(amount, Decimal):
        raise TypeError(f"{field} must be a Decimal, not {type(amount).__name__}.")
    if not amount.is_finite() or not least <= amount <= MOST:
        raise Unpriceable(field, f"{amount} does not fit. Write an amount from {least} to {MOST:,}.")


def check_percent(field: str, percent: Decimal, *, below: Decimal | None = None) -> None:
    """Refuse a percentage that is no Decimal, not finite, negative, over 1000, or not under ``below``."""
    if not isinstance(percent, Decimal):
        raise TypeError(f"{field} must be a Decimal, not {type(percent).__name__}.")
    if not percent.is_finite() or not 0 <= percent <= 1000 or (below is not None and percent >= below):
        fits = f"from 0 to under {below}" if below is not None else "from 0 to 1000"
        raise Unpriceable(field, f"{percent} % does not fit. Write a percentage {fits}.")
