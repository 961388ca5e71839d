"""Cleats: battens behind panels along the sides and behind seams, cut short of whatever stands in their way."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import shapely

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.plane import Line, crossing, free_intervals
from casewright.basics.units import TOUCHING
from casewright.design.materials import Batten
from casewright.design.panels import Cleats
from casewright.design.project import Project
from casewright.geometry.cleat_room import (
    END_ROOM,
    Passage,
    Range,
    box_passage,
    corners_of,
    corners_of_body,
    free_side_view,
    is_free_section,
    taken_by_features,
    taken_by_solids,
    taken_in_side_view,
)
from casewright.geometry.model import (
    Body,
    Corner,
    Feature,
    Frame,
    Piece,
    Point2,
    Point3,
    Polygon,
    Slab,
    SolvedShape,
)

NOTCH_ROOM = 1.0
"""A notch is this much larger than the cleat it goes round, on each side. [mm] Project convention."""

SHORTEST = 25.0
"""Pieces of a cleat shorter than this are left out. [mm] They would split."""

SMALLER = (18.0, 15.0, 12.0, 10.0, 8.0)
"""Sizes of batten that are proposed where a larger one has no room. [mm] Common trade sizes."""

NO_ROOM = Rule(
    id="cleat.no-room",
    severity=Severity.CAUTION,
    asks="A cleat behind each panel end has room.",
    why="Without a cleat the panel hangs on its edge's glue alone.",
    source="Common practice",
)

WALLS = ("rail", "bar", "frame", "artwork", "strip", "board", "door")
"""Kinds of pieces on a panel's back that a cleat goes round."""

Bounds = tuple[Range, Range, Range]


@dataclass(frozen=True)
class _Room:
    """What battens have to keep out of."""

    free: shapely.Geometry
    walls: tuple[Piece, ...]
    bodies: Sequence[Body]
    features: Mapping[str, Sequence[Feature]]
    """By piece, besides those it has already."""
    inner: float
    """Between the sides. [mm]"""

    def taken(self, passage: Passage, host: Piece, cleats: Sequence[Piece]) -> list[Range]:
        """Stretches of a passage behind a panel that something else takes."""
        others = [p for p in (*self.walls, *cleats) if p.key != host.key]
        own = (*host.features, *self.features.get(host.key, ()))
        return [
            *taken_by_solids(passage, others, self.bodies),
            *taken_by_features(passage, host, own),
        ]


def _room(
    project: Project,
    shape: SolvedShape,
    slabs: Sequence[Slab],
    pieces: Sequence[Piece],
    bodies: Sequence[Body],
    features: Sequence[tuple[str, Feature]],
) -> _Room:
    by_piece: dict[str, list[Feature]] = {}
    for key, feature in features:
        by_piece.setdefault(key, []).append(feature)
    return _Room(
        free=free_side_view(shape, slabs),
        walls=tuple(p for p in pieces if p.kind in WALLS),
        bodies=bodies,
        features=by_piece,
        inner=shape.width - 2 * project.materials[project.shape.side.material].thickness,
    )


def side_cleats(
    project: Project,
    shape: SolvedShape,
    slabs: Sequence[Slab],
    pieces: Sequence[Piece],
    bodies: Sequence[Body],
    features: Sequence[tuple[str, Feature]] = (),
) -> tuple[tuple[Piece, ...], tuple[Finding, ...]]:
    """Battens along both sides behind every panel and under every inner board that wants them."""
    room = _room(project, shape, slabs, pieces, bodies, features)
    cleats: list[Piece] = []
    findings: list[Finding] = []
    for host, wish in _hosts(project, shape, pieces):
        low, high = min(v for _, v in host.back), max(v for _, v in host.back)
        low, high = low + _low_extra(wish, host), high - _high_extra(wish, host)
        for name in ("left", "right"):
            made = tuple(cleats)

            def spans(
                batten: Batten,
                host: Piece = host,
                name: str = name,
                along: Range = (low, high),
                made: tuple[Piece, ...] = made,
            ) -> list[Range]:
                return _side_spans(room, host, name, along, batten, made)

            found = spans(project.batten)
            if not found:
                findings.append(_no_side_cleat(project, host, name, high - low, spans, room))
            u = _side_range(name, room.inner, project.batten.width)
            for number, span in enumerate(found, start=1):
                suffix = f"-{number}" if len(found) > 1 else ""
                cleats.append(
                    _cleat(
                        project.batten.height,
                        host,
                        f"{host.key}.cleat-{name}{suffix}",
                        f"{host.label} cleat, {name}{f' {number}' if suffix else ''}",
                        u,
                        span,
                        span,
                    )
                )
    return tuple(cleats), tuple(findings)


def _side_range(name: str, inner: float, width: float) -> Range:
    return (0.0, width) if name == "left" else (inner - width, inner)


