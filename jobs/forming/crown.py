"""A panel crowned along its length and across its width."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from jobs.forming.arcs import angle_from_chord, arc_from_chord, radius_from_chord
from jobs.forming.correction import NONE, Correction
from jobs.forming.dimension import Dimension
from jobs.forming.errors import ImpossibleShape
from jobs.forming.form import Form
from jobs.forming.method import LEAST, METHOD, is_stretched
from jobs.forming.result import Work
from jobs.forming.sheet import Marking, Sheet
from jobs.forming.strip import Strip, work_out_strip


@dataclass(frozen=True, slots=True)
class Crown(Form):
    """A rectangular panel with a crown along its length and another across its width: a patch of a torus.

    R = (c²/4 + h²)/(2h) each way;  curvature = θ · 2 sin(α/2)

    Parameters
    ----------
    width_mm, length_mm
        Chords across and along, measured straight over the middle, mm.
    width_height_mm, length_height_mm
        Crown over each chord, mm. Zero one way is a roll; zero both ways is flat.
    method
        ``gather`` from the edges, ``stretch`` from the middle, or ``least``: whichever moves less metal.

    Raises
    ------
    ImpossibleShape
        Where a crown is more than half its chord, or that across reaches the middle of that along.

    Limits: each crown is at most half its chord. Gathering always moves less than stretching does, about a
    third of the same rectangle against two thirds; stretching is the owner's to choose. The panel's long
    sides lie on the torus's own circles, so they are shorter than the middle; for the crowns that panels
    have, which way the torus is turned matters little.

    >>> crown = Crown(width_mm=600, length_mm=900, width_height_mm=20, length_height_mm=30)
    >>> round(crown.work_out(Sheet(1.2), Marking()).gather_angle_rad, 5)
    0.07069

    Source: chord and height, see ``arcs``; Pappus-Guldin for area; Gauss-Bonnet for curvature.
    """

    name: ClassVar[str] = "crown"
    label: ClassVar[str] = "Crowned panel"
    about: ClassVar[str] = "A skin with a crown along, a crown across, or both."
    dimensions: ClassVar[tuple[Dimension, ...]] = (
        Dimension("width_mm", "width", "Width", "length", 600.0, help="Straight across, edge to edge."),
        Dimension("length_mm", "length", "Length", "length", 900.0, help="Straight along, end to end."),
        Dimension(
            "width_height_mm",
            "width-height",
            "Crown across the width",
            "length",
            20.0,
            may_be_zero=True,
            help="Its height over a straightedge laid across; 0 for none.",
        ),
        Dimension(
            "length_height_mm",
            "length-height",
            "Crown along the length",
            "length",
            30.0,
            may_be_zero=True,
            help="Its height over a straightedge laid along; 0 for none.",
        ),
        METHOD,
    )

    width_mm: float
    length_mm: float
    width_height_mm: float
    length_height_mm: float
    method: str = LEAST

    def refuse_impossible(self) -> None:
        """Raise ``ImpossibleShape`` where a crown is more than half its chord or swallows the other."""
        _refuse_high("width", self.width_height_mm, self.width_mm)
        _refuse_high("length", self.length_height_mm, self.length_mm)
        if self.length_height_mm == 0:
            return
        radius_mm = radius_from_chord(self.length_mm, self.length_height_mm)
        if self.width_height_mm >= radius_mm * (1 - 1e-6):
            raise ImpossibleShape(
                "width_height_mm",
                "A crown of {height} across reaches the middle of the crown along, whose radius is {radius}: make it "
                "less than that, or the crown along flatter.",
                height=self.width_height_mm,
                radius=radius_mm,
            )

    def strip(self) -> Strip:
        """Return the panel as a strip, gathered or stretched."""
        gathered = Strip(
            length_mm=arc_from_chord(self.length_mm, self.length_height_mm),
            turn_rad=angle_from_chord(self.length_mm, self.length_height_mm),
            flat_mm=0.0,
            side_mm=self.width_mm / 2,
            drop_mm=self.width_height_mm,
        )
        stretched = replace(gathered, stretched=True)
        choose = is_stretched(self.method, gathered.moved_area_mm2, stretched.moved_area_mm2)
        return stretched if choose else gathered

    def work_out(self, sheet: Sheet, marking: Marking, correction: Correction = NONE) -> Work:
        """Return all that the crowned panel asks of a sheet."""
        return work_out_strip(self, self.strip(), sheet, marking, correction)


def _refuse_high(along: str, height_mm: float, chord_mm: float) -> None:
    if height_mm > chord_mm / 2 * (1 + 1e-12):
        raise ImpossibleShape(
            f"{along}_height_mm",
            f"A crown of {{height}} is more than half the {along} of {{chord}}: the panel would close in on itself. "
            "Make it at most {most}.",
            height=height_mm,
            chord=chord_mm,
            most=chord_mm / 2,
        )
