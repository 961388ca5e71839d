"""Exact solids for STEP files: planes, true cylinders and cones. Needs the optional extra `cad`.

Import this module only where the extra is known to be there.

Traps of the kernel: static methods end in `_s`; a shape's class is lost in lists; what is built twice is not shared.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any, TypeAlias

from OCP.BRep import BRep_Builder
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Sewing,
)
from OCP.BRepGProp import BRepGProp
from OCP.BRepLib import BRepLib
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakePrism,
)
from OCP.collections import List_TopoDS_Shape
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax2, gp_Ax3, gp_Cone, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.TopAbs import TopAbs_SHELL, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Compound

from casewright.geometry.cuts import Cut, cut_of, goes_through, profile_of, slot_levels
from casewright.geometry.facets import counter_clockwise, shape_points, signed_area
from casewright.geometry.model import (
    Body,
    Box,
    Circle,
    FaceShape,
    Frame,
    Piece,
    Point2,
    Point3,
    Polygon,
    Rectangle,
)
from casewright.geometry.solids import OVERCUT, Solid, local_solid

Shape: TypeAlias = Any
"""A shape of the kernel, which comes without types."""

_SEWN = 1e-6  # mm
_SAME = 1e-9  # mm


def exact_solid(thing: Piece | Body) -> Shape:
    """The solid of a piece or body in its own frame (u, v, n). [mm]

    Where the kernel cannot cut a feature right, which its volume shows, the faceted solid is taken instead: it is off
    by a hundredth of a millimeter at a rim.
    """
    faceted = local_solid(thing)
    if isinstance(thing, Body):
        return _body(thing)
    if signed_area(thing.show) * signed_area(thing.back) <= _SAME:
        return from_facets(faceted)
    blank = _ruled(thing.back, thing.show, -thing.thickness, 0.0)
    tools = [tool for f in thing.features for tool in _cutters(cut_of(f), thing.thickness)]
    if not tools:
        return blank
    shape = _cut(blank, tools)
    if shape is None or abs(volume_of(shape) - faceted.volume) > 1.0 + 1e-3 * faceted.volume:
        return from_facets(faceted)
    return shape


def volume_of(shape: Shape) -> float:
    """[mm³]"""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    return float(properties.Mass())


def transform_of(frame: Frame) -> gp_Trsf:
    """What carries (u, v, n) into the cabinet frame."""
    rows = [x for i in range(3) for x in (frame.u[i], frame.v[i], frame.n[i], frame.origin[i])]
    transform = gp_Trsf()
    transform.SetValues(*rows)
    return transform


# ---- cutting ---------------------------------------------------------------------------------------------------------


def _cut(blank: Shape, tools: Sequence[Shape]) -> Shape | None:
    """The blank less the tools, None if the kernel says that it failed."""
    arguments, cutters = List_TopoDS_Shape(), List_TopoDS_Shape()
    arguments.Append(blank)
    for tool in tools:
        cutters.Append(tool)
    operation = BRepAlgoAPI_Cut()
    operation.SetArguments(arguments)
    operation.SetTools(cutters)
    operation.Build()
    if not operation.IsDone():
        return None
    solids = list(_parts(operation.Shape(), TopAbs_SOLID))
    return solids[0] if len(solids) == 1 else _compound(solids)


def _cutters(cut: Cut, thickness: float) -> Iterator[Shape]:
    """Tools for one feature, standing out of the faces that it opens."""
    if cut.kind == "slot":
        low, high = slot_levels(cut, thickness)
        over = OVERCUT if high > -_SAME else 0.0
        yield _prism(cut.shape, low - over, high + over)
        return
    steps = profile_of(cut, thickness)
    depth = steps[-1][1]
    if cut.kind != "countersink":
        under = OVERCUT if goes_through(cut, thickness) else 0.0
        if cut.face == "show":
            yield _prism(cut.shape, -depth - under, OVERCUT)
        else:
            yield _prism(cut.shape, -thickness - OVERCUT, depth - thickness + under)
    if cut.kind == "countersink" or cut.chamfer > 0:
        (grow, _), (least, deep) = steps[:2]
        most = grow + OVERCUT
        if cut.face == "show":
            yield _flare(cut.shape, least, most, -deep, OVERCUT)
        else:
            yield _flare(cut.shape, most, least, -thickness - OVERCUT, deep - thickness)


def _prism(shape: FaceShape, low: float, high: float) -> Shape:
    if isinstance(shape, Circle):
        axis = gp_Ax2(gp_Pnt(shape.u, shape.v, low), gp_Dir(0, 0, 1))
        return BRepPrimAPI_MakeCylinder(axis, shape.diameter / 2, high - low).Shape()
    face = BRepBuilderAPI_MakeFace(_wire(shape, 0.0, low), True).Face()
    return BRepPrimAPI_MakePrism(face, gp_Vec(0, 0, high - low)).Shape()


def _flare(shape: FaceShape, grow_low: float, grow_high: float, low: float, high: float) -> Shape:
    """The body between a shape grown by two amounts at two levels, 45° all round."""
    if isinstance(shape, Circle):
        radius = shape.diameter / 2
        return _cone(shape.u, shape.v, radius + grow_low, radius + grow_high, low, high)
    if isinstance(shape, Polygon) or _corner(shape) < _SAME:
        return _ruled(
            shape_points(shape, grow=grow_low), shape_points(shape, grow=grow_high), low, high
        )
    faces = [
        BRepBuilderAPI_MakeFace(_wire(shape, grow, n), True).Face()
        for grow, n in ((grow_low, low), (grow_high, high))
    ]
    for (a, b), (c, d) in zip(
        _straights(shape, grow_low), _straights(shape, grow_high), strict=True
    ):
        if math.dist(a, b) > _SAME:  # a slot's ends have none
            faces.append(_quad((*a, low), (*b, low), (*d, high), (*c, high)))
    faces += _corner_cones(shape, grow_low, grow_high, low, high)
    return _sewn(faces)


def _corner_cones(
    shape: Rectangle, grow_low: float, grow_high: float, low: float, high: float
) -> Iterator[Shape]:
    """Quarter cones round the corners of a rounded rectangle."""
    base = _corner(shape) + grow_low
    height = high - low
    half_angle = math.atan2(grow_high - grow_low, height)
    for turn, (u, v) in enumerate(_centres(shape)):
        axes = gp_Ax3(gp_Pnt(u, v, low), gp_Dir(0, 0, 1), _towards(shape.turn_deg + 90 * turn))
        cone = gp_Cone(axes, half_angle, base)
        yield BRepBuilderAPI_MakeFace(
            cone, 0.0, math.pi / 2, 0.0, height / math.cos(half_angle)
        ).Face()


def _towards(degrees: float) -> gp_Dir:
    angle = math.radians(degrees)
    return gp_Dir(math.cos(angle), math.sin(angle), 0.0)


# ---- flat figures ----------------------------------------------------------------------------------------------------


def _corner(shape: Rectangle) -> float:
    return min(shape.radius, shape.width / 2, shape.height / 2)


def _centres(shape: Rectangle) -> list[Point2]:
    """Centres of a rounded rectangle's corners, counter-clockwise from the one right and up."""
    radius = _corner(shape)
    half_u, half_v = shape.width / 2 - radius, shape.height / 2 - radius
    return [_placed(shape, half_u * a, half_v * b) for a, b in ((1, 1), (-1, 1), (-1, -1), (1, -1))]


