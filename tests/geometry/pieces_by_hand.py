"""Pieces, bodies and cabinets built by hand for tests of solids, collisions, balance and exports."""

from __future__ import annotations

import math
from collections.abc import Sequence

from casewright.catalog.kinds import PartKind
from casewright.design.parts import KnownPart, Placement
from casewright.design.project import Project
from casewright.geometry.model import (
    Body,
    Box,
    Cabinet,
    Circle,
    Cylinder,
    Feature,
    Frame,
    Piece,
    Placed,
    Point2,
    SolvedShape,
)

LEVEL = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def frame(origin: tuple[float, float, float], slope_deg: float = 0.0) -> Frame:
    """A frame whose v axis rises to the back: 0 lies level with n up, 90 stands up with n to the front."""
    c, s = math.cos(math.radians(slope_deg)), math.sin(math.radians(slope_deg))
    return Frame(origin, (1.0, 0.0, 0.0), (0.0, c, s), (0.0, -s, c))


def rectangle(width: float, height: float, *, u: float = 0.0, v: float = 0.0) -> tuple[Point2, ...]:
    return ((u, v), (u + width, v), (u + width, v + height), (u, v + height))


def board(
    key: str,
    show: Sequence[Point2],
    *,
    back: Sequence[Point2] | None = None,
    thickness: float = 12.0,
    features: Sequence[Feature] = (),
    at: Frame = LEVEL,
    material: str = "ply",
) -> Piece:
    return Piece(
        key=key,
        label=key,
        kind="panel",
        role="other",
        material=material,
        thickness=thickness,
        frame=at,
        show=tuple(show),
        back=tuple(show if back is None else back),
        features=tuple(features),
        panel=key,
    )


def hole(key: str, u: float, v: float, diameter: float) -> Feature:
    return Feature(key, "hole", Circle(u, v, diameter), "show", None, "forstner")


def body(
    key: str,
    shape: Box | Cylinder,
    *,
    kind: str = "solid",
    at: Frame = LEVEL,
    may_touch: Sequence[str] = (),
) -> Body:
    return Body(
        key=key,
        owner=key.split(".")[0],
        kind="room" if kind == "room" else "solid",
        frame=at,
        shape=shape,
        may_touch=tuple(may_touch),
    )


def project(**materials: dict[str, object]) -> Project:
    """A project with these materials and a box of an outline; "ply" is there always."""
    known = {"ply": {"kind": "plywood", "nominal": 12, "density": 700}, **materials}
    corners = {"A": (0, 0), "B": (100, 0), "C": (100, 100), "D": (0, 100)}
    return Project.model_validate(
        {
            "name": "By hand",
            "materials": known,
            "shape": {
                "recipe": "outline",
                "width": 300,
                "side": {"material": "ply"},
                "board": "ply",
                "corners": corners,
            },
        }
    )


def placed(key: str, data: PartKind, *, at: Frame = LEVEL, on: str = "deck") -> Placed:
    part = KnownPart(key=f"{key}-type", label=key, data=data, origin={})
    wish = Placement(key=key, on=on)
    return Placed(key, key, part, wish, on, 0.0, 0.0, 0.0, "show", at)


def cabinet(
    pieces: Sequence[Piece] = (),
    bodies: Sequence[Body] = (),
    parts: Sequence[Placed] = (),
    *,
    of: Project | None = None,
) -> Cabinet:
    shape = SolvedShape(width=300.0, corners={}, runs=(), panels={}, seams=())
    return Cabinet(
        project=of or project(),
        parts={p.part.key: p.part for p in parts},
        shape=shape,
        slabs=(),
        corners=(),
        pieces=tuple(pieces),
        placed=tuple(parts),
        bodies=tuple(bodies),
    )
