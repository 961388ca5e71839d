"""Cut edges of fiberboard: sealed, not sealed, and exactly enough."""

from __future__ import annotations

import pytest
from tests.checks.bench import box, cures, found

from casewright.checks.rules import paint_edges

MDF = {"ply": {"kind": "mdf", "species": "mdf"}}


def mdf(**finish):
    return box(materials=MDF, finish=finish)


@pytest.mark.parametrize(
    "finish",
    [
        {},
        {"sealer": {"coats": 1}},  # with the primer's coat: just two
        {"sealer": {"coats": 0}, "primer": {"coats": 2}},
        {"sealer": {"coats": 0}, "primer": {"coats": 0}, "color": {"coats": 0}},  # left raw
    ],
)
def test_two_coats_are_enough(finish):
    assert found(paint_edges, mdf(**finish)) == []


@pytest.mark.parametrize(
    "finish",
    [
        {"sealer": {"coats": 0}},
        {"sealer": {"coats": 0}, "primer": {"coats": 0}},
        {"sealer": {"on": "faces"}, "primer": {"coats": 0}},
        {"sealer": {"on": "faces"}, "primer": {"on": "faces"}},
    ],
)
def test_fewer_are_found_and_cured(finish):
    assert len(found(paint_edges, mdf(**finish))) == 1
    cures(paint_edges, mdf(**finish))


def test_plywood_needs_none():
    assert found(paint_edges, box(finish={"sealer": {"coats": 0}, "primer": {"coats": 0}})) == []