def _placed(shape: Rectangle, x: float, y: float) -> Point2:
    angle = math.radians(shape.turn_deg)
    c, s = math.cos(angle), math.sin(angle)
    return (shape.u + x * c - y * s, shape.v + x * s + y * c)


def _straights(shape: Rectangle, grow: float) -> list[tuple[Point2, Point2]]:
    """A rounded rectangle's straight sides, counter-clockwise from the upper one."""
    radius = _corner(shape)
    half_u, half_v = shape.width / 2, shape.height / 2
    u, v = half_u + grow, half_v + grow
    inner_u, inner_v = half_u - radius, half_v - radius
    sides = (
        ((inner_u, v), (-inner_u, v)),
        ((-u, inner_v), (-u, -inner_v)),
        ((-inner_u, -v), (inner_u, -v)),
        ((u, -inner_v), (u, inner_v)),
    )
    return [(_placed(shape, *a), _placed(shape, *b)) for a, b in sides]


def _wire(shape: Rectangle | Polygon, grow: float, n: float) -> Shape:
    """The outline at a level, with true arcs."""
    if isinstance(shape, Polygon) or _corner(shape) < _SAME:
        return _polygon(shape_points(shape, grow=grow), n)
    wire = BRepBuilderAPI_MakeWire()
    sides = _straights(shape, grow)
    radius = _corner(shape) + grow
    for turn, ((_, end), centre) in enumerate(
        zip([sides[-1], *sides[:-1]], _centres(shape), strict=True)
    ):
        middle = math.radians(shape.turn_deg + 90 * turn + 45)
        top = (centre[0] + radius * math.cos(middle), centre[1] + radius * math.sin(middle))
        start, stop = sides[turn]
        arc = GC_MakeArcOfCircle(gp_Pnt(*end, n), gp_Pnt(*top, n), gp_Pnt(*start, n)).Value()
        wire.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
        if math.dist(start, stop) > _SAME:
            wire.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(*start, n), gp_Pnt(*stop, n)).Edge())
    return wire.Wire()


