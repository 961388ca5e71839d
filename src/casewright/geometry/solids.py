"""Solids of pieces and bodies, from the same numbers as the drawings.

A piece is the ruled body between its outlines on the show and the back face, less its features. Solids serve
collisions, mass and pictures; no dimension is ever read back from one. Arcs become facets as told in
`casewright.geometry.facets`.

Everything is remembered by value: what did not change is not built again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from manifold3d import CrossSection, Error, FillRule, Manifold, OpType
from numpy.typing import NDArray

from casewright.basics.remembering import remembered
from casewright.geometry.columns import cut_groups, cut_outline
from casewright.geometry.cuts import Cut, cut_of, goes_through, profile_of, slot_levels
from casewright.geometry.facets import (
    TOLERANCE,
    circle_points,
    counter_clockwise,
    shape_points,
    signed_area,
)
from casewright.geometry.lofts import (
    Column,
    clear_boxes,
    extent_of,
    inside_outlines,
    loft,
    manifold_of,
    ruled,
)
from casewright.geometry.model import (
    Body,
    Box,
    Circle,
    Cylinder,
    Frame,
    Piece,
    Point2,
    Point3,
)
from casewright.geometry.moments import Moments, moments_about, ruled_moments, sum_of

Floats = NDArray[np.float64]

OVERCUT = 0.5
"""How far a cutting body stands out of the face it is worked from, so that no skin is left. [mm]"""

SOLIDS = 512
"""Solids remembered: those of a few cabinets. A board full of holes takes more than a megabyte, and each edit of it
makes another one."""
PAIRS = 512
"""Pairs of solids remembered, by what they share and how they come apart: they hold their solids too."""
THINGS = 2048
"""Pieces and bodies of which figures are remembered: those of some eight cabinets. Each is held with all that it is."""
PIECES = 64
"""Shapes of pieces remembered, before they are put in their place."""

_SAME = 1e-9  # mm


@dataclass(frozen=True, eq=False)
class Solid:
    """A solid with what is asked of it again and again; equal only to itself, so that it is a quick key."""

    made: Manifold | tuple[Floats, NDArray[np.int64]]
    """Or corners [mm] and triangles of its mesh: what is only looked at needs no more."""

    @cached_property
    def manifold(self) -> Manifold:
        """For cutting, joining and measuring."""
        return self.made if isinstance(self.made, Manifold) else manifold_of(*self.made)

    @cached_property
    def volume(self) -> float:
        """[mm³]"""
        return float(self.manifold.volume())

    @cached_property
    def box(self) -> tuple[Point3, Point3]:
        """Least and most x, y, z; nowhere but at the origin for what is cut away whole. [mm]"""
        if self.manifold.is_empty():
            return ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
        x0, y0, z0, x1, y1, z1 = (float(x) for x in self.manifold.bounding_box())
        return ((x0, y0, z0), (x1, y1, z1))

    @cached_property
    def mesh(self) -> tuple[Floats, NDArray[np.int64]]:
        """Corners [mm] and triangles, counter-clockwise as seen from outside."""
        if not isinstance(self.made, Manifold):
            return self.made
        mesh = self.made.to_mesh64()
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


@remembered(SOLIDS)
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


@remembered(THINGS)
def balance_of(thing: Piece | Body) -> tuple[float, Point3]:
    """Volume [mm³] and centre of volume in the cabinet frame [mm], as of its solid, for less work.

    Source:
        Plain geometry: first moments of parts add up; what stands alone is measured by itself.
    """
    if isinstance(thing, Body):
        moments = _shape_moments(thing.shape)
    else:
        cuts = tuple(cut_of(feature) for feature in thing.features)
        moments = _piece_moments(thing.show, thing.back, thing.thickness, cuts)
    if moments.volume <= 0.0:  # so small that it comes to nothing
        solid = solid_of(thing)
        return solid.volume, solid.centre
    return moments.volume, thing.frame.point(*moments.centre)


@remembered(THINGS)
def box_of(thing: Piece | Body, *, tolerance: float = TOLERANCE) -> tuple[Point3, Point3]:
    """Least and most x, y, z, as of its solid, for less work. [mm]

    `tolerance` is that of the solid, where only that tells. [mm]

    Source:
        Plain geometry: the outlines tell, where nothing is cut out of their edges.
    """
    frame = thing.frame
    if isinstance(thing, Body):
        shape = thing.shape
        if isinstance(shape, Cylinder):
            return _cylinder_box(shape, frame)
        u, v = shape.width / 2, shape.height / 2
        ends = [(shape.u + a * u, shape.v + b * v) for a in (-1, 1) for b in (-1, 1)]
        corners = [frame.point(u, v, n) for n in (shape.n_low, shape.n_high) for u, v in ends]
    else:
        cuts = tuple(cut_of(feature) for feature in thing.features)
        if not _keeps_its_edges(thing.show, thing.back, thing.thickness, cuts):
            return solid_of(thing, tolerance=tolerance).box
        corners = [frame.point(u, v) for u, v in thing.show]
        corners += [frame.point(u, v, -thing.thickness) for u, v in thing.back]
    x, y, z = zip(*corners, strict=True)
    return (min(x), min(y), min(z)), (max(x), max(y), max(z))


@lru_cache(maxsize=THINGS)
def _cylinder_box(shape: Cylinder, frame: Frame) -> tuple[Point3, Point3]:
    levels = (shape.n_low, shape.n_high)
    rims = [
        np.column_stack((rim, np.full(len(rim), n)))
        for rim, n in zip(_rims(shape, TOLERANCE), levels, strict=True)
    ]
    points = np.concatenate(rims) @ np.array([frame.u, frame.v, frame.n])
    (x0, y0, z0), (x1, y1, z1) = (
        (np.array(frame.origin) + points.min(axis=0)).tolist(),
        (np.array(frame.origin) + points.max(axis=0)).tolist(),
    )
    return (x0, y0, z0), (x1, y1, z1)


def frame_matrix(frame: Frame) -> Floats:
    """The 3 × 4 matrix that carries (u, v, n) into the cabinet frame."""
    return np.array([frame.u, frame.v, frame.n, frame.origin], dtype=np.float64).T


# ---- pieces ----------------------------------------------------------------------------------------------------------


@lru_cache(maxsize=SOLIDS)
def _placed(solid: Solid, frame: Frame) -> Solid:
    return Solid(solid.manifold.transform(frame_matrix(frame)))


@lru_cache(maxsize=PIECES)
def _piece_solid(
    show: tuple[Point2, ...],
    back: tuple[Point2, ...],
    thickness: float,
    cuts: tuple[Cut, ...],
    tolerance: float,
) -> Solid:
    """Features that stand alone are built into the faces; the others are cut out of the result."""
    layout = _layout(show, back, thickness, cuts, tolerance)
    return _body_of(layout, show, back, thickness, layout.columns)


def _body_of(
    layout: _Layout,
    show: tuple[Point2, ...],
    back: tuple[Point2, ...],
    thickness: float,
    columns: Sequence[Column],
) -> Solid:
    """A layout's body with these of its columns."""
    if not layout.low:
        return Solid(Manifold())
    if layout.is_whole:
        mesh = loft(layout.low, layout.high, -thickness, 0.0, columns)
        if not layout.cutters:
            return Solid(mesh)
        blank = manifold_of(*mesh)
    else:
        blank = ruled(back, show, -thickness, 0.0)
    if layout.cutters:
        blank = Manifold.batch_boolean([blank, *layout.cutters], OpType.Subtract)
    assert blank.status() == Error.NoError  # evaluates it as well
    return Solid(blank)


