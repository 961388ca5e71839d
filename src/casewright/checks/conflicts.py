"""Collisions gathered: all that two parties have against each other is one conflict."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from casewright.basics.wording import listed
from casewright.catalog.kinds import Dial, Display, PushButton, Sign
from casewright.checks.moving import label_of
from casewright.checks.outer import Thing
from casewright.geometry.collisions import Collision
from casewright.geometry.model import Body, Cabinet, Piece

_BEHIND_PANEL = ("frame", "cover", "print", "diffuser")

_SAID_BY_GEOMETRY = {
    "display.housing-room": ("",),
    "sign.board-room": ("light-board", "row-"),
    "sign.frame-room": _BEHIND_PANEL,
    "sign.opening-room": _BEHIND_PANEL,
}
"""Rules that tell of a part's room, and how the names of the things that they tell of go on behind the part's key."""


@dataclass(frozen=True)
class Conflict:
    """Two parties that want the same space."""

    first: str
    """Party that is the easier to move: key of a placed part, a door or a piece."""
    second: str
    pairs: tuple[tuple[Thing, Thing], ...]
    """Things of the first and of the second, the worst pair first."""
    worst: Collision
    is_solid: bool
    """True where solids meet; else one needs room that the other takes."""
    also: tuple[str, ...] = ()
    """Keys of mirror images and twins that have the same conflict."""
    count: int = 1
    twins: tuple[Conflict, ...] = ()
    """The same conflicts of mirror images and twins."""

    @property
    def sides(self) -> tuple[tuple[str, tuple[Thing, ...], tuple[Thing, ...]], ...]:
        """Each party's key, its things, and what each of them meets; the party that is easier to move first."""
        mine, others = tuple(a for a, _ in self.pairs), tuple(b for _, b in self.pairs)
        return (self.first, mine, others), (self.second, others, mine)

    @property
    def names(self) -> tuple[str, ...]:
        """All that a picture should point at."""
        things = (key for a, b in self.pairs for key in (a.key, b.key) if isinstance(a, Piece))
        return tuple(dict.fromkeys((self.first, self.second, *self.also, *things)))


def find_conflicts(cabinet: Cabinet, collisions: Sequence[Collision]) -> tuple[Conflict, ...]:
    """Return a cabinet's conflicts, solid ones first; twins that have the same are one."""
    things: dict[str, Thing] = {
        **{body.key: body for body in cabinet.bodies},
        **{piece.key: piece for piece in cabinet.pieces},
    }
    groups: dict[tuple[str, str], list[Collision]] = {}
    for collision in collisions:
        a, b = (_party(cabinet, things[key]) for key in (collision.first, collision.second))
        if a != b and not _is_said(cabinet, collision, a, b):
            groups.setdefault((min(a, b), max(a, b)), []).append(collision)
    made: dict[tuple[object, ...], Conflict] = {}
    for parties, found in groups.items():
        conflict = _conflict(cabinet, parties, found, things)
        twin = (
            *sorted((_kin(cabinet, conflict.first), _kin(cabinet, conflict.second))),
            conflict.is_solid,
            round(conflict.worst.clear_by, 1),
        )
        known = made.get(twin)
        if known is None:
            made[twin] = conflict
            continue
        if follows(cabinet, known.first) and not follows(cabinet, conflict.first):
            alone = replace(known, also=(), count=1, twins=())
            known = replace(conflict, also=known.also, count=known.count, twins=known.twins)
            conflict = alone
        also = (*known.also, *conflict.names)
        made[twin] = replace(
            known, also=also, count=known.count + 1, twins=(*known.twins, conflict)
        )
    return tuple(sorted(made.values(), key=lambda c: (not c.is_solid, -c.worst.overlap_mm3)))


def what(cabinet: Cabinet, thing: Thing) -> str:
    """A thing in words: a piece's label, or a part's with the name of its body."""
    if isinstance(thing, Piece):
        return thing.label
    name = thing.key.partition(".")[2]
    label = label_of(cabinet, thing.owner)
    return f"{label} ({name.replace('-', ' ')})" if name else label


