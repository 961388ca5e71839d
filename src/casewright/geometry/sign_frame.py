"""The frame that holds a sign's artwork against the back of its panel."""

from __future__ import annotations

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Sign
from casewright.design.project import Project
from casewright.geometry.fitting import Fitted, Stack
from casewright.geometry.holding_screws import spaced, wood_screw
from casewright.geometry.model import (
    Circle,
    Fastening,
    Feature,
    Placed,
    Point2,
)
from casewright.geometry.openings import corner_cut
from casewright.geometry.orders import SQUARE_CORNERS
from casewright.geometry.sign_layout import (
    SignLayout,
    material_near,
    sign_piece,
)

SCREW_SEAT = 7.0
"""Least width for a row of screws 3.0 thick: their heads and half a millimeter. Source: common practice. [mm]"""
UNHELD_MOST = 200.0
"""Longest strip of the frame that needs no screw of its own. Source: common practice. [mm]"""

FIXED = Rule(
    "sign.frame-fixed",
    Severity.CAUTION,
    "The frame is screwed to the panel along its long strips, so that it comes off for a new print.",
    "A long strip held at its ends only bows, and light leaks past the artwork.",
    "Common practice",
)


def fit_frame(
    placed: Placed, data: Sign, stack: Stack, project: Project, layout: SignLayout
) -> Fitted:
    """The ring: a window with a rabbet from the face that meets the panel; screws where it is wide enough."""
    key = f"{placed.key}.frame"
    if layout.frame.width <= 0 or layout.frame.height <= 0 or min(layout.seats) <= TOUCHING:
        return Fitted()  # said by the finding on its room
    material = material_near(project, data.frame_thickness, stack.board.material)
    thickness = project.materials[material].thickness
    if layout.sandwich >= thickness - TOUCHING:
        return Fitted()  # said by the finding on its lip
    cut = corner_cut(project.shop)
    features = [
        Feature(
            f"{key}.window",
            "opening",
            layout.window.rectangle(cut.radius),
            "back",
            None,
            cut.tool,
            placed.key,
            "window of the frame",
        ),
        Feature(
            f"{key}.rabbet",
            "pocket",
            layout.rabbet.rectangle(),
            "show",
            layout.sandwich,
            "straight",
            placed.key,
            f"rabbet for the artwork{SQUARE_CORNERS}",
        ),
    ]
    screw = wood_screw(
        thickness, stack.board.thickness, glued=False, diameters=(3.0,), unit=project.unit
    )
    outer, seat = layout.frame, layout.seats
    spots: list[Point2] = []
    loose = 0.0
    for width, u in ((seat[0], outer.left + seat[0] / 2), (seat[2], outer.right - seat[2] / 2)):
        if screw is not None and width >= SCREW_SEAT - TOUCHING:
            spots += [(u, v) for v in spaced(outer.bottom, outer.top)]
        else:
            loose = max(loose, outer.height)
    for width, v in ((seat[1], outer.bottom + seat[1] / 2), (seat[3], outer.top - seat[3] / 2)):
        if screw is not None and width >= SCREW_SEAT - TOUCHING:
            # The corners belong to the strips at the sides.
            spots += [(u, v) for u in spaced(outer.left, outer.right)[1:-1]]
        else:
            loose = max(loose, outer.width)
    pilots = []
    fastenings: tuple[Fastening, ...] = ()
    if screw is not None and spots:
        for number, (u, v) in enumerate(spots, 1):
            shank = Circle(u, v, screw.clearance)
            features.append(
                Feature(f"{key}.shank-{number}", "clearance", shank, "back", None, "brad", key)
            )
            lead = Circle(u, v, screw.pilot)
            name = f"{key}.pilot-{number}"
            pilot = Feature(name, "pilot", lead, "back", screw.bite, "brad", key)
            pilots.append((stack.board.key, pilot))
        fastenings = (screw.fastening(f"{key}.screws", key, stack.board.key, len(spots)),)
    ring = sign_piece(
        stack,
        key,
        f"{placed.label} frame",
        "frame",
        "other",
        material,
        thickness,
        outer,
        0.0,
        tuple(features),
        has_grain=project.materials[material].grain == "length",
    )
    findings: tuple[Finding, ...] = ()
    if loose > UNHELD_MOST or not spots:
        findings = (
            FIXED.finding(
                f"The frame of {placed.label} has a strip {mm(loose)} long that is too narrow, or the panel too thin, "
                "for screws.",
                remedies=(
                    Remedy(f"Hold it by small clips or turn buttons every {mm(150.0)}."),
                    Remedy(f"Give its strips a seat of {mm(SCREW_SEAT)} on the panel."),
                ),
                names=(placed.key, key),
                point=stack.board.frame.point(placed.u, placed.v, -stack.board.thickness),
            ),
        )
    return Fitted(features=tuple(pilots), pieces=(ring,), fastenings=fastenings, findings=findings)


__all__ = ["SCREW_SEAT", "UNHELD_MOST", "fit_frame"]
