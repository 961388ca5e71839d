"""Holes, openings and pockets lie inside their pieces."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial

import shapely

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm, some
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.catalog.kinds import Display, Sign
from casewright.checks.conflict_cures import with_twins
from casewright.checks.crowding import keeps_apart
from casewright.checks.door_changes import has_room_for, smaller_door
from casewright.checks.flat import (
    Flat,
    box_margin,
    flat_of,
    gap_to_edge,
    inner_box,
    least_shifts,
    outline_at,
)
from casewright.checks.floors import floor_least, own_floors
from casewright.checks.moving import move_remedy, owner_label, shift_remedy, whole_shift
from casewright.checks.places import Move, is_beside, least_move, shifts_of
from casewright.checks.subject import Subject
from casewright.checks.webs import margin_after
from casewright.design.panels import Inner, Panel
from casewright.geometry.display_bar import BAR_WIDTH
from casewright.geometry.facets import shape_points
from casewright.geometry.model import Cabinet, Feature, Piece, Point2

RULE = Rule(
    id="feature.outside",
    severity=Severity.STOP,
    asks="No hole, opening or pocket runs past the edge of its piece, on either face of a bevelled one, and no pocket "
    "through it.",
    why="A hole that breaks out of an edge holds nothing and cannot be hidden.",
    source="Plain geometry",
)

EDGE_OF_SCREW = 3.0
"""Wood asked beside a screw's hole that is moved in from an edge. [mm] Common practice."""

Spot = tuple[Piece, Feature, float]
"""A feature of a piece, and how far it sticks out. [mm]"""

_OPEN_ENDED = ("groove", "notch", "slot")


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each owner on each piece; mirrored sides are one."""
    found: dict[tuple[str, str], list[Spot]] = {}
    for piece in subject.cabinet.pieces:
        inside = inner_box(piece)
        for feature in piece.features:
            if inside and box_margin(flat_of(feature.shape), inside) >= feature.chamfer:
                continue
            if _is_told_elsewhere(subject, feature):
                continue
            if feature.kind in _OPEN_ENDED and _meets(piece, feature):
                continue
            past = -min(gap_to_edge(flat, edge) for flat, edge in faces_of(piece, feature))
            if past > TOUCHING:
                label = owner_label(subject.cabinet, feature.owner)
                if piece.kind == "side":  # a mirrored pair is one
                    label = re.sub(r", (left|right)$", "", label)
                group = "side" if piece.kind == "side" else piece.key
                found.setdefault((label, group), []).append((piece, feature, past))
    said: set[str] = set()
    for (label, _), spots in found.items():
        piece, feature, past = max(spots, key=lambda spot: spot[2])
        pieces = listed(list(dict.fromkeys(spot[0].label for spot in spots)))
        u, v = flat_of(feature.shape).core[0]
        message = _message(subject, spots, label, pieces)
        if piece.kind == "door" and _lies_beside(subject, piece, feature):
            host = subject.label(subject.cabinet.project.doors[piece.key].on)
            message += f" Places on a door count from the edges of its panel, here {host}."
        short = _short_of_cleat(subject, piece, feature, past)
        if short is not None:
            if piece.key in said:
                continue  # its other cleat says the same
            said.add(piece.key)
            wide, free, _ = short
            message = (
                f"{piece.label} ends {mm(free)} before the sides and its cleats are {mm(wide)} wide: their screws run "
                f"{some(past)} past its edge."
            )
        yield RULE.finding(
            message,
            remedies=(short[2],)
            if short
            else subject.orders(partial(_all_remedies, subject, spots)),
            names=tuple(dict.fromkeys(n for spot in spots for n in (spot[1].owner, spot[0].key))),
            point=piece.frame.point(u, v),
        )
    yield from _gone_through(subject)


def _lies_beside(subject: Subject, piece: Piece, feature: Feature) -> bool:
    """Whether the middle of what owns a feature is not over its piece at all."""
    placed = subject.cabinet.placed_by_key.get(feature.owner)
    low_u, low_v, high_u, high_v = piece.extent
    return placed is not None and not (low_u <= placed.u <= high_u and low_v <= placed.v <= high_v)


def _message(subject: Subject, spots: Sequence[Spot], label: str, pieces: str) -> str:
    """How far what runs out, of which part; a screw's hole is called so."""
    _, feature, past = max(spots, key=lambda spot: spot[2])
    what = {"pilot": "screw hole", "clearance": "screw hole"}.get(feature.kind, feature.kind)
    placed = subject.cabinet.placed_by_key
    owners = {spot[1].owner for spot in spots if placed.get(spot[1].owner) is not None}
    if len(owners) > 1 and spots[0][0].kind != "side":  # on a pair of sides they are one
        return f"{what.capitalize()}s for {len(owners)} × {label} run up to {some(past)} past the edge of {pieces}."
    return f"The {what} for {label} runs {some(past)} past the edge of {pieces}."


