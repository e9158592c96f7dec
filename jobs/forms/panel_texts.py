"""What the fields of a panel's form say: a stored panel, a new one, and what the book fills in by itself."""

from collections.abc import Iterable, Mapping

from jobs.forming import FORMS
from jobs.forms.dimensions import starting_text, text_of
from jobs.models import Panel
from shop.forms import ThicknessField
from shop.gauges import format_thickness, nearest_gauge
from shop.lengths import length_to_edit
from shop.models import GatherSize, Metal, Shop, StageKind

STARTING_MM = 1.6
STARTING_IN = "0.063"
LENGTHS = ("trim_mm", "gather_mm", "die_width_mm")


def name_of(form_name: str, dimension_name: str) -> str:
    """What a dimension's field is called: each form has its own, so that switching forms loses nothing."""
    return f"{form_name}-{dimension_name}"


def stage_name_of(slug: str) -> str:
    """What the tick box of a stage of the shop's own is called."""
    return f"stage-{slug}"


def understood(thickness_mm: float, metal: Metal) -> str:
    """Which thickness was read, in both units, and the gauge of this metal's family that it is nearest to."""
    near = nearest_gauge(thickness_mm, metal.family)
    gauge = f", near {near.number} ga in {metal.get_family_display().lower()}" if near else ""
    if near and abs(near.off_mm) < 0.005:
        gauge = f", {near.number} ga in {metal.get_family_display().lower()}"
    return f"{format_thickness(thickness_mm)} or {format_thickness(thickness_mm, 'in')}{gauge}."


def gathers_of(metal: Metal | None, method: str, units: str) -> dict[str, str]:
    """What one gather takes and how wide the die is in a metal by a method, as typed."""
    known = metal is not None and method in GatherSize.Method.values
    sizes = metal.gather_sizes.filter(method=method) if known else ()
    size = next(iter(sizes), GatherSize())
    return {name: length_to_edit(getattr(size, name), units) for name in ("gather_mm", "die_width_mm")}


def texts_of(panel: Panel, shop: Shop) -> dict[str, str]:
    """A stored panel as its form shows it."""
    lengths = {name: length_to_edit(getattr(panel, name), shop.units) for name in LENGTHS}
    thickness = ThicknessField(units=shop.units).prepare_value(panel.thickness_mm)
    kinds = FORMS[panel.form].dimensions if panel.form in FORMS else ()
    dimensions = {
        name_of(panel.form, each.name): text_of(
            each, panel.dimensions.get(each.name, each.default), shop.units
        )
        for each in kinds
    }
    return {
        "name": panel.name, "form": panel.form, "metal": str(panel.metal_id), "thickness_mm": thickness,
        "hand": panel.hand, "finish": panel.finish, "method": panel.method, "grain": panel.grain,
        "line_count": str(panel.line_count), "note": panel.note, **lengths,
        **_without_empty_flags(kinds, panel, dimensions), **_ticked(panel.own_stages),
    }  # fmt: skip


def starting_texts(
    shop: Shop, metals: Mapping[int, Metal], form_name: str = "", own_stages: Iterable[StageKind] = (),
    like: Panel | None = None,
) -> dict[str, str]:  # fmt: skip
    """What a new panel's form starts with: a shape that can be made, with the usual stages.

    Metal, thickness, finish and who works it are those of the panel it is ``like``, else of the first metal.
    """
    form = form_name if form_name in FORMS else next(iter(FORMS))
    dimensions = {
        name_of(form, each.name): starting_text(each, shop.units)
        for each in FORMS[form].dimensions
        if each.kind != "flag"
    }
    return {
        "name": "", "form": form, "metal": str(next(iter(metals), "")),
        "thickness_mm": STARTING_IN if shop.units == "in" else f"{STARTING_MM:g}",
        "hand": Panel.Hand.NEITHER.value, "finish": Panel.Finish.SMOOTH.value, "method": GatherSize.Method.HAND.value,
        "grain": Panel.Grain.ANY.value, "trim_mm": length_to_edit(shop.trim_mm, shop.units),
        "line_count": str(shop.line_count), "note": "", **dimensions,
        **_ticked(kind.slug for kind in own_stages if kind.usual), **_as_before(shop, metals, like),
    }  # fmt: skip


def _as_before(shop: Shop, metals: Mapping[int, Metal], like: Panel | None) -> dict[str, str]:
    """What one panel after another is mostly made with, as long as its metal is still in use."""
    if like is None or like.metal_id not in metals:
        return {}
    texts = texts_of(like, shop)
    return {name: texts[name] for name in ("metal", "thickness_mm", "finish", "method")}


def _ticked(slugs: Iterable[str]) -> dict[str, str]:
    return {stage_name_of(slug): "on" for slug in slugs}


def _without_empty_flags(kinds, panel: Panel, texts: dict[str, str]) -> dict[str, str]:
    """A tick box that is not ticked sends nothing at all."""
    flags = {name_of(panel.form, each.name) for each in kinds if each.kind == "flag"}
    return {name: text for name, text in texts.items() if text or name not in flags}
