"""Earned value: what was planned, what is done and what it cost, in the field's own terms.

    CV = EV − AC      SV = EV − PV      CPI = EV / AC      SPI = EV / PV
    EAC = BAC / CPI                      what is left goes as what is done went
    EAC = AC + (BAC − EV)                what is left goes to plan
    EAC = AC + (BAC − EV) / (CPI × SPI)  what is left goes as it went, and the lost time is bought back
    ETC = EAC − AC    VAC = BAC − EAC    TCPI = (BAC − EV) / (BAC − AC) or (BAC − EV) / (EAC − AC)

Everything is exact (fractions); round only what is shown. A figure that would divide by nought is ``None``, and
:attr:`EarnedValue.undefined` says why.

Sources: the formulas as published in earned value formula cards and in the reference pages of an open library of
project risk analysis (third EAC, both TCPI); worked examples in tests/reference/test_earned_value.py.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

Amount = int | Decimal | Fraction


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work: its budget, how much of it should be done by now and how much is, and what it cost.

    ``planned`` and ``done`` are fractions from 0 to 1. Money or hours, as long as all pieces use the same.
    """

    budget: Amount
    planned: Amount
    done: Amount
    spent: Amount


@dataclass(frozen=True, slots=True)
class EarnedValue:
    """PV, EV, AC and BAC, and all that follows from them.

    Raises ``ValueError`` for a negative or endless amount, and where more is planned or done than there is.
    """

    pv: Fraction
    ev: Fraction
    ac: Fraction
    bac: Fraction

    def __post_init__(self) -> None:
        for name, amount in (("PV", self.pv), ("EV", self.ev), ("AC", self.ac), ("BAC", self.bac)):
            if amount < 0:
                raise ValueError(f"{name} cannot be under nought.")
        if max(self.pv, self.ev) > self.bac:
            raise ValueError("More is planned or done than the whole budget: PV and EV are at most BAC.")

    @property
    def cv(self) -> Fraction:
        """Cost variance; under nought is over cost."""
        return self.ev - self.ac

    @property
    def sv(self) -> Fraction:
        """Schedule variance; under nought is behind."""
        return self.ev - self.pv

    @property
    def cpi(self) -> Fraction | None:
        """Cost performance index; under 1 is over cost."""
        return _ratio(self.ev, self.ac)

    @property
    def spi(self) -> Fraction | None:
        """Schedule performance index; under 1 is behind."""
        return _ratio(self.ev, self.pv)

    @property
    def eac(self) -> Fraction | None:
        """Estimate at completion if the rest goes as it has gone: BAC / CPI."""
        return _ratio(self.bac, self.cpi)

    @property
    def eac_to_plan(self) -> Fraction:
        """Estimate at completion if the rest goes to plan: AC + (BAC − EV)."""
        return self.ac + self.bac - self.ev

    @property
    def eac_in_time(self) -> Fraction | None:
        """Estimate at completion if the lost time is to be made good: AC + (BAC − EV) / (CPI × SPI)."""
        if self.cpi is None or self.spi is None:
            return None
        rest = _ratio(self.bac - self.ev, self.cpi * self.spi)
        return None if rest is None else self.ac + rest

    @property
    def etc(self) -> Fraction | None:
        """Estimate to complete: EAC − AC."""
        return None if self.eac is None else self.eac - self.ac

    @property
    def vac(self) -> Fraction | None:
        """Variance at completion: BAC − EAC; under nought is over budget."""
        return None if self.eac is None else self.bac - self.eac

    @property
    def tcpi(self) -> Fraction | None:
        """Index the rest must be worked at to finish within BAC; no number once the budget is spent."""
        return _ratio(self.bac - self.ev, self.bac - self.ac) if self.ac < self.bac else None

    def tcpi_for(self, eac: Amount) -> Fraction | None:
        """Return the index the rest must be worked at to finish within another figure."""
        left = Fraction(eac) - self.ac
        return _ratio(self.bac - self.ev, left) if left > 0 else None

    @property
    def undefined(self) -> dict[str, str]:
        """Why the figures that are ``None`` have no value, by the figure's name."""
        reasons = {
            "cpi": "nothing has been spent yet",
            "spi": "nothing was planned to be done yet",
            "eac": "nothing has been earned or spent yet",
            "eac_in_time": "nothing has been earned, spent or planned yet",
            "etc": "nothing has been earned or spent yet",
            "vac": "nothing has been earned or spent yet",
            "tcpi": "the budget is spent",
        }
        return {name: reason for name, reason in reasons.items() if getattr(self, name) is None}


def earned_value(*, pv: Amount, ev: Amount, ac: Amount, bac: Amount) -> EarnedValue:
    """Take stock from the four amounts, all in money or all in hours.

    >>> state = earned_value(pv=3000, ev=2500, ac=2800, bac=4000)
    >>> state.cv, state.eac, f"{float(state.cpi):.3f}"
    (Fraction(-300, 1), Fraction(4480, 1), '0.893')
    """
    return EarnedValue(_exact(pv), _exact(ev), _exact(ac), _exact(bac))


def of_work(pieces: Iterable[Work]) -> EarnedValue:
    """Take stock of several pieces of work together.

    Raises ``ValueError`` where a share planned or done is not between 0 and 1.
    """
    pv = ev = ac = bac = Fraction(0)
    for piece in pieces:
        planned, done, budget = _exact(piece.planned), _exact(piece.done), _exact(piece.budget)
        if not (0 <= planned <= 1 and 0 <= done <= 1):
            raise ValueError("What is planned and what is done are shares from 0 to 1.")
        pv, ev, ac, bac = pv + planned * budget, ev + done * budget, ac + _exact(piece.spent), bac + budget
    return EarnedValue(pv, ev, ac, bac)


def _exact(amount: Amount) -> Fraction:
    if isinstance(amount, float):
        raise TypeError("Earned value is exact: give it int, Decimal or Fraction, not float.")
    if isinstance(amount, Decimal) and not amount.is_finite():
        raise ValueError(f"{amount} is no amount.")
    return Fraction(amount)


def _ratio(top: Fraction, bottom: Fraction | None) -> Fraction | None:
    return top / bottom if bottom else None