@dataclass(frozen=True, eq=False)
class _Layout:
    """How a piece is made: the body between two figures, less the columns let into it, less the cutters."""

    low: Sequence[Floats]
    high: Sequence[Floats]
    """Outlines and holes; empty where what is cut out is all there was."""
    is_whole: bool
    """False where the ends of a short panel meet or cross between its faces."""
    columns: Sequence[Column]
    cutters: Sequence[Manifold]


def _layout(
    show: tuple[Point2, ...],
    back: tuple[Point2, ...],
    thickness: float,
    cuts: tuple[Cut, ...],
    tolerance: float,
) -> _Layout:
    flat = show == back
    whole = signed_area(show) > _SAME and signed_area(back) > _SAME
    groups = list(cut_groups(cuts, thickness, tolerance))
    alone = clear_boxes(
        [group.extent for group in groups],
        [show] if flat else [show, back],
        [group.is_round for group in groups],
    )
    columns: list[Column] = []
    through: list[Floats] = []
    cutters: list[Manifold] = []
    for group, is_clear in zip(groups, alone, strict=True):
        if group.column is not None and is_clear and whole:
            columns.append(group.column)
            continue
        for cut in group.cuts:
            if goes_through(cut, thickness):
                through.append(cut_outline(cut, tolerance))
            cutters.extend(_cutters(cut, thickness, tolerance))
    figure = CrossSection(through, FillRule.NonZero)
    if flat:
        outline = CrossSection([np.array(counter_clockwise(show))])
        loops = (outline - figure if through else outline).to_polygons()
        return _Layout(loops, loops, True, columns, cutters)
    holes = figure.to_polygons()
    if whole and _lie_within(holes, show, back):
        rims = [hole[::-1] for hole in holes]
        return _Layout([np.array(back), *rims], [np.array(show), *rims], True, columns, cutters)
    if through:
        prism = Manifold.extrude(figure, thickness + 2 * OVERCUT)
        cutters.append(prism.translate((0.0, 0.0, -thickness - OVERCUT)))
    return _Layout([np.array(back)], [np.array(show)], whole, columns, cutters)


