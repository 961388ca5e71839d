"""A lit sign: opening, artwork between diffuser and cover, the frame that holds it, and its light board."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from casewright.basics.reckoning import Reckoning, Term, derived, stated, total
from casewright.catalog.kinds import Sign, Strip
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.inside import clear_back
from casewright.geometry.model import (
    Body,
    Box,
    Piece,
    Placed,
    Point2,
)
from casewright.geometry.openings import Area, corner_cut, pierce
from casewright.geometry.orders import ROUT_FROM_BACK
from casewright.geometry.sign_findings import sign_findings
from casewright.geometry.sign_frame import fit_frame
from casewright.geometry.sign_layout import (
    GROWTH,
    PLAY,
    PRINT,
    WARMTH,
    SignLayout,
    behind,
    material_near,
    sign_layout,
    sign_piece,
    with_sheets,
)
from casewright.geometry.sign_light import fit_light


def fit_sign(
    placed: Placed,
    data: Sign,
    stack: Stack,
    project: Project,
    *,
    strip: Strip | None = None,
    clear: Area | None = None,
    inside: Sequence[Point2] | None = None,
) -> Fitted:
    """Return all that a lit sign asks of its panel, frame, light board and rows included.

    Args:
        placed: Its (u, v) is the centre of the opening.
        data: Its dimensions.
        stack: The panel.
        project: For shop and materials.
        strip: The light strip of the project; without it the board stays bare and a finding says so.
        clear: Part of the back face that no other panel takes; worked out from `inside` if not given.
        inside: Clear inside of the cabinet in the side view (y, z), for the clear back and the room that the light
            board has; without it both are as high as the back outline.

    Raises:
        InputError: The turn is no whole number of quarters.
    """
    data = with_sheets(data, placed.wish, project)
    back = clear or clear_back(stack.board, inside, placed.v)
    seat = back
    if placed.wish.boxed:
        ring = project.materials[material_near(project, data.frame_thickness, stack.board.material)]
        seat = back.common(clear_back(stack.board, inside, placed.v, deep=ring.thickness))
    layout = sign_layout(placed, data, seat)
    cut = corner_cut(project.shop, data.corner_radius)
    bodies, sheets = _artwork(placed, data, stack, layout)
    own = Fitted(
        features=pierce(
            stack,
            project,
            layout.opening,
            cut,
            owner=placed.key,
            label=f"opening for {placed.label}{ROUT_FROM_BACK}",
        ),
        bodies=bodies,
        pieces=sheets,
        numbers=_numbers(placed, data, layout),
        findings=sign_findings(placed, data, stack, project, layout, seat, boxed=placed.wish.boxed),
    )
    if not placed.wish.boxed:
        return own
    return gathered(
        [
            own,
            fit_frame(placed, data, stack, project, layout),
            fit_light(placed, data, stack, project, layout, back, strip, inside),
        ]
    )


def _artwork(
    placed: Placed, data: Sign, stack: Stack, layout: SignLayout
) -> tuple[tuple[Body, ...], tuple[Piece, ...]]:
    """Cover against the panel, print behind it, diffuser last: what is cut from a material is a piece."""
    art = layout.artwork
    frame = behind(stack, 0.0)
    touched = (
        stack.board.key,
        *(f"{placed.key}.{name}" for name in ("frame", "cover", "diffuser")),
    )
    materials = {"cover": placed.wish.cover, "diffuser": placed.wish.diffuser}
    made: list[Body] = []
    sheets: list[Piece] = []
    low = 0.0
    layers: tuple[tuple[str, float, Literal["glass", "plastic", "lit"]], ...] = (
        ("cover", data.cover, "glass"),
        ("print", PRINT, "plastic"),
        ("diffuser", data.diffuser, "lit"),
    )
    for name, thickness, look in layers:
        if thickness <= 0:
            continue
        label, key = f"{placed.label} {name}", f"{placed.key}.{name}"
        material = materials.get(name)
        if material is not None:
            sheet = sign_piece(
                stack, key, label, "artwork", "other", material, thickness, art, -low
            )
            sheets.append(sheet)
        else:
            box = Box(*art.centre, art.width, art.height, low - thickness, low)
            made.append(Body(key, placed.key, "solid", frame, box, label, look, "", touched))
        low -= thickness
    return tuple(made), tuple(sheets)


def _numbers(placed: Placed, data: Sign, layout: SignLayout) -> tuple[Reckoning, ...]:
    key = placed.key
    longest = max(layout.artwork.width, layout.artwork.height)
    made = [
        stated(f"{key}.opening_width", "opening's width", layout.opening.width),
        stated(f"{key}.opening_height", "opening's height", layout.opening.height),
        total(
            f"{key}.sandwich",
            "thickness of the artwork",
            [
                Term("cover", data.cover),
                Term("print", PRINT),
                Term("diffuser", data.diffuser),
            ],
        ),
        derived(
            f"{key}.play",
            "room round the artwork",
            layout.artwork.left - layout.rabbet.left,
            "play + growth × longest side × warming ÷ 2",
            [
                Term("play", PLAY),
                Term("growth per kelvin", GROWTH),
                Term("longest side", longest),
                Term("warming in kelvin", WARMTH),
            ],
            rule="Acrylic grows when it is warm.",
            source="acrylic-sheet-data",
        ),
    ]
    for name, opening in (("width", layout.opening.width), ("height", layout.opening.height)):
        made.append(
            total(
                f"{key}.artwork_{name}",
                f"{name} of the artwork's sheets",
                [
                    Term("opening", opening, 1, f"{key}.opening_{name}"),
                    Term("overlap", data.overlap, 2),
                ],
            )
        )
    return tuple(made)


def sign_strip(parts: Mapping[str, KnownPart]) -> Strip | None:
    """Return the project's light strip: the first plain one, else the first there is; None if there is none."""
    strips = [part.data for part in parts.values() if isinstance(part.data, Strip)]
    return min(strips, key=lambda strip: strip.addressable, default=None)


__all__ = ["SignLayout", "fit_sign", "sign_layout", "sign_strip"]
