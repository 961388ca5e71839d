"""What holds a display: rails that register its housing, and a bar over its rear mounting holes.

The rails lie on the panel's back round the housing, with a gap for shims, so that the picture can be moved into the
middle of its opening once and for all. The bar lies behind the housing, across it, on blocks upon the two side rails;
its slots let the housing move sideways, and it is itself slid up or down before its last four screws go in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.reckoning import Reckoning, Term, stated, total
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Display
from casewright.catalog.threads import clearance_hole
from casewright.design.parts import Hold
from casewright.design.project import Project
from casewright.geometry.display_face import DisplayFace, display_face, housing_area
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.holding_screws import (
    SPARE_THREAD,
    Screw,
    machine_screw,
    packing_for,
    spaced,
    washer,
    wood_screw,
)
from casewright.geometry.model import (
    Circle,
    Fastening,
    Feature,
    Frame,
    Piece,
    PieceKind,
    Placed,
    Point2,
    Rectangle,
)
from casewright.geometry.openings import Area, back_area, wish_field

RAIL_LEAST = 8.0
"""Narrowest rail that is still glued on well. Source: common practice. [mm]"""
RAIL_SHORTEST = 40.0
"""A shorter piece of rail registers nothing. Source: common practice. [mm]"""
BAR_SEAT = 12.0
"""Narrowest rail that takes the bar's screws: three diameters of 4 mm. Source: common practice. [mm]"""
ALIGNING = 3.0
"""Each way that the bar's slots let the housing move. Source: common practice. [mm]"""
BAR_EDGE = 8.0
"""Wood kept between a slot's middle and the bar's edge. Source: common practice. [mm]"""
SHIM = 0.5
"""What is thinner than this is shimmed, not blocked. [mm]"""

RAIL_ROOM = Rule(
    "display.rail-room",
    Severity.CAUTION,
    "There is room for rails below and beside the housing.",
    "Rails hold the picture in the middle of its opening when the display is taken out and put back.",
    "Common practice",
)
BAR_WIDTH = Rule(
    "display.bar-width",
    Severity.CAUTION,
    "The bar covers the rear mounting holes with wood to spare at its edges.",
    "A slot too near an edge splits out.",
    "Common practice",
)
BAR_SUPPORT = Rule(
    "display.bar-support",
    Severity.CAUTION,
    "The bar rests on a rail at both ends.",
    "Without it only the rails hold the display, and it falls back when the cabinet is tipped.",
    "Plain geometry",
)
BAR_SCREW = Rule(
    "display.bar-screw",
    Severity.CAUTION,
    "A machine screw in stock bites its own diameter and ends before the thread does.",
    "A screw too long presses on what is behind the thread and can break the display; one too short strips it.",
    "Common practice",
)

RailSide = Literal["bottom", "left", "right", "top"]


@dataclass(frozen=True)
class Rail:
    """Where a rail lies on the panel's back."""

    side: RailSide
    area: Area


def rails_round(
    housing: Area, hold: Hold, clear: Area, standing: Sequence[Area] = ()
) -> tuple[tuple[Rail, ...], dict[RailSide, float]]:
    """Return the rails, and the room there is at the sides that get none. [mm]

    A rail is made narrower where the room asks for it, down to `RAIL_LEAST`, and interrupted where another piece
    stands.

    Args:
        housing: Its outline in the panel's (u, v).
        hold: Widths and gap wished for.
        clear: The part of the back face that is free.
        standing: Footprints of other pieces on it.
    """
    rails: list[Rail] = []
    missing: dict[RailSide, float] = {}
    rooms: dict[RailSide, float] = {
        "bottom": housing.bottom - clear.bottom,
        "left": housing.left - clear.left,
        "right": clear.right - housing.right,
        "top": clear.top - housing.top,
    }
    gap = hold.gap
    for side, room in rooms.items():
        width = min(hold.rail_width, room - gap)
        if width < RAIL_LEAST - TOUCHING:
            missing[side] = room
            continue
        strip = {
            "bottom": Area(
                housing.left, housing.bottom - gap - width, housing.right, housing.bottom - gap
            ),
            "left": Area(
                housing.left - gap - width, housing.bottom, housing.left - gap, housing.top
            ),
            "right": Area(
                housing.right + gap, housing.bottom, housing.right + gap + width, housing.top
            ),
            "top": Area(housing.left, housing.top + gap, housing.right, housing.top + gap + width),
        }[side].common(clear)
        pieces = _free_parts(strip, standing, along_u=side in ("bottom", "top"))
        rails.extend(Rail(side, area) for area in pieces)
        if not pieces:
            missing[side] = room
    return tuple(rails), missing


