"""How long a screen panel must be for its display, and how far back display and bar reach.

Side view, t the tilt from vertical, a along the panel from its foot G, d behind its show face:

             F/--__
             / a   --   rear of the display:  y = G.y + a·sin t + d·cos t
           G/__ d
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from casewright.basics.reckoning import Reckoning, Term
from casewright.catalog.kinds import Display
from casewright.design.parts import Hold
from casewright.design.project import Project
from casewright.geometry.display_face import DisplayFace, display_face
from casewright.geometry.recipes.extents import Spot, taken
from casewright.geometry.recipes.ledger import Candidate, largest

CABLE_BEHIND = 15.0
"""Kept free behind a display for cables that leave at its edge. [mm] Source: common practice."""

SCREW_HEAD = 5.0
"""Heads on the bar over the rear mounting holes. [mm] Source: common practice."""


def foot_loss(thickness: float, tilt_deg: float, slope_deg: float, tilt_most: float) -> float:
    """What the deck takes from the screen's back face at its foot. [mm]

    The screen stands on the deck, sawn at tilt + slope; past the saw's limit the two are mitered and nothing is lost.
    """
    angle = tilt_deg + slope_deg
    return thickness * math.tan(math.radians(angle)) if angle <= min(tilt_most, 60.0) else 0.0


def top_loss(thickness: float, top: float, tilt_deg: float) -> tuple[float, float]:
    """What a top panel that covers the screen takes from its back face, and from the room for the display. [mm]

    The show face ends lower than the back face, on which the display is centred; what holds the display is screwed in
    from the back and must not come out of that bevel. Twice the difference keeps the margin at the show face.
    """
    t = math.radians(tilt_deg)
    bevel = thickness * math.tan(t)
    back = top / math.cos(t) - bevel
    return back, back + 2 * bevel


def screen_need(
    spots: Sequence[Spot], *, margin: float, foot: float, top: float
) -> Reckoning | None:
    """Length of the screen panel that its display asks for; None without a display. [mm]

    Args:
        spots: What is placed on the screen.
        margin: Panel kept above and below the housing.
        foot: Taken from the back face at the foot.
        top: Taken from the back face at the top.
    """
    at_foot, at_top = Term("taken by the deck", foot), Term("taken by the top", top)
    ends = [term for term in (at_foot, at_top) if term.value]
    candidates = []
    for spot in spots:
        if not isinstance(spot.data, Display):
            continue
        room = taken(spot)
        height = room.down + room.up
        candidates.append(
            Candidate(
                spot.label,
                (Term(f"{spot.label}, housing", height), Term("margin", margin, 2), *ends),
            )
        )
        if spot.v is not None:
            candidates.append(
                Candidate(
                    f"{spot.label} at its v",
                    (
                        Term(f"{spot.label}, v", spot.v),
                        Term("middle of the picture to the housing's upper edge", room.up),
                        Term("margin", margin),
                        *([at_top] if top else []),
                    ),
                )
            )
    if not candidates:
        return None
    return largest("shape.screen_length", "screen, from the deck to its top", candidates)


def depth_candidates(
    project: Project,
    spots: Sequence[Spot],
    *,
    foot_y: float,
    tilt_deg: float,
    length: float,
    thickness: float,
    foot: float,
    top: float,
    back: float,
) -> list[Candidate]:
    """Depths of the cabinet that display, cables and bar ask for.

    Args:
        project: For the bar's material.
        spots: What is placed on the screen.
        foot_y: y of the screen's foot. [mm]
        tilt_deg: Of the screen.
        length: Of the screen's run. [mm]
        thickness: All layers of the screen panel. [mm]
        foot: Taken from its back face at the foot. [mm]
        top: Taken from its back face at the top; negative where it runs on. [mm]
        back: Thickness of the back, set-back included. [mm]
    """
    sin, cos = math.sin(math.radians(tilt_deg)), math.cos(math.radians(tilt_deg))
    middle = (foot + length - top) / 2
    found = []
    for spot in spots:
        data = spot.data
        if not isinstance(data, Display):
            continue
        face = display_face(data, 90.0 * round(spot.turn / 90))
        centre = middle + spot.dv if spot.v is None else spot.v - face.lit.v
        rear = thickness + data.housing_depth + spot.wish.standoff
        behind = face.connector_side == "behind"
        cable = data.connector_room if behind else CABLE_BEHIND
        upper = centre + face.housing_height / 2
        name = f"{spot.label} and its cables"
        found.append(
            Candidate(
                name,
                (
                    Term("screen's foot behind the front", foot_y),
                    Term("housing's upper edge, up the screen × sin(tilt)", upper * sin),
                    Term("panel and housing × cos(tilt)", rear * cos),
                    Term("plugs behind it" if behind else "cables behind it", cable),
                    Term("back", back),
                ),
                spare=0.0 if behind else cable,
            )
        )
        found += _bar(project, spot, face, centre, foot_y, rear, (sin, cos), back)
    return found


def _bar(
    project: Project,
    spot: Spot,
    face: DisplayFace,
    centre: float,
    foot_y: float,
    rear: float,
    sin_cos: tuple[float, float],
    back: float,
) -> list[Candidate]:
    hold = spot.wish.hold or Hold()
    if hold.style != "rails and bar":
        return []
    sin, cos = sin_cos
    material = project.materials[hold.bar_material or project.shape.board]
    upper = centre + face.pattern_middle[1] + hold.bar_width / 2
    return [
        Candidate(
            f"the bar behind {spot.label}",
            (
                Term("screen's foot behind the front", foot_y),
                Term("bar's upper edge, up the screen × sin(tilt)", upper * sin),
                Term(
                    "panel, housing, bar and heads × cos(tilt)",
                    (rear + material.thickness + SCREW_HEAD) * cos,
                ),
                Term("back", back),
            ),
        )
    ]


__all__ = ["CABLE_BEHIND", "SCREW_HEAD", "depth_candidates", "foot_loss", "screen_need", "top_loss"]
