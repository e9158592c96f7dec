"""The form of a panel: its metal, its shape, how it is marked and made. Lengths are typed as the trade writes them."""

from collections.abc import Mapping, Sequence
from copy import copy
from functools import partial

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from jobs.forming import FORMS, ImpossibleShape, Work
from jobs.forms.dimensions import field_for, starting_text, text_of
from jobs.forms.panel_texts import gathers_of, name_of, stage_name_of, texts_of, understood
from jobs.models import Job, Panel
from jobs.panels import figure
from shop.forms import LengthField, ShopForm, ThicknessField
from shop.gauges import format_thickness
from shop.lengths import format_length
from shop.models import GatherSize, Metal, Shop, StageKind

PAIR = "pair"
PICK = {"required": "Pick one of these.", "invalid_choice": "Pick one of these."}
# What a field is called in Panel, and the least and most that it takes, millimetres.
LIMITS_MM = {
    "thickness_mm": (0.05, 25),
    "trim_mm": (0, 500),
    "gather_mm": (0.1, 100),
    "die_width_mm": (1, 300),
}
MADE_FROM = ["form", "metal", "thickness_mm", "hand", "finish", "method", "grain", "trim_mm", "line_count",
             "gather_mm", "die_width_mm"]  # fmt: skip
LINES = "Write a whole number from 2 to 25."


def choice(label: str, choices, **options) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=choices, error_messages=PICK, **options)


