"""Two plots: readings against plan over the passes, and past panels' hours against what they asked for.

Shapes and words tell things apart; colour only repeats them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from jobs.drawings import labels, letters
from jobs.drawings.axes import Axis, frame, linear_ticks, log_ticks, plain
from jobs.drawings.labels import Taken
from jobs.drawings.letters import Box
from jobs.drawings.scene import Area, Circle, Item, Path, Scene, Text, line, polyline, rectangle
from jobs.forming.errors import in_millimetres
from jobs.forming.result import Arc, Point, Work

TOP, BOTTOM, RIGHT = 34.0, 46.0, 30.0


@dataclass(frozen=True, slots=True)
class PassValue:
    """A length (or another measure) at the end of a pass; pass 0 is before the first."""

    pass_number: int
    value: float


@dataclass(frozen=True, slots=True)
class PastPoint:
    """A past panel: what it asked of the stage, the hours it took, its name; ``left_out`` ones do not count."""

    driver: float
    hours: float
    name: str = ""
    left_out: bool = False
    second_hand: bool = False


@dataclass(frozen=True, slots=True)
class ThisOne:
    """The panel being estimated: its driver, and the hours by which half and four in five are done."""

    driver: float
    middle_hours: float
    high_hours: float
    name: str = "this panel"


def edge_plan(work: Work) -> tuple[PassValue, ...]:
    """Return the planned edge length before the first pass and after each."""
    if not work.passes or not work.edges:
        return ()
    flat = PassValue(0, work.edges[0].flat_length_mm)
    return (flat, *(PassValue(one.number, one.edge_length_mm) for one in work.passes))


# Readings


def readings_plot(
    plan: Sequence[PassValue],
    readings: Sequence[PassValue],
    *,
    coming: Sequence[PassValue] = (),
    write_value: Callable[[float], str] = in_millimetres,
    steps: Sequence[float] = (),
    name: str = "Edge length",
    width: float = 520.0,
    height: float = 260.0,
) -> Scene:
    """Draw readings against plan over the passes.

    Plan: squares on a dashed line. Readings: dots on a solid line, in the order given. ``coming``, the passes as they
    are now from the last reading on: circles on a dotted line, where they can be told from the plan. ``steps`` as in
    ``linear_ticks``. ``ValueError`` for no plan.
    """
    if not plan:
        raise ValueError("There is no plan to draw readings against.")
    values = [one.value for one in (*plan, *readings, *coming)]
    ticks = linear_ticks(min(values), max(values), steps=steps)
    last = max(1, *(one.pass_number for one in (*plan, *readings)))
    left = 14 + max(letters.width(write_value(tick), 12) for tick in ticks)
    end = width - RIGHT - letters.width("read", 12)
    x = Axis(tuple(float(number) for number in range(last + 1)), left, end)
    y = Axis(tuple(ticks), height - BOTTOM, TOP)
    written = frame(
        x, y, lambda tick: "flat" if tick == 0 else plain(tick), write_value, ("after pass", name)
    )
    planned = [(x.at(one.pass_number), y.at(one.value)) for one in plan]
    read = [(x.at(one.pass_number), y.at(one.value)) for one in readings]
    now = _told_apart([(x.at(one.pass_number), y.at(one.value)) for one in coming], planned)
    items: list[Item] = [*written, Path("plan", polyline(planned))]
    items += [rectangle("past", px - 3.5, py - 3.5, 7, 7) for px, py in planned]
    if len(read) > 1:
        items.append(Path("reading", polyline(read)))
    if now:
        items.append(Path("pass", polyline(now)))
        items += [Circle("past", point, 4.5) for point in now[1:]]
    items += [Area("this-fill", _dot(point)) for point in read]
    items += _series_names(planned, read, now, y.start - 8)
    return Scene(
        f"{name}, read against plan",
        _readings_words(plan, readings, coming if now else (), write_value),
        width,
        height,
        tuple(items),
    )


def _dot(point: Point, radius: float = 4.0) -> tuple[Arc]:
    return (Arc(point, radius, 0.0, math.tau),)


def _told_apart(coming: Sequence[Point], planned: Sequence[Point]) -> list[Point]:
    """What is to come, where somewhere it lies off the plan by more than a mark is wide; else nothing."""
    plan = dict(planned)
    return list(coming) if any(abs(plan.get(x, y) - y) > 4.0 for x, y in coming[1:]) else []


def _series_names(
    planned: Sequence[Point], read: Sequence[Point], now: Sequence[Point], lowest: float
) -> list[Item]:
    """Write "plan", "read" and "now" at the last point of each, moved apart where they would touch."""
    named = [(planned[-1], "plan", "label")]
    if read:
        named.append((read[-1], "read", "this-text"))
    if now:
        named.append((now[-1], "now", "label"))
    named.sort(key=lambda one: one[0][1])
    heights = labels.spread([one[0][1] for one in named], 15, 0)
    over = max(0.0, heights[-1] - lowest)
    return [
        Text(role, (point[0] + 9, height - over + letters.MIDDLE * 12), word, halo="field")
        for (point, word, role), height in zip(named, heights, strict=True)
    ]


def _readings_words(
    plan: Sequence[PassValue],
    readings: Sequence[PassValue],
    coming: Sequence[PassValue],
    write: Callable[[float], str],
) -> str:
    planned = {one.pass_number: one.value for one in plan}
    told = [
        f"after pass {one.pass_number}: {write(one.value)}"
        + (f" where the plan says {write(planned[one.pass_number])}" if one.pass_number in planned else "")
        for one in readings
    ]
    told += [f"now planned after pass {one.pass_number}: {write(one.value)}" for one in coming[1:]]
    return "; ".join(told) + "." if told else "Nothing read yet."


# Past panels


def past_panels_plot(
    points: Sequence[PastPoint],
    this_one: ThisOne | None = None,
    *,
    driver: str = "driver",
    unit: str = "",
    width: float = 520.0,
    height: float = 320.0,
) -> Scene:
    """Draw hours against driver on logarithmic axes, this panel with its range among them.

    Circles: first hands and single panels; squares: second hands; dashed circles: left out. This panel: a tall
    tick at the middle and a short one at the high end. Panels without hours or driver cannot be drawn; a remark
    counts them. ``ValueError`` where nothing is left to draw.
    """
    shown = [one for one in points if one.driver > 0 and one.hours > 0]
    xs = [one.driver for one in shown] + ([this_one.driver] if this_one else [])
    ys = [one.hours for one in shown] + ([this_one.middle_hours, this_one.high_hours] if this_one else [])
    if not xs or min(xs) <= 0 or min(ys) <= 0:
        raise ValueError("There are no hours to draw.")
    y_ticks = log_ticks(min(ys), max(ys))
    left = 18 + max(letters.width(plain(tick), 12) for tick in y_ticks)
    x = Axis(tuple(log_ticks(min(xs), max(xs))), left, width - RIGHT, logarithmic=True)
    y = Axis(tuple(y_ticks), height - BOTTOM, TOP, logarithmic=True)
    name = f"{driver}, {unit}" if unit else driver
    items: list[Item] = list(frame(x, y, plain, plain, (name, "hours")))
    items += [_past(one, (x.at(one.driver), y.at(one.hours))) for one in shown]
    if this_one:
        past = [(x.at(one.driver), y.at(one.hours)) for one in shown]
        items += _this(this_one, x, y, Taken(Box(px - 5, py - 5, px + 5, py + 5) for px, py in past))
    remarks = _key_remarks(shown, len(points) - len(shown), this_one)
    words = labels.notes(remarks, 8, height, width - 16)
    bottom = max([height, *(text.box().bottom + 10 for text in words)])
    return Scene(
        "Past panels: hours against " + driver, _past_words(shown, this_one), width, bottom, (*items, *words)
    )


def _past(one: PastPoint, at: Point) -> Item:
    if one.left_out:
        return Circle("past-out", at, 4.5)
    if one.second_hand:
        return rectangle("past", at[0] - 4, at[1] - 4, 8, 8)
    return Circle("past", at, 4.5)


def _this(this_one: ThisOne, x: Axis, y: Axis, taken: Taken) -> list[Item]:
    """A standing range between two ticks, with its name beside, over or under it, where no past panel stands."""
    at, middle, high = x.at(this_one.driver), y.at(this_one.middle_hours), y.at(this_one.high_hours)
    wide, drop = letters.width(this_one.name, 12), letters.MIDDLE * 12
    spots = [(at + 14, (middle + high) / 2 + drop), (at - 14 - wide, (middle + high) / 2 + drop),
             (at - wide / 2, high - 9), (at - wide / 2, middle + 19)]  # fmt: skip
    texts = [Text("this-text", spot, this_one.name, bold=True, halo="field") for spot in spots]
    inside = Box(x.start, y.end - 8, x.end + 20, y.start + 5)
    fitting = [text for text in texts if inside.holds(text.box())] or texts
    return [
        line("this", (at, middle), (at, high)),
        line("this", (at - 10, middle), (at + 10, middle)),
        line("this", (at - 6, high), (at + 6, high)),
        next((text for text in fitting if taken.free(text.box())), fitting[0]),
    ]


def _key_remarks(shown: Sequence[PastPoint], hidden: int, this_one: ThisOne | None) -> list[str]:
    parts = []
    if any(not one.second_hand and not one.left_out for one in shown):
        parts.append("circle: past panel")
    if any(one.second_hand and not one.left_out for one in shown):
        parts.append("square: second hand of a pair")
    if any(one.left_out for one in shown):
        parts.append("dashed: left out of the reckoning")
    if this_one:
        parts.append("bar: this panel, half done by the long tick, four in five by the short one")
    key = "; ".join(parts)
    remarks = [f"{key[:1].upper()}{key[1:]}." if key else ""]
    if hidden:
        remarks.append(f"{hidden} without hours or driver cannot be drawn here.")
    return [one for one in remarks if one]


def _past_words(shown: Sequence[PastPoint], this_one: ThisOne | None) -> str:
    counted = sum(not one.left_out for one in shown)
    told = f"{counted} past panels, {len(shown) - counted} left out."
    if this_one:
        told += (
            f" {this_one.name[:1].upper()}{this_one.name[1:]}: half by {plain(round(this_one.middle_hours, 1))} h, "
            f"four in five by {plain(round(this_one.high_hours, 1))} h."
        )
    return told
