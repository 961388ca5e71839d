r"""How large a header must be for its sign and loudspeakers.

Side view; the underside E-F stands square to the screen, the face D-E leans back by its own tilt:

      D______ C
      /     |
     /  | light       D-E face, E-F underside
    E\  | board
      \F
      /  screen

What a panel takes from its neighbor at a depth d below the neighbor's show face, where the two meet at an inside
angle i and the first is t thick: t ÷ sin i + d × cot i.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from casewright.basics.reckoning import Reckoning, Term
from casewright.catalog.kinds import Sign
from casewright.geometry.recipes.deck import CLEAT_LENGTH, LAND
from casewright.geometry.recipes.extents import Spot, sign_depth, taken
from casewright.geometry.recipes.ledger import Candidate, largest

PLAIN_OVERHANG = 60.0
"""A header that carries nothing below: shades the screen. [mm] Source: common practice."""

FRAME_PLAY = 3.0
"""Between a sign's frame and the panels next to it. [mm] Source: common practice."""

SPEAKER_LAND = 7.0
"""Panel kept round a loudspeaker's frame. [mm] Source: common practice."""

LIGHT_WIRES = 10.0
"""Behind a light board. [mm] Source: common practice."""


def taken_by_neighbor(thickness: float, inside_deg: float, depth: float) -> float:
    """What a covering neighbor takes from a panel, at a depth below its show face. [mm]

    Source:
        Plain geometry; see above.

    Example:
        >>> taken_by_neighbor(12, 90, 50)
        12.0
    """
    angle = math.radians(inside_deg)
    return round(thickness / math.sin(angle) + depth * math.cos(angle) / math.sin(angle), 9)


def underside_need(
    spots: Sequence[Spot],
    on_face: Sequence[Spot],
    *,
    face: float,
    underside: float,
    inside_deg: float,
) -> Reckoning:
    """Depth of the header's underside. [mm]

    Args:
        spots: What is placed on it.
        on_face: What is placed on the header's face; a light board ends on the underside.
        face: All layers of the header's face, which covers it. [mm]
        underside: All layers of the underside. [mm]
        inside_deg: Angle between the two.
    """
    candidates = [
        Candidate("shade over the screen", (Term("shade over the screen", PLAIN_OVERHANG),))
    ]
    for spot in spots:
        room = taken(spot)
        lost = max(
            taken_by_neighbor(face, inside_deg, d) for d in (0.0, underside, underside + room.depth)
        )
        terms: tuple[Term, ...]
        if spot.v is None:  # in the middle of what shows
            shown = max(taken_by_neighbor(face, inside_deg, 0.0), 0.0)
            half = max(room.down + max(lost - shown, 0.0), room.up)
            terms = (
                Term(f"{spot.label}, middle to edge", half, 2),
                Term("land", SPEAKER_LAND, 2),
                Term("taken by the header's face", shown),
            )
        else:
            terms = (
                Term(f"{spot.label}, v", spot.v),
                Term("middle to edge", room.up),
                Term("land", SPEAKER_LAND),
                Term("taken by the header's face", max(lost, 0.0)),
            )
        candidates.append(Candidate(spot.label, terms))
    for spot in on_face:
        if isinstance(spot.data, Sign) and spot.wish.boxed:
            depth = face + sign_depth(spot.data)
            reach = taken_by_neighbor(depth, inside_deg, underside)
            candidates.append(
                Candidate(
                    f"{spot.label} and its light board",
                    (
                        Term("face, sign and light board, along the underside", reach),
                        Term("wires behind it", LIGHT_WIRES),
                    ),
                    spare=LIGHT_WIRES,
                )
            )
    return largest("shape.header_overhang", "header's underside, front to screen", candidates)


