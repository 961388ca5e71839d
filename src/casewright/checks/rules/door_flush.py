"""A door is flush with the face round it."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.checks.subject import Subject
from casewright.geometry.model import Cabinet, Piece

FLUSH = 0.5
"""What a shop takes for flush before sanding. [mm] Source: common practice."""

RULE = Rule(
    id="door.flush",
    severity=Severity.CAUTION,
    asks="The show face of a door lies in the plane of the face round it, within 0.5 mm.",
    why="Its back lies on the stop strips, so a thicker door stands proud and is caught by sleeves and corners; "
    "a thinner one lies in a recess.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each door that stands proud; where it lies deeper it is only worth knowing."""
    cabinet = subject.cabinet
    for key, door in cabinet.project.doors.items():
        piece, host = cabinet.piece_by_key.get(key), cabinet.piece_by_key.get(door.on)
        if piece is None or host is None:
            continue
        face = max(_height(host, layer) for layer in _layers(cabinet, host))
        proud = _height(host, piece) - face
        if abs(proud) <= FLUSH:
            continue
        asked = piece.thickness - proud
        way = "stands" if proud > 0 else "lies"
        where = "proud of" if proud > 0 else "behind"
        yield RULE.finding(
            f"{piece.label} is {mm(piece.thickness)} thick and {way} {mm(abs(proud))} {where} {host.label}.",
            remedies=_remedies(cabinet, key, asked),
            names=(key, host.key),
            point=piece.frame.point(*_middle(piece)),
            severity=None if proud > 0 else Severity.NOTE,
        )


def _layers(cabinet: Cabinet, host: Piece) -> tuple[Piece, ...]:
    """The board and its overlays."""
    return (host, *(p for p in cabinet.pieces if p.kind == "overlay" and p.panel == host.key))


def _height(host: Piece, piece: Piece) -> float:
    """Of a show face over the host board's. [mm]"""
    return host.frame.local(piece.frame.origin)[2]


def _middle(piece: Piece) -> tuple[float, float]:
    low_u, low_v, high_u, high_v = piece.extent
    return ((low_u + high_u) / 2, (low_v + high_v) / 2)


def _remedies(cabinet: Cabinet, key: str, asked: float) -> tuple[Remedy, ...]:
    """The project's board that comes nearest, where it is flush, else how thick one would be."""
    project = cabinet.project
    fits = [
        (abs(material.thickness - asked), name, material.label or name)
        for name, material in project.materials.items()
        if material.kind != "print" and abs(material.thickness - asked) <= FLUSH
    ]
    if fits:
        _, name, label = min(fits)
        return (Remedy(f"Make it of {label}.", f"doors.{key}.material", name),)
    return (Remedy(f"Make it of a board {mm(asked)} thick."),)


__all__ = ["FLUSH", "RULE", "find"]
