"""What is to be shown fills a fair share of the display."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.behavior.content import Candidate, Screen
from casewright.checks.moving import placed_field
from casewright.checks.subject import Subject

SHARE_LEAST = 0.5
"""Least share of the lit area that a content should fill. Common practice."""

RULE = Rule(
    id="content.share",
    severity=Severity.NOTE,
    asks=f"Every content that the project names fills {SHARE_LEAST:.0%} of the lit area or more.",
    why="The rest is paid for and stays dark; a smaller display of the right shape shows as much.",
    source="Common practice",
)

_ROUNDING = 1e-9


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each display; none for the usual contents, which nobody asked for."""
    if subject.behavior is None or not subject.behavior.content.stated:
        return
    showing = subject.behavior.content
    for screen in showing.screens:
        small = [
            (fit.share, content)
            for content, fit in zip(showing.contents, screen.own.shown, strict=True)
            if fit.share < SHARE_LEAST - _ROUNDING
        ]
        if not small:
            continue
        share, content = min(small, key=lambda pair: pair[0])
        name = f"{content.label} ({content.aspect})" if content.label else content.aspect
        yield RULE.finding(
            f"{name} fills {share:.0%} of {screen.label}; {SHARE_LEAST:.0%} is asked.",
            remedies=tuple(_remedies(subject, screen)),
            names=(screen.key,),
            point=subject.cabinet.placed_by_key[screen.key].frame.origin,
        )


def _remedies(subject: Subject, screen: Screen) -> Iterator[Remedy]:
    turned = screen.turned
    if _serves(turned) and turned.used > screen.own.used:
        placed = subject.cabinet.placed_by_key[screen.key]
        value = (screen.turn_deg + 90.0) % 360.0
        across, up = turned.short
        room = "" if turned.fits else f"; its housing then wants {mm(max(across, up))} more room"
        yield Remedy(
            f"Turn it to {value:g}°: then it fills {min(fit.share for fit in turned.shown):.0%} or more{room}.",
            placed_field(subject.cabinet, placed, "turn") if turned.fits else "",
            value if turned.fits else None,
        )
    better = [c for c in screen.candidates if c.fits and _serves(c) and c.used >= screen.own.used]
    if better:
        best = min(better, key=lambda c: (c.data.lit_width * c.data.lit_height, c.key))
        yield Remedy(
            f"Or take {best.label}: no larger than it must be, it shows {best.used / screen.own.used:.0%} of the area "
            "that this one does, on the mean."
        )
    yield Remedy("Or leave it so: what is dark costs nothing but its price.")


def _serves(candidate: Candidate) -> bool:
    return all(fit.share >= SHARE_LEAST - _ROUNDING for fit in candidate.shown)


__all__ = ["RULE", "SHARE_LEAST", "find"]
