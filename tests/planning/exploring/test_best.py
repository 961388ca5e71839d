"""Variants that no other one beats, against the definition tried pair by pair."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.planning.exploring import Aim, Row, aims_named, best_of

AIMS = (Aim("cost"), Aim("sight", "more"), Aim("mass"))
values = st.lists(st.tuples(*[st.integers(0, 4)] * 3), max_size=25)


def dominates(a: Row, b: Row) -> bool:
    """Deb 2001, definition 2.5 (a value from memory): no worse in all objectives, strictly better in at least one."""
    signs = [(1 if aim.better == "less" else -1, aim.key) for aim in AIMS]
    pairs = [(sign * (a.figures[key] or 0), sign * (b.figures[key] or 0)) for sign, key in signs]
    return all(x <= y for x, y in pairs) and any(x < y for x, y in pairs)


@given(values)
def test_best_are_those_that_nobody_dominates(found: list[tuple[int, int, int]]) -> None:
    rows = [
        Row(n, {}, {"cost": float(a), "sight": float(b), "mass": float(c)})
        for n, (a, b, c) in enumerate(found, start=1)
    ]
    wanted = {row.number for row in rows if not any(dominates(other, row) for other in rows)}
    assert best_of(rows, AIMS) == wanted
    assert best_of(reversed(rows), AIMS) == wanted


def test_what_is_not_built_or_lacks_a_figure_is_not_compared() -> None:
    figures = {"cost": 9.0, "sight": 1.0, "mass": 9.0}
    rows = [
        Row(1, {}, figures),
        Row(2, {}, {}, "no such board"),
        Row(3, {}, {**figures, "cost": 1.0, "sight": None}),
    ]
    assert best_of(rows, AIMS) == {1}
    assert best_of([], AIMS) == frozenset()
    bare = [Row(1, {}, {"cost": 2.0, "sight": None}), Row(2, {}, {"cost": 1.0, "sight": None})]
    assert best_of(bare, AIMS) == {2}, "nobody has a display: sight is no aim"


def test_aims_are_named_with_their_way() -> None:
    assert aims_named(["cost", "sight", "deck.length more"], ["deck.length"]) == (
        Aim("cost"),
        Aim("sight", "more"),
        Aim("deck.length", "more"),
    )
    assert aims_named(["mass:more"]) == (Aim("mass", "more"),)
    assert {aim.key for aim in aims_named([])} >= {"cost", "sheets", "mass", "sight", "stops"}
    for wrong in ("weight", "cost cheap", "deck.length"):
        with pytest.raises(InputError):
            aims_named([wrong])
