"""Cleats: battens behind panels along the sides and behind seams, cut short of whatever stands in their way."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache

from casewright.basics.findings import Finding, Rule, Severity, mm
from casewright.basics.plane import Line, clipped, free_intervals
from casewright.design.materials import Batten
from casewright.design.panels import Cleats
from casewright.design.project import Project
from casewright.geometry.model import (
    Body,
    Box,
    Corner,
    Cylinder,
    Feature,
    Frame,
    Piece,
    Point2,
    Point3,
    Polygon,
    Slab,
    SolvedShape,
)

END_ROOM = 1.0
"""Cleats stop this far short of what stands in their way. [mm] Project convention."""

NOTCH_ROOM = 1.0
"""A notch is this much larger than the cleat it goes round, on each side. [mm] Project convention."""

SHORTEST = 25.0
"""Pieces of a cleat shorter than this are left out. [mm] They would split."""

NO_ROOM = Rule(
    id="cleat.no-room",
    severity=Severity.CAUTION,
    asks="A cleat behind each panel end has room.",
    why="Without a cleat the panel hangs on its edge's glue alone.",
    source="Common practice",
)

WALLS = ("rail", "bar", "frame", "artwork", "strip", "board")
"""Kinds of pieces on a panel's back that a cleat goes round."""

Range = tuple[float, float]
Bounds = tuple[Range, Range, Range]


def side_cleats(
    project: Project,
    shape: SolvedShape,
    slabs: Sequence[Slab],
    pieces: Sequence[Piece],
    bodies: Sequence[Body],
) -> tuple[tuple[Piece, ...], tuple[Finding, ...]]:
    """Battens along both sides behind every panel and under every inner board that wants them."""
    batten = project.batten
    walls = [p for p in pieces if p.kind in WALLS]
    cleats: list[Piece] = []
    findings: list[Finding] = []
    for host, wish in _hosts(project, shape, pieces):
        inner = shape.width - 2 * project.materials[project.shape.side.material].thickness
        low, high = min(v for _, v in host.back), max(v for _, v in host.back)
        low, high = low + _low_extra(wish, host), high - _high_extra(wish, host)
        obstacles = [
            _clip_range(_section_in(host, slab), -host.thickness, batten.height)
            for slab in slabs
            if slab.panel != host.panel
        ]
        for name, (u_low, u_high) in (
            ("left", (0.0, batten.width)),
            ("right", (inner - batten.width, inner)),
        ):
            region: Bounds = (
                (u_low, u_high),
                (low, high),
                (-host.thickness - batten.height, -host.thickness),
            )
            taken = [r for r in obstacles if r]
            taken += _blocked(host.frame, region, itertools.chain(walls, cleats), bodies, host)
            spans = _spans(low, high, taken)
            if not spans:
                findings.append(
                    NO_ROOM.finding(
                        f"No room for a cleat at the {name} end of {host.label}: other parts leave less than "
                        f"{mm(SHORTEST)} free along its {mm(high - low)}.",
                        names=(host.key,),
                        point=host.frame.point(
                            (u_low + u_high) / 2, (low + high) / 2, -host.thickness
                        ),
                    )
                )
            for number, (start, end) in enumerate(spans, start=1):
                suffix = f"-{number}" if len(spans) > 1 else ""
                cleats.append(
                    _cleat(
                        batten,
                        host,
                        f"{host.key}.cleat-{name}{suffix}",
                        f"{host.label} cleat, {name}{f' {number}' if suffix else ''}",
                        (u_low, u_high),
                        (start, end),
                        (start, end),
                    )
                )
    return tuple(cleats), tuple(findings)


def seam_cleats(
    project: Project,
    shape: SolvedShape,
    corners: Sequence[Corner],
    slabs: Sequence[Slab],
    pieces: Sequence[Piece],
    cleats: Sequence[Piece],
    bodies: Sequence[Body],
) -> tuple[tuple[Piece, ...], tuple[Finding, ...]]:
    """Battens behind seams from side to side, in pieces where a body stands in the way."""
    batten = project.batten
    by_panel = {slab.panel: slab for slab in slabs}
    by_key = {piece.key: piece for piece in pieces}
    made: list[Piece] = []
    findings: list[Finding] = []
    inner = shape.width - 2 * project.materials[project.shape.side.material].thickness
    walls = [p for p in pieces if p.kind in WALLS]
    for corner in corners:
        if not corner.cleat or corner.first not in by_panel or corner.second not in by_panel:
            continue
        reflex = corner.inside_deg > 180
        covered = corner.first if corner.over == corner.second else corner.second
        host_key = covered if reflex else (corner.over or corner.first)
        host, slab = by_key[host_key], by_panel[host_key]
        at_low = _corner_is_low(slab, ends_here=host_key == corner.first)
        base, top = _seam_section(corner, batten, reflex=reflex)
        edge = (min if at_low else max)(v for _, v in host.back)
        sign = 1.0 if at_low else -1.0
        base_v = _ordered(edge + sign * base[0], edge + sign * base[1])
        top_v = _ordered(edge + sign * top[0], edge + sign * top[1])
        room = batten.width + END_ROOM
        region: Bounds = (
            (room, inner - room),
            (min(base_v[0], top_v[0]), max(base_v[1], top_v[1])),
            (-host.thickness - batten.height, -host.thickness),
        )
        taken = _blocked(
            host.frame, region, itertools.chain(walls, cleats), bodies, host, along_u=True
        )
        spans = _spans(region[0][0], region[0][1], taken)
        if not spans:
            findings.append(
                NO_ROOM.finding(
                    f"No room for the cleat behind the seam of {corner.first} and {corner.second}.",
                    names=(corner.first, corner.second),
                    point=(shape.width / 2, *corner.point),
                )
            )
        for number, span in enumerate(spans, start=1):
            suffix = f"-{number}" if len(spans) > 1 else ""
            made.append(
                _cleat(
                    batten,
                    host,
                    f"{corner.first}-{corner.second}.cleat{suffix}",
                    f"cleat behind {corner.first} / {corner.second}{f', {number}' if suffix else ''}",
                    span,
                    base_v,
                    top_v,
                )
            )
    return tuple(made), tuple(findings)


