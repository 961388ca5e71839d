"""Ways for wires: along the cabinet's inner edges, from part to part.

Wires lie where they can be held: across a panel's back face, along the corners between two panels, and round the
inside of both sides, where the cleats are. The graph has a node wherever two such ways meet.
"""

from __future__ import annotations

import heapq
import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise

from casewright.behavior.feeds import feeds_of
from casewright.behavior.loads import power_loads
from casewright.catalog.kinds import Foot, Grip, Hardware, Port, Vent
from casewright.geometry.inside import clear_inside
from casewright.geometry.model import Cabinet, Placed, Point2, Point3

LOOSE = 3.0
"""A way across a board that comes off counts so many times, so that wires keep to what stays. Common practice."""

LEAD_STEP = 60.0
"""From a socket to the strain relief of a lead beside it. [mm] Common practice."""

_SAME = 1e-6
_UNWIRED = (Foot, Grip, Hardware, Port, Vent)

_Graph = tuple[list[Point3], dict[str, int], dict[int, list[tuple[int, float, float]]]]


@dataclass(frozen=True)
class Seat:
    """Where a part's wires reach the inside of the cabinet."""

    key: str
    edge: int
    """Edge of the inside's profile that it is nearest to."""
    x: float
    at: Point2
    """On that edge, in (y, z). [mm]"""
    off: float
    """From the part to there. [mm]"""
    loose: str
    """Key of the board that it comes off with; "" where its board stays."""


@dataclass(frozen=True)
class Way:
    """A way between two parts."""

    length: float
    """[mm]; infinite where there is none."""
    points: tuple[Point3, ...]
    """In the cabinet frame, from the first part to the second."""
    loops: int
    """How many times it passes from a board that comes off to one that stays."""


