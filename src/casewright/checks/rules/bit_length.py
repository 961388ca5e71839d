"""Router bits reach through what they cut."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.checks.subject import Subject
from casewright.geometry.bits import reach_asked

RULE = Rule(
    id="shop.bit-length",
    severity=Severity.NOTE,
    asks="The cutting edge of a router bit is as high as its cut is deep, and 1 mm more right through.",
    why="A short bit rubs with its shank or leaves a ridge; it takes a second go without the strips.",
    source="Common practice",
)

KINDS = ("flush trim", "straight")


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each kind of bit that is too short everywhere in the shop."""
    for kind in KINDS:
        lengths = [bit.length for bit in subject.cabinet.project.shop.bits if bit.kind == kind]
        if not lengths or not all(lengths):
            continue  # a bit of unknown length may be long enough
        longest = max(lengths)
        past = [
            (reach_asked(feature.depth, piece.thickness), piece)
            for piece in subject.cabinet.pieces
            for feature in piece.features
            if feature.tool == kind
            and reach_asked(feature.depth, piece.thickness) > longest + TOUCHING
        ]
        if not past:
            continue
        asked = max(reach for reach, _ in past)
        pieces = list(dict.fromkeys(piece.key for _, piece in past))
        yield RULE.finding(
            f"The {kind} bit cuts {mm(longest)} high; {listed([subject.label(key) for key in pieces])} "
            f"ask{'s' if len(pieces) == 1 else ''} up to {mm(asked)}.",
            remedies=(
                Remedy(f"Take a {kind} bit with a cutting edge of {at_least(asked)} or more."),
            ),
            names=tuple(pieces),
        )


__all__ = ["KINDS", "RULE", "find"]
