"""Screws and bolts that hold a part to its panel."""

from __future__ import annotations

from collections.abc import Sequence

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.geometry.bits import choose_within
from casewright.geometry.devices.screws import PartScrew, plan_bolt, plan_screw
from casewright.geometry.devices.seat import Seat, plastic_hole_growth
from casewright.geometry.fitting import Fitted, gathered
from casewright.geometry.model import Circle, Fastening, Feature, Point2
from casewright.geometry.thicker import thicker_board

LEAST_PILOTED = 1.0
"""A blind hole never comes nearer to the far face than this. [mm] Source: common practice."""

BOLT_BEYOND = 6.0
"""Bolt beyond part and panel, for washers and nut. [mm] Source: common practice, an M4 nut and two washers."""

NO_SCREW = Rule(
    id="part.no-screw",
    severity=Severity.CAUTION,
    asks="The board behind a part is thick enough for its screws.",
    why="A screw that is long enough to hold would come out of the show face.",
    source="Common practice",
)

BOLTED = Rule(
    id="part.bolted",
    severity=Severity.NOTE,
    asks="The board behind a part is thick enough for its screws.",
    why="Where it is not, machine bolts go right through; their heads show.",
    source="Common practice",
)


def screw_down(
    seat: Seat,
    points: Sequence[Point2],
    *,
    hole: float,
    under_head: float,
    recess: float = 0.0,
    else_bolts: bool = False,
    name: str = "screw",
) -> Fitted:
    """Screws from the mounting face into the board: blind pilots, clearance through overlays on the way.

    The screw is the longest that stops short of the board's other face; where none holds, a finding says so.

    Args:
        seat: The part on its panel.
        points: Where, in the part's own u and v. [mm]
        hole: The part's own screw hole. [mm]
        under_head: Thickness of the part under the screw's head, spacers included. [mm]
        recess: Depth of the pocket in the board's back there. [mm]
        else_bolts: Where no screw holds, bolt it right through instead; for parts that are often bolted.
        name: Name of the pilots within the part.
    """
    if not points:
        return Fitted()
    placed, board = seat.placed, seat.stack.board
    from_show = placed.face == "show"
    overlays = seat.stack.pieces[:-1] if from_show else ()
    head_stack = under_head + sum(piece.thickness for piece in overlays)

    def screw_in(thickness: float) -> PartScrew | None:
        return plan_screw(
            hole,
            head_stack=head_stack,
            board=thickness - recess,
            hidden=from_show,
            inches=seat.project.unit == "in",
        )

    screw = screw_in(board.thickness)
    thicker: tuple[Remedy, ...] = ()
    # A pocket that is worked out leaves as much wood whatever the board: the part's reach asks for that.
    if screw is None and not (recess > 0 and placed.wish.recess is None):
        thicker = thicker_board(seat.project, board, lambda t: screw_in(t) is not None)
    if screw is None and else_bolts:
        return gathered(
            [
                bolt_through(seat, points, hole, under_head=under_head),
                Fitted(findings=(_bolted(seat, hole, under_head, thicker),)),
            ]
        )
    if screw is None:
        finding = NO_SCREW.finding(
            f"{placed.label}: no screw for its {mm(hole)} holes holds in {mm(board.thickness - recess)} of board "
            f"under {mm(head_stack)}.",
            remedies=(
                *thicker,
                Remedy(
                    "Use machine bolts right through with nuts, or glue a strip of wood behind the panel."
                ),
            ),
            names=(placed.key, board.key),
            point=placed.frame.origin,
        )
        return Fitted(findings=(finding,))
    pilot = choose_within(screw.pilot_least, screw.pilot_most, seat.project.shop.bits)
    pilot_size = pilot.size if pilot.fits else round(pilot.size, 1)
    depth = (0.0 if from_show else recess) + min(
        screw.bite + 1.0, board.thickness - recess - LEAST_PILOTED
    )
    features: list[tuple[str, Feature]] = []
    for index, (du, dv) in enumerate(points, start=1):
        u, v = seat.at(du, dv)
        for piece in overlays:
            grown = plastic_hole_growth(piece) if seat.is_plastic(piece) else 0.0
            features.append(
                (
                    piece.key,
                    seat.feature(
                        f"{name}{index}",
                        "clearance",
                        Circle(u, v, screw.clearance + grown),
                        "show",
                        None,
                        "twist" if grown else "brad",
                        "",
                    ),
                )
            )
        features.append(
            (
                board.key,
                seat.feature(
                    f"{name}{index}",
                    "pilot",
                    Circle(u, v, pilot_size),
                    placed.face,
                    depth,
                    pilot.kind,
                    "",
                ),
            )
        )
    fastening = Fastening(
        key=seat.key(f"{name}s"),
        through=placed.key,
        into=board.key,
        diameter=screw.diameter,
        length=screw.length,
        count=len(points),
        head_stack=head_stack,
        bite=screw.bite,
        left=screw.left,
        pilot=pilot_size,
        clearance=screw.clearance,
        name=screw.name,
    )
    return Fitted(features=tuple(features), fastenings=(fastening,))


