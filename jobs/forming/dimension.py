"""What a form asks the person to type, and the first refusals of what they typed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from jobs.forming.errors import LONGEST_MM, SHORTEST_MM, ImpossibleShape

Kind = Literal["length", "angle", "number", "choice", "flag", "lengths"]
Value = float | str | bool | tuple[float, ...] | None

FULL_TURN_RAD = math.tau * (1 + 1e-12)  # 360 degrees survives its own conversion to radians


@dataclass(frozen=True, slots=True)
class Dimension:
    """One dimension of a form: enough for a page to make its field and for a command to make its option.

    Parameters
    ----------
    name
        The attribute of the form, with its unit (``depth_mm``, ``turn_rad``).
    option
        The name on a command line, without dashes and without its unit.
    kind
        ``length`` (mm), ``angle`` (rad), ``number``, ``choice``, ``flag`` or ``lengths`` (several, mm).
    default
        Taken when nothing is given; a required dimension has none.
    choices
        Pairs of stored value and words for ``choice``.
    example
        A figure that makes a sensible panel together with the other examples of its form.
    """

    name: str
    option: str
    label: str
    kind: Kind
    example: Value
    default: Value = None
    choices: tuple[tuple[str, str], ...] = ()
    help: str = ""
    required: bool = True
    may_be_zero: bool = False

    def check(self, value: object) -> None:
        """Raise ``ImpossibleShape`` unless ``value`` is of this kind and within reason."""
        if value is None and not self.required:
            return
        _CHECKS[self.kind](self, value)


def check_length(field: str, label: str, value: object, *, may_be_zero: bool = False) -> None:
    """Raise ``ImpossibleShape`` unless ``value`` is a length between a thousandth of a millimetre and 100 m.

    >>> check_length("depth_mm", "Depth", -3.0)
    Traceback (most recent call last):
        ...
    jobs.forming.errors.ImpossibleShape: Depth must be more than 0: -3 mm is not.
    """
    length_mm = check_number(field, label, value)
    if may_be_zero and length_mm == 0:
        return
    if length_mm <= 0:
        wanted = "0 or more" if may_be_zero else "more than 0"
        raise ImpossibleShape(field, f"{label} must be {wanted}: {{given}} is not.", given=length_mm)
    if length_mm < SHORTEST_MM:
        fits = "make it more, or 0 for none" if may_be_zero else "make it more"
        raise ImpossibleShape(
            field, f"{label} is less than a thousandth of a millimetre, the least there is: {fits}."
        )
    if length_mm > LONGEST_MM:
        raise ImpossibleShape(field, f"{label} must be at most {{most}}.", most=LONGEST_MM)


def check_number(field: str, label: str, value: object) -> float:
    """Return ``value`` as a float, or raise ``ImpossibleShape`` where it is no finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ImpossibleShape(field, f"{label} must be a number.")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ImpossibleShape(field, f"{label} must be a finite number.")
    return number


def _check_one_length(dimension: Dimension, value: object) -> None:
    check_length(dimension.name, dimension.label, value, may_be_zero=dimension.may_be_zero)


def _check_angle(dimension: Dimension, value: object) -> None:
    angle_rad = check_number(dimension.name, dimension.label, value)
    if not 0 < angle_rad <= FULL_TURN_RAD:
        raise ImpossibleShape(
            dimension.name,
            f"{dimension.label} must be more than 0 and at most 360 degrees: "
            f"{math.degrees(angle_rad):.4g} is not.",
        )
    if angle_rad < 1e-4:
        raise ImpossibleShape(
            dimension.name,
            f"{dimension.label} is too small to mark or to measure: make it at least 0.01 degrees.",
        )


def _check_any_number(dimension: Dimension, value: object) -> None:
    check_number(dimension.name, dimension.label, value)


def _check_choice(dimension: Dimension, value: object) -> None:
    if value not in [stored for stored, _ in dimension.choices]:
        wanted = ", ".join(stored for stored, _ in dimension.choices)
        raise ImpossibleShape(dimension.name, f"{dimension.label} must be one of: {wanted}.")


def _check_flag(dimension: Dimension, value: object) -> None:
    if not isinstance(value, bool):
        raise ImpossibleShape(dimension.name, f"{dimension.label} must be yes or no.")


def _check_lengths(dimension: Dimension, value: object) -> None:
    if not isinstance(value, tuple) or not value:
        raise ImpossibleShape(dimension.name, f"{dimension.label} must be one or more lengths.")
    if len(value) > 50:
        raise ImpossibleShape(dimension.name, f"{dimension.label}: at most 50 can be given.")
    for length_mm in value:
        _check_one_length(dimension, length_mm)


_CHECKS = {
    "length": _check_one_length,
    "angle": _check_angle,
    "number": _check_any_number,
    "choice": _check_choice,
    "flag": _check_flag,
    "lengths": _check_lengths,
}
