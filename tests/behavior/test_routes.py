"""Ways for wires through a box whose distances can be told by hand: 600 wide, 300 deep, 200 high, of 12 mm board."""

from __future__ import annotations

import math
from itertools import pairwise, permutations

import pytest
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import dijkstra
from tests.checks.bench import box, button, device, lever, merged, subject_of

from casewright.behavior.laying import entry_of, laid_length
from casewright.behavior.routes import Way, routes_of
from casewright.design.wiring import WiringWishes

PLUG = {
    "kind": "fitting",
    "measured": {
        "role": "inlet",
        "hole": 15,
        "flange_width": 22,
        "flange_height": 22,
        "behind": 25,
    },
}


def routed(**parts):
    data = box(parts=parts)
    cabinet = subject_of(data).cabinet
    return cabinet, routes_of(cabinet)


def test_on_one_board_the_way_is_square_to_its_edges():
    """Two boxes on the base, 200 apart to the right and 100 to the back: 300."""
    _, routes = routed(
        one=device("one", 150, 100),
        two=device("two", 350, 200),
    )
    assert routes.way("one", "two").length == pytest.approx(300.0)
    assert routes.way("two", "one").length == pytest.approx(300.0)
    assert routes.way("one", "one").length == 0


def test_from_the_deck_to_the_base_it_goes_round_a_side_or_down_the_front():
    """The way never leaves the inside's edges and boards: each leg lies along x or in the profile."""
    cabinet, routes = routed(
        buttons=button((100, 200)),
        board=device("board", 300, 150),
    )
    way = routes.way("b1", "board")
    profile = routes.profile
    ys, zs = [p[0] for p in profile], [p[1] for p in profile]
    for a, b in pairwise(way.points):
        moved = [abs(p - q) > 1e-6 for p, q in zip(a, b, strict=True)]
        assert sum(moved) <= 1, (a, b)
    for x, y, z in way.points:
        assert routes.left - 1e-6 <= x <= routes.right + 1e-6
        on_wall = min(abs(y - min(ys)), abs(y - max(ys)), abs(z - min(zs)), abs(z - max(zs)))
        assert on_wall < 1e-6
    # Straight through the air is shorter, twice round the box is longer.
    places = {p.key: p.frame.origin for p in cabinet.placed}
    assert math.dist(places["b1"], places["board"]) < way.length < 2 * (600 + 300 + 200)


def test_shortest_ways_against_a_general_library():
    """The same graph given to scipy's own search; on boards that all stay, what it costs is its length."""
    _, routes = routed(
        buttons=button((100, 200), (400, 80)),
        board=device("board", 300, 150),
        other=device("other", 500, 60),
    )
    nodes, names, joined = routes._graph
    best: dict[tuple[int, int], float] = {}
    for a, ends in joined.items():
        for b, length, price in ends:
            assert length == price
            best[a, b] = min(length + 1e-9, best.get((a, b), math.inf))
    a_s, b_s = zip(*best, strict=True)
    matrix = coo_matrix((list(best.values()), (a_s, b_s)), shape=(len(nodes), len(nodes))).tocsr()
    far = dijkstra(matrix, directed=False)
    compared = 0
    for a, b in permutations(names, 2):
        if routes.seats[a].edge != routes.seats[b].edge:
            off = routes.seats[a].off + routes.seats[b].off
            expected = far[names[a], names[b]] + off
            assert routes.way(a, b).length == pytest.approx(expected, abs=1e-4)
            compared += 1
    assert compared >= 8


def test_a_board_that_comes_off_asks_for_a_loop():
    _, routes = routed(
        board=device("board", 300, 150),
        plug=merged(PLUG, {"placed": [{"key": "plug", "on": "back", "u": 80, "v": 60}]}),
    )
    assert routes.seats["plug"].loose == "back"
    way = routes.way("plug", "board")
    assert way.loops == 1
    wishes = WiringWishes()
    # By hand: way × 1.1 + 2 × 80 + 250, to the next 10.
    expected = math.ceil((way.length * 1.1 + 160 + 250) / 10 - 1e-9) * 10
    assert laid_length(way, wishes) == expected
    more = wishes.model_copy(update={"slack": 0.3})
    assert laid_length(way, more) > laid_length(way, wishes)


def test_a_way_that_is_not_there_is_taken_as_a_metre():
    assert laid_length(Way(math.inf, (), 0), WiringWishes()) == pytest.approx(1260.0)


def test_a_chain_takes_the_nearest_next():
    _, routes = routed(
        buttons=button((100, 100), (400, 100), (200, 100), (300, 100)),
        board=device("board", 60, 150),
    )
    assert routes.chain("b1", ["b2", "b3", "b4"]) == ("b3", "b4", "b2")


def test_power_comes_in_by_the_inlet_and_its_switch():
    switch = merged(PLUG, {"measured": {"role": "switch"}})
    cabinet, _ = routed(
        plug=merged(PLUG, {"placed": [{"key": "plug", "on": "back", "u": 80, "v": 60}]}),
        switch=merged(switch, {"placed": [{"key": "power", "on": "back", "u": 160, "v": 60}]}),
        lever=lever(300, 150),
    )
    entry = entry_of(cabinet)
    assert (entry.source, entry.switch, entry.hub) == ("plug", "power", "power")
    bare, _ = routed()
    assert entry_of(bare).hub == ""
