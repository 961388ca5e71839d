"""A small project for recipes, with round sizes, to be varied by each test."""

from __future__ import annotations

from typing import Any

from tests.strategies import known

from casewright.basics.reckoning import Reckoning
from casewright.design.project import Project
from casewright.geometry.model import SolvedShape
from casewright.geometry.recipes import solve_shape

DISPLAY = {
    "lit_width": 500,
    "lit_height": 300,
    "housing_width": 520,
    "housing_height": 320,
    "housing_depth": 40,
}


def display(**placed: Any) -> dict[str, Any]:
    return {
        "kind": "display",
        "measured": DISPLAY,
        "placed": [{"key": "display", "on": "screen", **placed}],
    }


def button(**placed: Any) -> dict[str, Any]:
    """Bezel and nut 30 across, 50 deep."""
    return {
        "kind": "button",
        "measured": {
            "hole": 24,
            "bezel": 30,
            "nut": 30,
            "grip_most": 25,
            "body": 23,
            "behind": 50,
        },
        "placed": [{"key": "button", "on": "deck", **placed}],
    }


def project(shape: dict[str, Any], parts: dict[str, Any] | None = None, **more: Any) -> Project:
    """Boards of 12 mm, sides of 18 mm, on a table 740 mm high."""
    return Project.model_validate(
        {
            "name": "bench",
            "materials": {
                "ply": {"kind": "plywood", "nominal": 12},
                "side": {"kind": "plywood", "nominal": 18},
                "clear": {"kind": "acrylic", "nominal": 3},
            },
            "site": {"height": 740},
            "shape": {"side": {"material": "side"}, "board": "ply", **shape},
            "parts": parts or {},
            **more,
        }
    )


def solved(shape: dict[str, Any], parts: dict[str, Any] | None = None, **more: Any) -> SolvedShape:
    made = project(shape, parts, **more)
    return solve_shape(made, known(made))


def number(shape: SolvedShape, key: str) -> Reckoning:
    return next(n for n in shape.numbers if n.key == key)


def run_of(shape: SolvedShape, panel: str):
    return next(run for run in shape.runs if run.panel == panel)
