"""A door that runs into something: moved in its panel, with narrower strips, or smaller."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.findings import Remedy, mm
from casewright.basics.units import shown_beyond
from casewright.checks.conflicts import Conflict
from casewright.checks.moving import label_of
from casewright.checks.outer import Thing, outer, point3
from casewright.design.panels import Door
from casewright.design.writing import length_style
from casewright.geometry.carcass import door_pieces
from casewright.geometry.collisions import met_by
from casewright.geometry.model import Cabinet, Piece, Rectangle

LEAST_LIP = 6.0
"""Narrower strips stop no door. [mm] Common practice."""

LEAST_DOOR = 40.0
"""Nobody reaches through a smaller one. [mm] Common practice."""

WITHIN = 12.0
"""Panel left beside a door's opening. [mm] Common practice."""


def door_changes(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
    """A door moved in its panel, its strips narrower, or the door smaller: the first that runs into nothing at all."""
    for key in (conflict.first, conflict.second):
        door = cabinet.project.doors.get(key)
        host = cabinet.piece_by_key.get(door.on) if door else None
        if door is not None and host is not None:
            yield from _changed_doors(cabinet, key, door, host)


def _changed_doors(cabinet: Cabinet, key: str, door: Door, host: Piece) -> Iterator[Remedy]:
    style, label = length_style(cabinet.project), label_of(cabinet, key)
    own = [p for p in cabinet.pieces if p.key == key or p.key.startswith(f"{key}.stop-")]
    around = _around_door(cabinet, key, host, own)
    met = [thing for thing in around if any(_meets(piece, thing) for piece in own)]
    low_u, low_v, high_u, high_v = cabinet.piece_by_key[key].extent
    middle = ((low_u + high_u) / 2, (low_v + high_v) / 2)
    ways = [_ways_past(host, door, thing, middle) for thing in met]

    def fits(**values: float) -> bool:
        changed = door.model_copy(update=values)
        return _door_fits(cabinet, key, changed, host, around)

    for axis, name in ((0, "u"), (1, "v")):
        for by in sorted((by for way in ways for by in way[axis]), key=abs):
            to = shown_beyond(middle[axis] + by, style, up=by > 0)
            if fits(**{name: to}):
                word = (("left", "right"), ("down", "up"))[axis][by > 0]
                text = f"Move {label} {mm(abs(to - middle[axis]))} {word}, to {name} = {mm(to)}."
                yield Remedy(text, f"doors.{key}.{name}", to)
                return
    less = max((min(abs(by) for axis in way for by in axis) for way in ways), default=0.0)
    lip = shown_beyond(door.lip - less, style, up=False)
    if lip >= LEAST_LIP and fits(lip=lip):
        yield Remedy(f"Make its stop strips stand {mm(lip)} in.", f"doors.{key}.lip", lip)
        return
    if any(placed.piece == key for placed in cabinet.placed):
        return  # what is on it may not find its place on a smaller one
    for axis, name, word in ((1, "height", "high"), (0, "width", "wide")):
        over = max((min(abs(by) for by in way[axis]) for way in ways), default=0.0)
        size = shown_beyond(getattr(door, name) - 2 * over, style, up=False)
        if size >= max(LEAST_DOOR, getattr(door, name) / 2) and fits(**{name: size}):
            yield Remedy(f"Make {label} {mm(size)} {word}.", f"doors.{key}.{name}", size)
            return


def has_room_for(cabinet: Cabinet, key: str, **sizes: float) -> bool:
    """Whether a door of another width or height [mm] stays within its panel, and runs into nothing with its strips."""
    door = cabinet.project.doors[key]
    host = cabinet.piece_by_key[door.on]
    own = [p for p in cabinet.pieces if p.key == key or p.key.startswith(f"{key}.stop-")]
    around = _around_door(cabinet, key, host, own)
    return _door_fits(cabinet, key, door.model_copy(update=sizes), host, around)


def smaller_door(cabinet: Cabinet, key: str) -> Iterator[Remedy]:
    """The largest door in the middle of its panel that stays within it and runs into nothing; half as large at least.

    One that something sits on keeps its size.
    """
    door, style = cabinet.project.doors[key], length_style(cabinet.project)
    if any(placed.piece == key for placed in cabinet.placed):
        return
    low_u, low_v, high_u, high_v = cabinet.piece_by_key[door.on].extent
    for axis, name, word in ((1, "height", "high"), (0, "width", "wide")):
        middle = (low_v + high_v) / 2 if axis else (low_u + high_u) / 2
        place = "v" if axis else "u"
        room = (high_v - low_v if axis else high_u - low_u) - 2 * (door.gap + WITHIN)
        size = shown_beyond(min(getattr(door, name), room), style, up=False)
        least = max(LEAST_DOOR, getattr(door, name) / 2)
        while size >= least:
            if has_room_for(cabinet, key, **{name: size, place: middle}):
                yield Remedy(
                    f"Make {label_of(cabinet, key)} {mm(size)} {word}, in the middle of its panel.",
                    f"doors.{key}.{name}",
                    size,
                    ((f"doors.{key}.{place}", middle),),
                )
                return
            size -= _SMALLER


_SMALLER = 2 * 25.4 / 8
"""Doors are tried in steps of so much, a quarter of an inch. [mm]"""


def _around_door(
    cabinet: Cabinet, key: str, host: Piece, own: Sequence[Piece]
) -> tuple[Thing, ...]:
    """All that a door and its strips may run into: neither its panel nor what is on the door itself."""
    mine = {piece.key for piece in own} | {host.key}
    parts = {placed.key for placed in cabinet.placed if placed.piece == key} | {key}
    return (
        *(
            p
            for p in cabinet.pieces
            if p.key not in mine and not (p.kind == "overlay" and p.panel == host.key)
        ),
        *(b for b in cabinet.bodies if b.kind == "solid" and b.owner not in parts),
    )


def _meets(piece: Piece, thing: Thing) -> bool:
    return bool(met_by(piece, [thing]))


def _ways_past(
    host: Piece, door: Door, thing: Thing, middle: tuple[float, float]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Along u and along v, both ways: how far a door with its strips has to go past a thing. [mm]"""
    corners = [host.frame.local(point3(p)) for p in outer(thing)[0]]
    found = []
    for axis, size in ((0, door.width), (1, door.height)):
        half = size / 2 + door.gap + door.lip
        low, high = min(c[axis] for c in corners), max(c[axis] for c in corners)
        found.append((low - (middle[axis] + half), high - (middle[axis] - half)))
    return found[0], found[1]


def _door_fits(
    cabinet: Cabinet, key: str, door: Door, host: Piece, around: Sequence[Thing]
) -> bool:
    """Whether a changed door stays within its panel, and it and its strips run into nothing."""
    standing = [p for p in cabinet.pieces if p.kind in ("inner", "board") and p.key != host.key]
    pieces, opening = door_pieces(cabinet.project, key, door, host, standing)
    shape = opening.shape
    if not isinstance(shape, Rectangle):
        return False
    low_u, low_v, high_u, high_v = host.extent
    half_w, half_h = shape.width / 2 + WITHIN, shape.height / 2 + WITHIN
    if not (low_u + half_w <= shape.u <= high_u - half_w):
        return False
    if not (low_v + half_h <= shape.v <= high_v - half_h):
        return False
    return not any(_meets(piece, thing) for piece in pieces for thing in around)


__all__ = [
    "LEAST_DOOR",
    "LEAST_LIP",
    "WITHIN",
    "door_changes",
    "has_room_for",
    "smaller_door",
]
