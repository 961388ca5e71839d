"""The least-change problem against a general solver."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp
from tests.strategies import examples

from casewright.planning.as_built.least_change import least_changes


def fewest(effect: np.ndarray, gap: np.ndarray, one_way: np.ndarray, largest: float) -> int | None:
    """Fewest columns that close all gaps to a thousandth, by mixed-integer programming (HiGHS through scipy)."""
    rows, columns = effect.shape
    # Variables: steps, then a switch for each.
    cost = np.r_[np.zeros(columns), np.ones(columns)]
    low = -gap - 1e-3
    high = np.where(one_way, np.inf, -gap + 1e-3)
    closing = LinearConstraint(np.c_[effect, np.zeros((rows, columns))], low, high)
    eye = np.eye(columns)
    switched = LinearConstraint(
        np.r_[np.c_[eye, -largest * eye], np.c_[eye, largest * eye]],
        np.r_[np.full(columns, -np.inf), np.zeros(columns)],
        np.r_[np.zeros(columns), np.full(columns, np.inf)],
    )
    from scipy.optimize import Bounds

    bounds = Bounds(
        np.r_[np.full(columns, -largest), np.zeros(columns)],
        np.r_[np.full(columns, largest), np.ones(columns)],
    )
    found = milp(
        cost,
        constraints=[closing, switched],
        bounds=bounds,
        integrality=np.r_[np.zeros(columns), np.ones(columns)],
    )
    return round(found.fun) if found.success else None


@settings(max_examples=examples(60))
@given(st.data())
def test_no_solver_needs_fewer_dimensions(data: st.DataObject) -> None:
    rows, columns = data.draw(st.integers(2, 5)), data.draw(st.integers(2, 5))
    whole = st.integers(-3, 3)
    effect = np.array([[data.draw(whole) for _ in range(columns)] for _ in range(rows)], float)
    steps = np.array([data.draw(st.integers(-4, 4)) for _ in range(columns)], float)
    steps[np.argsort(np.abs(steps))[: max(0, columns - 2)]] = 0.0  # two at most
    gap = -effect @ steps
    one_way = np.zeros(rows, dtype=bool)
    found = least_changes(
        effect, gap, [1.0] * columns, tolerance=1e-3, largest=[10.0] * columns, at_least=one_way
    )
    wanted = fewest(effect, gap, one_way, 10.0)
    if not np.abs(gap).max() > 1e-3:
        assert found == ()
        return
    assert found and len(found[0].columns) == wanted
    left = gap + effect[:, found[0].columns] @ np.array(found[0].steps)
    assert np.abs(left).max() < 2e-3


def test_a_gap_one_way_is_closed_and_no_more() -> None:
    # By hand: the first column closes the short row and opens the second, which may only grow.
    effect = np.array([[1.0, 1.0], [1.0, -1.0]])
    gap = np.array([-2.0, 0.0])
    one_way = np.array([True, True])
    first = least_changes(
        effect, gap, [1.0, 1.0], tolerance=0.01, largest=[5.0, 5.0], at_least=one_way
    )[0]
    assert first.columns == (0,) and first.steps == pytest.approx((2.0,))


def test_nothing_moves_further_than_it_may() -> None:
    effect, gap = np.array([[1.0]]), np.array([-20.0])
    assert least_changes(effect, gap, [1.0], tolerance=0.1, largest=[12.0]) == ()


def test_what_costs_nothing_moves_with_any_set() -> None:
    # A loose piece 1 too short between two stops: only the stops' distance helps, wherever it lies.
    effect = np.array([[-1.0, 1.0], [0.0, -1.0]])
    gap = np.array([-0.4, -0.6])
    first = least_changes(
        effect, gap, [1.0, 0.0], tolerance=0.01, largest=[5.0, 9.0], at_least=np.array([True, True])
    )[0]
    assert first.columns == (0,) and first.steps == pytest.approx((-1.0,))
