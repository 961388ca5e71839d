"""Areas to paint: faces and cut edges apart, because edges drink more, and glue faces left out."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from casewright.basics.rectangles import near_rectangles
from casewright.basics.remembering import Kept, remembered
from casewright.geometry.cuts import Cut, cut_of, goes_through
from casewright.geometry.facets import is_convex, shape_points, signed_area
from casewright.geometry.inside import clear_inside
from casewright.geometry.lofts import inside_outlines
from casewright.geometry.model import (
    Cabinet,
    Circle,
    FaceName,
    FaceShape,
    Frame,
    Piece,
    Point2,
    Point3,
    Rectangle,
    Slab,
)
from casewright.geometry.regions import joined, without

Floats = NDArray[np.float64]

PAINTED = ("side", "panel", "door", "inner", "board")
UNPAINTED = ("acrylic", "polycarbonate", "metal", "print")

_SEEN_RIMS = ("opening",)
"""Features whose rim is painted: bores, pockets, seats and screw holes are masked."""

_PROBES = 16
"""Points along an edge that are tried for a neighbor: shares come out in sixteenths."""

_GAP = 5.0
"""Half the width from which on a gap between two panels opens into the inside. [mm]"""

_OFF = 0.3
"""How far off an edge a neighbor is looked for: a glue joint is nearer, a gap wider. [mm]"""


@dataclass(frozen=True)
class Surface:
    """One piece's areas. [mm²]"""

    piece: str
    label: str
    outside: float
    """Faces seen from outside, less what is cut out of them."""
    inside: float
    """Faces that look into the cabinet."""
    edges: float
    """Free edges outside, and rims of openings."""
    edges_inside: float
    """Free edges of what stands inside, or that look inside."""
    glued: float
    """Edges against another piece: left bare for glue."""
    covered: float = 0.0
    """Of the faces outside, what other pieces' glued edges lie against."""
    covered_inside: float = 0.0
    """The same of the faces inside."""

    @property
    def to_paint(self) -> float:
        """Faces outside, less what is under other pieces' edges."""
        return max(self.outside - self.covered, 0.0)

    @property
    def to_paint_inside(self) -> float:
        """Faces inside, less what is under other pieces' edges."""
        return max(self.inside - self.covered_inside, 0.0)


def surfaces(cabinet: Cabinet) -> tuple[Surface, ...]:
    """Faces and edges of every wooden piece that paint may go on.

    Source:
        Plain geometry: faces are outlines less the figures cut out of them, edges the plane strips between both
        outlines, a chamfer the strip at 45°. Which share of an edge lies against another piece is tried at sixteen
        points.
    """
    materials = cabinet.project.materials
    painted = [
        piece
        for piece in cabinet.pieces
        if piece.kind in PAINTED
        and piece.material in materials
        and materials[piece.material].kind not in UNPAINTED
    ]
    plain = {piece.key: _plain(piece) for piece in cabinet.pieces}
    shares = _free_shares([plain[piece.key] for piece in painted], tuple(plain.values()))
    corners = tuple(cabinet.shape.corners.values())
    outline = shapely.Polygon(corners)
    inward = _inward_shares(
        [plain[piece.key] for piece in painted],
        _open_inside(cabinet.slabs, corners),
        cabinet.shape.width,
    )
    areas = [
        _areas(p.show, p.back, p.thickness, tuple(cut_of(f) for f in p.features)) for p in painted
    ]
    under: dict[tuple[str, FaceName], float] = {}
    for made, edges in zip(areas, shares, strict=True):
        for strip, edge in zip(made.strips, edges, strict=True):
            for place, share in edge.against:
                under[place] = under.get(place, 0.0) + strip * share
    found = []
    for piece, made, free, facing in zip(painted, areas, shares, inward, strict=True):
        within = piece.kind in ("inner", "board") and _is_within(piece, outline, cabinet)
        faces, covered = {True: 0.0, False: 0.0}, {True: 0.0, False: 0.0}
        sides: tuple[tuple[FaceName, float, bool], ...] = (
            ("show", made.show, not within),
            ("back", made.back, _back_is_outside(piece, within)),
        )
        for face, area, outer in sides:
            faces[outer] += area
            covered[outer] += under.get((piece.key, face), 0.0)
        bare = math.fsum(a * edge.free for a, edge in zip(made.strips, free, strict=True))
        looks_in = math.fsum(
            a * min(edge.free, share)
            for a, edge, share in zip(made.strips, free, facing, strict=True)
        )
        edges_seen = 0.0 if within else bare - looks_in + made.rims
        found.append(
            Surface(
                piece.key,
                piece.label,
                outside=faces[True],
                inside=faces[False],
                edges=edges_seen,
                edges_inside=bare + made.rims - edges_seen,
                glued=math.fsum(made.strips) - bare,
                covered=covered[True],
                covered_inside=covered[False],
            )
        )
    return tuple(found)


