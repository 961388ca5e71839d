"""Features that the project asks for by hand, where no part brings them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from casewright.basics.errors import InputError
from casewright.basics.plane import area, line_through, segments_cross
from casewright.basics.units import TOUCHING
from casewright.design.panels import (
    Feature as Wish,
)
from casewright.design.panels import (
    GrooveFeature,
    HoleFeature,
    OutlineFeature,
    RectangleFeature,
    SlotFeature,
)
from casewright.design.project import Project
from casewright.geometry.fitting import Stack
from casewright.geometry.model import (
    Circle,
    FaceShape,
    Feature,
    FeatureKind,
    Point2,
    Polygon,
    Rectangle,
)

DEFAULT_CORNER = 3.2
"""Radius a quarter-inch bit leaves, where the shop names no router bit. [mm] Common practice."""

LEAST_AREA = 1.0
"""A cut-out that encloses less is a mistake in its points. [mm²]"""


def own_features(project: Project, stacks: Mapping[str, Stack]) -> tuple[tuple[str, Feature], ...]:
    """(piece key, feature) for each; through ones go through every layer.

    Its names and shapes have been checked by `naming.place_errors` and `feature_errors`.
    """
    made = []
    for number, wish in enumerate(project.features):
        stack = stacks.get(wish.on)
        if stack is not None:  # else its panel came to nothing, which is said already
            made += _on_layers(project, number, wish, stack)
    return tuple(made)


def feature_errors(project: Project) -> list[InputError]:
    """Outlines that enclose nothing or cross themselves, grooves that lead nowhere, slots and chamfers out of shape."""
    return [
        error
        for number, wish in enumerate(project.features)
        for error in feature_error(number, wish)
    ]


def feature_error(number: int, wish: Wish) -> list[InputError]:
    """What is wrong with one feature, the one at that place in the project's list."""
    errors = []
    match wish:
        case GrooveFeature() if math.dist((wish.u, wish.v), wish.to) < TOUCHING:
            errors.append(
                InputError(
                    f"features.{number}.to",
                    got="the groove's own start",
                    want="the place where it ends",
                    example=f"[{wish.u + 100:g} mm, {wish.v:g} mm]",
                )
            )
        case SlotFeature() if wish.length < wish.width - TOUCHING:
            errors.append(
                InputError(
                    f"features.{number}.length",
                    got=f"{wish.length:g} mm, which is less than its width of {wish.width:g} mm",
                    want="from end to end, round ends included, at least the width; turn: 90 sets it upright",
                    example=f"{wish.width:g} mm",
                )
            )
        case RectangleFeature() if 0 < wish.depth < wish.chamfer - TOUCHING:
            errors.append(
                InputError(
                    f"features.{number}.chamfer",
                    got=f"{wish.chamfer:g} mm, at 45° deeper than its pocket of {wish.depth:g} mm",
                    want="no more than the depth",
                    example=f"{wish.depth:g} mm",
                )
            )
        case OutlineFeature() if abs(area(wish.points)) < LEAST_AREA:
            errors.append(
                InputError(
                    f"features.{number}.points",
                    got="points that enclose nothing",
                    want="the corners of a cut-out, in order round it",
                    example="[[0, 0], [40, 0], [40, 20]]",
                )
            )
        case OutlineFeature() if _crosses_itself(wish.points):
            errors.append(
                InputError(
                    f"features.{number}.points",
                    got="an outline that crosses itself",
                    want="the corners of a cut-out, in order round it",
                    example="[[0, 0], [40, 0], [40, 20], [0, 20]]",
                )
            )
    return errors


def _crosses_itself(points: Sequence[Point2]) -> bool:
    edges = list(zip(points, (*points[1:], points[0]), strict=True))
    return any(
        segments_cross(*edges[i], *edges[j])
        for i in range(len(edges))
        for j in range(i + 2, len(edges))
    )


def corner_radius(project: Project) -> float:
    """Inside-corner radius that the shop's smallest flush-trim or straight bit leaves. [mm]"""
    sizes = [
        size
        for bit in project.shop.bits
        if bit.kind in ("flush trim", "straight")
        for size in bit.sizes
    ]
    return min(sizes) / 2 if sizes else DEFAULT_CORNER


def _on_layers(
    project: Project, number: int, wish: Wish, stack: Stack
) -> list[tuple[str, Feature]]:
    depth = getattr(wish, "depth", 0.0) or None
    chamfer = wish.chamfer if isinstance(wish, RectangleFeature) else 0.0
    layers = stack.pieces if wish.face == "show" else tuple(reversed(stack.pieces))
    made = []
    left = depth
    for piece in layers:
        through = left is None or left >= piece.thickness - 1e-6
        # Where the chamfer runs through a whole layer, that layer's own rim is as much wider.
        below = max(chamfer - piece.thickness, 0.0) if through else 0.0
        made.append(
            (
                piece.key,
                Feature(
                    key=f"own{number + 1}",
                    kind=_kind(wish, through=through),
                    shape=_shape(project, wish, grown=below),
                    face=wish.face,
                    depth=None if through else left,
                    tool=_tool(wish, through=through),
                    owner=f"features.{number}",
                    label=wish.label,
                    chamfer=chamfer - below,
                ),
            )
        )
        chamfer = below
        if left is not None:
            left -= piece.thickness
            if left <= 1e-6:
                break
    return made


def _kind(wish: Wish, *, through: bool) -> FeatureKind:
    match wish:
        case HoleFeature():
            return "hole" if through else "pocket"
        case GrooveFeature():
            return "groove"
        case RectangleFeature() | SlotFeature() | OutlineFeature():
            return "opening" if through else "pocket"


def _tool(wish: Wish, *, through: bool) -> str:
    if isinstance(wish, HoleFeature):
        return "brad" if wish.diameter <= 13 else "forstner" if wish.diameter <= 50 else "hole saw"
    if isinstance(wish, OutlineFeature) and through:
        return "jigsaw"
    return "flush trim" if through and isinstance(wish, RectangleFeature) else "straight"


def _shape(project: Project, wish: Wish, *, grown: float = 0.0) -> FaceShape:
    """Its shape in the face; `grown` widens a rectangle on every edge, where a chamfer runs on below. [mm]"""
    match wish:
        case HoleFeature():
            return Circle(wish.u, wish.v, wish.diameter)
        case RectangleFeature():
            radius = corner_radius(project) if wish.radius is None else wish.radius
            radius = min(radius, wish.width / 2, wish.height / 2)
            width, height = wish.width + 2 * grown, wish.height + 2 * grown
            return Rectangle(wish.u, wish.v, width, height, radius + grown, wish.turn)
        case SlotFeature():
            return Rectangle(wish.u, wish.v, wish.length, wish.width, wish.width / 2, wish.turn)
        case OutlineFeature():
            points = wish.points if area(wish.points) > 0 else tuple(reversed(wish.points))
            return Polygon(tuple((wish.u + u, wish.v + v) for u, v in points))
        case GrooveFeature():
            line = line_through((wish.u, wish.v), wish.to)
            half = wish.width / 2
            low, high = line.shifted(-half), line.shifted(half)
            length = line.along(wish.to)
            return Polygon((low.at(0.0), low.at(length), high.at(length), high.at(0.0)))


__all__ = [
    "DEFAULT_CORNER",
    "LEAST_AREA",
    "corner_radius",
    "feature_error",
    "feature_errors",
    "own_features",
]
