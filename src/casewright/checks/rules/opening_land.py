"""A chamfer leaves enough of the show face, and enough straight edge."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Display
from casewright.checks.flat import flat_of, gap_between, gap_to_edge
from casewright.checks.moving import owner_label, placed_field
from casewright.checks.subject import Subject
from casewright.checks.webs import THROUGH, web_least, wished_chamfer
from casewright.geometry.display_findings import BEARING_LAND
from casewright.geometry.model import Feature, Piece

RULE = Rule(
    id="opening.land",
    severity=Severity.CAUTION,
    asks="Beside a chamfer the show face keeps the web of its material, and below it 3 mm of straight edge stay.",
    why="A narrow land at a rim chips, and without a straight edge the bit's bearing has nothing to ride on.",
    source="Common practice",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each chamfered opening or hole with too little land beside it, and one below it."""
    for piece in subject.cabinet.pieces:
        for feature in piece.features:
            if feature.chamfer > 0 and feature.kind in THROUGH:
                yield from _beside(subject, piece, feature)
                yield from _below(subject, piece, feature)


def _beside(subject: Subject, piece: Piece, feature: Feature) -> Iterator[Finding]:
    least = web_least(subject.cabinet.project, piece)
    throat = flat_of(feature.shape)
    face = piece.show if feature.face == "show" else piece.back
    lands = [(gap_to_edge(throat, face), f"the edge of {piece.label}")]
    lands += [
        (gap_between(throat, flat_of(other.shape)), owner_label(subject.cabinet, other.owner))
        for other in piece.features
        if other is not feature and other.kind in THROUGH and other.owner != feature.owner
    ]
    straight, beyond = min(lands)
    # Where the chamfer runs on below, this layer's own rim is as much wider than without it.
    wide = wished_chamfer(subject.cabinet, feature)
    if not _begins_in(subject, piece, feature):
        return  # told at the layer that the chamfer begins in
    straight += wide - feature.chamfer
    land = straight - wide
    if straight < least - TOUCHING or land >= least - TOUCHING:
        return  # less than a web without the chamfer is the web's own finding
    label = owner_label(subject.cabinet, feature.owner)
    best = straight - least
    yield RULE.finding(
        f"The chamfer of {mm(wide)} at {label} leaves {mm(max(land, 0.0))} of show face to {beyond}; "
        f"{mm(least)} is asked.",
        remedies=(
            Remedy(
                f"Make the chamfer {mm(best)}."
                if best > TOUCHING
                else "Leave the chamfer out and break the edge with sandpaper.",
                _field(subject, feature),
                max(best, 0.0),
            ),
        ),
        names=(feature.owner, piece.key),
        point=piece.frame.point(*throat.core[0]),
        severity=Severity.STOP if land < 0 else None,
    )


def _below(subject: Subject, piece: Piece, feature: Feature) -> Iterator[Finding]:
    placed = subject.cabinet.placed_by_key.get(feature.owner)
    if placed is not None and isinstance(placed.part.data, Display):
        return  # display.chamfer-land tells it, over all layers
    if not _begins_in(subject, piece, feature):
        return  # a chamfer that runs on through several layers is told once
    wide = wished_chamfer(subject.cabinet, feature)
    deep = sum(other.thickness for other, _ in _layers(subject, piece, feature))
    straight = deep - wide
    if straight >= BEARING_LAND - TOUCHING:
        return
    best = max(deep - BEARING_LAND, 0.0)
    yield RULE.finding(
        f"The chamfer of {mm(wide)} at {owner_label(subject.cabinet, feature.owner)} leaves "
        f"{mm(max(straight, 0.0))} of straight edge below it; {mm(BEARING_LAND)} is asked.",
        remedies=(Remedy(f"Make the chamfer {mm(best)}.", _field(subject, feature), best),),
        names=(feature.owner, piece.key),
        point=piece.frame.point(*flat_of(feature.shape).core[0]),
    )


def _layers(subject: Subject, piece: Piece, feature: Feature) -> list[tuple[Piece, Feature]]:
    """The same opening in each layer of a panel, outermost first."""
    return [
        (other, same)
        for other in subject.cabinet.pieces
        if other.panel == piece.panel
        for same in other.features
        if (same.owner, same.key) == (feature.owner, feature.key)
    ]


def _begins_in(subject: Subject, piece: Piece, feature: Feature) -> bool:
    """True for the layer that the chamfer begins in."""
    chamfered = [other for other, same in _layers(subject, piece, feature) if same.chamfer > 0]
    return piece is chamfered[0 if feature.face == "show" else -1]


def _field(subject: Subject, feature: Feature) -> str:
    placed = subject.cabinet.placed_by_key.get(feature.owner)
    if placed is not None:
        return placed_field(subject.cabinet, placed, "opening.chamfer")
    return f"{feature.owner}.chamfer"


__all__ = ["RULE", "find"]
