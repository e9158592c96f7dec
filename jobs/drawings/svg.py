"""A scene as SVG text.

``inline_svg`` is for a page: classes ``d-ROLE``, coloured and dashed by the stylesheet. ``svg_file``
stands alone: it
carries its strokes with it and its size in millimetres, so that a cutter or a printer makes it full size.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Iterable
from html import escape

from jobs.drawings import letters, roles
from jobs.drawings.primitives import PX_MM
from jobs.drawings.scene import (
    Area,
    Circle,
    Group,
    Item,
    Leaf,
    Path,
    Run,
    Scene,
    Text,
    ends,
    leaves,
    on_circle,
)
from jobs.forming.result import Arc, Point

HALO_EM = 0.6
"""Breadth of the white round lettering in a file: with less the line shows between words, and as a decimal point."""

_TURN = 2 * math.pi


def inline_svg(scene: Scene, uid: str = "") -> str:
    """Return a scene as an ``<svg>`` element for a page.

    ``uid`` makes the ids of title and patterns unique on the page; without it a short sum of the text is
    taken.
    """
    return _Writer(scene, uid, standalone=False).document()


def svg_file(scene: Scene) -> str:
    """Return a scene as an SVG document of its own, black on white, sized in millimetres."""
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + _Writer(scene, "", standalone=True).document()


class _Writer:
    def __init__(self, scene: Scene, uid: str, *, standalone: bool) -> None:
        self.scene = scene
        self.standalone = standalone
        text = f"{scene.title}|{scene.description}|{scene.width}"
        self.uid = escape(uid, quote=True) or f"d{zlib.crc32(text.encode()):x}"
        self.patterns: dict[tuple[str, float, float], str] = {}
        # A millimetre scene is drawn to a micron, a screen scene to a hundredth of a pixel.
        self.places = 4 if scene.px < 1 else 2

    def document(self) -> str:
        body = "".join(self.items(self.scene.items))
        n, scene = self.number, self.scene
        millimetres = PX_MM / scene.px
        if self.standalone:
            size = (
                f'xmlns="http://www.w3.org/2000/svg" width="{scene.width * millimetres:.4f}mm" '
                f'height="{scene.height * millimetres:.4f}mm" font-family="B612, sans-serif"'
            )
        else:
            size = f'class="drawing" width="{n(scene.width)}" height="{n(scene.height)}"'
        return (
            f'<svg {size} viewBox="0 0 {n(scene.width)} {n(scene.height)}" role="img" '
            f'aria-labelledby="{self.uid}-t {self.uid}-d">'
            f'<title id="{self.uid}-t">{escape(scene.title)}</title>'
            f'<desc id="{self.uid}-d">{escape(scene.description)}</desc>{self.definitions()}{body}</svg>'
        )

    def items(self, items: Iterable[Item]) -> Iterable[str]:
        for item in items:
            if isinstance(item, Group):
                name = escape(item.name, quote=True)
                yield f'<g class="d-group-{name}">{"".join(self.items(item.items))}</g>'
            elif isinstance(item, (Path, Area, Circle, Text)):
                yield self.leaf(item)
            else:
                yield "".join(self.leaf(leaf) for leaf in leaves((item,)))

    def leaf(self, leaf: Leaf) -> str:
        if isinstance(leaf, Path):
            return f'<path {self.stroke(leaf.role, leaf.width)} d="{self.course(leaf.runs, leaf.closed)}"/>'
        if isinstance(leaf, Area):
            return f'<path {self.filling(leaf)} d="{self.course(leaf.runs, True)}"/>'
        if isinstance(leaf, Circle):
            n = self.number
            extra = " d-ground" if leaf.filled else ""
            return (
                f'<circle {self.stroke(leaf.role, None, extra)} cx="{n(leaf.centre[0])}" '
                f'cy="{n(leaf.centre[1])}" r="{n(leaf.radius)}"/>'
            )
        return self.text(leaf)

    def stroke(self, role: str, width: float | None, extra: str = "") -> str:
        if not self.standalone:
            # The stylesheet gives every role its width but ``section``, whose metal is as thick as the sheet.
            override = f' stroke-width="{self.number(width)}"' if width is not None else ""
            return f'class="d-{role}{extra}"{override}'
        look, px = roles.STROKES[role], self.scene.px
        wide = look.width * px if width is None else width
        dash = " ".join(self.number(part * px) for part in look.dash)
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        fill = "#fff" if extra else "none"
        return f'class="d-{role}" fill="{fill}" stroke="#000" stroke-width="{self.number(wide)}"{dashes}'

    def filling(self, area: Area) -> str:
        if area.role not in roles.PATTERNS:
            if not self.standalone:
                return f'class="d-{area.role}"'
            colour = "#fff" if area.role in roles.PAPER_WHITE else "#000"
            return f'class="d-{area.role}" fill="{colour}"'
        tile = roles.PATTERNS[area.role]
        px = self.scene.px
        key = (area.role, area.origin[0] % (tile.width * px), area.origin[1] % (tile.height * px))
        name = self.patterns.setdefault(key, f"{self.uid}-p{len(self.patterns)}")
        return f'fill="url(#{name})"'

    def definitions(self) -> str:
        made = []
        for (role, x, y), name in self.patterns.items():
            tile, n, px = roles.PATTERNS[role], self.number, self.scene.px
            course = "".join("M" + "L".join(f"{n(a * px)} {n(b * px)}" for a, b in one) for one in tile.lines)
            look = f'class="d-tile d-tile-{role}"'
            if self.standalone:
                look = 'fill="none" stroke="#000"'
            made.append(
                f'<pattern id="{name}" patternUnits="userSpaceOnUse" x="{n(x)}" y="{n(y)}" '
                f'width="{n(tile.width * px)}" height="{n(tile.height * px)}">'
                f'<path {look} stroke-width="{n(tile.stroke * px)}" d="{course}"/></pattern>'
            )
        return f"<defs>{''.join(made)}</defs>" if made else ""

    def text(self, text: Text) -> str:
        n = self.number
        x, y = n(text.at[0]), n(text.at[1])
        bits = [f'x="{x}" y="{y}"']
        if text.anchor != "start":
            bits.append(f'text-anchor="{text.anchor}"')
        if text.rotate_deg:
            bits.append(f'transform="rotate({n(text.rotate_deg)} {x} {y})"')
        halo = {"": "", "field": " d-halo", "kraft": " d-halo-kraft"}[text.halo]
        weight = ' font-weight="700"' if text.bold else ""
        if self.standalone and text.halo:
            # A box behind it would be one more shape to a cutter.
            bits.append(f'stroke="#fff" stroke-width="{n(HALO_EM * text.size)}" stroke-linejoin="round"')
            bits.append('paint-order="stroke"')
        return (
            f'<text class="d-{text.role}{halo}" font-size="{n(text.size)}"{weight} {" ".join(bits)}>'
            f"{self.lettering(text)}</text>"
        )

    def lettering(self, text: Text) -> str:
        """The line itself, what is set low let down and the rest lifted back."""
        drop, made, is_down = self.number(letters.LOW_DROP * text.size), "", False
        for part, is_low in letters.parts(text.text):
            if is_low:
                size = self.number(letters.LOW_SIZE * text.size)
                made += f'<tspan dy="{drop}" font-size="{size}">{escape(part)}</tspan>'
            elif is_down:
                made += f'<tspan dy="-{drop}">{escape(part)}</tspan>'
            else:
                made += escape(part)
            is_down = is_low
        return made

    def course(self, runs: tuple[Run, ...], closed: bool) -> str:
        n, parts = self.number, []
        pen: Point | None = None
        for run in runs:
            start, end = ends(run)
            if pen is None or math.dist(pen, start) > 1e-6:
                parts.append(f"M{n(start[0])} {n(start[1])}")
            if isinstance(run, Arc):
                parts.append(self.arc(run))
            else:
                parts.append(f"L{n(end[0])} {n(end[1])}")
            pen = end
        return "".join(parts) + ("Z" if closed else "")

    def arc(self, run: Arc) -> str:
        """Arc commands of at most a third of a turn each.

        A command names its ends and radius only; near a half turn a rounded end would move the centre.
        """
        n, r = self.number, self.number(run.radius_mm)
        count = max(1, math.ceil(abs(run.sweep_rad) / (_TURN / 3) - 1e-9))
        way = int(run.sweep_rad > 0)
        steps = [
            on_circle(run.centre, run.radius_mm, run.start_rad + run.sweep_rad * (index + 1) / count)
            for index in range(count)
        ]
        return "".join(f"A{r} {r} 0 0 {way} {n(x)} {n(y)}" for x, y in steps)

    def number(self, value: float) -> str:
        text = f"{value:.{self.places}f}".rstrip("0").rstrip(".")
        return "0" if text in ("-0", "") else text
