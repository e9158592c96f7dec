"""The folded sheet, explained."""

from __future__ import annotations

import math

from jobs.forming.bend import setback
from jobs.forming.figured.sheet import sheet_chapter
from jobs.forming.figured.words import chapter, deg, num, rad, step
from jobs.forming.fold import OUTSIDE, Fold
from jobs.forming.result import Chapter, Step, Work


def fold_chapters(fold: Fold, work: Work) -> tuple[Chapter, ...]:
    """Return bend, flat, metal and sheet of a fold."""
    return (
        chapter("The bend", _neutral(fold, work), _allowance(fold, work), _used(fold, work)),
        chapter(
            "The flat",
            _straights(fold, work),
            _length(fold, work),
            *_bends(fold, work),
            _flat_area(fold, work),
        ),
        chapter("The metal", *_metal(fold, work)),
        sheet_chapter(work, "length laid flat", "width"),
    )


def _neutral(fold: Fold, work: Work) -> Step:
    neutral = fold.neutral(work.sheet)
    words = "Where in the thickness the metal keeps its length in the bend, from the inside."
    if fold.k is not None:
        return step("Neutral line", "K", f"{neutral:.4g}", neutral, "1", words=words, source="the shop's own")
    radius, thickness = num(fold.bend_radius_mm), num(work.sheet.thickness_mm)
    formula, figures = (
        ("K = 1/2, r being 5.012 t or more", "1 / 2")
        if neutral >= 0.5
        else (
            "K = (0.65 + 0.5 log₁₀(r/t)) / 2",
            f"(0.65 + 0.5 × log₁₀({radius} / {thickness})) / 2",
        )
    )
    return step("Neutral line", formula, figures, neutral, "1", words=words, source="DIN 6935")


def _allowance(fold: Fold, work: Work) -> Step:
    return step(
        "Bend allowance",
        "φ (r + K t)",
        f"{rad(fold.bend_angle_rad)} × ({num(fold.bend_radius_mm)} + {fold.neutral(work.sheet):.4f} × "
        f"{num(work.sheet.thickness_mm)})",
        work.bend_allowance_mm or 0.0,
        "mm fine",
        words="As much of the flat as goes into one bend.",
    )


def _used(fold: Fold, work: Work) -> Step | None:
    if fold.measured != OUTSIDE:
        return None
    radius, thickness = num(fold.bend_radius_mm), num(work.sheet.thickness_mm)
    beyond = fold.bend_angle_rad > math.pi / 2
    return step(
        "Used up of an outside leg",
        "u = r + t" if beyond else "u = (r + t) tan(φ/2)",
        f"{radius} + {thickness}"
        if beyond
        else f"({radius} + {thickness}) × tan({deg(fold.bend_angle_rad)} / 2)",
        setback(fold.bend_radius_mm, work.sheet.thickness_mm, fold.bend_angle_rad),
        "mm fine",
        words="From where the outside faces would meet to where the bend begins."
        if not beyond
        else "Past 90 degrees a leg is measured to the outside of the bend.",
        source="DIN 6935",
    )


def _used_mm(fold: Fold, work: Work) -> float:
    """Return what a bend uses up of each leg beside it: nothing where legs are measured straight."""
    if fold.measured != OUTSIDE:
        return 0.0
    return setback(fold.bend_radius_mm, work.sheet.thickness_mm, fold.bend_angle_rad)


def _straights(fold: Fold, work: Work) -> Step:
    legs, used_mm = " + ".join(num(leg_mm) for leg_mm in fold.leg_mm), _used_mm(fold, work)
    return step(
        "Straight parts together",
        "Σ legs − 2 n u" if used_mm else "Σ legs",
        f"{legs} − 2 × {fold.bends} × {num(used_mm)}" if used_mm else legs,
        math.fsum(fold.straights(work.sheet)),
        words="Each bend uses up some of the leg before it and of the leg after it." if used_mm else "",
    )


def _length(fold: Fold, work: Work) -> Step:
    straight_mm, allowance_mm = math.fsum(fold.straights(work.sheet)), work.bend_allowance_mm or 0.0
    return step(
        "Length laid flat",
        "straight parts + n · allowance",
        f"{num(straight_mm)} + {fold.bends} × {num(allowance_mm)}",
        work.flat_length_mm or 0.0,
    )


def _bends(fold: Fold, work: Work) -> list[Step]:
    """Return where the middle of each bend lies, from the edge of the first leg."""
    allowance, used_mm, steps, before_mm = num(work.bend_allowance_mm or 0.0), _used_mm(fold, work), [], 0.0
    for number, (line, leg_mm) in enumerate(zip(work.lines, fold.leg_mm, strict=False), start=1):
        times = "" if number == 1 else "2 "
        less = f" − {times.replace(' ', ' × ')}{num(used_mm)}" if used_mm else ""
        letters = f" − {times}u" if used_mm else ""
        steps.append(
            step(
                f"Middle of bend {number}, from the first edge",
                f"leg{letters} + allowance / 2" if number == 1 else f"bend before + leg{letters} + allowance",
                f"{num(leg_mm)}{less} + {allowance} / 2"
                if number == 1
                else f"{num(before_mm)} + {num(leg_mm)}{less} + {allowance}",
                line.from_start_mm,
            )
        )
        before_mm = line.from_start_mm
    return steps


def _flat_area(fold: Fold, work: Work) -> Step:
    return step(
        "Flat area",
        "length laid flat · width",
        f"{num(work.flat_length_mm or 0.0)} × {num(fold.width_mm)}",
        work.flat_area_by_length_mm2,
        "mm2",
    )


def _metal(fold: Fold, work: Work) -> tuple[Step, ...]:
    straight_mm, thickness = math.fsum(fold.straights(work.sheet)), num(work.sheet.thickness_mm)
    radius, turn = num(fold.bend_radius_mm), rad(fold.bend_angle_rad)
    neutral = f"{fold.neutral(work.sheet):.4f}"
    return (
        step(
            "Finished area",
            "width · (straight parts + n φ (r + t/2))",
            f"{num(fold.width_mm)} × ({num(straight_mm)} + {fold.bends} × {turn} × ({radius} + {thickness} / 2))",
            work.finished_area_mm2,
            "mm2",
            words="At the middle of the sheet, which each bend passes at r + t/2.",
        ),
        step(
            "Thinnest, in the bends",
            "t (r + K t) / (r + t/2)",
            f"{thickness} × ({radius} + {neutral} × {thickness}) / ({radius} + {thickness} / 2)",
            work.thinnest_mm,
            "mm fine",
            words="The straight parts stay as the sheet was.",
            source="volume",
        ),
    )
