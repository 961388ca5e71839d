"""A cabinet measured on its solids by other means than its own arithmetic: mesh corners, shapely (GEOS)."""

from __future__ import annotations

import itertools
import math
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from casewright.basics.findings import Finding, Severity
from casewright.geometry import model
from casewright.geometry.model import Cabinet, Corner, Feature, Piece
from casewright.geometry.solids import solid_of

CLOSED = 0.01
"""A seam is closed to this. [mm] DESIGN: "every designed seam is closed to 0.01 mm"."""
CONTACT = 1.0
"""Solids that share no more than this only touch. [mm³]"""
OPEN_ENDED = ("groove", "notch", "slot")

YZ = tuple[float, float]


def forget() -> None:
    """Empty every memo of the program, but for the catalogs' files that were read."""
    for name, module in list(sys.modules.items()):
        if not name.startswith("casewright.") or name.startswith("casewright.catalog"):
            continue
        for value in list(vars(module).values()):
            clear = getattr(value, "cache_clear", None)
            if callable(clear) and not isinstance(value, type):
                clear()


# ---- overlaps --------------------------------------------------------------------------------------------------------


def overlaps(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Piece, float]]:
    """Every two pieces whose solids share more than contact, and how much. [mm³] By brute force."""
    solids = [solid_of(piece) for piece in pieces]
    for (a, first), (b, second) in itertools.combinations(zip(pieces, solids, strict=True), 2):
        if _apart(first.box, second.box):
            continue
        shared = float((first.manifold ^ second.manifold).volume())
        if shared > CONTACT:
            yield a, b, shared


def _apart(a: tuple[model.Point3, model.Point3], b: tuple[model.Point3, model.Point3]) -> bool:
    return any(a[1][i] <= b[0][i] or b[1][i] <= a[0][i] for i in range(3))


def cross_sections(pieces: Sequence[Piece], per_axis: int = 5) -> Iterator[list[BaseGeometry]]:
    """What planes square to each axis cut out of all pieces. [mm]

    In shapely and not as one solid: manifold3d 3.5 loses some mm³ of a union where round holes of touching pieces meet.
    """
    solids = [solid_of(piece).manifold for piece in pieces]
    for turned in ((0, 0, 0), (90, 0, 0), (0, 90, 0)):
        laid = [solid.rotate(turned) for solid in solids]
        low = min(solid.bounding_box()[2] for solid in laid)
        high = max(solid.bounding_box()[5] for solid in laid)
        for step in range(per_axis):
            # no round share, so that no plane lies in a face
            at = low + (high - low) * (step + 0.4142) / per_axis
            yield [_area_of(solid.slice(at).to_polygons()) for solid in laid]


def _area_of(rings: Sequence[np.ndarray]) -> BaseGeometry:
    """The area within rings that go left round material and right round holes."""
    polygons = [Polygon(ring) for ring in rings]
    filled = [polygon for polygon in polygons if polygon.exterior.is_ccw]
    holes = [polygon for polygon in polygons if not polygon.exterior.is_ccw]
    return shapely.difference(shapely.union_all(filled), shapely.union_all(holes))


def stops_naming(findings: Sequence[Finding], *keys: str) -> list[Finding]:
    """Findings that forbid cutting and name all the keys."""
    return [f for f in findings if f.severity is Severity.STOP and set(keys) <= set(f.place.names)]


# ---- blanks ----------------------------------------------------------------------------------------------------------


def blank_points(piece: Piece) -> np.ndarray:
    """Corners of the mesh of a piece before anything is worked into it, in its own frame. [mm]"""
    points = solid_of(replace(piece, features=())).mesh[0]
    frame = piece.frame
    axes = np.array([frame.u, frame.v, frame.n])
    return (points - np.array(frame.origin)) @ axes.T


