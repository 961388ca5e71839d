"""Pieces for small pictures: without the holes that would be specks of ink."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from casewright.geometry.model import Piece
from casewright.outputs.drawings.feature_marks import feature_box
from casewright.outputs.drawings.placing import Motion


def without_small(pieces: Iterable[Piece], least: float) -> tuple[Piece, ...]:
    """The pieces without features that are less than `least` wide or high, or less deep than a tenth of it. [mm]"""
    return tuple(_plain(piece, least) for piece in pieces)


def _plain(piece: Piece, least: float) -> Piece:
    kept = []
    for feature in piece.features:
        box = feature_box(feature, Motion())
        shallow = feature.depth is not None and feature.depth < least / 10
        if min(box.width, box.height) >= least and not shallow:
            kept.append(feature)
    return piece if len(kept) == len(piece.features) else replace(piece, features=tuple(kept))


__all__ = ["without_small"]
