"""Something stands between the sides."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.checks.subject import Subject

RULE = Rule(
    id="panel.none",
    severity=Severity.STOP,
    asks="At least one panel or inner board joins the two sides.",
    why="Two sides alone are no cabinet.",
    source="Plain geometry",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding where there is none; panels that came to nothing have been told by their own names."""
    cabinet = subject.cabinet
    if any(piece.kind in ("panel", "inner") for piece in cabinet.pieces):
        return
    corners = list(cabinet.shape.corners)
    runs = [f"{a}-{b}" for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)]
    yield RULE.finding(
        "No panel stands between the sides.",
        remedies=(Remedy(f"Say under panels which runs carry one: {listed(runs)} are there."),),
        names=("left", "right"),
    )


__all__ = ["RULE", "find"]
