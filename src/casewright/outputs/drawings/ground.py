"""Finding free ground for lettering: no text on another, nor on a hole or an edge if that can be helped."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from casewright.outputs.drawings.lettering import Weight
from casewright.outputs.drawings.marks import (
    Anchor,
    Line,
    Mark,
    Material,
    Pen,
    Point,
    Polyline,
    Region,
    Text,
    rectangle,
    simple,
)
from casewright.outputs.drawings.placing import Box

Edge = tuple[Point, Point]
Extent = tuple[float, float, float, float]
"""Left, bottom, right, top: plain numbers, since each place is tried against all that stands there. [mm]"""

CLEAR = 0.8
"""Round lettering, on paper. [mm]"""
RINGS = (0.0, 1.3, 2.5, 5.0, 8.0, 12.0, 17.0, 23.0, 30.0)
"""How far off a tag may stand, on paper, nearest first. [mm]"""
SHARES = (0.5, 0.35, 0.65, 0.2, 0.8, 0.05, 0.95, 0.0, 1.0)
"""Where words may stand along an edge, 0 at its start, the best first."""
LEADER = 3.0
"""Further off than this a tag gets a leader, on paper. [mm]"""


class Ground:
    """Where something stands already on one drawing."""

    def __init__(
        self, scale: float, room: Box | None = None, *, part: Sequence[Point] = ()
    ) -> None:
        """Start with nothing.

        Args:
            scale: Of the drawing.
            room: Lettering stays inside; None for anywhere. [mm]
            part: Outline of the part. [mm]
        """
        self.scale = scale
        self.room = room
        self.part = part
        self._texts: list[Extent] = []
        self._shapes: list[Extent] = []
        self._edges: list[tuple[Extent, Edge]] = []

    def block(self, box: Box) -> None:
        """Keep lettering off a hole or a pocket if that can be helped."""
        self._shapes.append(_extent(box))

    def block_edges(self, points: Sequence[Point], *, closed: bool = True) -> None:
        """Keep lettering off the edges of an outline if that can be helped."""
        ends = (*points[1:], points[0]) if closed else points[1:]
        for a, b in zip(points, ends, strict=False):
            self._edge(a, b)

    def block_outside(
        self, points: Sequence[Point], *, below: float, left_of: float = -math.inf
    ) -> None:
        """Keep lettering off what a line crosses outside of the part: below a level, left of another. [mm]"""
        for a, b in pairwise(points):
            if min(a[1], b[1]) < below or min(a[0], b[0]) < left_of:
                self._edge(a, b)

    def take(self, marks: Iterable[Mark]) -> None:
        """Keep all lettering off the lettering of these marks."""
        for mark in simple(marks, self.scale):
            if isinstance(mark, Text):
                self._texts.append(_extent(mark.box(self.scale)))

    def free(self, box: Box, *, strict: bool = True, roomy: bool = False) -> bool:
        """Whether lettering may stand here; not strict: on shapes and edges too; roomy: outside of the room too."""
        room = self.room
        if room is not None and not roomy and not _within(box, room):
            return False
        wide = box.grown(CLEAR / 2 / self.scale)
        if _covers(wide, self._texts):
            return False
        if not strict:
            return True
        return not _covers(wide, self._shapes) and not self._meets_edge(box)

    def tag(
        self,
        lines: Sequence[str],
        about: Box,
        *,
        height: float = 2.5,
        weight: Weight = "regular",
        pen: Pen = "dimension",
        backing: Material | None = None,
        inside: bool = False,
        broken: Sequence[Sequence[str]] = (),
    ) -> tuple[Mark, ...]:
        """Write a tag close to what it names, with a leader where it has to stand off.

        Args:
            lines: What is written, a line each, top down.
            about: What it names.
            height: Of the lettering on paper. [mm]
            weight: Of the lettering.
            pen: Of lettering and leader.
            backing: Ground laid under it, so that lines do not run through it.
            inside: Try the middle of what it names first.
            broken: The same in more, shorter lines, for where the first ones have no place that is clear.
        """
        blocks = [_Block(tuple(some), height, weight, self.scale) for some in (lines, *broken)]
        for strict in (True, False):
            for block in blocks if strict else blocks[-1:]:
                if inside and block.fits(about):
                    for box in block.within(about):
                        if self._texts_clear(box) and not (strict and self._meets_edge(box)):
                            return self._set(block, box, None, pen, backing)
                for ring in RINGS:
                    for box in block.round(about, (ring + CLEAR) / self.scale):
                        if self.free(box, strict=strict) and (
                            ring <= LEADER or not strict or self._clear_way(box, about)
                        ):
                            leader = about if ring > LEADER else None
                            return self._set(block, box, leader, pen, backing)
        block = blocks[-1]
        raise_to = max([about.top, *(top for _, _, _, top in self._texts)]) + CLEAR / self.scale
        x, y = about.centre[0], raise_to + block.high / 2
        return self._set(block, block.at((x, y)), about, pen, backing)

    def along(
        self,
        words: str,
        start: Point,
        end: Point,
        *,
        offsets: Sequence[float],
        height: float = 2.5,
        weight: Weight = "regular",
        pen: Pen = "dimension",
        backing: Material | None = None,
        otherwise: str = "",
        shorter: str = "",
    ) -> tuple[Mark, ...]:
        """Write along a straight edge, where there is room first; a tag with a leader where there is none.

        Args:
            words: One line.
            start: One end of the edge.
            end: The other.
            offsets: Middle of the lettering left of start-end, on paper, the best first; negative is right. [mm]
            height: Of the lettering on paper. [mm]
            weight: Of the lettering.
            pen: Of the lettering.
            backing: Ground laid under it, so that lines do not run through it; not on the edge itself (offset 0).
            otherwise: Words for the tag, if they are others.
            shorter: Written in bold where the words have no room along the edge, there or as a tag.
        """
        length = math.dist(start, end)
        if length <= 0:
            return self.tag((words,), Box(*start, *start), height=height, weight=weight, pen=pen)
        ex, ey = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        angle = math.degrees(math.atan2(ey, ex))
        kinds: list[tuple[str, Weight]] = [(words, weight)]
        if shorter:
            kinds.append((shorter, "bold"))
        for line, heavy in kinds:
            wide = Text((0.0, 0.0), line, height, weight=heavy).size(self.scale)[0]
            spare = max(0.0, length - wide - 2 * CLEAR / self.scale) / length
            longer = wide > 1.05 * length  # would stand over both ends: better a tag with a leader
            for offset in () if longer else offsets:
                off = offset / self.scale
                for share in SHARES:
                    at = (0.5 + (share - 0.5) * spare) * length
                    place = (start[0] + ex * at - ey * off, start[1] + ey * at + ex * off)
                    text = Text(place, line, height, "middle", "middle", weight=heavy, pen=pen)
                    turned = replace(text, angle_deg=_readable(angle))
                    cells = _cells(turned, self.scale)
                    if all(self.free(cell, roomy=True) for cell in cells):
                        self._texts += map(_extent, cells)
                        under = backing if offset else None
                        return (*self._backed(turned, under), turned)
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        about = Box(*middle, *middle)
        line, heavy = (shorter, "bold") if shorter else (otherwise or words, weight)
        return self.tag(
            (line,),
            about,
            height=height,
            weight=heavy,
            pen=pen,
            backing=backing,
            broken=() if shorter else tuple(_broken(line)),
        )

    def _backed(self, text: Text, backing: Material | None) -> tuple[Mark, ...]:
        corners = text.corners(self.scale)
        ground = self._backing(corners, backing)
        return () if ground is None else (Region(Polyline(corners), material=ground),)

    def _backing(self, corners: Sequence[Point], backing: Material | None) -> Material | None:
        """The part's own ground on the part, paper off it, nothing across its edge."""
        if backing is None or not self.part:
            return None
        inside = [contains(self.part, corner) for corner in corners]
        sides = zip(self.part, (*self.part[1:], self.part[0]), strict=True)
        box = Box(*_least(corners), *_most(corners))
        if any(meets(box, a, b) for a, b in sides):
            return None
        return backing if all(inside) else "paper"

    def fitting(self, lines: Sequence[str], about: Box, *, height: float) -> bool:
        """Whether a tag goes inside of what it names."""
        block = _Block(tuple(lines), height, "regular", self.scale)
        return block.fits(about) and self._texts_clear(block.at(about.centre))

    def _clear_way(self, box: Box, about: Box) -> bool:
        line = _leader(box, about, "dimension")
        left, bottom, right, top = _spanned(line.start, line.end)
        near = [
            Box(*text)
            for text in self._texts
            if text[0] <= right and text[2] >= left and text[1] <= top and text[3] >= bottom
        ]
        return not any(meets(text, line.start, line.end) for text in near)

    def _texts_clear(self, box: Box) -> bool:
        return not _covers(box, self._texts)

    def _edge(self, start: Point, end: Point) -> None:
        self._edges.append((_spanned(start, end), (start, end)))

    def _meets_edge(self, box: Box) -> bool:
        left, bottom, right, top = _extent(box)
        for (x0, y0, x1, y1), (start, end) in self._edges:
            apart = x0 > right or x1 < left or y0 > top or y1 < bottom
            if not apart and meets(box, start, end):
                return True
        return False

    def _set(
        self, block: _Block, box: Box, leader: Box | None, pen: Pen, backing: Material | None
    ) -> tuple[Mark, ...]:
        self._texts.append(_extent(box))
        marks: list[Mark] = []
        if leader is not None:
            line = _leader(box, leader, pen)
            self._edge(line.start, line.end)
            marks.append(line)
        ground = self._backing(rectangle(box).points, backing)
        if ground is not None:
            marks.append(Region(rectangle(box), material=ground))
        return (*marks, *block.written(box, pen))


