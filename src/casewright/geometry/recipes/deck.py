"""How deep a deck must be for its controls, and how high over the base.

Side view of a control on the deck; s is the slope, n the depth below the show face:

            G ___ deck
       ____/          H.z + (v − down)·sin s − n·cos s  ≥  base + clearance
    H |  |_|_ body
      |    ↕ clearance
    A |______ base
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from casewright.basics.reckoning import Reckoning, Term
from casewright.catalog.kinds import Fitting, PushButton
from casewright.geometry.recipes.extents import Spot, Taken, taken
from casewright.geometry.recipes.ledger import Candidate, largest

FINGER_ROOM = 25.0
"""Kept free on the deck behind a control, for the fingers. [mm] Source: common practice."""

LAND = 10.0
"""Panel kept between a part and what ends the panel. [mm] Source: common practice."""

BARE_DECK = 120.0
"""A deck that carries nothing: room for a hand. [mm] Source: common practice."""

BODY_CLEARANCE = 10.0
"""Kept free below what hangs from the deck, for wires. [mm] Source: common practice."""

CLEAT_LENGTH = 30.0
"""Room for the shortest cleat that holds anything, 25 mm, between two others. [mm] Source: common practice."""


def deck_need(spots: Sequence[Spot], palm_room: float) -> tuple[Reckoning, float]:
    """Depth of the deck that its controls ask for, and the depth below which they do not fit at all. [mm]

    Args:
        spots: What is placed on the deck.
        palm_room: From the front edge to the rim of a control whose v is not given.
    """
    comfort = [Candidate("a deck without controls", (Term("room for a hand", BARE_DECK),))]
    if spots:
        comfort.clear()
    least = [0.0]
    for spot in spots:
        room = taken(spot)
        rear = _rear(spot, room)
        if spot.v is not None:
            comfort.append(Candidate(spot.label, (Term(f"{spot.label}, v", spot.v), *rear)))
            least.append(spot.v + max(room.rim_up, room.up) + LAND)
            continue
        shift = () if not spot.dv else (Term("shift up", spot.dv, -2),)
        comfort.append(
            Candidate(
                spot.label,
                (
                    Term("palm room", palm_room, 2),
                    Term(f"{spot.label}, middle to rim", room.rim_down, 2),
                    *shift,
                ),
            )
        )
        doubled = [Term(t.label, t.value, 2 * t.times) for t in rear]
        moved = () if not spot.dv else (Term("shift up", spot.dv, 2),)
        comfort.append(Candidate(f"{spot.label}, toward the screen", (*doubled, *moved)))
        least.append(2 * (max(room.rim_down, room.down) + LAND - spot.dv))
        least.append(2 * (max(room.rim_up, room.up) + LAND + spot.dv))
    need = largest(
        "shape.deck_depth",
        "depth of the deck, along its slope",
        comfort,
        rule="A control whose v is not given sits in the middle of the deck, its rim at the palm room.",
    )
    return need, max(least)


def front_need(
    spots: Sequence[Spot],
    on_lip: Sequence[Spot],
    *,
    key: str,
    label: str,
    deck_depth: float,
    slope_deg: float,
    deck: float,
    base: float,
    batten: float,
) -> tuple[Reckoning, float]:
    """Height of the deck's front edge over the underside that the parts ask for, and cannot do without. [mm]

    Args:
        spots: What is placed on the deck.
        on_lip: What is placed on the panel below the deck's front edge.
        key: Of the number.
        label: Of the number.
        deck_depth: Along the slope. [mm]
        slope_deg: Of the deck.
        deck: All layers of the deck. [mm]
        base: Thickness of the base. [mm]
        batten: Height of the cleats. [mm]

    Source:
        Plain geometry; see the figure above.
    """
    cos, sin = math.cos(math.radians(slope_deg)), math.sin(math.radians(slope_deg))
    across = Term("deck, cut upright", deck / cos)
    base_term = Term("base", base)
    candidates = [
        Candidate(
            "the cleats",
            (
                base_term,
                Term("cleats of base and deck", batten, 2),
                Term("a cleat between them", CLEAT_LENGTH),
                across,
            ),
            spare=2 * batten,
        )
    ]
    for spot in spots:
        room = taken(spot)
        from_show = isinstance(spot.data, PushButton | Fitting) or spot.wish.face == "show"
        depth = room.depth if from_show else room.depth + deck
        v = deck_depth / 2 + spot.dv if spot.v is None else spot.v
        candidates.append(
            Candidate(
                spot.label,
                (
                    Term(f"{spot.label}, depth below the deck × cos(slope)", depth * cos),
                    Term("the deck's rise up to it", max(v - room.down, 0.0) * sin, -1),
                    base_term,
                    Term("room below it", BODY_CLEARANCE),
                ),
            )
        )
    for spot in on_lip:
        room = taken(spot)
        if spot.v is None:
            half = max(room.down + base, room.up)
            terms: tuple[Term, ...] = (
                Term(f"{spot.label}, middle to edge and base", half, 2),
                Term("land", LAND, 2),
                across,
            )
        else:
            terms = (
                Term(f"{spot.label}, v", spot.v),
                Term("to its edge", room.up),
                Term("land", LAND),
                across,
            )
        candidates.append(Candidate(spot.label, terms))
    return largest(key, label, candidates), max(c.least for c in candidates)


def _rear(spot: Spot, room: Taken) -> tuple[Term, Term]:
    """What a control needs behind its middle: fingers above the deck, land below it."""
    if room.rim_up + FINGER_ROOM >= room.up + LAND:
        return (
            Term(f"{spot.label}, middle to rear of what shows", room.rim_up),
            Term("room for the fingers", FINGER_ROOM),
        )
    return (Term(f"{spot.label}, middle to rear of the body", room.up), Term("land", LAND))


__all__ = [
    "BARE_DECK",
    "BODY_CLEARANCE",
    "CLEAT_LENGTH",
    "FINGER_ROOM",
    "LAND",
    "deck_need",
    "front_need",
]