def _bolted(seat: Seat, hole: float, under_head: float, thicker: tuple[Remedy, ...]) -> Finding:
    placed, thickness = seat.placed, seat.stack.thickness
    return BOLTED.finding(
        f"{placed.label}: no screw holds in {mm(thickness)} of panel, so it is bolted right through its {mm(hole)} "
        f"holes; bolts of {at_least(under_head + thickness + BOLT_BEYOND)} or more, with washers and nuts.",
        remedies=thicker,
        names=(placed.key, seat.stack.panel),
        point=placed.frame.origin,
    )


def bolt_through(
    seat: Seat,
    points: Sequence[Point2],
    diameter: float,
    *,
    under_head: float = 0.0,
    into_part: bool = False,
    name: str = "bolt",
) -> Fitted:
    """Clearance holes right through every layer, and the bolts for them.

    Args:
        seat: The part on its panel.
        points: Where, in the part's own u and v. [mm]
        diameter: Of the holes. [mm]
        under_head: Thickness of the part under the bolts' heads. [mm]
        into_part: True where the part has threads of its own, so that the bolts come from the back without nuts.
        name: Name of the holes within the part.
    """
    features: list[tuple[str, Feature]] = []
    for index, (du, dv) in enumerate(points, start=1):
        u, v = seat.at(du, dv)
        for piece in seat.stack.pieces:
            grown = plastic_hole_growth(piece) if seat.is_plastic(piece) else 0.0
            shape = Circle(u, v, diameter + grown)
            tool = "twist" if grown else "brad"
            features.append(
                (
                    piece.key,
                    seat.feature(f"{name}{index}", "clearance", shape, "show", None, tool, ""),
                )
            )
    bolts = _bolts(seat, len(points), diameter, under_head, into_part=into_part, name=name)
    return Fitted(features=tuple(features), fastenings=bolts)


def _bolts(
    seat: Seat, count: int, hole: float, under_head: float, *, into_part: bool, name: str
) -> tuple[Fastening, ...]:
    stack = under_head + seat.stack.thickness
    bolt = plan_bolt(hole, least=stack + BOLT_BEYOND, inches=seat.project.unit == "in")
    if bolt is None or not count:
        return ()
    part, board = seat.placed.key, seat.stack.board.key
    nut, washer = f"{bolt.thread} nut", f"{bolt.thread} washer"
    return (
        Fastening(
            key=seat.key(f"{name}s"),
            through=board if into_part else part,
            into=part if into_part else board,
            diameter=bolt.diameter,
            length=bolt.length,
            count=count,
            head_stack=stack,
            bite=bolt.length - stack if into_part else 0.0,
            left=0.0,
            pilot=0.0,
            clearance=hole,
            name=bolt.name,
            also=((washer, 1),) if into_part else ((nut, 1), (washer, 2)),
        ),
    )


def corners(width: float, height: float) -> tuple[Point2, ...]:
    """The four corners of a hole pattern round its middle; none if it has no extent. [mm]"""
    if width <= 0 and height <= 0:
        return ()
    if height <= 0:
        return ((-width / 2, 0.0), (width / 2, 0.0))
    if width <= 0:
        return ((0.0, -height / 2), (0.0, height / 2))
    return tuple(
        (su * width / 2, sv * height / 2) for su, sv in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )


__all__ = [
    "BOLTED",
    "BOLT_BEYOND",
    "LEAST_PILOTED",
    "NO_SCREW",
    "bolt_through",
    "corners",
    "screw_down",
]
