"""Panels of every form over the whole range of input that a shop, or a slip of the keyboard, may give."""

import math

from hypothesis import strategies as st

from jobs.forming import ImpossibleShape, Marking, Sheet, Step, Work, explain, work_out
from jobs.forming.arch import Arch
from jobs.forming.crown import Crown
from jobs.forming.dome import Dome
from jobs.forming.fold import Fold
from jobs.forming.roll import Roll
from jobs.forming.sweep import Sweep
from jobs.forming.tray import Tray


def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


turns = between(0.02, math.tau) | st.sampled_from([math.pi / 2, math.pi, math.tau])
shares = between(0.0, 1.0) | st.sampled_from([0.0, 1.0])
bend_angles = between(0.02, math.pi - 0.05) | st.just(math.pi / 2)

sheets = st.builds(
    Sheet,
    thickness_mm=between(0.3, 6),
    density_kg_m3=between(1700, 20000),
    elongation=st.none() | between(0.02, 0.8),
    min_bend_radius_t=st.none() | between(0, 6),
)
markings = st.builds(
    Marking,
    trim_mm=st.just(0.0) | between(0.5, 150),
    gather_mm=between(0.5, 40),
    die_width_mm=between(3, 120),
    line_count=st.integers(2, 9),
)


@st.composite
def arches(draw: st.DrawFn) -> Arch:
    bend_radius, angle = draw(st.just(0.0) | between(0.5, 200)), draw(bend_angles)
    # 6 mm is the thickest sheet drawn above: these dimensions are possible in all of them.
    rho = bend_radius + 3.5
    straight = draw(st.just(0.0) | between(0.1, 400))
    depth = 3.5 + rho * (1 - math.cos(angle)) + straight * math.sin(angle)
    stretch = draw(st.booleans())
    reach = rho * angle + straight
    least = 3 * reach if stretch else rho * math.sin(angle) + straight * max(0.0, -math.cos(angle)) + 3.5
    outside = least + draw(between(0.5, 3000))
    # A web that goes all the way to the middle, part of the way, or not at all.
    web = draw(st.sampled_from([0.0, 0.0, 0.3, 1.0])) * max(0.0, outside - 6 - rho)
    return Arch(outside, draw(turns), bend_radius, depth, angle, stretch, _none_or_some(web))


@st.composite
def sweeps(draw: st.DrawFn) -> Sweep:
    width = draw(between(5, 900))
    flat = _none_or_some(width * draw(shares))
    drop = _none_or_some((width - flat) / 2 * draw(shares))
    return Sweep(drop + draw(between(1, 4000)), draw(turns), width, flat, drop)


def _none_or_some(length_mm: float) -> float:
    """Return 0 for a length that would be refused as absurdly small."""
    return 0.0 if length_mm < 0.01 else length_mm


@st.composite
def trays(draw: st.DrawFn) -> Tray:
    bend_radius, angle = draw(st.just(0.0) | between(0.01, 20)), draw(bend_angles)
    rho = bend_radius + 3.5
    straight = draw(between(0.1, 60))
    depth = 3.5 + rho * (1 - math.cos(angle)) + straight * math.sin(angle)
    corner = rho * math.sin(angle) + straight * max(0.0, -math.cos(angle)) + 4 + draw(between(0.5, 100))
    width, length = (2 * corner + draw(between(0, 900)) for _ in range(2))
    sides = draw(st.sampled_from([stored for stored, _ in Tray.dimensions[-1].choices]))
    return Tray(width, length, corner, bend_radius, depth, angle, sides)


@st.composite
def crowns(draw: st.DrawFn) -> Crown:
    width, length = draw(between(20, 3000)), draw(between(20, 3000))
    across, along = (draw(st.just(0.0) | between(0.002, 0.5)) for _ in range(2))
    if across * width > 0.9 * length * (1 / (8 * along) + along / 2 if along else math.inf):
        across = 0.0
    return Crown(width, length, width * across, length * along, draw(methods))


methods = st.sampled_from(["least", "gather", "stretch"])
domes = st.builds(
    lambda diameter, share, method: Dome(diameter, diameter * share / 2, method),
    between(5, 3000),
    between(0.002, 1) | st.just(1.0),
    methods,
)
rolls = st.builds(Roll, between(1, 3000), between(1, 3000), turns)
folds = st.builds(
    Fold,
    width_mm=between(1, 3000),
    leg_mm=st.lists(between(1, 900), min_size=2, max_size=6).map(tuple),
    bend_radius_mm=between(0.7, 30),
    bend_angle_rad=bend_angles,
    k=st.none() | between(0, 0.5),
    measured=st.sampled_from(["outside", "straight"]),
)
OF_FORM = {
    "arch": arches(),
    "sweep": sweeps(),
    "tray": trays(),
    "crown": crowns(),
    "dome": domes,
    "roll": rolls,
    "fold": folds,
}
forms = st.one_of(*OF_FORM.values())


def work_or_none(form: object, sheet: Sheet, marking: Marking) -> Work | None:
    """Return the work, or nothing for a shape refused in words."""
    try:
        return work_out(form, sheet, marking)
    except ImpossibleShape:
        return None


def steps_of(work: Work) -> list[Step]:
    """Return every step of the explanation of a panel."""
    return [step for chapter in explain(work) for step in chapter.steps]