def _side_spans(
    room: _Room, host: Piece, name: str, along: Range, batten: Batten, cleats: Sequence[Piece]
) -> list[Range]:
    """Stretches behind a panel's end where a batten has room."""
    if batten.width > room.inner:
        return []
    u = _side_range(name, room.inner, batten.width)
    n = (-host.thickness - batten.height, -host.thickness)
    passage = box_passage(host.frame, 1, u, n)
    taken = taken_in_side_view(host.frame, room.free, along, n)
    taken += room.taken(passage, host, cleats)
    return _spans(*along, taken)


def seam_cleats(
    project: Project,
    shape: SolvedShape,
    corners: Sequence[Corner],
    slabs: Sequence[Slab],
    pieces: Sequence[Piece],
    cleats: Sequence[Piece],
    bodies: Sequence[Body],
    features: Sequence[tuple[str, Feature]] = (),
) -> tuple[tuple[Piece, ...], tuple[Finding, ...]]:
    """Battens behind seams from side to side, in pieces where a body stands in the way."""
    room = _room(project, shape, slabs, pieces, bodies, features)
    by_panel = {slab.panel: slab for slab in slabs}
    by_key = {piece.key: piece for piece in pieces}
    made: list[Piece] = []
    findings: list[Finding] = []
    for corner in corners:
        if not corner.cleat or corner.first not in by_panel or corner.second not in by_panel:
            continue
        host_key = _seam_host(corner)
        host, slab = by_key[host_key], by_panel[host_key]
        other = by_panel[corner.second if host_key == corner.first else corner.first]
        existing = (*cleats, *made)

        def section(
            batten: Batten,
            host: Piece = host,
            slab: Slab = slab,
            other: Slab = other,
            corner: Corner = corner,
        ) -> _Section | None:
            return _seam_section(corner, host, slab, other, batten)

        def spans(
            batten: Batten,
            host: Piece = host,
            section: Callable[[Batten], _Section | None] = section,
            existing: tuple[Piece, ...] = existing,
        ) -> list[Range]:
            cut = section(batten)
            return [] if cut is None else _seam_spans(room, host, cut, batten, existing)

        cut, found = section(project.batten), spans(project.batten)
        if not found or cut is None:
            findings.append(
                NO_ROOM.finding(
                    f"No room for the cleat behind the seam of {corner.first} and {corner.second}.",
                    remedies=(
                        *_smaller(project.batten, spans),
                        Remedy("Leave this cleat out, and reinforce the seam with glue blocks."),
                    ),
                    names=(corner.first, corner.second),
                    point=(shape.width / 2, *corner.point),
                )
            )
            continue
        for number, span in enumerate(found, start=1):
            suffix = f"-{number}" if len(found) > 1 else ""
            made.append(
                _cleat(
                    cut.height,
                    host,
                    f"{corner.first}-{corner.second}.cleat{suffix}",
                    f"cleat behind {corner.first} / {corner.second}{f', {number}' if suffix else ''}",
                    span,
                    cut.near,
                    cut.far,
                )
            )
    return tuple(made), tuple(findings)


def _seam_spans(
    room: _Room, host: Piece, cut: _Section, batten: Batten, cleats: Sequence[Piece]
) -> list[Range]:
    """Stretches from side to side, between the cleats of the sides, where a seam's batten has room."""
    clear = batten.width + END_ROOM
    low, high = clear, room.inner - clear
    if high <= low or not is_free_section(host.frame, room.free, cut.outline(host.thickness)):
        return []
    passage = Passage(host.frame, 0, cut.outline(host.thickness))
    return _spans(low, high, room.taken(passage, host, cleats))


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


def _spans(low: float, high: float, taken: Sequence[Range]) -> list[Range]:
    return [
        (a, b)
        for a, b in free_intervals(low, high, taken)
        if b - a >= min(SHORTEST, max(high - low, SHORTEST / 2))
    ]


@dataclass(frozen=True)
class _Section:
    """A seam batten's section: ranges of v at its near and far face, and its height over the host's back. [mm]"""

    near: Range
    far: Range
    height: float

    def outline(self, thickness: float) -> tuple[Point2, ...]:
        """In the host's (v, n), counter-clockwise."""
        top, low = -thickness, -thickness - self.height
        return (
            (self.far[0], low),
            (self.far[1], low),
            (self.near[1], top),
            (self.near[0], top),
        )


def _seam_host(corner: Corner) -> str:
    """The panel on whose back the batten lies: the covering one; at an inward corner the covered one."""
    if corner.inside_deg > 180:
        return corner.first if corner.over == corner.second else corner.second
    return corner.over or corner.first


