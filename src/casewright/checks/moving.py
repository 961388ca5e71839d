"""Remedies that move something: the field of the project file that places it, and its new value."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Literal

from casewright.basics.customary import mass_words
from casewright.basics.findings import Remedy, mm
from casewright.basics.units import TOUCHING, shown_beyond
from casewright.design.panels import GrooveFeature
from casewright.design.writing import length_style
from casewright.geometry.model import Cabinet, Placed
from casewright.geometry.naming import SIDES

Axis = Literal["u", "v"]


def weighed(cabinet: Cabinet, mass_kg: float) -> str:
    """A mass in kilograms, and in pounds too for a project in inches."""
    return mass_words(mass_kg, cabinet.project.unit)


def weighed_up(cabinet: Cabinet, mass_kg: float) -> str:
    """A mass that is enough: the next tenth of a kilogram above."""
    return weighed(cabinet, math.ceil(10 * mass_kg - 1e-6) / 10)


def stem(label: str) -> str:
    """A label without what tells one of a set from another: "stop strip, low" is a stop strip."""
    return re.sub(r", (low|high|left|right|top|bottom)( \d+)?$", "", label)


def label_of(cabinet: Cabinet, key: str) -> str:
    """What a piece or part is called; its key if nothing better is known."""
    if key in cabinet.placed_by_key:
        return cabinet.placed_by_key[key].label
    return cabinet.piece_by_key[key].label if key in cabinet.piece_by_key else key


def placed_field(cabinet: Cabinet, placed: Placed, name: str) -> str:
    """Dotted path of one value of a placement."""
    part = cabinet.project.parts.get(placed.part.key)
    keys = [wish.key for wish in part.placed] if part else []
    place = keys.index(placed.wish.key) if placed.wish.key in keys else 0
    return f"parts.{placed.part.key}.placed.{place}.{name}"


def moved_field(
    cabinet: Cabinet, placed: Placed, axis: Axis, shift: float
) -> tuple[str, float, float]:
    """Return the field that moves a placed part, what to write there, and the new place. [mm]

    A piece with a shift of its own is moved by that; of a mirrored pair both move.
    """
    wish = placed.wish
    now = placed.u if axis == "u" else placed.v
    given, own = (wish.u, wish.du) if axis == "u" else (wish.v, wish.dv)
    if is_mirrored(placed, axis):
        shift = -shift
        now = _depth(cabinet) - now
    if given is not None:
        return placed_field(cabinet, placed, axis), given + shift, now + shift
    if wish.like is not None or abs(own) > TOUCHING:  # a shift from another one, or from the middle
        return placed_field(cabinet, placed, f"d{axis}"), own + shift, now + shift
    return placed_field(cabinet, placed, axis), now + shift, now + shift


def move_remedy(cabinet: Cabinet, owner: str, axis: Axis, shift: float) -> Remedy | None:
    """Return the order to move a part, a door or a feature of the project's own; None for anything else.

    The place is one that shows as it is in the project's unit, as far away as asked or a little further.
    """
    shift = whole_shift(cabinet, owner, axis, shift)
    way = {"u": ("left", "right"), "v": ("down", "up")}[axis][shift > 0]
    if owner in cabinet.placed_by_key:
        placed = cabinet.placed_by_key[owner]
        field, value, to = moved_field(cabinet, placed, axis, shift)
        what, where = placed.label, f"{axis} = {mm(to)}"
        if (
            placed.wish.on == SIDES[-1]
        ):  # both move, mirrored; the file's u is that of the right one
            what = f"{stem(placed.label)} on both sides"
            if axis == "u":
                way = ("forward", "back")[(shift > 0) is not is_mirrored(placed, axis)]
                where = f"{where} of the right one"
        return Remedy(f"Move {what} {mm(abs(shift))} {way}, to {where}.", field, value)
    section, _, number = owner.partition(".")
    if section == "features" and number.isdigit():
        feature = cabinet.project.features[int(number)]
        to = (_place(cabinet, owner, axis) or 0.0) + shift
        label = feature.label or f"feature {int(number) + 1}"
        more: tuple[tuple[str, float], ...] = ()
        if isinstance(feature, GrooveFeature):  # its end goes along
            at = 0 if axis == "u" else 1
            more = ((f"{owner}.to.{at}", feature.to[at] + shift),)
        return Remedy(
            f"Move {label} {mm(abs(shift))} {way}, to {axis} = {mm(to)}.",
            f"{owner}.{axis}",
            to,
            more,
        )
    door = cabinet.project.doors.get(owner)
    piece = cabinet.piece_by_key.get(owner)
    if door is not None and piece is not None:
        to = (_place(cabinet, owner, axis) or 0.0) + shift
        return Remedy(
            f"Move {piece.label} {mm(abs(shift))} {way}, to {axis} = {mm(to)}.",
            f"doors.{owner}.{axis}",
            to,
        )
    return None


def shift_remedy(cabinet: Cabinet, owner: str, du: float, dv: float) -> Remedy | None:
    """Return the order to move a part along u and v in one go; either may be nothing. [mm]"""
    along_u = move_remedy(cabinet, owner, "u", du) if abs(du) > TOUCHING else None
    along_v = move_remedy(cabinet, owner, "v", dv) if abs(dv) > TOUCHING else None
    if along_u is None or along_v is None or along_v.value is None:
        return along_u or along_v
    return replace(
        along_u,
        text=f"{along_u.text} {along_v.text}",
        also=(*along_u.also, (along_v.field, along_v.value), *along_v.also),
    )


def whole_shift(cabinet: Cabinet, owner: str, axis: Axis, shift: float) -> float:
    """The shift lengthened to the next place that shows as it is in the project's unit. [mm]"""
    now = _place(cabinet, owner, axis)
    if now is None or abs(shift) <= TOUCHING:
        return shift
    mirrored = owner in cabinet.placed_by_key and is_mirrored(cabinet.placed_by_key[owner], axis)
    if mirrored:  # counted from the other edge of the side
        now, shift = _depth(cabinet) - now, -shift
    to = shown_beyond(now + shift, length_style(cabinet.project), up=shift > 0)
    return (now - to) if mirrored else (to - now)


