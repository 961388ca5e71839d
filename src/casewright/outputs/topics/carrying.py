"""Sheet: who can lift it, and how."""

from __future__ import annotations

from casewright.basics.customary import mass_words
from casewright.basics.findings import mm
from casewright.basics.units import Unit
from casewright.behavior.lifting import Lift
from casewright.behavior.whole import Behavior
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
    return TopicSheet(
        key="carrying",
        title="Weight and carrying",
        question="Who can carry it?",
        answer=f"It weighs {mass_words(balance.total_kg, unit)}. {_HOW[lifting.people]}",
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


def _row(where: str, lift: Lift, unit: Unit) -> tuple[str, ...]:
    return (where, mm(lift.horizontal), mm(lift.vertical), mass_words(lift.limit_kg, unit))


__all__ = ["sheet"]