@remembered(16)
def _open_inside(slabs: Sequence[Slab], corners: tuple[Point2, ...]) -> tuple[Point2, ...]:
    """The clear inside in the side view without narrow gaps between panels, which are seen from outside."""
    inside = clear_inside(corners, slabs) if len(corners) > 2 else ()
    if len(inside) < 3:
        return ()
    wide = shapely.Polygon(inside).buffer(-_GAP, join_style="mitre")
    parts = shapely.get_parts(wide.buffer(_GAP, join_style="mitre"))
    largest = max(parts, key=lambda part: part.area, default=None)
    return tuple(largest.exterior.coords[:-1]) if largest is not None else ()


@remembered(16)
def _inward_shares(
    painted: Sequence[_Plain], inside: Sequence[Point2], width: float
) -> list[tuple[float, ...]]:
    """For every edge of every painted piece, the share that looks into the clear inside."""
    if not painted:
        return []
    counts = [len(piece.show) for piece in painted]
    if not inside:
        return [(0.0,) * count for count in counts]
    points = np.concatenate([_probes(piece) for piece in painted])
    region = shapely.Polygon(inside)
    shapely.prepare(region)
    looks = shapely.contains_xy(region, points[:, 1], points[:, 2])
    looks &= (points[:, 0] > 0) & (points[:, 0] < width)
    rows = looks.reshape(-1, _PROBES).mean(axis=1)
    return [tuple(part.tolist()) for part in np.split(rows, np.cumsum(counts)[:-1])]


def _back_is_outside(piece: Piece, within: bool) -> bool:
    return piece.kind == "board" and not within


def _is_within(piece: Piece, outline: shapely.Polygon, cabinet: Cabinet) -> bool:
    """Whether the middle of a board lies inside the side view."""
    u0, v0, u1, v1 = piece.extent
    x, y, z = piece.frame.point((u0 + u1) / 2, (v0 + v1) / 2, -piece.thickness / 2)
    return 0 < x < cabinet.shape.width and bool(shapely.contains_xy(outline, y, z))


# ---- areas of one piece ----


@dataclass(frozen=True)
class _Areas:
    show: float
    back: float
    strips: tuple[float, ...]
    """Along each edge of the outline, notches taken off."""
    rims: float


@lru_cache(maxsize=512)
def _areas(
    show: tuple[Point2, ...], back: tuple[Point2, ...], thickness: float, cuts: tuple[Cut, ...]
) -> _Areas:
    """Areas of a piece told by its numbers alone. [mm²]"""
    through = [cut for cut in cuts if goes_through(cut, thickness)]
    inner = _keeps_its_edges(show, back, cuts)
    notch = None if inner else _at_the_edge(show, back, [cut.shape for cut in through])
    strips = []
    for index in range(len(show)):
        after = (index + 1) % len(show)
        a, b, c, d = show[index], show[after], back[after], back[index]
        area = _plane_area([(*a, 0.0), (*b, 0.0), (*c, -thickness), (*d, -thickness)])
        if notch is not None:
            middle = shapely.LineString([_mean(a, d), _mean(b, c)])
            if middle.length > 0:
                area *= shapely.difference(middle, notch).length / middle.length
        strips.append(area)
    rims = math.fsum(_rim(cut, thickness) for cut in through if cut.kind in _SEEN_RIMS)
    return _Areas(
        _face(show, cuts, "show", thickness, inner),
        _face(back, cuts, "back", thickness, inner),
        (*strips,),
        rims,
    )


def _keeps_its_edges(
    show: tuple[Point2, ...], back: tuple[Point2, ...], cuts: tuple[Cut, ...]
) -> bool:
    """Whether all that is cut out stays off the edges of both faces; slots are let into them."""
    outlines = [show] if show == back else [show, back]
    if not all(_is_simple(outline) for outline in outlines):
        return False
    extents = [_extent(cut.shape, cut.chamfer)[:4] for cut in cuts if cut.kind != "slot"]
    return all(inside_outlines(extents, outlines))