def _free_parts(strip: Area, standing: Sequence[Area], *, along_u: bool) -> list[Area]:
    """The strip without the stretches where something stands in it; short remains are dropped."""
    low, high = (strip.left, strip.right) if along_u else (strip.bottom, strip.top)
    taken = sorted(
        (other.left, other.right) if along_u else (other.bottom, other.top)
        for other in standing
        if other.meets(strip)
    )
    spans = []
    at = low
    for start, end in [*taken, (high, high)]:
        if start - at >= RAIL_SHORTEST - TOUCHING:
            spans.append((at, min(start, high)))
        at = max(at, end)
    if along_u:
        return [Area(a, strip.bottom, b, strip.top) for a, b in spans]
    return [Area(strip.left, a, strip.right, b) for a, b in spans]


def fit_hold(
    placed: Placed,
    data: Display,
    stack: Stack,
    project: Project,
    *,
    clear: Area | None = None,
    standing: Sequence[Area] = (),
) -> Fitted:
    """Return rails, blocks and bar with their screws, as the display's hold wishes.

    Args:
        placed: The display; its (u, v) is the centre of the lit area.
        data: Its dimensions.
        stack: The panel it lies behind.
        project: For materials.
        clear: Part of the back face that no other panel takes; the board's back outline if not given.
        standing: Footprints of other pieces on the back face, in the panel's (u, v).

    Raises:
        InputError: The turn is no whole number of quarters, or the thread is unknown.
    """
    hold = placed.wish.hold or Hold()
    if hold.style == "none":
        return Fitted()
    face = display_face(data, placed.turn_deg)
    housing = housing_area(placed, face)
    board = stack.board
    rear = data.housing_depth - placed.recess + placed.wish.standoff  # behind the back face
    # Rails end before the rear half of the housing, where its sockets are (common practice).
    height = max(min(hold.rail_height, rear - data.housing_depth / 2), 3.0)
    rails, missing = rails_round(housing, hold, clear or back_area(board), standing)
    findings = _rail_findings(placed, stack, project, hold, missing)
    bar_span = _bar_span(placed, housing, face, hold)
    seats = _bar_seats(rails, bar_span) if hold.style == "rails and bar" else None
    made = [
        _fit_rail(placed, stack, rail, key, height, bar_span if seats else None)
        for rail, key in zip(rails, _rail_keys(placed.key, rails), strict=True)
    ]
    numbers = _rail_numbers(placed.key, rails, height, hold)
    made.append(Fitted(numbers=numbers, findings=tuple(findings)))
    if hold.style == "rails and bar":
        if seats is None:
            made.append(Fitted(findings=(_no_seat(placed, stack, rails, bar_span),)))
        else:
            keys = dict(zip(rails, _rail_keys(placed.key, rails), strict=True))
            made.append(
                _fit_bar(
                    placed, data, stack, project, hold, face, housing, seats, keys, height, rear
                )
            )
    return gathered(made)


# ---- rails -----------------------------------------------------------------------------------------------------------


def _rail_keys(owner: str, rails: Sequence[Rail]) -> list[str]:
    """As in "display.rail-left", and "display.rail-left-2" for the second piece of an interrupted one."""
    keys: list[str] = []
    for rail in rails:
        number = sum(key.startswith(f"{owner}.rail-{rail.side}") for key in keys) + 1
        keys.append(f"{owner}.rail-{rail.side}" + (f"-{number}" if number > 1 else ""))
    return keys


def _strip(
    stack: Stack,
    key: str,
    label: str,
    kind: PieceKind,
    area: Area,
    thickness: float,
    *,
    depth: float = 0.0,
    material: str = "batten",
    fixing: Literal["glued", "screwed"] = "glued",
    features: tuple[Feature, ...] = (),
) -> Piece:
    """A rectangular piece parallel to the panel, its show face `depth` behind the board's back face."""
    board = stack.board
    frame = Frame(
        board.frame.point(0.0, 0.0, -board.thickness - depth),
        board.frame.u,
        board.frame.v,
        board.frame.n,
    )
    return Piece(
        key,
        label,
        kind,
        "other",
        material,
        thickness,
        frame,
        area.outline,
        area.outline,
        features,
        stack.panel,
        "u" if area.width >= area.height else "v",
        fixing,
    )


