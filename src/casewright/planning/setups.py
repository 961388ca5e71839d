"""Bevelled edges grouped by the tilt of the saw, so that each tilt is set once."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.geometry.model import Cabinet, FaceName, Piece, Point2

SQUARE_DEG = 0.1
"""Edges nearer than this to square are cut square. Far below what a saw's scale shows."""

SAME_DEG = 0.05
"""Tilts nearer than this share one setting."""

EdgeName = Literal["left", "right", "lower", "upper"]


@dataclass(frozen=True)
class BevelEdge:
    """One edge that is not square to the faces."""

    piece: str
    label: str
    edge: EdgeName
    """As seen on the show face."""
    longer: FaceName
    """The face that reaches further out: it holds the long point."""
    length: float
    """Of the edge, on the longer face. [mm]"""
    tilt_deg: float
    reach: float
    """How far the longer face reaches out beyond the other. [mm]"""
    across: float
    """From long point to the opposite edge, on the longer face. [mm]"""


@dataclass(frozen=True)
class SawSetup:
    """One tilt of the blade and all that is cut with it."""

    tilt_deg: float
    edges: tuple[BevelEdge, ...]


def saw_setups(cabinet: Cabinet) -> tuple[SawSetup, ...]:
    """Every bevelled edge, by tilt, the smallest first.

    Source:
        Plain geometry: the tilt's tangent is the reach of the longer face over the thickness.
    """
    edges = sorted(
        (edge for piece in cabinet.pieces for edge in bevel_edges(piece)),
        key=lambda edge: (round(edge.tilt_deg, 6), edge.piece, edge.edge),
    )
    groups: list[list[BevelEdge]] = []
    for edge in edges:
        if groups and edge.tilt_deg - groups[-1][0].tilt_deg <= SAME_DEG:
            groups[-1].append(edge)
        else:
            groups.append([edge])
    return tuple(SawSetup(group[0].tilt_deg, tuple(group)) for group in groups)


def bevel_edges(piece: Piece) -> tuple[BevelEdge, ...]:
    """The edges of one piece that are not square, in the order of its outline."""
    found = []
    show, back = piece.show, piece.back
    for index, start in enumerate(show):
        after = (index + 1) % len(show)
        length = math.dist(start, show[after])
        if not length:
            continue
        normal = ((show[after][1] - start[1]) / length, (start[0] - show[after][0]) / length)
        reach = (
            sum(
                (back[i][0] - show[i][0]) * normal[0] + (back[i][1] - show[i][1]) * normal[1]
                for i in (index, after)
            )
            / 2
        )
        tilt = math.degrees(math.atan2(abs(reach), piece.thickness))
        if tilt < SQUARE_DEG:
            continue
        longer: FaceName = "back" if reach > 0 else "show"
        outline = back if reach > 0 else show
        found.append(
            BevelEdge(
                piece=piece.key,
                label=piece.label,
                edge=_edge_name(normal),
                longer=longer,
                length=math.dist(outline[index], outline[after]),
                tilt_deg=tilt,
                reach=abs(reach),
                across=_across(outline, outline[index], normal),
            )
        )
    return tuple(found)


def edge_names(points: Sequence[Point2]) -> tuple[EdgeName, ...]:
    """Which way each edge of an outline looks, as seen on the show face; edge i runs from point i to the next."""
    names = []
    for index, start in enumerate(points):
        end = points[(index + 1) % len(points)]
        names.append(_edge_name((end[1] - start[1], start[0] - end[0])))
    return tuple(names)


def is_rectangle(piece: Piece) -> bool:
    """Whether four straight saw cuts, square in the plane, make the show face's outline."""
    points = piece.show
    if len(points) != 4:
        return False
    ends = [sorted({round(point[axis], 1) for point in points}) for axis in (0, 1)]
    return all(values[-1] - values[0] > 0 and len(values) == 2 for values in ends)


def _across(outline: tuple[Point2, ...], start: Point2, normal: Point2) -> float:
    return max((start[0] - u) * normal[0] + (start[1] - v) * normal[1] for u, v in outline)


def _edge_name(normal: Point2) -> EdgeName:
    if abs(normal[1]) >= abs(normal[0]):
        return "upper" if normal[1] > 0 else "lower"
    return "right" if normal[0] > 0 else "left"


__all__ = [
    "BevelEdge",
    "EdgeName",
    "SawSetup",
    "bevel_edges",
    "edge_names",
    "is_rectangle",
    "saw_setups",
]
