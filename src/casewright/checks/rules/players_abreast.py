"""Players fit side by side."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.behavior.abreast import middle_x
from casewright.catalog.body_sizes import body_size
from casewright.checks.hands import viewer_of
from casewright.checks.subject import Subject

RULE = Rule(
    id="players.abreast",
    severity=Severity.CAUTION,
    asks="The middles of two players' controls are as far apart as their shoulders are broad, and easily 20 mm more.",
    why="Players who overlap sit turned, and jog each other's arms.",
    source="ansur-ii",
)

EASY = 20.0
"""Beyond shoulder breadth, so that two adults have 500. Source: common practice. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for all neighbors: the closest pair, against the people named, else usual adults."""
    order = sorted(subject.players, key=lambda n: middle_x(subject.players[n]))
    whose = viewer_of(subject)
    usual = body_size("seated").shoulders
    rows = []
    for a, b in pairwise(order):
        pitch = middle_x(subject.players[b]) - middle_x(subject.players[a])
        breadths = [whose[n].shoulders if n in whose else usual for n in (a, b)]
        people = [whose[n].label if n in whose else "adult" for n in (a, b)]
        rows.append((pitch - sum(breadths) / 2, pitch, sum(breadths) / 2, people, (a, b)))
    if not rows:
        return
    room, pitch, needed, people, pair = min(rows, key=lambda row: row[:2])
    if room >= EASY - TOUCHING:
        return
    tight = room < -TOUCHING
    controls = tuple(p.key for n in pair for p in subject.players[n])
    spread = (EASY - room) * (len(order) - 1)
    least = f", {at_least(needed)} at the very least" if tight else ""
    first = (
        f"Players sit {mm(pitch)} apart, middle to middle of their controls; {listed(people)} take {mm(needed)}, half "
        "the shoulders of each"
    )
    yield RULE.finding(
        f"{first}: {mm(needed - pitch)} more."
        if tight
        else f"{first}; easy is {mm(needed + EASY)}.",
        remedies=(
            Remedy(
                f"Set the players {at_least(needed + EASY)} apart{least}; all controls together get "
                f"{at_least(spread)} wider."
            ),
            Remedy("Or turn the two sets of controls outward, and seat a child beside an adult."),
        ),
        names=controls,
        severity=None if tight else Severity.NOTE,
    )


__all__ = ["EASY", "RULE", "find"]
