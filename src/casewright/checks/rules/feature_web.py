"""Enough material is left between holes and to the edges."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.catalog.kinds import Display, Sign
from casewright.checks.crowding import keeps_apart
from casewright.checks.flat import Shift, edges_of, flat_of, inner_box, least_shifts
from casewright.checks.floors import floor_least, own_floors
from casewright.checks.moving import move_remedy, owner_label, whole_shift
from casewright.checks.places import Move, least_move, move_of
from casewright.checks.rows_apart import spread_remedies
from casewright.checks.subject import Subject
from casewright.checks.webs import Web, margin_after, thin_webs
from casewright.design.project import Project
from casewright.geometry.display_face import quarter_turns
from casewright.geometry.model import Feature, Piece, Placed
from casewright.geometry.openings import part_field
from casewright.geometry.sign_cures import OPENING_LEAST

RULE = Rule(
    id="feature.web",
    severity=Severity.CAUTION,
    asks="Between two holes, and between a hole and an edge, plywood keeps 8 mm, MDF 10 mm and acrylic 6 mm, or what "
    "limits.web says; a pocket keeps a wall and a floor of 3 mm.",
    why="A thin web splits when the hole is drilled, or cracks under the hand later.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """The thinnest web of each piece, between holes and to an edge apart, with how many more there are."""
    said: set[tuple[object, ...]] = set()
    for piece in subject.cabinet.pieces:
        webs = list(thin_webs(subject.cabinet.project, piece))
        for group in (
            [w for w in webs if w.second is None],
            [w for w in webs if w.second is not None and not w.is_broken],
            [w for w in webs if w.is_broken],
        ):
            if not group:
                continue
            worst = min(group, key=lambda w: (w.left, w.owners))
            twin = (
                piece.kind,
                worst.first.kind,
                round(worst.left, 2),
                round(worst.first.depth or 0, 1),
            )
            if piece.kind == "side" and twin in said:
                continue  # the other side's mirror image
            said.add(twin)
            yield _finding(subject, worst, group)
    yield from _thin_floors(subject)


def _thin_floors(subject: Subject) -> Iterator[Finding]:
    """Pockets of the project's own that leave too little below them."""
    for floor in own_floors(subject.cabinet):
        least = floor_least(floor)
        if not TOUCHING < floor.left < least - TOUCHING:
            continue
        best = floor.thickness - least
        yield RULE.finding(
            f"Below {owner_label(subject.cabinet, floor.owner)} {mm(floor.left)} of {floor.piece.label} is left; "
            f"{mm(least)} is asked.",
            remedies=(Remedy(f"Make it {mm(best)} deep.", f"{floor.owner}.depth", best),),
            names=(floor.piece.key, floor.owner),
            point=floor.piece.frame.origin,
        )


def _finding(subject: Subject, web: Web, group: list[Web]) -> Finding:
    piece, second = web.piece, web.second
    first = _named(subject, web.first.owner, web.first.kind)
    more = (
        f" ({len(group) - 1} more such place{'s' if len(group) > 2 else ''})"
        if len(group) > 1
        else ""
    )
    if second is None:
        where = f"Between {first} and the edge of {piece.label}"
    else:
        where = (
            f"In {piece.label}, between {first} and {_named(subject, second.owner, second.kind)},"
        )
    if web.left < 0:
        other = _named(subject, web.owners[-1], second.kind if second else "")
        message = f"In {piece.label}, {first} and {other} run into each other{more}."
    else:
        message = f"{where} {mm(web.left)} is left; {mm(web.least)} is asked{more}."
    u, v = flat_of(web.first.shape).core[0]
    return RULE.finding(
        message,
        remedies=subject.orders(lambda: _orders(subject, web, group)),
        names=tuple(dict.fromkeys((piece.key, *(n for w in group for n in w.owners if n)))),
        point=piece.frame.point(u, v),
        severity=Severity.STOP if web.is_broken else None,
    )


def _named(subject: Subject, owner: str, kind: str) -> str:
    label = owner_label(subject.cabinet, owner)
    return f"the screws of {label}" if kind in ("pilot", "clearance") else label


def _orders(subject: Subject, worst: Web, group: Sequence[Web]) -> Iterator[Remedy]:
    """What mends all of them, where they are of controls in a row; else what mends the thinnest."""
    found = list(spread_remedies(subject, _pairs(subject, group), webs=True)) if group[1:] else []
    if found:
        yield from found
        return
    for remedy in _remedies(subject, worst):
        moved = _moved(subject, remedy)
        if remedy.field and moved and not all(moved & set(web.owners) for web in group):
            remedy = Remedy(f"{remedy.text} Then see to the other places.")
        yield remedy


