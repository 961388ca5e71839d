"""Each supply's low voltage has a way into the cabinet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.behavior.feeds import Feed
from casewright.behavior.supplying import Source
from casewright.checks.subject import Subject

RULE = Rule(
    id="power.entry",
    severity=Severity.CAUTION,
    asks="Each supply outside the cabinet has a socket of its own in a panel, or a gland for its lead.",
    why="A lead that comes in by no hole of its own is pulled off its plug, or ends at another supply's socket.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each supply that no placed part brings in.

    A caution where several loads hang on it, as they need a place to start from; a note where its lead goes straight to
    the only part that it feeds.
    """
    if subject.behavior is None:
        return
    loads = subject.behavior.power.loads
    placed = {p.part.key for p in subject.cabinet.placed}
    for feed in subject.behavior.wiring.feeds.leads:
        supply = feed.supply
        those = [
            row.label for row in loads.rows if row.feeder == supply.name and row.key in placed
        ] + [made.label for made in loads.converters if made.feeder == supply.name]
        if not supply.volts or not those:
            continue
        yield (
            _straight(subject, feed)
            if feed.straight_to
            else _bare(supply, those, loads.hung(supply.name))
        )


def _bare(supply: Source, those: Sequence[str], watts: float) -> Finding:
    """Several loads, or one that is wired, and nothing that brings their power in."""
    return RULE.finding(
        f"{supply.label} has no way in, and {listed(those)} hang{'s' if len(those) == 1 else ''} on its "
        f"{supply.volts:g} V.",
        remedies=(
            Remedy(
                f"Place a socket for {watts / supply.volts:.1f} A or more on the back, with fed_by: {supply.key}, "
                "whose plug fits no other voltage."
            ),
            Remedy(
                f"Or a gland or grommet with fed_by: {supply.key}: its lead then comes in whole and meets the wires in "
                "a line socket."
            ),
        ),
    )


def _straight(subject: Subject, feed: Feed) -> Finding:
    """A lead with its own plug on the part: what is left is the hole that it comes through."""
    supply = feed.supply
    label = subject.label(feed.straight_to)
    return RULE.finding(
        f"{supply.label} plugs straight into {label} by its own lead; no part says where that lead comes in.",
        remedies=(
            Remedy(
                f"Place a gland or grommet with fed_by: {supply.key}, wide enough for its plug, and clamp the lead "
                "inside so that a pull never reaches the plug."
            ),
        ),
        names=(feed.straight_to,),
        severity=Severity.NOTE,
    )


__all__ = ["RULE", "find"]
