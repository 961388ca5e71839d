"""What a full-size sheet for aligning a display shows, in the panel's (u, v)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from casewright.catalog.kinds import Display
from casewright.catalog.threads import clearance_hole
from casewright.design.parts import Hold
from casewright.design.project import Project
from casewright.geometry.display_face import display_face, housing_area, opening_area
from casewright.geometry.display_rails import rails_round
from casewright.geometry.fitting import Stack
from casewright.geometry.model import Circle, Placed, Point2, Rectangle
from casewright.geometry.openings import Area, back_area, corner_cut


@dataclass(frozen=True)
class AlignmentSheet:
    """Outlines of one display behind its panel, as seen from the show face.

    The sheet goes on the back face: draw it mirrored and say so.
    """

    display: str
    """Key of the placed display."""
    panel: str
    label: str
    back: Area
    """The panel's back face."""
    housing: Area
    lit: Area
    opening: Rectangle
    centre: Point2
    """Of lit area and opening; the centre lines cross there."""
    holes: tuple[Circle, ...]
    """Rear mounting holes."""
    rails: tuple[Area, ...]


def alignment(
    placed: Placed,
    data: Display,
    stack: Stack,
    project: Project,
    *,
    clear: Area | None = None,
    standing: Sequence[Area] = (),
) -> AlignmentSheet:
    """Return the rectangles and holes of a display's alignment sheet; arguments as for `fit_display`.

    Raises:
        InputError: The turn is no whole number of quarters, or the thread is unknown.
    """
    face = display_face(data, placed.turn_deg)
    housing = housing_area(placed, face)
    wish = placed.wish.opening
    cut = corner_cut(project.shop, wish.corner_radius if wish else None)
    back = clear or back_area(stack.board)
    hold = placed.wish.hold or Hold()
    rails = () if hold.style == "none" else rails_round(housing, hold, back, standing)[0]
    middle = housing.centre
    size = clearance_hole(data.pattern_screw, field="pattern_screw") if face.pattern else 0.0
    return AlignmentSheet(
        placed.key,
        stack.panel,
        placed.label,
        back_area(stack.board),
        housing,
        Area.around(placed.u, placed.v, face.lit.width, face.lit.height),
        opening_area(placed, face).rectangle(cut.radius),
        (placed.u, placed.v),
        tuple(Circle(middle[0] + u, middle[1] + v, size) for u, v in face.pattern),
        tuple(rail.area for rail in rails),
    )


__all__ = ["AlignmentSheet", "alignment"]
