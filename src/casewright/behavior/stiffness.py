"""Whether deck, top, base, shelves and back bars are stiff and strong enough for what leans and stands on them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from casewright.basics.reckoning import Reckoning, Term, derived
from casewright.behavior.balance import Balance
from casewright.behavior.bending import Bend, Load, plate_bend, strip_bend
from casewright.behavior.board_data import BoardData, Duration, board_data
from casewright.behavior.net_section import NetSection, net_section
from casewright.behavior.standing import GRAVITY
from casewright.catalog.load import Catalog
from casewright.geometry.model import Cabinet, Piece

HAND = 80.0
"""Side of the square that a leaning hand bears on. Common practice. [mm]"""

QUICK_SAG = 300.0
"""A board gives at most its span ÷ this under a hand. Source: en-1995-1-1, table 7.2, from memory."""

LASTING_SAG = 250.0
"""A board hangs at most its span ÷ this in the end under what stands on it. Source: as `QUICK_SAG`."""

SHELF_KG = 10.0
"""What stands on a shelf where nobody said. Common practice."""

SMALL = 1.0
"""Loads below this are not looked at. [N]"""

Kind = Literal["hand", "standing"]


@dataclass(frozen=True)
class Member:
    """One board under one load."""

    key: str
    """Of its piece."""
    label: str
    kind: Kind
    held: Literal["four edges", "two ends"]
    span: float
    """Between the sides, or between the rails of a bar. [mm]"""
    width: float
    """From edge to edge across the span; of a strip the part that bears. [mm]"""
    thickness: float
    grain: str
    """"u" along the span, "v" across it, "none" where nobody chose."""
    board: BoardData
    load: float
    """[N]"""
    how: Load
    net: NetSection
    material: str = ""

    @property
    def duration(self) -> Duration:
        """How long the load stays."""
        return "short" if self.kind == "hand" else "long"

    @property
    def short_span(self) -> float:
        """The way that decides how much it may give. [mm]"""
        return self.span if self.held == "two ends" else min(self.span, self.width)

    @property
    def creep(self) -> float:
        """How much more it hangs in the end, as a factor."""
        return 1.0 if self.kind == "hand" else 1.0 + self.board.creep

    @cached_property
    def first(self) -> Bend:
        """Sag and stress at once, holes taken off."""
        if self.held == "two ends":
            bend = strip_bend(
                self.span, self.width, self.thickness, self.modulus, self.load, self.how
            )
            return Bend(bend.sag / self.net.along, bend.stress / self.net.least)
        patch = (HAND, HAND) if self.how == "middle" else None
        stiff = self.board.stiff(self.grain)
        whole = plate_bend(self.span, self.width, self.thickness, stiff, self.load, patch)
        left = min(self.net.along, self.net.across)
        return Bend(whole.sag / left, whole.stress / self.net.least)

    @property
    def modulus(self) -> float:
        """Along the span of a strip; of a plate the lower one. [MPa]"""
        if self.held == "two ends":
            return self.board.modulus(self.grain, "u")
        return min(self.board.along, self.board.across)

    @property
    def sag(self) -> float:
        """In the end. [mm]"""
        return self.first.sag * self.creep

    @property
    def sag_most(self) -> float:
        """What it may give. [mm]"""
        return self.short_span / (QUICK_SAG if self.kind == "hand" else LASTING_SAG)

    @property
    def stress_most(self) -> float:
        """What it may bear. [MPa]"""
        return self.board.allowed(self.duration, self.modulus)

    @property
    def use(self) -> float:
        """Share of what it may give or bear, whichever is more; past 1 it is too weak."""
        return max(self.sag / self.sag_most, self.first.stress / self.stress_most)

    @property
    def thickness_needed(self) -> float:
        """Thickness of the same board that just passes. [mm]"""
        # Sag goes with 1 ÷ thickness³, stress with 1 ÷ thickness².
        by_sag = math.cbrt(self.sag / self.sag_most)
        return self.thickness * max(by_sag, math.sqrt(self.first.stress / self.stress_most))

    def of(self, board: BoardData, thickness: float) -> Member:
        """The same of another board."""
        return replace(self, board=board, thickness=thickness)


@dataclass(frozen=True)
class Stiffness:
    """All boards that are looked at."""

    members: tuple[Member, ...] = ()
    """The one nearest to its limit first."""
    assumed: tuple[str, ...] = ()
    """Keys of shelves whose load is not said."""
    numbers: tuple[Reckoning, ...] = ()


def stiffness_of(cabinet: Cabinet, balance: Balance, catalog: Catalog) -> Stiffness:
    """Deck and top under a leaning hand, base and shelves under what stands on them, back bars under their display.

    Where panels meet a board at both ends of its run, it is held along four edges; else by its two ends at the sides.
    Overlays, cleats and glue are not counted as stiffening.

    Source:
        roark and timoshenko-plates for bending, en-1995-1-1 for what is allowed.
    """
    mass = {weight.key: weight.mass_kg for weight in balance.items}
    found = []
    for piece in cabinet.pieces:
        board = board_data(piece.material, cabinet.project, catalog)
        if board is not None:
            found += [m for m in _members(cabinet, piece, board, mass) if m.load >= SMALL]
    members = tuple(sorted(found, key=lambda m: (-m.use, m.key)))
    assumed = tuple(
        key
        for key, inner in cabinet.project.inner.items()
        if inner.role == "shelf" and inner.load_kg is None and key in cabinet.piece_by_key
    )
    return Stiffness(members, assumed, tuple(n for m in members for n in _numbers(m)))


def _members(
    cabinet: Cabinet, piece: Piece, board: BoardData, mass: dict[str, float]
) -> Iterator[Member]:
    on_it = sum(mass.get(placed.key, 0.0) for placed in cabinet.placed if placed.piece == piece.key)
    own = mass.get(piece.key, 0.0)
    if piece.kind == "panel" and piece.role in ("deck", "top"):
        lean = cabinet.project.limits.lean_n
        yield _panel(cabinet, piece, board, "hand", lean, "middle")
    elif piece.kind == "panel" and piece.role == "floor":
        yield _panel(cabinet, piece, board, "standing", (on_it + own) * GRAVITY, "spread")
    elif piece.kind == "inner" and piece.role == "shelf":
        wish = cabinet.project.inner.get(piece.key)
        load = SHELF_KG if wish is None or wish.load_kg is None else wish.load_kg
        yield _strip(piece, board, "standing", (load + on_it + own) * GRAVITY, "spread")
    elif piece.kind == "bar":
        display = mass.get(piece.key.rpartition(".")[0], 0.0)
        yield _strip(piece, board, "standing", display * GRAVITY, "middle")


def _panel(
    cabinet: Cabinet, piece: Piece, board: BoardData, kind: Kind, load: float, how: Load
) -> Member:
    strip = _strip(piece, board, kind, load, how)
    ends = [c for c in cabinet.corners if piece.key in (c.first, c.second)]
    held = [c for c in ends if c.first and c.second and abs(c.inside_deg - 180) > 20]
    if len(held) >= 2:
        return replace(strip, held="four edges")
    # A hand on a free edge is borne by its neighbourhood alone.
    bears = min(strip.width, HAND + strip.span / 2) if how == "middle" else strip.width
    return replace(strip, width=bears)


def _strip(piece: Piece, board: BoardData, kind: Kind, load: float, how: Load) -> Member:
    """A board that bends along its blank's u, or a bar along its length."""
    turned = piece.kind == "bar" and piece.height > piece.width
    span, width = (piece.height, piece.width) if turned else (piece.width, piece.height)
    grain: str = piece.grain
    if turned and grain != "none":
        grain = "u" if grain == "v" else "v"
    net = net_section(piece)
    if turned:
        net = NetSection(net.across, net.along, net.least)
    return Member(
        piece.key,
        piece.label,
        kind,
        "two ends",
        span,
        width,
        piece.thickness,
        grain,
        board,
        load,
        how,
        net,
        piece.material,
    )