def _lie_within(
    holes: Sequence[Floats], show: tuple[Point2, ...], back: tuple[Point2, ...]
) -> bool:
    """Whether outlines of what is cut right through, none within another, keep off both faces' edges."""
    if any(signed_area(hole.tolist()) <= 0 for hole in holes):
        return False
    return all(inside_outlines([extent_of(hole) for hole in holes], [show, back]))


@lru_cache(maxsize=THINGS)
def _piece_moments(
    show: tuple[Point2, ...], back: tuple[Point2, ...], thickness: float, cuts: tuple[Cut, ...]
) -> Moments:
    """Columns keep clear of all else, so that what they take away is measured on its own."""
    layout = _layout(show, back, thickness, cuts, TOLERANCE)
    if not layout.is_whole or layout.cutters:
        solid = _body_of(layout, show, back, thickness, ())
        blank = [moments_about(solid.volume, solid.centre)]
    else:
        rims = zip(layout.low, layout.high, strict=True)
        blank = [ruled_moments(low, high, -thickness, 0.0) for low, high in rims]
    return sum_of([*blank, *(column.moments for column in layout.columns)])


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
    figure = CrossSection([cut_outline(cut, tolerance)])
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


@lru_cache(maxsize=THINGS)
def _keeps_its_edges(
    show: tuple[Point2, ...], back: tuple[Point2, ...], thickness: float, cuts: tuple[Cut, ...]
) -> bool:
    """Whether all that is cut out of a piece stays off the edges of both faces."""
    if signed_area(show) < _SAME or signed_area(back) < _SAME:
        return False
    extents = [group.extent for group in cut_groups(cuts, thickness, TOLERANCE)]
    return all(inside_outlines(extents, [show] if show == back else [show, back]))


# ---- bodies ----------------------------------------------------------------------------------------------------------


@lru_cache(maxsize=THINGS)
def _shape_solid(shape: Box | Cylinder, tolerance: float) -> Solid:
    height = shape.n_high - shape.n_low
    if isinstance(shape, Box):
        cube = Manifold.cube((shape.width, shape.height, height))
        corner = (shape.u - shape.width / 2, shape.v - shape.height / 2, shape.n_low)
        return Solid(cube.translate(corner))
    low, high = _rims(shape, tolerance)
    return Solid(ruled(low.tolist(), high.tolist(), shape.n_low, shape.n_high))


def _rims(shape: Cylinder, tolerance: float) -> tuple[Floats, Floats]:
    """Low and high rim, with as many facets. [mm]"""
    low = shape.diameter / 2
    high = low if shape.top_diameter is None else shape.top_diameter / 2
    most = max(low, high)
    first, second = (
        circle_points(
            Circle(shape.u, shape.v, 2 * radius), facets_for=most - radius, tolerance=tolerance
        )
        for radius in (low, high)
    )
    return first, second


@lru_cache(maxsize=THINGS)
def _shape_moments(shape: Box | Cylinder) -> Moments:
    if isinstance(shape, Box):
        volume = shape.width * shape.height * (shape.n_high - shape.n_low)
        return moments_about(volume, (shape.u, shape.v, (shape.n_low + shape.n_high) / 2))
    return ruled_moments(*_rims(shape, TOLERANCE), shape.n_low, shape.n_high)


__all__ = [
    "OVERCUT",
    "PAIRS",
    "THINGS",
    "Solid",
    "balance_of",
    "body_solid",
    "box_of",
    "frame_matrix",
    "local_solid",
    "piece_solid",
    "solid_of",
]
