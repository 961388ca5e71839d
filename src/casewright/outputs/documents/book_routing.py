"""Chapter: a plan for every opening and pocket, as it lies under the router."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.wording import counted
from casewright.geometry import model
from casewright.geometry.model import Piece
from casewright.outputs.documents.book_blocks import (
    Block,
    Cell,
    Column,
    Writer,
    beside,
    bold,
    chapter,
    heading,
    small,
    table,
    together,
)
from casewright.outputs.documents.book_codes import opens_step, opens_work
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.feature_marks import feature_outline
from casewright.outputs.drawings.marks import bounds
from casewright.outputs.drawings.routing_view import (
    ROOM,
    SECTION_ROOM,
    corner_drawing,
    routing_drawing,
    size_words,
    stack_drawing,
)
from casewright.planning.work.feature_words import short_name
from casewright.planning.work.routing import (
    STRIP_WIDTH,
    ChamferPass,
    RoutingPlan,
    routing_plans,
)

PICTURE = ROOM[0]
CORNER_WIDTH = 42.0
"""For the corner at full size, beside the section. [mm]"""
GUIDES = {
    "strips": "along four strips, bearing on them",
    "base": "along strips, base against them",
    "template": "along a template, bearing on it",
    "trammel": "on a trammel round the centre",
    "saw": "sawn, then filed",
}


def routing_plans_chapter(writer: Writer) -> Iterator[Block]:
    """Every plan of what is still to be routed."""
    wanted = {
        (sheet.piece, row.feature.key): (sheet.label, row.tag)
        for sheet in writer.source.sheets
        for row in sheet.hole_rows
    }
    plans = [
        (plan, *wanted[plan.piece, plan.feature.key])
        for plan in routing_plans(writer.cabinet)
        if (plan.piece, plan.feature.key) in wanted
    ]
    if not plans:
        return
    yield chapter(
        "Routing plans",
        "Each opening and pocket as it lies on the bench, router upright above it. Wide line: finished; dashed: "
        "sawn roughly. Strips are numbered in the order of laying.",
    )
    yield from opens_step(writer, lambda step: step.stage == "shape")
    yield writer.cautions("router", "dust")
    yield small(
        "Inside an opening feed clockwise, round the outside of a piece counter-clockwise, both as seen from above: "
        "against the turning of the bit. Lay strip 1 first; each next one butts with its end on the one before, the "
        "last closes on strip 1. Only the edges toward the opening count; at their outer ends strips may be longer. "
        "Lines are measured from the datum corner of the face that lies up. Source: common practice of hand-held "
        "routing."
    )
    for plan, label, tag in plans:
        piece = writer.cabinet.piece_by_key[plan.piece]
        more = f", {len(plan.alike)} alike" if len(plan.alike) > 1 else ""
        name = short_name(plan.feature)
        left: list[Block] = [
            writer.drawing(
                routing_drawing(piece, plan, writer.source.style),
                margin=0.5,
                most=(PICTURE, ROOM[1] + 4),
                align="left",
            )
        ]
        section = stack_drawing(piece, plan, writer.source.style)
        if section is not None:
            small_ones = [
                writer.drawing(section, margin=0.5, most=(PICTURE, SECTION_ROOM[1]), align="left")
            ]
            corner = corner_drawing(plan, writer.source.style)
            if corner is None:
                left += small_ones
            else:
                detail = writer.drawing(corner, margin=0.5, align="left")
                left.append(beside(small_ones, [detail], widths=(0, CORNER_WIDTH)))
        yield together(
            *opens_work(writer, plan.piece, frozenset(plan.alike)),
            heading(f"Plan {plan.number}: {label}, {tag}: {name}{more}"),
            beside(
                left,
                [_facts(writer, piece, plan), *(small(writer.say(r)) for r in plan.remarks)],
                widths=(PICTURE, 0),
            ),
        )


def _facts(writer: Writer, piece: Piece, plan: RoutingPlan) -> Block:
    rows: list[list[Cell] | str] = [
        [name, value if isinstance(value, dict) else writer.say(value)]
        for name, value in _told(writer, piece, plan)
    ]
    return table(
        [Column(""), Column(f"in {writer.unit_words}", 1)],
        rows,
        breaks=False,
        dense=True,
        narrow=True,
    )


def _told(writer: Writer, piece: Piece, plan: RoutingPlan) -> Iterator[tuple[str, Cell]]:
    figure = writer.figure
    yield "up", bold(f"{plan.face} face" + (", mirrored" if plan.face == "back" else ""))
    yield "finished", bold(size_words(plan, writer.source.style))
    box = bounds([feature_outline(plan.feature.shape).through(FaceView(piece, plan.face).motion)])
    yield (
        "its lines",
        f"left {figure(box.left)}, right {figure(box.right)}, lower {figure(box.bottom)}, upper {figure(box.top)}",
    )
    if plan.leave and plan.rough is not None:
        shape, words = plan.rough, f"{figure(plan.leave)} inside"
        if isinstance(shape, model.Rectangle):
            words += f": {figure(shape.width)} × {figure(shape.height)}"
        yield "saw to", words
    elif plan.leave:
        yield "saw to", "too narrow to leave anything: straight to the bit"
    if plan.starts:
        count = counted(len(plan.starts), "start hole")
        yield "enter by", f"{count} ⌀ {writer.bit(plan.starts[0].diameter)}"
    yield (
        "led",
        GUIDES[plan.guide]
        if len(plan.strips) in (0, 4)
        else (GUIDES[plan.guide].replace("four strips", counted(len(plan.strips), "strip"))),
    )
    if plan.strips:
        lengths = ", ".join(f"{strip.number}: {figure(strip.length)}" for strip in plan.strips)
        thick = f", {figure(plan.strip_least)} or more thick" if plan.strip_least else ""
        yield "strips", f"{lengths}; {figure(STRIP_WIDTH)} wide{thick}"
    elif plan.strip_least:
        yield "template", f"{figure(plan.strip_least)} or more thick"
    if plan.offset:
        base = plan.offset * 2 + plan.diameter
        yield "off line", f"{figure(plan.offset)}, for a base of {figure(base)}"
    if plan.guide != "saw":
        bit = f"{plan.bit} ⌀ {writer.bit(plan.diameter)}"
        if plan.guide in ("strips", "template"):
            bit += ", bearing at its shank"
        if plan.cutting_length:
            bit += f"; cuts {figure(plan.cutting_length)} high"
        yield "bit", bit
    yield "depth", _depth(writer, piece, plan)
    if plan.guide != "saw":
        yield "feed", "clockwise, as the arrows show"
        yield "corner", _corner(writer, plan)
    if plan.chamfer:
        yield "chamfer", _chamfer(writer, plan.chamfer)


def _depth(writer: Writer, piece: Piece, plan: RoutingPlan) -> str:
    if plan.feature.depth is None:
        if plan.guide == "saw":
            return f"right through {writer.figure(piece.thickness)}"
        below = writer.figure(plan.stack - piece.thickness)
        words = f"right through {writer.figure(piece.thickness)}, bit {below} below"
    else:
        stays = piece.thickness - plan.feature.depth
        words = f"{writer.figure(plan.feature.depth)}; {writer.figure(stays)} stay"
    if len(plan.depths) == 1:
        return f"{words}; one pass"
    return f"{words}; {len(plan.depths)} passes: " + ", ".join(
        writer.figure(depth) for depth in plan.depths
    )


def _corner(writer: Writer, plan: RoutingPlan) -> str:
    shape = plan.feature.shape
    if not isinstance(shape, model.Rectangle):
        return "as the template" if plan.guide == "template" else ""
    if plan.guide == "template":
        return f"R {writer.figure(shape.radius)}, as the template"
    words = f"R {writer.figure(plan.radius)} stays"
    square = "knife the lines, chop square with a chisel"
    if plan.feature.depth is None:
        square += " from both faces"
    return f"{words}; for sharp ones {square}"


def _chamfer(writer: Writer, rim: ChamferPass) -> str:
    count = counted(rim.passes, "pass", "passes")
    return (
        f"last: {writer.figure(rim.width)} at 45° from the {rim.face} face, {count}; bearing on the "
        f"{writer.figure(rim.land)} of edge left"
    )


__all__ = ["routing_plans_chapter"]
