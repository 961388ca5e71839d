"""Ports that were placed: which air each leads into, how far its inner end is from the wall, what length would tune."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely

from casewright.behavior.acoustics import port_least, port_length, slot_diameter, vented_box
from casewright.behavior.chambers import LITRE, Chamber
from casewright.behavior.enclosure import Enclosure
from casewright.catalog.kinds import Port
from casewright.geometry.model import Cabinet, Placed

PIPES = (25.0, 32.0, 40.0, 50.0, 57.0, 68.0, 75.0, 100.0)
"""Inner diameters of pipes that ports are cut from. Common practice. [mm]"""

ROUNDS = 6
"""A longer pipe leaves less air, which asks for a longer pipe; settled to a tenth of a millimeter after these."""

_BEHIND = 2.0  # mm


@dataclass(frozen=True)
class PlacedPort:
    """One port in its panel."""

    key: str
    label: str
    part: str
    data: Port
    chamber: Chamber | None
    """None where it leads into none."""
    thickness: float
    """Of the panel that it passes through. [mm]"""
    depth: float
    """From the show face straight in to the wall that is met first. [mm]"""

    @property
    def diameter(self) -> float:
        """Of the round port of as much area. [mm]"""
        d = self.data
        return d.width if d.shape == "round" else slot_diameter(d.width, d.height)

    @property
    def asked_free(self) -> float:
        """To keep free between its inner end and the wall: its width, a slot's narrow side. Common practice. [mm]"""
        d = self.data
        return d.width if d.shape == "round" else min(d.width, d.height)

    @property
    def free(self) -> float:
        """Between its inner end and the wall. [mm]"""
        return self.depth - max(self.data.length, self.thickness)

    @property
    def longest(self) -> float:
        """Length that still ends clear of the wall. [mm]"""
        return self.depth - self.asked_free

    def taken(self, length: float) -> float:
        """Air of the chamber that it displaces at that length. [L]"""
        d = self.data
        behind = max(length - self.thickness, 0.0)
        if d.shape == "round":
            return math.pi * (d.width + 2 * d.wall) ** 2 / 4 * behind / LITRE
        return (d.width + 2 * d.wall) * (d.height + 2 * d.wall) * behind / LITRE


@dataclass(frozen=True)
class Wanted:
    """A pipe or slot that tunes well."""

    diameter: float
    """Of the round port of as much area. [mm]"""
    length: float
    goes_in: bool
    """Whether it ends clear of the wall."""
    quiet: bool
    """Whether it is wide enough not to huff."""


def ports_of(
    cabinet: Cabinet, chambers: Sequence[Chamber], inside: Enclosure
) -> tuple[PlacedPort, ...]:
    """Every port that was placed."""
    found = []
    for placed in cabinet.placed:
        data = placed.part.data
        if not isinstance(data, Port):
            continue
        duct = cabinet.piece_by_key.get(f"{placed.key}.top")
        if duct is not None and duct.kind == "duct":
            data = data.model_copy(update={"wall": duct.thickness})
        board = cabinet.piece_by_key.get(placed.piece)
        layers = [p for p in cabinet.pieces if p.kind == "overlay" and p.panel == placed.piece]
        thickness = (board.thickness if board else 0.0) + sum(p.thickness for p in layers)
        point = placed.frame.point(0.0, 0.0, -thickness - _BEHIND)
        chamber = next((c for c in chambers if c.holds(point)), None)
        found.append(
            PlacedPort(
                placed.key,
                placed.label or placed.part.label,
                placed.part.key,
                data,
                chamber,
                thickness,
                _depth(placed, chamber, inside, thickness),
            )
        )
    return tuple(found)


def _depth(placed: Placed, chamber: Chamber | None, inside: Enclosure, thickness: float) -> float:
    """From the show face straight in to the chamber's far wall, over the port's whole width. [mm]

    Source:
        Plain geometry: along three lines, the middle and both edges of the mouth.
    """
    if chamber is None:
        return math.inf
    data = placed.part.data
    assert isinstance(data, Port)
    region = shapely.Polygon(chamber.outline)
    reach = 1e4
    across = (inside.left, inside.right)
    tall = data.width if data.shape == "round" else data.height
    found = []
    for du, dv in ((0.0, 0.0), (0.5, 0.0), (-0.5, 0.0), (0.0, 0.5), (0.0, -0.5)):
        start = placed.frame.point(du * data.width, dv * tall, -thickness - _BEHIND)
        end = placed.frame.point(du * data.width, dv * tall, -thickness - reach)
        run = reach
        way = (end[0] - start[0]) / (reach - _BEHIND)
        if abs(way) > 1e-9:
            wall = across[1] if way > 0 else across[0]
            run = min(run, max((wall - start[0]) / way, 0.0))
        if math.hypot(end[1] - start[1], end[2] - start[2]) > 1e-6:
            line = shapely.LineString([start[1:], end[1:]]).intersection(region)
            first = shapely.Point(start[1:])
            parts = [p for p in shapely.get_parts(line) if p.distance(first) < 1e-6]
            flat = math.hypot(end[1] - start[1], end[2] - start[2]) / (reach - _BEHIND)
            run = min(run, max((p.length for p in parts), default=0.0) / flat)
        found.append(thickness + _BEHIND + run)
    return min(found)


def wanted_port(
    port: PlacedPort,
    count: int,
    diameter: float,
    *,
    driver: tuple[float, float, float],
    alike: int,
    cone: float,
    travel: float,
    instead: Port | None = None,
) -> Wanted | None:
    """The length of such a port that tunes a chamber best, its own displaced air reckoned in; None where none does.

    Args:
        port: One of `count` equal ports, as placed.
        count: How many there are.
        diameter: Of the round port of as much area. [mm]
        driver: Its fs [Hz], Qts and Vas [L].
        alike: Drivers of that kind that share the chamber.
        cone: Diameter of the cone that moves. [mm]
        travel: Of the cone, one way. [mm]
        instead: A slot of other dimensions, in its place; `diameter` is of its area.

    Source:
        small-vented-box, loudspeaker-ports.
    """
    chamber = port.chamber
    assert chamber is not None
    now = count * port.taken(port.data.length)
    wider = 1.0 if instead else (diameter / port.diameter) ** 2
    if instead:
        port = replace(port, data=instead)
    litres = chamber.litres
    tuning = vented_box(*driver, litres / alike).tuning
    length = port_length(litres, tuning, diameter, count)
    for _ in range(ROUNDS):
        net = litres + now - count * port.taken(length) * wider
        if net <= 0:
            return None
        length = port_length(net, tuning, diameter, count)
    if length < port.thickness:
        return None  # a mere hole in the panel is longer than that
    least = port_least(cone * math.sqrt(alike), travel, tuning, count)
    keeps = diameter if port.data.shape == "round" else port.asked_free
    return Wanted(
        diameter,
        length,
        length <= port.depth - keeps + 1e-6,
        diameter >= least - 1e-6,
    )


__all__ = ["PIPES", "ROUNDS", "PlacedPort", "Wanted", "ports_of", "wanted_port"]
