"""A box with a front: a loudspeaker or equipment case. Side view:

   D____C      the front leans back by its tilt t
   /    |
  /     |      inside: depth at a height z is  depth − back − front ÷ cos t − z·tan t
 /______|
A       B
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Remedy, mm
from casewright.basics.reckoning import Reckoning, Term, derived, stated
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Sign
from casewright.design.panels import Panel, Seam
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.design.shape import BoxShape
from casewright.geometry.model import SolvedShape
from casewright.geometry.recipes.assembly import assemble, merged_panels, stack_thickness
from casewright.geometry.recipes.deck import LAND
from casewright.geometry.recipes.extents import Spot, spots_on, taken
from casewright.geometry.recipes.ledger import TOO_SMALL, Candidate, Ledger, largest
from casewright.geometry.recipes.widths import solve_width

PANELS: Mapping[str, Panel] = {
    "base": Panel(role="floor", label="base"),
    "back": Panel(role="back", label="back", fixing="screwed"),
    "top": Panel(role="top", label="top"),
    "front": Panel(role="baffle", label="front"),
}

BEHIND = 40.0
"""Kept free between the deepest part on the front and the back: wires, terminals, moving air. [mm]

Source: common practice.
"""

LITRE = 1e6
"""In cubic millimeters, exact."""


def solve_box(project: Project, parts: Mapping[str, KnownPart], shape: BoxShape) -> SolvedShape:
    """Return the outline with every wish settled.

    Raises:
        InputErrors: panels or wishes that no such outline can be made of.
    """
    ledger = Ledger.of(project)
    ledger.within("front_tilt_deg", shape.front_tilt_deg, 0.0, 40.0)
    panels = merged_panels(project, PANELS)
    thick = {key: stack_thickness(project, panels, key) for key in PANELS}
    on_front = spots_on(project, parts, "front")
    cos = math.cos(math.radians(shape.front_tilt_deg))
    height = _height(ledger, shape, on_front, thick, cos)
    side = project.materials[project.shape.side.material].thickness
    volume = []
    if shape.net_litres is not None:
        edge = Term("edge of a cube of that volume", _cube(shape.net_litres))
        volume.append(
            Candidate("the wished volume", (edge, Term("side", side, 2)), spare=edge.value)
        )
    width = solve_width(project, parts, tuple(panels), (), ledger, volume)
    if ledger.errors:
        raise InputErrors(ledger.errors)
    if width <= 2 * side + TOUCHING:
        ledger.refuse(
            "width", ledger.length(width), f"more than the two sides, {ledger.length(2 * side)}"
        )
    if height <= thick["base"] + thick["top"] + TOUCHING:
        ledger.refuse(
            "height",
            ledger.length(height),
            f"more than base and top, {ledger.length(thick['base'] + thick['top'])}",
        )
    if ledger.errors:
        raise InputErrors(ledger.errors)
    depth = _depth(ledger, project, shape, on_front, thick, height, width - 2 * side)
    lean = height * math.tan(math.radians(shape.front_tilt_deg))
    least = lean + thick["back"] + thick["front"] / cos + 1.0
    if depth < least:
        ledger.refuse(
            "depth",
            ledger.length(depth),
            f"more than {ledger.least(least)}, which the front's tilt and the panels take",
            ledger.length(least + BEHIND),
        )
    return assemble(
        project,
        panels,
        [
            ((0.0, 0.0), "base"),
            ((depth, 0.0), "back"),
            ((depth, height), "top"),
            ((lean, height), "front"),
        ],
        [
            Seam(between=("top", "front"), rule="cover", over="top"),
            Seam(between=("top", "back"), rule="cover", over="top"),
            Seam(between=("base", "front"), rule="cover", over="base"),
            Seam(between=("base", "back"), rule="cover", over="base"),
        ],
        width=width,
        ledger=ledger,
    )


def inside_litres(
    *, width: float, height: float, depth: float, tilt_deg: float, thick: Mapping[str, float]
) -> float:
    """Volume inside a box, parts not taken off. [litres]

    Args:
        width: Between the sides. [mm]
        height: Over all. [mm]
        depth: Over all, at the base. [mm]
        tilt_deg: Of the front, back from vertical.
        thick: Thickness of "base", "top", "back" and "front". [mm]

    Source:
        Plain geometry: a prism over a trapezoid; its mean depth is the one at middle height.
    """
    clear, taken_off = _clear_height_and_loss(height, tilt_deg, thick)
    return width * clear * (depth - taken_off) / LITRE


def _clear_height_and_loss(
    height: float, tilt_deg: float, thick: Mapping[str, float]
) -> tuple[float, float]:
    """Height inside, and what panels and tilt take from the depth at middle height. [mm]"""
    tilt = math.radians(tilt_deg)
    clear = height - thick["base"] - thick["top"]
    middle = thick["base"] + clear / 2
    return clear, thick["back"] + thick["front"] / math.cos(tilt) + middle * math.tan(tilt)


def _height(
    ledger: Ledger,
    shape: BoxShape,
    on_front: Sequence[Spot],
    thick: Mapping[str, float],
    cos: float,
) -> float:
    """Height over all. [mm]"""
    candidates = []
    for spot in on_front:
        room = taken(spot)
        spare = 0.0
        if isinstance(spot.data, Sign):  # its frame is made narrower where the clear back ends
            spare = (max(spot.data.frame_width - spot.data.frame_lip, 0.0) + LAND) * cos
        if spot.v is None:
            half = max(room.down, room.up) + abs(spot.dv) + max(thick["base"], thick["top"]) / cos
            run = Term(
                f"{spot.label}, middle to edge and panel, along the front × cos(tilt)",
                half * cos,
                2,
            )
            land = Term("land", LAND * cos, 2)
            candidates.append(Candidate(spot.label, (run, land), spare=2 * spare))
        else:
            candidates.append(
                Candidate(
                    spot.label,
                    (
                        Term(f"{spot.label}, v × cos(tilt)", spot.v * cos),
                        Term("to its edge × cos(tilt)", room.up * cos),
                        Term("land", LAND * cos),
                        Term("top", thick["top"]),
                    ),
                    spare=spare,
                )
            )
    if shape.net_litres is not None:
        edge = Term("edge of a cube of that volume", _cube(shape.net_litres))
        ends = Term("base and top", thick["base"] + thick["top"])
        candidates.append(Candidate("the wished volume", (edge, ends), spare=edge.value))
    if not candidates:
        if shape.height is None:
            ledger.refuse(
                "height", "nothing", "a height, since no part on the front asks for one", "300 mm"
            )
            return 0.0
        ledger.numbers.append(stated("shape.height", "height, without feet", shape.height))
        return shape.height
    need = largest("shape.height", "height, without feet", candidates)
    return ledger.settle(
        "height", shape.height, need, panels=("front",), least=max(c.least for c in candidates)
    )


def _cube(litres: float) -> float:
    """Edge of a cube of a volume: a box of about equal sides, where nothing else says how wide and high. [mm]"""
    return math.cbrt(litres * LITRE)


def _depth(
    ledger: Ledger,
    project: Project,
    shape: BoxShape,
    on_front: Sequence[Spot],
    thick: Mapping[str, float],
    height: float,
    inner_width: float,
) -> float:
    """Depth over all, from the parts and the wished volume. [mm]"""
    tilt = math.radians(shape.front_tilt_deg)
    parts_need, least = _parts_depth(on_front, thick, height, tilt)
    clear, loss = _clear_height_and_loss(height, shape.front_tilt_deg, thick)
    if shape.net_litres is None:
        depth = ledger.settle("depth", shape.depth, parts_need, panels=("back",), least=least)
    else:
        section = inner_width * clear
        volume_need = derived(
            "shape.depth",
            "depth, front edge to back",
            shape.net_litres * LITRE / section + loss,
            "volume ÷ (inner width × inner height) + panels and tilt at middle height",
            [
                Term("volume (litres)", shape.net_litres),
                Term("inner width", inner_width),
                Term("inner height", clear),
                Term("panels and tilt at middle height", loss),
            ],
            rule="What is inside, such as the loudspeaker itself, is not taken off.",
        )
        deeper = parts_need if parts_need.value > volume_need.value else volume_need
        depth = ledger.settle("depth", shape.depth, deeper, panels=("back",), least=least)
    litres = inside_litres(
        width=inner_width,
        height=height,
        depth=depth,
        tilt_deg=shape.front_tilt_deg,
        thick=thick,
    )
    ledger.numbers.append(_litres(litres, inner_width, clear, depth, loss))
    wish = shape.net_litres
    if wish is not None and litres < wish * (1 - 1e-6):
        enough = wish * LITRE / (inner_width * clear) + loss
        ledger.findings.append(
            TOO_SMALL["net-litres"].finding(
                f"The box holds {litres:.1f} litres of the {wish:.1f} wished for.",
                remedies=(
                    Remedy(f"Make it {mm(enough)} deep.", "shape.depth", enough),
                    Remedy("Leave the depth out: it is then worked out."),
                ),
                names=("back",),
            )
        )
    return depth


def _parts_depth(
    on_front: Sequence[Spot], thick: Mapping[str, float], height: float, tilt: float
) -> tuple[Reckoning, float]:
    """Depth that the parts on the front ask for, and the depth that they cannot do without. [mm]"""
    cos = math.cos(tilt)
    lean = Term("the front's lean at the top", height * math.tan(tilt))
    panels = (Term("front, cut level", thick["front"] / cos), Term("back", thick["back"]))
    candidates = [Candidate("the room inside", (lean, *panels, Term("room behind", BEHIND)))]
    for spot in on_front:
        room = taken(spot)
        run = height / cos
        v = run / 2 + spot.dv if spot.v is None else spot.v
        spare = 0.0
        if isinstance(spot.data, Sign):  # its frame is made narrower where the clear back ends
            spare = max(spot.data.frame_width - spot.data.frame_lip, 0.0) * math.sin(tilt)
        candidates.append(
            Candidate(
                spot.label,
                (
                    Term("the front's lean at its upper edge", (v + room.up) * math.sin(tilt)),
                    Term(
                        f"front and {spot.label}, × cos(tilt)", (thick["front"] + room.depth) * cos
                    ),
                    Term("room behind", BEHIND),
                    Term("back", thick["back"]),
                ),
                spare=spare,
            )
        )
    need = largest("shape.depth", "depth, front edge to back", candidates)
    return need, max(c.least for c in candidates)


def _litres(
    litres: float, inner_width: float, clear: float, depth: float, loss: float
) -> Reckoning:
    return derived(
        "shape.net_litres",
        "volume inside, in litres",
        litres,
        "inner width × inner height × (depth − panels and tilt at middle height) ÷ 1000000",
        [
            Term("inner width", inner_width),
            Term("inner height", clear),
            Term("depth", depth, key="shape.depth"),
            Term("panels and tilt at middle height", loss),
        ],
        unit="",
    )


__all__ = ["inside_litres", "solve_box"]
