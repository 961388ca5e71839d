"""Collisions gathered: all that two parties have against each other is one conflict, with the moves that end it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from casewright.basics.findings import Remedy, at_least, mm
from casewright.basics.units import TOUCHING, shown_beyond
from casewright.basics.wording import listed
from casewright.catalog.kinds import Dial, Display, PushButton, Sign
from casewright.checks.moving import Axis, label_of, shift_remedy, whole_shift
from casewright.checks.outer import Thing, clearing_move, outer
from casewright.checks.places import Enough, Move, Way, is_apart, is_free, least_move, move_of
from casewright.checks.sizes import outgrown
from casewright.design.panels import Door
from casewright.design.writing import length_style
from casewright.geometry.carcass import door_pieces
from casewright.geometry.collisions import Collision, collisions_between
from casewright.geometry.model import Body, Cabinet, Piece, Placed, Point3, Rectangle
from casewright.geometry.openings import part_field
from casewright.geometry.sign_light import BOARD_PLAY, ROWS
from casewright.geometry.solids import Floats, box_of

_SAID_BY_GEOMETRY = (
    "display.housing-room",
    "sign.board-room",
    "sign.frame-room",
    "sign.opening-room",
)


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
        if _follows(cabinet, known.first) and not _follows(cabinet, conflict.first):
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


def remedies(
    cabinet: Cabinet, conflict: Conflict, enough: Enough = lambda move: True
) -> tuple[Remedy, ...]:
    """Return the moves that end a conflict, the shortest first, and the depth that would.

    Twins with the same conflict move along, each as far as it has to. `enough` is what else has to hold after a move.
    """
    own = [twin for twin in conflict.twins if twin.first == conflict.first]
    if own:  # one part between two things: what frees it of one may not drive it into the other
        pairs = (*conflict.pairs, *(pair for twin in own for pair in twin.pairs))
        twins = tuple(twin for twin in conflict.twins if twin not in own)
        conflict = replace(conflict, pairs=pairs, twins=twins)
    found = _own_remedies(cabinet, conflict, enough)
    if not conflict.twins:
        return tuple(found)
    theirs = [
        [r for r in _own_remedies(cabinet, twin, enough) if r.field]
        for twin in conflict.twins
        if not _follows(cabinet, twin.first)
    ]
    made = []
    for remedy in found:
        alike = [_alike(remedy, some) for some in theirs]
        same = [r for r in alike if r is not None and r.field == remedy.field]
        if ".board_" in remedy.field:  # as small as all of them ask
            remedy = min((remedy, *same), key=lambda r: float(r.value or 0.0))
        made.append(with_twins(remedy, alike) if remedy.field else remedy)
    return tuple(made)


def _alike(remedy: Remedy, theirs: Sequence[Remedy]) -> Remedy | None:
    """A twin's order of the same kind: the same value of the same thing goes for both; else its first."""
    same = next((r for r in theirs if r.field == remedy.field), None)
    return same or next(iter(theirs), None)


def with_twins(remedy: Remedy, others: Sequence[Remedy | None]) -> Remedy:
    """A remedy with those of twins that have the same trouble, but for fields that it writes itself."""
    own, alike = remedy.text, 0
    for other in others:
        known = {remedy.field, *(field for field, _ in remedy.also)}
        if other is None or other.value is None or other.field in known:
            continue
        is_alike = other.text == own
        alike += is_alike
        remedy = replace(
            remedy,
            text=remedy.text if is_alike else f"{remedy.text} {other.text}",
            also=(*remedy.also, (other.field, other.value), *other.also),
        )
    if alike:
        which = "the other one" if alike == 1 else f"the {alike} others"
        remedy = replace(remedy, text=f"{remedy.text} The same for {which}.")
    return remedy


def _own_remedies(cabinet: Cabinet, conflict: Conflict, enough: Enough) -> list[Remedy]:
    """Moves that end one conflict alone."""
    found: list[Remedy] = []
    placed = cabinet.placed_by_key.get(conflict.first)
    second = cabinet.placed_by_key.get(conflict.second)
    for mover, is_first in ((placed, True), (second, False)):
        if mover is not None and not found:
            found += _moves(cabinet, mover, conflict, enough, is_first=is_first)
    if not found:
        found += _board_moves(cabinet, conflict)
        found += _door_changes(cabinet, conflict)
    if not found:
        found += _into_its_door(cabinet, conflict)
    found += _smaller_light_board(cabinet, conflict)
    if not found:
        found += _other_rows(cabinet, conflict)
    if not found:
        found += _deeper(cabinet, conflict)
    if not found:
        short = at_least(conflict.worst.clear_by)
        moved = "No move along its panel frees it: m" if placed is not None else "M"
        found.append(
            Remedy(
                f"{moved}ake one of the two {short} smaller there, or the cabinet {short} larger where they meet."
            )
        )
    return found


def depth_of(conflict: Conflict) -> float:
    """How far the two reach into each other: the least straight move that ends the worst pair. [mm]"""
    return conflict.worst.clear_by


# ---- who has what against whom ---------------------------------------------------------------------------------------


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


