"""Chains of errors between the holes of a cover and those of the board below it."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.behavior.chains import Chain, Error, mark_error
from casewright.catalog.kinds import Dial, Fitting, PushButton
from casewright.geometry.model import Cabinet, Circle, Piece, Placed


def cover_chains_of(cabinet: Cabinet) -> Iterator[Chain]:
    """Holes of a cover against those of its board, for what passes both.

    The cover slides until one part goes in; another part then meets the errors of all four holes. The two tightest
    parts decide.
    """
    accuracy = cabinet.project.accuracy
    drill = Error(
        "drilled hole",
        accuracy.drill,
        "drill",
        "Drill cover and board clamped together, or each on a pricked mark, within",
    )
    # Marks of one template keep their places to each other, on the cover as on the board.
    own = [mark_error(accuracy, "a hole")] if accuracy.marking == "tape" else []
    for cover in cabinet.pieces:
        board = cabinet.piece_by_key.get(cover.panel)
        if cover.kind != "overlay" or board is None:
            continue
        plays = sorted(_plays(cabinet, cover, board), key=lambda row: (row[0], row[1].key))
        if len(plays) < 2:
            continue  # the cover slides to its only part
        (first, a), (second, b) = plays[:2]
        errors: tuple[Error, ...] = (*[drill] * 4, *own * 4)
        signs = (1.0, -1.0, -1.0, 1.0) * (len(errors) // 4)
        margin = max(first + second, 0.0)
        yield Chain(
            f"{cover.key}.holes",
            "holes",
            cover.label,
            f"holes of {cover.label} and {board.label} do not meet for {a.label} and {b.label}"
            if a.label != b.label
            else f"holes of {cover.label} and {board.label} do not meet for two of {a.label}",
            errors,
            (signs, tuple(-sign for sign in signs)),
            (margin, margin),
            (cover.key, board.key, a.key, b.key),
            a.frame.origin,
        )


def _plays(cabinet: Cabinet, cover: Piece, board: Piece) -> Iterator[tuple[float, Placed]]:
    """How far the hole in a cover may be off the hole in its board, for each part that passes both round holes. [mm]

    Source:
        Plain geometry: a round body goes through two round holes as long as their middles are no further apart than
        the sum of what each is larger in radius.
    """
    for placed in cabinet.placed:
        data = placed.part.data
        body = data.body if isinstance(data, PushButton) else 0.0
        if isinstance(data, Fitting | Dial):
            body = data.hole
        holes = [
            feature.shape.diameter
            for piece in (cover, board)
            for feature in piece.features
            if feature.owner == placed.key
            and feature.kind == "hole"
            and isinstance(feature.shape, Circle)
        ]
        if body > 0 and len(holes) == 2:
            yield sum(holes) / 2 - body, placed


__all__ = ["cover_chains_of"]