class _Block:
    """A few lines of lettering as one box."""

    def __init__(self, lines: tuple[str, ...], height: float, weight: Weight, scale: float) -> None:
        self.texts = [Text((0.0, 0.0), line, height, "middle", weight=weight) for line in lines]
        self.height, self.scale = height, scale
        self.wide = max(text.size(scale)[0] for text in self.texts)
        self.pitch = 1.5 * height / scale
        # from the capitals' top of the first line to the last one's descenders
        self.high = (len(lines) - 1) * self.pitch + 1.33 * height / scale

    def fits(self, box: Box) -> bool:
        edge = 2 * CLEAR / self.scale
        return self.wide + edge <= box.width and self.high + edge <= box.height

    def at(self, centre: Point) -> Box:
        x, y = centre
        half, high = self.wide / 2, self.high / 2
        return Box(x - half, y - high, x + half, y + high)

    def round(self, about: Box, gap: float) -> Iterator[Box]:
        x, y = about.centre
        a = about.width / 2 + gap + self.wide / 2
        b = about.height / 2 + gap + self.high / 2
        # right, left, above, below, then slanting ones
        ways = ((a, 0), (-a, 0), (0, b), (0, -b), (a, b), (-a, b), (a, -b), (-a, -b))
        for dx, dy in (*ways, (a, b / 2), (-a, b / 2), (a / 2, b), (-a / 2, b), (a / 2, -b)):
            yield self.at((x + dx, y + dy))

    def within(self, about: Box) -> Iterator[Box]:
        """Places inside of a box: its middle first, then off it, each way."""
        x, y = about.centre
        edge = 2 * CLEAR / self.scale
        a, b = (about.width - self.wide - edge) / 2, (about.height - self.high - edge) / 2
        for share in (0.0, 0.4, 0.8):
            for dx, dy in ((0, 1), (1, 0), (0, -1), (-1, 0), (1, 1), (-1, 1), (1, -1), (-1, -1)):
                yield self.at((x + dx * share * a, y + dy * share * b))

    def written(self, box: Box, pen: Pen) -> Iterator[Text]:
        x = box.centre[0]
        top = box.top - self.height / self.scale
        anchor: Anchor = "middle"
        for number, text in enumerate(self.texts):
            place = (x, top - number * self.pitch)
            yield Text(place, text.text, self.height, anchor, weight=text.weight, pen=pen)


