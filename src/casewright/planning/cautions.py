"""Usual cautions, one place for all papers; local codes and makers' instructions go before every one of them.

Source of all: common practice of workshop safety. Each stands beside the step where it applies.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

Hazard = Literal[
    "saw",
    "router",
    "drill",
    "dust",
    "plastics",
    "glue",
    "fumes",
    "heat",
    "mains",
    "low voltage",
    "lifting",
]

CAUTIONS: Mapping[Hazard, tuple[str, ...]] = MappingProxyType(
    {
        "saw": (
            "Guard, riving knife and push stick; eye and ear protection; no gloves, sleeves or "
            "cords near the blade.",
            "Stand beside the line of the cut. Never reach over or behind a turning blade; wait "
            "until it stands still before clearing offcuts.",
            "Support the whole sheet. Never trap an offcut between the fence and the blade.",
        ),
        "router": (
            "Unplug before changing a bit. Clamp the work; eye and ear protection; both hands on "
            "the machine.",
            "Feed against the turning of the bit: clockwise round the inside of an opening, "
            "counter-clockwise round the outside of a piece. Take several shallow passes.",
        ),
        "drill": (
            "Clamp the work on a backing board; eye protection; no gloves. Large bits turn slowly.",
        ),
        "dust": (
            "Wood dust harms: extract at the tool, wear a P2 (N95) mask, and vacuum instead of "
            "sweeping.",
        ),
        "plastics": (
            "Plastics grab and shatter: keep the film on, fine blade or plastics bit, slow feed, "
            "eye protection, support close to the cut.",
        ),
        "glue": ("Read the label of the glue: gloves where it asks for them, fresh air, no food.",),
        "fumes": (
            "Spray outdoors or with strong airing; a half mask with organic vapour cartridges and "
            "prefilter; no flame, spark or heater near.",
            "Oily and solvent rags can set fire to themselves: dry them flat outdoors, or keep "
            "them under water in a closed tin.",
        ),
        "heat": (
            "A soldering iron burns at a touch and lights paper: stand it in its holder, air the "
            "fumes away, wash hands, unplug it when leaving.",
        ),
        "mains": (
            "Mains voltage kills. Use only a bought, enclosed, certified supply; do not open it. "
            "Leave all fixed mains work to a licensed electrician; local codes go before this "
            "book.",
        ),
        "low voltage": (
            "Low voltage still burns: a fuse near the supply, every wire as thick as its fuse "
            "asks, nothing live while wiring.",
        ),
        "lifting": (
            "Lift with straight back and close to the body; two people for what is heavy or wide. "
            "Clear the way first.",
        ),
    }
)
"""Sentences by hazard, gravest first."""

__all__ = ["CAUTIONS", "Hazard"]
