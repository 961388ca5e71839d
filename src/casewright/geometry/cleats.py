"""Cleats: battens behind panels along the sides and behind seams, cut short of whatever stands in their way."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import shapely

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.plane import free_intervals
from casewright.basics.remembering import remembered
from casewright.design.materials import Batten
from casewright.design.panels import Cleats
from casewright.design.project import Project
from casewright.geometry.cleat_room import (
    END_ROOM,
    Obstacles,
    Passage,
    Range,
    box_passage,
    corners_of,
    corners_of_body,
    free_side_view,
    taken_by_features,
    taken_in_side_view,
)
from casewright.geometry.model import (
    Body,
    Feature,
    Frame,
    Piece,
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

GROOVE_MOST = 0.5
"""Share of a side's thickness that grooves take at most. Common practice."""

NO_ROOM = Rule(
    id="cleat.no-room",
    severity=Severity.CAUTION,
    asks="A cleat behind each panel end has room.",
    why="Without a cleat the panel hangs on its edge's glue alone.",
    source="Common practice",
)

WALLS = ("rail", "bar", "frame", "artwork", "strip", "duct", "board", "door")
"""Kinds of pieces on a panel's back that a cleat goes round."""

Bounds = tuple[Range, Range, Range]


@dataclass(frozen=True)
class Behind:
    """What battens have to keep out of."""

    free: shapely.Geometry
    standing: Obstacles
    features: Mapping[str, Sequence[Feature]]
    """By piece, besides those it has already."""
    inner: float
    """Between the sides. [mm]"""

    def taken(self, passage: Passage, host: Piece, cleats: Obstacles) -> list[Range]:
        """Stretches of a passage behind a panel that something else takes."""
        own = (*host.features, *self.features.get(host.key, ()))
        return [
            *self.standing.taken(passage, but=host.key),
            *cleats.taken(passage),
            *taken_by_features(passage, host, own),
        ]


def behind_panels(
    project: Project,
    shape: SolvedShape,
    slabs: Sequence[Slab],
    pieces: Sequence[Piece],
    bodies: Sequence[Body],
    features: Sequence[tuple[str, Feature]],
) -> Behind:
    """What is where battens would go: panels, other pieces, bodies, holes."""
    by_piece: dict[str, list[Feature]] = {}
    for key, feature in features:
        by_piece.setdefault(key, []).append(feature)
    return Behind(
        free=free_side_view(shape, slabs),
        standing=Obstacles((p for p in pieces if p.kind in WALLS), bodies),
        features=by_piece,
        inner=shape.width - sum(project.side_thicknesses),
    )


Cures = Callable[[Batten, str], bool]
"""Whether with another batten nothing is told any more that begins so."""


def side_cleats(
    project: Project,
    shape: SolvedShape,
    pieces: Sequence[Piece],
    room: Behind,
    cures: Cures | None = None,
) -> tuple[tuple[Piece, ...], tuple[Finding, ...]]:
    """Battens along both sides behind every panel and under every inner board that wants them.

    Without `cures` no other size of batten is proposed where one has no room.
    """
    cleats: list[Piece] = []
    standing = Obstacles()
    findings: list[Finding] = []
    for host, wish in _hosts(project, shape, pieces):
        low, high = min(v for _, v in host.back), max(v for _, v in host.back)
        low, high = low + _low_extra(wish, host), high - _high_extra(wish, host)
        for name in ("left", "right"):

            def spans(
                batten: Batten,
                host: Piece = host,
                name: str = name,
                along: Range = (low, high),
            ) -> list[Range]:
                return _side_spans(room, host, name, along, batten, standing)

            found = spans(project.batten)
            if not found:
                findings.append(_no_side_cleat(project, host, name, high - low, spans, room, cures))
            u = _side_range(host, name, room.inner, project.batten.width)
            made = []
            for number, span in enumerate(found, start=1):
                suffix = f"-{number}" if len(found) > 1 else ""
                made.append(
                    cleat_piece(
                        project.batten.height,
                        host,
                        f"{host.key}.cleat-{name}{suffix}",
                        f"{host.label} cleat, {name}{f' {number}' if suffix else ''}",
                        u,
                        span,
                        span,
                    )
                )
            standing.add(made)
            cleats += made
    return tuple(cleats), tuple(findings)


