"""What is usual for a currency: its sign, its decimals, how amounts of it are written, what the tax is called.

A new book starts with these; its owner may write something else. Codes and decimals are those of ISO 4217; signs,
writing and taxes are common practice, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shop.figures import FIRST_STYLE


@dataclass(frozen=True, slots=True)
class Usual:
    """What is usual for one currency; ``style`` is a key of ``shop.figures.MONEY_STYLES``."""

    symbol: str
    decimals: int = 2
    style: str = FIRST_STYLE
    tax_name: str = "VAT"


USUAL: Final = {
    "AUD": Usual("A$", style="sign-comma", tax_name="GST"),
    "CAD": Usual("C$", style="sign-comma", tax_name="GST"),
    "CHF": Usual("CHF", style="sign-apostrophe"),
    "CLP": Usual("CLP", 0, "sign-dot", "IVA"),
    "CZK": Usual("Kč", style="space-comma-sign", tax_name="DPH"),
    "DKK": Usual("DKK", style="dot-sign", tax_name="Moms"),
    "EUR": Usual("€"),
    "GBP": Usual("£", style="sign-comma"),
    "HUF": Usual("Ft", style="space-comma-sign", tax_name="ÁFA"),
    "ISK": Usual("ISK", 0, "dot-sign"),
    "JPY": Usual("¥", 0, "sign-comma", "Consumption tax"),
    "KRW": Usual("₩", 0, "sign-comma"),
    "KWD": Usual("KWD", 3, "sign-comma"),
    "NOK": Usual("NOK", style="space-comma-sign", tax_name="MVA"),
    "NZD": Usual("NZ$", style="sign-comma", tax_name="GST"),
    "PLN": Usual("zł", style="space-comma-sign"),
    "SEK": Usual("SEK", style="space-comma-sign", tax_name="Moms"),
    "USD": Usual("$", style="sign-comma", tax_name="Sales tax"),
    "ZAR": Usual("R"),
}


def usual_for(code: str) -> Usual:
    """What is usual for a currency; for one that is not in the table its code stands for its sign.

    >>> usual_for("USD").tax_name, usual_for("XYZ").symbol
    ('Sales tax', 'XYZ')
    """
    return USUAL.get(code) or Usual(code)
