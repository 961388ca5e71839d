"""Something drives each loudspeaker."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.catalog.kinds import Speaker
from casewright.checks.subject import Subject

RULE = Rule(
    id="sound.driven",
    severity=Severity.CAUTION,
    asks="Each loudspeaker is wired to an amplifier inside, or to terminals for one outside.",
    why="What a computer or a socket gives moves no cone: it asks for an amplifier in between.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for all that no wire leads to."""
    if subject.behavior is None:
        return
    driven = {key for run in subject.behavior.wiring.runs for key in (run.start, run.end)}
    silent = [
        placed
        for placed in subject.cabinet.placed
        if isinstance(placed.part.data, Speaker) and placed.key not in driven
    ]
    if not silent:
        return
    is_one = len(silent) == 1
    yield RULE.finding(
        f"{listed(p.label for p in silent)}: nothing drives {'it' if is_one else 'them'}; there is "
        "neither an amplifier nor a pair of terminals in the cabinet.",
        remedies=(
            Remedy(
                "Place an amplifier board inside, such as the catalog's amplifier-2x10, on a rail of its voltage."
            ),
            Remedy(
                "Or place terminals in a panel, such as the catalog's terminal-pair, for an amplifier outside."
            ),
            Remedy(
                f"Or say what drives {'it' if is_one else 'them'} by a wire of your own: wiring, wires."
            ),
        ),
        names=tuple(p.key for p in silent),
    )


__all__ = ["RULE", "find"]