def _place(cabinet: Cabinet, owner: str, axis: Axis) -> float | None:
    """Where along an axis of its piece a part, a door or a feature of the project's own sits. [mm]"""
    if owner in cabinet.placed_by_key:
        placed = cabinet.placed_by_key[owner]
        return placed.u if axis == "u" else placed.v
    section, _, number = owner.partition(".")
    if section == "features" and number.isdigit():
        feature = cabinet.project.features[int(number)]
        return feature.u if axis == "u" else feature.v
    if owner in cabinet.project.doors and owner in cabinet.piece_by_key:
        low_u, low_v, high_u, high_v = cabinet.piece_by_key[owner].extent
        return ((low_u + high_u) if axis == "u" else (low_v + high_v)) / 2
    return None


def is_mirrored(placed: Placed, axis: Axis) -> bool:
    """True where u runs the other way than in the project: on the left one of a pair of sides."""
    return placed.wish.on == SIDES[-1] and placed.piece == "left" and axis == "u"


def _depth(cabinet: Cabinet) -> float:
    return max(y for y, _ in cabinet.shape.corners.values())


def owner_label(cabinet: Cabinet, owner: str) -> str:
    """What the owner of a feature is called."""
    section, _, number = owner.partition(".")
    if section == "features" and number.isdigit():
        return cabinet.project.features[int(number)].label or f"feature {int(number) + 1}"
    return label_of(cabinet, owner)


__all__ = [
    "Axis",
    "is_mirrored",
    "label_of",
    "move_remedy",
    "moved_field",
    "owner_label",
    "placed_field",
    "shift_remedy",
    "stem",
    "weighed",
    "weighed_up",
    "whole_shift",
]
