"""Peers of the model: the same solids built the straightforward way, every pair tested."""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any

import numpy as np
from manifold3d import CrossSection, Manifold

from casewright.geometry.model import Body, Box, Cabinet, Circle, Piece, Polygon, Rectangle

SEGMENTS = 64


def plain_solid(thing: Piece | Body) -> Manifold:
    """One solid: hull or extrusion, then a boolean for each feature, then moved into place."""
    if isinstance(thing, Body):
        return _moved(_plain_body(thing), thing.frame)
    if thing.show == thing.back:
        solid = (
            CrossSection([thing.show]).extrude(thing.thickness).translate([0, 0, -thing.thickness])
        )
    else:
        points = [(u, v, 0.0) for u, v in thing.show] + [
            (u, v, -thing.thickness) for u, v in thing.back
        ]
        solid = Manifold.hull_points(points)
    for feature in thing.features:
        depth = thing.thickness + 2 if feature.depth is None else feature.depth + 1
        base = (
            -thing.thickness - 1 if feature.face == "back" or feature.depth is None else 1 - depth
        )
        solid -= _section(feature.shape, 0.0).extrude(depth).translate([0, 0, base])
        if feature.chamfer:
            wide = _section(feature.shape, feature.chamfer)
            narrow = _section(feature.shape, 0.0)
            low = [(x, y, -feature.chamfer) for x, y in narrow.to_polygons()[0]]
            high = [(x, y, 0.01) for x, y in wide.to_polygons()[0]]
            solid -= Manifold.hull_points(low + high)
    return _moved(solid, thing.frame)


def _section(shape: Any, grow: float) -> CrossSection:
    if isinstance(shape, Circle):
        return CrossSection.circle(shape.diameter / 2 + grow, SEGMENTS).translate(
            [shape.u, shape.v]
        )
    if isinstance(shape, Rectangle):
        radius = min(shape.radius, shape.width / 2 - 0.01, shape.height / 2 - 0.01)
        inner = CrossSection.square([shape.width - 2 * radius, shape.height - 2 * radius], True)
        if radius + grow > 0:
            from manifold3d import JoinType

            inner = inner.offset(radius + grow, JoinType.Round, circular_segments=SEGMENTS)
        return inner.rotate(shape.turn_deg).translate([shape.u, shape.v])
    assert isinstance(shape, Polygon)
    return CrossSection([shape.points])


def _plain_body(body: Body) -> Manifold:
    shape = body.shape
    height = shape.n_high - shape.n_low
    if isinstance(shape, Box):
        solid = Manifold.cube([shape.width, shape.height, height], False).translate(
            [shape.u - shape.width / 2, shape.v - shape.height / 2, shape.n_low]
        )
    else:
        top = shape.diameter if shape.top_diameter is None else shape.top_diameter
        solid = Manifold.cylinder(height, shape.diameter / 2, top / 2, SEGMENTS).translate(
            [shape.u, shape.v, shape.n_low]
        )
    return solid


def _moved(solid: Manifold, frame: Any) -> Manifold:
    return solid.transform(np.array([frame.u, frame.v, frame.n, frame.origin]).T)


def kernel_collisions(cabinet: Cabinet) -> int:
    """Solids by the B-rep kernel, pairs whose boxes meet intersected there. Counts collisions."""
    from OCP.Bnd import Bnd_Box
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
    from OCP.BRepBndLib import BRepBndLib

    from casewright.outputs.exports.exact import exact_solid, volume_of

    shapes = [exact_solid(thing) for thing in (*cabinet.pieces, *cabinet.bodies)]
    boxes = []
    for shape in shapes:
        box = Bnd_Box()
        BRepBndLib.Add_s(shape, box)
        boxes.append(box)
    found = 0
    for i, j in combinations(range(len(shapes)), 2):
        if boxes[i].IsOut(boxes[j]):
            continue
        common = BRepAlgoAPI_Common(shapes[i], shapes[j])
        if common.IsDone() and math.fabs(volume_of(common.Shape())) > 1.0:
            found += 1
    return found


__all__ = ["kernel_collisions", "plain_solid"]
