"""What a feature takes away, told without its names: the same for meshes, exact solids and drawings."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.geometry.model import Circle, FaceName, FaceShape, Feature, FeatureKind

_SAME = 1e-9  # mm


@dataclass(frozen=True)
class Cut:
    """A feature's shape. Equal cuts make equal holes, whatever they are for."""

    shape: FaceShape
    kind: FeatureKind
    face: FaceName
    depth: float | None
    chamfer: float = 0.0


def cut_of(feature: Feature) -> Cut:
    """A feature without key, tool, owner and label."""
    return Cut(feature.shape, feature.kind, feature.face, feature.depth, feature.chamfer)


def goes_through(cut: Cut, thickness: float) -> bool:
    """Whether it is open on both faces over its whole shape."""
    if cut.kind in ("countersink", "slot"):
        return False
    return cut.depth is None or cut.depth >= thickness - _SAME


def profile_of(cut: Cut, thickness: float) -> list[tuple[float, float]]:
    """How much wider than its shape a feature is (negative: narrower) at which depth below its face. [mm]

    Straight between two depths. A chamfer is at 45°, no deeper than the feature. A countersink is 90° in all and as
    wide on the face as its circle; without a depth it ends in a point.

    Example:
        >>> profile_of(Cut(Circle(0, 0, 60), "hole", "show", None, chamfer=4), 12)
        [(4, 0.0), (0, 4), (0.0, 12)]
    """
    depth = thickness if cut.depth is None else min(cut.depth, thickness)
    if cut.kind == "countersink":
        radius = cut.shape.diameter / 2 if isinstance(cut.shape, Circle) else depth
        deep = min(depth, radius)
        return [(0.0, 0.0), (-deep, deep)]
    if cut.chamfer <= 0:
        return [(0.0, 0.0), (0.0, depth)]
    rim = min(cut.chamfer, depth)
    steps = [(cut.chamfer, 0.0), (cut.chamfer - rim, rim)]
    return steps if rim > depth - _SAME else [*steps, (0.0, depth)]


def slot_levels(cut: Cut, thickness: float) -> tuple[float, float]:
    """N at the two walls of a slot in an edge: `depth` is its width, in the middle of the thickness. [mm]"""
    half = (thickness if cut.depth is None else min(cut.depth, thickness)) / 2
    return (-thickness / 2 - half, -thickness / 2 + half)


__all__ = ["Cut", "cut_of", "goes_through", "profile_of", "slot_levels"]
