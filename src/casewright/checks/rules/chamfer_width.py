"""The shop's chamfer bit is as wide as the chamfers asked for."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, at_most, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.checks.subject import Subject
from casewright.checks.webs import wished_chamfer
from casewright.design.project import Bit

RULE = Rule(
    id="shop.chamfer-width",
    severity=Severity.NOTE,
    asks="No chamfer of a rim is wider than the shop's chamfer bit cuts.",
    why="Past its cutting edge a bit leaves a step, and no further pass along the bearing takes it away.",
    source="Plain geometry",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for all chamfers that are too wide."""
    bits = [bit for bit in subject.cabinet.project.shop.bits if bit.kind == "chamfer"]
    if not bits:
        return
    widest = max(chamfer_of(bit) for bit in bits)
    past = [
        (width, piece.key)
        for piece in subject.cabinet.pieces
        for feature in piece.features
        if feature.chamfer > 0
        and (width := wished_chamfer(subject.cabinet, feature)) > widest + TOUCHING
    ]
    if not past:
        return
    asked = max(width for width, _ in past)
    pieces = tuple(dict.fromkeys(key for _, key in past))
    yield RULE.finding(
        f"The chamfer bit cuts {mm(widest)} wide; {listed([subject.label(key) for key in pieces])} "
        f"ask{'s' if len(pieces) == 1 else ''} up to {mm(asked)}.",
        remedies=(
            Remedy(
                f"Take a 45° bit with a cutting edge {at_least(asked)} high or more, and write it to the shop's bits "
                "as its length."
            ),
            Remedy(f"Or make the chamfer {at_most(widest)} wide or less."),
        ),
        names=pieces,
    )


def chamfer_of(bit: Bit) -> float:
    """Widest chamfer that a bit cuts at 45°. [mm]

    As wide as its cutting edge is high; where that is not known, at most half of its diameter, which a bit without a
    bearing reaches.

    Source:
        Plain geometry: at 45° a cutting edge reaches out as far as up.

    Example:
        >>> chamfer_of(Bit(kind="chamfer", sizes=(35,), length=12)), chamfer_of(Bit(kind="chamfer", sizes=(12,)))
        (12.0, 6.0)
    """
    half = max(bit.sizes) / 2
    return float(min(bit.length, half) if bit.length else half)


__all__ = ["RULE", "chamfer_of", "find"]
