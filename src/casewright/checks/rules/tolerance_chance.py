"""Errors of hand tools do not add up to more than the fit bears."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least
from casewright.basics.wording import counted, fine
from casewright.behavior.tolerance import SAID_FROM, Risk, Way
from casewright.checks.subject import Subject

RULE = Rule(
    id="tolerance.chance",
    severity=Severity.CAUTION,
    asks=f"Errors of hand tools spoil a fit in less than one of {1 / SAID_FROM:.0f} cabinets.",
    why="Each error is small; together they show an edge, bind a door, open a seam or miss a hole.",
    source="jcgm-101",
)

GRAVE_FROM = 1 / 3
"""From here on it is no longer bad luck. Common practice."""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each kind of place: its likeliest risk, with how many more there are."""
    if subject.behavior is None:
        return
    inches = subject.cabinet.project.unit == "in"
    kinds: dict[str, list[Risk]] = {}
    for risk in subject.behavior.tolerance.risks:
        if risk.odds.chance >= SAID_FROM:
            kinds.setdefault(risk.chain.kind, []).append(risk)
    for risks in kinds.values():
        risk = risks[0]
        more = f"; {counted(len(risks) - 1, 'more place')} like it" if len(risks) > 1 else ""
        yield RULE.finding(
            f"In about {round(risk.odds.chance * 100)} of 100 cabinets {risk.chain.says}{more}. "
            f"Most of it comes from the {risk.matters}.",
            remedies=tuple(_remedy(way, inches=inches) for way in risk.ways),
            names=tuple(dict.fromkeys(name for r in risks for name in r.chain.names)),
            point=risk.chain.point,
            severity=None if risk.odds.chance >= GRAVE_FROM else Severity.NOTE,
        )


def _remedy(way: Way, *, inches: bool) -> Remedy:
    left = f"{round(way.chance * 100)} of 100 then"
    if isinstance(way.value, str):
        return Remedy(f"{way.text}: {left}.", way.field, way.value)
    is_care = way.field.startswith("accuracy.")
    length = fine(way.value, inches=inches) if is_care else at_least(way.value)
    return Remedy(f"{way.text} {length}: {left}.", way.field, way.value)


__all__ = ["GRAVE_FROM", "RULE", "find"]
