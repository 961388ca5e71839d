"""What the board needs to tell at once how near two parts are: flat outlines with their depths, and what is asked.

Everything here is read from the cabinet: bodies and features as flat outlines in the panel's (u, v), the limits as the
checks have them. The page only shifts these outlines and measures between them while something is dragged.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from casewright.behavior.abreast import CONTROLS
from casewright.catalog.kinds import Dial, Lever, PushButton
from casewright.checks.flat import flat_of
from casewright.checks.hands import (
    BETWEEN,
    comfortable_pitch,
    hand_radius,
    hardware_radius,
    lever_sweep,
    rim,
)
from casewright.checks.subject import Subject
from casewright.checks.webs import THROUGH, WALL_LEAST, web_least
from casewright.design.project import Project
from casewright.geometry.devices.dial import KNOB_FINGERS
from casewright.geometry.devices.lever import HAND_ROOM
from casewright.geometry.model import (
    Body,
    Box,
    Circle,
    Cylinder,
    FaceShape,
    Feature,
    Piece,
    Placed,
    Point2,
    Rectangle,
)

SQUARE = 1e-6
"""Sine of the angle up to which a body stands square to a panel."""

Json = dict[str, Any]

_POCKETS = ("counterbore", "pocket")
_SCREWS = ("clearance", "pilot")


@dataclass(frozen=True)
class Flattened:
    """A body or a piece as seen square to a panel, with its reach along the panel's n. [mm]"""

    shape: FaceShape
    low: float
    high: float


def flatten_body(body: Body, outer: Piece) -> Flattened | None:
    """A body in a panel's (u, v), by its largest cross-section; None where it stands askew to the panel."""
    frame, shape = body.frame, body.shape
    if abs(abs(_dot(frame.n, outer.frame.n)) - 1.0) > SQUARE:
        return None
    ends = [
        outer.frame.local(frame.point(shape.u, shape.v, n)) for n in (shape.n_low, shape.n_high)
    ]
    u, v, _ = ends[0]
    low, high = sorted(end[2] for end in ends)
    if isinstance(shape, Cylinder):
        return Flattened(Circle(u, v, max(shape.diameter, shape.top_diameter or 0.0)), low, high)
    turn = math.degrees(math.atan2(_dot(frame.u, outer.frame.v), _dot(frame.u, outer.frame.u)))
    assert isinstance(shape, Box)
    return Flattened(
        Rectangle(u, v, shape.width, shape.height, turn_deg=turn + 0.0),
        low,
        high,
    )


def flatten_piece(piece: Piece, outer: Piece) -> Flattened | None:
    """A rail, cleat or frame by the rectangle round it; None where it lies askew or crosswise to the panel."""
    frame = piece.frame
    if abs(abs(_dot(frame.n, outer.frame.n)) - 1.0) > SQUARE:
        return None
    if abs(abs(_dot(frame.u, outer.frame.u)) - 1.0) > SQUARE:
        return None
    u0, v0, u1, v1 = piece.extent
    near = outer.frame.local(frame.point(u0, v0, 0.0))
    far = outer.frame.local(frame.point(u1, v1, -piece.thickness))
    u, v = (near[0] + far[0]) / 2, (near[1] + far[1]) / 2
    low, high = sorted((near[2], far[2]))
    return Flattened(
        Rectangle(u, v, abs(far[0] - near[0]), abs(far[1] - near[1])),
        low,
        high,
    )


def feature_depths(feature: Feature, piece: Piece, outer: Piece) -> tuple[float, float]:
    """Lowest and highest n of a feature, in the outermost layer's frame. [mm]"""
    top = outer.frame.local(piece.frame.origin)[2]
    bottom = top - piece.thickness
    if feature.depth is None:
        return (bottom, top)
    if feature.face == "show":
        return (top - feature.depth, top)
    return (bottom, bottom + feature.depth)


def body_sort(body: Body) -> str:
    """Which of the board's rules a body falls under."""
    if body.kind == "solid":
        return "solid"
    return "nut" if body.key.endswith(".nut room") else "room"


def feature_sort(feature: Feature, layer: int) -> str | None:
    """Which of the board's rules a feature of a layer falls under; None for what asks nothing."""
    if feature.kind in THROUGH:
        return f"hole.{layer}"
    if feature.kind in _POCKETS:
        return f"pocket.{layer}"
    return f"screw.{layer}" if feature.kind in _SCREWS else None


def flat_json(
    shape: FaceShape,
    at: Point2,
    *,
    sort: str,
    depths: tuple[float, float],
    name: str = "",
    touch: Sequence[str] = (),
) -> Json:
    """A flat outline relative to its part's place."""
    flat = flat_of(shape).moved(-at[0], -at[1])
    made: Json = {
        "core": [[_fine(x), _fine(y)] for x, y in flat.core],
        "radius": _fine(flat.radius),
        "low": _fine(depths[0]),
        "high": _fine(depths[1]),
        "sort": sort,
    }
    if name:
        made["name"] = name
    if touch:
        made["touch"] = list(touch)
    return made


