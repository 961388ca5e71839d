"""The bar that holds a display from behind, over its rear mounting holes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.reckoning import Term, total
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Display
from casewright.catalog.threads import clearance_hole
from casewright.design.parts import Hold
from casewright.design.project import Project
from casewright.geometry.display_face import DisplayFace
from casewright.geometry.display_rails import (
    Rail,
    screw_features,
    strip_piece,
)
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.holding_screws import (
    SPARE_THREAD,
    machine_screw,
    packing_for,
    washer,
    wood_diameter,
    wood_screw,
)
from casewright.geometry.model import (
    Fastening,
    Feature,
    Placed,
    Rectangle,
)
from casewright.geometry.openings import Area, wish_field
from casewright.geometry.orders import DRILL_LAST

BAR_SEAT = 9.0
"""Narrowest rail that takes the bar's screws, 3.5 thick. Source: common practice. [mm]"""
SEAT_SHARE = 2.5
"""A rail is at least so many diameters of its screws wide. Source: common practice."""
ALIGNING = 3.0
"""Each way that the bar's slots let the housing move. Source: common practice. [mm]"""
BAR_EDGE = 8.0
"""Wood kept between a slot's middle and the bar's edge. Source: common practice. [mm]"""
SHIM = 0.5
"""What is thinner than this is shimmed, not blocked. [mm]"""

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
BAR_PLUGS = Rule(
    "display.bar-plugs",
    Severity.CAUTION,
    "The bar ends where no plug leaves the display.",
    "A plug that meets the bar's block cannot be put in, or is bent.",
    "Plain geometry",
)
BAR_SCREW = Rule(
    "display.bar-screw",
    Severity.CAUTION,
    "A machine screw in stock bites its own diameter and ends before the thread does.",
    "A screw too long presses on what is behind the thread and can break the display; one too short strips it.",
    "Common practice",
)


@dataclass(frozen=True)
class BarPlace:
    """Where the bar lies, from the outer edge of one rail to that of the other."""

    area: Area
    seats: tuple[Rail, Rail]
    way: Literal["across", "up"]


def place_bar(
    rails: Sequence[Rail],
    housing: Area,
    face: DisplayFace,
    hold: Hold,
    goes_in: Callable[[Area], bool] = lambda area: True,
) -> BarPlace | None:
    """Return the bar's place over the rear mounting holes; None where no two rails can carry it.

    Where the hold does not say, it lies across, from side rail to side rail, unless the plugs leave there: then it
    stands up the panel if the lower and upper rail can carry it.

    Args:
        rails: The rails there are.
        housing: Its outline in the panel's (u, v).
        face: The display's front view.
        hold: Wishes.
        goes_in: Whether the cabinet has room for a bar there.
    """
    across = _across(rails, housing, face, hold)
    up = _up(rails, housing, face, hold)
    if hold.bar_way is not None:
        return across if hold.bar_way == "across" else up
    aside = face.connector_side in ("left", "right")
    likings = [place for place in ((up, across) if aside else (across, up)) if place]
    return next((place for place in likings if goes_in(place.area)), next(iter(likings), None))


def _across(rails: Sequence[Rail], housing: Area, face: DisplayFace, hold: Hold) -> BarPlace | None:
    middle = housing.centre[1] + face.pattern_middle[1]
    low, high = middle - hold.bar_width / 2, middle + hold.bar_width / 2
    seats = [
        rail
        for side in ("left", "right")
        for rail in rails
        if rail.side == side
        and rail.area.width >= BAR_SEAT - TOUCHING
        and rail.area.bottom <= low + TOUCHING
        and rail.area.top >= high - TOUCHING
    ]
    if len(seats) < 2:
        return None
    area = Area(seats[0].area.left, low, seats[1].area.right, high)
    return BarPlace(area, (seats[0], seats[1]), "across")


def _up(rails: Sequence[Rail], housing: Area, face: DisplayFace, hold: Hold) -> BarPlace | None:
    middle = housing.centre[0] + face.pattern_middle[0]
    low, high = middle - hold.bar_width / 2, middle + hold.bar_width / 2
    seats = [
        rail
        for side in ("bottom", "top")
        for rail in rails
        if rail.side == side
        and rail.area.height >= BAR_SEAT - TOUCHING
        and rail.area.left <= low + TOUCHING
        and rail.area.right >= high - TOUCHING
    ]
    if len(seats) < 2:
        return None
    area = Area(low, seats[0].area.bottom, high, seats[1].area.top)
    return BarPlace(area, (seats[0], seats[1]), "up")


def no_seat(placed: Placed, stack: Stack, rails: Sequence[Rail], hold: Hold) -> Finding:
    """Return the finding of a bar that has no rail to rest on."""
    widths = [r.area.width for r in rails if r.side in ("left", "right")]
    point = stack.board.frame.point(placed.u, placed.v, -stack.board.thickness)
    names = (placed.key, stack.panel)
    if len(widths) >= 2 and min(widths) >= BAR_SEAT - TOUCHING:
        return BAR_SUPPORT.finding(
            f"The bar of {placed.label} is {mm(hold.bar_width)} wide and does not lie on both side rails "
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
            Remedy(f"Make the cabinet {at_least(2 * (BAR_SEAT - widest))} wider."),
            Remedy("Fix the bar to cleats on the cabinet's sides instead."),
        ),
        names=names,
        point=point,
    )


