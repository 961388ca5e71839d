"""The table of holes, openings and pockets of one face: one letter a bit and setting, one number a place."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from casewright.basics.units import LengthStyle, format_length
from casewright.geometry.edge_trim import slot_reach
from casewright.geometry.model import Circle, Feature, FeatureKind, Rectangle
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.feature_marks import feature_box
from casewright.outputs.drawings.placing import Box, Motion

MANY = 5
"""As many equal holes of one part are numbered in one go (a grille, a row of vent slots)."""

TOOLS: Mapping[str, str] = {
    "brad": "brad-point bit",
    "twist": "twist bit",
    "spade": "spade bit",
    "forstner": "forstner bit",
    "hole saw": "hole saw",
    "straight": "router, straight bit",
    "flush trim": "router, flush-trim bit",
    "slot cutter": "router, slot cutter",
    "jigsaw": "jigsaw",
    "saw": "saw",
}
_WORDS: Mapping[FeatureKind, str] = {
    "hole": "hole",
    "opening": "opening",
    "pocket": "pocket",
    "groove": "groove",
    "notch": "notch",
    "pilot": "pilot",
    "clearance": "screw hole",
    "counterbore": "counterbore",
    "countersink": "countersink",
    "slot": "slot in the edge",
}
_ORDER: Mapping[FeatureKind, int] = {
    "opening": 0,
    "notch": 1,
    "hole": 2,
    "pocket": 3,
    "groove": 4,
    "slot": 5,
    "counterbore": 6,
    "countersink": 7,
    "clearance": 8,
    "pilot": 9,
}


@dataclass(frozen=True)
class HoleRow:
    """One place to drill, saw or rout, worked from the face of its sheet."""

    tag: str
    """Letter of the bit and setting, number of the place: "B3"."""
    kind: FeatureKind
    tool: str
    size: str
    """ "⌀ 28.6" or "527.0 × 296.5, R 6.4", in the user's unit, without the unit's name."""
    depth: str
    """ "through", or the depth."""
    u: str
    """Centre, right of the datum corner as seen on this face."""
    v: str
    """Centre, above it."""
    purpose: str
    feature: Feature
    x: float
    """The same as `u`. [mm]"""
    y: float

    @property
    def letter(self) -> str:
        """Of its bit and setting."""
        return self.tag.rstrip("0123456789")

    @property
    def cells(self) -> tuple[str, ...]:
        """As the table is printed: tag, tool, size, depth, u, v, what for."""
        return (self.tag, self.tool, self.size, self.depth, self.u, self.v, self.purpose)


def hole_rows(view: FaceView, style: LengthStyle, labels: Mapping[str, str]) -> tuple[HoleRow, ...]:
    """Every feature worked from this face, in the order of the tags.

    Args:
        view: The face.
        style: The user's unit.
        labels: What parts and pieces are called, by key.
    """
    mine = [f for f in view.piece.features if f.face == view.face]
    groups: dict[tuple[object, ...], list[Feature]] = {}
    for feature in mine:
        groups.setdefault(_setting(feature), []).append(feature)
    ordered = sorted(groups.values(), key=lambda group: _rank(group[0]))
    rows: list[HoleRow] = []
    for index, group in enumerate(ordered):
        letter = group_letter(index)
        for number, (feature, box) in enumerate(_in_order(group, view), 1):
            x, y = box.centre
            rows.append(
                HoleRow(
                    tag=letter if len(group) == 1 else f"{letter}{number}",
                    kind=feature.kind,
                    tool=TOOLS.get(feature.tool, feature.tool),
                    size=size_words(feature, style),
                    depth=depth_words(feature, style),
                    u=figure(x, style),
                    v=figure(y, style),
                    purpose=purpose(feature, labels),
                    feature=feature,
                    x=x,
                    y=y,
                )
            )
    return tuple(rows)


def figure(length: float, style: LengthStyle) -> str:
    """A length as set on a drawing, without its unit."""
    return format_length(length, style, with_unit=False, glyphs="typeset")


def bit_figure(diameter: float, style: LengthStyle) -> str:
    """A hole's diameter, without its unit; in inches to 1/64 whatever the style, as drills are sold."""
    return figure(diameter, replace(style, denominator=64))


def group_letter(index: int) -> str:
    """A, B, ... Z, AA, AB, ... without I and O, which read like figures.

    Example:
        >>> group_letter(0), group_letter(8), group_letter(24)
        ('A', 'J', 'AA')
    """
    letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    text = ""
    index += 1
    while index:
        index, at = divmod(index - 1, len(letters))
        text = letters[at] + text
    return text


