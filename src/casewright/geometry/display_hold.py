"""What holds a display: rails that register its housing, and a bar over its rear mounting holes.

The rails lie on the panel's back round the housing, with a gap for shims, so that the picture can be moved into the
middle of its opening once and for all. The bar lies behind the housing, on blocks upon two rails facing each other;
its slots let the housing move along it, and it is itself slid the other way before its last four screws go in.
"""

from __future__ import annotations

from collections.abc import Sequence

from casewright.catalog.kinds import Display
from casewright.design.parts import Hold
from casewright.design.project import Project
from casewright.geometry.display_bar import fit_bar, no_seat, place_bar
from casewright.geometry.display_face import display_face, housing_area
from casewright.geometry.display_rails import (
    fit_rail,
    rail_findings,
    rail_keys,
    rail_numbers,
    rails_round,
)
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.inside import clear_back, stands_inside
from casewright.geometry.model import Placed, Point2
from casewright.geometry.openings import Area


def fit_hold(
    placed: Placed,
    data: Display,
    stack: Stack,
    project: Project,
    *,
    clear: Area | None = None,
    standing: Sequence[Area] = (),
    inside: Sequence[Point2] | None = None,
) -> Fitted:
    """Return rails, blocks and bar with their screws, as the display's hold wishes.

    Args:
        placed: The display; its (u, v) is the centre of the lit area.
        data: Its dimensions.
        stack: The panel it lies behind.
        project: For materials.
        clear: Part of the back face that no other panel takes; worked out from `inside` if not given.
        standing: Footprints of other pieces on the back face, in the panel's (u, v).
        inside: Clear inside of the cabinet in the side view (y, z), which the bar must stay in.

    Raises:
        InputError: The turn is no whole number of quarters, or the thread is unknown.
    """
    hold = placed.wish.hold or Hold()
    if hold.style == "none":
        return Fitted()
    face = display_face(data, placed.turn_deg)
    housing = housing_area(placed, face)
    board = stack.board
    rear = data.housing_depth - placed.recess + placed.wish.standoff  # behind the back face
    # Rails end before the rear half of the housing, where its sockets are (common practice).
    height = max(min(hold.rail_height, rear - data.housing_depth / 2), 3.0)
    free = clear or clear_back(board, inside, placed.v)
    rails, missing = rails_round(housing, hold, free, standing)
    above = free.top - housing.top
    findings = rail_findings(placed, stack, project, hold, missing, above)
    bar = (
        place_bar(
            rails,
            housing,
            face,
            hold,
            lambda area: _bar_goes_in(stack, project, hold, area, rear, inside),
        )
        if hold.style == "rails and bar"
        else None
    )
    made = [
        fit_rail(
            placed,
            stack,
            rail,
            key,
            height,
            bar.area if bar and rail in bar.seats else None,
            unit=project.unit,
        )
        for rail, key in zip(rails, rail_keys(placed.key, rails), strict=True)
    ]
    numbers = rail_numbers(placed.key, rails, height, hold)
    made.append(Fitted(numbers=numbers, findings=tuple(findings)))
    if hold.style == "rails and bar":
        if bar is None:
            made.append(Fitted(findings=(no_seat(placed, stack, rails, hold),)))
        else:
            keys = dict(zip(rails, rail_keys(placed.key, rails), strict=True))
            made.append(
                fit_bar(placed, data, stack, project, hold, face, housing, bar, keys, height, rear)
            )
    return gathered(made)


def _bar_goes_in(
    stack: Stack,
    project: Project,
    hold: Hold,
    area: Area,
    rear: float,
    inside: Sequence[Point2] | None,
) -> bool:
    """True where the bar's corners lie in the clear inside, or that is not known."""
    if not inside:
        return True
    board = stack.board
    material = project.materials.get(hold.bar_material or board.material)
    thickness = material.thickness if material else board.thickness
    corners = [
        board.frame.point(u, v, -board.thickness - rear - n)
        for u, v in area.outline
        for n in (0.0, thickness)
    ]
    return stands_inside(corners, inside)


__all__ = ["fit_hold"]
