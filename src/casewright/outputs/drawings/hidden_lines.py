"""Line pictures of the cabinet in space: edges that are seen, and on wish those that are hidden.

Every edge is clipped against every face turned to the eye, exactly: where the edge runs inside the face's outline and
behind its plane it is hidden. Nothing is sampled, so the picture is as sharp as it is printed.

            eye
             |            toward, the depth axis: more is nearer
        -----+----- face  the edge a-b goes behind the face at the
       a----/             outline (a clip by three half-planes) and
           /----b         below its plane (a clip by one more)
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from casewright.geometry.model import Body, Cabinet, Piece, Point3
from casewright.outputs.drawings.apart import moved_apart
from casewright.outputs.drawings.placing import Point
from casewright.outputs.drawings.seen_solids import (
    FINE,
    Bools,
    Indices,
    SeenSolid,
    grouped,
    seen_solids,
)
from casewright.outputs.drawings.viewpoint import Floats, View

_BEHIND = 0.02  # mm that an edge must lie behind a face; what lies in it is seen
_INSIDE = 1e-6  # mm past a triangle's side, so that neighbors leave no gap
_BUNCH = 128  # edges looked at in one go


@dataclass(frozen=True)
class SeenLine:
    """An edge or a run of edges of one piece or body in the picture, x right, y up. [mm]"""

    key: str
    points: tuple[Point, ...]

    @property
    def is_closed(self) -> bool:
        """Whether it ends where it starts."""
        return len(self.points) > 2 and self.points[0] == self.points[-1]


@dataclass(frozen=True)
class LinePicture:
    """What a view shows."""

    visible: tuple[SeenLine, ...]
    hidden: tuple[SeenLine, ...]
    """Empty if not asked for."""


def project_lines(
    cabinet: Cabinet,
    view: View,
    *,
    explode: float = 0.0,
    bodies: bool = True,
    hidden: bool = False,
    least: float = 0.3,
) -> LinePicture:
    """The edges of a cabinet as seen from a direction.

    Args:
        cabinet: The cabinet.
        view: The direction to look from.
        explode: Pieces moved away from the middle by this share of their distance; 0 as it stands.
        bodies: Also draw the solid bodies of parts.
        hidden: Also give what is hidden.
        least: Shorter bits of a line are left out. [mm]
    """
    things, moves = things_of(cabinet, bodies=bodies), moves_of(cabinet, explode)
    return lines_of(things, view, moves=moves, hidden=hidden, least=least)


def lines_of(
    things: Sequence[Piece | Body],
    view: View,
    *,
    moves: Mapping[str, Point3] | None = None,
    hidden: bool = False,
    least: float = 0.3,
) -> LinePicture:
    """The same for any pieces and bodies; `moves` by key carries some of them elsewhere. [mm]"""
    keys, shapes = seen_solids(things, view, moves)
    return lines_of_solids(keys, shapes, hidden=keys if hidden else (), least=least)


def lines_of_solids(
    keys: Sequence[str],
    shapes: Sequence[SeenSolid],
    *,
    groups: Sequence[object] = (),
    hidden: Collection[str] = (),
    least: float = 0.3,
) -> LinePicture:
    """The same for solids that are in a view's axes already.

    Args:
        keys: Of the solids.
        shapes: The solids.
        groups: Solids of the same group hide others in one go, for less work; each alone if left out.
        hidden: Keys of those whose hidden lines are asked for.
        least: Shorter bits of a line are left out. [mm]
    """
    if not shapes:
        return LinePicture((), ())
    owner = np.repeat(np.arange(len(shapes)), [len(shape.start) for shape in shapes])
    start = np.concatenate([shape.start for shape in shapes])
    end = np.concatenate([shape.end for shape in shapes])
    turned_away = np.concatenate([shape.turned_away for shape in shapes])
    covered = _Covered(start, end, turned_away)
    for shape in sorted(grouped(shapes, groups), key=lambda shape: -shape.area):
        covered.by(shape)
    seen, unseen = covered.parts(least)
    asked = np.array([key in hidden for key in keys])
    unseen = unseen.some(asked[owner[unseen.edge]])
    return LinePicture(_joined(keys, owner, seen), _joined(keys, owner, unseen))


def things_of(cabinet: Cabinet, *, bodies: bool) -> list[Piece | Body]:
    """What is drawn of a cabinet: its pieces and, on wish, the solid bodies of its parts."""
    solids = [body for body in cabinet.bodies if bodies and body.kind == "solid"]
    return [*cabinet.pieces, *solids]


def moves_of(cabinet: Cabinet, explode: float) -> Mapping[str, Point3]:
    """How things move when the cabinet is taken apart by a share; empty for 0. [mm]"""
    return moved_apart(cabinet, explode, tolerance=FINE.off) if explode else {}


# ---- what covers what -----------------------------------------------------------------------------------------------


class _Covered:
    """Edges, and the stretches of each that something covers."""

    def __init__(self, start: Floats, end: Floats, turned_away: Bools) -> None:
        self.start, self.end = start, end
        self.step = end - start
        self.flat = np.ascontiguousarray(np.hstack((start[:, :2], self.step[:, :2])).T)
        """x and y of the starts, and of the steps."""
        # One row an axis: what is compared in one go stands together.
        self.low = np.ascontiguousarray(np.minimum(start, end).T)
        self.high = np.ascontiguousarray(np.maximum(start, end).T)
        self.whole = turned_away.copy()
        """Edges covered from end to end by one face."""
        self.stretches: list[tuple[Indices, Floats, Floats]] = []

    def by(self, shape: SeenSolid) -> None:
        """Find the stretches that a shape's faces cover."""
        near = ~self.whole
        for axis in (0, 1):
            near &= self.low[axis] <= shape.high[axis] + _INSIDE
            near &= self.high[axis] >= shape.low[axis] - _INSIDE
        near &= self.low[2] < shape.high[2] - _BEHIND
        edges = np.nonzero(near)[0]
        if not len(edges) or not len(shape.triangles):
            return
        low, high = shape.triangle_boxes
        low, high = low - _INSIDE, high + _INSIDE
        high[2] -= _BEHIND
        rows, columns = [], []
        # Edges of one solid stand together, so that a few of them meet few of the triangles.
        for at in range(0, len(edges), _BUNCH):
            some = edges[at : at + _BUNCH]
            least, most = self.low[:, some], self.high[:, some]
            meet = high[2] > least[2].min()
            for axis in (0, 1):
                meet &= low[axis] < most[axis].max()
                meet &= high[axis] > least[axis].min()
            there = np.nonzero(meet)[0]
            if not len(there):
                continue
            near = least[2][:, None] < high[2, there]
            for axis in (0, 1):
                near &= least[axis][:, None] < high[axis, there]
                near &= most[axis][:, None] > low[axis, there]
            i, j = np.nonzero(near)
            rows.append(some[i])
            columns.append(there[j])
        if rows:
            row, column = np.concatenate(rows), np.concatenate(columns)
            self._settle(*self._clip(row, shape, column))

    def _settle(self, edge: Indices, low: Floats, high: Floats) -> None:
        """Mark the edges that these cover from end to end, so that no other shape need be asked."""
        if not len(edge):
            return
        order = np.lexsort((low, edge))
        edge, low, high = edge[order], low[order], high[order]
        reach = _reach(edge, high)
        first = np.concatenate(([True], edge[1:] != edge[:-1]))
        torn = ~first
        torn[1:] &= low[1:] > reach[:-1] + 1e-9
        torn |= first & (low > 0.0)
        last = np.concatenate((first[1:], [True]))
        torn |= last & (reach < 1.0 - 1e-9)
        broken = np.zeros(len(self.start), dtype=bool)
        broken[edge[torn]] = True
        self.whole[edge[~broken[edge]]] = True

    def _clip(
        self, edge: Indices, shape: SeenSolid, column: Indices
    ) -> tuple[Indices, Floats, Floats]:
        """Stretches of edges inside triangles and behind them, pair by pair."""
        enter, leave = np.zeros(len(edge)), np.ones(len(edge))
        for side in shape.triangle_sides:
            # Most pairs only have boxes that meet: what one side leaves nothing of need not meet the next.
            x, y, along, up = (ends.take(edge) for ends in self.flat)
            corner_x, corner_y, wide, high, long = (ends.take(column) for ends in side)
            away, above = x - corner_x, y - corner_y
            _halve(
                enter,
                leave,
                (wide * above - high * away) / long + _INSIDE,
                (wide * up - high * along) / long,
            )
            left = np.nonzero(leave > enter)[0]
            edge, column, enter, leave = edge[left], column[left], enter[left], leave[left]
        normal = shape.triangle_normals[column]
        away3 = self.start[edge] - shape.triangles[column, 0]
        below = -np.einsum("ij,ij->i", normal, away3)
        _halve(enter, leave, below - _BEHIND, -np.einsum("ij,ij->i", normal, self.step[edge]))
        found = leave > enter
        edge, enter, leave = edge[found], enter[found], leave[found]
        self.stretches.append((edge, enter, leave))
        return edge, enter, leave

    def parts(self, least: float) -> tuple[_Parts, _Parts]:
        """Stretches that are seen and that are hidden, the short ones left out. [mm]"""
        count = len(self.start)
        whole = np.nonzero(self.whole)[0]
        gathered = [*self.stretches, (whole, np.zeros(len(whole)), np.ones(len(whole)))]
        # A stretch of no length at either end of each edge, so that each gap lies between two.
        all_edges = np.arange(count)
        gathered += [(all_edges, np.full(count, x), np.full(count, x)) for x in (0.0, 1.0)]
        edge = np.concatenate([e for e, _, _ in gathered])
        low = np.concatenate([a for _, a, _ in gathered])
        high = np.concatenate([b for _, _, b in gathered])
        order = np.lexsort((low, edge))
        edge, low, high = edge[order], low[order], high[order]
        reach = _reach(edge, high)
        follows = np.concatenate((edge[1:] == edge[:-1], [False]))
        length = np.hypot(self.step[edge, 0], self.step[edge, 1])
        nexts = np.concatenate((low[1:], [1.0]))
        gap = follows & ((nexts - reach) * length > _INSIDE)
        shown = gap & ((nexts - reach) * length > least)
        seen = _Parts.of(self, edge[shown], reach[shown], nexts[shown])
        # What is covered lies between the gaps: from the end of one to the start of the next.
        first = np.concatenate(([True], edge[1:] != edge[:-1]))
        last = ~follows
        begins = first | np.concatenate(([False], gap[:-1]))
        ends = last | gap
        unseen_edge = edge[begins]
        unseen_low, unseen_high = low[begins], np.minimum(reach[ends], 1.0)
        long = (unseen_high - unseen_low) * length[begins] > least
        return seen, _Parts.of(self, unseen_edge[long], unseen_low[long], unseen_high[long])


