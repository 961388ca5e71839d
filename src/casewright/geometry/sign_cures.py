"""The smallest change that gives a sign's frame its seat, and the panel its rim."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from casewright.basics.findings import Remedy, mm
from casewright.basics.units import TOUCHING, LengthStyle, shown_beyond
from casewright.basics.wording import capital, listed
from casewright.catalog.kinds import Sign
from casewright.design.project import Project
from casewright.design.writing import length_style
from casewright.geometry.display_face import quarter_turns
from casewright.geometry.fitting import Stack
from casewright.geometry.model import Placed
from casewright.geometry.openings import Area, part_field, pierced_pieces, placed_at
from casewright.geometry.sign_layout import SignLayout
from casewright.geometry.web_least import web_least

FRAME_SEAT = 4.0
"""Least width of the frame's strips that lies on the panel. Source: common practice. [mm]"""
OVERLAP_LEAST = 3.0
"""Artwork that reaches less past the opening shows its edges when it shifts. Source: common practice. [mm]"""
LIP_SHORT = 1.0
"""A lip that is made narrower with the overlap stays so much behind the opening. Source: common practice. [mm]"""
OPENING_LEAST = 10.0
"""A lower or narrower opening is no sign any more. Source: common practice. [mm]"""


@dataclass(frozen=True)
class SignRoom:
    """A sign that fits: each value as it is where nothing need change. [mm]"""

    overlap: float
    lip: float
    width: float
    height: float
    u: float
    v: float


def room_for(
    placed: Placed, data: Sign, stack: Stack, project: Project, layout: SignLayout, back: Area
) -> SignRoom | None:
    """Return the nearest sign whose frame has its seat, and whose opening leaves the least web to every edge.

    The opening keeps its size as long as the artwork can reach the least overlap past it; then the overlap is the
    largest that fits, and the opening moves no further than it must. None where no opening would be left. What is
    changed shows as it is in the project's unit, so that no rounding takes it past its room.

    Source:
        Plain geometry: opening + 2 × (overlap + play + seat) within the clear back, opening + 2 × web within every
        face that it goes through. The play is taken as it is, which is a little much for a smaller sign.
    """
    style = length_style(project)
    play = layout.artwork.left - layout.rabbet.left
    rim = _rim(stack, project)
    least = min(data.overlap, OVERLAP_LEAST)

    def allowed(overlap: float) -> Area:
        return back.grown(-(overlap + play + FRAME_SEAT)).common(rim)

    most = allowed(least)
    width, height = min(layout.opening.width, most.width), min(layout.opening.height, most.height)
    if min(width, height) < OPENING_LEAST:
        return None
    spare = min(back.width - width, back.height - height) / 2 - play - FRAME_SEAT
    overlap = min(data.overlap, spare)
    room = allowed(overlap)
    if room.width < width or room.height < height:  # clear back and rim have different middles
        overlap = _largest(allowed, width, height, least, overlap)
    for less in range(_STEPS):
        for nearer in range(_STEPS):
            reach = _shown(overlap, data.overlap, nearer, style)
            wide = _shown(width, layout.opening.width, less, style)
            high = _shown(height, layout.opening.height, less, style)
            room = allowed(reach)
            u = _held(placed.u, room.left + wide / 2, room.right - wide / 2, style)
            v = _held(placed.v, room.bottom + high / 2, room.top - high / 2, style)
            if min(reach, wide, high) > TOUCHING and u is not None and v is not None:
                turned = quarter_turns(placed.turn_deg) % 2 == 1
                size = (high, wide) if turned else (wide, high)
                return SignRoom(reach, _lip(data.frame_lip, reach, style), *size, u, v)
    return None


_STEPS = 4
"""So many steps of the project's unit are tried until all that changes is one that shows."""


def _shown(best: float, now: float, less: int, style: LengthStyle) -> float:
    """What a size may be at most, a number of steps less, as it shows; what it is now where that does. [mm]"""
    if best > now - TOUCHING and not less:
        return now
    size = shown_beyond(best, style, up=False)
    for _ in range(less):
        size = shown_beyond(size - 2 * TOUCHING, style, up=False)
    return size


