"""A panel on the bench, with or without an acrylic sheet over it, to fit parts to."""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter
from tests.geometry.pieces_by_hand import board, rectangle

from casewright.catalog.kinds import PartKind
from casewright.design.parts import KnownPart, Placement
from casewright.design.project import Project
from casewright.geometry.devices import fit_part
from casewright.geometry.fitting import Fitted, Stack
from casewright.geometry.model import Feature, Frame, Piece, Placed
from casewright.geometry.placing import mounted_frame

WIDTH, HEIGHT = 670.0, 250.0

BITS = [
    {"kind": "brad", "sizes": [2, 3, 4, 5, 6, 7, 8, 9, 10]},
    {"kind": "forstner", "sizes": [15, 16, 20, 24, 28.6, 30, 35]},
    {"kind": "hole saw", "sizes": [60]},
    {"kind": "flush trim", "sizes": [12.7], "length": 25},
    {"kind": "straight", "sizes": [8]},
]


def project(**changes: Any) -> Project:
    return Project.model_validate(
        {
            "name": "bench",
            "materials": {
                "ply": {"kind": "plywood", "nominal": 12},
                "clear": {"kind": "acrylic", "nominal": 3},
            },
            "shop": {"bits": BITS},
            "shape": {
                "recipe": "outline",
                "width": 700,
                "side": {"material": "ply"},
                "board": "ply",
                "corners": {"A": [0, 0], "B": [250, 0], "C": [250, 300], "D": [0, 300]},
            },
            **changes,
        }
    )


def stack(thickness: float = 12.0, overlay: float = 0.0) -> Stack:
    """A panel with its show face up at z = 0, its own n = 0 on the wood's show face below any overlay."""

    def level(z: float) -> Frame:
        return Frame((0.0, 0.0, z), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))

    outline = rectangle(WIDTH, HEIGHT)
    wood = board("deck", outline, thickness=thickness, at=level(-overlay))
    if overlay == 0:
        return Stack("deck", (wood,))
    clear = Piece(
        key="deck.cover",
        label="cover",
        kind="overlay",
        role="deck",
        material="clear",
        thickness=overlay,
        frame=level(0.0),
        show=outline,
        back=outline,
        panel="deck",
    )
    return Stack("deck", (clear, wood))


def part(kind: str, **data: Any) -> KnownPart:
    adapter: TypeAdapter[Any] = TypeAdapter(PartKind)
    return KnownPart(
        key="thing", label="thing", data=adapter.validate_python({"kind": kind, **data}), origin={}
    )


def fit(
    known: KnownPart,
    on: Stack,
    *,
    face: str = "show",
    u: float = 300.0,
    v: float = 120.0,
    turn: float = 0.0,
    shop: Project | None = None,
    **wish: Any,
) -> Fitted:
    """Fit one part by hand, without the walk through a whole project."""
    assert face in ("show", "back")
    where = "show" if face == "show" else "back"
    placed = Placed(
        "it",
        "it",
        known,
        Placement.model_validate({"key": "it", "on": "deck", **wish}),
        "deck",
        u,
        v,
        turn,
        where,
        mounted_frame(on.board, on.pieces, where, (u, v), turn),
    )
    return fit_part(placed, on, shop or project())


def features(fitted: Fitted, piece: str = "deck") -> dict[str, Feature]:
    return {feature.key: feature for key, feature in fitted.features if key == piece}


def numbers(fitted: Fitted) -> dict[str, float]:
    return {number.key: number.value for number in fitted.numbers}
