"""Boards are stiff and strong enough for what leans and stands on them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.customary import force_words
from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import Unit
from casewright.basics.wording import fine
from casewright.behavior.board_data import GRAINED, board_data
from casewright.behavior.standing import GRAVITY
from casewright.behavior.stiffness import LASTING_SAG, QUICK_SAG, Member
from casewright.checks.moving import weighed
from casewright.checks.subject import Subject
from casewright.geometry.model import Piece
from casewright.geometry.thicker import stock_takes

RULE = Rule(
    id="stiff.board",
    severity=Severity.CAUTION,
    asks=f"A board gives no more than 1/{QUICK_SAG:g} of its span under a leaning hand, 1/{LASTING_SAG:g} after years "
    "under what stands on it, and its stress stays within its strength.",
    why="A deck that gives feels cheap and cracks its paint at the seams; a shelf that hangs never comes back.",
    source="en-1995-1-1",
)
BREAKS = 1.5
"""Past this share of the allowed stress the reserve for heavier loads is used up, and it may break."""

RIB_MODULUS = 8000.0
"""Of softwood on edge. [MPa] Source: en-1995-1-1 with strength class C16 of en-338, from memory."""

_WOOD = (*GRAINED, "mdf")
_ROUNDING = 1e-6


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each board that is too weak."""
    if subject.behavior is None:
        return
    for member in subject.behavior.stiffness.members:
        if member.use <= 1 + _ROUNDING:
            continue
        piece = subject.cabinet.piece_by_key[member.key]
        stress = member.first.stress / member.stress_most
        yield RULE.finding(
            _message(member, stress, subject.cabinet.project.unit),
            remedies=tuple(_remedies(subject, member, piece)),
            names=(member.key,),
            point=piece.frame.point(
                (piece.extent[0] + piece.extent[2]) / 2, (piece.extent[1] + piece.extent[3]) / 2
            ),
            severity=Severity.STOP if stress > BREAKS else None,
        )


def _message(member: Member, stress: float, unit: Unit) -> str:
    under = "a leaning hand of" if member.kind == "hand" else "a lasting load of"
    load = f"{under} {force_words(member.load, unit)}"
    if stress >= member.sag / member.sag_most:
        return (
            f"{member.label} bears {member.first.stress:.1f} MPa under {load}; "
            f"{member.stress_most:.1f} MPa is safe."
        )
    sag, most = (fine(length, inches=unit == "in") for length in (member.sag, member.sag_most))
    return f"{member.label} gives {sag} under {load}; {most} is asked."


def _remedies(subject: Subject, member: Member, piece: Piece) -> Iterator[Remedy]:
    project = subject.cabinet.project
    group = {"panel": "panels", "inner": "inner"}.get(piece.kind)
    if group is not None:
        stock = sorted((m.thickness, key) for key, m in project.materials.items())
        for thickness, key in stock:
            board = board_data(key, project, subject.catalog)
            if board is None or board.kind not in _WOOD or thickness <= member.thickness:
                continue
            if member.of(board, thickness).use <= 1 and stock_takes(project, key, piece):
                yield Remedy(
                    f"Make {member.label} of {board.label}.", f"{group}.{member.key}.material", key
                )
                break
    yield Remedy(f"Make it {at_least(member.thickness_needed)} thick of the same board, or more.")
    if member.held == "two ends" and member.sag / member.sag_most >= 1:
        yield Remedy(
            f"Or glue a rib on edge under it, from end to end: softwood {mm(project.batten.width)} wide and "
            f"{at_least(rib_height(member, project.batten.width))} high."
        )
    if member.kind == "standing" and piece.kind == "inner":
        less = member.load / member.use / GRAVITY
        kept = weighed(subject.cabinet, math.floor(10 * less) / 10)
        yield Remedy(f"Or let it carry {kept} in all, its own weight included.")


def rib_height(member: Member, width: float) -> float:
    """Height of a rib of softwood under a strip that takes what the strip gives too much. [mm]

    Source:
        roark: stiffness of boards that bend together adds up; glue between them is a reserve.
    """
    inertia = member.width * member.thickness**3 / 12
    have = member.modulus * inertia * member.net.along
    need = have * (member.sag / member.sag_most - 1)
    return math.cbrt(12 * need / (RIB_MODULUS * width))


__all__ = ["BREAKS", "RIB_MODULUS", "RULE", "find", "rib_height"]
