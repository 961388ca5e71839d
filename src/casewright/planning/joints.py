"""Where a board too long or too wide for its sheets is joined: between its holes, over a backing strip."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from casewright.basics.findings import Remedy, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.catalog.kinds import Display
from casewright.checks.flat import flat_of
from casewright.geometry.cleat_room import corners_of, corners_of_body
from casewright.geometry.model import Cabinet, Feature, Piece, Point3

STRIP = 100.0
"""Width of the strip glued behind a joint, half of it on either side. Source: common practice. [mm]"""

CLEAR = 40.0
"""What a hole keeps from a joint, so that the strip's glue holds round it. Source: common practice. [mm]"""

_SCREWED = ("pilot", "clearance", "counterbore", "countersink")
"""Holes of screws: those of cleats may pass through the strip, those of parts have the part beside them."""

_BEHIND = 20.0
"""Depth behind a board that the strip takes, its glue and clamps included. Source: common practice. [mm]"""

Span = tuple[float, float]


def joint_remedy(
    cabinet: Cabinet, piece: Piece, longest: float, *, edge_to_edge: bool = False
) -> Remedy | None:
    """Return the order to make a piece of several, and where to join them; None if it need not be.

    Players' controls are left together where there is a gap between them.

    Args:
        cabinet: With what sits on the piece.
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
    own = [
        (f.owner, _span(f, along_u))
        for f in piece.features
        if f.kind not in _SCREWED or f.owner in cabinet.placed_by_key
    ]
    laid = piece.kind == "overlay"
    if not laid:
        own += _bodies_behind(cabinet, piece, along_u)
    blocked = [span for _, span in own]
    if not laid:
        blocked += _pieces_behind(cabinet, piece, along_u)
    places = joint_places(low, high, longest, [*blocked, *_players(cabinet, own)])
    places = places or joint_places(low, high, longest, blocked)
    axis = "u" if along_u else "v"
    over = "" if laid else f" over a backing strip of {mm(STRIP)}"
    if places is None:
        return Remedy(
            f"Or make {piece.label} of {count} pieces, joined{over}; its holes leave no "
            f"place for that yet: free {mm(2 * CLEAR)} across the joint of them."
        )
    at = listed([f"{axis} = {mm(place)}" for place in places])
    if laid:
        return Remedy(
            f"Or lay {piece.label} in {len(places) + 1} pieces that meet at {at}: the line shows, and no hole is "
            f"nearer to it than {mm(CLEAR)}."
        )
    made_of = cabinet.project.materials.get(piece.material)
    if edge_to_edge and made_of is not None and made_of.kind == "solid wood":
        return Remedy(
            f"Or glue {piece.label} up of {len(places) + 1} boards edge to edge, with joints at {at}: planed true they "
            f"need no strip behind. No hole is nearer than {mm(CLEAR)} there."
        )
    return Remedy(
        f"Or make {piece.label} of {len(places) + 1} pieces, joined at {at}{over}: no "
        f"hole is nearer than {mm(CLEAR)} there."
    )


def _bodies_behind(cabinet: Cabinet, piece: Piece, along_u: bool) -> list[tuple[str, Span]]:
    """What lies on the board where the strip would lie, and where it keeps a joint from; nuts may sit on the strip."""
    held = {f.owner for f in piece.features if f.kind in _SCREWED} & set(cabinet.placed_by_key)
    on = [placed for placed in cabinet.placed if placed.wish.on == piece.key]
    held |= {placed.key for placed in on if isinstance(placed.part.data, Display)}
    found = []
    for body in cabinet.bodies:
        if body.kind == "solid" and body.owner in held:
            span = _span_behind(piece, corners_of_body(body), along_u)
            found += [(body.owner, span)] if span is not None else []
    return found


def _pieces_behind(cabinet: Cabinet, piece: Piece, along_u: bool) -> list[Span]:
    """Where the rails of a display, the frame of a sign and the stop strips of a door lie in the strip's way."""
    owners = {x.key for x in cabinet.placed if x.wish.on == piece.key}
    owners |= {key for key, door in cabinet.project.doors.items() if door.on == piece.key}
    spans = [
        _span_behind(piece, corners_of(other), along_u)
        for other in cabinet.pieces
        if other.key.partition(".")[0] in owners and "." in other.key
    ]
    return [span for span in spans if span is not None]


def _span_behind(piece: Piece, corners: Iterable[Point3], along_u: bool) -> Span | None:
    """From where to where something keeps the strip's joint away; None where it is not on the board's back."""
    points = [piece.frame.local(corner) for corner in corners]
    deep = [-n - piece.thickness for _, _, n in points]
    if max(deep) <= TOUCHING or min(deep) >= _BEHIND:
        return None
    values = [point[0 if along_u else 1] for point in points]
    more = STRIP / 2 - CLEAR
    return (min(values) - more, max(values) + more)


def _players(cabinet: Cabinet, own: Sequence[tuple[str, Span]]) -> list[Span]:
    """From where to where each player's controls reach."""
    reach: dict[int, Span] = {}
    for owner, (low, high) in own:
        placed = cabinet.placed_by_key.get(owner)
        player = placed.wish.player if placed is not None else None
        if player is not None:
            was = reach.get(player, (low, high))
            reach[player] = (min(was[0], low), max(was[1], high))
    return list(reach.values())


def joint_places(
    low: float, high: float, longest: float, blocked: Sequence[Span]
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
    joints = math.ceil((high - low) / longest - 1e-9) - 1
    if joints < 1:
        return ()
    free = _free(low, high, blocked)
    # From the end: where the last joint may be, the last but one, ... so that the rest can still be cut.
    open_to = [_both(free, [(high - longest, high)])]
    for _ in range(joints - 1):
        open_to.append(_both(free, [(a - longest, b) for a, b in open_to[-1]]))
    places: list[float] = []
    start = low
    for left in range(joints, 0, -1):
        ideal = start + (high - start) / (left + 1)
        there = _both(open_to[left - 1], [(start, start + longest)])
        if not there:
            return None
        start = min((min(max(ideal, a), b) for a, b in there), key=lambda x: (abs(x - ideal), x))
        places.append(start)
    return tuple(places)


def _free(low: float, high: float, blocked: Sequence[Span]) -> list[Span]:
    """Where a joint keeps clear of every hole."""
    found: list[Span] = []
    start = low
    for a, b in sorted(blocked):
        if a - CLEAR >= start:
            found.append((start, min(a - CLEAR, high)))
        start = max(start, b + CLEAR)
    return [*found, (start, high)] if start <= high else found


def _both(some: Sequence[Span], others: Sequence[Span]) -> list[Span]:
    """Spans that lie in one of either."""
    shared = [(max(a, c), min(b, d)) for a, b in some for c, d in others]
    return sorted({(a, b) for a, b in shared if a <= b})


def is_along_u(piece: Piece) -> bool:
    """True where the length of a piece's blank runs along u: with the grain, or the longer way."""
    return piece.grain == "u" or (piece.grain == "none" and piece.width >= piece.height)


def _span(feature: Feature, along_u: bool) -> tuple[float, float]:
    low_u, low_v, high_u, high_v = flat_of(feature.shape).box
    low, high = (low_u, high_u) if along_u else (low_v, high_v)
    return (low - feature.chamfer, high + feature.chamfer)


__all__ = ["CLEAR", "STRIP", "is_along_u", "joint_places", "joint_remedy"]
