"""Controls are at a height where arms can rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.checks.subject import Subject

RULE = Rule(
    id="hand.height",
    severity=Severity.NOTE,
    asks="Controls are from 200 mm below to 75 mm above the elbows of those who play.",
    why="Too high, shoulders are drawn up and tire; too low, backs bend.",
    source="Common practice",
)

ALIKE = 0.05
"""Heights nearer than this are one height. [mm]"""

BAND = (-200.0, 75.0)
"""Controls over the elbow. Common practice: counters for light work stand up to 200 lower, desks level with it. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each person whom it does not suit, for those of one height together."""
    if subject.behavior is None:
        return
    low, high = BAND
    heights = subject.behavior.playing.heights
    alike: dict[tuple[float, float], list[str]] = {}
    for label, deck, elbow in heights:
        alike.setdefault((round(deck, 1), round(elbow, 1)), []).append(label)
    for (deck, elbow), labels in alike.items():
        over, who = deck - elbow, listed(labels)
        if low - ALIKE <= over <= high + ALIKE:
            continue
        side = "over" if over > 0 else "under"
        yield RULE.finding(
            f"The controls are {mm(abs(over))} {side} the elbows of {who}: {mm(deck)} over the floor; "
            f"{mm(-low)} under to {mm(high)} over them suits.",
            remedies=tuple(_remedies(subject, labels, over)),
            names=tuple(p.key for p in subject.cabinet.pieces if p.role == "deck"),
        )


def _remedies(subject: Subject, labels: Sequence[str], over: float) -> Iterator[Remedy]:
    """One height that suits everybody who plays; where there is none, what makes up for it."""
    low, high = BAND
    assert subject.behavior is not None
    everybody = [(label, deck - elbow) for label, deck, elbow in subject.behavior.playing.heights]
    # Raised by so much, the controls suit those whose elbows are highest and lowest over them.
    least, most = low - min(o for _, o in everybody), high - max(o for _, o in everybody)
    if least > most + TOUCHING:
        yield from _no_height(subject, everybody, least, most)
        return
    raised = least if over < low else most
    site = subject.cabinet.project.site
    if site.on == "table" and site.height and site.height + raised > 0:
        height = site.height + raised
        yield Remedy(f"Put it on a table {mm(height)} high.", "site.height", height)
    if raised < 0:
        also = (
            ""
            if site.on == "lap"  # on a lap it comes along
            or any(_sits_in_chair(subject, one) for one in labels)
            else f", or {listed(labels)} as much higher"
        )
        yield Remedy(f"{_put(raised)}{also}.")
    else:
        yield Remedy(f"{_put(raised)}, on a plinth or taller feet.")


def _put(raised: float) -> str:
    """The controls brought higher or lower, or left."""
    if abs(raised) <= TOUCHING:
        return "Leave the controls as they are"
    return f"Put the controls {at_least(abs(raised))} {'higher' if raised > 0 else 'lower'}"


def _sits_in_chair(subject: Subject, label: str) -> bool:
    """Whether somebody of that name plays from a wheelchair."""
    return any(
        viewer.label == label and viewer.plays and viewer.person.posture == "wheelchair"
        for viewer in subject.viewers
    )


def _no_height(
    subject: Subject, everybody: Sequence[tuple[str, float]], least: float, most: float
) -> Iterator[Remedy]:
    """Elbows too far apart: a platform or a higher seat for the lower ones, or the middle for all."""
    tall, short = (
        min(everybody, key=lambda row: row[1])[0],
        max(everybody, key=lambda row: row[1])[0],
    )
    gap, middle = least - most, (least + most) / 2
    site = subject.cabinet.project.site
    if _sits_in_chair(subject, short):
        # Nobody is lifted in a wheelchair: the height is theirs, and who stands sits down to it.
        yield Remedy(
            f"No one height suits both {tall} and {short}. {_put(most)}, for {short}, and give {tall} a stool, so that "
            f"the elbows come {at_least(gap)} lower or more."
        )
    else:
        yield Remedy(
            f"No one height suits both {tall} and {short}. {_put(least)}, for {tall}, and give {short} a firm step "
            f"with a rail, or a higher seat with a foot rest, {at_least(gap)} high or more."
        )
    way = "higher" if middle > 0 else "lower"
    meet = f"Or meet in the middle, {mm(abs(middle))} {way}"
    if site.on == "table" and site.height and site.height + middle > 0:
        meet = f"Or meet in the middle, on a table {mm(site.height + middle)} high"
    crank = "; or take a table that cranks up and down" if site.on == "table" else ""
    yield Remedy(
        f"{meet}: {mm(gap / 2)} too low for {tall} and as much too high for {short}{crank}."
    )


__all__ = ["BAND", "RULE", "find"]