def notched(piece: Piece, cleats: Iterable[Piece]) -> Piece:
    """The board with a notch wherever a cleat passes through it.

    A notch near an edge is run out to that edge, so that the board can be slid in.
    """
    low_u, low_v, high_u, high_v = piece.extent
    notches = []
    for cleat in cleats:
        if cleat.panel == piece.panel:
            continue
        (ua, ub), (va, vb), (na, nb) = bounds_in(piece.frame, corners_of(cleat))
        if na >= -1e-6 or nb <= -piece.thickness + 1e-6:
            continue
        ua, ub, va, vb = ua - NOTCH_ROOM, ub + NOTCH_ROOM, va - NOTCH_ROOM, vb + NOTCH_ROOM
        ua, ub, va, vb = max(ua, low_u), min(ub, high_u), max(va, low_v), min(vb, high_v)
        if ub - ua <= 1e-6 or vb - va <= 1e-6:
            continue
        ua = low_u if ua - low_u < SHORTEST / 2 else ua
        ub = high_u if high_u - ub < SHORTEST / 2 else ub
        notches.append(
            Feature(
                key=f"{cleat.key}.notch",
                kind="notch",
                shape=Polygon(((ua, va), (ub, va), (ub, vb), (ua, vb))),
                face="show",
                depth=None,
                tool="jigsaw",
                owner=cleat.key,
                label=f"notch for {cleat.label}",
            )
        )
    return replace(piece, features=(*piece.features, *notches)) if notches else piece


def corners_of(piece: Piece) -> tuple[Point3, ...]:
    """Corners of a piece's solid in the cabinet frame. [mm]"""
    return _hull(piece.frame, piece.show, piece.back, piece.thickness)[0]


def corners_of_body(body: Body) -> tuple[Point3, ...]:
    """Corners of a body's bounding box in the cabinet frame. [mm]"""
    return _body_hull(body.frame, body.shape)[0]


def bounds_in(frame: Frame, points: Iterable[Point3]) -> Bounds:
    """Ranges of u, v and n that points take up in a frame. [mm]"""
    us, vs, ns = zip(*(frame.local(point) for point in points), strict=True)
    return (min(us), max(us)), (min(vs), max(vs)), (min(ns), max(ns))


def _hosts(
    project: Project, shape: SolvedShape, pieces: Sequence[Piece]
) -> Iterable[tuple[Piece, Cleats]]:
    """Boards that get cleats along the sides, what is leaned on first."""
    order = ("deck", "floor", "screen", "top", "front", "riser", "baffle", "back")
    ranked = sorted(
        (p for p in pieces if p.kind in ("panel", "inner")),
        key=lambda p: order.index(p.role) if p.role in order else len(order),
    )
    for piece in ranked:
        if piece.kind == "panel":
            panel = shape.panels[piece.panel]
            wish = panel.cleats or Cleats(along="none" if panel.joint == "groove" else "sides")
            if wish.along == "sides":
                yield piece, wish
        else:
            inner = project.inner[piece.panel]
            if (
                inner.cleats
                and inner.joint == "butt"
                and inner.left is None
                and inner.right is None
            ):
                yield piece, Cleats()


def _low_extra(wish: Cleats, host: Piece) -> float:
    return wish.start if host.frame.u[0] < 0 else wish.end


def _high_extra(wish: Cleats, host: Piece) -> float:
    return wish.end if host.frame.u[0] < 0 else wish.start


def _section_in(host: Piece, slab: Slab) -> tuple[Point2, ...]:
    """A slab's cross-section in the (v, n) of another piece."""
    x = host.frame.origin[0]
    return tuple(host.frame.local((x, y, z))[1:] for y, z in slab.polygon)


