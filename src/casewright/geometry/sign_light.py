"""The light of a sign: its board behind the artwork, and the rows of strip on it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.reckoning import Reckoning, Term, derived, stated, total
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Sign, Strip
from casewright.design.project import Project
from casewright.geometry.display_face import quarter_turns
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.inside import span_inside
from casewright.geometry.model import (
    Body,
    Box,
    Placed,
    Point2,
)
from casewright.geometry.openings import Area, part_field
from casewright.geometry.sign_layout import (
    PRINT,
    SignLayout,
    behind,
    material_near,
    sign_piece,
)
from casewright.geometry.sign_row_room import RoomOf, row_areas, row_remedies, rows_beyond
from casewright.geometry.sign_rows import STRIP_THICKNESS, strip_rows

LEAST_DISTANCE = 10
"""A light board nearer to the diffuser shows its single lights. [mm] Source: common practice."""
BOARD_PLAY = 1.0
"""Round the light board, so that it goes in and out. [mm]"""
BOARD_MARGIN = 10.0
"""Light board beyond the opening and beyond its rows, for joints and screws. [mm] Source: common practice."""

STRIP_NEEDED = Rule(
    "sign.strip",
    Severity.CAUTION,
    "There is a light strip for the sign.",
    "Without its cut unit no row can be laid out.",
    "Plain geometry",
)

ROWS = Rule(
    "sign.rows",
    Severity.CAUTION,
    "The rows of light lie on the light board.",
    "Strip that overhangs its board is not held and throws its light beside the artwork.",
    "Plain geometry",
)

BOARD_ROOM = Rule(
    "sign.board-room",
    Severity.CAUTION,
    "There is room for the light board where it shall stand.",
    "The distance from light to diffuser decides whether single lights are seen.",
    "Plain geometry",
)


def fit_light(
    placed: Placed,
    data: Sign,
    stack: Stack,
    project: Project,
    layout: SignLayout,
    back: Area,
    strip: Strip | None,
    inside: Sequence[Point2] | None,
) -> Fitted:
    """The light board behind the artwork, a little larger than opening and rows, with its rows."""
    key = f"{placed.key}.light-board"
    material = material_near(project, data.board_thickness, stack.board.material)
    thickness = project.materials[material].thickness
    names = (placed.key, key)
    point = stack.board.frame.point(placed.u, placed.v, -stack.board.thickness - layout.board)
    wished = board_size(data, strip)
    room = _board_room(placed, wished, stack, layout.board, back, thickness, inside)
    if room is None or room.width <= 0 or room.height <= 0:
        return Fitted(
            findings=(
                BOARD_ROOM.finding(
                    f"{mm(layout.board)} behind the panel there is no room for the light board of {placed.label}.",
                    remedies=_nearer(
                        placed, data, project, wished, stack, layout, back, thickness, inside
                    ),
                    names=names,
                    point=point,
                ),
            )
        )
    board = sign_piece(
        stack,
        key,
        f"{placed.label} light board",
        "light board",
        "light board",
        material,
        thickness,
        room,
        layout.board,
        has_grain=project.materials[material].grain == "length",
    )
    numbers: list[Reckoning] = [
        total(
            f"{placed.key}.board_depth",
            "light board's face behind the panel's back face",
            [
                Term("cover", data.cover),
                Term("print", PRINT),
                Term("diffuser", data.diffuser),
                Term("light board behind the diffuser", data.board_distance),
            ],
        ),
        stated(
            f"{placed.key}.board_width",
            "width of the light board",
            room.width,
            source="Plain geometry",
        ),
        stated(
            f"{placed.key}.board_height",
            "height of the light board",
            room.height,
            source="Plain geometry",
        ),
    ]
    if strip is None:
        missing = STRIP_NEEDED.finding(
            f"No light strip is listed for {placed.label}.",
            remedies=(Remedy("Add a part of kind 'strip' with its cut unit."),),
            names=names,
            point=point,
            missing="cut unit of the light strip",
        )
        return Fitted(pieces=(board,), numbers=tuple(numbers), findings=(missing,))

    def room_of(other: Sign) -> Area | None:
        size = board_size(other, strip)
        return _board_room(placed, size, stack, layout.board, back, thickness, inside)

    lit = _rows(placed, data, stack, project, layout, room, strip, room_of)
    return gathered([Fitted(pieces=(board,), numbers=tuple(numbers)), lit])


def board_size(data: Sign, strip: Strip | None = None) -> tuple[float, float]:
    """Length and height that a sign's light board shall have, along and across its rows. [mm]

    What the maker says; else opening or rows, whichever is larger, and a margin all round.

    Example:
        >>> board_size(Sign(opening_width=630, opening_height=30, rows=2, row_pitch=32))
        (650.0, 62.0)
    """
    wide = 10.0 if strip is None else strip.width
    rows = (data.rows - 1) * data.row_pitch + wide
    length = max(data.opening_width, data.row_length or 0.0) + 2 * BOARD_MARGIN
    height = max(data.opening_height, rows) + 2 * BOARD_MARGIN
    return (data.board_length or length, data.board_height or height)


def _board_room(
    placed: Placed,
    wished: tuple[float, float],
    stack: Stack,
    depth: float,
    back: Area,
    thickness: float,
    inside: Sequence[Point2] | None,
) -> Area | None:
    """What the light board takes at a depth: both faces inside the cabinet's side view, and not over its wish."""
    near = placed.v
    low, high = back.bottom, back.top
    if inside is not None:
        low, high = -math.inf, math.inf
        for face in (depth, depth + thickness):
            frame = behind(stack, face)
            span = span_inside(inside, frame.origin[1:], frame.v[1:], near)
            if span is None:
                return None
            low, high = max(low, span[0]), min(high, span[1])
    room = Area(back.left, low, back.right, high).grown(-BOARD_PLAY)
    if not room.bottom < near < room.top:
        return None
    wide, tall = wished
    if quarter_turns(placed.turn_deg) % 2:
        wide, tall = tall, wide
    return room.common(Area.around(placed.u, near, wide, tall))


