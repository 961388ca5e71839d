"""The lines of a DXF file: pairs of a group code and a value, one entity after the other.

All but layers and entities is the same in every file of ours: it comes from a frame that ships with the package, an
empty drawing as the general library ezdxf writes it. Files of that library are the same byte for byte (a test holds
them together); it takes a hundred times as long for each, since it builds a whole document of objects first.

Source:
    DXF Reference for AutoCAD 2010: group codes of the sections TABLES and ENTITIES.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import chain

Point = tuple[float, float]
Vertex = tuple[float, float, float]
"""x, y and the bulge to the next."""
Pair = tuple[int, str | float]

_FIRST = 0x33
"""The first number that the frame leaves free. Every object of a file has a number of its own."""
_SPACE = "17"
"""Number of the model space, in the frame."""
_LAYERS_BEFORE, _APPLICATIONS_BEFORE = 2, 3
"""In the frame."""


@dataclass(frozen=True)
class Look:
    """How an entity is drawn."""

    layer: str
    linetype: str = ""
    """"" for the layer's."""
    patterns: float = 1.0
    """Scale of the line's pattern."""


@dataclass(frozen=True)
class PatternLine:
    """A family of parallel lines that fills an area."""

    angle_deg: float
    offset: Point
    """From a line to the next."""


