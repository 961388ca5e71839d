"""Where a board too long or too wide for its sheets is joined: between its holes, over a backing strip."""

from __future__ import annotations

import math
from collections.abc import Sequence

from casewright.basics.findings import Remedy, mm
from casewright.basics.wording import listed
from casewright.checks.flat import flat_of
from casewright.geometry.model import Feature, Piece

STRIP = 100.0
"""Width of the strip glued behind a joint, half of it on either side. Source: common practice. [mm]"""

CLEAR = 40.0
"""What a hole keeps from a joint, so that the strip's glue holds round it. Source: common practice. [mm]"""

_SCREWED = ("pilot", "clearance", "counterbore", "countersink")
"""Holes of screws, which may pass through the strip."""


def joint_remedy(piece: Piece, longest: float, *, edge_to_edge: bool = False) -> Remedy | None:
    """Return the order to make a piece of several, and where to join them; None if it need not be.

    Args:
        piece: The piece; it is joined across its longer way, or across its grain.
        longest: Length of the longest piece that a sheet gives that way. [mm]
        edge_to_edge: Join it along its longer way instead, or along its grain.
    """
    along_u = is_along_u(piece) != edge_to_edge
    low_u, low_v, high_u, high_v = piece.extent
    low, high = (low_u, high_u) if along_u else (low_v, high_v)
    count = math.ceil((high - low) / longest - 1e-9) if longest > 0 else 0
    if count < 2:
        return None
    blocked = [_span(f, along_u) for f in piece.features if f.kind not in _SCREWED]
    places = joint_places(low, high, longest, blocked)
    axis = "u" if along_u else "v"
    if places is None:
        return Remedy(
            f"Or make {piece.label} of {count} pieces, joined over a backing strip of {mm(STRIP)}; its holes leave no "
            f"place for that yet: free {mm(2 * CLEAR)} across the joint of them."
        )
    at = listed([f"{axis} = {mm(place)}" for place in places])
    return Remedy(
        f"Or make {piece.label} of {len(places) + 1} pieces, joined at {at} over a backing strip of {mm(STRIP)}: no "
        f"hole is nearer than {mm(CLEAR)} there."
    )


def joint_places(
    low: float, high: float, longest: float, blocked: Sequence[tuple[float, float]]
) -> tuple[float, ...] | None:
    """Return places for joints, as near to even as holes let them be; None if they leave no room. [mm]

    Args:
        low: Start of the board.
        high: Its end.
        longest: Longest piece.
        blocked: From where to where each hole reaches.

    Example:
        >>> joint_places(0, 1900, 1210, [(800, 930)]), joint_places(0, 1900, 1210, [(600, 1300)])
        ((970.0,), None)
    """
    count = math.ceil((high - low) / longest - 1e-9)
    places: list[float] = []
    start = low
    for left in range(count - 1, 0, -1):
        # The rest must still be cut from the pieces that are left.
        least, most = max(high - left * longest, start), min(start + longest, high)
        ideal = start + (high - start) / (left + 1)
        edges = [ideal, least, most]
        edges += [end for a, b in blocked for end in (a - CLEAR, b + CLEAR)]
        free = [
            x
            for x in edges
            if least <= x <= most and all(x <= a - CLEAR or x >= b + CLEAR for a, b in blocked)
        ]
        if not free:
            return None
        start = min(free, key=lambda x: (abs(x - ideal), x))
        places.append(start)
    return tuple(places)


def is_along_u(piece: Piece) -> bool:
    """True where the length of a piece's blank runs along u: with the grain, or the longer way."""
    return piece.grain == "u" or (piece.grain == "none" and piece.width >= piece.height)


def _span(feature: Feature, along_u: bool) -> tuple[float, float]:
    low_u, low_v, high_u, high_v = flat_of(feature.shape).box
    return (low_u, high_u) if along_u else (low_v, high_v)


__all__ = ["CLEAR", "STRIP", "is_along_u", "joint_places", "joint_remedy"]