def _follows(cabinet: Cabinet, party: str) -> bool:
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
    return any(
        finding.rule in _SAID_BY_GEOMETRY and part.key in finding.place.names
        for finding in cabinet.findings
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


# ---- moves -----------------------------------------------------------------------------------------------------------


_AXES = (("to the left", "to the right"), ("forward", "back"), ("down", "up"))
"""Words for less and more x, y and z."""


def _board_moves(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
    """The shortest straight way of a loose board out of what it runs into that leads it into nothing else."""
    style = length_style(cabinet.project)
    for key, at in ((conflict.first, 0), (conflict.second, 1)):
        board = cabinet.piece_by_key.get(key)
        if key not in cabinet.project.boards or board is None:
            continue
        others: list[Thing] = [p for p in cabinet.pieces if p.key != key]
        things = [pair[1 - at] for pair in conflict.pairs]
        place = cabinet.project.boards[key].at
        ways = []
        for axis in range(3):
            for sign in (-1.0, 1.0):
                way = (sign * (axis == 0), sign * (axis == 1), sign * (axis == 2))
                by = max(clearing_move(board, thing, way) for thing in things)
                ways.append((by, axis, by * sign))
        for _, axis, by in sorted(ways):
            value = shown_beyond(place[axis] + by, style, up=by > 0)
            origin = list(board.frame.origin)
            origin[axis] += value - place[axis]
            frame = replace(board.frame, origin=(origin[0], origin[1], origin[2]))
            moved = replace(board, frame=frame)
            if _meets_nothing(cabinet, moved, others):
                words = _AXES[axis][by > 0]
                text = f"Move {board.label} {mm(abs(value - place[axis]))} {words}."
                yield Remedy(text, f"boards.{key}.at.{axis}", value)
                return


LEAST_LIP = 6.0
"""Narrower strips stop no door. [mm] Common practice."""

LEAST_DOOR = 40.0
"""Nobody reaches through a smaller one. [mm] Common practice."""


def _door_changes(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
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


def _into_its_door(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
    """The move that brings what is on a door, and meets the panel round it, into the door's opening."""
    for key, at in ((conflict.first, 0), (conflict.second, 1)):
        placed = cabinet.placed_by_key.get(key)
        door = cabinet.project.doors.get(placed.piece) if placed is not None else None
        if placed is None or door is None:
            continue
        others = [pair[1 - at] for pair in conflict.pairs]
        if not all(isinstance(other, Piece) and other.panel == door.on for other in others):
            continue
        board = cabinet.piece_by_key[placed.piece]
        low_u, low_v, high_u, high_v = board.extent
        points = [
            board.frame.local(_point3(p)) for pair in conflict.pairs for p in outer(pair[at])[0]
        ]
        inside: tuple[tuple[Axis, int, float, float], ...] = (
            ("u", 0, low_u, high_u),
            ("v", 1, low_v, high_v),
        )
        shift = []
        for name, axis, low, high in inside:
            least, most = min(p[axis] for p in points), max(p[axis] for p in points)
            by = max(low - least, 0.0) or min(high - most, 0.0)
            shift.append(whole_shift(cabinet, key, name, by) if abs(by) > TOUCHING else 0.0)
        du, dv = shift
        remedy = shift_remedy(cabinet, key, du, dv)
        if remedy is not None and is_free(cabinet, move_of(cabinet, placed, du, dv)):
            yield remedy


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
    if isinstance(thing, Body):
        return bool(collisions_between([piece], [thing]))
    return bool(collisions_between([piece, thing], []))


def _ways_past(
    host: Piece, door: Door, thing: Thing, middle: tuple[float, float]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Along u and along v, both ways: how far a door with its strips has to go past a thing. [mm]"""
    corners = [host.frame.local(_point3(p)) for p in outer(thing)[0]]
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


WITHIN = 12.0
"""Panel left beside a door's opening. [mm] Common practice."""


def _meets_nothing(cabinet: Cabinet, moved: Piece, others: Sequence[Thing]) -> bool:
    pieces = [thing for thing in others if isinstance(thing, Piece)]
    told = collisions_between([moved, *pieces], cabinet.bodies)
    return not any(moved.key in (c.first, c.second) for c in told)


def _smaller_light_board(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
    """A sign's light board short or low enough to end before what it meets, as long as its rows still lie on it."""
    for key, at in ((conflict.first, 0), (conflict.second, 1)):
        sign = cabinet.placed_by_key.get(key)
        mine = [pair[at] for pair in conflict.pairs]
        board = cabinet.piece_by_key.get(f"{key}.light-board")
        if sign is None or board is None or any(thing is not board for thing in mine):
            continue
        data = sign.part.data
        if not isinstance(data, Sign):
            continue
        turned = round(sign.turn_deg / 90) % 2 == 1
        rows = [body for body in cabinet.bodies if body.key.startswith(f"{key}.row-")]
        for name, word, axis in (
            ("board_length", "long", int(turned)),
            ("board_height", "high", int(not turned)),
        ):
            middle = (sign.u, sign.v)[axis]
            reach = min(_beside(board, pair[1 - at], axis, middle) for pair in conflict.pairs)
            size = 2 * (reach - BOARD_PLAY)
            least = max((2 * _farthest(board, row, axis, middle) for row in rows), default=0.0)
            if size >= max(least, 1.0):
                yield Remedy(
                    f"Make the light board of {sign.label} {mm(size)} {word}.",
                    part_field(sign, cabinet.project, name),
                    size,
                )


def _other_rows(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
    """Rows of light that lie on their board, where those that reach past it meet something."""
    for key, at in ((conflict.first, 0), (conflict.second, 1)):
        mine = [pair[at].key for pair in conflict.pairs]
        if not all(name.startswith(f"{key}.row-") for name in mine):
            continue
        for finding in cabinet.findings:
            if finding.rule == ROWS.id and key in finding.place.names:
                yield from (remedy for remedy in finding.remedies if remedy.field)


def _deeper(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
    """The whole cabinet deeper, where what is mounted elsewhere reaches into an upright back or a door in it."""
    for key, at in ((conflict.first, 0), (conflict.second, 1)):
        placed = cabinet.placed_by_key.get(key)
        if placed is None or _is_upright_back(cabinet.piece_by_key[placed.piece]):
            continue
        backs = [pair[1 - at] for pair in conflict.pairs]
        if not all(isinstance(back, Piece) and _is_upright_back(back) for back in backs):
            continue
        need = max(
            max(_point3(p)[1] for p in outer(pair[at])[0])
            - min(_point3(p)[1] for p in outer(pair[1 - at])[0])
            for pair in conflict.pairs
        )
        ys = [y for y, _ in cabinet.shape.corners.values()]
        style = length_style(cabinet.project)
        if cabinet.project.shape.recipe == "outline":
            at_back = [n for n, (y, _) in cabinet.shape.corners.items() if max(ys) - y < TOUCHING]
            value = shown_beyond(max(ys) + need, style, up=True)
            text = f"Move the corners {listed(at_back)} to y = {mm(value)}, so that the cabinet is deeper."
            fields = [f"shape.corners.{name}.0" for name in at_back]
        else:
            value = shown_beyond(max(ys) - min(ys) + need, style, up=True)
            text, fields = f"Make the cabinet {mm(value)} deep.", ["shape.depth"]
        mine = {pair[at].key for pair in conflict.pairs}
        against = outgrown(cabinet, _depth_without(cabinet, mine) + need)
        if against:
            yield Remedy(f"{text} {against}")
            continue
        yield Remedy(text, fields[0], value, tuple((field, value) for field in fields[1:]))


def _depth_without(cabinet: Cabinet, but: set[str]) -> float:
    """Depth over all, without what reaches through the back now. [mm]"""
    things: list[Thing] = [*cabinet.pieces, *(b for b in cabinet.bodies if b.kind == "solid")]
    boxes = [box_of(thing) for thing in things if thing.key not in but]
    return max(float(high[1]) for _, high in boxes) - min(float(low[1]) for low, _ in boxes)


def _is_upright_back(piece: Piece) -> bool:
    """True for what stands upright and faces the back."""
    return piece.frame.n[1] > 1 - TOUCHING


def _beside(board: Piece, thing: Thing, axis: int, middle: float) -> float:
    """From a middle line of the board to the nearer edge of a thing beside it; less than 0 where it crosses. [mm]"""
    along = [board.frame.local(_point3(p))[axis] - middle for p in outer(thing)[0]]
    return max(min(along), -max(along))


def _farthest(board: Piece, thing: Thing, axis: int, middle: float) -> float:
    return max(abs(board.frame.local(_point3(p))[axis] - middle) for p in outer(thing)[0])


def _point3(row: Floats) -> Point3:
    x, y, z = (float(value) for value in row)
    return (x, y, z)


def _moves(
    cabinet: Cabinet, mover: Placed, conflict: Conflict, enough: Enough, *, is_first: bool
) -> Iterator[Remedy]:
    board = cabinet.piece_by_key[mover.piece]
    pairs = conflict.pairs if is_first else [(b, a) for a, b in conflict.pairs]
    ways: list[Way] = []
    axes: tuple[tuple[Axis, Point3], ...] = (("u", board.frame.u), ("v", board.frame.v))
    for axis, along in axes:
        for sign in (1.0, -1.0):
            need = _clearance(pairs, (along[0] * sign, along[1] * sign, along[2] * sign))
            ways.append((need + TOUCHING, axis, sign))

    def frees(move: Move) -> bool:
        return is_apart(cabinet, move, pairs) and enough(move)

    remedy = least_move(cabinet, mover, ways, frees)
    if remedy is not None:
        yield remedy


def _clearance(pairs: Sequence[tuple[Thing, Thing]], direction: Point3) -> float:
    """Least move of the first ones along a direction that frees them all. [mm]"""
    return max(clearing_move(a, b, direction) for a, b in pairs)


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
    "Thing",
    "clearing_move",
    "depth_of",
    "find_conflicts",
    "parties_in_words",
    "remedies",
    "what",
    "with_twins",
]