class DxfFile:
    """A file in the making, in millimeters.

    Args:
        title: Of the drawing; plain printable signs.
        patterns: Scale of all line patterns.
    """

    def __init__(self, title: str, *, patterns: float) -> None:
        self._title, self._patterns = title, patterns
        self._next = _FIRST
        self._layers: dict[str, str] = {}
        self._described = ""
        self._entities: list[str] = []

    def has_layer(self, name: str) -> bool:
        """Whether it was added already."""
        return name in self._layers

    def layer(
        self,
        name: str,
        *,
        color: int,
        lineweight: int,
        linetype: str = "Continuous",
        description: str = "",
    ) -> None:
        """Add a layer.

        Args:
            name: Of letters, digits, points, hyphens and underscores.
            color: Of the standard index, 1 to 255.
            lineweight: [1/100 mm]
            linetype: One that the frame knows.
            description: What it holds, in words.
        """
        number = self._number()
        words: list[Pair] = []
        if description:
            if not self._described:
                # The application that descriptions belong to is named once, with the first.
                self._described = _lines(
                    [
                        (0, "APPID"),
                        (5, self._number()),
                        (330, 3),
                        (100, "AcDbSymbolTableRecord"),
                        (100, "AcDbRegAppTableRecord"),
                        (2, "AcAecLayerStandard"),
                        (70, 0),
                    ]
                )
            words = [(1001, "AcAecLayerStandard"), (1000, ""), (1000, description)]
        self._layers[name] = _lines(
            [
                (0, "LAYER"),
                (5, number),
                (330, 1),
                (100, "AcDbSymbolTableRecord"),
                (100, "AcDbLayerTableRecord"),
                (2, name),
                (70, 0),
                (62, color),
                (6, linetype),
                (370, lineweight),
                (390, 13),
                (347, 21),
                *words,
            ]
        )

    def line(self, start: Point, end: Point, look: Look) -> None:
        """Add a straight line."""
        self._add("LINE", look, [(100, "AcDbLine"), *_at(start, 0), *_at(end, 1)])

    def circle(self, centre: Point, radius: float, look: Look) -> None:
        """Add a circle."""
        self._add("CIRCLE", look, [(100, "AcDbCircle"), *_at(centre, 0), (40, radius)])

    def arc(
        self, centre: Point, radius: float, start_deg: float, end_deg: float, look: Look
    ) -> None:
        """Add an arc, counter-clockwise."""
        shape = [(100, "AcDbCircle"), *_at(centre, 0), (40, radius)]
        self._add("ARC", look, [*shape, (100, "AcDbArc"), (50, start_deg), (51, end_deg)])

    def polyline(self, vertices: Sequence[Vertex], look: Look, *, closed: bool) -> None:
        """Add a line through points, straight or bulging."""
        points = chain.from_iterable(
            ((10, x), (20, y), (42, bulge)) if bulge else ((10, x), (20, y))
            for x, y, bulge in vertices
        )
        head: list[Pair] = [(100, "AcDbPolyline"), (90, len(vertices)), (70, int(closed))]
        self._add("LWPOLYLINE", look, [*head, *points])

    def text(
        self,
        text: str,
        at: Point,
        look: Look,
        *,
        height: float,
        angle_deg: float,
        across: int,
        upright: int,
    ) -> None:
        """Add a line of lettering.

        Args:
            text: Plain printable signs.
            at: Where it is held.
            look: Its layer.
            height: Of capitals.
            angle_deg: Counter-clockwise from x.
            across: Held at its 0 left, 1 middle, 2 right.
            upright: Held at its 0 baseline, 2 middle, 3 top.
        """
        pairs: list[Pair] = [(100, "AcDbText"), *_at(at, 0), (40, height), (1, text)]
        pairs += [(50, angle_deg)] if angle_deg else []
        pairs += [(7, "LETTERING")]
        pairs += [(72, across)] if across else []
        pairs += [*_at(at, 1), (100, "AcDbText")]
        pairs += [(73, upright)] if upright else []
        self._add("TEXT", look, pairs)

    def hatch(
        self, rings: Sequence[Sequence[Vertex]], look: Look, pattern: Sequence[PatternLine] = ()
    ) -> None:
        """Fill an area, all over or with lines; its outline is the first ring, the others are holes."""
        pairs: list[Pair] = [(100, "AcDbHatch"), (10, 0.0), (20, 0.0), (30, 0.0)]
        pairs += [(210, 0.0), (220, 0.0), (230, 1.0), (2, look.layer if pattern else "SOLID")]
        pairs += [(70, int(not pattern)), (71, 0), (91, len(rings))]
        for index, ring in enumerate(rings):
            bulges = any(bulge for _, _, bulge in ring)
            # A polyline (2) that is the outer boundary (1), or one within (16).
            pairs += [(92, 2 + (16 if index else 1)), (72, int(bulges)), (73, 1), (93, len(ring))]
            for x, y, bulge in ring:
                pairs += [(10, x), (20, y), (42, bulge)] if bulges else [(10, x), (20, y)]
            pairs += [(97, 0)]
        pairs += [(75, int(bool(pattern))), (76, 1)]
        if pattern:
            pairs += [(52, 0.0), (41, 1.0), (77, 0), (78, len(pattern))]
            for family in pattern:
                pairs += [(53, family.angle_deg), (43, 0.0), (44, 0.0)]
                pairs += [(45, family.offset[0]), (46, family.offset[1]), (79, 0)]
        self._add("HATCH", look, [*pairs, (98, 0)])

    def data(self) -> bytes:
        """The whole file, UTF-8."""
        end = self._next
        gaps = {
            "title": f"{self._title}\n",
            "patterns": f"{self._patterns}\n",
            "seed": f"{end + 3:X}\n",
            "hatching": f"{end:X}\n",
            "library": f"{end + 1:X}\n",
            "note": f"{end + 2:X}\n",
            "layer-count": f"{_LAYERS_BEFORE + len(self._layers)}\n",
            "layers": "".join(self._layers.values()),
            "application-count": f"{_APPLICATIONS_BEFORE + bool(self._described)}\n",
            "described": self._described,
            "entities": "".join(self._entities),
        }
        parts = _frame()
        filled = chain.from_iterable(
            (part, gaps[name]) for part, name in zip(parts[::2], parts[1::2], strict=False)
        )
        return "".join([*filled, parts[-1]]).encode()

    def _add(self, kind: str, look: Look, shape: Iterable[Pair]) -> None:
        head: list[Pair] = [(0, kind), (5, self._number()), (330, _SPACE), (100, "AcDbEntity")]
        head += [(8, look.layer)]
        head += [(6, look.linetype)] if look.linetype else []
        head += [(48, look.patterns)] if look.patterns != 1.0 else []
        self._entities.append(_lines([*head, *shape]))

    def _number(self) -> str:
        self._next += 1
        return f"{self._next - 1:X}"


@cache
def _frame() -> list[str]:
    """The frame's text and the names of its gaps, by turns."""
    text = files("casewright.assets").joinpath("dxf", "frame.dxf").read_text("utf-8")
    return re.split(r"<([a-z-]+)>\n", text)


def _at(point: Point, which: int) -> list[Pair]:
    return [(10 + which, point[0]), (20 + which, point[1]), (30 + which, 0.0)]


def _lines(pairs: Iterable[Pair]) -> str:
    # Codes from 10 to 59 and from 210 to 239 stand before floating-point numbers.
    return "".join(
        [
            f"{code:3d}\n{float(value) if code < 60 and code > 9 else value}\n"
            for code, value in pairs
        ]
    )


__all__ = ["DxfFile", "Look", "PatternLine", "Point", "Vertex"]
