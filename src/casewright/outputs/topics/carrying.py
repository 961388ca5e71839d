"""Sheet: who can lift it, and how."""

from __future__ import annotations

from casewright.basics.customary import mass_words
from casewright.basics.findings import mm
from casewright.basics.units import TOUCHING, Unit
from casewright.basics.wording import listed
from casewright.behavior.lifting import Lift
from casewright.behavior.whole import Behavior
from casewright.checks.sizes import excess, overall, passes_turned, size_of
from casewright.geometry.model import Cabinet
from casewright.outputs.topics.sheet import Rows, TopicSheet

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
