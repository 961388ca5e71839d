"""What runs into something made shorter: a loose board, an inner board's end, a panel's end at a free seam."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from casewright.basics.findings import Remedy, mm
from casewright.basics.units import TOUCHING, shown_beyond
from casewright.checks.conflicts import Conflict
from casewright.checks.moving import label_of
from casewright.checks.outer import Thing, clearing_move
from casewright.design.writing import length_style
from casewright.geometry.carcass import inner_pieces
from casewright.geometry.collisions import met_by
from casewright.geometry.model import Cabinet, Corner, Piece, Point2, Slab

LEAST_SHARE = 0.5
"""A board that would lose more of a size than this leaves is another board. Common practice."""

Shortened = tuple[float, Remedy]
"""How much shorter [mm], and the order."""

_SIZES = {"side": (1, 2), "front": (0, 2), "level": (0, 1)}
"""Along which axes the two sizes of a loose board run."""


def smaller_boards(cabinet: Cabinet, conflict: Conflict) -> Iterator[Shortened]:
    """A loose board cut off at the end that runs into the other: by the size that loses least.

    A board that something sits on keeps its size.
    """
    style = length_style(cabinet.project)
    for key, _, met in conflict.sides:
        board, piece = cabinet.project.boards.get(key), cabinet.piece_by_key.get(key)
        if board is None or piece is None or is_host(cabinet, key):
            continue
        ways = []
        for number, axis in enumerate(_SIZES[board.plane]):
            for sign in (-1.0, 1.0):  # its far end cut off: the same as if all of it went back
                ways.append((_way_out(piece, met, axis, sign), number, axis, sign))
        by, number, axis, sign = min(ways)
        low, size = board.at[axis], board.size[number]
        if sign < 0:
            to = shown_beyond(size - by, style, up=False)
            also: tuple[tuple[str, float], ...] = ()
            words = f"{mm(to)}"
        else:
            start = shown_beyond(low + by, style, up=True)
            to = round(low + size - start, 4)
            also = ((f"boards.{key}.at.{axis}", start),)
            words = f"{mm(to)}, from {'xyz'[axis]} = {mm(start)} on"
        if to < LEAST_SHARE * size:
            continue
        word = ("wide", "deep", "high")[axis]
        text = f"Make {piece.label} {words}, so that it ends there." if also else ""
        text = text or f"Make {piece.label} {words} {word}, so that it ends there."
        yield by, Remedy(text, f"boards.{key}.size.{number}", to, also)


def shorter_inner(cabinet: Cabinet, conflict: Conflict) -> Iterator[Shortened]:
    """An inner board whose given end runs into the other: that end moved back along the board."""
    for key, _, met in conflict.sides:
        yield from end_before(cabinet, key, met)


def end_before(cabinet: Cabinet, key: str, met: Sequence[Thing]) -> Iterator[Shortened]:
    """The given end of an inner board moved back along it, so that it ends before what it runs into."""
    style = length_style(cabinet.project)
    inner, piece = cabinet.project.inner.get(key), cabinet.piece_by_key.get(key)
    if inner is not None and piece is not None and inner.until == "given" and met:
        (y0, z0), (y1, z1) = inner.start, inner.end
        long = shapely.Point(inner.start).distance(shapely.Point(inner.end))
        along = ((y1 - y0) / long, (z1 - z0) / long)
        ways = []
        for name, place, sign in (("end", inner.end, -1.0), ("start", inner.start, 1.0)):
            way = (0.0, sign * along[0], sign * along[1])
            ways.append((max(clearing_move(piece, thing, way) for thing in met), name, place, way))
        by, name, place, way = min(ways)
        if by > (1 - LEAST_SHARE) * long:
            return
        # What sits on it is placed from one of its ends: that one stays, but where both come to rest on panels.
        origin = "start" if math.dist(piece.frame.origin[1:], inner.start) < TOUCHING else "end"
        if name == origin and is_host(cabinet, key):
            if all(isinstance(thing, Piece) and thing.kind == "panel" for thing in met):
                yield from ((by, remedy) for remedy in ends_on_panels(cabinet, key))
            return
        to = tuple(
            p if abs(w) * by < TOUCHING else shown_beyond(p + w * by, style, up=w > 0)
            for p, w in zip(place, way[1:], strict=True)
        )
        fields = [
            (f"inner.{key}.{name}.{n}", value)
            for n, (value, old) in enumerate(zip(to, place, strict=True))
            if value != old
        ]
        if not fields:
            return
        text = f"Let {piece.label} {name} at y = {mm(to[0])}, z = {mm(to[1])}."
        yield by, Remedy(text, *fields[0], also=tuple(fields[1:]))


def ends_on_panels(cabinet: Cabinet, key: str) -> Iterator[Remedy]:
    """An inner board let end on the panels at both its ends, where it meets nothing there that it does not meet now."""
    inner, piece = cabinet.project.inner[key], cabinet.piece_by_key[key]
    if inner.until != "given":
        return
    wish = inner.model_copy(update={"until": "panels"})
    other, _ = inner_pieces(cabinet.project, cabinet.shape, cabinet.slabs, key, wish)
    yielding = ("cleat", "strip")  # these are cut round a board
    pieces = [p for p in cabinet.pieces if p.key != key and p.kind not in yielding]
    now, then = (set(met_by(mine, [*pieces, *cabinet.bodies])) for mine in (piece, other))
    if then <= now:
        yield Remedy("Let it end on the panels.", f"inner.{key}.until", "panels")


def free_ends(cabinet: Cabinet, conflict: Conflict) -> Iterator[Shortened]:
    """Either of two panels whose seam is free, its end kept farther back from the corner."""
    pieces = [cabinet.piece_by_key.get(key) for key in (conflict.first, conflict.second)]
    panels = {piece.panel for piece in pieces if piece is not None}
    slabs = cabinet.slab_by_panel
    for corner in cabinet.corners:
        if corner.rule == "free" and {corner.first, corner.second} == panels <= set(slabs):
            yield from _kept_back(cabinet, corner, slabs[corner.first], slabs[corner.second])


def _kept_back(cabinet: Cabinet, corner: Corner, first: Slab, second: Slab) -> Iterator[Shortened]:
    style = length_style(cabinet.project)
    seams = cabinet.shape.seams
    seam = next((s for s in seams if set(s.between) == {first.panel, second.panel}), None)
    if seam is None:
        return
    shared = shapely.Polygon(first.polygon).intersection(shapely.Polygon(second.polygon))
    points = [p for part in shapely.get_parts(shared) for p in shapely.get_coordinates(part)]
    if not points:
        return
    pair = "/".join((corner.first, corner.second))
    for slab, show, back in (
        (first, first.show_end, first.back_end),
        (second, second.show_start, second.back_start),
    ):
        by = max(_behind_end(slab, show, back, (float(y), float(z))) for y, z in points)
        if by > (1 - LEAST_SHARE) * min(slab.show_length, slab.back_length):
            continue
        to = shown_beyond(seam.setback.get(slab.panel, 0.0) + by, style, up=True)
        yield (
            by,
            Remedy(
                f"End {label_of(cabinet, slab.panel)} {mm(to)} before the corner, on its show face.",
                f"seams.{pair}.setback.{slab.panel}",
                to,
            ),
        )


def _behind_end(slab: Slab, show: Point2, back: Point2, point: Point2) -> float:
    """How far a point of the slab is from its end plane, along the slab. [mm]"""
    ey, ez = slab.run.direction
    dy, dz = back[0] - show[0], back[1] - show[1]
    return abs(((point[0] - show[0]) * dz - (point[1] - show[1]) * dy) / (ey * dz - ez * dy))


def _way_out(piece: Piece, met: Sequence[Thing], axis: int, sign: float) -> float:
    way = (sign * (axis == 0), sign * (axis == 1), sign * (axis == 2))
    return max(clearing_move(piece, thing, way) for thing in met)


def is_host(cabinet: Cabinet, key: str) -> bool:
    """Whether parts sit on a piece, or features are cut into it, whose places its corner counts for."""
    return any(placed.piece == key for placed in cabinet.placed) or any(
        feature.on == key for feature in cabinet.project.features
    )


__all__ = [
    "LEAST_SHARE",
    "Shortened",
    "end_before",
    "ends_on_panels",
    "free_ends",
    "is_host",
    "shorter_inner",
    "smaller_boards",
]
