"""A part's seat on its panel: features through every layer, pilots that stay inside the board, bodies in place.

All u, v given here are the part's own, round its middle and not turned; the seat turns them into the panel's. All n
are from the face the part is mounted on, toward the viewer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from casewright.design.project import Project
from casewright.geometry.bits import LOOSE, SNUG, choose_bit, router_bit
from casewright.geometry.fitting import Fitted, Stack
from casewright.geometry.model import (
    Body,
    Box,
    Circle,
    Cylinder,
    FaceName,
    Feature,
    FeatureKind,
    Piece,
    Placed,
    Point2,
    Rectangle,
)

PLASTICS = ("acrylic", "polycarbonate")

PLASTIC_PLAY = 0.5
"""A hole in a plastic sheet is at least this much larger than in the board. [mm] Source: common practice."""

PLASTIC_GROWTH = 7.2e-5
"""Growth of acrylic by heat, per kelvin. Source: extruded acrylic sheet data page (ASTM methods)."""

PLASTIC_WARMTH = 15.0
"""Warming or cooling to allow for, from the day it is fitted. [K] Source: common practice."""

POCKET_PLAY = 0.5
"""Room on every side between a part and its pocket. [mm] Source: common practice."""

Look = Literal["metal", "plastic", "glass", "rubber", "board", "lit", "air"]


def plastic_hole_growth(piece: Piece) -> float:
    """How much larger a hole in a plastic sheet must be than in the board below it. [mm]

    Source:
        ΔL = α × L × ΔT with the sheet's longest side, which is the worst case: held at one end, pierced at the other.
    """
    longest = max(piece.width, piece.height)
    return PLASTIC_PLAY + PLASTIC_GROWTH * longest * PLASTIC_WARMTH


def inscribed_pocket(width: float, height: float, bit: float, play: float = POCKET_PLAY) -> Point2:
    """Size of a pocket with corners of the bit's radius that a square-cornered plate drops into. [mm]

    Source:
        Plain geometry: a corner of radius r is r·(1 − 1 ÷ √2) short of the square one, along each side.
    """
    extra = 2 * (play + bit / 2 * (1 - math.sqrt(0.5)))
    return (width + extra, height + extra)


@dataclass(frozen=True)
class Seat:
    """One placed part on its stack."""

    placed: Placed
    stack: Stack
    project: Project

    @property
    def show_n(self) -> float:
        """The stack's show face, from the mounting face. [mm]"""
        return 0.0 if self.placed.face == "show" else self.stack.thickness

    @property
    def back_n(self) -> float:
        """The board's back face, from the mounting face. [mm]"""
        return -self.stack.thickness if self.placed.face == "show" else 0.0

    def at(self, du: float, dv: float) -> Point2:
        """A point of the part in the panel's (u, v). [mm]"""
        turn = math.radians(self.placed.turn_deg)
        cos, sin = math.cos(turn), math.sin(turn)
        return (self.placed.u + du * cos - dv * sin, self.placed.v + du * sin + dv * cos)

    def is_plastic(self, piece: Piece) -> bool:
        """True for acrylic and polycarbonate."""
        material = self.project.materials.get(piece.material)
        return material is not None and material.kind in PLASTICS

    def key(self, name: str) -> str:
        """The part's key and a name: "lever1.hole"."""
        return f"{self.placed.key}.{name}"

    # ---- features ----------------------------------------------------------------------------------------------------

    def round_hole(
        self,
        name: str,
        diameter: float,
        *,
        du: float = 0.0,
        dv: float = 0.0,
        cover: float | None = None,
        overlay: float | None = None,
        tool: str = "",
        label: str = "",
    ) -> Fitted:
        """A round hole through every layer, larger in plastics.

        Args:
            name: Its name within the part.
            diameter: Hole in the board. [mm]
            du: Right of the part's middle. [mm]
            dv: Above the part's middle. [mm]
            cover: Largest hole that the part's rim still covers. [mm]
            overlay: Hole in the overlays, where it is another than in the board. [mm]
            tool: Settled bit, where `diameter` is the bit's already; chosen from the shop's if not given.
            label: For drawings and lists.
        """
        u, v = self.at(du, dv)
        bits = self.project.shop.bits
        features: list[tuple[str, Feature]] = []
        for piece in self.stack.pieces:
            if overlay is not None and piece is not self.stack.board:
                choice = choose_bit(overlay, bits, most=cover)
                size, kind = choice.size, choice.kind
            elif self.is_plastic(piece):
                size = diameter + plastic_hole_growth(piece)
                if cover is not None:
                    size = max(diameter, min(size, cover))
                limit = size + 1.0 if cover is None else max(size, cover)
                choice = choose_bit(size, bits, most=limit)
                size, kind = choice.size, choice.kind
            elif not tool:
                limit = (
                    diameter + LOOSE
                    if cover is None
                    else min(diameter + LOOSE, max(diameter, cover))
                )
                choice = choose_bit(diameter, bits, most=limit)
                size, kind = choice.size, choice.kind
            else:
                size, kind = diameter, tool
            shape = Circle(u, v, size)
            features.append(
                (piece.key, self.feature(name, "hole", shape, "show", None, kind, label))
            )
        return Fitted(features=tuple(features))

    def opening(
        self,
        name: str,
        width: float,
        height: float,
        *,
        radius: float,
        du: float = 0.0,
        dv: float = 0.0,
        label: str = "",
    ) -> Fitted:
        """A rectangular opening through every layer, larger in plastics; sharp corners call for jigsaw and file."""
        u, v = self.at(du, dv)
        bit = router_bit(
            self.project.shop.bits, ("flush trim", "straight"), most=min(2 * radius, width, height)
        )
        tool = "jigsaw" if bit is None else "flush trim"
        features: list[tuple[str, Feature]] = []
        for piece in self.stack.pieces:
            grown = plastic_hole_growth(piece) if self.is_plastic(piece) else 0.0
            shape = Rectangle(
                u,
                v,
                width + grown,
                height + grown,
                radius + grown / 2 if radius else 0.0,
                self.placed.turn_deg,
            )
            features.append(
                (piece.key, self.feature(name, "opening", shape, "show", None, tool, label))
            )
        return Fitted(features=tuple(features))

    def plate_pocket(
        self, name: str, width: float, height: float, depth: float, *, label: str = ""
    ) -> Fitted:
        """A pocket in the board's back face that a square-cornered plate drops into."""
        bit = router_bit(
            self.project.shop.bits, ("straight", "flush trim"), most=min(width, height)
        )
        size = 8.0 if bit is None else bit
        wide, high = inscribed_pocket(width, height, size)
        shape = Rectangle(self.placed.u, self.placed.v, wide, high, size / 2, self.placed.turn_deg)
        feature = self.feature(name, "pocket", shape, "back", depth, "straight", label)
        return Fitted(features=((self.stack.board.key, feature),))

    def counterbore(self, name: str, diameter: float, depth: float, *, label: str = "") -> Fitted:
        """A round pocket in the board's back face, at least of `diameter`."""
        choice = choose_bit(diameter, self.project.shop.bits, most=diameter + 6.0)
        feature = self.feature(
            name,
            "counterbore",
            Circle(self.placed.u, self.placed.v, max(choice.size, diameter - SNUG)),
            "back",
            depth,
            choice.kind if choice.fits or not self.project.shop.bits else "straight",
            label,
        )
        return Fitted(features=((self.stack.board.key, feature),))

    def feature(
        self,
        name: str,
        kind: FeatureKind,
        shape: Circle | Rectangle,
        face: FaceName,
        depth: float | None,
        tool: str,
        label: str = "",
    ) -> Feature:
        """A feature of this part, its shape already in the panel's (u, v)."""
        return Feature(
            key=self.key(name),
            kind=kind,
            shape=shape,
            face=face,
            depth=depth,
            tool=tool,
            owner=self.placed.key,
            label=label,
        )

    # ---- bodies ------------------------------------------------------------------------------------------------------

    def solid(
        self,
        name: str,
        shape: Box | Cylinder,
        *,
        look: Look = "plastic",
        color: str = "",
        label: str = "",
    ) -> Body:
        """Space that the part takes."""
        return self._body(name, "solid", shape, look, color, label)

    def room(self, name: str, shape: Box | Cylinder, *, label: str = "") -> Body:
        """Space that must stay free."""
        return self._body(name, "room", shape, "air", "", label)

    def _body(
        self,
        name: str,
        kind: Literal["solid", "room"],
        shape: Box | Cylinder,
        look: Look,
        color: str,
        label: str,
    ) -> Body:
        return Body(
            key=self.key(name),
            owner=self.placed.key,
            kind=kind,
            frame=self.placed.frame,
            shape=shape,
            label=label or self.placed.label,
            look=look,
            color=color,
            may_touch=tuple(piece.key for piece in self.stack.pieces),
        )


__all__ = [
    "PLASTICS",
    "PLASTIC_GROWTH",
    "PLASTIC_PLAY",
    "PLASTIC_WARMTH",
    "POCKET_PLAY",
    "Look",
    "Seat",
    "inscribed_pocket",
    "plastic_hole_growth",
]