def _fit_rail(
    placed: Placed, stack: Stack, rail: Rail, key: str, height: float, bar: Area | None
) -> Fitted:
    """One rail with its screws into the panel, none of them under the bar."""
    along_u = rail.side in ("bottom", "top")
    area = rail.area
    screw = wood_screw(height, stack.board.thickness, counterbore_most=height / 2)
    spots: tuple[Point2, ...] = ()
    if screw is not None:
        middle = area.centre
        if along_u:
            spots = tuple((u, middle[1]) for u in spaced(area.left, area.right))
        else:
            ends = [(area.bottom, area.top)]
            if bar is not None and area.bottom < bar.top and area.top > bar.bottom:
                ends = [(area.bottom, bar.bottom), (bar.top, area.top)]
            spots = tuple((middle[0], v) for low, high in ends for v in spaced(low, high))
    features, panel_features = _screw_features(
        screw, spots, key, label=f"pilot for the rail of {placed.label}"
    )
    piece = _strip(
        stack, key, f"{placed.label} rail, {rail.side}", "rail", area, height, features=features
    )
    fastenings = (
        (screw.fastening(f"{key}.screws", key, stack.board.key, len(spots)),)
        if screw and spots
        else ()
    )
    return Fitted(
        features=tuple((stack.board.key, feature) for feature in panel_features),
        pieces=(piece,),
        fastenings=fastenings,
    )


def _screw_features(
    screw: Screw | None, spots: Sequence[Point2], key: str, *, label: str
) -> tuple[tuple[Feature, ...], tuple[Feature, ...]]:
    """Holes in the piece under the heads, and pilots in the board behind it (both from the back face)."""
    above: list[Feature] = []
    below: list[Feature] = []
    if screw is None:
        return (), ()
    for number, (u, v) in enumerate(spots, 1):
        if screw.counterbore > 0:
            bore = Circle(u, v, screw.head + 1.0)
            above.append(
                Feature(
                    f"{key}.head-{number}",
                    "counterbore",
                    bore,
                    "back",
                    screw.counterbore,
                    "brad",
                    key,
                )
            )
        shank = Circle(u, v, screw.clearance)
        above.append(
            Feature(f"{key}.shank-{number}", "clearance", shank, "back", None, "brad", key)
        )
        lead = Circle(u, v, screw.pilot)
        below.append(
            Feature(f"{key}.pilot-{number}", "pilot", lead, "back", screw.bite, "brad", key, label)
        )
    return tuple(above), tuple(below)


def _rail_numbers(
    key: str, rails: Sequence[Rail], height: float, hold: Hold
) -> tuple[Reckoning, ...]:
    widths: dict[str, float] = {}
    for rail in rails:
        across = rail.area.height if rail.side in ("bottom", "top") else rail.area.width
        widths.setdefault(rail.side, across)
    return (
        stated(f"{key}.rail_height", "rails over the panel's back", height),
        stated(f"{key}.rail_gap", "gap for shims between housing and rail", hold.gap),
        *(
            stated(f"{key}.rail_width_{side}", f"width of the {side} rail", width)
            for side, width in widths.items()
        ),
    )


def _rail_findings(
    placed: Placed,
    stack: Stack,
    project: Project,
    hold: Hold,
    missing: dict[RailSide, float],
) -> list[Finding]:
    """The upper rail only helps; the others are missed."""
    found = []
    for side, room in missing.items():
        if side == "top":
            continue
        least = RAIL_LEAST + hold.gap
        short = least - room
        where = {"bottom": "below", "left": "left of", "right": "right of"}[side]
        if short > TOUCHING:
            text = (
                f"{mm(room)} of clear panel {where} the housing of {placed.label} leaves no room for a rail; "
                f"a rail of {mm(RAIL_LEAST)} and a gap of {mm(hold.gap)} need {mm(least)}."
            )
            if side == "bottom":
                cures = [
                    Remedy(
                        f"Move the display up by {mm(short)}.",
                        wish_field(placed, project, "v"),
                        placed.v + short,
                    ),
                    Remedy(f"Make the panel's run {mm(short)} longer below it."),
                ]
            else:
                cures = [Remedy(f"Make the cabinet {mm(2 * short)} wider.")]
        else:
            text = (
                f"Other pieces stand where a rail {where} the housing of {placed.label} would lie."
            )
            cures = [Remedy("Move those pieces, or stand the housing on one of them with a shim.")]
        if side == "bottom" and hold.style == "rails and bar":
            cures.append(Remedy("Let the bar and its screws carry the weight, as drawn."))
        point = stack.board.frame.point(placed.u, placed.v, -stack.board.thickness)
        found.append(
            RAIL_ROOM.finding(
                text, remedies=tuple(cures), names=(placed.key, stack.panel), point=point
            )
        )
    return found


# ---- bar -------------------------------------------------------------------------------------------------------------


