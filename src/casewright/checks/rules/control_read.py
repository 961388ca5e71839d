"""Something reads each control."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.catalog.kinds import Device, Dial, Fitting, Lever, PushButton, Trackball
from casewright.checks.subject import Subject

RULE = Rule(
    id="control.read",
    severity=Severity.CAUTION,
    asks="Each button, lever, dial and trackball is wired to a controller board, or as the maker says.",
    why="A control that nothing reads does nothing; wires, board and its place are found missing when all is painted.",
    source="Common practice",
)

_READ = (Dial, Lever, PushButton, Trackball)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for all that no wire for signals leads to.

    Nothing is said before there is a computer, a supply or a way out for a cable: that is a plan at its start.
    """
    if subject.behavior is None or not _is_wired(subject):
        return
    read = {
        key
        for run in subject.behavior.wiring.runs
        if run.kind != "power" and run.what != "ground chain"
        for key in (run.start, run.end)
    }
    unread = [
        placed
        for placed in subject.cabinet.placed
        if isinstance(placed.part.data, _READ) and placed.key not in read
    ]
    if not unread:
        return
    is_one = len(unread) == 1
    yield RULE.finding(
        f"{listed(p.label for p in unread)}: nothing reads {'it' if is_one else 'them'}; there is no "
        "controller board in the cabinet.",
        remedies=(
            Remedy("Place a controller board inside, such as the catalog's controller-board."),
            Remedy(
                f"Or say what reads {'it' if is_one else 'them'}, such as the computer's own pins or the amplifier, "
                "by wires of your own: wiring, wires."
            ),
        ),
        names=tuple(p.key for p in unread),
    )


def _is_wired(subject: Subject) -> bool:
    """Whether anything is there that a control could be for."""
    parts = [placed.part.data for placed in subject.cabinet.placed]
    return (
        any(isinstance(data, Device) and data.role in ("computer", "supply") for data in parts)
        or any(isinstance(data, Fitting) and data.role in _WAYS for data in parts)
        or bool(subject.behavior and subject.behavior.power.loads.supplies)
    )


_WAYS = ("port", "inlet", "socket")

__all__ = ["RULE", "find"]
