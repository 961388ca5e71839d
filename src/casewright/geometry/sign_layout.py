"""Where the sheets, the frame and the light board of a sign lie."""

from __future__ import annotations

import math
from dataclasses import dataclass

from casewright.catalog.kinds import Sign
from casewright.design.panels import Role
from casewright.design.parts import Placement
from casewright.design.project import Project
from casewright.geometry.display_face import quarter_turns
from casewright.geometry.fitting import Stack
from casewright.geometry.model import (
    Feature,
    Frame,
    Piece,
    PieceKind,
    Placed,
)
from casewright.geometry.openings import Area

PRINT = 0.2
"""Thickness of the printed film or paper. Source: common practice. [mm]"""
PLAY = 0.5
"""Room round the artwork, besides what it grows. Source: common practice. [mm]"""
GROWTH = 7.2e-5
"""Growth of acrylic by heat, per kelvin. Source: acrylic-sheet-data."""
WARMTH = 15.0
"""Warming to allow for, from the day it is fitted. Source: common practice. [K]"""
FRAME_KINDS = ("plywood", "mdf", "solid wood")
"""Boards that frames and light boards are made of."""


@dataclass(frozen=True)
class SignLayout:
    """Rectangles of a sign in the panel's (u, v), and depths behind the board's back face."""

    opening: Area
    artwork: Area
    rabbet: Area
    window: Area
    """Inside of the frame's lip."""
    frame: Area
    """Outside of the frame, trimmed to the clear back."""
    sandwich: float
    """Cover, print and diffuser. [mm]"""
    board: float
    """Show face of the light board behind the board's back face. [mm]"""

    @property
    def seats(self) -> tuple[float, float, float, float]:
        """Width of the frame that lies on the panel: left, below, right, above. [mm]"""
        return (
            self.rabbet.left - self.frame.left,
            self.rabbet.bottom - self.frame.bottom,
            self.frame.right - self.rabbet.right,
            self.frame.top - self.rabbet.top,
        )


def sign_layout(placed: Placed, data: Sign, clear: Area) -> SignLayout:
    """Return where everything of a sign lies.

    The frame's strips are as wide as said, and narrower where the clear back ends.

    Raises:
        InputError: The turn is no whole number of quarters.

    Source:
        Plain geometry; growth ΔL = α × L × ΔT, half of it at each edge.
    """
    width, height = data.opening_width, data.opening_height
    if quarter_turns(placed.turn_deg) % 2:
        width, height = height, width
    opening = Area.around(placed.u, placed.v, width, height)
    artwork = opening.grown(data.overlap)
    longest = max(artwork.width, artwork.height)
    rabbet = artwork.grown(PLAY + GROWTH * longest * WARMTH / 2)
    window = artwork.grown(-data.frame_lip)
    frame = window.grown(data.frame_width).common(clear)
    sandwich = data.cover + PRINT + data.diffuser
    return SignLayout(
        opening, artwork, rabbet, window, frame, sandwich, sandwich + data.board_distance
    )


def with_sheets(data: Sign, wish: Placement, project: Project) -> Sign:
    """The sign with its sheets as thick as the materials that they are cut from. [mm]"""
    sheets = {"diffuser": wish.diffuser, "cover": wish.cover}
    known = {
        name: project.materials[key].thickness
        for name, key in sheets.items()
        if key is not None and key in project.materials
    }
    return data.model_copy(update=known) if known else data


def behind(stack: Stack, depth: float) -> Frame:
    """The panel's axes, moved so far behind the board's back face."""
    board = stack.board
    origin = board.frame.point(0.0, 0.0, -board.thickness - depth)
    return Frame(origin, board.frame.u, board.frame.v, board.frame.n)


def material_near(project: Project, thickness: float, fallback: str) -> str:
    """The board whose thickness is nearest and within half a millimeter; else the fallback."""
    boards = [
        (abs(material.thickness - thickness), key)
        for key, material in project.materials.items()
        if material.kind in FRAME_KINDS
    ]
    off, key = min(boards, default=(math.inf, fallback))
    return key if off <= 0.5 else fallback


def sign_piece(
    stack: Stack,
    key: str,
    label: str,
    kind: PieceKind,
    role: Role,
    material: str,
    thickness: float,
    area: Area,
    depth: float,
    features: tuple[Feature, ...] = (),
    *,
    has_grain: bool = False,
) -> Piece:
    """A rectangular piece parallel to the panel, its show face `depth` behind the board's back face.

    Where its material has a grain, it runs along the longer way.
    """
    return Piece(
        key=key,
        label=label,
        kind=kind,
        role=role,
        material=material,
        thickness=thickness,
        frame=behind(stack, depth),
        show=area.outline,
        back=area.outline,
        features=features,
        panel=stack.panel,
        grain="none" if not has_grain else "u" if area.width >= area.height else "v",
        fixing="screwed",
    )


__all__ = [
    "FRAME_KINDS",
    "GROWTH",
    "PLAY",
    "PRINT",
    "WARMTH",
    "SignLayout",
    "behind",
    "material_near",
    "sign_layout",
    "sign_piece",
    "with_sheets",
]
