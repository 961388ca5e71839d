"""Sockets of different voltages take different plugs."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.behavior.feeds import Feed
from casewright.catalog.kinds import Fitting
from casewright.checks.subject import Subject
from casewright.geometry.model import Placed

RULE = Rule(
    id="power.plugs",
    severity=Severity.CAUTION,
    asks="Two supply sockets of different voltages do not take the same plug.",
    why="One evening the plugs are swapped, and the higher voltage burns what hangs on the lower.",
    source="Common practice",
)

PLUGS = {"socket-dc-8": "5.5 mm", "socket-dc-11": "5.5 mm"}
"""Catalog sockets that take one plug though they are not one part."""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each pair of sockets that could be mixed up."""
    if subject.behavior is None:
        return
    sockets: list[tuple[Feed, Placed, str]] = []
    for feed in subject.behavior.wiring.feeds.all:
        placed = subject.cabinet.placed_by_key.get(feed.source)
        if placed is not None and isinstance(placed.part.data, Fitting) and not feed.by_lead:
            kind = subject.cabinet.project.parts[placed.part.key].type or placed.part.label
            sockets.append((feed, placed, PLUGS.get(kind, kind)))
    for (one, first, kind), (other, second, like) in combinations(sockets, 2):
        if kind == like and one.supply.volts != other.supply.volts:
            yield _mixed(subject, one, first, other, second)


def _mixed(subject: Subject, one: Feed, first: Placed, other: Feed, second: Placed) -> Finding:
    taken = {
        PLUGS.get(part.type or "", part.type) for part in subject.cabinet.project.parts.values()
    }
    free = next(
        (
            key
            for key, entry in subject.catalog.types.items()
            if isinstance(data := entry.data, Fitting)
            and data.role == "socket"
            and PLUGS.get(key, key) not in taken
        ),
        "",
    )
    apart = first.part.key != second.part.key and free
    such = f": {subject.catalog.types[free].data.label}" if free else ""
    return RULE.finding(
        f"{first.label} ({one.supply.volts:g} V) and {second.label} ({other.supply.volts:g} V) take the same plug.",
        remedies=(
            Remedy(
                f"Take another kind of socket for one of them{such}, and label both.",
                field=f"parts.{second.part.key}.type" if apart else "",
                value=free if apart else None,
            ),
        ),
        names=(first.key, second.key),
    )


__all__ = ["PLUGS", "RULE", "find"]
