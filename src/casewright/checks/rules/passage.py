"""The finished cabinet goes through the doors and into the car."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.checks.sizes import excess, passes_turned
from casewright.checks.subject import Subject

RULE = Rule(
    id="passage.fits",
    severity=Severity.STOP,
    asks="The box round the whole cabinet passes every door and hatch, with 10 mm to spare, square to it.",
    why="What is built in the shop must leave it, and arrive.",
    source="Plain geometry",
)

SPARE = 10.0
"""Room for hands and paint round it. Source: common practice. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each passage that is too small or close; a note where bolted boards must come off."""
    cabinet = subject.cabinet
    passages = cabinet.project.limits.passages
    if not passages:
        return
    whole = subject.size
    apart = subject.unbolted_size
    for passage in passages:
        room = (passage.width, passage.height, passage.depth)
        over = excess(whole, *room)
        if over <= -SPARE + TOUCHING:
            continue
        size = " × ".join(mm(x) for x in whole)
        hole = f"{mm(passage.width)} × {mm(passage.height)}" + (
            f", {mm(passage.depth)} deep" if passage.depth is not None else ""
        )
        if apart != whole and excess(apart, *room) <= -SPARE + TOUCHING:
            yield RULE.finding(
                f"{passage.label} ({hole}): the cabinet passes only with its bolted boards off.",
                remedies=(
                    Remedy("Take them off to move it; keep their bolts in a bag tied to it."),
                ),
                names=tuple(p.key for p in cabinet.pieces if p.fixing == "bolted"),
                severity=Severity.NOTE,
            )
            continue
        message = f"{passage.label} is {hole}; the cabinet is {size} over all"
        if over <= TOUCHING:
            yield RULE.finding(
                f"{message} and has {mm(-over)} to spare in its best pose; {mm(SPARE)} is asked.",
                remedies=(Remedy("Try it with a cardboard box of that size first."),),
                severity=Severity.CAUTION,
            )
        elif passes_turned(whole, *room):
            yield RULE.finding(
                f"{message} and passes only tipped.",
                remedies=(
                    Remedy(
                        f"Make it {at_least(over)} smaller, or carry it through tipped, with two people."
                    ),
                ),
                severity=Severity.CAUTION,
            )
        else:
            yield RULE.finding(
                f"{message}, {mm(over)} too large in its best pose.",
                remedies=(
                    Remedy(
                        f"Make it {at_least(over + SPARE)} smaller, or let a part of it come off: feet, header or "
                        "stand."
                    ),
                ),
            )


__all__ = ["RULE", "SPARE", "find"]
