"""What paint must not get on: glue faces, bores, threads, ground contacts, trim slots, acrylic."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from casewright.basics.wording import counted, listed
from casewright.behavior.surfaces import UNPAINTED, Surface
from casewright.catalog.kinds import Fitting, Hardware
from casewright.geometry.model import Cabinet, Piece

_BORES = ("hole", "counterbore", "pocket", "groove")
_SCREWED = ("pilot", "clearance", "countersink")
_LEAST_GLUED = 100.0  # mm²


@dataclass(frozen=True)
class Mask:
    """One kind of place to mask."""

    what: str
    where: str
    why: str


def masking(cabinet: Cabinet, surfaces: tuple[Surface, ...]) -> tuple[Mask, ...]:
    """What to mask on this cabinet before painting, in the order of the work.

    Args:
        cabinet: The cabinet.
        surfaces: Its painted pieces.
    """
    return tuple(_masks(cabinet, surfaces)) if surfaces else ()


def _masks(cabinet: Cabinet, surfaces: tuple[Surface, ...]) -> Iterator[Mask]:
    painted = [cabinet.piece_by_key[s.piece] for s in surfaces]
    touching = [cabinet.piece_by_key[s.piece] for s in surfaces if s.glued >= _LEAST_GLUED]
    glued = [p.label for p in touching if p.fixing == "glued"]
    if glued:
        yield Mask(
            "glue faces, where a board is painted before it is glued in",
            listed(glued),
            "Glue holds wood, not paint.",
        )
    loose = [p.label for p in touching if p.fixing != "glued"]
    if loose:
        yield Mask(
            "mating edges of what comes off", listed(loose), "Coats on both make loose boards bind."
        )
    cleats = [p for p in cabinet.pieces if p.kind in ("cleat", "strip", "rail", "frame")]
    if cleats and cabinet.project.finish.inside:
        yield Mask(
            "seats of cleats, rails and frames",
            listed(dict.fromkeys(p.label for p in cleats)),
            "They are glued on bare wood.",
        )
    bores = _counts(painted, _BORES)
    if bores:
        yield Mask(
            "bores, pockets and grooves", bores, "A coat on the wall makes a hole too small."
        )
    screwed = _counts(painted, _SCREWED)
    if screwed:
        yield Mask("screw holes", screwed, "Paint in a pilot hole splits or strips the thread.")
    data = [(part, part.data) for part in cabinet.parts.values()]
    inserts = [
        part.label for part, known in data if isinstance(known, Hardware) and known.role == "insert"
    ]
    if inserts:
        yield Mask("threads", listed(inserts), "Screw a waste screw in, or plug them with wax.")
    metal = [p.label for p in cabinet.pieces if _kind(cabinet, p) == "metal"]
    metal += [
        placed.label
        for placed in cabinet.placed
        if isinstance(placed.part.data, Fitting) and placed.part.data.role in ("inlet", "port")
    ]
    if metal:
        yield Mask(
            "ground contacts",
            listed(metal),
            "Where metal meets metal or a ground wire, paint insulates.",
        )
    slots = [p.label for p in painted if any(f.kind == "slot" for f in p.features)]
    if slots:
        yield Mask("slots for edge trim", listed(slots), "The trim's spline needs the bare slot.")
    clear = [
        p.label
        for p in cabinet.pieces
        if _kind(cabinet, p) in UNPAINTED and _kind(cabinet, p) != "metal"
    ]
    if clear:
        yield Mask(
            "acrylic and prints",
            listed(dict.fromkeys(clear)),
            "Fit them after painting; leave their film on. Solvents craze acrylic.",
        )


def _kind(cabinet: Cabinet, piece: Piece) -> str:
    material = cabinet.project.materials.get(piece.material)
    return material.kind if material else ""


def _counts(pieces: Iterable[Piece], kinds: tuple[str, ...]) -> str:
    counts = {p.label: sum(f.kind in kinds for f in p.features) for p in pieces}
    held = [f"{label} {count}" for label, count in counts.items() if count]
    every = sum(counts.values())
    return f"{counted(every, 'place')}: {', '.join(held)}" if every else ""


__all__ = ["Mask", "masking"]
