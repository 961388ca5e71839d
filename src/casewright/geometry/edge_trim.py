"""The slot for an edge trim round the sides, how much trim that takes, and what the trim does not go round."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

import shapely

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.plane import Line, crossing, line_through
from casewright.basics.reckoning import Term, total
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Hardware
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.geometry.carcass import LEFT, face_points
from casewright.geometry.cuts import cut_of, slot_levels
from casewright.geometry.facets import shape_points
from casewright.geometry.fitting import Fitted
from casewright.geometry.model import Feature, Piece, Point2, Polygon, Run, SolvedShape

RADIUS_LEAST = 20.0
"""Tightest outside corner that an edge trim bends round whole. Source: common practice. [mm]"""
TURN_MOST_DEG = 10.0
"""A corner that turns less is followed without a notch. Source: common practice."""
WALL_LEAST = 4.0
"""Least board on either side of the slot. Source: common practice. [mm]"""

BARE = 0.3
"""Of an edge, what a trim may leave bare. Source: common practice. [mm]"""
OVER = 1.0
"""What a trim may stand over an edge, to be cut flush with a sharp blade. Source: common practice. [mm]"""

_STEP = 0.05  # mm; how nearly the deepest slot is told

TRIM_LENGTH = "side.trim_length"
"""Number that says how much trim the edges take, both sides."""

CORNER = Rule(
    "trim.corner",
    Severity.NOTE,
    "Edge trim goes round outside corners of 20 mm radius or more.",
    "Round a tighter corner its spline buckles and lifts the trim; round an inside corner it does not bend at all.",
    "Common practice",
)

WALL = Rule(
    "trim.wall",
    Severity.CAUTION,
    "Enough board is left on either side of the slot for the edge trim.",
    "Thin walls split when the trim is driven in.",
    "Common practice",
)

WIDTH = Rule(
    "trim.width",
    Severity.CAUTION,
    "An edge trim is as wide as the edge that it covers.",
    "A narrower one leaves the edge bare; a wider one stands over both faces and is torn off.",
    "Common practice",
)

CLASH = Rule(
    "trim.clash",
    Severity.STOP,
    "Nothing else is cut where the slot for the edge trim runs.",
    "A groove or hole that opens the slot lets the spline come through, or leaves the trim without hold.",
    "Plain geometry",
)


def trim_slots(
    project: Project, parts: Mapping[str, KnownPart], shape: SolvedShape, sides: Sequence[Piece]
) -> Fitted:
    """Return the slots in both sides, the trim they take and what is said about their corners.

    Every edge but the floor's is trimmed. A slot is one shape along all edges that follow each other: first along the
    edge, then back along its floor; it ends on the untrimmed edge. Its `depth` is its width, in the middle of the
    board.

    Raises:
        InputErrors: the trim is no part of the project, or one without a slot; its slot is wider than the board.

    Source:
        Plain geometry.
    """
    key = project.shape.side.edge_trim
    if key is None:
        return Fitted()
    data = _trim(project, parts, key)
    chains = _chains(shape.runs)
    for chain in chains:
        _check_depth(key, data.slot_depth, chain, shape.runs)
    depth = max(y for y, _ in shape.corners.values())
    features: list[tuple[str, Feature]] = []
    for side in sides:
        for count, chain in enumerate(chains, 1):
            points = _slot(chain, shape.runs, data.slot_depth)
            name = f"{key}.slot" if len(chains) == 1 else f"{key}.slot-{count}"
            outline = face_points(points, depth, mirrored=side.key == LEFT)
            if side.key == LEFT:  # mirrored ones start again along the edge
                outline = (*outline[len(points) // 2 :], *outline[: len(points) // 2])
            features.append(
                (
                    side.key,
                    Feature(
                        name,
                        "slot",
                        Polygon(outline),
                        "show",
                        data.slot_width,
                        "slot cutter",
                        owner=key,
                        label="slot for the edge trim",
                    ),
                )
            )
    trimmed = [run for chain in chains for run in chain]
    number = total(
        TRIM_LENGTH,
        "edge trim, both sides",
        [Term(f"edge {run.name}", run.length, 2) for run in trimmed],
        rule="All edges of the sides but the floor's.",
    )
    return Fitted(
        features=tuple(features),
        numbers=(number,),
        findings=(
            *_corners(chains, sides),
            *_walls(data, sides),
            *_width(project, key, data, sides),
        ),
    )


def trim_clashes(pieces: Iterable[Piece]) -> tuple[Finding, ...]:
    """Return a finding for each thing that is cut into a side where its slot runs; one for a mirrored pair."""
    found: dict[tuple[str, ...], Finding] = {}
    for piece in pieces:
        for slot in (f for f in piece.features if f.kind == "slot"):
            low, high = slot_levels(cut_of(slot), piece.thickness)
            for other in piece.features:
                if other.kind == "slot" or not _reaches(other, piece.thickness, low, high):
                    continue
                if _meet(slot, other):
                    found.setdefault(
                        (other.kind, other.key.replace("left", "right")),
                        _clash(piece, slot, other),
                    )
    return tuple(found.values())


def _trim(project: Project, parts: Mapping[str, KnownPart], key: str) -> Hardware:
    trims = [
        k
        for k, p in parts.items()
        if isinstance(p.data, Hardware) and min(p.data.slot_width, p.data.slot_depth) > TOUCHING
    ]
    part = parts.get(key)
    field = "shape.side.edge_trim"
    if part is None or key not in trims:
        want = "a part of type 'edge-trim-…'"
        if trims:
            want = f"a part whose slot has a width and a depth: {', '.join(trims)}"
        example = trims[0] if trims else "edge-trim"
        raise InputErrors([InputError(field, got=key, want=want, example=example)])
    assert isinstance(part.data, Hardware)
    thickness = min(project.side_thicknesses)
    if part.data.slot_width >= thickness:
        raise InputErrors(
            [
                InputError(
                    f"parts.{key}.measured.slot_width",
                    got=f"{part.data.slot_width:g} mm",
                    want=f"less than the side's thickness of {thickness:g} mm",
                    example="2 mm",
                )
            ]
        )
    return part.data


def _chains(runs: Sequence[Run]) -> list[list[Run]]:
    """Trimmed runs that follow each other; all round, they are cut in two so that each is an open line."""
    count = len(runs)
    floors = [i for i, run in enumerate(runs) if run.role == "floor"]
    if not floors:
        half = count // 2
        return [list(runs[:half]), list(runs[half:])]
    chains: list[list[Run]] = [[]]
    for step in range(1, count + 1):
        run = runs[(floors[0] + step) % count]
        if run.role == "floor":
            chains.append([])
        else:
            chains[-1].append(run)
    return [chain for chain in chains if chain]


def _slot(chain: Sequence[Run], runs: Sequence[Run], reach: float) -> tuple[Point2, ...]:
    """Outline of a slot in (y, z), counter-clockwise: along the edges, and back along its floor."""
    at = {run.name: i for i, run in enumerate(runs)}
    before = runs[at[chain[0].name] - 1]
    after = runs[(at[chain[-1].name] + 1) % len(runs)]
    edges = [Line(run.p, run.direction) for run in chain]
    floors = [edge.shifted(reach) for edge in edges]
    trimmed_all_round = not any(run.role == "floor" for run in runs)
    ends = [Line(run.p, run.direction) for run in (before, after)]
    if trimmed_all_round:
        ends = [end.shifted(reach) for end in ends]
    inner = [_met(floors[0], ends[0], chain[0].p, edges[0], reach)]
    inner += [
        _met(a, b, run.q, edge, reach)
        for a, b, run, edge in zip(floors, floors[1:], chain, edges, strict=False)
    ]
    inner.append(_met(floors[-1], ends[1], chain[-1].q, edges[-1], reach))
    outer = [chain[0].p, *(run.q for run in chain)]
    return (*outer, *reversed(inner))


def _check_depth(key: str, reach: float, chain: Sequence[Run], runs: Sequence[Run]) -> None:
    """Raise where a slot is so deep that its floor crosses itself or runs the other way."""

    def goes_round(depth: float) -> bool:
        points = _slot(chain, runs, depth)
        inner = points[: len(chain) : -1]
        ways = [
            (b[0] - a[0]) * run.direction[0] + (b[1] - a[1]) * run.direction[1]
            for (a, b), run in zip(pairwise(inner), chain, strict=True)
        ]
        return min(ways) > 0 and shapely.Polygon(points).is_valid

    if goes_round(reach):
        return
    least, most = 0.0, reach
    while most - least > _STEP:
        middle = (least + most) / 2
        least, most = (middle, most) if goes_round(middle) else (least, middle)
    raise InputErrors(
        [
            InputError(
                f"parts.{key}.measured.slot_depth",
                got=f"{reach:g} mm",
                want=f"at most {math.floor(least * 10) / 10:g} mm, or the slot's floor crosses itself",
                example="9 mm",
            )
        ]
    )


def _met(a: Line, b: Line, corner: Point2, edge: Line, reach: float) -> Point2:
    """Where two floors meet; straight in from the corner where they are in one line."""
    point = crossing(a, b)
    if point is not None and math.dist(point, corner) <= 20 * reach:
        return point
    return edge.shifted(reach).at(edge.along(corner))


def _corners(chains: Sequence[Sequence[Run]], sides: Sequence[Piece]) -> Iterable[Finding]:
    tight: list[str] = []
    inside: list[str] = []
    for chain in chains:
        for a, b in pairwise(chain):
            turn = _turn_deg(a, b)
            if abs(turn) > TURN_MOST_DEG:
                (tight if turn > 0 else inside).append(a.end)
    names = tuple(side.key for side in sides)
    if tight:
        yield CORNER.finding(
            f"The sides' outside corners {', '.join(tight)} are sharp; edge trim bends round "
            f"{mm(RADIUS_LEAST)} or more.",
            remedies=(
                Remedy(
                    "Notch the spline at each of them: cut a V out of it, not into the face, so "
                    "that the trim folds."
                ),
                Remedy(f"Or round these corners to a radius of {mm(RADIUS_LEAST)}."),
            ),
            names=names,
        )
    if inside:
        yield CORNER.finding(
            f"Edge trim does not go into the sides' inside {_corners_word(inside)}.",
            remedies=(Remedy("End it there and miter the two ends with a sharp knife."),),
            names=names,
        )


def _corners_word(names: Sequence[str]) -> str:
    return f"corner{'s' if len(names) > 1 else ''} {', '.join(names)}"


def _turn_deg(a: Run, b: Run) -> float:
    """Change of direction from one run to the next; positive at an outside corner."""
    (ay, az), (by, bz) = a.direction, b.direction
    return math.degrees(math.atan2(ay * bz - az * by, ay * by + az * bz))


def _width(
    project: Project, key: str, data: Hardware, sides: Sequence[Piece]
) -> tuple[Finding, ...]:
    """The trim against the thickest side and the thinnest."""
    if not data.trim_width:
        return ()
    thick = max(side.thickness for side in sides)
    thin = min(side.thickness for side in sides)
    bare, over = thick - data.trim_width, data.trim_width - thin
    if bare <= BARE + TOUCHING and over <= OVER + TOUCHING:
        return ()
    wrong = (
        f"{mm(bare)} of it stay bare"
        if bare > BARE + TOUCHING
        else f"it stands {mm(over)} over, both faces together"
    )
    material = project.shape.side.material
    fits = [
        (abs(other.thickness - data.trim_width), name, other.label or name)
        for name, other in project.materials.items()
        if name != material
        and -BARE - TOUCHING <= data.trim_width - other.thickness <= OVER + TOUCHING
    ]
    return (
        WIDTH.finding(
            f"The edge trim is {mm(data.trim_width)} wide, the sides' edge {mm(thick)}: {wrong}.",
            remedies=(
                Remedy(f"Take a trim {mm(thick)} wide, or up to {mm(thin + OVER)}, cut flush."),
                *(
                    Remedy(f"Or make the sides of {label}.", "shape.side.material", name)
                    for _, name, label in sorted(fits)[:1]
                ),
            ),
            names=tuple(side.key for side in sides),
        ),
    )


def _walls(data: Hardware, sides: Sequence[Piece]) -> Iterable[Finding]:
    wall = (sides[0].thickness - data.slot_width) / 2
    if wall < WALL_LEAST - 1e-6:
        yield WALL.finding(
            f"Beside the slot for the edge trim {mm(wall)} of the sides is left; {mm(WALL_LEAST)} is asked.",
            remedies=(
                Remedy(f"Take sides of {at_least(data.slot_width + 2 * WALL_LEAST)} or more."),
            ),
            names=tuple(side.key for side in sides),
        )


def _reaches(feature: Feature, thickness: float, low: float, high: float) -> bool:
    """Whether it is cut deep enough to open the slot between two levels of n."""
    if feature.depth is None:
        return True
    if feature.face == "show":
        return -feature.depth < high
    return feature.depth - thickness > low


def _meet(slot: Feature, other: Feature) -> bool:
    import shapely

    area = shapely.Polygon(shape_points(slot.shape))
    common = area.intersection(shapely.Polygon(shape_points(other.shape)))
    return bool(common.area > 1e-3)


def _clash(piece: Piece, slot: Feature, other: Feature) -> Finding:
    what = other.label or other.kind
    reach = slot_reach(slot)
    points = shape_points(other.shape)
    u = math.fsum(float(p[0]) for p in points) / len(points)
    v = math.fsum(float(p[1]) for p in points) / len(points)
    return CLASH.finding(
        f"In the {piece.label}, {what} runs into the slot for the edge trim, {mm(reach)} deep from the edge.",
        remedies=(
            Remedy(f"Keep it {mm(reach)} and a little more from the edge, or make it shallower."),
            Remedy("Or leave the edge trim out: take 'edge_trim' from the sides."),
        ),
        names=(piece.key, *((other.owner,) if other.owner else ())),
        point=piece.frame.point(u, v),
    )


def slot_reach(feature: Feature) -> float:
    """Return how deep a slot goes in from the edge that its outline starts along. [mm]"""
    assert isinstance(feature.shape, Polygon)
    points = feature.shape.points
    return abs(line_through(points[0], points[1]).offset(points[-1]))


__all__ = [
    "CLASH",
    "CORNER",
    "RADIUS_LEAST",
    "TRIM_LENGTH",
    "TURN_MOST_DEG",
    "WALL",
    "WALL_LEAST",
    "slot_reach",
    "trim_clashes",
    "trim_slots",
]