@dataclass(frozen=True)
class Routes:
    """All ways of one cabinet."""

    profile: tuple[Point2, ...]
    """Clear inside in the side view, (y, z)."""
    left: float
    right: float
    """x of both sides' inner faces. [mm]"""
    barred: frozenset[int]
    """Corners of the profile between two panels that both come off: nothing is laid along them."""
    seats: Mapping[str, Seat]
    _found: dict[str, tuple[list[float], list[int]]] = field(
        default_factory=dict, compare=False, repr=False
    )
    """Shortest ways by where they start, kept while this value lives."""

    _ways: dict[tuple[str, str], Way] = field(default_factory=dict, compare=False, repr=False)
    """Ways by where they start and end, kept as well."""

    def way(self, start: str, end: str) -> Way:
        """The shortest way from part to part."""
        pair = (start, end)
        if pair not in self._ways:
            self._ways[pair] = self._way(start, end)
        return self._ways[pair]

    def _way(self, start: str, end: str) -> Way:
        if start == end or start not in self.seats or end not in self.seats:
            return Way(0.0 if start == end else math.inf, (), 0)
        a, b = self.seats[start], self.seats[end]
        loops = 0 if a.loose == b.loose else bool(a.loose) + bool(b.loose)
        if self._share_a_board(a, b):
            return self._across(a, b)
        sought = self._sought_from(start, end)
        points = self._along(*sought)
        length = self._length_along(*sought)
        return Way(length, points if sought[0] == start else points[::-1], loops)

    def _length(self, start: str, end: str) -> float:
        """How long the way is, without its points. [mm]"""
        if (start, end) in self._ways:
            return self._ways[start, end].length
        if start == end or start not in self.seats or end not in self.seats:
            return 0.0 if start == end else math.inf
        a, b = self.seats[start], self.seats[end]
        if self._share_a_board(a, b):
            return self._length_across(a, b)
        return self._length_along(*self._sought_from(start, end))

    def _share_a_board(self, a: Seat, b: Seat) -> bool:
        return a.edge == b.edge and a.loose == b.loose

    def _sought_from(self, start: str, end: str) -> tuple[str, str]:
        """The ends of a way, first the one that is known or serves more pairs: its length is the same from both."""
        a, b = self.seats[start], self.seats[end]
        if end in self._found or (start not in self._found and self._before(b, a)):
            return end, start
        return start, end

    def _before(self, a: Seat, b: Seat) -> bool:
        """Whether ways are sought from the first of two: the one with fewer others on its edge."""
        return (self._crowd[a.edge], a.key) < (self._crowd[b.edge], b.key)

    @cached_property
    def _crowd(self) -> Mapping[int, int]:
        """Parts by edge."""
        return Counter(seat.edge for seat in self.seats.values())

    def _ways_from(self, start: str) -> tuple[list[float], list[int]]:
        if start not in self._found:
            self._found[start] = self._shortest(self._graph[1][start])
        return self._found[start]

    def _length_along(self, start: str, end: str) -> float:
        """Of the shortest way through the graph; infinite where there is none. [mm]"""
        far, _ = self._ways_from(start)
        return far[self._graph[1][end]] + self.seats[start].off + self.seats[end].off

    def _along(self, start: str, end: str) -> tuple[Point3, ...]:
        """The points of the shortest way through the graph; none where there is none."""
        nodes, names, _ = self._graph
        far, back = self._ways_from(start)
        path = [names[end]]
        if math.isinf(far[path[0]]):
            return ()
        while back[path[-1]] >= 0:
            path.append(back[path[-1]])
        return tuple(nodes[n] for n in reversed(path))

    def _length_across(self, a: Seat, b: Seat) -> float:
        return abs(a.x - b.x) + math.dist(a.at, b.at) + a.off + b.off

    def _across(self, a: Seat, b: Seat) -> Way:
        """Both on one panel: across it, square to its edges."""
        points = ((a.x, *a.at), (b.x, *a.at), (b.x, *b.at))
        return Way(self._length_across(a, b), points, 0)

    def nearest(self, start: str, others: Iterable[str]) -> str | None:
        """Which of some parts has the shortest way from one; the first of those equally near."""
        those = tuple(others)
        if len(those) < 2:
            return next(iter(those), None)
        return min(those, key=lambda key: self._length(start, key))

    def chain(self, start: str, others: Iterable[str]) -> tuple[str, ...]:
        """Some parts in an order that makes a short chain: always the nearest one next."""
        left, order, here = list(dict.fromkeys(others)), [], start
        while left:
            here = self.nearest(here, left) or left[0]
            left.remove(here)
            order.append(here)
        return tuple(order)

    @cached_property
    def _graph(self) -> _Graph:
        """Nodes, the node of each part, and what is joined to what at which length and cost."""
        nodes: list[Point3] = []
        joined: dict[int, list[tuple[int, float, float]]] = defaultdict(list)

        def node(point: Point3) -> int:
            nodes.append(point)
            return len(nodes) - 1

        def join(a: int, b: int, times: float = 1.0) -> None:
            length = math.dist(nodes[a], nodes[b])
            joined[a].append((b, length, length * times))
            joined[b].append((a, length, length * times))

        count = len(self.profile)
        # Nodes on each side by how far round the profile they lie, and on each corner by x.
        round_side: dict[float, list[tuple[float, int]]] = {self.left: [], self.right: []}
        on_corner: dict[int, list[tuple[float, int]]] = defaultdict(list)
        for index, (y, z) in enumerate(self.profile):
            for x in (self.left, self.right):
                made = node((x, y, z))
                round_side[x].append((float(index), made))
                on_corner[index].append((x, made))
        names: dict[str, int] = {}
        for key, seat in self.seats.items():
            here = names[key] = node((seat.x, *seat.at))
            a, b = self.profile[seat.edge], self.profile[(seat.edge + 1) % count]
            times = LOOSE if seat.loose else 1.0
            share = math.dist(a, seat.at) / max(math.dist(a, b), _SAME)
            for x in (self.left, self.right):
                made = node((x, *seat.at))
                round_side[x].append((seat.edge + share, made))
                join(here, made, times)
            for corner in (seat.edge, (seat.edge + 1) % count):
                made = node((seat.x, *self.profile[corner]))
                on_corner[corner].append((seat.x, made))
                join(here, made, times)
        for ring in round_side.values():
            ring.sort()
            for (_, a_node), (_, b_node) in zip(ring, (*ring[1:], ring[0]), strict=True):
                join(a_node, b_node)
        for corner, line in on_corner.items():
            line.sort()
            if corner in self.barred:
                continue
            for (_, a_node), (_, b_node) in pairwise(line):
                join(a_node, b_node)
        return nodes, names, joined

    def _shortest(self, start: int) -> tuple[list[float], list[int]]:
        """Length to every node along the way that costs least, infinite where there is none, and the node before it.

        Source:
            Dijkstra, A note on two problems in connexion with graphs, 1959.
        """
        nodes, _, joined = self._graph
        far, cost, back = ([math.inf] * len(nodes), [math.inf] * len(nodes), [-1] * len(nodes))
        far[start] = cost[start] = 0.0
        queue = [(0.0, start)]
        push, pop = heapq.heappush, heapq.heappop
        while queue:
            paid, here = pop(queue)
            if paid > cost[here]:
                continue
            for there, length, price in joined[here]:
                more = paid + price
                if more < cost[there] - _SAME:
                    cost[there], back[there], far[there] = more, here, far[here] + length
                    push(queue, (more, there))
        return far, back