def _numbers(member: Member) -> Iterator[Reckoning]:
    terms = [
        Term("load", member.load, unit="N"),
        Term("span", member.span),
        Term("width", member.width),
        Term("thickness", member.thickness),
        *_moduli(member),
        Term("share that holes leave", _left(member), unit=""),
        Term("creep", member.creep, unit=""),
    ]
    if member.held == "two ends":
        factor = 5 / 32 if member.how == "spread" else 1 / 4
        sum_ = f"{factor:g} × load × span³ ÷ (modulus × width × thickness³ × share) × creep"
        source = "roark"
    else:
        sum_ = "Navier's series for a plate held along four edges ÷ share × creep"
        source = "timoshenko-plates"
    under = "a leaning hand" if member.kind == "hand" else "what it carries, after years"
    yield derived(
        f"stiffness.{member.key}.sag",
        f"{member.label}: sag under {under}",
        member.sag,
        sum_,
        terms,
        rule=f"At most span ÷ {QUICK_SAG if member.kind == 'hand' else LASTING_SAG:g} (en-1995-1-1).",
        source=source,
    )
    yield derived(
        f"stiffness.{member.key}.stress",
        f"{member.label}: bending stress",
        member.first.stress,
        "bending moment ÷ (width × thickness² ÷ 6) ÷ share on the worst line",
        [*terms[:4], Term("share on the worst line", member.net.least, unit="")],
        unit="MPa",
        rule="At most the strength × its share for that time ÷ (material's safety × 1.5).",
        source="en-1995-1-1",
    )


def _moduli(member: Member) -> list[Term]:
    if member.held == "two ends":
        return [Term("modulus", member.modulus, unit="MPa")]
    stiff = member.board.stiff(member.grain)
    return [
        Term("modulus along the span", stiff.along, unit="MPa"),
        Term("modulus along the width", stiff.across, unit="MPa"),
        Term("modulus of twisting", stiff.shear, unit="MPa"),
    ]


def _left(member: Member) -> float:
    if member.held == "two ends":
        return member.net.along
    return min(member.net.along, member.net.across)


__all__ = [
    "HAND",
    "LASTING_SAG",
    "QUICK_SAG",
    "SHELF_KG",
    "Kind",
    "Member",
    "Stiffness",
    "stiffness_of",
]