def _broken(line: str) -> Iterator[tuple[str, ...]]:
    """A line parted after its colon, then after its commas too."""
    head, colon, rest = line.partition(": ")
    start = (f"{head}:",) if colon else ()
    body = rest if colon else line
    if colon:
        yield (*start, body)
    parts = body.split(", ")
    if len(parts) > 1:
        yield (*start, *(f"{part}," for part in parts[:-1]), parts[-1])


def _cells(text: Text, scale: float) -> list[Box]:
    """Small upright boxes that together cover lettering at any angle."""
    a, b, c, d = text.corners(scale)
    count = max(1, math.ceil(3 * math.dist(a, b) / math.dist(a, d))) if text.angle_deg % 90.0 else 1
    cells = []
    for i in range(count):
        low, high = i / count, (i + 1) / count
        points = [_between(p, q, share) for p, q in ((a, b), (d, c)) for share in (low, high)]
        cells.append(Box(*_least(points), *_most(points)))
    return cells


def _between(a: Point, b: Point, share: float) -> Point:
    return (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)


def _least(points: Sequence[Point]) -> Point:
    return (min(x for x, _ in points), min(y for _, y in points))


def _most(points: Sequence[Point]) -> Point:
    return (max(x for x, _ in points), max(y for _, y in points))


def contains(outline: Sequence[Point], point: Point) -> bool:
    """Whether a point lies inside of an outline (crossings of a ray to the right)."""
    x, y = point
    inside = False
    for (ax, ay), (bx, by) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return inside


