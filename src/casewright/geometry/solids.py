"""Solids of pieces and bodies, from the same numbers as the drawings.

A piece is the ruled body between its outlines on the show and the back face, less its features. Solids serve
collisions, mass and pictures; no dimension is ever read back from one. Arcs become facets as told in
`casewright.geometry.facets`.

Everything is remembered by value: what did not change is not built again.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from manifold3d import CrossSection, Error, FillRule, Manifold, OpType
from numpy.typing import NDArray

from casewright.geometry.cuts import Cut, cut_of, goes_through, profile_of, slot_levels
from casewright.geometry.facets import (
    TOLERANCE,
    counter_clockwise,
    is_convex,
    shape_points,
    signed_area,
)
from casewright.geometry.lofts import Column, clear_boxes, extent_of, loft, ruled
from casewright.geometry.model import (
    Body,
    Box,
    Circle,
    Cylinder,
    Frame,
    Piece,
    Point2,
    Point3,
    Polygon,
)

Floats = NDArray[np.float64]

OVERCUT = 0.5
"""How far a cutting body stands out of the face it is worked from, so that no skin is left. [mm]"""

_SAME = 1e-9  # mm
_APART = 0.01  # mm between the walls of two holes about one centre


@dataclass(frozen=True, eq=False)
class Solid:
    """A solid with what is asked of it again and again; equal only to itself, so that it is a quick key."""

    manifold: Manifold

    @cached_property
    def volume(self) -> float:
        """[mm³]"""
        return float(self.manifold.volume())

    @cached_property
    def box(self) -> tuple[Point3, Point3]:
        """Least and most x, y, z. [mm]"""
        x0, y0, z0, x1, y1, z1 = (float(x) for x in self.manifold.bounding_box())
        return ((x0, y0, z0), (x1, y1, z1))

    @cached_property
    def mesh(self) -> tuple[Floats, NDArray[np.int64]]:
        """Corners [mm] and triangles, counter-clockwise as seen from outside."""
        mesh = self.manifold.to_mesh64()
        points = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
        return points, np.asarray(mesh.tri_verts, dtype=np.int64)

    @cached_property
    def centre(self) -> Point3:
        """Centre of volume, of tetrahedra from one corner to each triangle. [mm]"""
        points, triangles = self.mesh
        if not len(triangles):
            return (0.0, 0.0, 0.0)
        start = points[0]
        a, b, c = (points[triangles[:, i]] - start for i in range(3))
        parts = np.einsum("ij,ij->i", a, np.cross(b, c))
        volume = float(parts.sum())
        if volume <= 0.0:  # so small that it comes to nothing
            return (float(start[0]), float(start[1]), float(start[2]))
        x, y, z = start + parts @ (a + b + c) / (4.0 * volume)
        return (float(x), float(y), float(z))


def piece_solid(piece: Piece) -> Manifold:
    """The solid of a piece in the cabinet frame. [mm]

    Source:
        Plain geometry.
    """
    return solid_of(piece).manifold


def body_solid(body: Body) -> Manifold:
    """The solid of a part's body, or of room it needs, in the cabinet frame. [mm]"""
    return solid_of(body).manifold


def solid_of(thing: Piece | Body, *, tolerance: float = TOLERANCE) -> Solid:
    """The same with its volume, extent, centre and mesh; the same object for an equal piece or body.

    `tolerance` is the most that facets may be off a true arc; pictures do with more than collisions. [mm]
    """
    return _placed(local_solid(thing, tolerance=tolerance), thing.frame)


def local_solid(thing: Piece | Body, *, tolerance: float = TOLERANCE) -> Solid:
    """The solid in its own frame (u, v, n); shared by all pieces or bodies of the same shape. [mm]"""
    if isinstance(thing, Body):
        return _shape_solid(thing.shape, tolerance)
    cuts = tuple(cut_of(feature) for feature in thing.features)
    return _piece_solid(thing.show, thing.back, thing.thickness, cuts, tolerance)


def frame_matrix(frame: Frame) -> Floats:
    """The 3 × 4 matrix that carries (u, v, n) into the cabinet frame."""
    return np.array([frame.u, frame.v, frame.n, frame.origin], dtype=np.float64).T