def _moved(subject: Subject, remedy: Remedy) -> set[str]:
    """Keys of what an order moves, with all that follows it; none for an order of another sort."""
    cabinet, moved = subject.cabinet, set[str]()
    for field in (remedy.field, *(field for field, _ in remedy.also)):
        section, key, *rest = (*field.split("."), "", "")
        if section in ("features", "doors"):
            moved.add(f"features.{key}" if section == "features" else key)
        elif section == "parts" and rest[0] == "placed":
            wish = cabinet.project.parts[key].placed[int(rest[1])]
            for placed in cabinet.placed:
                if placed.wish.key == wish.key:
                    moved |= move_of(cabinet, placed, 1.0, 1.0).shifts.keys()
    return moved


def _pairs(subject: Subject, group: Sequence[Web]) -> list[tuple[Placed, Placed, float]]:
    """The two parts of each web and how far they are to be apart, none where a web is not of two parts. [mm]"""
    asked: dict[tuple[str, str], float] = {}
    placed = subject.cabinet.placed_by_key
    for web in group:
        if len(web.owners) < 2 or not all(
            owner in placed and placed[owner].piece == web.piece.key for owner in web.owners
        ):
            return []
        a, b = sorted(web.owners)
        if a == b:
            return []
        apart = math.dist((placed[a].u, placed[a].v), (placed[b].u, placed[b].v))
        asked[a, b] = max(asked.get((a, b), 0.0), apart + web.least - web.left)
    return [(placed[a], placed[b], least) for (a, b), least in asked.items()]


def _remedies(subject: Subject, web: Web) -> Iterator[Remedy]:
    """The shortest move of either after which it has enough on all sides."""
    cabinet, piece = subject.cabinet, web.piece
    reach = 3 * web.least if web.left >= 0 else max(piece.width, piece.height)
    ways: list[tuple[float, int, str, tuple[Shift, ...]]] = []
    for rank, owner in enumerate(reversed(web.owners)):

        def left(du: float, dv: float, owner: str = owner) -> float:
            return margin_after(cabinet.project, piece, owner, du, dv)

        shifts = least_shifts(left, 0.0, reach)
        ways.append((min((s.by for s in shifts), default=reach), rank, owner, shifts))
    for _, _, owner, shifts in sorted(ways, key=lambda way: way[:2]):
        placed = cabinet.placed_by_key.get(owner)
        remedy = None
        if placed is None and shifts:
            shift = shifts[0]
            by = whole_shift(cabinet, owner, shift.axis, shift.signed)
            remedy = move_remedy(cabinet, owner, shift.axis, by)
        elif placed is not None and not isinstance(placed.part.data, Display | Sign):
            # A display and a sign are placed by what is behind the panel.
            remedy = least_move(
                cabinet,
                placed,
                [(shift.by, shift.axis, shift.sign) for shift in shifts],
                partial(_has_webs, subject, piece),
            )
        if remedy is not None:
            yield remedy
            return
    short = web.least - web.left
    placed = cabinet.placed_by_key.get(web.first.owner)
    if web.second is None and placed is not None and isinstance(placed.part.data, Sign):
        yield _smaller_sign(cabinet.project, piece, web.first, placed, web.least)
    smaller = f"the {web.first.kind}" if web.second is None else "one of the two"
    yield Remedy(
        f"Make {smaller} {at_least(short)} smaller there, or {piece.label} {at_least(short)} larger."
    )


def _has_webs(subject: Subject, piece: Piece, move: Move) -> bool:
    """True where all that moves keeps its webs, and no control comes too near to another."""
    project = subject.cabinet.project
    owners = [key for key in move.shifts if subject.cabinet.placed_by_key[key].piece == piece.key]
    return keeps_apart(subject, move) and all(
        margin_after(project, piece, key, *move.shift(key), also=move.shifts) >= -TOUCHING
        for key in owners
    )


def _smaller_sign(
    project: Project, piece: Piece, opening: Feature, placed: Placed, least: float
) -> Remedy:
    """The sign's opening with enough left at both of its ends."""
    low_u, low_v, high_u, high_v = flat_of(opening.shape).box
    us, vs = zip(*(p for edge in edges_of(piece) for p in edge), strict=True)
    inner = inner_box(piece) or (min(us), min(vs), max(us), max(vs))
    wide = min(low_u - inner[0], inner[2] - high_u)
    high = min(low_v - inner[1], inner[3] - high_v)
    turned = quarter_turns(placed.turn_deg) % 2 == 1  # its own width stands upright then
    smaller = [
        (name, size - 2 * (least - room))
        for name, size, room in (
            ("height" if turned else "width", high_u - low_u, wide),
            ("width" if turned else "height", high_v - low_v, high),
        )
        if room < least - TOUCHING
    ]
    words = listed(
        [f"{mm(best)} {'wide' if name == 'width' else 'high'}" for name, best in smaller]
    )
    if not smaller or min(best for _, best in smaller) <= OPENING_LEAST:
        return Remedy(f"Make its opening smaller: {mm(least)} is asked on every side.")
    (field, value), *more = (
        (part_field(placed, project, f"opening_{name}"), best) for name, best in smaller
    )
    return Remedy(f"Make its opening {words}.", field, value, tuple(more))


__all__ = ["RULE", "find"]