def prism_volume(piece: Piece) -> float:
    """Volume of the ruled body between two parallel faces, by the prismoidal formula. [mm³]

    Source:
        The prismoidal formula, V = h (A1 + 4 Am + A2) / 6 (any handbook of earthwork or of solid geometry).
    """
    middle = [
        ((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in zip(piece.show, piece.back, strict=True)
    ]
    areas = [Polygon(points).area for points in (piece.show, middle, piece.back)]
    return piece.thickness * (areas[0] + 4 * areas[1] + areas[2]) / 6


# ---- seams -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Section:
    """A panel's four corners in the side view, read from the meshes of its layers. [mm]

    `along` is the way of its run; `start` and `end` are (on the show face, on the back face).
    """

    along: YZ
    start: tuple[YZ, YZ]
    end: tuple[YZ, YZ]


def section_of(cabinet: Cabinet, panel: str) -> Section:
    """The cross-section of a panel with all its layers."""
    run = next(run for run in cabinet.shape.runs if run.panel == panel)
    ey, ez = np.subtract(run.q, run.p) / math.dist(run.p, run.q)
    points = np.concatenate(
        [
            solid_of(replace(piece, features=())).mesh[0][:, 1:]
            for piece in cabinet.pieces
            if piece.panel == panel and piece.kind in ("panel", "overlay")
        ]
    )
    along = points @ np.array([ey, ez])
    inward = points @ np.array([-ez, ey])
    show = np.abs(inward - inward.min()) < 1e-4
    back = np.abs(inward - inward.max()) < 1e-4

    def at(face: np.ndarray, *, last: bool) -> YZ:
        index = np.where(face, along, -np.inf if last else np.inf)
        y, z = points[index.argmax() if last else index.argmin()]
        return (float(y), float(z))

    return Section(
        (float(ey), float(ez)),
        (at(show, last=False), at(back, last=False)),
        (at(show, last=True), at(back, last=True)),
    )


def off_line(point: YZ, a: YZ, b: YZ) -> float:
    """Distance of a point from the endless line through two others. [mm]"""
    length = math.dist(a, b)
    return abs((b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])) / length


def seam_errors(cabinet: Cabinet, corner: Corner) -> list[str]:
    """What is wrong with a seam between two panels, in words; measured on their solids."""
    first, second = section_of(cabinet, corner.first), section_of(cabinet, corner.second)
    ring = list(cabinet.shape.corners.values())
    at = list(cabinet.shape.corners).index(corner.name)
    before, here, after = ring[at - 1], ring[at], ring[(at + 1) % len(ring)]
    turn = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (
        after[0] - here[0]
    )
    reflex = turn < 0
    ends = first.end, second.start
    if corner.rule == "miter":
        if abs(turn) / math.dist(before, here) / math.dist(here, after) < 1e-6:
            return []  # straight on: cut square, measured as the faces of unequal boards meet
        gaps = [off_line(p, *ends[1]) for p in ends[0]] + [off_line(p, *ends[0]) for p in ends[1]]
        return [f"miter open by {gap:.4f}" for gap in gaps if gap > CLOSED]
    if corner.rule == "free":
        return _free_errors(cabinet, corner, first, second)
    if corner.rule == "gap" and abs(180 - corner.inside_deg) < 45 - 1e-6:
        # end to end: the panel that goes over ends on the line that halves the corner, the other a gap away
        return _parted_errors(corner, before, after, ends)
    wrong = []
    covers_first = corner.over == corner.first
    cover, covered_end = (first, ends[1]) if covers_first else (second, ends[0])
    covered, cover_end = (second, ends[0]) if covers_first else (first, ends[1])
    face = 0 if reflex else 1  # inward corners stand on the show face
    line = cover.start[face], cover.end[face]
    for point in covered_end:
        gap = off_line(point, *line)
        if abs(gap - corner.gap) > CLOSED:
            wrong.append(f"gap of {gap:.4f} where {corner.gap:.4f} is designed")
    flush = 1 if reflex else 0
    reach = covered.start[flush], covered.end[flush]
    for point in cover_end:
        if (past := off_line(point, *reach)) > CLOSED:
            wrong.append(f"covering panel {past:.4f} from flush")
    return wrong


def _parted_errors(
    corner: Corner, before: YZ, after: YZ, ends: tuple[tuple[YZ, YZ], tuple[YZ, YZ]]
) -> list[str]:
    """Both ends measured along the bisector of the two runs, from the corner on."""
    y, z = corner.point
    back, on = math.dist((y, z), before), math.dist((y, z), after)
    way = (
        (y - before[0]) / back + (after[0] - y) / on,
        (z - before[1]) / back + (after[1] - z) / on,
    )
    long = math.hypot(*way)
    wrong = []
    for panel, end, sign in ((corner.first, ends[0], -1.0), (corner.second, ends[1], 1.0)):
        asked = 0.0 if panel == corner.over else sign * corner.gap
        for py, pz in end:
            at = ((py - y) * way[0] + (pz - z) * way[1]) / long
            if abs(at - asked) > CLOSED:
                wrong.append(f"{panel} ends {at:.4f} from the corner where {asked:.4f} is designed")
    return wrong


def _free_errors(cabinet: Cabinet, corner: Corner, first: Section, second: Section) -> list[str]:
    seam = next(s for s in cabinet.shape.seams if set(s.between) == {corner.first, corner.second})
    wrong = []
    for panel, section, end, sign in (
        (corner.first, first, first.end, 1.0),
        (corner.second, second, second.start, -1.0),
    ):
        ey, ez = section.along
        (sy, sz), (by, bz) = end
        thick = math.dist((sy, sz), (by, bz))
        longer = sign * ((sy - by) * ey + (sz - bz) * ez)
        tilt = math.degrees(math.asin(max(-1.0, min(1.0, longer / thick))))
        back = sign * ((corner.point[0] - sy) * ey + (corner.point[1] - sz) * ez)
        if abs(tilt - seam.tilt.get(panel, 0.0)) > 0.01:
            wrong.append(f"{panel} tilted {tilt:.3f}")
        if abs(back - seam.setback.get(panel, 0.0)) > CLOSED:
            wrong.append(f"{panel} set back {back:.3f}")
    return wrong


# ---- features --------------------------------------------------------------------------------------------------------


def shape_of(feature: Feature) -> BaseGeometry:
    """A feature's shape as shapely has it, its chamfer on the face included. [mm]"""
    shape = feature.shape
    if isinstance(shape, model.Circle):
        made = Point(shape.u, shape.v).buffer(shape.diameter / 2, quad_segs=64)
    elif isinstance(shape, model.Polygon):
        made = shapely.make_valid(Polygon(shape.points))
    else:
        radius = min(shape.radius, shape.width / 2, shape.height / 2)
        core = shapely.box(
            shape.u - shape.width / 2 + radius,
            shape.v - shape.height / 2 + radius,
            shape.u + shape.width / 2 - radius,
            shape.v + shape.height / 2 - radius,
        )
        if core.area == 0:
            xs, ys = core.exterior.xy
            core = LineString([(min(xs), min(ys)), (max(xs), max(ys))])
        made = core.buffer(radius, quad_segs=64) if radius else core
        made = shapely.affinity.rotate(made, shape.turn_deg, origin=(shape.u, shape.v))
    return made


def sticks_out(piece: Piece, feature: Feature) -> float:
    """How far a feature runs out of its piece, at its face or at its floor. [mm]"""
    depth = piece.thickness if feature.depth is None else min(feature.depth, piece.thickness)
    faces = (piece.show, piece.back) if feature.face == "show" else (piece.back, piece.show)
    share = depth / piece.thickness
    floor = [
        (a + (c - a) * share, b + (d - b) * share)
        for (a, b), (c, d) in zip(faces[0], faces[1], strict=True)
    ]
    shape = shape_of(feature)
    worst = 0.0
    for outline, grown in ((faces[0], feature.chamfer), (floor, 0.0)):
        outside = shape.buffer(grown, join_style="mitre") if grown else shape
        outside = outside.difference(Polygon(outline))
        worst = max(
            [
                worst,
                *(Polygon(outline).distance(Point(p)) for p in shapely.get_coordinates(outside)),
            ]
        )
    return worst


__all__ = [
    "CLOSED",
    "CONTACT",
    "OPEN_ENDED",
    "Section",
    "blank_points",
    "cross_sections",
    "forget",
    "off_line",
    "overlaps",
    "prism_volume",
    "seam_errors",
    "section_of",
    "shape_of",
    "sticks_out",
    "stops_naming",
]
