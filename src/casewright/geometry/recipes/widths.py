"""How wide a cabinet must be for what is side by side in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from casewright.basics.reckoning import Term
from casewright.catalog.body_sizes import body_size
from casewright.catalog.kinds import Dial, Display, Lever, PushButton, Sign, Trackball
from casewright.design.parts import Hold, KnownPart
from casewright.design.project import Project
from casewright.geometry.devices.button import NUT_ROOM
from casewright.geometry.display_face import display_face
from casewright.geometry.recipes.extents import Spot, spots_on, taken
from casewright.geometry.recipes.ledger import Candidate, Ledger, largest
from casewright.geometry.viewers import Viewer, playing

LEAST_RAIL = 8.0
"""A display's rail is made as narrow as this where there is no more room. [mm] Source: common practice."""

BESIDE_CLEAT = 3.0
"""Between a part and the cleat at the side. [mm] Source: common practice."""


def solve_width(
    project: Project,
    parts: Mapping[str, KnownPart],
    panels: Sequence[str],
    everybody: tuple[Viewer, ...],
    ledger: Ledger,
    more: Sequence[Candidate] = (),
) -> float:
    """Width over both sides. [mm]

    Args:
        project: Its parts, site and people.
        parts: With every dimension settled.
        panels: Keys of the spanning panels.
        everybody: For shoulders; empty where nobody plays.
        ledger: Takes the number, and what is too small.
        more: Reasons of the recipe's own.

    An error is written down where nothing says how wide. Whether players sit too close is judged by a check.
    """
    side = Term("side", project.materials[project.shape.side.material].thickness, 2)
    cleat = project.batten.width
    fits = list(more)
    controls: list[Spot] = []
    for panel in panels:
        for spot in spots_on(project, parts, panel):
            fits.append(_candidate(spot, cleat, side))
            fits += _plugs(spot, cleat, side)
            if isinstance(spot.data, PushButton | Lever | Dial | Trackball):
                controls.append(spot)
    people = _abreast(controls, everybody)
    wish = project.shape.width
    if not fits and people is None:
        if wish is None:
            ledger.refuse(
                "width", "nothing", "a width, since no part is placed that asks for one", "600 mm"
            )
            return 0.0
        ledger.settle("width", wish, largest("shape.width", LABEL, [Candidate("nothing", (side,))]))
        return wish
    physical = fits or [Candidate("the sides", (side,))]
    need = largest("shape.width", LABEL, physical if people is None else [*physical, people])
    width = ledger.settle(
        "width", wish, need, panels=tuple(panels), least=max(c.least for c in physical)
    )
    return width


LABEL = "width over both sides"


def players_of(controls: Sequence[Spot]) -> int:
    """How many play at once: players named by the controls, one where none is named."""
    named = {spot.wish.player for spot in controls if spot.wish.player is not None}
    return len(named) or (1 if controls else 0)


def _abreast(controls: Sequence[Spot], everybody: tuple[Viewer, ...]) -> Candidate | None:
    count = players_of(controls)
    if not count:
        return None
    shoulders = max(
        (v.shoulders for v in playing(everybody)), default=body_size("seated").shoulders
    )
    return Candidate("players abreast", (Term("shoulder breadth", shoulders, count),))


def _plugs(spot: Spot, cleat: float, side: Term) -> list[Candidate]:
    """Room beside a display whose plugs leave to the left or right."""
    if not isinstance(spot.data, Display) or not spot.data.connector_room:
        return []
    way = display_face(spot.data, 90.0 * round(spot.turn / 90)).connector_side
    if way not in ("left", "right"):
        return []
    room = taken(spot)
    name = f"{spot.label}'s plugs"
    edge = room.right if way == "right" else room.left
    beyond = (
        Term("plugs and the bend of their cables", spot.data.connector_room),
        Term("cleat at the side", cleat),
    )
    if spot.u is None:
        shift = spot.du if way == "right" else -spot.du
        doubled = (Term(t.label, t.value, 2) for t in beyond)
        half = Term(f"{spot.label}, middle to edge", edge + shift, 2)
        return [Candidate(name, (half, *doubled, side), spare=2 * cleat)]
    if way == "left":
        return []  # to the left of a given u there is what there is
    at = Term(f"{spot.label}, u", spot.u)
    return [Candidate(name, (at, Term("middle to edge", edge), *beyond, side), spare=cleat)]


def _candidate(spot: Spot, cleat: float, side: Term) -> Candidate:
    room = taken(spot)
    spare = cleat + BESIDE_CLEAT  # a cleat is cut short of what stands in its way
    beside = [Term("cleat at the side", cleat), Term("beside it", BESIDE_CLEAT)]
    if isinstance(spot.data, Display):
        hold = spot.wish.hold or Hold()
        if hold.style != "none":
            beside.append(Term("rail and its gap", hold.rail_width + hold.gap))
            spare += max(hold.rail_width - LEAST_RAIL, 0.0)
    if isinstance(spot.data, PushButton):  # its nut has to be turned
        nut = (spot.data.nut + NUT_ROOM) / 2
        spare -= max(nut - max(spot.data.nut, spot.data.bezel) / 2, 0.0)
    if isinstance(spot.data, Sign):  # its frame is made narrower where the sides are
        spare += max(spot.data.frame_width - spot.data.frame_lip, 0.0)
    if spot.u is not None:
        return Candidate(
            f"{spot.label} at its u",
            (Term(f"{spot.label}, u", spot.u), Term("middle to edge", room.right), *beside, side),
            spare=spare,
        )
    half = max(room.left - spot.du, room.right + spot.du)
    return Candidate(
        spot.label,
        (
            Term(f"{spot.label}, middle to edge", half, 2),
            *(Term(t.label, t.value, 2) for t in beside),
            side,
        ),
        spare=2 * spare,
    )


__all__ = ["BESIDE_CLEAT", "LABEL", "players_of", "solve_width"]
