"""Ways into the finished cabinet: panels and doors that come off."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.checks.subject import Subject
from casewright.geometry.model import Cabinet, Rectangle


@dataclass(frozen=True)
class WayIn:
    """A panel or door that comes off, and the clear opening it leaves. [mm]"""

    key: str
    label: str
    width: float
    height: float

    @property
    def sides(self) -> tuple[float, float]:
        """The smaller first."""
        return (min(self.width, self.height), max(self.width, self.height))


def ways_in(subject: Subject) -> tuple[WayIn, ...]:
    """Return what comes off without breaking glue, the largest first."""
    return ways_into(subject.cabinet)


def ways_into(cabinet: Cabinet) -> tuple[WayIn, ...]:
    """The same of a cabinet.

    A panel leaves its own size less the cleats it is screwed to; a door the opening less its stop strips.
    """
    found = []
    for piece in cabinet.pieces:
        if piece.kind == "panel" and piece.fixing != "glued":
            cleats = [p for p in cabinet.pieces if p.kind == "cleat" and p.panel == piece.key]
            taken = sum(min(p.width, p.height) for p in cleats if p.height >= p.width)
            shorter = min(_extent(piece.show), _extent(piece.back))
            found.append(WayIn(piece.key, piece.label, piece.width - taken, shorter))
        elif piece.kind == "door":
            host = cabinet.project.doors[piece.key]
            opening = next(
                (
                    f.shape
                    for p in cabinet.pieces
                    for f in p.features
                    if f.key == f"{piece.key}.opening" and isinstance(f.shape, Rectangle)
                ),
                None,
            )
            if opening is not None:
                found.append(
                    WayIn(
                        piece.key,
                        piece.label,
                        opening.width - 2 * host.lip,
                        opening.height - 2 * host.lip,
                    )
                )
    return tuple(sorted(found, key=lambda way: (-way.width * way.height, way.key)))


def _extent(points: tuple[tuple[float, float], ...]) -> float:
    vs = [v for _, v in points]
    return max(vs) - min(vs)


__all__ = ["WayIn", "ways_in", "ways_into"]