def _reach(edge: Indices, high: Floats) -> Floats:
    """How far each edge is covered up to here, of stretches sorted by edge and start."""
    # Edges set apart by 2 on one axis make one running maximum do for all.
    running: Floats = np.maximum.accumulate(high + 2.0 * edge) - 2.0 * edge
    return running


def _halve(enter: Floats, leave: Floats, value: Floats, rate: Floats) -> None:
    """Narrow stretches to where `value + t rate` is above 0."""
    level = np.abs(rate) < 1e-12
    at = -value / np.where(level, 1.0, rate)
    np.copyto(enter, np.maximum(enter, at), where=~level & (rate > 0))
    np.copyto(leave, np.minimum(leave, at), where=~level & (rate < 0))
    np.copyto(leave, -1.0, where=level & (value <= 0))


# ---- joining --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Parts:
    """Stretches of edges in the picture."""

    edge: Indices
    start: Floats
    end: Floats

    @staticmethod
    def of(covered: _Covered, edge: Indices, low: Floats, high: Floats) -> _Parts:
        start, step = covered.start[edge, :2], covered.step[edge, :2]
        ends = (np.round(start + step * at[:, None], 4) + 0.0 for at in (low, high))
        return _Parts(edge, *ends)

    def some(self, which: Bools) -> _Parts:
        return _Parts(self.edge[which], self.start[which], self.end[which])