def _nearer(
    placed: Placed,
    data: Sign,
    project: Project,
    wished: tuple[float, float],
    stack: Stack,
    layout: SignLayout,
    back: Area,
    thickness: float,
    inside: Sequence[Point2] | None,
) -> tuple[Remedy, ...]:
    """The largest distance in whole millimeters that leaves room for the board, and the other way out."""
    for distance in range(math.ceil(data.board_distance) - 1, LEAST_DISTANCE - 1, -1):
        depth = layout.sandwich + distance
        if _board_room(placed, wished, stack, depth, back, thickness, inside):
            return (
                Remedy(
                    f"Set it {mm(float(distance))} behind the diffuser.",
                    part_field(placed, project, "board_distance"),
                    float(distance),
                ),
            )
    return (Remedy("Make the cabinet deeper there."),)


def _rows(
    placed: Placed,
    data: Sign,
    stack: Stack,
    project: Project,
    layout: SignLayout,
    room: Area,
    strip: Strip,
    room_of: RoomOf,
) -> Fitted:
    wished = data.opening_width if data.row_length is None else data.row_length
    wires = 3 if strip.addressable else 2
    feeds = 2 if data.feed == "both ends" else 1
    found = strip_rows(
        wished, strip.cut_unit, rows=data.rows, pitch=data.row_pitch, wires=wires, feeds=feeds
    )
    key = placed.key
    frame = behind(stack, layout.board)
    names = (key, f"{key}.light-board")
    point = frame.point(placed.u, placed.v)
    bodies = []
    worst = rows_beyond(placed, data, strip, room)
    for number, area in enumerate(row_areas(placed, data, strip), 1):
        box = Box(*area.centre, area.width, area.height, 0.0, STRIP_THICKNESS)
        label = f"{placed.label} light, row {number}"
        touched = (f"{key}.light-board",)
        bodies.append(
            Body(f"{key}.row-{number}", key, "solid", frame, box, label, "lit", "", touched)
        )
    findings: list[Finding] = []
    if not found.rows:
        findings.append(
            ROWS.finding(
                f"Rows of {mm(wished)} are shorter than one cut unit of {mm(strip.cut_unit)}.",
                remedies=(
                    Remedy(
                        f"Make the rows {mm(strip.cut_unit)} at least, or take a strip with a shorter unit.",
                        part_field(placed, project, "row_length"),
                        strip.cut_unit,
                    ),
                ),
                names=names,
                point=point,
            )
        )
    elif worst > TOUCHING:
        findings.append(
            ROWS.finding(
                f"The rows of {placed.label} reach {mm(worst)} past the light board.",
                remedies=row_remedies(placed, data, project, strip, room_of),
                names=names,
                point=point,
            )
        )
    numbers = (
        derived(
            f"{key}.row_units",
            "cut units in one row",
            float(found.units),
            "whole part of (wished length ÷ cut unit)",
            [Term("wished length", wished), Term("cut unit", strip.cut_unit)],
            unit="",
            rule="Strip is cut only at its marks.",
        ),
        derived(
            f"{key}.row_length",
            "length of one row",
            found.row_length,
            "cut units × cut unit",
            [
                Term("cut units", float(found.units), 1, f"{key}.row_units"),
                Term("cut unit", strip.cut_unit),
            ],
        ),
        total(
            f"{key}.row_gap",
            "left at each end of a row",
            [
                Term("wished length", wished, 0.5),
                Term("row", found.row_length, -0.5, f"{key}.row_length"),
            ],
        ),
        derived(
            f"{key}.strip_length",
            "strip used",
            found.strip_length,
            "rows × length of one row",
            [Term("rows", float(len(found.rows))), Term("length of one row", found.row_length)],
        ),
        derived(
            f"{key}.joints",
            "soldered wire ends on the strip",
            float(found.joints),
            "wires × (feeds + 2 × (rows − 1))",
            [
                Term("wires", float(wires)),
                Term("feeds", float(feeds)),
                Term("rows", float(len(found.rows))),
            ],
            unit="",
            rule="Each feed, and a bridge from the end of each row to the start of the next.",
        ),
    )
    return Fitted(bodies=tuple(bodies), numbers=numbers, findings=tuple(findings))


__all__ = ["BOARD_MARGIN", "BOARD_PLAY", "board_size", "fit_light"]