def routes_of(cabinet: Cabinet) -> Routes:
    """All ways of a cabinet; without a clear inside there are none, and every length is infinite.

    A supply's lead that no part brings in has a place too: beside where the main power comes in, else low at the back.
    """
    profile = clear_inside(tuple(cabinet.shape.corners.values()), cabinet.slabs)
    sides = [piece.thickness for piece in cabinet.pieces if piece.kind == "side"]
    side = max(sides, default=0.0)
    left, right = side, cabinet.shape.width - side
    if len(profile) < 3 or right <= left:
        return Routes((), 0.0, 0.0, frozenset(), {})
    fixed = [
        _stays(cabinet, a, b) for a, b in zip(profile, (*profile[1:], profile[0]), strict=True)
    ]
    # Corner i lies between edge i - 1 and edge i.
    barred = frozenset(i for i in range(len(profile)) if not (fixed[i - 1] or fixed[i]))
    seats = {
        p.key: _seat(cabinet, p, profile, left, right)
        for p in cabinet.placed
        if not isinstance(p.part.data, _UNWIRED)
    }
    feeds = feeds_of(cabinet, power_loads(cabinet))
    main = seats.get(feeds.main.source) if feeds.main else None
    for number, feed in enumerate(feeds.leads, 1):
        seats[feed.source] = _lead_seat(feed.source, number, main, profile, left, right)
    return Routes(profile, left, right, barred, seats)


def _lead_seat(
    key: str,
    number: int,
    main: Seat | None,
    profile: Sequence[Point2],
    left: float,
    right: float,
) -> Seat:
    """Where a lead comes in: a step beside the main socket, toward the middle; else low in the middle of the back."""
    middle = (left + right) / 2
    if main is None:
        back, low = max(y for y, _ in profile), min(z for _, z in profile)
        edge, at, _ = _nearest_on(profile, (back, low + LEAD_STEP))
        return Seat(key, edge, middle, at, 0.0, "")
    step = LEAD_STEP * number * (1 if main.x <= middle else -1)
    return replace(main, key=key, x=min(max(main.x + step, left), right), off=0.0)


def _stays(cabinet: Cabinet, a: Point2, b: Point2) -> bool:
    """Whether the panel behind an edge of the profile is glued in."""
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    slab = min(
        cabinet.slabs,
        key=lambda slab: _nearest_on(slab.polygon, middle)[2],
        default=None,
    )
    if slab is None or _nearest_on(slab.polygon, middle)[2] > 1.0:
        return True  # an open run: the sides stay
    return cabinet.shape.panels[slab.panel].fixing == "glued"


def _seat(
    cabinet: Cabinet, placed: Placed, profile: Sequence[Point2], left: float, right: float
) -> Seat:
    x, y, z = placed.frame.origin
    edge, at, off = _nearest_on(profile, (y, z))
    piece = cabinet.piece_by_key.get(placed.piece)
    stays = piece is None or piece.fixing in ("glued", "bolted") or piece.kind in ("side", "inner")
    beyond = min(max(x, left), right)
    return Seat(placed.key, edge, beyond, at, off, "" if stays else placed.piece)


def _nearest_on(outline: Sequence[Point2], point: Point2) -> tuple[int, Point2, float]:
    """Edge of a closed outline nearest to a point, the place on it, and how far off. [mm]"""
    best = (0, outline[0], math.inf)
    for index, (a, b) in enumerate(zip(outline, (*outline[1:], outline[0]), strict=True)):
        dy, dz = b[0] - a[0], b[1] - a[1]
        square = dy * dy + dz * dz
        along = ((point[0] - a[0]) * dy + (point[1] - a[1]) * dz) / square if square else 0.0
        along = min(max(along, 0.0), 1.0)
        at = (a[0] + along * dy, a[1] + along * dz)
        off = math.dist(at, point)
        if off < best[2]:
            best = (index, at, off)
    return best


__all__ = ["LEAD_STEP", "Routes", "Seat", "Way", "routes_of"]
