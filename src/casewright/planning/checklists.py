"""What is looked at before glue, and before the first use: one line for each thing that can be wrong.

Both lists follow from the cabinet: its seams, panels, bought parts, and what comes off. Source: common practice.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from casewright.basics.findings import mm
from casewright.basics.wording import counted
from casewright.behavior.loads import Loads
from casewright.catalog.kinds import Device, Fitting, Grip, PushButton
from casewright.geometry.model import Cabinet, Corner, Piece, Placed
from casewright.planning.work.step import is_removable, labels_of

SAME = 0.1
"""Diagonals nearer than this are told as one length. [mm]"""


@dataclass(frozen=True)
class Item:
    """One thing to look at. Lengths are marked by `basics.findings.mm`."""

    group: str
    what: str
    expect: str
    keys: tuple[str, ...] = ()
    """Of the corners, pieces and placed parts it looks at."""


def dry_fit_list(cabinet: Cabinet) -> tuple[Item, ...]:
    """Everything that must be right while it stands together dry."""
    return (
        *_seams(cabinet),
        *_square(cabinet),
        *_held(cabinet),
        *_loose(cabinet, "goes in and out"),
    )


def commissioning_list(cabinet: Cabinet, loads: Loads) -> tuple[Item, ...]:
    """Everything that must work before the first use, whole things last."""
    return (
        *_used(cabinet),
        *_loose(cabinet, "opens and closes"),
        *_whole(cabinet, loads),
    )


# ---- dry fit ----


def _seams(cabinet: Cabinet) -> Iterator[Item]:
    labels = labels_of(cabinet)
    for corner in cabinet.corners:
        if corner.first and corner.second:
            names = f"{labels.get(corner.first, corner.first)} to {labels.get(corner.second, corner.second)}"
            yield Item(
                "Seams",
                f"{corner.name}: {names}",
                _closed(corner, labels.get(corner.over, corner.over)),
                (f"corner {corner.name}", corner.first, corner.second),
            )


def _closed(corner: Corner, over: str) -> str:
    if corner.rule == "gap":
        return f"an even gap of {mm(corner.gap)}"
    if corner.rule == "cover":
        return f"the {over} covers; no light through"
    tilts = f"{abs(corner.first_tilt_deg):.1f}° and {abs(corner.second_tilt_deg):.1f}°"
    return f"closes by hand from end to end; cut at {tilts}"


def _square(cabinet: Cabinet) -> Iterator[Item]:
    sides = [piece for piece in cabinet.pieces if piece.kind == "side"]
    if len(sides) == 2:
        clear = cabinet.shape.width - sum(side.thickness for side in sides)
        yield Item(
            "Square",
            "between the sides, at both ends of the base and at the top",
            mm(clear),
            tuple(side.key for side in sides),
        )
        yield Item(
            "Square",
            "the two sides on each other, inner faces together",
            "every corner meets",
            tuple(side.key for side in sides),
        )
    for piece in cabinet.pieces:
        if piece.kind in ("panel", "inner") and (both := diagonals(piece)) is not None:
            one, other = both
            words = f"both {mm(one)}" if abs(one - other) < SAME else f"{mm(one)} and {mm(other)}"
            yield Item("Diagonals", f"{piece.label}, on its show face", words, (piece.key,))


def diagonals(piece: Piece) -> tuple[float, float] | None:
    """Of a piece with four corners on its show face, as it lies: None for any other. [mm]"""
    if len(piece.show) != 4:
        return None
    a, b, c, d = piece.show
    return (math.dist(a, c), math.dist(b, d))


_HELD = {
    "display": "housing drops between its rails by hand; nothing of the bezel shows in the opening",
    "button": "passes its hole, its rim covers it, its nut turns home",
    "lever": "clears its hole at full tilt all round, its washer hides the hole",
    "dial": "bushing through, nut on two threads or more",
    "trackball": "drops in, turns freely",
    "speaker": "sits flat, its screws meet their pilots",
    "port": "goes in without force",
    "fan": "turns freely, its screws meet their holes",
    "fitting": "goes in, its flange covers the cut-out",
    "sign": "cover, print and diffuser lie flat in frame and opening",
    "device": "holes meet pilots, plugs have their room",
    "foot": "its screws do not come through",
    "grip": "a hand closes round it, no sharp edge",
    "vent": "open right through",
    "hardware": "fits its hole",
}


def _held(cabinet: Cabinet) -> Iterator[Item]:
    """Bought parts held to their holes: parts of one type on one piece in a line."""
    labels = labels_of(cabinet)
    groups: dict[tuple[str, str], list[Placed]] = {}
    for placed in cabinet.placed:
        if isinstance(placed.part.data, Device) and placed.part.data.outside:
            continue
        groups.setdefault((placed.piece, placed.part.key), []).append(placed)
    for (piece, _), mine in groups.items():
        data = mine[0].part.data
        name = mine[0].label if len(mine) == 1 else f"{len(mine)} × {mine[0].part.label}"
        yield Item(
            "Bought parts in their places",
            f"{name}, in the {labels.get(piece, piece)}",
            _HELD.get(data.kind, "fits"),
            tuple(placed.key for placed in mine),
        )


def _loose(cabinet: Cabinet, does: str) -> Iterator[Item]:
    for piece in cabinet.pieces:
        if piece.kind == "door" or (
            piece.kind in ("panel", "inner", "board") and is_removable(piece)
        ):
            yield Item(
                "What comes off",
                piece.label,
                f"{does} without force, gap even",
                (piece.key,),
            )


# ---- in use ----


def _used(cabinet: Cabinet) -> Iterator[Item]:
    """Every part by itself; feet and vents of one type together."""
    told: set[str] = set()
    for placed in cabinet.placed:
        if placed.key in told:
            continue
        item = _item(cabinet, placed)
        alike = [p for p in cabinet.placed if p.part.key == placed.part.key]
        if placed.part.data.kind in ("foot", "vent") and len(alike) > 1:
            keys = tuple(p.key for p in alike)
            told.update(keys)
            yield Item(item.group, f"{len(alike)} × {placed.part.label}", item.expect, keys)
        else:
            yield item


def _item(cabinet: Cabinet, placed: Placed) -> Item:
    """What a bought part must do."""
    data = placed.part.data
    same = sum(other.label == placed.label for other in cabinet.placed)
    name = f"{placed.label} ({placed.key})" if same > 1 else placed.label
    group, expect = _does(placed)
    if isinstance(data, PushButton) and data.lamp_volts:
        expect += "; lamp lights"
    return Item(group, name, expect, (placed.key,))


def _does(placed: Placed) -> tuple[str, str]:
    data = placed.part.data
    if isinstance(data, Fitting):
        return _FITTINGS.get(data.role, ("Sockets and switches", "sits fast"))
    if isinstance(data, Device):
        return _DEVICES.get(data.role, ("Boards", "sits fast, stays cool"))
    if isinstance(data, Grip):
        return (
            "Handles, feet, vents",
            "lifted by it near the floor: nothing gives, nothing creaks",
        )
    return _USED.get(data.kind, ("Other parts", "sits fast"))


_USED = {
    "display": (
        "Displays",
        "test picture: the border shows on all four edges, as many blocks are hidden left as right and above as below",
    ),
    "button": ("Buttons", "one press, one report"),
    "lever": ("Levers", "up, down, left, right, each reported; back to the middle"),
    "dial": ("Dials", "whole range from end to end, no jump"),
    "trackball": ("Dials", "both directions reported"),
    "speaker": ("Loudspeakers", "plays by itself, on its own side, no buzz at full level"),
    "fan": ("Fans", "air goes out of the cabinet; no rattle"),
    "sign": ("Lights", "lit from end to end, no dark row, no warm smell after an hour"),
    "strip": ("Lights", "lit from end to end"),
    "port": ("Loudspeakers", "no whistle at full level"),
    "vent": ("Handles, feet, vents", "air moves through it"),
    "foot": ("Handles, feet, vents", "stands on it, no rocking"),
}
_FITTINGS = {
    "switch": ("Sockets and switches", "off: everything dark; on: everything starts"),
    "inlet": ("Sockets and switches", "plug sits fast, its pull does not move it"),
    "port": ("Sockets and switches", "what is plugged in is found"),
    "jack": ("Sockets and switches", "sound on both sides"),
    "socket": ("Sockets and switches", "plug sits fast, its pull does not move it"),
    "terminals": ("Sockets and switches", "wires sit fast, plus on plus, and do not touch"),
}
_DEVICES = {
    "computer": ("Boards", "starts by itself when power comes back"),
    "amplifier": ("Boards", "no hum with nothing playing"),
    "controller": ("Boards", "found by the computer, every control on its own number"),
    "converter": ("Boards", "its rail within 5 % under full load"),
    "supply": ("Boards", "its voltage within 5 % under full load; can be touched for long"),
    "battery": ("Boards", "full: its voltage under full load; stays cool; its own charger fits"),
    "cup": ("Handles, feet, vents", "no sharp edge inside"),
}


def _whole(cabinet: Cabinet, loads: Loads) -> Iterator[Item]:
    group = "The whole"
    supplies = [s for s in loads.supplies if s.volts and loads.hung(s.name)]
    for supply in supplies:
        which = "the supply" if len(supplies) == 1 else supply.label
        yield Item(
            group,
            f"current at full brightness and sound, at {which}",
            f"below {loads.hung(supply.name) / supply.volts:.1f} A at {supply.volts:g} V",
        )
    if loads.rows:
        yield Item(
            group,
            "air inside after an hour, closed, everything on",
            f"below {cabinet.project.limits.air_c:g} °C; the hottest place can be touched for long",
        )
    yield Item(group, "leaned on at its front edge", "does not tip, does not slide")
    counts = sum(fastening.count for fastening in cabinet.fastenings)
    if counts:
        yield Item(group, "screw map", f"every line ticked: {counted(counts, 'screw')}")
    yield Item(group, "edges and corners, by hand", "no splinter, no screw's tip")


__all__ = ["Item", "commissioning_list", "diagonals", "dry_fit_list"]
