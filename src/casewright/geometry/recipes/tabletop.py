"""A cabinet for a table: deck over a low lip, sloped screen, and a lit header over it."""

from __future__ import annotations

from collections.abc import Mapping

from casewright.design.panels import Panel, Seam
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.design.shape import TabletopShape
from casewright.geometry.model import SolvedShape
from casewright.geometry.recipes.deck import front_need
from casewright.geometry.recipes.upright import Front, Plan, Setting, solve_upright

TILT_LIMITS = (5.0, 45.0)
"""A screen on a table is laid back between these. [deg]

Source: common practice. Below, the display no longer leans into its opening; above, it mirrors ceiling lamps.
"""

LIP: Mapping[str, Panel] = {"lip": Panel(role="riser", label="front lip")}

LIP_SEAMS = (
    Seam(between=("deck", "lip"), rule="cover", over="deck"),
    Seam(between=("lip", "base"), rule="cover", over="lip"),
)


def solve_tabletop(
    project: Project, parts: Mapping[str, KnownPart], shape: TabletopShape
) -> SolvedShape:
    """Return the outline with every wish settled.

    Raises:
        InputErrors: panels or wishes that no such outline can be made of.
    """

    def front(setting: Setting) -> Front:
        need, least = front_need(
            setting.on_deck,
            setting.on_front,
            key="shape.lip_height",
            label="height of the front lip",
            deck_depth=setting.deck_depth,
            slope_deg=shape.deck_slope_deg,
            deck=setting.thick("deck"),
            base=setting.thick("base"),
            batten=setting.project.batten.height,
        )
        height = setting.ledger.settle(
            "lip_height", shape.lip_height, need, panels=("lip", "deck"), least=least
        )
        bare = setting.thick("deck") + setting.thick("base") + 1.0
        if height < bare:
            setting.ledger.refuse(
                "lip_height",
                setting.ledger.length(height),
                f"more than {setting.ledger.least(bare)}",
                setting.ledger.length(need.value),
            )
        return Front("lip_height", height, shape.lip_height is None, max(height - least, 0.0))

    return solve_upright(project, parts, shape, Plan(LIP, LIP_SEAMS, front, TILT_LIMITS, "lip"))


__all__ = ["LIP", "LIP_SEAMS", "TILT_LIMITS", "solve_tabletop"]