def fit_bar(
    placed: Placed,
    data: Display,
    stack: Stack,
    project: Project,
    hold: Hold,
    face: DisplayFace,
    housing: Area,
    bar: BarPlace,
    keys: Mapping[Rail, str],
    rail_height: float,
    rear: float,
) -> Fitted:
    """Return bar, blocks, their screws, and the screws into the display's rear threads."""
    area = bar.area
    key = f"{placed.key}.bar"
    material = hold.bar_material or stack.board.material
    if material not in project.materials:
        field = wish_field(placed, project, "hold.bar_material")
        raise InputError(field, got=material, want="a key of the project's materials")
    thickness = project.materials[material].thickness
    findings: list[Finding] = []
    block_height = max(rear - rail_height, 0.0)
    made: list[Fitted] = []

    across, slots = _slots(placed, data, face, housing, key, bar.way)
    need = across + 2 * BAR_EDGE
    point = stack.board.frame.point(*area.centre, -stack.board.thickness - rear)
    names = (placed.key, key)
    if slots and hold.bar_width < need - TOUCHING:
        findings.append(
            BAR_WIDTH.finding(
                f"The bar of {placed.label} is {mm(hold.bar_width)} wide; its mounting holes are {mm(across)} "
                "apart across it.",
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

    narrow = min(
        min(rail.area.common(area).width, rail.area.common(area).height) for rail in bar.seats
    )
    if bar.way == "across" and face.connector_side in ("left", "right") and data.connector_room:
        low, high = area.bottom - housing.bottom, area.top - housing.bottom
        findings.append(
            BAR_PLUGS.finding(
                f"The bar of {placed.label} ends at the side where its plugs leave, {mm(low)} to {mm(high)} over the "
                "housing's lower edge.",
                remedies=(
                    Remedy(
                        "See that all sockets lie below or above that, or make the bar narrower."
                    ),
                    Remedy("Or let the bar stand up the panel, if nothing is in its way there."),
                ),
                names=names,
                point=point,
            )
        )
    seat_screw = wood_screw(
        thickness + block_height,
        rail_height,
        glued=False,
        keep=2.0,
        counterbore_most=thickness / 2,
        diameters=tuple(
            size
            for size in (3.5, 4.0, 5.0)
            if SEAT_SHARE * wood_diameter(size, project.unit) <= narrow + TOUCHING
        ),
        unit=project.unit,
    )
    bar_features = list(slots)
    for rail in bar.seats:
        seat_area = rail.area.common(area)
        u, v = seat_area.centre
        spots = (
            [(u, area.bottom + area.height * share) for share in (0.2, 0.8)]
            if bar.way == "across"
            else [(area.left + area.width * share, v) for share in (0.2, 0.8)]
        )
        under = keys[rail]
        block_key = f"{placed.key}.block-{rail.side}"
        above, below = screw_features(
            seat_screw,
            spots,
            f"{key}-{rail.side}",
            label=f"pilot for the bar of {placed.label}{DRILL_LAST}",
        )
        bar_features += above
        made.append(Fitted(features=tuple((under, feature) for feature in below)))
        if block_height > SHIM:
            shanks = tuple(f for f in above if f.kind == "clearance")
            made.append(
                Fitted(
                    pieces=(
                        strip_piece(
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
    piece = strip_piece(
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
                Term("farther rail's outer edge", area.right if bar.way == "across" else area.top),
                Term(
                    "nearer rail's outer edge",
                    area.left if bar.way == "across" else area.bottom,
                    -1,
                ),
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
        pieces=(piece,),
        fastenings=tuple(fastenings),
        numbers=tuple(numbers),
        findings=tuple(findings),
    )
    return gathered([*made, own])


def _slots(
    placed: Placed,
    data: Display,
    face: DisplayFace,
    housing: Area,
    key: str,
    way: Literal["across", "up"],
) -> tuple[float, tuple[Feature, ...]]:
    """The pattern's extent across the bar, and its slots along the bar."""
    if not face.pattern:
        return 0.0, ()
    screw_hole = clearance_hole(data.pattern_screw, field="pattern_screw")
    middle = housing.centre
    label = (
        f"{data.pattern_screw} into {placed.label}, large washer, "
        f"{ALIGNING:g} mm each way along the bar for aligning"
    )
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
                0.0 if way == "across" else 90.0,
            ),
            "back",
            None,
            "brad",
            placed.key,
            label,
        )
        for number, (u, v) in enumerate(face.pattern, 1)
    )
    spread = [v if way == "across" else u for u, v in face.pattern]
    return max(spread) - min(spread), slots


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
    "BAR_WIDTH",
    "SEAT_SHARE",
    "BarPlace",
    "fit_bar",
    "no_seat",
    "place_bar",
]
