"""Holes, openings, pockets and grooves as marks: each kind looks different, and each mark knows its operation."""

from __future__ import annotations

import math

from casewright.geometry import model
from casewright.geometry.model import FaceName, Feature, FeatureKind
from casewright.outputs.drawings.marks import (
    Circle,
    Kind,
    Mark,
    Material,
    Motion,
    Operation,
    Pen,
    Polyline,
    Region,
    bounds,
)
from casewright.outputs.drawings.placing import Box
from casewright.outputs.drawings.symbols import CentreMark

Outline = Circle | Polyline

OPERATIONS: dict[FeatureKind, Kind] = {
    "hole": "bore",
    "opening": "opening",
    "pocket": "pocket",
    "groove": "groove",
    "notch": "cut",
    "pilot": "bore",
    "clearance": "bore",
    "counterbore": "bore",
    "countersink": "countersink",
    "slot": "slot",
}
SMALL = 6.0
"""Holes below this are screw holes and not worth a hidden line on the other face. [mm]"""

TINY = 3.0
"""Smaller on paper than this, an outline is drawn in a narrow line. [mm]"""


def feature_outline(shape: model.FaceShape, *, grow: float = 0.0) -> Outline:
    """Outline of a shape in (u, v), moved outward by `grow`. [mm]"""
    if isinstance(shape, model.Circle):
        return Circle((shape.u, shape.v), shape.diameter / 2 + grow)
    if isinstance(shape, model.Rectangle):
        flat = _rounded(shape.width + 2 * grow, shape.height + 2 * grow, shape.radius + grow)
        return flat.through(Motion(shape.u, shape.v, turn_deg=shape.turn_deg))
    return Polyline(shape.points if grow == 0 else _grown(shape.points, grow))


def feature_box(feature: Feature, motion: Motion) -> Box:
    """The box round a feature, its chamfer included, in the drawing."""
    return bounds([feature_outline(feature.shape, grow=feature.chamfer).through(motion)])


def operation_of(feature: Feature) -> Operation:
    """What is done along a feature's outline."""
    return Operation(OPERATIONS[feature.kind], feature.face, feature.depth, feature.tool)


def feature_marks(
    feature: Feature, face: FaceName, motion: Motion, *, scale: float = 1.0
) -> tuple[Mark, ...]:
    """A feature as seen on a face: worked from it, or showing through from the other one.

    Args:
        feature: The feature.
        face: The face that is seen.
        motion: Carries (u, v) into the drawing.
        scale: Of the drawing; a wide line would fill what comes out tiny on paper.
    """
    outline = feature_outline(feature.shape).through(motion)
    through = feature.depth is None
    if feature.face != face:
        return _from_behind(feature, outline, through=through)
    marks: list[Mark] = []
    material = _ground(feature, through=through)
    if feature.chamfer > 0:
        rim = feature_outline(feature.shape, grow=feature.chamfer).through(motion)
        # at 45° the chamfer is as deep as it is wide
        chamfer = Operation("chamfer", feature.face, feature.chamfer, "chamfer")
        marks += [Region(rim, material="pocket"), _with(rim, "thin", chamfer)]
    marks.append(Region(outline, material=material))
    box = bounds([outline])
    tiny = min(box.width, box.height) * scale < TINY
    pen: Pen = "hidden" if feature.kind == "slot" else "thin" if tiny else "visible"
    marks.append(_with(outline, pen, operation_of(feature)))
    if isinstance(outline, Circle) and feature.kind != "counterbore":
        # the many small ones of a grille would grow together
        over = 0.3 if tiny and feature.kind == "hole" else 1.0 if through else 1.5
        marks.append(CentreMark(outline.centre, outline.radius, over))
    return tuple(marks)


def _ground(feature: Feature, *, through: bool) -> Material:
    if feature.kind == "notch":
        return "waste"
    return "paper" if through or feature.kind == "pilot" else "pocket"


def _from_behind(feature: Feature, outline: Outline, *, through: bool) -> tuple[Mark, ...]:
    if through:
        return (Region(outline, material="paper"), _with(outline, "thin", None))
    if isinstance(outline, Circle) and 2 * outline.radius < SMALL:
        return ()
    return (_with(outline, "hidden", None),)


def _with(outline: Outline, pen: Pen, operation: Operation | None) -> Outline:
    if isinstance(outline, Circle):
        return Circle(outline.centre, outline.radius, pen, operation)
    return Polyline(outline.points, outline.bulges, True, pen, operation)


def _rounded(width: float, height: float, radius: float) -> Polyline:
    """A rectangle round (0, 0); edges that the corners use up are left out."""
    a, b = width / 2, height / 2
    r = min(radius, a, b)
    if r <= 0:
        return Polyline(((-a, -b), (a, -b), (a, b), (-a, b)))
    quarter = math.tan(math.radians(90.0) / 4)
    walk = [
        ((-a + r, -b), 0.0),
        ((a - r, -b), quarter),
        ((a, -b + r), 0.0),
        ((a, b - r), quarter),
        ((a - r, b), 0.0),
        ((-a + r, b), quarter),
        ((-a, b - r), 0.0),
        ((-a, -b + r), quarter),
    ]
    kept = [
        step
        for step, after in zip(walk, (*walk[1:], walk[0]), strict=True)
        if step[1] or math.dist(step[0], after[0]) > 1e-6
    ]
    return Polyline(tuple(point for point, _ in kept), tuple(bulge for _, bulge in kept))


def _grown(points: tuple[model.Point2, ...], grow: float) -> tuple[model.Point2, ...]:
    from shapely.geometry import Polygon
    from shapely.geometry.polygon import orient

    grown = Polygon(points).buffer(grow, join_style="mitre")
    return tuple((x, y) for x, y in orient(grown).exterior.coords[:-1])


__all__ = [
    "OPERATIONS",
    "SMALL",
    "TINY",
    "Outline",
    "feature_box",
    "feature_marks",
    "feature_outline",
    "operation_of",
]
