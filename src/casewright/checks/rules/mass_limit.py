"""The cabinet weighs no more than it may."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.behavior.balance import Balance
from casewright.catalog.kinds import Display
from casewright.checks.moving import weighed, weighed_up
from casewright.checks.subject import Subject

RULE = Rule(
    id="mass.limit",
    severity=Severity.STOP,
    asks="Pieces and parts together weigh no more than limits.mass_kg.",
    why="Who has to carry it set the limit; backs and fingers pay for the rest.",
    source="Project setting",
)

_SAME = 5e-4  # kg


def find(subject: Subject) -> Iterator[Finding]:
    """A stop past the limit, else a note from limits.heavy_kg on; what is not weighed yet is named."""
    cabinet, balance = subject.cabinet, subject.balance
    limits = cabinet.project.limits
    if balance is None:
        return
    total = balance.total_kg
    unknown = [key for key in balance.missing]
    parts = sorted(
        {cabinet.placed_by_key[key].part.key for key in unknown if key in cabinet.placed_by_key}
    )
    fields = [f"parts.{key}.measured.mass_kg" for key in parts]
    fields += [
        f"materials.{cabinet.piece_by_key[key].material}.density"
        for key in unknown
        if key in cabinet.piece_by_key
    ]
    rest = f", without {len(unknown)} not weighed yet" if unknown else ""
    heaviest = sorted(balance.items, key=lambda w: -w.mass_kg)[:3]
    most = (
        listed([f"{w.label} {weighed(cabinet, w.mass_kg)}" for w in heaviest]) if heaviest else ""
    )
    missing = ", ".join(dict.fromkeys(fields))
    if limits.mass_kg is not None and total > limits.mass_kg + _SAME:
        yield RULE.finding(
            f"It weighs {weighed(cabinet, total)}{rest}; {weighed(cabinet, limits.mass_kg)} is the most.",
            remedies=(
                Remedy(
                    f"Save {weighed_up(cabinet, total - limits.mass_kg)}; the heaviest: {most}."
                ),
                Remedy(f"Or {_lighter(subject, balance, limits.mass_kg)}."),
            ),
            names=tuple(w.key for w in heaviest),
            point=balance.centre,
            missing=missing,
        )
    elif limits.heavy_kg is not None and total > limits.heavy_kg + _SAME:
        yield RULE.finding(
            f"It weighs {weighed(cabinet, total)}{rest}: over {weighed(cabinet, limits.heavy_kg)}.",
            remedies=(Remedy(_lifted(subject, total)),),
            point=balance.centre,
            severity=Severity.NOTE,
            missing=missing,
        )
    elif limits.mass_kg is not None and unknown:
        spare = limits.mass_kg - total
        yield RULE.finding(
            f"It weighs {weighed(cabinet, total)}{rest}; {weighed(cabinet, spare)} are left for those.",
            remedies=(Remedy("Weigh them on a kitchen scale."),),
            names=tuple(unknown),
            point=balance.centre,
            severity=Severity.NOTE,
            missing=missing,
        )


def _lifted(subject: Subject, total: float) -> str:
    """How it is lifted, by no more than what two may lift."""
    pair = subject.behavior.lifting.pair_limit_kg if subject.behavior else math.inf
    if total <= pair:
        return "Lift it close to the body, or with two people."
    return "Move it on a trolley or with a hoist: two should not lift it."


def _lighter(subject: Subject, balance: Balance, most_kg: float) -> str:
    """How it is carried all the same: without what comes off, where that is enough; by two only what two may lift."""
    cabinet = subject.cabinet
    keys = {placed.key for placed in cabinet.placed if isinstance(placed.part.data, Display)}
    keys |= {piece.key for piece in cabinet.pieces if piece.kind == "door"}
    loose = [item for item in balance.items if item.key in keys]
    rest = balance.total_kg - math.fsum(item.mass_kg for item in loose)
    pair = subject.behavior.lifting.pair_limit_kg if subject.behavior else math.inf
    how = "with two people, one at each side" if rest <= pair else "on a trolley"
    if not loose:
        return f"{'carry' if rest <= pair else 'move'} it {how}"
    first = f"let {listed([item.label for item in loose])} come off first"
    if rest <= most_kg + _SAME:
        return f"carry it in two trips: {first}, and {weighed(cabinet, rest)} are left"
    move = "carry" if rest <= pair else "move"
    return f"{first}, and {move} the {weighed(cabinet, rest)} that are left {how}"


__all__ = ["RULE", "find"]
