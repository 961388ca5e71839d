"""What the cabinet weighs, and where its centre of gravity is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.design.project import Project
from casewright.geometry.devices.port import is_made_here
from casewright.geometry.model import Body, Cabinet, Piece, Placed, Point3
from casewright.geometry.solids import balance_of

BATTEN = "batten"
"""Material of strip wood, whose density the project states itself."""


@dataclass(frozen=True)
class Weight:
    """One piece or part."""

    key: str
    label: str
    kind: Literal["piece", "part"]
    mass_kg: float
    centre: Point3
    """Centre of gravity in the cabinet frame. [mm]"""
    volume: float = 0.0
    """Of a piece. [mm³]"""
    density: float = 0.0
    """Of a piece. [kg/m³]"""


@dataclass(frozen=True)
class Balance:
    """All that is known to weigh something."""

    items: tuple[Weight, ...]
    total_kg: float
    centre: Point3
    """Centre of gravity in the cabinet frame; the origin if nothing weighs anything. [mm]"""
    missing: tuple[str, ...]
    """Keys of the pieces and placed parts whose mass is not known; they are not in the total."""
    number: Reckoning
    """The total with its terms: each material's pieces, and each part."""

    @cached_property
    def centre_numbers(self) -> tuple[Reckoning, ...]:
        """The centre's x, y and z with their terms."""
        return _centre_numbers(self.items, self.centre)

    @property
    def is_complete(self) -> bool:
        """Whether every piece and part that should weigh something does."""
        return not self.missing


def weigh(cabinet: Cabinet, densities: Mapping[str, float]) -> Balance:
    """Mass and centre of gravity of the finished cabinet.

    Screws, glue, paint and wire are not counted. A part that stays outside, and what is only made in a panel (a vent, a
    hand hole), weighs nothing here.

    Args:
        cabinet: The cabinet.
        densities: kg/m³ by the catalog's species, or by kind of material; a material's own density goes first.

    Returns:
        Weights of pieces from their exact volumes, then of placed parts, in the cabinet's order.

    Source:
        Plain geometry; the centre of gravity of several bodies is the mean of theirs, weighted by mass.
    """
    items: list[Weight] = []
    missing: list[str] = []
    groups: dict[str, list[Weight]] = {}
    for piece in cabinet.pieces:
        density = density_of(piece.material, cabinet.project, densities)
        if density is None:
            missing.append(piece.key)
            continue
        weight = _of_piece(piece, density)
        items.append(weight)
        groups.setdefault(_material_label(piece.material, cabinet.project), []).append(weight)
    bodies: dict[str, list[Body]] = {}
    for body in cabinet.bodies:
        if body.kind == "solid":
            bodies.setdefault(body.owner, []).append(body)
    for placed in cabinet.placed:
        if not _weighs_something(placed):
            continue
        if is_made_here(placed.part.data, placed.key, cabinet):
            continue  # its walls are weighed as pieces
        mass = placed.part.data.mass_kg
        if mass is None:
            missing.append(placed.key)
            continue
        centre = centre_of(bodies.get(placed.key, ()), placed)
        weight = Weight(placed.key, placed.label or placed.part.label, "part", mass, centre)
        items.append(weight)
        groups.setdefault(placed.part.label or placed.part.key, []).append(weight)
    terms = [Term(name, math.fsum(w.mass_kg for w in group)) for name, group in groups.items()]
    number = total(
        "cabinet.mass",
        "mass of pieces and parts",
        terms,
        unit="kg",
        rule="Volume × density of each piece, and each part as weighed; no screws, glue or paint.",
    )
    centre = _middle(items)
    return Balance(tuple(items), number.value, centre, tuple(missing), number)


def _centre_numbers(items: Sequence[Weight], centre: Point3) -> tuple[Reckoning, ...]:
    whole = math.fsum(item.mass_kg for item in items)
    if whole <= 0:
        return ()
    return tuple(
        derived(
            f"cabinet.centre_{axis}",
            f"centre of gravity {way}",
            centre[at],
            "mean of all pieces' and parts' own, each by its mass; the heaviest first",
            [
                Term(f"{item.label}, {item.mass_kg:.2f} kg", item.centre[at])
                for item in sorted(items, key=lambda item: -item.mass_kg)
            ],
            rule="The centre of several bodies is the mean of theirs, weighted by mass.",
        )
        for at, (axis, way) in enumerate(
            (("x", "from the left"), ("y", "behind the front"), ("z", "over the underside"))
        )
    )


def density_of(material: str, project: Project, densities: Mapping[str, float]) -> float | None:
    """kg/m³ of a piece's material: its own, else its species', else its kind's; None if not known."""
    if material == BATTEN:
        return project.batten.density
    known = project.materials.get(material)
    if known is None:
        return None
    if known.density is not None:
        return known.density
    if known.species is not None and known.species in densities:
        return densities[known.species]
    return densities.get(known.kind)


def centre_of(bodies: Iterable[Body], placed: Placed) -> Point3:
    """Middle of a part's solid bodies, each taken as equally dense; its place if it has none. [mm]"""
    known = [balance_of(body) for body in bodies]
    whole = math.fsum(volume for volume, _ in known)
    if whole <= 0:
        return placed.frame.origin
    x, y, z = (math.fsum(volume * at[i] for volume, at in known) / whole for i in range(3))
    return (x, y, z)


def _of_piece(piece: Piece, density: float) -> Weight:
    volume, centre = balance_of(piece)
    mass = volume * 1e-9 * density  # mm³ to m³
    return Weight(piece.key, piece.label, "piece", mass, centre, volume=volume, density=density)


def _weighs_something(placed: Placed) -> bool:
    data = placed.part.data
    if data.kind == "vent" or (data.kind == "grip" and data.style == "hand hole"):
        return data.mass_kg is not None
    return not (data.kind == "device" and data.outside)


def _material_label(material: str, project: Project) -> str:
    if material == BATTEN:
        return project.batten.label or BATTEN
    return project.materials[material].label or material


def _middle(items: Iterable[Weight]) -> Point3:
    weights = tuple(items)
    mass = math.fsum(w.mass_kg for w in weights)
    if mass <= 0:
        return (0.0, 0.0, 0.0)
    x, y, z = (math.fsum(w.mass_kg * w.centre[i] for w in weights) / mass for i in range(3))
    return (x, y, z)


__all__ = ["BATTEN", "Balance", "Weight", "centre_of", "density_of", "weigh"]
