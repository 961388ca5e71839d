"""The bar that holds a display from behind, over its rear mounting holes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
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
    wood_screw,
)
from casewright.geometry.model import (
    Fastening,
    Feature,
    Placed,
    Rectangle,
)
from casewright.geometry.openings import Area, wish_field

BAR_SEAT = 12.0
"""Narrowest rail that takes the bar's screws: three diameters of 4 mm. Source: common practice. [mm]"""
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
BAR_SCREW = Rule(
    "display.bar-screw",
    Severity.CAUTION,
    "A machine screw in stock bites its own diameter and ends before the thread does.",
    "A screw too long presses on what is behind the thread and can break the display; one too short strips it.",
    "Common practice",
)


def bar_span(placed: Placed, housing: Area, face: DisplayFace, hold: Hold) -> Area:
    """Where the bar would lie if the rails stood at the housing's edges."""
    middle = housing.centre[1] + face.pattern_middle[1]
    return Area(
        housing.left, middle - hold.bar_width / 2, housing.right, middle + hold.bar_width / 2
    )


def bar_seats(rails: Sequence[Rail], bar: Area) -> tuple[Rail, Rail] | None:
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


def no_seat(placed: Placed, stack: Stack, rails: Sequence[Rail], bar: Area) -> Finding:
    """Return the finding of a bar that has no rail to rest on."""
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


def fit_bar(
    placed: Placed,
    data: Display,
    stack: Stack,
    project: Project,
    hold: Hold,
    face: DisplayFace,
    housing: Area,
    seats: tuple[Rail, Rail],
    keys: Mapping[Rail, str],
    rail_height: float,
    rear: float,
) -> Fitted:
    """Return bar, blocks, their screws, and the screws into the display's rear threads."""
    span = bar_span(placed, housing, face, hold)
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
        under = keys[rail]
        block_key = f"{placed.key}.block-{rail.side}"
        above, below = screw_features(
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
    bar = strip_piece(
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


__all__ = ["ALIGNING", "BAR_EDGE", "BAR_SEAT", "bar_seats", "bar_span", "fit_bar", "no_seat"]