def _extent(box: Box) -> Extent:
    return (box.left, box.bottom, box.right, box.top)


def _spanned(a: Point, b: Point) -> Extent:
    return (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))


def _covers(box: Box, others: Iterable[Extent]) -> bool:
    """Whether a box shares a place with one of the others."""
    left, bottom, right, top = _extent(box)
    for x0, y0, x1, y1 in others:
        if x0 < right and x1 > left and y0 < top and y1 > bottom and x0 < x1 and y0 < y1:
            return True
    return False


def _readable(degrees: float) -> float:
    turned = 180.0 - (180.0 - degrees) % 360.0
    if turned > 90.0 + 1e-6:
        return turned - 180.0
    return turned + 180.0 if turned <= -90.0 + 1e-6 else turned


def _within(box: Box, other: Box) -> bool:
    return (
        box.left >= other.left
        and box.right <= other.right
        and box.bottom >= other.bottom
        and box.top <= other.top
    )


def _leader(box: Box, about: Box, pen: Pen) -> Line:
    """From the nearest side of the lettering toward what it names, ending at that box."""
    (bx, by), (ax, ay) = box.centre, about.centre
    start = (min(max(ax, box.left), box.right), min(max(ay, box.bottom), box.top))
    # to the inscribed ellipse of what it names, so that it ends on a hole's rim
    dx, dy = start[0] - ax, start[1] - ay
    half_w, half_h = max(about.width / 2, 1e-9), max(about.height / 2, 1e-9)
    reach = ((dx / half_w) ** 2 + (dy / half_h) ** 2) ** 0.5
    share = 1.0 / reach if reach > 1 else 0.0
    end = (ax + dx * share, ay + dy * share)
    if start == end:
        start = (bx, by)
    return Line(start, end, pen)


def meets(box: Box, start: Point, end: Point) -> bool:
    """Whether a straight edge passes through a box (Liang and Barsky, 1984)."""
    low, high = 0.0, 1.0
    dx, dy = end[0] - start[0], end[1] - start[1]
    for step, room in (
        (-dx, start[0] - box.left),
        (dx, box.right - start[0]),
        (-dy, start[1] - box.bottom),
        (dy, box.top - start[1]),
    ):
        if step == 0:
            if room < 0:
                return False
            continue
        at = room / step
        if step < 0:
            low = max(low, at)
        else:
            high = min(high, at)
        if low > high:
            return False
    return True


__all__ = ["CLEAR", "LEADER", "RINGS", "SHARES", "Edge", "Extent", "Ground", "contains", "meets"]
