"""What a panel's full-size papers show: its pattern and its gauges."""

from functools import partial

from estimates.paper.page import PaperSize
from estimates.paper.pattern import Pattern, seams_of
from jobs.drawings.fullsize import full_size
from jobs.drawings.gauge import COURSES, crown_gauge, gauge
from jobs.drawings.scene import Scene, bounds
from jobs.forming import Work, values
from jobs.models import Panel
from shop.gauges import sold_as
from shop.lengths import format_length
from shop.models import Shop


def pattern_of(panel: Panel, work: Work, shop: Shop, pages: PaperSize | None = None) -> Pattern:
    """The panel's flat at 1:1, with who and what it is written on the piece and at the head.

    For a drawing that is cut over ``pages`` the words keep off where these meet.
    """
    drawing = full_size(
        work, write_length=partial(format_length, units=shop.units), mirrored=panel.is_mirrored,
        words=[str(panel), _hand(panel), _metal(panel, shop)] if panel.hand_letter else [str(panel), _metal(panel, shop)],
        rolling=_rolling(panel, work), seams=partial(seams_of, paper=pages) if pages else None,
    )  # fmt: skip
    return head_of(panel, shop, drawing)


def head_of(panel: Panel, shop: Shop, drawing: Scene, kind: str = "Full-size pattern") -> Pattern:
    """What stands at the head of a panel's full-size papers."""
    gathers = f"{panel.pass_count} passes, numbered at their gathers" if panel.pass_count else "no passes"
    words = f"{_metal(panel, shop)}, seen from outside. {gathers}. {panel.job.title}"
    hand = panel.get_hand_display().upper() if panel.hand_letter else ""
    return Pattern(panel.mark, panel.name, hand, words, drawing, kind)


def gauges_of(panel: Panel, work: Work, shop: Shop) -> list[Scene]:
    """The section's gauge after each pass and finished; for a crown the sweep along it too."""
    if work.form.name not in COURSES:
        return []
    words = [str(panel), _hand(panel)] if panel.hand_letter else [str(panel)]
    look = {
        "write_length": partial(format_length, units=shop.units), "mirrored": panel.is_mirrored, "words": words,
    }  # fmt: skip
    made = [gauge(work, pass_number=one.number, **look) for one in work.passes[:-1]]
    made.append(gauge(work, **look))
    if work.form.name == "crown":
        given = values(work.form)
        made.append(
            crown_gauge(given["length_mm"], given["length_height_mm"], write_length=look["write_length"])
        )
    return made


def _hand(panel: Panel) -> str:
    return f"{panel.get_hand_display().lower()} hand"


def _metal(panel: Panel, shop: Shop) -> str:
    return f"{panel.metal} {sold_as(panel.thickness_mm, panel.metal.family, shop.units)}"


def _rolling(panel: Panel, work: Work) -> str:
    """The rolling direction as it lies on the drawing, whose longer way may be across the page."""
    if panel.grain == Panel.Grain.ANY:
        return ""
    box = bounds(work.trimmed.runs)
    level = box.right - box.left >= box.bottom - box.top
    along = panel.grain == Panel.Grain.ALONG
    return "along" if along == level else "across"