def _lip(lip: float, overlap: float, style: LengthStyle) -> float:
    """The lip, where it is wider than the overlap one that stays behind the opening. [mm]"""
    if lip <= overlap + TOUCHING:
        return lip
    best = max(overlap - LIP_SHORT, min(overlap, LIP_SHORT))
    down = shown_beyond(best, style, up=False)
    return down if down > TOUCHING else min(shown_beyond(best, style, up=True), overlap)


def room_cures(
    placed: Placed,
    data: Sign,
    stack: Stack,
    project: Project,
    layout: SignLayout,
    back: Area,
) -> list[Remedy]:
    """Return what to change, all in one order; wider strips where those are too narrow."""
    play = layout.artwork.left - layout.rabbet.left
    found = room_for(placed, data, stack, project, layout, back)
    if found is None:
        return [
            Remedy(
                f"Make the clear back larger: an opening of {mm(OPENING_LEAST)} would not fit it."
            )
        ]
    strips = shown_beyond(FRAME_SEAT + found.lip + play, length_style(project), up=True)
    changes = [
        (
            "make its opening {} high",
            part_field(placed, project, "opening_height"),
            data.opening_height,
            found.height,
        ),
        (
            "make its opening {} wide",
            part_field(placed, project, "opening_width"),
            data.opening_width,
            found.width,
        ),
        (
            "let the artwork reach {} past the opening",
            part_field(placed, project, "overlap"),
            data.overlap,
            found.overlap,
        ),
        (
            "let the frame's lip cover {}",
            part_field(placed, project, "frame_lip"),
            data.frame_lip,
            found.lip,
        ),
        (
            "make the frame's strips {} wide",
            part_field(placed, project, "frame_width"),
            data.frame_width,
            max(data.frame_width, strips),
        ),
    ]
    needed = [
        (words.format(mm(best)), (field, best))
        for words, field, is_now, best in changes
        if abs(best - is_now) > TOUCHING
    ]
    axes: tuple[tuple[Literal["u", "v"], float, float], ...] = (
        ("u", placed.u, found.u),
        ("v", placed.v, found.v),
    )
    needed += [
        (f"set its middle at {axis} = {mm(to)}", placed_at(placed, project, axis, to))
        for axis, now, to in axes
        if abs(to - now) > TOUCHING
    ]
    if not needed:
        return []
    text = listed([order for order, _ in needed])
    values = [value for _, value in needed]
    return [Remedy(f"{capital(text)}.", *values[0], also=tuple(values[1:]))]


def _rim(stack: Stack, project: Project) -> Area:
    """Where an opening may lie: the least web from the edges of both faces of every piece that it goes through."""
    faces = [
        Area.of(face).grown(-web_least(project, piece))
        for piece in pierced_pieces(stack, project)
        for face in (piece.show, piece.back)
    ]
    rim = faces[0]
    for face in faces[1:]:
        rim = rim.common(face)
    return rim


def _largest(
    allowed: Callable[[float], Area], width: float, height: float, low: float, high: float
) -> float:
    """The largest overlap between two whose area still holds the opening; a smaller one leaves more."""
    for _ in range(60):
        middle = (low + high) / 2
        area = allowed(middle)
        fits = area.width >= width and area.height >= height
        low, high = (middle, high) if fits else (low, middle)
    return low


def _held(value: float, low: float, high: float, style: LengthStyle) -> float | None:
    """The value where it lies between two others, else the nearest that does and shows as it is; None if none does."""
    if low - TOUCHING <= value <= high + TOUCHING:
        return value
    to = shown_beyond(low, style, up=True) if value < low else shown_beyond(high, style, up=False)
    return to if low - TOUCHING <= to <= high + TOUCHING else None


__all__ = [
    "FRAME_SEAT",
    "LIP_SHORT",
    "OPENING_LEAST",
    "OVERLAP_LEAST",
    "SignRoom",
    "room_cures",
    "room_for",
]
