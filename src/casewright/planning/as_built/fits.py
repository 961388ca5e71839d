"""A made piece held against the plan: edge by edge and hole by hole."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.geometry.facets import counter_clockwise
from casewright.geometry.model import Circle, FaceName, Feature, Piece, Point2, Polygon, Rectangle
from casewright.planning.as_built.made import MadePiece, edge_line, feature_made, middle_of
from casewright.planning.setups import EdgeName, edge_names

HELD = ("side", "panel", "overlay", "inner")
"""Kinds of pieces whose place in their frame is the cabinet's: what they carry cannot move along with them."""
SCREWED = ("pilot", "clearance", "counterbore", "countersink")
"""Holes of screws: nobody sees them, and they are simply bored anew."""
EXACT = 1e-3
"""Lengths in records are kept to a thousandth. [mm]"""

TIGHT = 0.1
"""A board is pressed into a groove that is narrower than planned by no more: its play. [mm]"""

FeatureChange = Literal[
    "moved",
    "smaller",
    "larger",
    "missing",
    "needless",
    "face",
    "deeper",
    "narrow",
    "short",
    "loose",
]
"""What a made hole or groove is beside the planned one; the last three are a groove's."""


@dataclass(frozen=True)
class EdgeFit:
    """One edge of a made piece beside the plan's."""

    index: int
    """Of the plan's outline: the edge from point i to the next."""
    name: EdgeName
    spare: float
    """Material beyond the plan's edge where there is most of it, over both faces. [mm]"""
    short: float
    """Material lacking where it lacks most, over both faces; 0 where none does. [mm]"""
    short_face: FaceName | None
    """The face it lacks on, if on one alone."""
    tilt_deg: float
    """Of the saw, for the plan's edge."""
    made_tilt_deg: float
    outward: Point2
    """Unit normal out of the plan's outline, in the piece's frame."""


@dataclass(frozen=True)
class FeatureFit:
    """A hole or other feature that is not as the plan wants it."""

    key: str
    change: FeatureChange
    planned: Feature | None
    made: Feature | None
    du: float = 0.0
    """Made middle right of the planned one. [mm]"""
    dv: float = 0.0
    by: float = 0.0
    """What a groove lacks in width or at an end, or what a loose one is too wide. [mm]"""

    @property
    def off(self) -> float:
        """Between the two middles. [mm]"""
        return math.hypot(self.du, self.dv)


@dataclass(frozen=True)
class Fit:
    """A made piece laid into its place."""

    piece: str
    edges: tuple[EdgeFit, ...]
    features: tuple[FeatureFit, ...]
    shift: Point2 = (0.0, 0.0)
    """How far it is laid from where it was drawn, where no hole holds it."""
    other_shape: bool = False
    """The plan's outline has other corners: it cannot be compared edge by edge."""

    @property
    def short(self) -> float:
        """Most that lacks at any edge. [mm]"""
        return max((edge.short for edge in self.edges), default=0.0)

    @property
    def spare(self) -> float:
        """Most that stands over at any edge. [mm]"""
        return max((edge.spare for edge in self.edges), default=0.0)


def fit_of(piece: Piece, made: MadePiece, *, seam: float, hole: float) -> Fit:
    """Lay a made piece where the plan has it.

    A piece without holes is laid so that least is lacking and least is to be sawn; holes hold a panel, side or overlay
    where it is, those of screws only as long as nothing lacks there. Cleats, rails and other small pieces take their
    holes along.

    Args:
        piece: As the plan has it.
        made: As it is.
        seam: Edges nearer than this fit. [mm]
        hole: Holes nearer than this are where they belong. [mm]

    Source:
        Plain geometry.
    """
    if len(made.show) != len(piece.show) or len(made.back) != len(piece.back):
        features = _feature_fits(piece, made, seam, hole, (0.0, 0.0))
        return Fit(piece.key, (), features, other_shape=True)
    loose = piece.kind not in HELD
    as_drawn = (0.0, 0.0)
    edges = _edge_fits(piece, made, as_drawn)
    held = bool(made.features) and not loose
    if held and all(feature.kind in SCREWED for feature in made.features.values()):
        held = max((edge.short for edge in edges), default=0.0) <= seam
    shifts = [as_drawn] if held else _shifts(piece, made)
    fits = [
        (_edge_fits(piece, made, shift), _feature_fits(piece, made, seam, hole, shift), shift)
        for shift in shifts
    ]

    def cost(
        fit: tuple[tuple[EdgeFit, ...], tuple[FeatureFit, ...], Point2],
    ) -> tuple[float, ...]:
        edges, features, shift = fit
        cuts = [edge for edge in edges if edge.spare > seam]
        return (
            round(max(max((edge.short for edge in edges), default=0.0) - seam, 0.0), 3),
            len(features),
            len(cuts),
            sum(edge.tilt_deg > 0.1 for edge in cuts),
            round(sum(edge.spare for edge in cuts), 3),
            round(math.hypot(*shift), 3),
        )

    edges, features, shift = min(fits, key=cost)
    return Fit(piece.key, edges, features, shift)