def _side_range(host: Piece, name: str, inner: float, width: float) -> Range:
    """Along the panel's u. A cleat is named after the cabinet's side; up the back, u runs from right to left."""
    return (0.0, width) if (name == "left") == (host.frame.u[0] > 0) else (inner - width, inner)


def _side_spans(
    room: Behind, host: Piece, name: str, along: Range, batten: Batten, cleats: Obstacles
) -> list[Range]:
    """Stretches behind a panel's end where a batten has room."""
    if batten.width > room.inner:
        return []
    u = _side_range(host, name, room.inner, batten.width)
    n = (-host.thickness - batten.height, -host.thickness)
    passage = box_passage(host.frame, 1, u, n)
    taken = taken_in_side_view(host.frame, room.free, along, n)
    return free_spans(*along, [*taken, *room.taken(passage, host, cleats)])


@remembered(256)
def notched(piece: Piece, cleats: Sequence[Piece]) -> Piece:
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


def free_spans(low: float, high: float, taken: Sequence[Range]) -> list[Range]:
    """What is left between two ends, and long enough for a batten. [mm]"""
    return [
        (a, b)
        for a, b in free_intervals(low, high, taken)
        if b - a >= min(SHORTEST, max(high - low, SHORTEST / 2))
    ]


def smaller_battens(
    batten: Batten, spans: Callable[[Batten], list[Range]], cures: Cures | None, said: str
) -> tuple[Remedy, ...]:
    """The largest smaller batten that has room when all are of its size, if there is one."""
    if cures is None:
        return ()
    for size in SMALLER:
        for field in ("height", "width"):
            if size >= getattr(batten, field):
                continue
            thin = batten.model_copy(update={field: size})
            if spans(thin) and cures(thin, said):
                text = f"Use battens {mm(thin.width)} wide and {mm(thin.height)} high."
                return (Remedy(text, f"batten.{field}", size),)
    return ()


def _no_side_cleat(
    project: Project,
    host: Piece,
    name: str,
    length: float,
    spans: Callable[[Batten], list[Range]],
    room: Behind,
    cures: Cures | None,
) -> Finding:
    said = f"No room for a cleat at the {name} end of {host.label}"
    least = {"width": SMALLER[-1], "height": SMALLER[-1]}
    remedies: list[Remedy] = []
    if cures and spans(project.batten.model_copy(update=least)):  # else none of them has room
        remedies += smaller_battens(project.batten, spans, cures, said)
    inner = host.panel in project.inner
    section = f"inner.{host.panel}" if inner else f"panels.{host.panel}"
    wished = not inner and host.panel in project.panels and project.panels[host.panel].cleats
    side = min(project.side_thicknesses)
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
    (u_low, u_high) = _side_range(host, name, room.inner, min(project.batten.width, room.inner))
    low, high = min(v for _, v in host.back), max(v for _, v in host.back)
    return NO_ROOM.finding(
        f"{said}: other parts leave less than "
        f"{mm(SHORTEST)} free along its {mm(max(length, 0.0))}.",
        remedies=tuple(remedies),
        names=(host.key,),
        point=host.frame.point((u_low + u_high) / 2, (low + high) / 2, -host.thickness),
    )


@remembered(2048)
def cleat_piece(
    thickness: float,
    host: Piece,
    key: str,
    label: str,
    u: Range,
    near: Range,
    far: Range,
) -> Piece:
    """A batten on a panel's back; `near` and `far` are its v on the panel's back and away from it. [mm]"""
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
    "Behind",
    "Cures",
    "behind_panels",
    "bounds_in",
    "cleat_piece",
    "corners_of",
    "corners_of_body",
    "free_spans",
    "notched",
    "side_cleats",
    "smaller_battens",
]
