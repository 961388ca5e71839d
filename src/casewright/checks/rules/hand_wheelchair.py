"""Somebody in a wheelchair comes close enough to play."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import capital, listed
from casewright.behavior.wheelchair import (
    KNEES_DEEP,
    KNEES_HIGH,
    REACH_HIGH,
    REACH_LOW,
    TABLE_TOP,
    TOES_DEEP,
    TOES_HIGH,
    Chair,
)
from casewright.checks.sizes import outgrown
from casewright.checks.subject import Subject
from casewright.design.shape import StandingShape
from casewright.geometry.recipes import solve_shape
from casewright.geometry.recipes.standing import WHEELCHAIR_DECK
from casewright.geometry.viewers import base_over_floor

BEHIND_KNEES = 100.0
"""Between the room for knees and the cabinet's back, for what stands there. [mm] Common practice."""

SURE = 20.0
"""Height is named so far inside its limits: eyes over another table ask for a slightly other outline. [mm]"""

STANDS = 50.0
"""So far behind the room for knees is the middle of a cabinet that stands by itself, its centre of gravity near it.
Common practice. [mm]"""

RULE = Rule(
    id="hand.wheelchair",
    severity=Severity.CAUTION,
    asks=f"Who plays from a wheelchair has {KNEES_HIGH:g} mm over the floor for the knees, {KNEES_DEEP[0]:g} mm deep "
    f"at {TOES_HIGH:g} mm of height and {KNEES_DEEP[1]:g} mm at the top, {TOES_DEEP:g} mm for the toes, the deck's "
    f"edge at {WHEELCHAIR_DECK[0]:g} to {WHEELCHAIR_DECK[1]:g} mm, and all controls in reach.",
    why="With the knees against a wall the hands do not come to the controls. Local codes go before these figures.",
    source="ada-306",
)


def find(subject: Subject) -> Iterator[Finding]:
    """What each person in a wheelchair lacks; those who lack the same are told together."""
    if subject.behavior is None:
        return
    alike: dict[Finding, list[str]] = {}
    for chair in subject.behavior.playing.chairs:
        for finding in (*_knees(subject, chair), *_deck(subject, chair), *_reach(chair)):
            alike.setdefault(finding, []).append(chair.label)
    for finding, labels in alike.items():
        yield RULE.finding(
            f"{listed(labels)}: {finding.message}",
            remedies=finding.remedies,
            names=finding.place.names,
            severity=finding.severity,
        )


def _knees(subject: Subject, chair: Chair) -> Iterator[Finding]:
    if chair.fits:
        return
    shape, site = subject.cabinet.project.shape, subject.cabinet.project.site
    short = KNEES_HIGH - chair.knees_high
    remedies: list[Remedy] = []
    if chair.under_table:
        height = site.height + short if site.height else KNEES_HIGH + TABLE_TOP
        remedies.append(
            Remedy(
                f"Put it on a table {mm(height)} high, its top no thicker than {mm(TABLE_TOP)}.",
                "site.height",
                height,
            )
        )
    elif isinstance(shape, StandingShape):
        if shape.knee_room < TOES_DEEP - TOUCHING:
            remedies += _room(subject, chair)
        elif short > 0:
            height = chair.front_edge + short
            remedies.append(
                Remedy(
                    f"Put the deck's front edge {mm(height)} over the floor.",
                    "shape.deck_height",
                    _deck_height(subject, height),
                )
            )
    if not remedies:
        remedies.append(
            Remedy(
                f"Keep free below the deck: {mm(KNEES_HIGH)} high and {mm(TOES_DEEP)} deep, over the width of a chair."
            )
        )
    remedies.append(
        Remedy("Or leave floor beside it free, to play from the side. Ask your local code.")
    )
    if short > TOUCHING:
        what = f"the room for knees is {mm(max(chair.knees_high, 0.0))} high; {mm(KNEES_HIGH)} is asked."
    elif chair.knees_lack > TOUCHING:
        what = f"the room for knees lacks {mm(chair.knees_lack)} of depth; {mm(KNEES_DEEP[0])} is asked at shin height."
    else:
        what = (
            f"the room for toes is {mm(max(chair.toes_deep, 0.0))} deep; {mm(TOES_DEEP)} is asked."
        )
    yield RULE.finding(
        what,
        remedies=tuple(remedies),
        names=tuple(p.key for p in subject.cabinet.pieces if p.role in ("deck", "riser")),
    )