def size_words(feature: Feature, style: LengthStyle) -> str:
    """Size of a feature on its face."""
    shape = feature.shape
    if feature.kind == "slot" and feature.depth is not None:
        return f"{figure(feature.depth, style)} wide, in the middle of the edge"
    if isinstance(shape, Circle):
        text = f"⌀ {bit_figure(shape.diameter, style)}"
    elif isinstance(shape, Rectangle):
        text = f"{figure(shape.width, style)} × {figure(shape.height, style)}"
        if shape.radius:
            text += f", R {figure(shape.radius, style)}"
        if shape.turn_deg % 180.0:
            text += f", turned {shape.turn_deg:.1f}°"
    else:
        us, vs = [p[0] for p in shape.points], [p[1] for p in shape.points]
        wide, high = max(us) - min(us), max(vs) - min(vs)
        text = f"{figure(wide, style)} × {figure(high, style)} over all"
    if feature.chamfer:
        text += f", chamfer {figure(feature.chamfer, style)}"
    return text


def depth_words(feature: Feature, style: LengthStyle) -> str:
    """Through, or the depth; of a slot, in from the edge."""
    if feature.kind == "slot":
        return figure(slot_reach(feature), style)
    return "through" if feature.depth is None else figure(feature.depth, style)


def purpose(feature: Feature, labels: Mapping[str, str]) -> str:
    """What a feature is for, in words."""
    word = _WORDS[feature.kind]
    owner = labels.get(feature.owner, "")
    if feature.label:
        return feature.label
    return f"{owner}: {word}" if owner else word


def clusters(rows: Sequence[HoleRow], *, close: float) -> tuple[tuple[HoleRow, ...], ...]:
    """Rows that share a tag on the drawing: many equal ones of one part that stand together; the others alone.

    Args:
        rows: The table.
        close: Neighbors nearer than this have no room for a tag each. [mm]
    """
    by_owner: dict[tuple[str, str], list[HoleRow]] = {}
    for row in rows:
        by_owner.setdefault((row.letter, row.feature.owner), []).append(row)
    grouped: list[tuple[HoleRow, ...]] = []
    for members in by_owner.values():
        if len(members) >= MANY and members[0].feature.owner and _widest_step(members) < close:
            grouped.append(tuple(members))
        else:
            grouped += [(row,) for row in members]
    return tuple(grouped)


def _widest_step(rows: Sequence[HoleRow]) -> float:
    """Largest distance of a place from its nearest neighbor. [mm]"""
    return max(min(math.hypot(a.x - b.x, a.y - b.y) for b in rows if b is not a) for a in rows)


def _setting(feature: Feature) -> tuple[object, ...]:
    shape = feature.shape
    if isinstance(shape, Circle):
        size: tuple[float, ...] = (shape.diameter,)
    elif isinstance(shape, Rectangle):
        size = (shape.width, shape.height, shape.radius, shape.turn_deg % 180.0)
    else:
        size = tuple(c for p in shape.points for c in p)
    depth = -1.0 if feature.depth is None else round(feature.depth, 2)
    return (
        feature.kind,
        feature.tool,
        type(shape).__name__,
        tuple(round(s, 2) for s in size),
        depth,
        round(feature.chamfer, 2),
    )


def _rank(feature: Feature) -> tuple[float, ...]:
    box = feature_box(feature, _STILL)
    depth = -1.0 if feature.depth is None else feature.depth
    return (_ORDER[feature.kind], -round(box.width, 2), -round(box.height, 2), depth)


def _in_order(group: Sequence[Feature], view: FaceView) -> list[tuple[Feature, Box]]:
    """Left to right, then upward; the many of one part stay together, row by row upward."""
    boxed = [(feature, feature_box(feature, view.motion)) for feature in group]
    count: dict[str, int] = {}
    left: dict[str, float] = {}
    for feature, box in boxed:
        count[feature.owner] = count.get(feature.owner, 0) + 1
        left[feature.owner] = min(left.get(feature.owner, box.centre[0]), box.centre[0])

    def place(item: tuple[Feature, Box]) -> tuple[float, float, float, str]:
        feature, box = item
        x, y = round(box.centre[0], 2), round(box.centre[1], 2)
        if count[feature.owner] >= MANY and feature.owner:
            return (round(left[feature.owner], 2), y, x, feature.key)
        return (x, y, 0.0, feature.key)

    return sorted(boxed, key=place)


_STILL = Motion()

__all__ = [
    "MANY",
    "TOOLS",
    "HoleRow",
    "bit_figure",
    "clusters",
    "depth_words",
    "figure",
    "group_letter",
    "hole_rows",
    "purpose",
    "size_words",
]
