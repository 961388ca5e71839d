"""Sheet: who can lift it, and how."""

from __future__ import annotations

import math

from casewright.basics.customary import mass_words
from casewright.basics.findings import mm
from casewright.basics.units import TOUCHING, Unit
from casewright.basics.wording import listed
from casewright.behavior.hanging import Hanging
from casewright.behavior.lifting import Lift
from casewright.behavior.whole import Behavior
from casewright.checks.sizes import excess, overall, passes_turned, size_of
from casewright.geometry.model import Cabinet, Point2, Point3
from casewright.outputs.drawings.marks import Circle, Drawing, Line, Mark, Polyline, Region, Text
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

LETTERS = 3.2
"""Height of the lettering. [mm on paper]"""

ROOM = (90.0, 75.0)
"""Paper that the picture takes at most. [mm]"""

_HOW = {
    1: "One person can set it on its place.",
    2: "Two people set it on its place, one at each side.",
    0: "It is too heavy for two: use a trolley, or take it apart.",
}


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """Mass against what people should lift."""
    lifting, balance = behavior.lifting, behavior.balance
    if balance.total_kg <= 0:
        return None
    heaviest = sorted(balance.items, key=lambda weight: -weight.mass_kg)[:8]
    x, y, z = balance.centre
    unit = cabinet.project.unit
    ways, passing = _passages(cabinet)
    return TopicSheet(
        key="carrying",
        title="Weight and carrying",
        question="Who can carry it, and does it get there?",
        answer=f"It weighs {mass_words(balance.total_kg, unit)}. {_HOW[lifting.people]}{passing}",
        pictures=tuple(
            Picture(
                _picture(cabinet, balance.centre, hanging),
                "As it hangs from the hands, seen from the right; dashed as it stands",
            )
            for hanging in behavior.hangings
            if not hanging.turns_over
        ),
        tables=(
            Rows(
                "The heaviest",
                ("what", "mass"),
                tuple((weight.label, mass_words(weight.mass_kg, unit)) for weight in heaviest),
                (1,),
            ),
            Rows(
                "Lifting it",
                ("from", "hands in front", "hands over the floor", "one may lift"),
                (
                    _row("the floor", lifting.origin, unit),
                    _row("its place", lifting.goal, unit),
                ),
                (1, 2, 3),
            ),
            *ways,
        ),
        numbers=(
            "cabinet.mass",
            *(number.key for number in lifting.numbers),
            *(hanging.number.key for hanging in behavior.hangings),
        ),
        notes=(
            *(
                f"Carried by {h.grips[0].label} it hangs {h.tilt_deg:.0f}° out of level."
                for h in behavior.hangings
                if not h.turns_over
            ),
            f"Centre of gravity: {mm(x)} from the left, {mm(y)} from the front, {mm(z)} up.",
            *(
                [f"Not weighed yet: {', '.join(balance.missing)}. Put them on a kitchen scale."]
                if balance.missing
                else []
            ),
        ),
        hazards=("lifting",),
    )


def _picture(cabinet: Cabinet, centre: Point3, hanging: Hanging) -> Drawing:
    """Side view, turned as it hangs: the centre of gravity straight below the hands; dashed, as it stands."""
    outline = tuple(cabinet.shape.corners.values())
    grip = (
        math.fsum(g.frame.origin[1] for g in hanging.grips) / 2,
        math.fsum(g.frame.origin[2] for g in hanging.grips) / 2,
    )
    turn = math.radians(-hanging.number.value)

    def hung(point: Point2) -> Point2:
        y, z = point[0] - grip[0], point[1] - grip[1]
        c, s = math.cos(turn), math.sin(turn)
        return (grip[0] + y * c - z * s, grip[1] + y * s + z * c)

    turned = tuple(hung(point) for point in outline)
    below = hung((centre[1], centre[2]))
    ys, zs = zip(*outline, *turned, strict=True)
    scale = min(ROOM[0] / (max(ys) - min(ys)), ROOM[1] / (max(zs) - min(zs)))
    size, letters = 2.5 / scale, LETTERS / scale
    beside = max(ys) + 3 * size
    marks: tuple[Mark, ...] = (
        Region(Polyline(turned), material="face"),
        Polyline(outline, pen="hidden"),
        Polyline(turned),
        Line(grip, below, "accent"),
        Circle(grip, 1.5 * size),
        Circle(below, size, "accent"),
        Line((below[0] - 2 * size, below[1]), (below[0] + 2 * size, below[1]), "accent-thin"),
        Line((below[0], below[1] - 2 * size), (below[0], below[1] + 2 * size), "accent-thin"),
        Line((grip[0] + 1.5 * size, grip[1]), (beside - size, grip[1]), "dimension"),
        Text((beside, grip[1] - letters / 2), "hands", LETTERS),
        Line((below[0] + 2 * size, below[1]), (beside - size, below[1]), "dimension"),
        Text(
            (beside, below[1] - letters / 2),
            f"centre of gravity; {hanging.tilt_deg:.0f}° out of level",
            LETTERS,
        ),
    )
    return Drawing("Side view as it hangs from the hands", marks, scale=scale)


def _passages(cabinet: Cabinet) -> tuple[tuple[Rows, ...], str]:
    """Doors and boots that it must go through, and what to say of them."""
    passages = cabinet.project.limits.passages
    if not passages:
        return (), ""
    whole = size_of(overall(cabinet))
    apart = size_of(overall(cabinet, bolted=False))
    rows, shut = [], []
    for passage in passages:
        room = (passage.width, passage.height, passage.depth)
        over, bare = excess(whole, *room), excess(apart, *room)
        size = " × ".join(mm(length) for length in room if length is not None)
        if over <= TOUCHING:
            told = f"{mm(max(-over, 0.0))} to spare"
        elif bare <= TOUCHING:
            told = f"with its bolted boards off, {mm(max(-bare, 0.0))} to spare"
        elif passes_turned(whole, *room):
            told = "only tipped"
        else:
            told = f"{mm(over)} too large"
            shut.append(passage.label)
        rows.append((passage.label, size, told))
    rows.insert(0, ("the cabinet over all", " × ".join(mm(length) for length in whole), ""))
    table = Rows("Where it must go through", ("what", "size", "it passes"), tuple(rows))
    said = f" It does not go through {listed(shut)}." if shut else " It goes where it must."
    return (table,), said


def _row(where: str, lift: Lift, unit: Unit) -> tuple[str, ...]:
    return (where, mm(lift.horizontal), mm(lift.vertical), mass_words(lift.limit_kg, unit))


__all__ = ["sheet"]