def _bar_span(placed: Placed, housing: Area, face: DisplayFace, hold: Hold) -> Area:
    """Where the bar would lie if the rails stood at the housing's edges."""
    middle = housing.centre[1] + face.pattern_middle[1]
    return Area(
        housing.left, middle - hold.bar_width / 2, housing.right, middle + hold.bar_width / 2
    )


def _bar_seats(rails: Sequence[Rail], bar: Area) -> tuple[Rail, Rail] | None:
    """The left and right rail that reach past both edges of the bar and are wide enough for its screws."""
    seats = {
        rail.side: rail
        for rail in rails
        if rail.side in ("left", "right")
        and rail.area.width >= BAR_SEAT - TOUCHING
        and rail.area.bottom <= bar.bottom + TOUCHING
        and rail.area.top >= bar.top - TOUCHING
    }
    if "left" in seats and "right" in seats:
        return (seats["left"], seats["right"])
    return None


def _no_seat(placed: Placed, stack: Stack, rails: Sequence[Rail], bar: Area) -> Finding:
    widths = [r.area.width for r in rails if r.side in ("left", "right")]
    point = stack.board.frame.point(placed.u, placed.v, -stack.board.thickness)
    names = (placed.key, stack.panel)
    if len(widths) >= 2 and min(widths) >= BAR_SEAT - TOUCHING:
        return BAR_SUPPORT.finding(
            f"The bar of {placed.label} is {mm(bar.height)} wide and does not lie on both side rails "
            "from edge to edge.",
            remedies=(
                Remedy("Make the bar narrower, or keep the rails free of other pieces there."),
            ),
            names=names,
            point=point,
        )
    widest = min(widths) if len(widths) >= 2 else 0.0
    return BAR_SUPPORT.finding(
        f"The bar of {placed.label} needs a rail of {mm(BAR_SEAT)} at each side; there is {mm(widest)}.",
        remedies=(
            Remedy(f"Make the cabinet {mm(2 * (BAR_SEAT - widest))} wider."),
            Remedy("Fix the bar to cleats on the cabinet's sides instead."),
        ),
        names=names,
        point=point,
    )


