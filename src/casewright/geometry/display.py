"""A display behind its opening: opening and chamfer, bodies, numbers, and what does not fit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from casewright.basics.reckoning import Reckoning, Term, derived, stated, total
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Display
from casewright.design.parts import Opening
from casewright.design.project import Project
from casewright.geometry.display_face import (
    DisplayFace,
    default_display_v,
    display_face,
    display_opening,
    housing_area,
    lit_in_housing,
    opening_area,
    share_seen,
)
from casewright.geometry.display_findings import display_findings
from casewright.geometry.display_hold import fit_hold
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.inside import clear_back
from casewright.geometry.model import Body, Box, Feature, Frame, Placed, Point2
from casewright.geometry.openings import (
    Area,
    CornerCut,
    back_area,
    corner_cut,
    corner_margin,
    pierce,
    pierced_pieces,
)
from casewright.geometry.orders import ROUT_FROM_BACK

GLASS = 1.0
"""Thickness drawn for the lit glass. [mm]"""


def fit_display(
    placed: Placed,
    data: Display,
    stack: Stack,
    project: Project,
    *,
    clear: Area | None = None,
    standing: Sequence[Area] = (),
    inside: Sequence[Point2] | None = None,
) -> Fitted:
    """Return all that a display asks of its panel, its hold included.

    Args:
        placed: Its (u, v) is the centre of the lit area; the housing lies on the board's back face.
        data: Its dimensions.
        stack: The panel.
        project: For shop and materials.
        clear: Part of the back face that no other panel takes; worked out from `inside` if not given.
        standing: Footprints of other pieces on the back face (cleats), in the panel's (u, v).
        inside: Clear inside of the cabinet in the side view (y, z), for the clear back and the bar.

    Raises:
        InputError: The turn is no whole number of quarters, or the opening is empty.
    """
    face = display_face(data, placed.turn_deg)
    clear = clear or clear_back(stack.board, inside, placed.v)
    wish = placed.wish.opening or Opening()
    throat = opening_area(placed, face)
    cut = corner_cut(project.shop, wish.corner_radius)
    label = f"opening for {placed.label}{ROUT_FROM_BACK}"
    if wish.chamfer > 0:
        label += ", then chamfer from the show face"
    features = list(
        pierce(stack, project, throat, cut, owner=placed.key, label=label, chamfer=wish.chamfer)
    )
    if placed.recess > 0:
        features.append((stack.board.key, _pocket(placed, face, cut)))
    own = Fitted(
        features=tuple(features),
        bodies=display_bodies(placed, data, stack),
        numbers=_numbers(placed, face, stack, project, cut),
        findings=display_findings(placed, face, stack, project, cut, clear),
    )
    hold = fit_hold(placed, data, stack, project, clear=clear, standing=standing, inside=inside)
    return gathered([own, hold])


def _pocket(placed: Placed, face: DisplayFace, cut: CornerCut) -> Feature:
    gap = placed.wish.hold.gap if placed.wish.hold else 1.0
    # Round corners must not meet the housing's square ones.
    area = housing_area(placed, face).grown(max(gap, corner_margin(cut.radius)))
    return Feature(
        f"{placed.key}.pocket",
        "pocket",
        area.rectangle(cut.radius),
        "back",
        placed.recess,
        "straight",
        owner=placed.key,
        label=f"pocket for {placed.label}",
    )


# ---- bodies ----------------------------------------------------------------------------------------------------------


def display_bodies(placed: Placed, data: Display, stack: Stack) -> tuple[Body, ...]:
    """Return the housing, its bezels, the lit glass, and the room for its plugs."""
    face = display_face(data, placed.turn_deg)
    board = stack.board
    housing = housing_area(placed, face)
    front = -board.thickness + placed.recess - placed.wish.standoff
    frame = Frame(
        board.frame.point(*housing.centre, front), board.frame.u, board.frame.v, board.frame.n
    )
    touched: tuple[str, ...] = (board.key,)
    glass = min(data.glass_setback, data.housing_depth / 2)
    skin = min(glass + GLASS, data.housing_depth * 0.75)
    rear = -data.housing_depth
    half_w, half_h = face.housing_width / 2, face.housing_height / 2
    lit = Area.around(face.lit.u, face.lit.v, face.lit.width, face.lit.height)

    def body(
        name: str,
        area: Area,
        low: float,
        high: float,
        look: Literal["plastic", "lit", "air"] = "plastic",
        kind: Literal["solid", "room"] = "solid",
    ) -> Body:
        box = Box(*area.centre, area.width, area.height, low, high)
        label = f"{placed.label} {name.replace('-', ' ')}"
        return Body(f"{placed.key}.{name}", placed.key, kind, frame, box, label, look, "", touched)

    strips = {
        "bezel-left": Area(-half_w, -half_h, lit.left, half_h),
        "bezel-right": Area(lit.right, -half_h, half_w, half_h),
        "bezel-bottom": Area(lit.left, -half_h, lit.right, lit.bottom),
        "bezel-top": Area(lit.left, lit.top, lit.right, half_h),
    }
    bodies = [
        body("housing", Area(-half_w, -half_h, half_w, half_h), rear, -skin),
        *(
            body(name, area, -skin, 0.0)
            for name, area in strips.items()
            if area.width > TOUCHING and area.height > TOUCHING
        ),
        body("lit", lit, -skin, -glass, "lit"),
    ]
    if data.connector_room > 0:
        reach = data.connector_room
        # Sockets sit in the rear half of a housing (common practice), so rails before them are no obstacle.
        low, high = rear, rear / 2
        beside = {
            "left": Area(-half_w - reach, -half_h, -half_w, half_h),
            "right": Area(half_w, -half_h, half_w + reach, half_h),
            "down": Area(-half_w, -half_h - reach, half_w, -half_h),
            "up": Area(-half_w, half_h, half_w, half_h + reach),
        }
        if face.connector_side in ("left", "right"):
            # The hold says so where a bar ends there; sockets can lie beside it.
            touched = (*touched, f"{placed.key}.bar", f"{placed.key}.block-{face.connector_side}")
        area = beside.get(face.connector_side, Area(-half_w, -half_h, half_w, half_h))
        if face.connector_side == "behind":
            low, high = rear - reach, rear
            touched = (board.key, f"{placed.key}.bar")
        bodies.append(body("plugs", area, low, high, "air", "room"))
    return tuple(bodies)


# ---- numbers ---------------------------------------------------------------------------------------------------------


def _numbers(
    placed: Placed, face: DisplayFace, stack: Stack, project: Project, cut: CornerCut
) -> tuple[Reckoning, ...]:
    key = placed.key
    wish = placed.wish.opening or Opening()
    left, bottom, right, top = face.bezels

    def opened(name: str, lit: float, given: float | None) -> Reckoning:
        if given is not None:
            return stated(f"{key}.opening_{name}", f"opening's {name}", given)
        terms = [Term(f"lit {name}", lit, 1, f"{key}.lit_{name}"), Term("margin", wish.margin, 2)]
        return total(f"{key}.opening_{name}", f"opening's {name}", terms)

    throat = opening_area(placed, face)
    seen = share_seen((face.lit.width, face.lit.height), (throat.width, throat.height), cut.radius)
    shown = derived(
        f"{key}.share_seen",
        "share of the lit area seen from straight ahead",
        seen,
        "(least widths × least heights − corners hidden) ÷ (lit width × lit height)",
        [
            Term("lit width", face.lit.width),
            Term("lit height", face.lit.height),
            Term("opening width", throat.width),
            Term("opening height", throat.height),
            Term("corner radius", cut.radius),
        ],
        unit="",
    )
    return (
        stated(f"{key}.lit_width", "lit width as it stands", face.lit.width),
        stated(f"{key}.lit_height", "lit height as it stands", face.lit.height),
        total(
            f"{key}.lit_offset_u",
            "lit area right of the housing's middle",
            [Term("bezel left", left, 0.5), Term("bezel right", right, -0.5)],
        ),
        total(
            f"{key}.lit_offset_v",
            "lit area above the housing's middle",
            [Term("bezel bottom", bottom, 0.5), Term("bezel top", top, -0.5)],
        ),
        opened("width", face.lit.width, wish.width),
        opened("height", face.lit.height, wish.height),
        shown,
        *_lands(placed, face, stack, project, wish.chamfer),
    )


def _lands(
    placed: Placed, face: DisplayFace, stack: Stack, project: Project, chamfer: float
) -> tuple[Reckoning, ...]:
    """Panel left between the opening and each edge: on the show face beside the chamfer, and on the back face."""
    key = placed.key
    width, height = display_opening(placed.wish.opening, face)
    show = Area.of(pierced_pieces(stack, project)[0].show)
    back = back_area(stack.board)
    lands = []
    for panel, ending, rim in ((show, "", chamfer), (back, "_back", 0.0)):
        where = "on the back face" if ending else "on the show face"
        for side, edge, centre, size, sign in (
            ("left", panel.left, placed.u, width, 1),
            ("right", panel.right, placed.u, width, -1),
            ("below", panel.bottom, placed.v, height, 1),
            ("above", panel.top, placed.v, height, -1),
        ):
            terms = [
                Term("centre of the opening", centre, sign),
                Term("opening", size, -0.5),
                Term("panel's edge", edge, -sign),
            ]
            if rim:
                terms.append(Term("chamfer", rim, -1))
            lands.append(
                total(f"{key}.land_{side}{ending}", f"panel left {side} the opening {where}", terms)
            )
    return tuple(lands)


__all__ = [
    "default_display_v",
    "display_bodies",
    "display_face",
    "display_opening",
    "fit_display",
    "housing_area",
    "lit_in_housing",
    "opening_area",
    "share_seen",
]