def _gone_through(subject: Subject) -> Iterator[Finding]:
    """A pocket deeper than its piece is a hole that nobody asked for."""
    for floor in own_floors(subject.cabinet):
        if floor.left > TOUCHING:
            continue
        best = max(floor.thickness - floor_least(floor), 0.0)
        yield RULE.finding(
            f"{owner_label(subject.cabinet, floor.owner)} is to be {mm(floor.depth)} deep; {floor.piece.label} is "
            f"{mm(floor.thickness)} thick, so it goes right through.",
            remedies=(Remedy(f"Make it {mm(best)} deep.", f"{floor.owner}.depth", best),),
            names=(floor.owner, floor.piece.key),
            point=floor.piece.frame.origin,
        )


def _short_of_cleat(
    subject: Subject, piece: Piece, feature: Feature, past: float
) -> tuple[float, float, Remedy] | None:
    """Width of the cleat, clearance [mm] and cure where a board stops short of the middle of its cleats."""
    project = subject.cabinet.project
    cleat = subject.cabinet.piece_by_key.get(feature.owner)
    section = {"panel": "panels", "inner": "inner", "light board": "inner"}.get(piece.kind)
    if cleat is None or cleat.kind != "cleat" or section is None:
        return None
    wishes: Mapping[str, Panel | Inner] = (
        subject.cabinet.shape.panels if section == "panels" else project.inner
    )
    wish = wishes.get(piece.key)
    free = wish.clearance if wish is not None else 0.0
    most = math.floor((free - past - EDGE_OF_SCREW) * 2) / 2
    if free <= 0 or most < 0:
        return None
    text = f"Leave {mm(most)} free at each end of {piece.label}, or less."
    return (
        min(cleat.width, cleat.height),
        free,
        Remedy(text, f"{section}.{piece.key}.clearance", most),
    )


def faces_of(piece: Piece, feature: Feature) -> Iterator[tuple[Flat, tuple[Point2, ...]]]:
    """Return the feature's shape with the piece's outline at each depth where it could stick out."""
    flat = flat_of(feature.shape)
    depth = piece.thickness if feature.depth is None else min(feature.depth, piece.thickness)
    on_show = feature.face == "show"
    start, end = (0.0, depth) if on_show else (piece.thickness, piece.thickness - depth)
    yield flat.grown(feature.chamfer), outline_at(piece, start)
    if piece.show != piece.back:
        yield flat, outline_at(piece, end)


def _meets(piece: Piece, feature: Feature) -> bool:
    """Whether a groove, notch or slot, which may run out of an edge, meets its piece at all."""
    shape = shapely.Polygon(shape_points(feature.shape)).buffer(TOUCHING)
    return bool(shape.intersects(shapely.Polygon(outline_at(piece, 0.0))))


def _is_told_elsewhere(subject: Subject, feature: Feature) -> bool:
    placed = subject.cabinet.placed_by_key.get(feature.owner)
    return (
        placed is not None
        and isinstance(placed.part.data, Display | Sign)
        and feature.kind == "opening"
    )


def _all_remedies(subject: Subject, spots: Sequence[Spot]) -> Iterator[Remedy]:
    """Moves of all owners that stick out, in one order; what follows another one moves with it."""
    cabinet = subject.cabinet
    worst: dict[str, Spot] = {}
    for spot in sorted(spots, key=lambda spot: -spot[2]):
        worst.setdefault(spot[1].owner, spot)
    found: list[list[Remedy]] = []
    gone: dict[str, Point2] = {}  # where one goes is taken for the others
    for owner, (piece, feature, _) in worst.items():
        placed = cabinet.placed_by_key.get(owner)
        leads = {cabinet.placed_by_key[o].wish.key for o in worst if o in cabinet.placed_by_key}
        if placed is not None and placed.wish.like in leads:
            continue
        orders = list(_remedies(subject, piece, feature, gone))
        found.append(orders)
        gone |= shifts_of(cabinet, next((r for r in orders if r.field), Remedy("")))
    if not found:
        return
    others = [next((r for r in more if r.field), None) for more in found[1:]]
    yield from (with_twins(r, others) if r.field else r for r in found[0])


def _remedies(
    subject: Subject, piece: Piece, feature: Feature, gone: Mapping[str, Point2]
) -> Iterator[Remedy]:
    faces = tuple(faces_of(piece, feature))
    if feature.kind in ("pilot", "clearance"):
        found = tuple(_moves(subject, piece, feature, faces, EDGE_OF_SCREW, gone))
        if found:
            yield from found
            return
    found = tuple(_moves(subject, piece, feature, faces, 0.0, gone))
    if found:
        yield from found
        return
    if piece.kind == "bar":  # its holes are where the display has them
        wider = [
            remedy
            for finding in subject.cabinet.findings
            if finding.rule == BAR_WIDTH.id and piece.key in finding.place.names
            for remedy in finding.remedies
        ]
        if wider:
            yield from wider
            return
    yield _too_large_for(piece, feature)