def _is_simple(outline: tuple[Point2, ...]) -> bool:
    """Whether an outline runs counter-clockwise and crosses itself nowhere."""
    if len(outline) <= 4 and is_convex(outline):  # as nearly all are
        return True
    return signed_area(outline) > 0 and bool(shapely.Polygon(outline).is_valid)


def _face(
    outline: Sequence[Point2],
    cuts: Sequence[Cut],
    face: FaceName,
    thickness: float,
    inner: bool,
) -> float:
    """A face less all that is cut out of it from its own side, or right through; `inner`: nothing reaches its edges."""
    open_here = _widest(
        (cut.shape, cut.chamfer if cut.face == face else 0.0)
        for cut in cuts
        if cut.kind != "slot" and (cut.face == face or goes_through(cut, thickness))
    )
    if inner:
        return signed_area(outline) - _taken(open_here)
    whole = shapely.Polygon(outline)
    if not whole.is_valid:
        return 0.0  # a board too short for its own bevels; its finding says so
    if not open_here:
        return float(whole.area)
    figures = [_figure(*figure) for figure in open_here]
    return float(without(whole, figures).area)


@lru_cache(maxsize=1024)
def _taken(open_here: tuple[tuple[FaceShape, float], ...]) -> float:
    """Area of figures together, each wider by so much. [mm²]"""
    if not open_here:
        return 0.0
    # Most figures touch no other: their areas are simply added up. The few that may are joined first.
    told = [_extent(shape, grow) for shape, grow in open_here]
    is_round = [isinstance(shape, Circle) for shape, _ in open_here]
    alone = _stand_alone(np.array([row[:4] for row in told]), np.array(is_round))
    met = [_figure(*open_here[index]) for index in np.flatnonzero(~alone).tolist()]
    return math.fsum(
        (
            float(joined(met).area),
            *(row[4] for row, single in zip(told, alone.tolist(), strict=True) if single),
        )
    )


