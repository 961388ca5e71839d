"""What ends a conflict: things moved apart, a board shorter, a door or the cabinet of another size."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from casewright.basics.findings import Remedy, at_least, mm
from casewright.basics.units import TOUCHING, shown_beyond
from casewright.basics.wording import listed
from casewright.catalog.kinds import Sign
from casewright.checks.board_moves import board_moves, inner_moves
from casewright.checks.conflicts import Conflict, follows
from casewright.checks.door_changes import door_changes
from casewright.checks.moving import Axis, label_of, shift_remedy, whole_shift
from casewright.checks.outer import Thing, clearing_move, outer, point3
from casewright.checks.places import (
    Enough,
    Move,
    Way,
    is_apart,
    is_beside,
    is_free,
    least_move,
    move_of,
    moves_onto,
    shifts_of,
)
from casewright.checks.shorter import free_ends, shorter_inner, smaller_boards
from casewright.checks.sizes import outgrown
from casewright.design.writing import length_style
from casewright.geometry.model import Cabinet, Piece, Placed, Point3
from casewright.geometry.openings import part_field
from casewright.geometry.sign import sign_strip
from casewright.geometry.sign_light import BOARD_PLAY, ROWS, board_size
from casewright.geometry.solids import box_of


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
    leading = [twin for twin in conflict.twins if not follows(cabinet, twin.first)]
    alone: dict[str, list[Remedy]] = {}
    made = []
    for remedy in found:
        gone = shifts_of(cabinet, remedy)
        alike: list[Remedy | None] = []
        for twin in leading:
            if gone:  # where the first goes is taken for the others
                beside = partial(is_beside, cabinet, enough, dict(gone))
                theirs = _own_remedies(cabinet, twin, beside)
            else:
                theirs = alone.setdefault(twin.first, _own_remedies(cabinet, twin, enough))
            its = _alike(remedy, [r for r in theirs if r.field])
            alike.append(its)
            gone |= shifts_of(cabinet, its) if its is not None and gone else {}
        same = [r for r in alike if r is not None and r.field == remedy.field]
        if ".board_" in remedy.field:  # as small as all of them ask
            remedy = min((remedy, *same), key=lambda r: float(r.value or 0.0))
        if remedy.field and gone and None in alike:  # it would mend a part of what is told
            label = label_of(cabinet, conflict.first)
            text = remedy.text.replace(label, f"{label} “{conflict.first}”", 1)
            remedy = Remedy(f"{text} Find the others a place of their own.")
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
        ways = [
            way
            for some in (board_moves, inner_moves, smaller_boards, shorter_inner, free_ends)
            for way in some(cabinet, conflict)
        ]
        ways.sort(key=lambda way: round(way[0], 3))
        near = max(3 * ways[0][0], ways[0][0] + _FARTHER) if ways else 0.0
        found += [remedy for by, remedy in ways if by <= near]
        found += door_changes(cabinet, conflict)
    if not found:
        found += _into_its_door(cabinet, conflict)
    found += _smaller_light_board(cabinet, conflict)
    if not found:
        found += _other_rows(cabinet, conflict)
    if not found:
        found += (*_deeper(cabinet, conflict), *_higher(cabinet, conflict))
    if not found:
        short = at_least(conflict.worst.clear_by)
        moved = "No move along its panel frees it: m" if placed is not None else "M"
        found.append(
            Remedy(
                f"{moved}ake one of the two {short} smaller there, or the cabinet {short} larger where they meet."
            )
        )
    return found


_FARTHER = 20.0
"""Nobody moves a board by this much more than another way asks, nor by three times as much. [mm]"""


def _into_its_door(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
    """The move that brings what is on a door, and meets the panel round it, into the door's opening."""
    for key, mine, met in conflict.sides:
        placed = cabinet.placed_by_key.get(key)
        door = cabinet.project.doors.get(placed.piece) if placed is not None else None
        if placed is None or door is None:
            continue
        if not all(isinstance(other, Piece) and other.panel == door.on for other in met):
            continue
        board = cabinet.piece_by_key[placed.piece]
        low_u, low_v, high_u, high_v = board.extent
        points = [board.frame.local(point3(p)) for thing in mine for p in outer(thing)[0]]
        inside: tuple[tuple[Axis, int, float, float], ...] = (
            ("u", 0, low_u, high_u),
            ("v", 1, low_v, high_v),
        )
        shift = []
        for name, axis, low, high in inside:
            least, most = min(p[axis] for p in points), max(p[axis] for p in points)
            by = max(low - least, 0.0) or min(high - most, 0.0)
            shift.append(whole_shift(cabinet, key, name, by) if abs(by) > TOUCHING else 0.0)
        for du, dv in (tuple(shift), *moves_onto(cabinet, placed)):
            remedy = shift_remedy(cabinet, key, du, dv)
            if remedy is not None and is_free(cabinet, move_of(cabinet, placed, du, dv)):
                yield remedy
                break