# ---- pieces ----------------------------------------------------------------------------------------------------------


@lru_cache(maxsize=4096)
def _placed(solid: Solid, frame: Frame) -> Solid:
    return Solid(solid.manifold.transform(frame_matrix(frame)))


@lru_cache(maxsize=2048)
def _piece_solid(
    show: tuple[Point2, ...],
    back: tuple[Point2, ...],
    thickness: float,
    cuts: tuple[Cut, ...],
    tolerance: float,
) -> Solid:
    """Features that stand alone are built into the faces; the others are cut out of the result."""
    flat = show == back
    whole = signed_area(show) > _SAME and signed_area(back) > _SAME
    groups = list(_groups(cuts, thickness, tolerance))
    alone = clear_boxes([box for _, _, box in groups], [show] if flat else [show, back])
    chosen: list[Column] = []
    through: list[Floats] = []
    cutters: list[Manifold] = []
    for (group, column, _), is_clear in zip(groups, alone, strict=True):
        if column is not None and is_clear and whole:
            chosen.append(column)
            continue
        for cut in group:
            if goes_through(cut, thickness):
                through.append(_outline(cut, tolerance))
            cutters.extend(_cutters(cut, thickness, tolerance))
    figure = CrossSection(through, FillRule.NonZero)
    if flat:
        outline = CrossSection([np.array(counter_clockwise(show))])
        loops = (outline - figure if through else outline).to_polygons()
        if not loops:  # what is cut out is all there was
            return Solid(Manifold())
        blank = loft(loops, loops, -thickness, 0.0, chosen)
    elif whole:
        blank = loft([np.array(back)], [np.array(show)], -thickness, 0.0, chosen)
    else:  # the ends of a short panel meet or cross between its faces
        blank = ruled(back, show, -thickness, 0.0)
    if through and not flat:
        prism = Manifold.extrude(figure, thickness + 2 * OVERCUT)
        cutters.append(prism.translate((0.0, 0.0, -thickness - OVERCUT)))
    if cutters:
        blank = Manifold.batch_boolean([blank, *cutters], OpType.Subtract)
    assert blank.status() == Error.NoError  # evaluates it as well
    return Solid(blank)


Extent = tuple[float, float, float, float]


def _groups(
    cuts: tuple[Cut, ...], thickness: float, tolerance: float
) -> Iterator[tuple[tuple[Cut, ...], Column | None, Extent]]:
    """Features one by one, but round ones about one centre together; as a column where they make one."""
    about: dict[tuple[float, float], list[Cut]] = {}
    for cut in cuts:
        if isinstance(cut.shape, Circle) and cut.kind != "slot":
            about.setdefault((cut.shape.u, cut.shape.v), []).append(cut)
        else:
            column = _column(cut, thickness, tolerance)
            extent = column.box if column else extent_of(_outline(cut, tolerance))
            yield (cut,), column, extent
    for same in about.values():
        columns = [_column(cut, thickness, tolerance) for cut in same]
        widest = extent_of(
            np.concatenate(
                [
                    ring
                    for cut, column in zip(same, columns, strict=True)
                    for ring, _ in (column.rings if column else ((_outline(cut, tolerance), 0.0),))
                ]
            )
        )
        both = columns[0] if len(same) == 1 else _stepped(columns, thickness)
        yield tuple(same), both, widest


def _stepped(columns: list[Column | None], thickness: float) -> Column | None:
    """A plain hole right through, with one wider hole let in from either face or both, as one column."""
    known = [column for column in columns if column is not None]
    plain = [column for column in known if column.opens_show and column.opens_back]
    if len(known) < len(columns) or len(plain) != 1 or len(plain[0].rings) != 2:
        return None
    shank = plain[0].rings[0][0]
    above = [column for column in known if column.opens_show and not column.opens_back]
    below = [column for column in known if column.opens_back and not column.opens_show]
    if len(above) > 1 or len(below) > 1:
        return None
    upper = above[0].rings if above else ()
    lower = below[0].rings if below else ()
    top = upper[-1][1] if upper else 0.0
    bottom = lower[0][1] if lower else -thickness
    radius = _reach(shank)
    if top <= bottom + _SAME or any(_reach(r) <= radius + _APART for r, _ in (*upper, *lower)):
        return None
    return Column((*upper, (shank, top), (shank, bottom), *lower), True, True)