def _clip_range(polygon: tuple[Point2, ...], top: float, depth: float) -> Range | None:
    """v-range of what a convex section takes of the strip just behind a panel."""
    polygon = polygon if _turns_left(polygon) else tuple(reversed(polygon))
    inside = clipped(polygon, Line((0.0, top), (-1.0, 0.0)))
    if inside:
        inside = clipped(inside, Line((0.0, top - depth), (1.0, 0.0)))
    if len(inside) < 3:
        return None
    vs, ns = [p[0] for p in inside], [p[1] for p in inside]
    if max(ns) - min(ns) < 1e-6 or max(vs) - min(vs) < 1e-6:
        return None
    return min(vs) - END_ROOM, max(vs) + END_ROOM


def _turns_left(polygon: Sequence[Point2]) -> bool:
    total = 0.0
    for a, b in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
        total += a[0] * b[1] - b[0] * a[1]
    return total > 0


def _blocked(
    frame: Frame,
    region: Bounds,
    pieces: Iterable[Piece],
    bodies: Iterable[Body],
    host: Piece,
    *,
    along_u: bool = False,
) -> list[Range]:
    """Ranges (of v, or of u) that pieces and solid bodies take of a region."""
    taken = []
    axis = 0 if along_u else 1
    others = [a for a in range(3) if a != axis]
    hulls = itertools.chain(
        (_hull(p.frame, p.show, p.back, p.thickness) for p in pieces if p.key != host.key),
        (_body_hull(b.frame, b.shape) for b in bodies if b.kind == "solid"),
    )
    for points, middle, reach in hulls:
        at = frame.local(middle)
        if any(at[a] - reach > region[a][1] or at[a] + reach < region[a][0] for a in others):
            continue  # most things are far off, and this is soon seen
        bounds = bounds_in(frame, points)
        if all(
            bounds[a][0] < region[a][1] - 1e-6 and bounds[a][1] > region[a][0] + 1e-6
            for a in others
        ):
            taken.append((bounds[axis][0] - END_ROOM, bounds[axis][1] + END_ROOM))
    return taken


_Hull = tuple[tuple[Point3, ...], Point3, float]
"""Corners, and middle and radius of a ball round them."""


def _with_ball(points: tuple[Point3, ...]) -> _Hull:
    x, y, z = ((min(c) + max(c)) / 2 for c in zip(*points, strict=True))
    middle = (x, y, z)
    return points, middle, max(math.dist(middle, point) for point in points)


@lru_cache(maxsize=1024)
def _hull(
    frame: Frame, show: tuple[Point2, ...], back: tuple[Point2, ...], thickness: float
) -> _Hull:
    return _with_ball(
        (
            *(frame.point(u, v) for u, v in show),
            *(frame.point(u, v, -thickness) for u, v in back),
        )
    )


@lru_cache(maxsize=4096)
def _body_hull(frame: Frame, shape: Box | Cylinder) -> _Hull:
    if isinstance(shape, Box):
        half_w, half_h = shape.width / 2, shape.height / 2
    else:
        half_w = half_h = max(shape.diameter, shape.top_diameter or 0.0) / 2
    return _with_ball(
        tuple(
            frame.point(shape.u + du, shape.v + dv, n)
            for du in (-half_w, half_w)
            for dv in (-half_h, half_h)
            for n in (shape.n_low, shape.n_high)
        )
    )


def _spans(low: float, high: float, taken: Sequence[Range]) -> list[Range]:
    return [
        (a, b) for a, b in free_intervals(low, high, taken) if b - a >= min(SHORTEST, high - low)
    ]


def _seam_section(corner: Corner, batten: Batten, *, reflex: bool) -> tuple[Range, Range]:
    """Ranges along the host's back face, from the corner, at the batten's near and far face."""
    w, h = batten.width, batten.height
    if reflex:
        return (-w / 2, w / 2), (-w / 2, w / 2)
    lean = h / math.tan(math.radians(corner.inside_deg)) if corner.inside_deg != 90 else 0.0
    end = w - max(0.0, -lean)
    return (0.0, max(end, 1.0)), (lean, max(end, lean + 1.0))


def _corner_is_low(slab: Slab, *, ends_here: bool) -> bool:
    return slab.run.climbs != ends_here


def _ordered(a: float, b: float) -> Range:
    return (a, b) if a <= b else (b, a)


def _cleat(
    batten: Batten,
    host: Piece,
    key: str,
    label: str,
    u: Range,
    near: Range,
    far: Range,
) -> Piece:
    frame = replace(host.frame, origin=host.frame.point(0.0, 0.0, -host.thickness))
    long_way_u = u[1] - u[0] > near[1] - near[0]
    return Piece(
        key=key,
        label=label,
        kind="cleat",
        role="other",
        material="batten",
        thickness=batten.height,
        frame=frame,
        show=((u[0], near[0]), (u[1], near[0]), (u[1], near[1]), (u[0], near[1])),
        back=((u[0], far[0]), (u[1], far[0]), (u[1], far[1]), (u[0], far[1])),
        panel=host.panel,
        grain="u" if long_way_u else "v",
    )


__all__ = [
    "END_ROOM",
    "NOTCH_ROOM",
    "NO_ROOM",
    "SHORTEST",
    "bounds_in",
    "corners_of",
    "corners_of_body",
    "notched",
    "seam_cleats",
    "side_cleats",
]