def spacing_rules(project: Project, stack: Sequence[Piece]) -> list[Json]:
    """What is asked between two sorts of outline: below `least` is too close, below `good` is near. [mm]"""
    rules: list[Json] = [
        {
            "a": "solid",
            "b": "solid",
            "least": 0.0,
            "good": BETWEEN,
            "words": "{gap} between the two, {asked} is asked",
            "meets": "the two meet by {gap}",
        },
        {"a": "rail", "b": "solid", "least": 0.0, "meets": "{gap} into its hold"},
        {"a": "nut", "b": "solid", "least": 0.0, "meets": "{gap} into the room to turn the nut"},
        {"a": "room", "b": "solid", "good": 0.0, "meets": "{gap} into the room kept free"},
    ]
    for layer, piece in enumerate(stack):
        web = web_least(project, piece)
        wall = min(web, WALL_LEAST)
        left = f"{{gap}} of {piece.label} left, {{asked}} is asked"
        meets = "{gap} into each other"
        pairs = (
            ("hole", "hole", web),
            ("hole", "pocket", wall),
            ("hole", "screw", wall),
            ("pocket", "pocket", wall),
            ("pocket", "screw", wall),
        )
        rules += [
            {
                "a": f"{a}.{layer}",
                "b": f"{b}.{layer}",
                "least": least,
                "words": left,
                "meets": meets,
            }
            for a, b, least in pairs
        ]
    return rules


def pitches(subject: Subject, placed: Placed) -> dict[str, Json]:
    """What hands ask between a control's axis and every other's on its panel, by the other's key. [mm]"""
    found: dict[str, Json] = {}
    for other in subject.placed_on[placed.piece]:
        if other is not placed and isinstance(other.part.data, CONTROLS):
            asked = _pitch(subject, placed, other)
            if asked is not None:
                least, good, words = asked
                found[other.key] = {"least": least, "good": good, "words": words}
    return found


def _pitch(subject: Subject, a: Placed, b: Placed) -> tuple[float, float, str] | None:
    """Least distance of two axes, the one that hands like, and what it is for."""
    kinds = (a.part.data, b.part.data)
    if all(isinstance(data, Dial | PushButton) for data in kinds):
        least = hardware_radius(a) + hardware_radius(b)
        if all(isinstance(data, PushButton) for data in kinds):
            pitch = comfortable_pitch(subject, a, b)
            return (least, max(least + BETWEEN, pitch), "{gap} apart, {asked} suits the hand")
        return (
            least,
            least + BETWEEN + KNOB_FINGERS,
            "{gap} apart, {asked} leaves room for fingers",
        )
    levers = [p for p in (a, b) if isinstance(p.part.data, Lever)]
    if not levers:
        return None
    reach = [_lever_needs(lever, b if lever is a else a) for lever in levers]
    return (0.0, max(reach), "{gap} apart, {asked} leaves room at full tilt")


def _lever_needs(lever: Placed, other: Placed) -> float:
    data, near = lever.part.data, other.part.data
    assert isinstance(data, Lever)
    if isinstance(near, Lever):
        return lever_sweep(data) + HAND_ROOM + lever_sweep(near)
    return hand_radius(lever) + rim(other)


def swallowed(shapes: Mapping[str, FaceShape]) -> Iterator[str]:
    """Keys of the outlines that lie inside of another one, or on it: only the outer one is drawn."""
    boxes = {key: flat_of(shape).box for key, shape in shapes.items()}
    order = {key: number for number, key in enumerate(boxes)}
    for key, box in boxes.items():
        for other, whole in boxes.items():
            same = all(abs(a - b) < 0.01 for a, b in zip(box, whole, strict=True))
            inside = (
                box[0] >= whole[0] - 0.01
                and box[1] >= whole[1] - 0.01
                and box[2] <= whole[2] + 0.01
                and box[3] <= whole[3] + 0.01
            )
            if other != key and inside and (not same or order[other] < order[key]):
                yield key
                break


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return sum(x * y for x, y in zip(a, b, strict=True))


def _fine(value: float) -> float:
    """To a ten-thousandth of a millimeter, so that what is sent stays short."""
    return round(value, 4) + 0.0


__all__ = [
    "Flattened",
    "Json",
    "body_sort",
    "feature_depths",
    "feature_sort",
    "flat_json",
    "flatten_body",
    "flatten_piece",
    "pitches",
    "spacing_rules",
    "swallowed",
]