def _too_large_for(piece: Piece, feature: Feature) -> Remedy:
    """By how much all that one owner has cut into a piece is larger than that, where it is."""
    boxes = [flat_of(f.shape).box for f in piece.features if f.owner == feature.owner]
    faces = [shapely.Polygon(face).bounds for face in (piece.show, piece.back)]
    edge = EDGE_OF_SCREW if feature.kind in ("pilot", "clearance") else 0.0
    short = []
    for axis, word in ((0, "wider"), (1, "higher")):
        has = max(box[axis + 2] for box in boxes) - min(box[axis] for box in boxes) + 2 * edge
        room = min(f[axis + 2] for f in faces) - max(f[axis] for f in faces)
        if has > room + TOUCHING:
            short.append(f"{at_least(has - room)} {word}")
    if not short:
        return Remedy(
            "Wherever it is moved, it runs out or meets something: make it smaller or the piece larger."
        )
    return Remedy(
        f"No place of {piece.label} takes it: make {piece.label} {' and '.join(short)}, or take a smaller one."
    )


def _moves(
    subject: Subject,
    piece: Piece,
    feature: Feature,
    faces: Sequence[tuple[Flat, tuple[Point2, ...]]],
    edge_room: float,
    gone: Mapping[str, Point2],
) -> Iterator[Remedy]:
    """The shortest move after which it is inside, with so much beside it, and has its webs. [mm]

    `gone` is how far others have moved by then.
    """
    cabinet = subject.cabinet
    boxes = [(flat.box, shapely.Polygon(edge).bounds) for flat, edge in faces]

    def left(du: float, dv: float) -> float:
        past = max(
            max(
                low_u - box[0] - du, low_v - box[1] - dv, box[2] + du - high_u, box[3] + dv - high_v
            )
            for box, (low_u, low_v, high_u, high_v) in boxes
        )
        if past > TOUCHING:
            return -float(past)  # what is past the box round a face is past the face
        inside = min(gap_to_edge(flat.moved(du, dv), edge) for flat, edge in faces) - edge_room
        return (
            inside
            if inside < 0
            else min(inside, margin_after(cabinet.project, piece, feature.owner, du, dv))
        )

    shifts = least_shifts(left, 0.0, max(piece.width, piece.height))
    placed = cabinet.placed_by_key.get(feature.owner)
    if placed is None:
        is_door = feature.owner in cabinet.project.doors
        for shift in shifts:
            by = whole_shift(cabinet, feature.owner, shift.axis, shift.signed)
            remedy = move_remedy(cabinet, feature.owner, shift.axis, by)
            if remedy is None or (is_door and not _has_room(cabinet, feature.owner, remedy)):
                continue
            yield remedy
            return
        if is_door:
            yield from smaller_door(cabinet, feature.owner)
            return
        yield from _aslant(subject, feature.owner, left)
    else:
        apart = partial(keeps_apart, subject)

        def enough(move: Move) -> bool:
            inside = left(*move.shift(placed.key)) >= -TOUCHING
            return inside and (is_beside(cabinet, apart, gone, move) if gone else apart(move))

        ways = [(shift.by, shift.axis, shift.sign) for shift in shifts]
        remedy = least_move(cabinet, placed, ways, enough)
        if remedy is not None:
            yield remedy


def _has_room(cabinet: Cabinet, door: str, remedy: Remedy) -> bool:
    """Whether a door that is moved, and its strips, run into nothing."""
    return isinstance(remedy.value, float) and has_room_for(
        cabinet, door, **{remedy.field.rpartition(".")[2]: remedy.value}
    )


def _aslant(
    subject: Subject, owner: str, left: Callable[[float, float], float]
) -> Iterator[Remedy]:
    """The shortest of some moves both ways at once, for what is out of a corner."""
    steps = [sign * _PITCH * n for n in range(1, _ASLANT + 1) for sign in (1, -1)]
    by_u, by_v = (
        {step: whole_shift(subject.cabinet, owner, axis, step) for step in steps}
        for axis in ("u", "v")
    )
    for u, v in sorted(((u, v) for u in steps for v in steps), key=lambda by: math.hypot(*by)):
        du, dv = by_u[u], by_v[v]
        if left(du, dv) >= 0:
            remedy = shift_remedy(subject.cabinet, owner, du, dv)
            if remedy is not None:
                yield remedy
            return


_PITCH, _ASLANT = 5.0, 24
"""Moves both ways are tried in steps of so much [mm], so many of them."""


__all__ = ["EDGE_OF_SCREW", "RULE", "faces_of", "find"]
