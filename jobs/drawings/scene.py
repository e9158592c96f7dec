"""What a drawing is made of, before anyone decides whether it goes on a screen or on paper.

A scene is a tree of frozen primitives in scene units, x to the right and y **downwards**. One unit is one CSS
pixel (1/96 in) at natural size, or one millimetre in a full-size scene; ``Scene.px`` says how many units a
pixel is. Every primitive carries a role (what it *means*), never a colour: the stylesheet, the PDF writer and
the DXF writer each know how to show a role (see ``roles``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from jobs.drawings.dimensions import AngleDimension, Dimension, Measure, RadiusDimension
from jobs.drawings.primitives import (
    Area,
    Circle,
    Leaf,
    Path,
    Text,
    arrow_head,
    cross_at,
    filled_box,
    line,
    rectangle,
)
from jobs.drawings.runs import along, bounds, ends, extent, on_circle, polyline
from jobs.forming.result import Run

__all__ = [
    "AngleDimension",
    "Area",
    "Circle",
    "Dimension",
    "Group",
    "Item",
    "Leaf",
    "Path",
    "RadiusDimension",
    "Run",
    "Scene",
    "Text",
    "along",
    "arrow_head",
    "bounds",
    "cross_at",
    "ends",
    "extent",
    "filled_box",
    "leaves",
    "line",
    "on_circle",
    "polyline",
    "rectangle",
]


@dataclass(frozen=True, slots=True)
class Group:
    """Things that belong together; ``name`` becomes a class (``d-group-NAME``) that a page or a test can find."""

    name: str
    items: tuple[Item, ...]


Item = Leaf | Measure | Group


@dataclass(frozen=True, slots=True)
class Scene:
    """A whole drawing.

    ``title`` and ``description`` are its text alternative. ``px`` is scene units per CSS pixel: 1 for the
    screen, 25.4/96 for a full-size scene in millimetres.
    """

    title: str
    description: str
    width: float
    height: float
    items: tuple[Item, ...]
    px: float = 1.0

    def leaves(self) -> Iterator[Leaf]:
        """Yield the simple primitives in drawing order, dimensions and groups taken apart."""
        return leaves(self.items)

    def texts(self) -> list[Text]:
        """Return all lettering."""
        return [leaf for leaf in self.leaves() if isinstance(leaf, Text)]


def leaves(items: Iterable[Item]) -> Iterator[Leaf]:
    """Yield the simple primitives of some items in drawing order."""
    for item in items:
        if isinstance(item, Group):
            yield from leaves(item.items)
        elif isinstance(item, (Dimension, RadiusDimension, AngleDimension)):
            yield from item.parts()
        else:
            yield item