def _joined(keys: Sequence[str], owner: Indices, parts: _Parts) -> tuple[SeenLine, ...]:
    """Stretches of one thing that meet end to end as runs, no stretch twice."""
    spots: dict[tuple[int, float, float], int] = {}
    links: list[list[int]] = []
    """Of each spot of a thing, the spots that a stretch leads to."""
    drawn: set[tuple[float, float, float, float]] = set()
    for key, (ax, ay), (bx, by) in zip(
        owner[parts.edge].tolist(), parts.start.tolist(), parts.end.tolist(), strict=True
    ):
        stretch = (ax, ay, bx, by) if (ax, ay) < (bx, by) else (bx, by, ax, ay)
        if (ax == bx and ay == by) or stretch in drawn:
            continue
        drawn.add(stretch)
        p = spots.setdefault((key, ax, ay), len(links))
        if p == len(links):
            links.append([])
        q = spots.setdefault((key, bx, by), len(links))
        if q == len(links):
            links.append([])
        links[p].append(q)
        links[q].append(p)
    places = list(spots)
    lines = []
    # From loose ends and forks first; what is left are closed rings.
    for start in sorted(spots.values(), key=lambda spot: (len(links[spot]) == 2, places[spot])):
        while links[start]:
            run = [start]
            while links[run[-1]]:
                here = run[-1]
                there = links[here].pop()
                links[there].remove(here)
                run.append(there)
                if len(links[there]) != 1:
                    break
            key = places[start][0]
            lines.append(SeenLine(keys[key], _straightened([places[spot][1:] for spot in run])))
    return tuple(lines)


def _straightened(run: Sequence[Point]) -> tuple[Point, ...]:
    """The run without points in the middle of straight stretches."""
    kept = [run[0]]
    for here, after in pairwise(run[1:]):
        ax, ay = here[0] - kept[-1][0], here[1] - kept[-1][1]
        bx, by = after[0] - here[0], after[1] - here[1]
        if abs(ax * by - ay * bx) > 1e-4 * max(math.hypot(ax, ay), math.hypot(bx, by), 1e-9):
            kept.append(here)
    return (*kept, run[-1])


__all__ = [
    "LinePicture",
    "SeenLine",
    "lines_of",
    "lines_of_solids",
    "moves_of",
    "project_lines",
    "things_of",
]
