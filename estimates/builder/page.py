"""One pass of the builder: read what was typed, work it out, and set it against what stood there before."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from django.core import signing

from estimates.builder.figures import (
    Change,
    Figure,
    Kept,
    changes_between,
    dimension_edited,
    figures_of,
    numbers_of,
    sentence,
)
from estimates.builder.reckoning import (
    Drawings,
    Reckoned,
    Standing,
    draw,
    draw_cut,
    draw_hours,
    draw_strain,
    reckon,
)
from jobs.drawings.scene import Scene
from jobs.forms.panel import PanelForm, is_paired, metals_to_choose
from jobs.forms.panel_texts import starting_texts, texts_of
from jobs.models import Job, Panel
from jobs.panels import panel_before
from shop.codes import new_code

SALT = "panel-builder-page"
DELAY = "150ms"
CELLS = {
    "blank": ("blank", "blank mass", "mass", "allowance"),
    "gather": ("angle", "strain", "take-up", "thickest", "thinnest", "passes"),
    "hours": ("hours",),
    "price": ("price",),
}


@dataclass(frozen=True, slots=True)
class Press:
    """What a page was made for: the code that its panel will have, or when the panel had last changed."""

    code: str
    seen: str

    @classmethod
    def fresh(cls, panel: Panel | None) -> "Press":
        return cls(new_code(), panel.changed_at.isoformat() if panel else "")

    def signed(self) -> str:
        return signing.dumps([self.code, self.seen], salt=SALT)

    @classmethod
    def read(cls, text: str | None) -> "Press | None":
        try:
            return cls(*signing.loads(text or "", salt=SALT))
        except (signing.BadSignature, TypeError):
            return None


@dataclass(frozen=True)
class BuilderPage:
    """All that the builder shows. ``stale`` says that the drawing is of the last shape that could be made."""

    form: PanelForm
    standing: Standing
    press: Press
    reckoned: Reckoned | None
    stale: bool
    before: Kept | None
    now: Kept | None
    changes: tuple[Change, ...] = ()
    figures: dict[str, Figure] | None = None
    said: str = ""
    edited: str = ""

    @cached_property
    def drawings(self) -> Drawings | None:
        if self.reckoned is None:
            return None
        named = self.edited or (self.changes[0].field if len(self.changes) == 1 else "")
        highlight = None if self.stale else dimension_edited(self.form, named)
        return draw(self.reckoned, self.standing, highlight)

    @cached_property
    def cells(self) -> dict[str, list[Figure]]:
        """The figures by the cell of the strip that they stand in."""
        found = self.figures or {}
        return {cell: [found[key] for key in keys if key in found] for cell, keys in CELLS.items()}

    @cached_property
    def strain(self) -> Scene | None:
        return draw_strain(self.reckoned) if self.reckoned else None

    @cached_property
    def bars(self) -> Scene | None:
        return draw_hours(self.reckoned) if self.reckoned else None

    @cached_property
    def cut(self) -> Scene | None:
        return draw_cut(self.reckoned, self.standing) if self.reckoned else None

    @cached_property
    def was(self) -> dict[str, str]:
        """What each changed field said before, by its name."""
        return {change.field: change.old for change in self.changes}

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        if self.reckoned is None:
            return ()
        return tuple(warning.say(self.standing.write) for warning in self.reckoned.work.warnings)


def opened(job: Job, panel: Panel | None, standing: Standing, form_name: str = "") -> BuilderPage | None:
    """The page as it opens: a stored panel, or a new one that can be made. Nothing where no metal is stored."""
    metals = metals_to_choose(panel)
    if not metals:
        return None
    texts = (
        texts_of(panel, standing.shop)
        if panel
        else starting_texts(standing.shop, metals, form_name, standing.own_stages, panel_before(job))
    )
    return _page(texts, job, panel, standing, metals, saving=False, edited="")


def changed(
    data: Mapping[str, str], job: Job, panel: Panel | None, standing: Standing, *, saving: bool = False,
    undo: bool = False, edited: str = "",
) -> BuilderPage | None:  # fmt: skip
    """The page after something was typed; ``undo`` puts back what stood there before the change."""
    metals = metals_to_choose(panel)
    if not metals:
        return None
    typed = dict(data.items())
    before = Kept.read(typed.get("before"))
    if undo and before:
        typed |= before.texts | {"now": typed["before"]}
    return _page(typed, job, panel, standing, metals, saving=saving, edited=edited)


def _page(typed, job, panel, standing, metals, *, saving, edited) -> BuilderPage:
    before, last = Kept.read(typed.get("before")), Kept.read(typed.get("now"))
    press = Press.read(typed.get("press")) or Press.fresh(panel)
    common = {
        "shop": standing.shop, "metals": metals, "job": job, "panel": panel, "own_stages": standing.own_stages,
    }  # fmt: skip
    form = PanelForm(typed, filled=last.fill if last else None, saving=saving, **common)
    _go_live(form)
    form.is_valid()
    if form.built is None:
        good = PanelForm(last.texts, **common) if last else None
        shown = _reckoned(good, standing) if good and good.is_valid() else None
        figures = figures_of(shown, standing.shop) if shown else None
        touched = tuple(changes_between(before, form.texts, form.fill, form)) if before else ()
        return BuilderPage(
            form, standing, press, shown, True, before, last, touched, figures, _mend(form), edited
        )
    reckoned = _reckoned(form, standing)
    figures = figures_of(reckoned, standing.shop)
    plain = {key: f"{one.value} {one.unit}".strip() for key, one in figures.items()}
    now = Kept(form.texts, plain, numbers_of(reckoned), form.fill)
    before = _before(before, last, now, form, rolling=panel is None)
    changes = tuple(changes_between(before, now.texts, now.fill, form))
    if changes:
        figures = {key: replace(one, was=_was(one, before.figures.get(key))) for key, one in figures.items()}
    where = figures["strain"].name if "strain" in figures else ""
    said = sentence(changes, before.numbers, now.numbers, where, standing.shop)
    return BuilderPage(form, standing, press, reckoned, False, before, now, changes, figures, said, edited)


def _go_live(form: PanelForm) -> None:
    """Let every field that bears on the figures send itself as it changes; dimensions also show where they are."""
    for name in form.texts:
        when = "change"
        if is_line(form, name):
            when = f"input changed delay:{DELAY}"
            when += f", focus delay:{DELAY}" if dimension_edited(form, name) else ""
        form.fields[name].widget.attrs |= {"hx-post": "", "hx-trigger": when}


def is_line(form: PanelForm, name: str) -> bool:
    """Whether a field is typed into, rather than picked or ticked."""
    return form.fields[name].widget.input_type in ("text", "number")


def _reckoned(form: PanelForm, standing: Standing) -> Reckoned:
    pair = form.makes_pair or (form.stored is not None and is_paired(form.stored))
    return reckon(form.built, form.work, 2 if pair else 1, standing)


def _before(before: Kept | None, last: Kept | None, now: Kept, form: PanelForm, *, rolling: bool) -> Kept:
    """What the change is told against: the stored panel; for a new one the state before the field last touched."""
    if before is None:
        return now
    if not rolling or last is None:
        return before
    newest = {change.field for change in changes_between(last, now.texts, now.fill, form)}
    older = {change.field for change in changes_between(before, last.texts, last.fill, form)}
    return last if newest and not older <= newest else before


def _was(one: Figure, before: str | None) -> str:
    return (
        ""
        if before is None or before == f"{one.value} {one.unit}".strip()
        else before.removesuffix(one.unit).strip()
    )


def _mend(form: PanelForm) -> str:
    """Where something cannot be read or made, said once; the reason stands beside the field."""
    names = [str(form[name].label) for name in form.errors if name in form.fields]
    if not names:
        return "This cannot be made as it stands."
    return f"Mend {names[0].lower()}: the reason is beside it. The drawing is of the last shape that can be made."
