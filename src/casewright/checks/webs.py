"""How much material must be left between holes and to edges, and how much is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
import shapely

from casewright.basics.rectangles import FEW
from casewright.basics.remembering import remembered
from casewright.checks.bunch import Bunch
from casewright.checks.flat import (
    Flat,
    box_margin,
    edges_of,
    flat_of,
    gap_between,
    gap_is_over,
    gap_to_edge,
    inner_box,
    near_pairs,
)
from casewright.design.panels import RectangleFeature
from casewright.design.project import Project
from casewright.geometry.model import Cabinet, Feature, Piece, Point2
from casewright.geometry.web_least import WALL_LEAST, WEB_LEAST, web_least

FINE = 0.1
"""What is short by less than this is not worth a word: nobody drills finer. Source: common practice. [mm]"""

THROUGH = ("hole", "opening")
_POCKETS = ("counterbore", "pocket")
_SCREWS = ("clearance", "pilot")
_HOLES = (*THROUGH, *_POCKETS, *_SCREWS)
_FLAT_PIECES = ("side", "panel", "overlay", "inner", "board", "door")


@dataclass(frozen=True)
class Web:
    """Material between two features, or between one and the piece's edge."""

    piece: Piece
    first: Feature
    second: Feature | None
    """None for the edge."""
    left: float
    least: float

    @property
    def owners(self) -> tuple[str, ...]:
        """Owners of the features."""
        return (self.first.owner, *((self.second.owner,) if self.second else ()))

    @property
    def is_broken(self) -> bool:
        """Two holes that go through run into each other."""
        second = self.second
        return (
            self.left < 0
            and second is not None
            and self.first.kind in THROUGH
            and second.kind in THROUGH
        )


def thin_webs(project: Project, piece: Piece) -> Iterator[Web]:
    """Return the webs of a piece that are less than asked; features of one owner have none between them."""
    if piece.kind not in _FLAT_PIECES:
        return
    least = web_least(project, piece)
    features = [f for f in piece.features if f.kind in _HOLES]
    if not features:
        return
    flats = [flat_of(feature.shape) for feature in features]
    inside = inner_box(piece)
    for feature, flat in zip(features, flats, strict=True):
        if feature.kind not in THROUGH or (inside and box_margin(flat, inside) >= least):
            continue
        left = min(gap_to_edge(flat, edge) for edge in edges_of(piece))
        if 0 <= left < least - FINE:
            yield Web(piece, feature, None, left, least)
    for i, j in near_pairs(flats, least):
        a, b = features[i], features[j]
        if a.owner == b.owner:
            continue
        if (a.kind in _SCREWS and b.kind in _SCREWS) or _pass_by(piece, a, b):
            continue
        asked = least_between(a, b, least)
        left = gap_between(flats[i], flats[j])
        if left < asked - FINE:
            yield Web(piece, a, b, left, asked)


def least_between(a: Feature, b: Feature, least: float) -> float:
    """Return what must be left between two features: the whole web only between two that go through. [mm]"""
    return least if a.kind in THROUGH and b.kind in THROUGH else min(least, WALL_LEAST)


def margin_after(
    project: Project,
    piece: Piece,
    owner: str,
    du: float,
    dv: float,
    *,
    also: Mapping[str, Point2] | None = None,
) -> float:
    """Return the least of what is left over what is asked, when all that an owner has in a piece is moved. [mm]

    Edges count for what goes through, other features for all; less than 0 where something is too close. `also` holds
    the shifts of other owners that move at the same time.
    """
    around = _surroundings(piece, owner, web_least(project, piece))
    shift, also = (du, dv), also or {}
    margin = around.edge_margin(shift)
    moved: dict[int, Flat] = {}
    for at, other, asked in around.near(shift, also):
        here = moved.get(at) or moved.setdefault(at, around.mine.flats[at].moved(*shift))
        there = flat_of(other.shape)
        if other.owner in also:
            there = there.moved(*also[other.owner])
        if not gap_is_over(here, there, asked):
            margin = min(margin, gap_between(here, there) - asked)
    return margin


