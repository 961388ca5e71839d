"""Which distances from the datum corner are written along a piece's edges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from casewright.basics.units import LengthStyle
from casewright.geometry.model import Circle, Feature
from casewright.outputs.drawings.dimensions import Ordinate, ordinates
from casewright.outputs.drawings.face_view import SQUARE, FaceView
from casewright.outputs.drawings.feature_marks import feature_box
from casewright.outputs.drawings.hole_table import figure
from casewright.outputs.drawings.marks import Box, Mark

TAG, FIGURE = 2.5, 3.5
"""Heights on paper: steps of ISO 3098-1. [mm]"""


def edge_ordinates(view: FaceView, style: LengthStyle) -> tuple[list[Ordinate], list[Ordinate]]:
    """The blank's far edges, and the edges of this face where they differ from the blank's."""
    xs = [Ordinate(view.box.right, figure(view.box.right, style))]
    ys = [Ordinate(view.box.top, figure(view.box.top, style))]
    if view.piece.kind != "side":
        for index, places, most in ((0, xs, view.box.right), (1, ys, view.box.top)):
            for at in sorted({round(p[index], 6) for p in view.near}):
                if SQUARE < at < most - SQUARE:
                    places.append(Ordinate(at, figure(at, style)))
    return xs, ys


def feature_ordinates(
    features: Sequence[Feature], view: FaceView, style: LengthStyle
) -> tuple[list[Ordinate], list[Ordinate]]:
    """Centres of round ones, edges of the others."""
    xs, ys = [], []
    for feature in features:
        box = feature_box(replace(feature, chamfer=0.0), view.motion)
        x, y = box.centre
        if isinstance(feature.shape, Circle):
            xs.append(Ordinate(x, figure(x, style), y))
            ys.append(Ordinate(y, figure(y, style), x))
            continue
        for at in (box.left, box.right):
            if SQUARE < at < view.box.right - SQUARE:
                xs.append(Ordinate(at, figure(at, style), box.bottom))
        for at in (box.bottom, box.top):
            if SQUARE < at < view.box.top - SQUARE:
                ys.append(Ordinate(at, figure(at, style), box.left))
    return xs, ys


def ordinate_marks(
    box: Box,
    xs: Sequence[Ordinate],
    ys: Sequence[Ordinate],
    zero: str,
    scale: float,
    height: float = FIGURE,
) -> tuple[Mark, ...]:
    """Figures from the datum corner; smaller ones where the large ones have no room."""
    roomy = all(
        fits_along(places, extent * scale, height=height)
        for places, extent in ((xs, box.width), (ys, box.height))
    )
    height = height if roomy else TAG
    return ordinates(box, xs=xs, ys=ys, zero=zero, scale=scale, height=height, reach=9.0)


def fits_along(places: Sequence[Ordinate], extent: float, *, height: float = TAG) -> bool:
    """Whether figures stand side by side along this extent on paper. [mm]"""
    figures = len({(round(place.at, 2), place.label) for place in places}) + 1
    return (figures - 1) * 1.55 * height <= max(extent, 3 * 1.55 * height)


__all__ = [
    "FIGURE",
    "TAG",
    "edge_ordinates",
    "feature_ordinates",
    "fits_along",
    "ordinate_marks",
]
