"""What comes to nothing: pieces shorter than nothing, and a cabinet narrower than its own sides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.plane import area
from casewright.basics.units import TOUCHING, LengthStyle, format_length
from casewright.design.panels import Inner, Panel
from casewright.design.project import Project
from casewright.geometry.model import Piece, SolvedShape

NO_LENGTH = Rule(
    id="piece.no-length",
    severity=Severity.STOP,
    asks="Each piece has a length and a height to cut.",
    why="What is kept clear at its ends is more than there is; there is nothing left to cut.",
    source="Plain geometry",
)

HAIR = 0.1
"""Less than this is nothing to cut. [mm] Project convention: no saw cuts nearer."""

ROUND = 10.0
"""Lengths proposed are whole steps of this. [mm] Project convention."""


def check_width(project: Project, shape: SolvedShape) -> None:
    """A cabinet needs room between its sides.

    Raises:
        InputErrors: It is not wider than its two sides together.
    """
    sides = sum(project.side_thicknesses)
    if shape.width - sides > TOUCHING:
        return
    style = LengthStyle(project.unit)
    raise InputErrors(
        [
            InputError(
                "shape.width",
                got=format_length(shape.width, style),
                want=f"more than both sides together, {format_length(sides, style)}",
                example=format_length(_round_up(sides + 100.0), style),
            )
        ]
    )


def without_vanished(
    project: Project, shape: SolvedShape, pieces: Sequence[Piece]
) -> tuple[tuple[Piece, ...], tuple[Finding, ...]]:
    """The pieces that have a size on both faces; a finding for each other one. With a board go its overlays."""
    kept: list[Piece] = []
    findings: list[Finding] = []
    gone = {piece.key for piece in pieces if not _is_whole(piece)}
    for piece in pieces:
        if piece.key in gone:
            findings.append(_finding(project, shape, piece))
        elif piece.kind != "overlay" or piece.panel not in gone:
            kept.append(piece)
    return tuple(kept), tuple(findings)


def _is_whole(piece: Piece) -> bool:
    """Both faces counter-clockwise, and neither thinner than a hair; a feather edge may be on one of them."""
    return (
        all(area(face) > TOUCHING for face in (piece.show, piece.back))
        and min(piece.width, piece.height) > HAIR
    )


def _finding(project: Project, shape: SolvedShape, piece: Piece) -> Finding:
    (u0, v0), (u1, _) = piece.show[:2]
    length = u1 - u0
    if length > HAIR:
        return NO_LENGTH.finding(
            f"{piece.label} has no height: its ends meet or cross each other.",
            remedies=(Remedy(f"Move the start or the end of {piece.label}, or make it thinner."),),
            names=(piece.key,),
            point=piece.frame.point((u0 + u1) / 2, v0),
        )
    remedies = tuple(_remedies(project, shape, piece, length))
    return NO_LENGTH.finding(
        f"{piece.label} would be {mm(length)} long from side to side.",
        remedies=remedies,
        names=(piece.key,),
        point=piece.frame.point((u0 + u1) / 2, v0),
    )


def _remedies(
    project: Project, shape: SolvedShape, piece: Piece, length: float
) -> Sequence[Remedy]:
    """Less kept clear at the ends, where that helps; else a wider cabinet."""
    found: list[Remedy] = []
    sections: Mapping[str, Mapping[str, Panel | Inner]] = {
        "panels": project.panels,
        "inner": project.inner,
    }
    for name, section in sections.items():
        wish = section.get(piece.panel)
        if wish is None:
            continue
        ends = 2
        if isinstance(wish, Inner):  # an end that is given a place of its own keeps nothing clear
            ends = (wish.left is None) + (wish.right is None)
        if ends and wish.clearance > 0 and length + ends * wish.clearance > TOUCHING:
            most = wish.clearance + length / ends
            value = max(most - ROUND / 2, most / 2)
            at = "each end" if ends == 2 else "its end at the side"
            found.append(
                Remedy(
                    f"Keep less than {mm(most)} clear at {at}, such as {mm(value)}.",
                    f"{name}.{piece.panel}.clearance",
                    value,
                )
            )
        if isinstance(wish, Inner) and (wish.left is not None or wish.right is not None):
            found.append(Remedy(f"Give {piece.label} a right end to the right of its left end."))
    if piece.kind == "overlay":
        inset = next(
            (x.inset for x in shape.panels[piece.panel].layers if piece.key.endswith(f".{x.key}")),
            0.0,
        )
        if length + 2 * inset > TOUCHING:
            found.append(Remedy(f"Keep its edges less than {mm(inset + length / 2)} back."))
    if not found:
        wide = _round_up(shape.width - length)
        found.append(Remedy(f"Make the cabinet {mm(wide)} wide or wider.", "shape.width", wide))
    return found


def _round_up(length: float) -> float:
    return (length // ROUND + 1) * ROUND


__all__ = ["HAIR", "NO_LENGTH", "ROUND", "check_width", "without_vanished"]
