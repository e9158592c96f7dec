"""What every panel asks of the rack: the rectangle to cut, and what it and the finished panel weigh."""

from __future__ import annotations

from jobs.forming.figured.words import chapter, num, step
from jobs.forming.method import kept_in_the_flat
from jobs.forming.result import Chapter, Edge, Step, Work

SEEN_MM = 0.05


def sheet_chapter(work: Work, length: str, width: str) -> Chapter:
    """Return blank and masses; ``length`` and ``width`` name what of the flat the blank's two sides are."""
    density = f"{work.sheet.density_kg_m3 / 1000:.5g}"
    thickness = num(work.sheet.thickness_mm)
    return chapter(
        "Sheet and mass",
        _side("Blank, length", length, work.blank_length_mm, work),
        _side("Blank, width", width, work.blank_width_mm, work),
        step(
            "Mass of the blank",
            "length · width · t · density",
            f"{num(work.blank_length_mm)} × {num(work.blank_width_mm)} × {thickness} × {density} / 10⁶",
            work.blank_mass_kg,
            "kg",
            words="The whole rectangle, before anything is cut off. Density in kilograms a litre; a litre is 10⁶ mm³.",
        ),
        step(
            "Mass, finished",
            "finished area · t · density",
            f"{num(work.finished_area_mm2)} × {thickness} × {density} / 10⁶",
            work.mass_kg,
            "kg",
            words="Gathering and stretching move metal, they take none away."
            if work.passes
            else "Bending takes no metal away.",
            source="volume",
        ),
    )


def _side(name: str, of_the_flat: str, side_mm: float, work: Work) -> Step:
    trim_mm = work.marking.trim_mm
    return step(
        name,
        f"{of_the_flat} + 2 · trim",
        f"{num(side_mm - 2 * trim_mm)} + 2 × {num(trim_mm)}",
        side_mm,
        "mm up",
        words="Rounded up: a blank cut too small is scrap.",
        source="trim: the shop's own",
    )


def between_flats(gap_mm: float, figures: str, formula: str) -> Step:
    """Return how far the two flats lie apart, which trim has to cover."""
    return step(
        "Between the two flats, at the edge",
        formula,
        figures,
        gap_mm,
        words="The true blank lies between them, nearer to one or the other as you work; trim has to cover the gap."
        if gap_mm >= SEEN_MM
        else "They lie within the width of a scribed line: cut to either.",
    )


def edge_steps(work: Work, edge: Edge, thickness: Step) -> tuple[Step, ...]:
    """Return what one edge has to lose or gain, as a length and as a share, and the thickness it comes to."""
    verb = "gain" if edge.take_up_mm < 0 else "lose"
    flat, finished = num(edge.flat_length_mm), num(edge.finished_length_mm)
    return (
        step(
            f"Length to {verb} at {f'the {edge.name}' if edge.name in ('edge', 'rim') else edge.name}",
            "T = |flat − finished|",
            f"|{flat} − {finished}|",
            abs(edge.take_up_mm),
        ),
        step(
            "As a share of its length",
            "|finished / flat − 1|",
            f"|{finished} / {flat} − 1|",
            abs(edge.strain),
            "share",
        ),
        thickness,
    )


def moved(work: Work, formula: str = "", figures: str = "") -> Step:
    """Return the metal moved: the measure that gathering hours grow with."""
    flat, finished = num(work.flat_area_by_length_mm2), num(work.finished_area_mm2)
    more = "less" if work.stretch_angle_rad else "more"
    return step(
        "Metal moved",
        formula or f"|flat area, {kept_in_the_flat(work)} − finished area|",
        figures or f"|{flat} − {finished}|",
        work.moved_area_mm2,
        "mm2",
        words=f"The flat has so much {more} area than the finished panel. Hours of gathering are reckoned from it.",
    )