def _stand_alone(boxes: Floats, is_round: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which figures meet no other for certain, by the boxes round them; two round ones by their disks. [mm]"""
    one, other = near_rectangles(boxes, 0.0)
    low, high = boxes[:, :2], boxes[:, 2:]
    middles, radii = (low + high) / 2, (high[:, 0] - low[:, 0]) / 2
    away = np.hypot(*(middles[one] - middles[other]).T)
    may_meet = ~(is_round[one] & is_round[other]) | (away <= radii[one] + radii[other] + _OFF)
    alone = np.ones(len(boxes), dtype=bool)
    alone[one[may_meet]] = alone[other[may_meet]] = False
    return alone


def _widest(open_here: Iterable[tuple[FaceShape, float]]) -> tuple[tuple[FaceShape, float], ...]:
    """Shapes and what they are wider by; of round ones about one centre only the widest, which has all others in it."""
    others: list[tuple[FaceShape, float]] = []
    about: dict[Point2, tuple[Circle, float]] = {}
    for shape, grow in open_here:
        if not isinstance(shape, Circle):
            others.append((shape, grow))
            continue
        known = about.get((shape.u, shape.v))
        if known is None or known[0].diameter / 2 + known[1] < shape.diameter / 2 + grow:
            about[shape.u, shape.v] = (shape, grow)
    return (*others, *about.values())


def _within(faces: Sequence[shapely.Polygon], boxes: Floats) -> NDArray[np.bool_]:
    """Which boxes lie wholly inside every face, off its edges."""
    inner = np.ones(len(boxes), dtype=bool)
    for face in faces:
        shapely.prepare(face)
        inner &= shapely.contains_properly(face, shapely.box(*boxes.T))
    return inner


@lru_cache(maxsize=1024)
def _extent(shape: FaceShape, grow: float = 0.0) -> tuple[float, float, float, float, float]:
    """The box round a figure, and its area: left, lower, right, upper [mm], area [mm²]."""
    if isinstance(shape, Circle):
        radius = shape.diameter / 2 + grow
        u, v = shape.u, shape.v
        return (u - radius, v - radius, u + radius, v + radius, math.pi * radius * radius)
    if isinstance(shape, Rectangle) and not shape.turn_deg:
        u, v, width, height = shape.u, shape.v, shape.width + 2 * grow, shape.height + 2 * grow
        if min(width, height) > 0:
            radius = min(shape.radius, shape.width / 2, shape.height / 2)
            # A round corner lacks what a square has over the quarter disk in it.
            corners = (4 - math.pi) * max(radius + grow, 0.0) ** 2 if radius > 0 else 0.0
            box = (u - width / 2, v - height / 2, u + width / 2, v + height / 2)
            return (*box, width * height - corners)
    figure = _figure(shape, grow)
    left, lower, right, upper = figure.bounds
    return (left, lower, right, upper, float(figure.area))


def _at_the_edge(
    show: Sequence[Point2], back: Sequence[Point2], shapes: Sequence[FaceShape]
) -> shapely.Geometry | None:
    """What is cut out of the edges; None where all stays inside both faces."""
    faces = [shapely.Polygon(outline) for outline in {tuple(show), tuple(back)}]
    if not shapes or not all(face.is_valid for face in faces):
        return None
    inner = _within(faces, np.array([_extent(shape)[:4] for shape in shapes]))
    near = [_figure(shapes[index]) for index in np.flatnonzero(~inner).tolist()]
    reach = [f for f in near if not all(face.contains_properly(f) for face in faces)]
    # A hair wider, so that a notch that ends on the edge still cuts it.
    return joined(reach).buffer(1e-6) if reach else None


@lru_cache(maxsize=1024)
def _figure(shape: FaceShape, grow: float = 0.0) -> shapely.Polygon:
    figure = shapely.polygons(np.array(shape_points(shape, grow=grow)))
    return figure if shapely.is_valid(figure) else figure.buffer(0)


def _rim(cut: Cut, thickness: float) -> float:
    """Wall and chamfer of an opening."""
    depth = min(cut.chamfer, thickness)
    inner = _around(shape_points(cut.shape))
    outer = _around(shape_points(cut.shape, grow=cut.chamfer)) if depth > 0 else inner
    return inner * (thickness - depth) + (inner + outer) / 2 * depth * math.sqrt(2)


def _around(points: Sequence[Point2]) -> float:
    around = np.array((*points, points[0]))
    return float(np.hypot(*np.diff(around, axis=0).T).sum())


def _plane_area(corners: Sequence[Point3]) -> float:
    """Area of a plane outline in space: half the length of the sum of its corners' cross products."""
    x = y = z = 0.0
    for (a, b, c), (d, e, f) in zip(corners, (*corners[1:], corners[0]), strict=True):
        x, y, z = x + b * f - c * e, y + c * d - a * f, z + a * e - b * d
    return math.sqrt(x * x + y * y + z * z) / 2


def _mean(a: Point2, b: Point2) -> Point2:
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


# ---- what lies against what ----


class _Plain(NamedTuple):
    """What counts of a piece where edges lie against it."""

    key: str
    show: tuple[Point2, ...]
    back: tuple[Point2, ...]
    thickness: float
    frame: Frame
    openings: tuple[FaceShape, ...]
    extent: tuple[float, float, float, float]


_PLAIN: Kept[_Plain] = Kept(4096)


@remembered(2048)
def _plain(piece: Piece) -> _Plain:
    """A piece with only what counts where edges lie against it; the same one while only its holes move."""
    openings = tuple(feature.shape for feature in piece.features if feature.kind == "opening")
    made = _Plain(
        piece.key, piece.show, piece.back, piece.thickness, piece.frame, openings, piece.extent
    )
    return _PLAIN.same(made, piece.key)


class _Edge(NamedTuple):
    """What lies against one edge of a piece."""

    free: float
    """Share that nothing lies against."""
    against: tuple[tuple[tuple[str, FaceName], float], ...] = ()
    """Pieces and their faces that shares of it lie against."""


@remembered(16)
def _free_shares(painted: Sequence[_Plain], pieces: Sequence[_Plain]) -> list[tuple[_Edge, ...]]:
    """For every edge of every painted piece, the share that no other piece lies against, and where the others lie."""
    if not painted:
        return []
    points = np.concatenate([_probes(piece) for piece in painted])
    owner = np.repeat([piece.key for piece in painted], [len(p.show) * _PROBES for p in painted])
    origins = np.array([piece.frame.origin for piece in pieces])
    axes = np.array([(piece.frame.u, piece.frame.v, piece.frame.n) for piece in pieces])
    local = (points[None, :, :] - origins[:, None, :]) @ axes.transpose(0, 2, 1)
    boxes = np.array([piece.extent for piece in pieces])
    thickness = np.array([piece.thickness for piece in pieces])[:, None]
    u, v, n = local[:, :, 0], local[:, :, 1], local[:, :, 2]
    near = (n <= 0) & (n >= -thickness)
    near &= (u >= boxes[:, 0, None]) & (u <= boxes[:, 2, None])
    near &= (v >= boxes[:, 1, None]) & (v <= boxes[:, 3, None])
    covered = np.zeros(len(points), dtype=bool)
    against: dict[int, dict[tuple[str, FaceName], float]] = {}
    for index in np.flatnonzero(near.any(axis=1)).tolist():
        piece = pieces[index]
        where = np.flatnonzero(near[index] & ~covered & (owner != piece.key))
        if len(where):
            covered[where] = _is_inside(piece, local[index, where])
            depth = -local[index, where, 2]
            faces: tuple[tuple[FaceName, NDArray[np.bool_]], ...] = (
                ("show", depth <= 2 * _OFF),
                ("back", depth >= piece.thickness - 2 * _OFF),
            )
            for face, lies in faces:
                for edge, count in Counter(
                    (where[covered[where] & lies] // _PROBES).tolist()
                ).items():
                    row = against.setdefault(edge, {})
                    row[piece.key, face] = row.get((piece.key, face), 0.0) + count / _PROBES
    shares = 1.0 - covered.reshape(-1, _PROBES).mean(axis=1)
    edges = [
        _Edge(share, tuple(against.get(index, {}).items()))
        for index, share in enumerate(shares.tolist())
    ]
    starts = np.cumsum([0, *(len(piece.show) for piece in painted)]).tolist()
    return [tuple(edges[a:b]) for a, b in pairwise(starts)]


def _probes(piece: _Plain) -> Floats:
    """Points a little off each edge, half way through the board, in the cabinet frame."""
    show, back, t = np.array(piece.show), np.array(piece.back), piece.thickness
    a = (show + back) / 2
    way = np.concatenate((a[1:], a[:1])) - a
    length = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)
    out = np.column_stack((way[:, 1], -way[:, 0])) / length[:, None]  # counter-clockwise
    shift = ((show - back) * out).sum(axis=1)
    slant = np.maximum(np.hypot(t, shift), 1e-9)
    steps = (np.arange(_PROBES) + 0.5) / _PROBES
    uv = (a + out * (_OFF * t / slant)[:, None])[:, None, :] + way[:, None, :] * steps[:, None]
    n = np.broadcast_to((-t / 2 - _OFF * shift / slant)[:, None], uv.shape[:2])
    frame = piece.frame
    axes = np.array([frame.u, frame.v, frame.n])
    local = np.concatenate((uv, n[:, :, None]), axis=2).reshape(-1, 3)
    points: Floats = local @ axes + np.array(frame.origin)
    return points


def _is_inside(piece: _Plain, local: Floats) -> NDArray[np.bool_]:
    """Which points, given in a piece's own frame and between its faces, lie in its wood."""
    u, v, depth = local[:, 0], local[:, 1], (-local[:, 2] / piece.thickness)[:, None]
    show, back = np.array(piece.show), np.array(piece.back)
    us = show[:, 0] + depth * (back[:, 0] - show[:, 0])
    vs = show[:, 1] + depth * (back[:, 1] - show[:, 1])
    after_u, after_v = (np.concatenate((w[:, 1:], w[:, :1]), axis=1) for w in (us, vs))
    crosses = (vs > v[:, None]) != (after_v > v[:, None])
    rise = np.where(crosses, after_v - vs, 1.0)
    at = us + (v[:, None] - vs) / rise * (after_u - us)
    inside: NDArray[np.bool_] = (crosses & (u[:, None] < at)).sum(axis=1) % 2 == 1
    for shape in piece.openings:
        left, lower, right, upper, _ = _extent(shape)
        if np.any((u >= left) & (u <= right) & (v >= lower) & (v <= upper)):
            inside &= ~shapely.contains_xy(_figure(shape), u, v)
    return inside


__all__ = ["PAINTED", "UNPAINTED", "Surface", "surfaces"]