def _polygon(points: Sequence[Point2], n: float) -> Shape:
    outline = BRepBuilderAPI_MakePolygon()
    for u, v in points:
        outline.Add(gp_Pnt(u, v, n))
    outline.Close()
    return outline.Wire()


def _quad(*corners: Point3) -> Shape:
    outline = BRepBuilderAPI_MakePolygon()
    for corner in corners:
        outline.Add(gp_Pnt(*corner))
    outline.Close()
    return BRepBuilderAPI_MakeFace(outline.Wire(), True).Face()


# ---- whole solids ----------------------------------------------------------------------------------------------------


def _ruled(low: Sequence[Point2], high: Sequence[Point2], n_low: float, n_high: float) -> Shape:
    """The body between two flat outlines, its sides plane."""
    if low == high:
        face = BRepBuilderAPI_MakeFace(_polygon(counter_clockwise(low), n_low), True).Face()
        return BRepPrimAPI_MakePrism(face, gp_Vec(0, 0, n_high - n_low)).Shape()
    a, b = counter_clockwise(low), counter_clockwise(high)
    faces = [
        BRepBuilderAPI_MakeFace(_polygon(points, n), True).Face()
        for points, n in ((a, n_low), (b, n_high))
    ]
    for (p, r), (q, s) in pairwise([*zip(a, b, strict=True), (a[0], b[0])]):
        faces.append(_quad((*p, n_low), (*q, n_low), (*s, n_high), (*r, n_high)))
    return _sewn(faces)


def _cone(u: float, v: float, low: float, high: float, n_low: float, n_high: float) -> Shape:
    axis = gp_Ax2(gp_Pnt(u, v, n_low), gp_Dir(0, 0, 1))
    low, high = max(low, 0.0), max(high, 0.0)
    if abs(low - high) < _SAME:
        return BRepPrimAPI_MakeCylinder(axis, low, n_high - n_low).Shape()
    return BRepPrimAPI_MakeCone(axis, low, high, n_high - n_low).Shape()


def _body(body: Body) -> Shape:
    shape = body.shape
    if isinstance(shape, Box):
        low = gp_Pnt(shape.u - shape.width / 2, shape.v - shape.height / 2, shape.n_low)
        high = gp_Pnt(shape.u + shape.width / 2, shape.v + shape.height / 2, shape.n_high)
        return BRepPrimAPI_MakeBox(low, high).Shape()
    radius = shape.diameter / 2
    top = radius if shape.top_diameter is None else shape.top_diameter / 2
    return _cone(shape.u, shape.v, radius, top, shape.n_low, shape.n_high)


def from_facets(solid: Solid) -> Shape:
    """A faceted solid as plane faces, those in one plane joined."""
    points, triangles = solid.mesh
    corners = [tuple(float(x) for x in point) for point in points]
    shape = _sewn([_quad(*(corners[i] for i in triangle)) for triangle in triangles])
    joined = ShapeUpgrade_UnifySameDomain(shape, True, True, False)
    joined.Build()
    return joined.Shape()


def _sewn(faces: Sequence[Shape]) -> Shape:
    """A solid from the faces all round it, its outside outside."""
    sewing = BRepBuilderAPI_Sewing(_SEWN)
    for face in faces:
        sewing.Add(face)
    sewing.Perform()
    solids = []
    for shell in _parts(sewing.SewedShape(), TopAbs_SHELL):
        solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell(shell)).Solid()
        BRepLib.OrientClosedSolid_s(solid)
        solids.append(solid)
    return solids[0] if len(solids) == 1 else _compound(solids)


def _parts(shape: Shape, kind: Any) -> Iterator[Shape]:
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def _compound(shapes: Sequence[Shape]) -> Shape:
    compound, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(compound)
    for shape in shapes:
        builder.Add(compound, shape)
    return compound


__all__ = ["Shape", "exact_solid", "from_facets", "transform_of", "volume_of"]
