"""The passes of forms that are worked in equal bands: dome, crown and sweep."""

from __future__ import annotations

from jobs.forming.figured.passes import OUR_WAY, Worked
from jobs.forming.figured.words import deg, fine, num, step
from jobs.forming.result import Step, Work
from jobs.forming.standing import polygon_heights

BORDERS = " Inner and outer: how far the finished section has turned at the two borders of the band."


def _band(work: Work, done: Worked) -> int:
    """The band that a pass works, 1 being where the curve begins: gathering goes inwards from the edge."""
    return done.each.number if work.stretch_angle_rad else len(work.passes) + 1 - done.each.number


def band_angles(work: Work, done: Worked, whole_rad: float) -> tuple[float, float]:
    """Return the finished section's angle at both borders of the band that a pass works, inner and outer."""
    band, count = _band(work, done), len(work.passes)
    return whole_rad * (band - 1) / count, whole_rad * band / count


def band_place(work: Work, done: Worked, whole_mm: float, letter: str, whence: str) -> tuple[Step, ...]:
    """Return where the line of an equal band lies: how far from where the curve begins, and from the edge."""
    each, band, count = done.each, _band(work, done), len(work.passes)
    return (
        step(
            f"Line, from the {whence}",
            f"{letter} (band − 1/2) / m",
            f"{num(whole_mm)} × ({band} − 1 / 2) / {count}",
            each.from_start_mm,
            words=f"Equal bands, each worked along its middle; this is band {band}, counted from the {whence}.",
            source=OUR_WAY,
        ),
        step("Line, from the edge", f"l_k = {letter} − from the {whence}",
             f"{num(whole_mm)} − {num(each.from_start_mm)}", each.from_edge_mm),
    )  # fmt: skip


def band_angle(work: Work, done: Worked, letter: str, whole_rad: float) -> Step:
    """Return how far the section has turned after a pass, each band turning it alike."""
    each, count = done.each, len(work.passes)
    return step(
        "Section angle then",
        f"{letter}_k = {letter} · k / m",
        f"{deg(whole_rad)} × {each.number} / {count}",
        each.section_angle_rad,
        "rad",
        words="Every band turns the section by as much." if each.number == 1 else "",
        source=OUR_WAY,
    )


def band_height(
    work: Work, done: Worked, angle: str, along: tuple[str, float], height: tuple[str, float]
) -> tuple[Step, ...]:
    """Return the height over the middle after a pass: the polygon's, and that scaled to the height ordered.

    ``angle`` is the letter of the section's angle; ``along`` and ``height`` are letter and length, mm, of the whole
    section and of the height ordered.
    """
    heights, number = polygon_heights(work), done.each.number
    before, after = deg(done.angle_before_rad), deg(done.each.section_angle_rad)
    if work.stretch_angle_rad:
        formula = f"H_k = H_j + l_k (sin {angle}_k − sin {angle}_j)"
        figures = f"{fine(done.each.from_edge_mm)} × (sin {after} − sin {before})"
    else:
        formula = f"H_k = H_j + {along[0]} / (2 m) · (sin {angle}_j + sin {angle}_k)"
        figures = f"{num(along[1])} / (2 × {len(work.passes)}) × (sin {before} + sin {after})"
    figures = f"{fine(heights[number - 1])} + {figures}" if number > 1 else figures
    words = "How high the lines worked so far stand the section up: H_j is that of the pass before."
    polygon = step(
        "Height of the polygon then", formula, figures, heights[number], words=words if number == 1 else ""
    )
    return (polygon, scaled_height(done, heights[number], heights[-1], height))


def scaled_height(done: Worked, polygon_mm: float, last_mm: float, height: tuple[str, float]) -> Step:
    """Return the crown height to read: the polygon's, scaled to end at the height ordered, letter and mm."""
    return step(
        "Crown height then",
        f"{height[0]} · H_k / H_m",
        f"{num(height[1])} × {fine(polygon_mm)} / {fine(last_mm)}",
        done.each.height_mm or 0.0,
        words="Scaled, so that the last pass ends at the height ordered: H_m is the last pass's."
        if done.each.number == 1
        else "",
        source=OUR_WAY,
    )