def face_need(
    spots: Sequence[Spot],
    below: Sequence[Spot],
    *,
    face: float,
    top: float,
    underside: float,
    top_inside_deg: float,
    under_inside_deg: float,
    batten: float,
) -> tuple[Reckoning, float]:
    """Height of the header's face, along it: what is asked for, and what cannot be done without. [mm]

    Args:
        spots: What is placed on it.
        below: What is placed on the underside, whose bodies stand up into the header.
        face: All layers of the face. [mm]
        top: Thickness of the top, which covers it. [mm]
        underside: All layers of the underside. [mm]
        top_inside_deg: Angle between face and top.
        under_inside_deg: Angle between face and underside.
        batten: Height of the cleats. [mm]
    """

    def losses(depth: float) -> tuple[Term, Term]:
        over = max(taken_by_neighbor(top, top_inside_deg, d) for d in (face, face + depth))
        under = max(taken_by_neighbor(underside, under_inside_deg, d) for d in (face, face + depth))
        return (
            Term("taken by the top", max(over, 0.0)),
            Term("taken by the underside", max(under, 0.0)),
        )

    candidates = [
        Candidate(
            "the cleats",
            (
                Term("cleats of top and underside", batten, 2),
                Term("a cleat between them", CLEAT_LENGTH),
                *losses(0.0),
            ),
            spare=2 * batten,
        )
    ]
    for spot in spots:
        room = taken(spot)
        play = FRAME_PLAY if isinstance(spot.data, Sign) else LAND
        spare = 0.0
        if isinstance(spot.data, Sign):  # its frame is made narrower where the clear back ends
            spare = max(spot.data.frame_width - spot.data.frame_lip, 0.0)
        height = Term(f"{spot.label}, over all", room.down + room.up)
        over, under = losses(room.depth)
        if spot.v is not None:
            terms = (
                Term(f"{spot.label}, v", spot.v),
                Term("middle to edge", room.up),
                Term("play", play),
                over,
            )
            candidates.append(Candidate(f"{spot.label} at its v", terms))
            continue
        # It sits midway up the show face, of which the top takes its own share.
        shown = max(taken_by_neighbor(top, top_inside_deg, 0.0), 0.0)
        uneven = max(under.value, max(over.value - shown, 0.0))
        candidates.append(
            Candidate(
                spot.label,
                (
                    height,
                    Term("play", play, 2),
                    Term("taken by top and underside, the larger of the two", uneven, 2),
                    Term("covered by the top", shown),
                ),
                spare=spare,
            )
        )
    for spot in below:
        room = taken(spot)
        over, under = losses(0.0)
        candidates.append(
            Candidate(
                spot.label,
                (Term(f"{spot.label}, depth", room.depth), Term("room", LAND), over, under),
            )
        )
    need = largest("shape.header_height", "header's face, along it", candidates)
    return need, max(c.least for c in candidates)


def depth_candidates(
    spots: Sequence[Spot],
    *,
    front_y: float,
    height: float,
    tilt_deg: float,
    face: float,
    back: float,
) -> list[Candidate]:
    """Depths of the cabinet that the sign's light board asks for.

    Args:
        spots: What is placed on the header's face.
        front_y: y of the face's lower edge. [mm]
        height: Of the face, along it. [mm]
        tilt_deg: Of the face, back from vertical.
        face: All layers of it. [mm]
        back: Thickness of the back, set-back included. [mm]
    """
    sin, cos = math.sin(math.radians(tilt_deg)), math.cos(math.radians(tilt_deg))
    return [
        Candidate(
            f"{spot.label} and its light board",
            (
                Term("header's face behind the front, at its top", front_y + height * sin),
                Term(
                    "face, sign and light board × cos(tilt)", (face + sign_depth(spot.data)) * cos
                ),
                Term("wires behind it", LIGHT_WIRES),
                Term("back", back),
            ),
            spare=LIGHT_WIRES,
        )
        for spot in spots
        if isinstance(spot.data, Sign) and spot.wish.boxed
    ]


__all__ = [
    "FRAME_PLAY",
    "LIGHT_WIRES",
    "PLAIN_OVERHANG",
    "SPEAKER_LAND",
    "depth_candidates",
    "face_need",
    "taken_by_neighbor",
    "underside_need",
]