def _shifts(piece: Piece, made: MadePiece) -> list[Point2]:
    """Where a piece could lie: as drawn, or with an edge where the plan has it, each way."""
    ways: list[list[float]] = []
    for axis in (0, 1):
        plan = [p[axis] for p in (*piece.show, *piece.back)]
        here = [p[axis] for p in (*made.show, *made.back)]
        steps = (0.0, min(plan) - min(here), max(plan) - max(here))
        ways.append(list(dict.fromkeys(round(step, 6) for step in steps)))
    return [(du, dv) for du in ways[0] for dv in ways[1]]


def _edge_fits(piece: Piece, made: MadePiece, shift: Point2) -> tuple[EdgeFit, ...]:
    fits = []
    names = edge_names(piece.show)
    made_show, made_back = _shifted(made.show, shift), _shifted(made.back, shift)
    for index, name in enumerate(names):
        after = (index + 1) % len(names)
        spares: dict[FaceName, list[float]] = {
            "show": _spares(piece.show, made_show, index, after),
            "back": _spares(piece.back, made_back, index, after),
        }
        lacks = {face: max(0.0, -min(values)) for face, values in spares.items()}
        lacking = [face for face, value in lacks.items() if value > EXACT]
        line = edge_line(piece.show, index)
        fits.append(
            EdgeFit(
                index=index,
                name=name,
                spare=max(0.0, *spares["show"], *spares["back"]),
                short=max(lacks.values()),
                short_face=lacking[0] if len(lacking) == 1 else None,
                tilt_deg=_tilt(piece.show, piece.back, index, piece.thickness),
                made_tilt_deg=_tilt(made.show, made.back, index, piece.thickness),
                outward=(-line.left[0], -line.left[1]),
            )
        )
    return tuple(fits)


def _spares(plan: Sequence[Point2], made: Sequence[Point2], index: int, after: int) -> list[float]:
    """How far both ends of the plan's edge lie inside the made edge's line. [mm]"""
    line = edge_line(made, index)
    return [_clean(line.offset(plan[corner])) for corner in (index, after)]


def _clean(value: float) -> float:
    return 0.0 if abs(value) < EXACT else value


def _shifted(points: Sequence[Point2], shift: Point2) -> tuple[Point2, ...]:
    return tuple((u + shift[0], v + shift[1]) for u, v in points)


def _tilt(show: Sequence[Point2], back: Sequence[Point2], index: int, thickness: float) -> float:
    """Tilt of an edge off square, unsigned. [deg]"""
    reach = edge_line(show, index).offset(edge_line(back, index).at(0.0))
    return math.degrees(math.atan2(abs(reach), thickness))


# ---- features ----