def depth_of(conflict: Conflict) -> float:
    """How far the two reach into each other: the least straight move that ends the worst pair. [mm]"""
    return conflict.worst.clear_by


def _party(cabinet: Cabinet, thing: Thing) -> str:
    """The part, door or piece that a thing belongs to."""
    if isinstance(thing, Body):
        return thing.owner
    head = thing.key.partition(".")[0]
    if head != thing.key and (head in cabinet.placed_by_key or head in cabinet.project.doors):
        return head
    return thing.key


def _kin(cabinet: Cabinet, party: str) -> str:
    """The same for a pair's two halves and for equal parts."""
    placed = cabinet.placed_by_key.get(party)
    if placed is not None:
        return placed.part.key
    return re.sub(r"[-.]?(left|right)(-\d+)?$", "", party) or "side"


def follows(cabinet: Cabinet, party: str) -> bool:
    """True for a placed part that follows another one, and moves with it."""
    placed = cabinet.placed_by_key.get(party)
    return placed is not None and placed.wish.like is not None


def _is_said(cabinet: Cabinet, collision: Collision, a: str, b: str) -> bool:
    """True for what another rule tells better."""
    places = cabinet.placed_by_key
    first, second = places.get(a), places.get(b)
    if first is not None and second is not None:
        round_ones = (Dial, PushButton)
        return (
            first.piece == second.piece
            and isinstance(first.part.data, round_ones)
            and isinstance(second.part.data, round_ones)
        )
    part = first or second
    if part is None or "piece" not in collision.kinds or "room" in collision.kinds:
        return False
    things = (collision.first, collision.second)
    return any(
        part.key in finding.place.names
        and any(thing.startswith(f"{part.key}.{name}") for name in names for thing in things)
        for finding in cabinet.findings
        if (names := _SAID_BY_GEOMETRY.get(finding.rule))
    )


def _conflict(
    cabinet: Cabinet,
    parties: tuple[str, str],
    found: Sequence[Collision],
    things: dict[str, Thing],
) -> Conflict:
    solid = [c for c in found if "room" not in c.kinds]
    nuts = [c for c in found if any(key.endswith(".nut room") for key in (c.first, c.second))]
    pool = solid or nuts or list(found)
    worst = max(pool, key=lambda c: (c.clear_by, c.first, c.second))
    first = _mover(cabinet, parties, _party(cabinet, things[worst.first]))
    second = parties[1] if first == parties[0] else parties[0]
    pairs = []
    for collision in (worst, *(c for c in found if c is not worst)):
        a, b = things[collision.first], things[collision.second]
        pairs.append((a, b) if _party(cabinet, a) == first else (b, a))
    return Conflict(first, second, tuple(pairs), worst, bool(solid))


def _mover(cabinet: Cabinet, parties: tuple[str, str], smaller: str) -> str:
    """A part before a piece, and a part of any other kind before a display or sign."""

    def rank(party: str) -> tuple[int, bool, str]:
        placed = cabinet.placed_by_key.get(party)
        fixed = 2 if placed is None else 1 if isinstance(placed.part.data, Display | Sign) else 0
        return (fixed, party != smaller, party)

    return min(parties, key=rank)


def parties_in_words(cabinet: Cabinet, conflict: Conflict) -> tuple[str, str]:
    """The worst pair's two things in words; twins are counted."""
    a, b = conflict.pairs[0]
    names = [what(cabinet, a), what(cabinet, b)]
    if conflict.count > 1:
        at = 0 if _kin(cabinet, conflict.first) != conflict.first else 1
        names = [re.sub(r"^(left|right) side$", "the sides", name) for name in names]
        if names[at] != "the sides":
            stem = re.sub(r",? \b(left|right)\b|^(left|right) ", "", names[at])
            names[at] = listed([stem] * conflict.count)
    return names[0], names[1]


__all__ = [
    "Conflict",
    "depth_of",
    "find_conflicts",
    "follows",
    "parties_in_words",
    "what",
]
