"""A drawing as an SVG file: millimeters, plain shapes, the same bytes every time.

Only what both a browser and the book's typesetter read alike is used: presentation attributes, patterns, `path`,
`line`, `circle`, `text` and `tspan`.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, lru_cache
from html import escape
from itertools import pairwise
from typing import Literal

from casewright.assets import FONT_FAMILY
from casewright.basics.errors import InputError
from casewright.outputs.drawings.lettering import (
    FRACTION,
    FRACTION_RISE,
    FRACTION_SIZE,
    font_size,
    one_line,
)
from casewright.outputs.drawings.marks import (
    Arc,
    Circle,
    Drawing,
    Kind,
    Line,
    Material,
    Pen,
    Point,
    Polyline,
    Region,
    SimpleMark,
    Text,
    arc_of,
    polar,
)
from casewright.outputs.drawings.placing import Motion
from casewright.outputs.drawings.style import MATERIALS, PAPER, PENS


def write_svg(
    drawing: Drawing,
    *,
    scale: float | None = None,
    margin: float = 5.0,
    ground: bool = False,
) -> str:
    """Return the drawing as an SVG document.

    Args:
        drawing: What to write.
        scale: Paper millimeters to one real millimeter; left out, the one the drawing was laid out for.
        margin: White round the drawing's bounds, on paper. [mm, 0 or more]
        ground: Lay the warm paper color under it; without it the ground is clear.

    Returns:
        The document, with its size in mm and a viewBox in mm on paper. Same drawing, same bytes.

    Raises:
        InputError: `scale` or `margin` cannot be used.
    """
    factor = drawing.scale if scale is None else scale
    if not factor > 0:
        raise InputError("scale", got=factor, want="more than 0", example="0.2")
    if not margin >= 0:
        raise InputError("margin", got=f"{margin} mm", want="0 mm or more")
    bounds = drawing.bounds
    width = bounds.width * factor + 2 * margin
    height = bounds.height * factor + 2 * margin
    place = Motion(margin - bounds.left * factor, margin - bounds.bottom * factor, factor)
    marks = drawing.simple()
    page = _Page(height, place)
    body = [page.element(mark) for mark in marks]
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width)}mm" height="{_n(height)}mm"'
        f' viewBox="0 0 {_n(width)} {_n(height)}" role="img">',
        f"<title>{_text(drawing.title)}</title>",
        *_patterns(marks),
        *([f'<rect width="{_n(width)}" height="{_n(height)}" fill="{PAPER}"/>'] if ground else []),
        f'<g fill="none" stroke-linejoin="round" font-family="{escape(FONT_FAMILY)}, sans-serif"'
        ' font-stretch="condensed" style="font-variant-numeric:tabular-nums">',
        *body,
        "</g>",
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


class _Page:
    """Writes marks in paper millimeters, y turned to run down.

    What carries them there only resizes and moves: so points and radii are carried as they are written, and no mark is
    made anew but for lettering.
    """

    def __init__(self, height: float, place: Motion) -> None:
        assert not place.turn_deg, "a page is not turned"
        assert not place.flip, "a page is not mirrored"
        self.height = height
        self.place = place
        self.dx, self.dy, self.factor = place.dx, place.dy, place.factor

    def at(self, point: Point) -> str:
        """A point that stands on paper already."""
        return f"{_n(point[0])} {_n(self.height - point[1])}"

    def carried(self, point: Point) -> Point:
        return (point[0] * self.factor + self.dx, point[1] * self.factor + self.dy)

    def element(self, mark: SimpleMark) -> str:
        if isinstance(mark, Text):
            return self.text(mark.through(self.place))
        if isinstance(mark, Region):
            return self.region(mark)
        pen = _pen(mark.pen, mark.operation.kind if mark.operation else "")
        if isinstance(mark, Polyline):
            return f'<path d="{self.outline(mark)}"{pen}/>'
        if isinstance(mark, Line):
            (x1, y1), (x2, y2) = self.carried(mark.start), self.carried(mark.end)
            return (
                f'<line x1="{_n(x1)}" y1="{_n(self.height - y1)}"'
                f' x2="{_n(x2)}" y2="{_n(self.height - y2)}"{pen}/>'
            )
        if isinstance(mark, Circle):
            x, y = self.carried(mark.centre)
            radius = _n(mark.radius * self.factor)
            return f'<circle cx="{_n(x)}" cy="{_n(self.height - y)}" r="{radius}"{pen}/>'
        return f'<path d="{self.arc(mark)}"{pen}/>'

    def arc(self, arc: Arc) -> str:
        large = int(arc.sweep_deg > 180.0)
        centre, radius = self.carried(arc.centre), arc.radius * self.factor
        start, end = (polar(centre, radius, deg) for deg in (arc.start_deg, arc.end_deg))
        # Counter-clockwise as drawn here is the SVG's sweep 0, since its y runs down.
        return f"M{self.at(start)}A{_n(radius)} {_n(radius)} 0 {large} 0 {self.at(end)}"

    def outline(self, shape: Polyline | Circle) -> str:
        if isinstance(shape, Circle):
            (x, y), radius = self.carried(shape.centre), shape.radius * self.factor
            half = f"A{_n(radius)} {_n(radius)} 0 1 0 "
            left, right = self.at((x - radius, y)), self.at((x + radius, y))
            return f"M{right}{half}{left}{half}{right}Z"
        factor, dx, dy, height = self.factor, self.dx, self.dy, self.height
        if not any(shape.bulges):
            spots = [
                f"{_n(x * factor + dx)} {_n(height - (y * factor + dy))}" for x, y in shape.points
            ]
            if shape.closed:
                spots.append(spots[0])
            return "M" + "L".join(spots) + ("Z" if shape.closed else "")
        points = [self.carried(point) for point in shape.points]
        steps = [f"M{self.at(points[0])}"]
        for (start, end), bulge in zip(pairwise((*points, points[0])), shape.bulges, strict=True):
            if bulge == 0 or start == end:
                steps.append(f"L{self.at(end)}")
                continue
            size = _n(arc_of(start, end, bulge).radius)
            flags = f"{int(abs(bulge) > 1)} {int(bulge < 0)}"
            steps.append(f"A{size} {size} 0 {flags} {self.at(end)}")
        if not shape.closed:
            steps.pop()
        return "".join(steps) + ("Z" if shape.closed else "")

    def region(self, region: Region) -> str:
        path = "".join(self.outline(shape) for shape in (region.outer, *region.holes))
        fill = MATERIALS[region.material]
        ground = PENS[region.pen].color if region.material == "ink" else fill.ground
        area = f'<path d="{path}" fill="{ground}" fill-rule="evenodd"/>'
        if not fill.hatch:
            return area
        return f'{area}<path d="{path}" fill="url(#{region.material})" fill-rule="evenodd"/>'

    def text(self, text: Text) -> str:
        x, y = text.at
        size = font_size(text.height, text.weight)
        drop = {"baseline": 0.0, "middle": text.height / 2, "top": text.height}[text.vertical]
        anchor = "" if text.anchor == "start" else f' text-anchor="{text.anchor}"'
        weight = "" if text.weight == "regular" else ' font-weight="700"'
        place = f'x="{_n(x)}" y="{_n(self.height - y + drop)}"'
        if abs(text.angle_deg) > 1e-9:
            turn = f"translate({self.at(text.at)}) rotate({_n(-text.angle_deg)})"
            place = f'y="{_n(drop)}" transform="{turn}"'
        color = PENS[text.pen].color
        return (
            f'<text {place} font-size="{_n(size)}" fill="{color}"{anchor}{weight}>'
            f"{_lettered(text.text, size)}</text>"
        )


@cache
def _pen(pen: Pen, kind: Kind | Literal[""]) -> str:
    style = PENS[pen]
    dashes = " ".join(_n(dash) for dash in style.dashes)
    pattern = f' stroke-dasharray="{dashes}"' if dashes else ""
    meaning = f' data-operation="{kind}"' if kind else ""
    return f' stroke="{style.color}" stroke-width="{_n(style.width)}"{pattern}{meaning}'


def _patterns(marks: Iterable[SimpleMark]) -> list[str]:
    used: set[Material] = {mark.material for mark in marks if isinstance(mark, Region)}
    lines = []
    for material in sorted(used):
        fill = MATERIALS[material]
        if not fill.hatch:
            continue
        side, half = _n(fill.spacing), _n(fill.spacing / 2)
        strokes = f"M0 {half}H{side}" + (f"M{half} 0V{side}" if fill.crossed else "")
        lines.append(
            f'<pattern id="{material}" width="{side}" height="{side}" patternUnits="userSpaceOnUse"'
            f' patternTransform="rotate({_n(-fill.angle_deg)})">'
            f'<path d="{strokes}" stroke="{fill.hatch}" stroke-width="{_n(fill.width)}"/></pattern>'
        )
    return ["<defs>", *lines, "</defs>"] if lines else []


def _text(text: str) -> str:
    return escape(one_line(text), quote=False)


def _lettered(text: str, size: float) -> str:
    """Words with their inch fractions set as fractions: small figures, the upper ones raised; read on, the same."""
    rise, small = _n(size * FRACTION_RISE), _n(size * FRACTION_SIZE)
    return FRACTION.sub(
        lambda match: (
            f'<tspan dy="-{rise}" font-size="{small}">{match[1]}</tspan>'
            f'<tspan dy="{rise}">/</tspan><tspan font-size="{small}">{match[2]}</tspan>'
        ),
        _text(text),
    )


@lru_cache(maxsize=16384)
def _n(value: float) -> str:
    """Three decimals at most, so that no size is off by more than half a thousandth of a millimeter."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


__all__ = ["write_svg"]