def _seam_section(
    corner: Corner, host: Piece, slab: Slab, other: Slab, batten: Batten
) -> _Section | None:
    """Where the batten lies; None where the corner is too sharp or too blunt for one, or the host too short.

    Outward corner, host below, the other panel's back leaning by the inside angle:

              lean            Beyond 90° the lean is negative, and what the batten lies on becomes narrower by it:
            |‹—›________      a batten of the given width is ripped to the bevel.
             /         |
        ____/__________|____  back of the host
            0   near   width
    """
    at_low = slab.run.climbs == (host.panel == corner.second)
    sign = 1.0 if at_low else -1.0
    lowest, highest = min(v for _, v in host.back), max(v for _, v in host.back)
    width, height = batten.width, batten.height
    if corner.inside_deg > 180:
        start = lowest if at_low else highest
        both = _ordered(start - width / 2, start + width / 2)
        return _Section(both, both, height)
    meeting = crossing(_back_line(slab), _back_line(other))
    if meeting is None:
        return None
    start = host.frame.local((host.frame.origin[0], *meeting))[1]
    if corner.inside_deg < 90 - _SQUARE:
        slope = math.tan(math.radians(corner.inside_deg))
        height = min(height, width / 2 * slope)
        near, far = (0.0, width), (height / slope, width)
    elif corner.inside_deg > 90 + _SQUARE:
        slope = math.tan(math.radians(180.0 - corner.inside_deg))
        height = min(height, width / 2 * slope)
        near, far = (0.0, width - height / slope), (-height / slope, width - height / slope)
    else:
        near = far = (0.0, width)
    if height < batten.height / 2:
        return None
    near_v = _ordered(start + sign * near[0], start + sign * near[1])
    far_v = _ordered(start + sign * far[0], start + sign * far[1])
    if near_v[0] < lowest - TOUCHING or near_v[1] > highest + TOUCHING:
        return None
    return _Section(near_v, far_v, height)


_SQUARE = 0.01
"""Corners this near to 90° are square. [deg]"""


def _back_line(slab: Slab) -> Line:
    return Line(slab.run.p, slab.run.direction).shifted(slab.reveal + slab.thickness)


def _ordered(a: float, b: float) -> Range:
    return (a, b) if a <= b else (b, a)


def _smaller(batten: Batten, spans: Callable[[Batten], list[Range]]) -> tuple[Remedy, ...]:
    """The largest smaller batten that has room, if there is one."""
    for size in SMALLER:
        for field in ("height", "width"):
            if size >= getattr(batten, field):
                continue
            thin = batten.model_copy(update={field: size})
            if spans(thin):
                text = f"Use battens {mm(thin.width)} wide and {mm(thin.height)} high."
                return (Remedy(text, f"batten.{field}", size),)
    return ()


def _no_side_cleat(
    project: Project,
    host: Piece,
    name: str,
    length: float,
    spans: Callable[[Batten], list[Range]],
    room: _Room,
) -> Finding:
    remedies = [*_smaller(project.batten, spans)]
    inner = host.panel in project.inner
    section = f"inner.{host.panel}" if inner else f"panels.{host.panel}"
    wished = not inner and host.panel in project.panels and project.panels[host.panel].cleats
    side = project.materials[project.shape.side.material].thickness
    depth = project.inner[host.panel].groove_depth if inner else 6.0
    if not inner and host.panel in project.panels:
        depth = project.panels[host.panel].groove_depth
    if not wished and depth <= side * GROOVE_MOST:
        text = (
            f"Let {host.label} into grooves {mm(depth)} deep in the sides; it needs no cleats then."
        )
        remedies.append(Remedy(text, f"{section}.joint", "groove"))
    elif not inner:
        text = f"Hold {host.label} by its neighbors alone, glued and screwed along its seams."
        remedies.append(Remedy(text, f"{section}.cleats.along", "none"))
    (u_low, u_high) = _side_range(name, room.inner, min(project.batten.width, room.inner))
    low, high = min(v for _, v in host.back), max(v for _, v in host.back)
    return NO_ROOM.finding(
        f"No room for a cleat at the {name} end of {host.label}: other parts leave less than "
        f"{mm(SHORTEST)} free along its {mm(max(length, 0.0))}.",
        remedies=tuple(remedies),
        names=(host.key,),
        point=host.frame.point((u_low + u_high) / 2, (low + high) / 2, -host.thickness),
    )


GROOVE_MOST = 0.5
"""Share of a side's thickness that grooves take at most. Common practice."""


def _cleat(
    thickness: float,
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
        thickness=thickness,
        frame=frame,
        show=((u[0], near[0]), (u[1], near[0]), (u[1], near[1]), (u[0], near[1])),
        back=((u[0], far[0]), (u[1], far[0]), (u[1], far[1]), (u[0], far[1])),
        panel=host.panel,
        grain="u" if long_way_u else "v",
    )


__all__ = [
    "END_ROOM",
    "GROOVE_MOST",
    "NOTCH_ROOM",
    "NO_ROOM",
    "SHORTEST",
    "SMALLER",
    "bounds_in",
    "corners_of",
    "corners_of_body",
    "notched",
    "seam_cleats",
    "side_cleats",
]