def _smaller_light_board(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
    """A sign's light board short or low enough to end before what it meets, as long as its rows still lie on it."""
    for key, mine, met in conflict.sides:
        sign = cabinet.placed_by_key.get(key)
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
            reach = min(_beside(board, other, axis, middle) for other in met)
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
    for key, mine, _ in conflict.sides:
        if not all(thing.key.startswith(f"{key}.row-") for thing in mine):
            continue
        for finding in cabinet.findings:
            if finding.rule == ROWS.id and key in finding.place.names:
                yield from (remedy for remedy in finding.remedies if remedy.field)


def _deeper(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
    """The whole cabinet deeper, where what is mounted elsewhere reaches into an upright back or a door in it."""
    for _, mine, met in _reaching(cabinet, conflict, _is_upright_back):
        need = _past(mine, met, axis=1, sign=1.0)
        ys = [y for y, _ in cabinet.shape.corners.values()]
        style = length_style(cabinet.project)
        if cabinet.project.shape.recipe == "outline":
            at_back = _corners_behind(cabinet, met)
            values = [shown_beyond(y + need, style, up=True) for y in at_back.values()]
            value = values[0]
            alike = max(values) - min(values) < TOUCHING
            to = f"to y = {mm(value)}" if alike else f"back by {at_least(need)}"
            text = f"Move the corners {listed(at_back)} {to}, so that the cabinet is deeper."
            fields = [f"shape.corners.{name}.0" for name in at_back]
        else:
            value = shown_beyond(max(ys) - min(ys) + need, style, up=True)
            text, fields = f"Make the cabinet {mm(value)} deep.", ["shape.depth"]
            values = [value]
        without = _depth_without(cabinet, {thing.key for thing in mine})
        against = outgrown(cabinet, without + need)
        if against:
            yield Remedy(f"{text} {against}")
            continue
        yield Remedy(text, fields[0], value, tuple(zip(fields[1:], values[1:], strict=True)))


def _corners_behind(cabinet: Cabinet, backs: Sequence[Thing]) -> dict[str, float]:
    """Corners of the back, upright or nearly so, with their y: those of its runs, and all as far back. [mm]"""
    doors = cabinet.project.doors
    panels = {
        doors[b.panel].on if b.panel in doors else b.panel for b in backs if isinstance(b, Piece)
    }
    corners = cabinet.shape.corners
    deep = max(y for y, _ in corners.values())
    of_runs = {
        name for run in cabinet.shape.runs if run.panel in panels for name in (run.start, run.end)
    }
    return {n: y for n, (y, _) in corners.items() if n in of_runs or deep - y < TOUCHING}


_HEIGHTS = {"lap": "front_height", "tabletop": "lip_height", "box": "height"}
"""Wish of each recipe that lifts all but the base."""


def _higher(cabinet: Cabinet, conflict: Conflict) -> Iterator[Remedy]:
    """The whole cabinet higher over its base, where what is mounted elsewhere reaches down into that."""
    for placed, mine, met in _reaching(cabinet, conflict, _is_floor):
        if not _is_lifted(cabinet, cabinet.piece_by_key[placed.piece]):
            continue
        need = _past(mine, met, axis=2, sign=-1.0)
        style, shape = length_style(cabinet.project), cabinet.project.shape
        if shape.recipe == "outline":
            corners = cabinet.shape.corners
            low = min(z for _, z in corners.values())
            lifted = {n: z for n, (_, z) in corners.items() if z - low > TOUCHING}
            by = shown_beyond(need, style, up=True)
            fields = [(f"shape.corners.{n}.1", round(z + by, 4)) for n, z in lifted.items()]
            if len(lifted) == len(corners) - 2:
                text = f"Lift all corners but those of the base, {listed(lifted)}, by {mm(by)}."
                yield Remedy(text, *fields[0], also=tuple(fields[1:]))
            continue
        name = _HEIGHTS.get(shape.recipe)
        now = cabinet.numbers.get(f"shape.{name}")
        if name is None or now is None or getattr(shape, "net_litres", None) is not None:
            continue
        value = shown_beyond(now.value + need, style, up=True)
        words = {"front_height": "front lip", "lip_height": "front lip", "height": "cabinet"}[name]
        yield Remedy(f"Make the {words} {mm(value)} high.", f"shape.{name}", value)


def _is_lifted(cabinet: Cabinet, piece: Piece) -> bool:
    """Whether a panel's lower end rises with the corners above the base, and with it all that is told from there."""
    low = min(z for _, z in cabinet.shape.corners.values())
    ends = (
        cabinet.shape.corners[name][1]
        for run in cabinet.shape.runs
        if run.panel == piece.panel
        for name in (run.start, run.end)
    )
    return min(ends, default=low) - low > TOUCHING


def _reaching(
    cabinet: Cabinet, conflict: Conflict, is_wall: Callable[[Piece], bool]
) -> Iterator[tuple[Placed, Sequence[Thing], Sequence[Thing]]]:
    """What reaches into nothing but walls of one sort and is mounted elsewhere, and the walls."""
    for key, mine, met in conflict.sides:
        placed = cabinet.placed_by_key.get(key)
        if placed is None or is_wall(cabinet.piece_by_key[placed.piece]):
            continue
        if all(isinstance(wall, Piece) and is_wall(wall) for wall in met):
            yield placed, mine, met


def _past(things: Sequence[Thing], walls: Sequence[Thing], *, axis: int, sign: float) -> float:
    """How far at most a thing reaches past the near side of its wall, up or down an axis. [mm]"""

    def along(thing: Thing) -> list[float]:
        return [sign * point3(p)[axis] for p in outer(thing)[0]]

    pairs = zip(things, walls, strict=True)
    return max(max(along(thing)) - min(along(wall)) for thing, wall in pairs)


def _is_floor(piece: Piece) -> bool:
    """True for what lies level, faces down, and stays where it is when the cabinet gets higher."""
    return piece.kind not in _AT_GIVEN and piece.frame.n[2] < -1 + TOUCHING


def _depth_without(cabinet: Cabinet, but: set[str]) -> float:
    """Depth over all, without what reaches through the back now. [mm]"""
    things: list[Thing] = [*cabinet.pieces, *(b for b in cabinet.bodies if b.kind == "solid")]
    boxes = [box_of(thing) for thing in things if thing.key not in but]
    return max(float(high[1]) for _, high in boxes) - min(float(low[1]) for low, _ in boxes)


def _is_upright_back(piece: Piece) -> bool:
    """True for what stands upright, faces the back, and goes back with it."""
    return piece.kind not in _AT_GIVEN and piece.frame.n[1] > 1 - TOUCHING


_AT_GIVEN = ("inner", "board")
"""Kinds of pieces at places of their own, which no larger cabinet moves."""


def _beside(board: Piece, thing: Thing, axis: int, middle: float) -> float:
    """From a middle line of the board to the nearer edge of a thing beside it; less than 0 where it crosses. [mm]"""
    along = [board.frame.local(point3(p))[axis] - middle for p in outer(thing)[0]]
    return max(min(along), -max(along))


def _farthest(board: Piece, thing: Thing, axis: int, middle: float) -> float:
    return max(abs(board.frame.local(point3(p))[axis] - middle) for p in outer(thing)[0])


def _moves(
    cabinet: Cabinet, mover: Placed, conflict: Conflict, enough: Enough, *, is_first: bool
) -> Iterator[Remedy]:
    board = cabinet.piece_by_key[mover.piece]
    pairs = conflict.pairs if is_first else [(b, a) for a, b in conflict.pairs]
    if any(_is_cut_short(cabinet, mover, mine) for mine, _ in pairs):
        return  # it would be as long again after the move
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


def _is_cut_short(cabinet: Cabinet, mover: Placed, thing: Thing) -> bool:
    """Whether a thing is a sign's light board that ends where its room does, and not as the sign asks."""
    data = mover.part.data
    if not isinstance(data, Sign) or thing.key != f"{mover.key}.light-board":
        return False
    asked = sorted(board_size(data, sign_strip(cabinet.parts)))
    return isinstance(thing, Piece) and any(
        has < size - TOUCHING
        for has, size in zip(sorted((thing.width, thing.height)), asked, strict=True)
    )


def _clearance(pairs: Sequence[tuple[Thing, Thing]], direction: Point3) -> float:
    """Least move of the first ones along a direction that frees them all. [mm]"""
    return max(clearing_move(a, b, direction) for a, b in pairs)


__all__ = [
    "remedies",
    "with_twins",
]
