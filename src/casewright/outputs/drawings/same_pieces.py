"""Pieces that are alike in every size, so that one drawing serves for all of them."""

from __future__ import annotations

from collections.abc import Sequence

from casewright.geometry.model import Circle, FaceShape, Piece, Point2, Rectangle


def same_pieces(pieces: Sequence[Piece]) -> tuple[tuple[Piece, ...], ...]:
    """Groups of equal pieces, in the order of the first of each. Mirrored ones are not equal; sides stand alone."""
    groups: dict[object, list[Piece]] = {}
    for piece in pieces:
        key = piece.key if piece.kind in ("side", "panel", "overlay", "door") else shape_key(piece)
        groups.setdefault(key, []).append(piece)
    return tuple(tuple(group) for group in groups.values())


def shape_key(piece: Piece) -> tuple[object, ...]:
    """Equal for pieces that are made alike: same stock, outlines and features, to a hundredth of a millimeter."""
    low_u, low_v, _, _ = piece.extent

    def at(point: Point2) -> tuple[float, float]:
        return (round(point[0] - low_u, 2) + 0.0, round(point[1] - low_v, 2) + 0.0)

    def outline(points: Sequence[Point2]) -> tuple[tuple[float, float], ...]:
        seen = [at(point) for point in points]
        first = seen.index(min(seen))
        return (*seen[first:], *seen[:first])

    def shape(s: FaceShape) -> tuple[object, ...]:
        if isinstance(s, Circle):
            return ("circle", at((s.u, s.v)), round(s.diameter, 2))
        if isinstance(s, Rectangle):
            sizes = (s.width, s.height, s.radius, s.turn_deg % 180.0)
            return ("rectangle", at((s.u, s.v)), *(round(x, 2) for x in sizes))
        return ("polygon", outline(s.points))

    features = sorted(
        repr((f.kind, shape(f.shape), f.face, f.depth and round(f.depth, 2), f.chamfer, f.tool))
        for f in piece.features
    )
    return (
        piece.kind,
        piece.material,
        round(piece.thickness, 2),
        piece.grain,
        outline(piece.show),
        outline(piece.back),
        tuple(features),
    )


def shared_label(labels: Sequence[str]) -> str:
    """One name for several equal pieces.

    Example:
        >>> shared_label(["stop strip, left", "stop strip, right"]), shared_label(["rail"])
        ('stop strip, left + right', 'rail')
    """
    if len(labels) == 1:
        return labels[0]
    heads = {label.rsplit(", ", 1)[0] for label in labels}
    if len(heads) == 1 and all(", " in label for label in labels):
        return f"{heads.pop()}, {' + '.join(label.rsplit(', ', 1)[1] for label in labels)}"
    return " / ".join(dict.fromkeys(labels))


__all__ = ["same_pieces", "shape_key", "shared_label"]
