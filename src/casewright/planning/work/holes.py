"""How each feature is worked: with which bit and stop, from which face, after which other features of its piece."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from graphlib import TopologicalSorter

from casewright.checks.flat import flat_of, gap_between, near_pairs
from casewright.design.project import Shop
from casewright.geometry.bits import ROUTER_BIT
from casewright.geometry.edge_trim import slot_reach
from casewright.geometry.model import Circle, FaceName, Feature, Piece, Polygon, Rectangle
from casewright.planning.work.step import Machine

ROUTED = ("flush trim", "straight", "slot cutter", "jigsaw", "chamfer", "round over", "saw")
"""Kinds of tool that do not drill."""
ROUTER_BITS = ("flush trim", "straight", "slot cutter", "chamfer", "round over")

PASS = 6.0
"""Deepest router pass [mm], and never more than half the bit's diameter. Common practice."""
CHAMFER_PASS = 4.0
"""Widest chamfer in one pass. [mm] Common practice."""
START_HOLE = 10.0
"""Hole in the waste that lets the jigsaw's blade in. [mm] Common practice."""

_RECESSES = ("pocket", "counterbore", "groove")


@dataclass(frozen=True)
class Way:
    """How a feature is worked."""

    machine: Machine
    bit: str
    """Kind of bit or blade."""
    diameter: float
    """Of the bit; 0 where it does not matter. [mm]"""
    stop: float | None
    """How deep; None is right through. [mm]"""
    face: FaceName
    """Face that lies up."""
    strips: bool = False
    """Sawn out roughly, then trimmed along guide strips."""
    starts: bool = False
    """The saw needs a hole to enter by."""


def way_of(feature: Feature, piece: Piece, shop: Shop) -> Way:
    """How a feature is worked.

    Source:
        Common practice. What is trimmed along guide strips lies back face up: strips are never fixed to a show face.
    """
    shape, tool = feature.shape, feature.tool
    if tool in ("jigsaw", "saw"):
        return Way("jigsaw", tool, 0.0, None, feature.face, starts=_is_inside(feature))
    if tool == "flush trim" and feature.depth is None:
        return Way(
            "router",
            tool,
            _bit_size(shop, tool),
            None,
            "back",
            strips=True,
            starts=_is_inside(feature),
        )
    if tool == "slot cutter":
        deep = slot_reach(feature) if isinstance(shape, Polygon) else feature.depth or 0.0
        return Way("router", tool, feature.depth or 0.0, deep, feature.face)
    if tool in ROUTER_BITS:
        return Way("router", tool, _straight_bit(feature, shop, tool), feature.depth, feature.face)
    return Way("drill", tool, bored(feature), feature.depth, feature.face)


def bored(feature: Feature) -> float:
    """Diameter of the bit: the hole's, or the narrow way of a slot, whose ends are bored. [mm]"""
    shape = feature.shape
    if isinstance(shape, Circle):
        return shape.diameter
    if isinstance(shape, Rectangle):
        return min(shape.width, shape.height)
    low_u, low_v, high_u, high_v = flat_of(shape).box
    return min(high_u - low_u, high_v - low_v)


def start_diameter(feature: Feature) -> float:
    """Of the hole that lets the saw in: no wider than the opening is narrow. [mm]"""
    return min(START_HOLE, bored(feature))


def passes(feature: Feature, shop: Shop, thickness: float) -> int:
    """Router passes for a feature; a saw and a bit that trims along a strip take one.

    Source:
        Common practice: no deeper than half the bit's diameter, nor than 6 mm.
    """
    if feature.tool != "straight":
        return 1
    sizes = [size for bit in shop.bits if bit.kind == "straight" for size in bit.sizes]
    deepest = min(PASS, max(sizes, default=2 * PASS) / 2)
    depth = thickness if feature.depth is None else feature.depth
    return max(1, math.ceil(depth / deepest - 1e-9))


def chamfer_passes(width: float) -> int:
    """Passes for a chamfer so wide. [mm]"""
    return max(1, math.ceil(width / CHAMFER_PASS - 1e-9))


def feature_needs(features: Sequence[Feature]) -> dict[str, set[str]]:
    """Which features of a piece must be worked before each, by key.

    A recess comes before what goes deeper through its floor: the wide bit needs wood under its point. A countersink
    comes after its hole, which guides it. Source: common practice.
    """
    needs: dict[str, set[str]] = {feature.key: set() for feature in features}
    flats = [flat_of(feature.shape) for feature in features]
    for i, j in near_pairs(flats, 0.0):
        if gap_between(flats[i], flats[j]) >= 0:
            continue
        for early, late in ((features[i], features[j]), (features[j], features[i])):
            if (early.kind in _RECESSES and _depth(early) < _depth(late)) or (
                late.kind == "countersink" and early.kind in ("clearance", "hole", "pilot")
            ):
                needs[late.key].add(early.key)
    return needs


def unknotted(
    groups: Sequence[Sequence[str]], needs: dict[str, set[str]]
) -> list[tuple[tuple[str, ...], int]]:
    """Groups of features that are to be worked in one go, parted where two of them would wait for each other.

    Args:
        groups: Keys of the features that share a setting.
        needs: As `feature_needs` gives them.

    Returns:
        Each group with its turn: 0, or 1, 2, ... of one that had to be parted.
    """
    order = list(TopologicalSorter(needs).static_order())
    level: dict[str, int] = {}
    for key in order:
        level[key] = 1 + max((level[need] for need in needs[key]), default=-1)
    home = {key: index for index, group in enumerate(groups) for key in group}
    follows: dict[int, set[int]] = {
        index: {home[need] for key in group for need in needs[key] if need in home}
        for index, group in enumerate(groups)
    }
    made = []
    for index, group in enumerate(groups):
        if not _waits_for_itself(index, follows):
            made.append((tuple(group), 0))
            continue
        for turn, one in enumerate(sorted({level[key] for key in group})):
            made.append((tuple(key for key in group if level[key] == one), turn))
    return made


def _waits_for_itself(start: int, follows: dict[int, set[int]]) -> bool:
    waiting, seen = list(follows[start]), set()
    while waiting:
        index = waiting.pop()
        if index == start:
            return True
        if index not in seen:
            seen.add(index)
            waiting += follows[index]
    return False


def _depth(feature: Feature) -> float:
    return math.inf if feature.depth is None else feature.depth


def _is_inside(feature: Feature) -> bool:
    """Whether wood stands all round it, so that a saw cannot enter from an edge."""
    return feature.kind != "notch"


def _bit_size(shop: Shop, kind: str) -> float:
    sizes = [size for bit in shop.bits if bit.kind == kind for size in bit.sizes]
    return max(sizes, default=ROUTER_BIT)


def _straight_bit(feature: Feature, shop: Shop, kind: str) -> float:
    """The largest bit that leaves no larger radius in the corners and fits into the narrow way. [mm]"""
    sizes = sorted(size for bit in shop.bits if bit.kind == kind for size in bit.sizes)
    narrow, shape = bored(feature), feature.shape
    most = narrow
    if isinstance(shape, Rectangle) and shape.radius > 0:
        most = min(narrow, 2 * shape.radius)
    fitting = [size for size in sizes if size <= most + 0.05]
    return max(fitting, default=sizes[0] if sizes else min(ROUTER_BIT, narrow))


__all__ = [
    "CHAMFER_PASS",
    "PASS",
    "ROUTED",
    "ROUTER_BITS",
    "START_HOLE",
    "Way",
    "bored",
    "chamfer_passes",
    "feature_needs",
    "passes",
    "start_diameter",
    "unknotted",
    "way_of",
]