def _feature_fits(
    piece: Piece, made: MadePiece, seam: float, tolerance: float, shift: Point2
) -> tuple[FeatureFit, ...]:
    fits: list[FeatureFit] = []
    planned = {feature.key: feature for feature in piece.features}
    for key, feature in planned.items():
        there = made.features.get(key)
        if there is None:
            if feature_made(made.record, feature):
                fits.append(FeatureFit(key, "missing", feature, None))
            continue
        (u, v), (mu, mv) = middle_of(feature), middle_of(there)
        off = (mu + shift[0] - u, mv + shift[1] - v)
        groove = _groove_changes(feature, there, seam, tolerance, shift)
        if groove is not None:
            fits += [FeatureFit(key, change, feature, there, *off, by) for change, by in groove]
            continue
        change = _change(feature, there, tolerance, shift)
        if change is not None:
            fits.append(FeatureFit(key, change, feature, there, *off))
    fits += [
        FeatureFit(key, "needless", None, there)
        for key, there in made.features.items()
        if key not in planned
    ]
    return tuple(fits)


def _change(
    planned: Feature, made: Feature, tolerance: float, shift: Point2
) -> FeatureChange | None:
    if made.face != planned.face and (made.depth is not None or planned.depth is not None):
        return "face"
    (u, v), (mu, mv) = middle_of(planned), middle_of(made)
    if math.hypot(mu + shift[0] - u, mv + shift[1] - v) > tolerance:
        return "moved"
    grown = _grown(planned, made)
    if grown is None or max(grown) > tolerance:
        return "larger" if grown is None or min(grown) >= -tolerance else "moved"
    if min(grown) < -tolerance:
        return "smaller"
    deep, wanted = made.depth or math.inf, planned.depth or math.inf
    if deep < wanted - tolerance:
        return "smaller"
    return "deeper" if deep > wanted + tolerance else None


def _groove_changes(
    planned: Feature, made: Feature, seam: float, tolerance: float, shift: Point2
) -> list[tuple[FeatureChange, float]] | None:
    """How a groove differs, wall by wall, and by how much; None where it is no groove of the same walls and depth.

    A wall that stands in the board's way is told once the board cannot simply be pressed in; a groove too wide once
    glue does not fill it.
    """
    a, b = planned.shape, made.shape
    if planned.kind != "groove" or not (isinstance(a, Polygon) and isinstance(b, Polygon)):
        return None
    if len(a.points) != 4 or len(b.points) != 4 or made.face != planned.face:
        return None
    deep, wanted = made.depth or math.inf, planned.depth or math.inf
    if deep != wanted and abs(deep - wanted) > tolerance:
        return None
    plan, there = counter_clockwise(a.points), counter_clockwise(_shifted(b.points, shift))
    spares = [_spares(plan, there, index, (index + 1) % 4) for index in range(4)]
    by_length = sorted(range(4), key=lambda i: -math.dist(plan[i], plan[(i + 1) % 4]))
    walls, ends = by_length[:2], by_length[2:]
    lacks = max(-min(spares[wall]) for wall in walls)
    room = sum(min(spares[wall]) for wall in walls)
    found: list[tuple[FeatureChange, float]] = []
    if lacks > TIGHT:
        found.append(("moved", lacks) if lacks + room > seam else ("narrow", lacks))
    elif room > seam:
        found.append(("loose", room))
    short = max(-min(spares[end]) for end in ends)
    if short > tolerance:
        found.append(("short", short))
    return found


def _grown(planned: Feature, made: Feature) -> tuple[float, ...] | None:
    """How much larger it is made than planned, each way; None where the two are of different shapes. [mm]"""
    a, b = planned.shape, made.shape
    if isinstance(a, Circle) and isinstance(b, Circle):
        return (b.diameter - a.diameter,)
    if isinstance(a, Rectangle) and isinstance(b, Rectangle):
        if abs((a.turn_deg - b.turn_deg + 90) % 180 - 90) > 0.5:
            return None
        return (b.width - a.width, b.height - a.height)
    if isinstance(a, Polygon) and isinstance(b, Polygon):
        boxes = [_box(shape.points) for shape in (a, b)]
        return tuple(boxes[1][axis] - boxes[0][axis] for axis in (0, 1))
    return None


def _box(points: Sequence[Point2]) -> Point2:
    us, vs = [p[0] for p in points], [p[1] for p in points]
    return (max(us) - min(us), max(vs) - min(vs))


__all__ = ["SCREWED", "EdgeFit", "FeatureChange", "FeatureFit", "Fit", "fit_of"]