def _under_box(subject: Subject, wishes: Sequence[tuple[str, float]]) -> float:
    """The underside of the deck's box over the floor once there is room for knees; `KNEES_HIGH` where nobody knows.

    What stands below the deck now goes; the recipe says how high the box is that takes its place.
    """
    cabinet = subject.cabinet
    update = {field.partition(".")[2]: value for field, value in wishes}
    shape = cabinet.project.shape.model_copy(update=update)
    try:
        solved = solve_shape(cabinet.project.model_copy(update={"shape": shape}), cabinet.parts)
    except InputErrors:
        return KNEES_HIGH  # another wish stands against the room: that is told of the value itself
    corners = solved.corners.values()
    front = min(y for y, _ in corners)
    base = base_over_floor(cabinet.project, cabinet.parts).value
    return base + min(z for y, z in corners if y < front + KNEES_DEEP[1])


def _room(subject: Subject, chair: Chair) -> Iterator[Remedy]:
    """Room below the deck, in a cabinet that is deep enough to stand by itself; or a shallower one on the wall."""
    cabinet = subject.cabinet
    ys = [y for y, _ in cabinet.shape.corners.values()]
    thickest = max(piece.thickness for piece in cabinet.pieces)
    least = TOES_DEEP + max(BEHIND_KNEES, 4 * thickest + 1)
    deep = max(least, 2 * (TOES_DEEP + STANDS))
    orders = [f"give knees and toes {mm(TOES_DEEP)} below the deck"]
    values: list[tuple[str, float]] = [("shape.knee_room", TOES_DEEP)]
    is_deep = max(ys) - min(ys) >= deep
    if not is_deep:
        values.append(("shape.depth", deep))
        orders.append(f"make the cabinet {mm(deep)} deep, so that it stands by itself")
    short = KNEES_HIGH - _under_box(subject, values)
    if short > TOUCHING:
        values.append(("shape.deck_height", _deck_height(subject, chair.front_edge + short)))
        orders.append(f"put the deck's edge {mm(chair.front_edge + short)} over the floor")
    first, *others = orders
    text = ", and ".join([", ".join([first, *others[:-1]]), *others[-1:]])
    text = f"{capital(text)}."
    against = "" if is_deep else outgrown(cabinet, subject.size[1] + deep - (max(ys) - min(ys)))
    if against:
        yield Remedy(f"{text} {against}")
    else:
        yield Remedy(text, *values[0], also=tuple(values[1:]))
    if not is_deep:
        yield Remedy(
            f"Or make it only {mm(least)} deep and fix it to the wall: it then stands on its rear part alone."
        )


def _deck_height(subject: Subject, edge: float) -> float:
    """What to write for the deck's height so that its front edge is so far over the floor. [mm]"""
    number = subject.cabinet.numbers.get("shape.deck_height")
    edges = [chair.front_edge for chair in _chairs(subject)]
    return edge if number is None or not edges else number.value + edge - edges[0]


def _chairs(subject: Subject) -> Sequence[Chair]:
    return subject.behavior.playing.chairs if subject.behavior else ()


def _deck(subject: Subject, chair: Chair) -> Iterator[Finding]:
    low, high = WHEELCHAIR_DECK
    edge = chair.front_edge
    if edge <= 0 or low - TOUCHING <= edge <= high + TOUCHING:
        return
    best = low + SURE if edge < low else high - SURE
    site, shape = subject.cabinet.project.site, subject.cabinet.project.shape
    remedies = []
    if site.on == "table" and site.height and site.height + best - edge > 0:
        height = site.height + best - edge
        remedies.append(Remedy(f"Put it on a table {mm(height)} high.", "site.height", height))
    elif isinstance(shape, StandingShape):
        remedies.append(
            Remedy(
                f"Put the deck's edge {mm(best)} over the floor.",
                "shape.deck_height",
                _deck_height(subject, best),
            )
        )
    else:
        way = "higher" if edge < low else "lower"
        remedies.append(Remedy(f"Put the deck {mm(abs(best - edge))} {way}."))
    yield RULE.finding(
        f"the deck's front edge is {mm(edge)} over the floor; {mm(low)} to {mm(high)} suits.",
        remedies=tuple(remedies),
        names=tuple(p.key for p in subject.cabinet.pieces if p.role == "deck"),
        severity=Severity.NOTE,
    )


def _reach(chair: Chair) -> Iterator[Finding]:
    if not chair.beyond:
        return
    worst = max(chair.beyond, key=lambda row: row[1])
    far, most = REACH_HIGH[0]
    yield RULE.finding(
        f"{len(chair.beyond)} of the controls {'is' if len(chair.beyond) == 1 else 'are'} out of reach, the worst by "
        f"{mm(worst[1])}; {mm(REACH_LOW)} to {mm(most)} over the floor and up to {mm(far)} behind the front edge is "
        "asked.",
        remedies=(Remedy(f"Bring the farthest {mm(math.ceil(worst[1]))} nearer."),),
        names=tuple(key for key, _ in chair.beyond),
    )


__all__ = ["BEHIND_KNEES", "RULE", "find"]
