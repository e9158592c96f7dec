"""The rolled sheet, explained."""

from __future__ import annotations

from jobs.forming.figured.sheet import sheet_chapter
from jobs.forming.figured.words import chapter, num, rad, step
from jobs.forming.result import Chapter, Work
from jobs.forming.roll import Roll


def roll_chapters(roll: Roll, work: Work) -> tuple[Chapter, ...]:
    """Return flat and sheet of a roll."""
    length_mm, radius_mm = work.flat_length_mm or 0.0, roll.radius_mm + work.sheet.thickness_mm / 2
    return (
        chapter(
            "The flat",
            step(
                "Radius at the middle of the sheet",
                "ρ = r_in + t/2",
                f"{num(roll.radius_mm)} + {num(work.sheet.thickness_mm)} / 2",
                radius_mm,
                words="The middle of the sheet keeps its length.",
            ),
            step("Length laid flat", "θ ρ", f"{rad(roll.turn_rad)} × {num(radius_mm)}", length_mm),
            step("Centre line, from the start", "length / 2", f"{num(length_mm)} / 2", length_mm / 2),
            step(
                "Area, flat and finished",
                "length · width",
                f"{num(length_mm)} × {num(roll.width_mm)}",
                work.finished_area_mm2,
                "mm2",
                words="It is curved one way only: no metal is moved.",
            ),
        ),
        sheet_chapter(work, "length laid flat", "width"),
    )
