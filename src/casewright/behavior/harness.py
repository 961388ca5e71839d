"""Runs of wire: what lies between two parts, how thick, how long, in which colors, and how it ends."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from casewright.basics.units import Unit
from casewright.behavior.wires import Wire
from casewright.catalog.kinds import (
    Device,
    Dial,
    Display,
    Fan,
    Fitting,
    PartKind,
    Sign,
    Terminal,
    Trackball,
)

RunKind = Literal["power", "ground", "signal", "speaker", "cable"]

COLORS = {
    "BK": "black",
    "BN": "brown",
    "RD": "red",
    "OG": "orange",
    "YE": "yellow",
    "BU": "blue",
    "VT": "violet",
    "GY": "gray",
    "WH": "white",
    "PK": "pink",
}
"""Codes and colors. Source: iec-60757. Green, and green with yellow, are left to protective earth."""

GROUND = "BK"
RAIL_COLORS = {3.3: "OG", 5.0: "RD", 12.0: "YE", 19.0: "VT", 24.0: "BN"}
"""Color of a rail's plus: yellow for 12 V and red for 5 V as in computers, others our own. Common practice."""
OTHER_RAIL = "PK"
_SPARE = ("PK", "OG", "VT", "BN", "YE", "RD", "WH", "BU", "GY")
"""Colors for rails of other voltages, in this order, where no rail of the cabinet has them."""

FOOT_CABLES = tuple(feet * 304.8 for feet in (0.5, 1, 1.5, 2, 3, 6, 10, 15))
"""The same where inches are used. [mm] Common practice."""
CABLES = (150.0, 300.0, 500.0, 1000.0, 1500.0, 2000.0, 3000.0, 5000.0)
"""Cables as sold. [mm] Common practice."""

_USUAL: tuple[tuple[type, Terminal], ...] = (
    (Dial, "solder"),
    (Sign, "solder"),
    (Display, "plug"),
    (Fan, "plug"),
    (Trackball, "plug"),
    (Device, "screw"),
)
_CRIMPS = ((1.5, "red"), (2.5, "blue"), (6.0, "yellow"))
"""(copper up to [mm²], color of the crimp's sleeve). Common practice."""


@dataclass(frozen=True)
class Core:
    """One wire of a run."""

    color: str
    """Code of `COLORS`."""
    carries: str
    """What it is for: "+12 V", "ground", "up"."""


@dataclass(frozen=True)
class Run:
    """Wires that lie together from one part to another."""

    label: str
    """"W7", written on both ends."""
    kind: RunKind
    start: str
    end: str
    """Keys of placed parts."""
    start_label: str
    end_label: str
    cores: tuple[Core, ...]
    """Empty for a bought cable."""
    wire: Wire | None
    """None for a bought cable."""
    length: float
    """To cut, or of the cable to buy. [mm]"""
    way: float
    """Through the cabinet. [mm]"""
    volts: float = 0.0
    amps: float = 0.0
    fuse: float = 0.0
    """[A]; 0: the source limits the current by itself."""
    most_drop: float = 0.0
    """What it may lose. [V]"""
    ends: tuple[str, str] = ("", "")
    """How it is joined at its start and its end."""
    what: str = ""
    """For people: "USB cable", "to the fan"."""
    own: bool = False
    """A cable that comes with its part, and is not bought."""

    @property
    def drop(self) -> float:
        """Lost there and back. [V]"""
        return self.wire.drop(self.length, self.amps) if self.wire else 0.0


def rail_color(volts: float) -> str:
    """Color of a rail's plus."""
    return RAIL_COLORS.get(volts, OTHER_RAIL)


def rail_colors(rails: Iterable[float]) -> dict[float, str]:
    """Colors of all rails of a cabinet, by voltage; two share one only when there are more rails than colors.

    Example:
        >>> rail_colors([12, 9, 15])
        {9: 'PK', 12: 'YE', 15: 'OG'}
    """
    found = {volts: RAIL_COLORS[volts] for volts in sorted(rails) if volts in RAIL_COLORS}
    spare = [color for color in _SPARE if color not in found.values()]
    for volts in sorted(set(rails) - set(found)):
        found[volts] = spare.pop(0) if spare else OTHER_RAIL
    return dict(sorted(found.items()))


def terminal_of(data: PartKind) -> Terminal:
    """How wires are joined to a part: as its data say, else as is usual for its kind."""
    if data.terminal is not None:
        return data.terminal
    if isinstance(data, Fitting):
        return "tab 4.8" if data.role == "switch" else "solder"
    return next((usual for kind, usual in _USUAL if isinstance(data, kind)), "tab 4.8")


def end_words(terminal: Terminal, wire: Wire) -> str:
    """What goes on a wire's end: receptacle, ferrule, plug or solder.

    Args:
        terminal: Of the part.
        wire: What is joined to it.

    Source:
        Common practice: red sleeves up to 1.5 mm², blue up to 2.5, yellow up to 6; the tool of the same maker.

    Example:
        >>> end_words("tab 4.8", Wire("0.5 mm²", 0.5, 39.0))
        'receptacle 4.8 mm, red'
    """
    sleeve = next((color for most, color in _CRIMPS if wire.area <= most + 0.1), "yellow")
    if terminal.startswith("tab"):
        return f"receptacle {terminal.removeprefix('tab ')} mm, {sleeve}"
    return {
        "screw": f"ferrule for {wire.name}",
        "solder": "soldered, heat-shrink sleeve",
        "plug": "the part's own plug",
    }[terminal]


LEAD_SOCKET = "line socket for the supply's plug"
"""Joins wires to a supply's own lead, so that nobody cuts the lead of a certified unit. Common practice."""


def cable_for(length: float, unit: Unit = "mm") -> float:
    """The shortest cable as sold that reaches; the way itself where none does. [mm]

    Example:
        >>> cable_for(501), cable_for(501, "in") / 304.8
        (1000.0, 2.0)
    """
    sold = FOOT_CABLES if unit == "in" else CABLES
    return next((cable for cable in sold if cable >= length), length)


__all__ = [
    "CABLES",
    "COLORS",
    "FOOT_CABLES",
    "GROUND",
    "LEAD_SOCKET",
    "Core",
    "Run",
    "RunKind",
    "cable_for",
    "end_words",
    "rail_color",
    "rail_colors",
    "terminal_of",
]
