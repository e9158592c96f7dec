"""Which sheet a panel's blank is cut from: what lies on the rack first, then what is ordered, then a new sheet."""

from collections.abc import Sequence
from dataclasses import dataclass

from jobs.cutting import Blank, CutSheet, Rectangle, lay_out
from jobs.models import Panel
from jobs.sheets_needed import THICKNESS_PLAY_MM, USUAL_SHEET_MM, blank_of
from shop.lengths import Units
from shop.models import SheetStock


@dataclass(frozen=True, slots=True)
class Cut:
    """Blanks laid out: on one sheet or drop of the stock, or on new ones where ``stock`` is nothing.

    ``too_large`` says that a blank fits on no usual sheet either, so that nothing is laid out.
    """

    sheets: tuple[CutSheet, ...]
    stock: SheetStock | None = None
    too_large: bool = False

    @property
    def drop(self) -> Rectangle | None:
        """The largest piece left of the last sheet."""
        return self.sheets[-1].largest_drop if self.sheets else None


def cut_for(panel: Panel, count: int, stock: Sequence[SheetStock], units: Units) -> Cut:
    """Lay the blanks of ``count`` hands of a panel out. ``stock`` holds every sheet of its metal, used up or not.

    The smallest sheet that takes them all serves, from the rack before one that is only ordered. Where none does, the
    size of the whole sheet bought last is asked, or else the one usual where people work in these ``units``.
    """
    blanks = [blank_of(panel)] * count
    for sheet in sorted(
        _usable(panel, stock), key=lambda one: (one.state != SheetStock.State.RACK, one.area_mm2)
    ):
        laid = CutSheet(sheet, sheet.length_mm, sheet.width_mm)
        if not lay_out(blanks, [laid]):
            return Cut((laid,), sheet)
    return _new_sheets(blanks, _usual_size(stock, units))


def _usable(panel: Panel, stock: Sequence[SheetStock]) -> list[SheetStock]:
    return [
        sheet
        for sheet in stock
        if sheet.state != SheetStock.State.USED
        and abs(sheet.thickness_mm - panel.thickness_mm) <= THICKNESS_PLAY_MM
    ]


def _usual_size(stock: Sequence[SheetStock], units: Units) -> tuple[float, float]:
    whole = [sheet for sheet in stock if sheet.kind == SheetStock.Kind.WHOLE]
    if not whole:
        return USUAL_SHEET_MM[units]
    last = max(whole, key=lambda sheet: (sheet.added_on, sheet.pk))
    return max(last.length_mm, last.width_mm), min(last.length_mm, last.width_mm)


def _new_sheets(blanks: list[Blank], size: tuple[float, float]) -> Cut:
    sheets: list[CutSheet] = []
    for blank in blanks:
        if lay_out([blank], sheets):
            new = CutSheet(None, *size)
            if not new.place(blank):
                return Cut((), too_large=True)
            sheets.append(new)
    return Cut(tuple(sheets))
