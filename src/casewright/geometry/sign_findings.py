"""What may be wrong with a sign in its panel: opening, frame, lip, artwork."""

from __future__ import annotations

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Sign
from casewright.design.project import Project
from casewright.geometry.fitting import Stack
from casewright.geometry.model import (
    Placed,
)
from casewright.geometry.openings import Area, back_area, corner_cut, part_field
from casewright.geometry.sign_cures import FRAME_SEAT, room_cures
from casewright.geometry.sign_layout import (
    FRAME_KINDS,
    SignLayout,
    material_near,
)

LIP_LEAST = 2.0
"""Thinnest lip left over the artwork's edge. Source: common practice. [mm]"""

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
            Remedy(f"Make it {at_least(2 * past)} smaller or the panel larger."),
        )
    cut = corner_cut(project.shop, data.corner_radius)
    if cut.by_hand:
        say(
            CORNERS,
            f"Corners of radius {mm(data.corner_radius)} are tighter than the router's bit of {mm(cut.bit)} leaves.",
            Remedy(
                "File them out by hand, or allow the radius that the bit leaves.",
                part_field(placed, project, "corner_radius"),
                cut.bit / 2,
            ),
        )
    if boxed:
        short = FRAME_SEAT - min(layout.seats)
        if short > TOUCHING:
            cures = room_cures(placed, data, stack, project, layout, back)
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
                    f"Make the lip {mm(data.overlap)} at most.",
                    part_field(placed, project, "frame_lip"),
                    data.overlap,
                ),
            )
        material = material_near(project, data.frame_thickness, stack.board.material)
        thickness = project.materials[material].thickness
        if thickness - layout.sandwich < LIP_LEAST - TOUCHING:
            say(
                LIP,
                f"The artwork is {mm(layout.sandwich)} thick; a frame of {mm(thickness)} leaves a lip of "
                f"{mm(max(thickness - layout.sandwich, 0.0))}.",
                _thicker_frame(placed, project, layout.sandwich + LIP_LEAST),
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


def _thicker_frame(placed: Placed, project: Project, least: float) -> Remedy:
    """The thinnest of the project's boards that is thick enough for a frame; words where there is none. [mm]"""
    boards = [one.thickness for one in project.materials.values() if one.kind in FRAME_KINDS]
    fit = min((thickness for thickness in boards if thickness >= least - TOUCHING), default=None)
    text = f"Take a board of {at_least(least)} or more for the frame"
    if fit is None:
        return Remedy(f"{text}; none of the materials is.")
    text = f"{text}, such as that of {mm(fit)}."
    return Remedy(text, part_field(placed, project, "frame_thickness"), fit)


__all__ = ["LIP_LEAST", "sign_findings"]