def _fit_bar(
    placed: Placed,
    data: Display,
    stack: Stack,
    project: Project,
    hold: Hold,
    face: DisplayFace,
    housing: Area,
    seats: tuple[Rail, Rail],
    rail_keys: dict[Rail, str],
    rail_height: float,
    rear: float,
) -> Fitted:
    span = _bar_span(placed, housing, face, hold)
    left, right = seats
    area = Area(left.area.left, span.bottom, right.area.right, span.top)
    key = f"{placed.key}.bar"
    material = hold.bar_material or stack.board.material
    if material not in project.materials:
        field = wish_field(placed, project, "hold.bar_material")
        raise InputError(field, got=material, want="a key of the project's materials")
    thickness = project.materials[material].thickness
    findings: list[Finding] = []
    block_height = max(rear - rail_height, 0.0)
    made: list[Fitted] = []

    across, slots = _slots(placed, data, face, housing, key)
    need = across + 2 * BAR_EDGE
    point = stack.board.frame.point(*area.centre, -stack.board.thickness - rear)
    names = (placed.key, key)
    if slots and hold.bar_width < need - TOUCHING:
        findings.append(
            BAR_WIDTH.finding(
                f"The bar of {placed.label} is {mm(hold.bar_width)} wide; its mounting holes are {mm(across)} "
                "apart up the panel.",
                remedies=(
                    Remedy(
                        f"Make it {mm(need)} wide.",
                        wish_field(placed, project, "hold.bar_width"),
                        need,
                    ),
                ),
                names=names,
                point=point,
            )
        )
    screw = (
        machine_screw(data.pattern_screw, thickness, data.pattern_thread_depth) if slots else None
    )
    fastenings: list[Fastening] = []
    if screw:
        fastenings.append(screw.fastening(f"{key}.screws", key, placed.key, len(slots)))
    elif slots:
        findings.append(_no_screw(placed, data, thickness, names, point))

    seat_screw = wood_screw(
        thickness + block_height,
        rail_height,
        glued=False,
        keep=2.0,
        counterbore_most=thickness / 2,
        diameters=(4.0, 5.0),
    )
    bar_features = list(slots)
    for rail in seats:
        seat_area = rail.area.common(area)
        u = seat_area.centre[0]
        spots = [(u, area.bottom + area.height * share) for share in (0.2, 0.8)]
        under = rail_keys[rail]
        block_key = f"{placed.key}.block-{rail.side}"
        above, below = _screw_features(
            seat_screw,
            spots,
            f"{key}-{rail.side}",
            label=f"pilot for the bar of {placed.label}; drill it last, when the picture is aligned",
        )
        bar_features += above
        made.append(Fitted(features=tuple((under, feature) for feature in below)))
        if block_height > SHIM:
            shanks = tuple(f for f in above if f.kind == "clearance")
            made.append(
                Fitted(
                    pieces=(
                        _strip(
                            stack,
                            block_key,
                            f"{placed.label} block, {rail.side}",
                            "rail",
                            seat_area,
                            block_height,
                            depth=rail_height,
                            features=shanks,
                        ),
                    )
                )
            )
        if seat_screw:
            fastenings.append(
                seat_screw.fastening(f"{key}-{rail.side}.screws", key, under, len(spots))
            )
    if seat_screw is None:
        findings.append(
            BAR_SUPPORT.finding(
                f"No wood screw in stock reaches through bar and block ({mm(thickness + block_height)}) and bites in "
                f"a rail {mm(rail_height)} high.",
                remedies=(
                    Remedy(
                        "Screw the blocks to the rails, and the bar to the blocks, each for itself."
                    ),
                ),
                names=names,
                point=point,
            )
        )
    bar = _strip(
        stack,
        key,
        f"{placed.label} bar",
        "bar",
        area,
        thickness,
        depth=rear,
        material=material,
        fixing="screwed",
        features=tuple(bar_features),
    )
    numbers = [
        total(
            f"{placed.key}.bar_length",
            "length of the bar",
            [
                Term("right rail's outer edge", area.right),
                Term("left rail's outer edge", area.left, -1),
            ],
        ),
        total(
            f"{placed.key}.block_height",
            "height of the blocks on the rails",
            [
                Term("rear of the housing behind the panel", rear),
                Term("rail height", rail_height, -1),
            ],
        ),
    ]
    if screw:
        thick = washer(data.pattern_screw)[1]
        numbers.append(
            total(
                f"{placed.key}.bar_screw_bite",
                f"thread of {screw.name} inside the display",
                [
                    Term("screw", screw.length),
                    Term("bar", thickness, -1),
                    Term("washer", thick, -1),
                ],
                rule=f"At least its diameter; {SPARE_THREAD:g} mm short of the thread's depth.",
                source="Common practice",
            )
        )
    own = Fitted(
        pieces=(bar,),
        fastenings=tuple(fastenings),
        numbers=tuple(numbers),
        findings=tuple(findings),
    )
    return gathered([*made, own])


def _slots(
    placed: Placed, data: Display, face: DisplayFace, housing: Area, key: str
) -> tuple[float, tuple[Feature, ...]]:
    """The pattern's extent up the panel, and its slots in the bar."""
    if not face.pattern:
        return 0.0, ()
    screw_hole = clearance_hole(data.pattern_screw, field="pattern_screw")
    middle = housing.centre
    label = f"{data.pattern_screw} into {placed.label}, large washer, {ALIGNING:g} mm to either side for aligning"
    slots = tuple(
        Feature(
            f"{key}.slot-{number}",
            "clearance",
            Rectangle(
                middle[0] + u,
                middle[1] + v,
                screw_hole + 2 * ALIGNING,
                screw_hole,
                screw_hole / 2,
            ),
            "back",
            None,
            "brad",
            placed.key,
            label,
        )
        for number, (u, v) in enumerate(face.pattern, 1)
    )
    vs = [v for _, v in face.pattern]
    return max(vs) - min(vs), slots


def _no_screw(
    placed: Placed,
    data: Display,
    bar: float,
    names: tuple[str, ...],
    point: tuple[float, float, float],
) -> Finding:
    packing = packing_for(data.pattern_screw, bar, data.pattern_thread_depth)
    if packing is not None:
        cure = Remedy(
            f"Put {mm(packing)} more of washers under the heads; then a length in stock fits."
        )
    else:
        cure = Remedy(
            "Measure the depth of the threads again with a thin rod, and cut screws to length."
        )
    return BAR_SCREW.finding(
        f"No {data.pattern_screw} screw in stock suits a bar of {mm(bar)} and threads {mm(data.pattern_thread_depth)} "
        f"deep in {placed.label}.",
        remedies=(cure,),
        names=names,
        point=point,
    )


__all__ = [
    "ALIGNING",
    "BAR_EDGE",
    "BAR_SEAT",
    "RAIL_LEAST",
    "RAIL_SHORTEST",
    "Rail",
    "RailSide",
    "fit_hold",
    "rails_round",
]