@dataclass(frozen=True, eq=False)
class _Surroundings:
    """All that one owner has in a piece, and what else is there."""

    piece: Piece
    least: float
    features: tuple[Feature, ...]
    mine: Bunch
    """Their shapes."""
    others: tuple[Feature, ...]
    few: tuple[tuple[int, Feature, float], ...] | None
    """Place of one of the owner's, another feature, and what must be left between the two [mm]; None for many."""
    tree: shapely.STRtree
    """Of rectangles round the others."""

    def edge_margin(self, shift: Point2) -> float:
        """The least of what is left to the edges over what is asked, once the owner's features are moved. [mm]"""
        inside = inner_box(self.piece)
        sides = (
            [self.mine.gaps_to_box(shift, inside)]
            if inside
            else [self.mine.gaps_to_edge(shift, edge) for edge in edges_of(self.piece)]
        )
        return min(
            (
                left - (self.least if feature.kind in THROUGH else 0.0)
                for gaps in sides
                for feature, left in zip(self.features, gaps, strict=True)
            ),
            default=math.inf,
        )

    def near(
        self, shift: Point2, also: Mapping[str, Point2]
    ) -> Iterable[tuple[int, Feature, float]]:
        """Pairs that may come too close to one another, once the owner's features and others are moved."""
        if self.few is not None:
            return self.few
        reach = (self.least + FINE) * np.array([-1.0, -1.0, 1.0, 1.0])
        found = self.tree.query(shapely.box(*(self.mine.boxes(shift) + reach).T)).T.tolist()
        away = [place for place, other in enumerate(self.others) if other.owner in also]
        found += [(at, place) for at in range(len(self.features)) for place in away]
        return self.asked(found)

    def asked(self, pairs: Iterable[tuple[int, int]]) -> Iterator[tuple[int, Feature, float]]:
        """The pairs between which something must be left, with how much. [mm]"""
        for at, place in pairs:
            one, other = self.features[at], self.others[place]
            are_screws = one.kind in _SCREWS and other.kind in _SCREWS
            if not are_screws and not _pass_by(self.piece, one, other):
                yield at, other, least_between(one, other, self.least)


@remembered(256)
def _surroundings(piece: Piece, owner: str, least: float) -> _Surroundings:
    holes = [f for f in piece.features if f.kind in _HOLES]
    own = tuple(f for f in holes if f.owner == owner)
    others = tuple(f for f in holes if f.owner != owner)
    mine = Bunch([flat_of(feature.shape) for feature in own])
    if len(own) * len(others) > FEW:
        boxes = np.array([flat_of(other.shape).box for other in others])
        tree = shapely.STRtree(shapely.box(*boxes.T))
        return _Surroundings(piece, least, own, mine, others, None, tree)
    made = _Surroundings(piece, least, own, mine, others, None, shapely.STRtree([]))
    pairs = ((at, place) for at in range(len(own)) for place in range(len(others)))
    return replace(made, few=tuple(made.asked(pairs)))


def _slopes(piece: Piece) -> bool:
    return piece.show != piece.back


def _pass_by(piece: Piece, a: Feature, b: Feature) -> bool:
    """True for blind ones from opposite faces that leave wood between their floors."""
    if a.depth is None or b.depth is None or a.face == b.face:
        return False
    return a.depth + b.depth < piece.thickness


def wished_chamfer(cabinet: Cabinet, feature: Feature) -> float:
    """The whole chamfer of an opening, of which a layer shows no more than goes through it. [mm]"""
    placed = cabinet.placed_by_key.get(feature.owner)
    if placed is not None:
        return placed.wish.opening.chamfer if placed.wish.opening else feature.chamfer
    section, _, number = feature.owner.partition(".")
    if section != "features":
        return feature.chamfer
    wish = cabinet.project.features[int(number)]
    return wish.chamfer if isinstance(wish, RectangleFeature) else feature.chamfer


__all__ = [
    "FINE",
    "THROUGH",
    "WALL_LEAST",
    "WEB_LEAST",
    "Web",
    "least_between",
    "margin_after",
    "thin_webs",
    "web_least",
    "wished_chamfer",
]
