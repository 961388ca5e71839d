"""Which panel must stand before which, read from the seams."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from casewright.geometry.model import Corner


def panel_order(corners: Sequence[Corner], glued: set[str]) -> Mapping[str, set[str]]:
    """Which glued panels must stand before each: the leaned-on before the leaning one.

    At an outward corner the covering panel lies on the other's end, so it comes after it; at an inward (reflex) corner
    the other stands on the covering one's face, so it comes before.
    """
    before: dict[str, set[str]] = {key: set() for key in glued}
    for corner in corners:
        pair = {corner.first, corner.second}
        if corner.rule not in ("cover", "gap") or not pair <= glued or len(pair) < 2:
            continue
        other = next(iter(pair - {corner.over}))
        first, then = (corner.over, other) if corner.inside_deg > 180 else (other, corner.over)
        if not _reaches(before, first, then):
            before[then].add(first)
    return before


def _reaches(before: Mapping[str, set[str]], start: str, goal: str) -> bool:
    """Whether `goal` must come before `start` already."""
    waiting, seen = [start], set()
    while waiting:
        key = waiting.pop()
        if key == goal:
            return True
        if key not in seen:
            seen.add(key)
            waiting += before[key]
    return False


__all__ = ["panel_order"]
