"""How large the whole cabinet is, and what it passes through."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import permutations

import numpy as np

from casewright.basics.findings import mm
from casewright.basics.remembering import remembered
from casewright.basics.units import TOUCHING
from casewright.geometry.model import Body, Cabinet, Cylinder, Piece, Point3
from casewright.geometry.solids import box_of

Size = tuple[float, float, float]


@remembered(16)
def overall(cabinet: Cabinet, *, bolted: bool = True) -> tuple[Point3, Point3]:
    """Return least and most x, y, z of all pieces and solid bodies: feet, knobs and balls are counted. [mm]

    Args:
        cabinet: The cabinet.
        bolted: Whether boards that are bolted on, such as legs, stay on.
    """
    off = () if bolted else tuple(p.key for p in cabinet.pieces if p.fixing == "bolted")
    things: list[Piece | Body] = [p for p in cabinet.pieces if p.key not in off]
    things += [b for b in cabinet.bodies if b.kind == "solid"]
    boxes = np.array([box_of(thing) for thing in things])
    low, high = boxes[:, 0].min(axis=0), boxes[:, 1].max(axis=0)
    return (
        (float(low[0]), float(low[1]), float(low[2])),
        (float(high[0]), float(high[1]), float(high[2])),
    )


def size_of(box: tuple[Point3, Point3]) -> Size:
    """Width, depth and height. [mm]"""
    (a, b, c), (d, e, f) = box
    return (d - a, e - b, f - c)


def excess(size: Size, width: float, height: float, depth: float | None) -> float:
    """Return by how much a box is too large for an opening in its best pose, held square to it. [mm]

    Args:
        size: The box.
        width: Of the opening.
        height: Of the opening.
        depth: Room behind the opening; None for a doorway.

    Returns:
        0 or less where it passes: minus the room to spare.

    Source:
        Plain geometry, all six poses.
    """
    return min(
        max(a - width, b - height, *(() if depth is None else (c - depth,)))
        for a, b, c in permutations(size)
    )


def passes_turned(size: Size, width: float, height: float, depth: float | None) -> bool:
    """Return whether a box passes an opening when it is turned in the opening's plane.

    Source:
        Carver, "Solution to problem E 1225", The American Mathematical Monthly 64 (1957), 114: a rectangle p × q,
        p ≥ q, goes into a × b, a ≥ b, turned, if p > a, q ≤ b and
        b ≥ (2pqa + (p² − q²)·√(p² + q² − a²)) ÷ (p² + q²).
    """
    a, b = max(width, height), min(width, height)
    return any(
        _goes_in(max(p, q), min(p, q), a, b)
        for p, q, c in permutations(size)
        if depth is None or c <= depth
    )


def _goes_in(p: float, q: float, a: float, b: float) -> bool:
    if p <= a:
        return q <= b
    if q > b:
        return False
    return b >= (2 * p * q * a + (p * p - q * q) * math.sqrt(p * p + q * q - a * a)) / (
        p * p + q * q
    )


def outgrown(cabinet: Cabinet, deep: float | None, *, wide: float = 0.0, high: float = 0.0) -> str:
    """What stands against a cabinet of another size, in words: its place or a passage; "" for nothing.

    Args:
        cabinet: As it is.
        deep: Its depth over all then; None if that stays. [mm]
        wide: How much wider it is then. [mm]
        high: How much higher it is then. [mm]
    """
    now = size_of(overall(cabinet))
    after = (now[0] + wide, now[1] if deep is None else deep, now[2] + high)
    site = cabinet.project.site
    if deep is not None and site.depth is not None and deep > site.depth + TOUCHING:
        return f"First find it a place {mm(deep)} deep; the one it has allows {mm(site.depth)}."
    if wide > TOUCHING and site.width is not None and after[0] > site.width + TOUCHING:
        return f"First find it a place {mm(after[0])} wide; the one it has allows {mm(site.width)}."
    for passage in cabinet.project.limits.passages:
        hole = (passage.width, passage.height, passage.depth)
        fits, will_fit = (
            excess(size, *hole) <= TOUCHING or passes_turned(size, *hole) for size in (now, after)
        )
        if fits and not will_fit:
            return f"But then it does not pass {passage.label} any more."
    return ""


def corners_of(body: Body) -> list[Point3]:
    """Corners of the box round a body in its own frame, in the cabinet frame."""
    shape = body.shape
    if isinstance(shape, Cylinder):
        width = height = max(shape.diameter, shape.top_diameter or 0.0)
    else:
        width, height = shape.width, shape.height
    return [
        body.frame.point(shape.u + a * width / 2, shape.v + b * height / 2, n)
        for n in (shape.n_low, shape.n_high)
        for a in (-1, 1)
        for b in (-1, 1)
    ]


def smallest_two(size: Iterable[float]) -> tuple[float, float]:
    """The two smaller dimensions of a box, the smaller first. [mm]"""
    a, b, _ = sorted(size)
    return (a, b)


__all__ = [
    "Size",
    "corners_of",
    "excess",
    "outgrown",
    "overall",
    "passes_turned",
    "size_of",
    "smallest_two",
]