class PanelForm(ShopForm):
    """A panel while it is being built.

    ``metals`` are those to choose from by key; ``own_stages`` are the shop's own that a panel may go through;
    ``panel`` is the stored panel that is being changed; ``filled`` is what the book filled into the gather fields,
    which follows metal and method until somebody writes over it. After ``is_valid`` the unsaved panel is ``built``,
    with ``work`` worked out.
    """

    name = forms.CharField(label="Name", max_length=80, required=False)
    form = choice("Form", [(name, form.label) for name, form in FORMS.items()])
    metal = choice("Metal", [])
    thickness_mm = ThicknessField(label="Thickness")
    hand = choice("Hand", [], widget=forms.RadioSelect)
    finish = choice("Leave it", Panel.Finish.choices, widget=forms.RadioSelect)
    method = choice("Worked by", GatherSize.Method.choices, widget=forms.RadioSelect)
    grain = choice("Rolling direction", Panel.Grain.choices)
    trim_mm = LengthField(label="Trim, all round", allow_zero=True)
    line_count = forms.IntegerField(
        label="Lines to work along", min_value=2, max_value=25,
        error_messages=dict.fromkeys(("invalid", "min_value", "max_value", "required"), LINES),
    )  # fmt: skip
    gather_mm = LengthField(label="One gather takes", required=False)
    die_width_mm = LengthField(label="Die width", required=False)
    note = forms.CharField(
        label="Note for the bench", max_length=2000, required=False, widget=forms.Textarea({"rows": 2})
    )

    def __init__(
        self, data: Mapping[str, str], *, shop: Shop, metals: Mapping[int, Metal], job: Job,
        panel: Panel | None = None, filled: Mapping[str, str] | None = None, saving: bool = False,
        own_stages: Sequence[StageKind] = (),
    ):  # fmt: skip
        self.metals, self.job, self.stored, self.saving = metals, job, panel, saving
        self.built: Panel | None = None
        self.work: Work | None = None
        data = _editable(data)
        self.shape = data.get("form") if data.get("form") in FORMS else next(iter(FORMS))
        self.metal = metals.get(_number(data.get("metal")))
        self.fill = gathers_of(self.metal, data.get("method", ""), shop.units)
        for name, text in self.fill.items():
            if not data.get(name, "").strip() or data[name] == (filled or {}).get(name):
                data[name] = text
        for dimension in FORMS[self.shape].dimensions:
            data.setdefault(name_of(self.shape, dimension.name), _missing(dimension, shop.units))
        super().__init__(data, shop=shop)
        self.fields["metal"].choices = [(str(key), str(metal)) for key, metal in metals.items()]
        self.fields["hand"].choices = hand_choices(panel)
        for dimension in FORMS[self.shape].dimensions:
            self.fields[name_of(self.shape, dimension.name)] = field_for(dimension, shop.units)
        self.own_stages = {stage_name_of(kind.slug): kind for kind in own_stages}
        for name, kind in self.own_stages.items():
            self.fields[name] = forms.BooleanField(label=kind.name, required=False)
        self._describe()

    def _describe(self) -> None:
        """Tie every field to the words under it, whether there are any yet or not."""
        for name, field in self.fields.items():
            words = f"{self.auto_id % name}_helptext {self.auto_id % name}_error"
            field.widget.attrs["aria-describedby"] = words

    @property
    def dimension_fields(self):
        """The fields of the form chosen, in its own order."""
        return [self[name_of(self.shape, dimension.name)] for dimension in FORMS[self.shape].dimensions]

    @property
    def stage_fields(self):
        """The stages of the shop's own, to be ticked."""
        return [self[name] for name in self.own_stages]

    @property
    def kept_dimensions(self) -> list[tuple[str, str]]:
        """What was typed for other forms, to come back to."""
        names = [
            name_of(form, dimension.name)
            for form, kind in FORMS.items()
            if form != self.shape
            for dimension in kind.dimensions
        ]
        return [(name, self.data[name]) for name in names if name in self.data]

    @property
    def texts(self) -> dict[str, str]:
        """All that bears on the figures, as typed."""
        dimensions = [name_of(self.shape, dimension.name) for dimension in FORMS[self.shape].dimensions]
        return {name: self.data.get(name, "") for name in (*MADE_FROM, *dimensions, *self.own_stages)}

    def clean_name(self):
        name = " ".join(self.cleaned_data["name"].split())
        if self.saving and not name:
            raise ValidationError("Write what the panel is called, such as rear skin.", code="required")
        return name

    def clean(self):
        given = super().clean()
        self._read_thickness(given)
        for name in ("gather_mm", "die_width_mm"):
            if name not in self.errors and given.get(name) is None:
                self.add_error(name, "Write a length, such as 5 mm.")
        for name, (least, most) in LIMITS_MM.items():
            self._refuse_outside(name, least, most)
        if not self._shape_errors():
            self._work_out(given)
        return given

    def _read_thickness(self, given: dict) -> None:
        text = given.get("thickness_mm")
        if text is None or self.metal is None:
            return
        try:
            given["thickness_mm"] = self.fields["thickness_mm"].read_for(text, self.metal.family)
        except ValidationError as error:
            given.pop("thickness_mm")
            self.add_error("thickness_mm", error)
        else:
            self["thickness_mm"].help_text = understood(given["thickness_mm"], self.metal)

    def _refuse_outside(self, name: str, least: float, most: float) -> None:
        value = self.cleaned_data.get(name)
        if isinstance(value, float) and not least <= value <= most:
            low, high = (
                (format_thickness(float(limit), self.shop.units) for limit in (least, most))
                if name == "thickness_mm"
                else (
                    format_length(float(least), self.shop.units, up=True),
                    format_length(float(most), self.shop.units, down=True),
                )
            )
            self.add_error(name, f"{self.fields[name].label}: write {low} to {high}.")

    def _shape_errors(self) -> bool:
        """Whether anything that the shape needs is wrong; a name does not change the figures."""
        return any(name not in ("name", "note") for name in self.errors)

    def _work_out(self, given: dict) -> None:
        panel = copy(self.stored) if self.stored else Panel(job=self.job)
        panel.name, panel.note = given.get("name") or panel.name, given.get("note", panel.note)
        panel.metal, panel.form = self.metal, self.shape
        panel.hand = Panel.Hand.LEFT if given["hand"] == PAIR else given["hand"]
        for name in (
            "thickness_mm",
            "finish",
            "method",
            "grain",
            "trim_mm",
            "line_count",
            "gather_mm",
            "die_width_mm",
        ):
            setattr(panel, name, self._exactly(name, given[name]))
        panel.dimensions = self._dimensions(given)
        panel.own_stages = self._stages(given)
        try:
            self.work = figure(panel)
        except ImpossibleShape as impossible:
            self._blame(impossible)
        else:
            self.built = panel

    def _dimensions(self, given: dict) -> dict:
        """The dimensions as forming takes them, one that was not touched exactly as it was stored.

        One that the form has got since the panel was stored stays out until it is more than its default.
        """
        stored = self.stored.dimensions if self.stored and self.stored.form == self.shape else {}
        found = {}
        for dimension in FORMS[self.shape].dimensions:
            name, value = dimension.name, given.get(name_of(self.shape, dimension.name))
            typed = self.data.get(name_of(self.shape, name))
            if name in stored and typed == text_of(dimension, stored[name], self.shop.units):
                value = stored[name]
            if name in stored or not stored or value != dimension.default:
                found[name] = value
        return found

    def _stages(self, given: dict) -> list[str]:
        """The stages ticked, and those the panel has that are not in use any more."""
        known = {kind.slug for kind in self.own_stages.values()}
        kept = [slug for slug in (self.stored.own_stages if self.stored else []) if slug not in known]
        return kept + [kind.slug for name, kind in self.own_stages.items() if given[name]]

    def _exactly(self, name: str, value: object) -> object:
        """The stored value where its text was not touched: a field shows a length to 0.001 mm."""
        if (
            self.stored
            and name in LIMITS_MM
            and self.data.get(name) == texts_of(self.stored, self.shop)[name]
        ):
            return getattr(self.stored, name)
        return value

    def _blame(self, impossible: ImpossibleShape) -> None:
        names = (name_of(self.shape, impossible.field), impossible.field)
        field = next((name for name in names if name in self.fields), None)
        self.add_error(field, impossible.say(partial(format_length, units=self.shop.units)))

    @property
    def makes_pair(self) -> bool:
        """Whether saving adds the other hand."""
        return self.cleaned_data.get("hand") == PAIR


def hand_choices(panel: Panel | None) -> list[tuple[str, str]]:
    """The hands to choose from. A pair stays what it is: its hands are named after one another."""
    if panel and is_paired(panel):
        return [(panel.hand, panel.get_hand_display())]
    return [*Panel.Hand.choices, (PAIR, "Mirrored pair")]


def is_paired(panel: Panel) -> bool:
    """Whether a stored panel has its other hand. Asks the book where ``mirrored_by`` was not fetched with it."""
    return bool(panel.mirrors_id or getattr(panel, "mirrored_by", None))


def metals_to_choose(panel: Panel | None = None) -> dict[int, Metal]:
    """The metals in use, and the panel's own where that is not in use any more."""
    wanted = Metal.objects.filter(in_use=True)
    if panel:
        wanted |= Metal.objects.filter(pk=panel.metal_id)
    return {metal.pk: metal for metal in wanted}


def _editable(data: Mapping[str, str]) -> dict[str, str]:
    return data.dict() if isinstance(data, QueryDict) else dict(data)


def _missing(dimension, units: str) -> str:
    """What a dimension counts as where the page sent none: a tick box that is not ticked, or the form's own start."""
    return "" if dimension.kind == "flag" else starting_text(dimension, units)


def _number(text: str | None) -> int | None:
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 12 else None
