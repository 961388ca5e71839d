"""What may be wrong with a sign in its panel: opening, frame, lip, artwork."""

from __future__ import annotations

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Sign
from casewright.design.project import Project
from casewright.geometry.fitting import Stack
from casewright.geometry.model import (
    Placed,
)
from casewright.geometry.openings import Area, back_area, corner_cut, wish_field
from casewright.geometry.sign_layout import (
    SignLayout,
    material_near,
)

FRAME_SEAT = 4.0
"""Least width of the frame's strips that lies on the panel. Source: common practice. [mm]"""
LIP_LEAST = 2.0
"""Thinnest lip left over the artwork's edge. Source: common practice. [mm]"""

OVERLAP_LEAST = 3.0
"""Artwork that reaches less past the opening shows its edges when it shifts. Source: common practice. [mm]"""

OPENING_ROOM = Rule(
    "sign.opening-room",
    Severity.STOP,
    "The opening leaves panel all round.",
    "An opening that runs past the panel's edge leaves no frame.",
    "Plain geometry",
)

FRAME_ROOM = Rule(
    "sign.frame-room",
    Severity.STOP,
    "The frame behind the artwork fits on the panel's back.",
    "The artwork needs a lip over all four edges, and the frame a seat on the panel to be fixed to.",
    "Plain geometry",
)

FRAME_SEEN = Rule(
    "sign.frame-seen",
    Severity.CAUTION,
    "The frame's lip stays behind the panel.",
    "A lip that reaches into the opening throws a shadow on the artwork.",
    "Plain geometry",
)

LIP = Rule(
    "sign.lip",
    Severity.STOP,
    "The frame is thick enough for artwork and lip.",
    "The rabbet that takes the artwork must leave a lip behind it.",
    "Plain geometry",
)

ACRYLIC = Rule(
    "sign.acrylic",
    Severity.NOTE,
    "The artwork is cut and kept as acrylic wants it.",
    "Acrylic chips, cracks at tight corners and holes, melts under a dull blade, and grows when warm.",
    "Common practice",
)

CORNERS = Rule(
    "sign.corners",
    Severity.NOTE,
    "A router bit leaves the corners of the opening.",
    "A corner tighter than the bit is left round and must be filed.",
    "Plain geometry",
)


def sign_findings(
    placed: Placed,
    data: Sign,
    stack: Stack,
    project: Project,
    layout: SignLayout,
    back: Area,
    *,
    boxed: bool,
) -> tuple[Finding, ...]:
    """Return what a sign's opening, frame and artwork have against them."""
    names = (placed.key, stack.panel)
    point = stack.board.frame.point(placed.u, placed.v)
    part = f"parts.{placed.part.key}.measured"
    found: list[Finding] = []

    def say(rule: Rule, message: str, *remedies: Remedy) -> None:
        found.append(rule.finding(message, remedies=remedies, names=names, point=point))

    past = max(
        layout.opening.beyond(Area.of(stack.pieces[0].show)),
        layout.opening.beyond(back_area(stack.board)),
    )
    if past > TOUCHING:
        say(
            OPENING_ROOM,
            f"The opening of {placed.label} runs {mm(past)} past the edge of {stack.board.label}.",
            Remedy(f"Make it {mm(2 * past)} smaller or the panel larger."),
        )
    cut = corner_cut(project.shop, data.corner_radius)
    if cut.by_hand:
        say(
            CORNERS,
            f"Corners of radius {mm(data.corner_radius)} are tighter than the router's bit of {mm(cut.bit)} leaves.",
            Remedy(
                "File them out by hand, or allow the radius that the bit leaves.",
                f"{part}.corner_radius",
                cut.bit / 2,
            ),
        )
    if boxed:
        short = FRAME_SEAT - min(layout.seats)
        if short > TOUCHING:
            cures = _room_cures(placed, data, project, layout, back, part)
            say(
                FRAME_ROOM,
                f"Beside the artwork of {placed.label} {mm(max(min(layout.seats), 0.0))} is left for the frame; it "
                f"needs a seat of {mm(FRAME_SEAT)}.",
                *cures,
            )
        if data.frame_lip > data.overlap + TOUCHING:
            say(
                FRAME_SEEN,
                f"The frame's lip of {mm(data.frame_lip)} is wider than the artwork's overlap of {mm(data.overlap)}.",
                Remedy(
                    f"Make the lip {mm(data.overlap)} at most.", f"{part}.frame_lip", data.overlap
                ),
            )
        material = material_near(project, data.frame_thickness, stack.board.material)
        thickness = project.materials[material].thickness
        if thickness - layout.sandwich < LIP_LEAST - TOUCHING:
            least = layout.sandwich + LIP_LEAST
            say(
                LIP,
                f"The artwork is {mm(layout.sandwich)} thick; a frame of {mm(thickness)} leaves a lip of "
                f"{mm(max(thickness - layout.sandwich, 0.0))}.",
                Remedy(
                    f"Take a board of {mm(least)} or more for the frame.",
                    f"{part}.frame_thickness",
                    least,
                ),
            )
    say(
        ACRYLIC,
        f"Cut the sheets of {placed.label} {mm(layout.artwork.width)} × {mm(layout.artwork.height)} "
        "with their film on.",
        Remedy(
            "Use a fine blade for plastics, support the sheet close to the cut, wear eye protection; no holes near the "
            "edges, no spirits for cleaning. Follow the supplier's advice."
        ),
    )
    return tuple(found)


def _room_cures(
    placed: Placed,
    data: Sign,
    project: Project,
    layout: SignLayout,
    back: Area,
    part: str,
) -> list[Remedy]:
    """Wider strips; else the sign in the middle of the clear back, and what is then still short."""
    play = layout.artwork.left - layout.rabbet.left
    if data.frame_width - data.frame_lip - play < FRAME_SEAT - TOUCHING:
        best = FRAME_SEAT + data.frame_lip + play
        return [Remedy(f"Make the frame's strips {mm(best)} wide.", f"{part}.frame_width", best)]
    cures = []
    for axis, is_at, middle, low, high in (
        ("u", placed.u, back.centre[0], layout.seats[0], layout.seats[2]),
        ("v", placed.v, back.centre[1], layout.seats[1], layout.seats[3]),
    ):
        if min(low, high) < FRAME_SEAT - TOUCHING and abs(middle - is_at) > TOUCHING:
            cures.append(
                Remedy(
                    f"Centre it on the clear back: {axis} = {mm(middle)}.",
                    wish_field(placed, project, axis),
                    middle,
                )
            )
    spare = min(back.width - layout.rabbet.width, back.height - layout.rabbet.height) / 2
    short = FRAME_SEAT - spare
    if short <= TOUCHING:
        return cures
    then = "Then let" if cures else "Let"
    overlap = data.overlap - short
    if overlap > OVERLAP_LEAST - TOUCHING:
        cures.append(
            Remedy(
                f"{then} the artwork reach {mm(overlap)} past the opening.",
                f"{part}.overlap",
                overlap,
            )
        )
        if data.frame_lip > overlap:
            cures.append(
                Remedy(
                    f"With that, let the frame's lip cover {mm(overlap - 1.0)}.",
                    f"{part}.frame_lip",
                    overlap - 1.0,
                )
            )
    cures.append(
        Remedy(f"Make the clear back {mm(2 * short)} larger or the opening as much smaller.")
    )
    return cures


__all__ = ["FRAME_SEAT", "LIP_LEAST", "sign_findings"]
