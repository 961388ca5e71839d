"""Remedies that ask something of a piece that exists already say so.

Whether such a piece is trimmed, patched or made anew is worked out when the value is in the file; a cure that costs a
painted piece is not to come as a surprise.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from casewright.basics.findings import Finding, Remedy
from casewright.basics.wording import listed
from casewright.geometry.model import Cabinet, Piece

_SIZES = ("material", "joint", "groove_depth", "groove_play", "clearance", "reveal", "layers")
_SIDES_TOO = ("joint", "groove_depth", "groove_play")
"""What is cut into the sides with it."""

_UNSAWN = ("drawn",)
_UNDRILLED = ("drawn", "cut")


def with_made_pieces(finding: Finding, cabinet: Cabinet) -> Finding:
    """Return the finding with a word at each order whose value changes a piece that is made."""
    if not cabinet.project.as_built:
        return finding
    remedies = tuple(_told(remedy, cabinet) for remedy in finding.remedies)
    return finding if remedies == finding.remedies else replace(finding, remedies=remedies)


def _told(remedy: Remedy, cabinet: Cabinet) -> Remedy:
    if not remedy.field:
        return remedy
    found: dict[str, str] = {}
    for field in (remedy.field, *(field for field, _ in remedy.also)):
        found |= {piece.key: piece.label for piece in _changed_by(field, cabinet)}
    if not found:
        return remedy
    is_ = "is" if len(found) == 1 else "are"
    it = "it has" if len(found) == 1 else "they have"
    said = listed(tuple(found.values()))
    return replace(
        remedy,
        text=f"{remedy.text} But {said} {is_} made already: {it} to be reworked or made anew then.",
    )


def _changed_by(field: str, cabinet: Cabinet) -> Iterator[Piece]:
    """Pieces that exist and that another value of a field would change."""
    section, *rest = field.split(".")
    if section == "shape":
        yield from (piece for piece in cabinet.pieces if _is_made(piece, cabinet, _UNSAWN))
    elif section in ("panels", "inner") and len(rest) > 1 and rest[1] in _SIZES:
        for piece in cabinet.pieces:
            if piece.panel == rest[0] and piece.kind != "cleat":
                yield from _made(piece, cabinet, _UNSAWN)
            elif piece.key in ("left", "right") and rest[1] in _SIDES_TOO:
                yield from _made(piece, cabinet, _UNDRILLED)
    elif section == "seams" and rest:
        panels = rest[0].split("/")
        for piece in cabinet.pieces:
            if piece.panel in panels and piece.kind in ("panel", "overlay"):
                yield from _made(piece, cabinet, _UNSAWN)
    elif section == "doors" and rest[0] in cabinet.project.doors:
        for piece in cabinet.pieces:
            own = piece.key == rest[0] or piece.key.startswith(f"{rest[0]}.")
            if own or any(f.owner == rest[0] for f in piece.features):
                yield from _made(piece, cabinet, _UNSAWN if own else _UNDRILLED)
    elif section == "parts" and (place := re.match(r"(.+)\.placed\.(\d+)\.", field)):
        yield from _with_holes_of(place[1].removeprefix("parts."), int(place[2]), cabinet)


def _with_holes_of(part: str, number: int, cabinet: Cabinet) -> Iterator[Piece]:
    """Pieces that a placed part, or one that follows it, has holes in."""
    wishes = cabinet.project.parts[part].placed if part in cabinet.project.parts else ()
    if number >= len(wishes):
        return
    moved = {wishes[number].key}
    while (
        more := {placed.wish.key for placed in cabinet.placed if placed.wish.like in moved} - moved
    ):
        moved |= more
    owners = {placed.key for placed in cabinet.placed if placed.wish.key in moved}
    for piece in cabinet.pieces:
        if any(feature.owner in owners for feature in piece.features):
            yield from _made(piece, cabinet, _UNDRILLED)


def _made(piece: Piece, cabinet: Cabinet, but: tuple[str, ...]) -> Iterator[Piece]:
    if _is_made(piece, cabinet, but):
        yield piece


def _is_made(piece: Piece, cabinet: Cabinet, but: tuple[str, ...]) -> bool:
    built = cabinet.project.as_built.get(piece.key)
    return built is not None and built.state not in but


__all__ = ["with_made_pieces"]
