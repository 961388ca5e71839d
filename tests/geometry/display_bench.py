"""Displays and signs on a panel, for tests: the two demo cabinets' parts on boards made by hand."""

from __future__ import annotations

from typing import Any

from tests.geometry.pieces_by_hand import board, frame, rectangle

from casewright.catalog.kinds import Display, Sign
from casewright.design.parts import KnownPart, Placement
from casewright.design.project import Project
from casewright.geometry.fitting import Fitted, Stack
from casewright.geometry.model import Piece, Placed
from casewright.geometry.placing import mounted_frame

DISPLAY_24 = Display(
    lit_width=527.0,
    lit_height=296.5,
    housing_width=541.0,
    housing_height=323.0,
    housing_depth=45.0,
    bezel_left=7.0,
    bezel_bottom=20.0,
    pattern_v=-4.0,
    pattern_thread_depth=9.0,
    connector_room=45.0,
)
"""Bezels left and right 7.0, bottom 20.0, top 6.5; mounting holes 4 below the middle."""

DISPLAY_21 = Display(
    lit_width=476.25,
    lit_height=268.2875,
    housing_width=492.125,
    housing_height=295.275,
    housing_depth=47.625,
    bezel_left=7.9375,
    bezel_bottom=19.05,
    pattern_thread_depth=8.0,
    connector_room=44.45,
)
"""18 3/4 × 10 9/16 lit, housing 19 3/8 × 11 5/8 × 1 7/8, bezels 5/16, bottom 3/4 (inches)."""

SIGN = Sign(opening_width=630.0, opening_height=64.0, row_length=550.0)


def project(**changes: Any) -> Project:
    return Project.model_validate(
        {
            "name": "bench",
            "materials": {
                "ply": {"kind": "plywood", "nominal": 12, "measured": 11.8},
                "thin": {"kind": "plywood", "nominal": 9, "measured": 8.8},
                "clear": {"kind": "acrylic", "nominal": 3},
                "dark": {"kind": "mdf", "nominal": 3},
            },
            "shop": {
                "bits": [
                    {"kind": "flush trim", "sizes": [12.7], "length": 25},
                    {"kind": "straight", "sizes": [8]},
                ]
            },
            "shape": {
                "recipe": "outline",
                "width": 700,
                "side": {"material": "ply"},
                "board": "ply",
                "corners": {"A": [0, 0], "B": [430, 0], "C": [430, 572], "D": [0, 572]},
            },
            **changes,
        }
    )


def stack(
    width: float = 670.6, height: float = 339.0, thickness: float = 11.8, overlay: str = ""
) -> Stack:
    """A panel leaning back by 19.3° from upright; `overlay` names the material of a 3 mm layer over it."""
    outline = rectangle(width, height)
    at = frame((14.7, 100.0, 200.0), 70.7)
    wood = board("screen", outline, thickness=thickness, at=at, material="ply")
    if not overlay:
        return Stack("screen", (wood,))
    cover = Piece(
        key="screen.cover",
        label="cover",
        kind="overlay",
        role="screen",
        material=overlay,
        thickness=3.0,
        frame=frame(at.point(0, 0, 3.0), 70.7),
        show=outline,
        back=outline,
        panel="screen",
    )
    return Stack("screen", (cover, wood))


def place(
    data: Display | Sign, on: Stack, u: float, v: float, turn: float = 0.0, **wish: Any
) -> Placed:
    known = KnownPart(key="thing", label="thing", data=data, origin={})
    return Placed(
        "it",
        "it",
        known,
        Placement.model_validate({"key": "it", "on": on.panel, **wish}),
        on.board.key,
        u,
        v,
        turn,
        "back",
        mounted_frame(on.board, on.pieces, "back", (u, v), turn),
    )


def numbers(fitted: Fitted) -> dict[str, float]:
    return {number.key.removeprefix("it."): number.value for number in fitted.numbers}


def rules(fitted: Fitted) -> set[str]:
    return {finding.rule for finding in fitted.findings}
