"""The forms by name, and the way between a form and the plain values that are stored for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jobs.forming.arch import Arch
from jobs.forming.crown import Crown
from jobs.forming.dome import Dome
from jobs.forming.errors import ImpossibleShape
from jobs.forming.fold import Fold
from jobs.forming.form import Form
from jobs.forming.roll import Roll
from jobs.forming.sweep import Sweep
from jobs.forming.tray import Tray

FORMS: dict[str, type[Form]] = {form.name: form for form in (Arch, Sweep, Tray, Crown, Dome, Roll, Fold)}


def build(form_name: str, given: Mapping[str, object]) -> Form:
    """Return the form with these values (mm, rad), or raise ``ImpossibleShape`` saying what is wrong.

    >>> build("arch", {"outside_radius_mm": 300})
    Traceback (most recent call last):
        ...
    jobs.forming.errors.ImpossibleShape: Turn is missing.
    """
    if form_name not in FORMS:
        raise ImpossibleShape("form", f"There is no form of this name; there are {', '.join(FORMS)}.")
    form = FORMS[form_name]
    known = {dimension.name: dimension for dimension in form.dimensions}
    for name in given:
        if name not in known:
            raise ImpossibleShape("form", f"{form.label} has no such dimension; it has {', '.join(known)}.")
    taken: dict[str, Any] = {}
    for name, dimension in known.items():
        value = given.get(name, dimension.default)
        if value is None and dimension.required:
            raise ImpossibleShape(name, f"{dimension.label} is missing.")
        taken[name] = tuple(value) if isinstance(value, list) else value
    return form(**taken)


def values(form: Form) -> dict[str, Any]:
    """Return the values of a form as JSON can hold them; ``build`` takes them back.

    >>> values(build("arch", {each.name: each.example for each in Arch.dimensions}))["depth_mm"]
    75.0
    """
    plain = {dimension.name: getattr(form, dimension.name) for dimension in form.dimensions}
    return {name: list(value) if isinstance(value, tuple) else value for name, value in plain.items()}