def _reach(ring: Floats) -> float:
    """A round ring's radius. [mm]"""
    return float(ring[:, 0].max() - ring[:, 0].min()) / 2


def _outline(cut: Cut, tolerance: float) -> Floats:
    return np.array(counter_clockwise(shape_points(cut.shape, tolerance=tolerance)))


def _column(cut: Cut, thickness: float, tolerance: float) -> Column | None:
    """The feature as rings from face to floor; None for what is no such column."""
    if cut.kind == "slot" or (isinstance(cut.shape, Polygon) and not is_convex(cut.shape.points)):
        return None
    steps = profile_of(cut, thickness)
    most = max(grow for grow, _ in steps)
    rings = []
    for grow, depth in steps:
        points = counter_clockwise(
            shape_points(cut.shape, grow=grow, facets_for=most, tolerance=tolerance)
        )
        if signed_area(points) < _SAME:
            return None
        n = -depth if cut.face == "show" else depth - thickness
        rings.append((np.array(points), n))
    if len({len(points) for points, _ in rings}) > 1:
        return None
    through = steps[-1][1] >= thickness - _SAME
    if cut.face == "show":
        return Column(tuple(rings), opens_show=True, opens_back=through)
    return Column(tuple(rings[::-1]), opens_show=through, opens_back=True)


def _cutters(cut: Cut, thickness: float, tolerance: float) -> Iterator[Manifold]:
    """Bodies to cut away, but for the straight part of what goes right through."""
    if cut.kind == "slot":
        low, high = slot_levels(cut, thickness)
        over = OVERCUT if high > -_SAME else 0.0
        yield _prism(cut, low - over, high + over, tolerance)
        return
    steps = profile_of(cut, thickness)
    depth = steps[-1][1]
    if cut.kind != "countersink" and not goes_through(cut, thickness):
        if cut.face == "show":
            yield _prism(cut, -depth, OVERCUT, tolerance)
        else:
            yield _prism(cut, -thickness - OVERCUT, depth - thickness, tolerance)
    if cut.kind == "countersink" or cut.chamfer > 0:
        (grow, _), (narrow, deep) = steps[:2]
        yield _flare(cut, grow + OVERCUT, narrow, deep, thickness, tolerance)


def _prism(cut: Cut, low: float, high: float, tolerance: float) -> Manifold:
    figure = CrossSection([_outline(cut, tolerance)])
    return Manifold.extrude(figure, high - low).translate((0.0, 0.0, low))


def _flare(
    cut: Cut, most: float, least: float, depth: float, thickness: float, tolerance: float
) -> Manifold:
    """A 45° cut, grown by `most` a little outside the face and by `least` at its depth."""
    deep = shape_points(cut.shape, grow=least, facets_for=most, tolerance=tolerance)
    wide = shape_points(cut.shape, grow=most, facets_for=most, tolerance=tolerance)
    if cut.face == "show":
        flare = ruled(deep, wide, -depth, OVERCUT)
    else:
        flare = ruled(wide, deep, -thickness - OVERCUT, depth - thickness)
    return flare


# ---- bodies ----------------------------------------------------------------------------------------------------------


@lru_cache(maxsize=2048)
def _shape_solid(shape: Box | Cylinder, tolerance: float) -> Solid:
    height = shape.n_high - shape.n_low
    if isinstance(shape, Box):
        cube = Manifold.cube((shape.width, shape.height, height))
        corner = (shape.u - shape.width / 2, shape.v - shape.height / 2, shape.n_low)
        return Solid(cube.translate(corner))
    low = shape.diameter / 2
    high = low if shape.top_diameter is None else shape.top_diameter / 2
    most = max(low, high)
    rims = [
        shape_points(
            Circle(shape.u, shape.v, 2 * radius), facets_for=most - radius, tolerance=tolerance
        )
        for radius in (low, high)
    ]
    solid = ruled(rims[0], rims[1], shape.n_low, shape.n_high)
    return Solid(solid)


__all__ = [
    "OVERCUT",
    "Solid",
    "body_solid",
    "frame_matrix",
    "local_solid",
    "piece_solid",
    "solid_of",
]
