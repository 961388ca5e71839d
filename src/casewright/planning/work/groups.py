"""Groups of features that are worked in one go, and the holes that an overlay shares with its board."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from casewright.design.project import Shop
from casewright.geometry.model import Cabinet, Circle, Feature, Piece
from casewright.planning.work.holes import Way, feature_needs, unknotted, way_of

Spot = tuple[str, str]
"""Keys of a piece and of a feature in it."""
Shared = Mapping[str, Sequence[tuple[Spot, Spot]]]
"""Holes in an overlay and in its board below them, by the overlay's key."""


@dataclass
class Group:
    """A group of features of one piece that share a setting."""

    key: str
    piece: Piece
    way: Way
    features: tuple[Feature, ...]
    needs: set[str] = field(default_factory=set)
    joined: tuple[tuple[Piece, Feature], ...] = ()
    """Features of another piece, clamped to this one, that the same pass makes."""


def groups_of(piece: Piece, shop: Shop) -> Iterator[Group]:
    """Features of a piece by face, machine, bit and stop; parted where needs go round in a ring."""
    if not piece.features:
        return
    by_key = {feature.key: feature for feature in piece.features}
    groups: dict[tuple[object, ...], list[str]] = {}
    ways: dict[str, Way] = {}
    for feature in piece.features:
        way = way_of(feature, piece, shop)
        way = replace(
            way,
            diameter=round(way.diameter, 2),
            stop=None if way.stop is None else round(way.stop, 1),
        )
        ways[feature.key] = way
        groups.setdefault((way, feature.tool), []).append(feature.key)
    needs = feature_needs(piece.features)
    home: dict[str, str] = {}
    made: list[tuple[str, tuple[str, ...]]] = []
    used: set[str] = set()
    for keys, turn in unknotted(list(groups.values()), needs):
        key = _group_key(piece, ways[keys[0]], turn)
        while key in used:
            key += "'"
        used.add(key)
        made.append((key, keys))
        home |= dict.fromkeys(keys, key)
    for key, keys in made:
        earlier = {home[need] for name in keys for need in needs[name]} - {key}
        yield Group(key, piece, ways[keys[0]], tuple(by_key[k] for k in keys), earlier)


def shared_holes(cabinet: Cabinet) -> Shared:
    """Round holes that go through an overlay and its board: (piece, feature) of both, by the overlay's key."""
    found: dict[str, list[tuple[Spot, Spot]]] = {}
    for piece in cabinet.pieces:
        board = cabinet.piece_by_key.get(piece.panel)
        if piece.kind != "overlay" or board is None or board is piece:
            continue
        for upper in piece.features:
            for lower in board.features:
                if _meet(piece, upper, board, lower):
                    pair = ((piece.key, upper.key), (board.key, lower.key))
                    found.setdefault(piece.key, []).append(pair)
                    break
    return found


def joined(groups: list[Group], shared: Shared) -> list[Group]:
    """Holes of one diameter through overlay and board become one pass through both."""
    home = {(group.piece.key, f.key): group for group in groups for f in group.features}
    gone: dict[str, set[str]] = {}
    tops: dict[str, set[str]] = {}
    for pairs in shared.values():
        for upper, lower in pairs:
            top, bottom = home[upper], home[lower]
            if top.way != bottom.way or bottom.needs:
                continue
            feature = next(f for f in bottom.features if f.key == lower[1])
            top.joined = (*top.joined, (bottom.piece, feature))
            gone.setdefault(bottom.key, set()).add(feature.key)
            tops.setdefault(bottom.key, set()).add(top.key)
    for group in groups:
        group.features = tuple(f for f in group.features if f.key not in gone.get(group.key, set()))
    empty = {group.key for group in groups if not group.features}
    for group in groups:
        for key in group.needs & set(tops):
            group.needs = group.needs - ({key} & empty) | tops[key]
    return [group for group in groups if group.features]


def _group_key(piece: Piece, way: Way, turn: int) -> str:
    verb = {"jigsaw": "saw", "router": "rout", "drill": "drill"}[way.machine]
    bit = way.bit.replace(" ", "-")
    size = f"-{way.diameter:g}" if way.diameter else ""
    stop = "through" if way.stop is None else f"{way.stop:g}"
    again = f".{turn + 1}" if turn else ""
    return f"{verb}.{piece.key}.{way.face}.{bit}{size}.{stop}{again}"


def _meet(upper: Piece, a: Feature, lower: Piece, b: Feature) -> bool:
    """Whether two round holes are one hole through both boards."""
    if not (isinstance(a.shape, Circle) and isinstance(b.shape, Circle)):
        return False
    if a.depth is not None or b.depth is not None or a.owner != b.owner:
        return False
    if a.face != "show" or b.face != "show":
        return False
    point = lower.frame.local(upper.frame.point(a.shape.u, a.shape.v))
    return math.dist(point[:2], (b.shape.u, b.shape.v)) < 0.5


__all__ = ["Group", "Shared", "Spot", "groups_of", "joined", "shared_holes"]
