"""The picture of a step: the sheet, the piece's face, or what stands so far."""

from __future__ import annotations

from casewright.faces.web.bench import Bench
from casewright.faces.web.drawings import page_svg
from casewright.faces.web.views.cutting import sheet_svg
from casewright.geometry.model import Cabinet, FaceName
from casewright.outputs.drawings.part_view import known_labels, part_sheet
from casewright.outputs.drawings.routing_view import routing_drawing
from casewright.outputs.drawings.step_view import step_drawings
from casewright.planning.work import Step
from casewright.planning.work.routing import RoutingPlan, routing_plans

SHEET_ROOM = (200.0, 130.0)
"""Width and height that a piece's drawing is laid out for. [mm]"""
STEP_ROOM = (110.0, 90.0)
"""Of the picture of a step that joins. [mm]"""

Room = tuple[float, float]


def step_picture(
    bench: Bench, step: Step, *, sheet_room: Room = SHEET_ROOM, step_room: Room = STEP_ROOM
) -> str:
    """What the step's page in the book shows, as SVG; "" where there is nothing to show.

    Args:
        bench: The page's.
        step: Of its order of work.
        sheet_room: Width and height that a piece's drawing is laid out for. [mm]
        step_room: The same of the picture of a step that joins. [mm]
    """
    worked = bench.worked
    if worked is None:
        return ""
    if step.sheet is not None:
        material, index, number = step.sheet
        for plan in worked.cutting.plans:
            for sheet in plan.plan.sheets if plan.material == material else ():
                if sheet.index == index:
                    return sheet_svg(bench, plan, sheet, number)
    routed = _routing_plan(worked.cabinet, step)
    if routed is not None:
        piece = worked.cabinet.piece_by_key[routed.piece]
        drawing = routing_drawing(piece, routed, bench.style, room=step_room)
        return page_svg(drawing, name="step-plan")
    if step.stage in ("cut", "bevel", "shape") and step.pieces:
        return piece_picture(bench, step.pieces[0], step.face or "back", room=sheet_room)
    drawings = step_drawings(worked.cabinet, worked.work.steps, room=step_room, only=step.key)
    return page_svg(drawings[step.key], name="step") if step.key in drawings else ""


def _routing_plan(cabinet: Cabinet, step: Step) -> RoutingPlan | None:
    """The plan of what a step routs, where it is one."""
    if step.setting is None or step.setting.machine != "router":
        return None
    works = {(work.piece, work.feature) for work in step.works if work.part == "whole"}
    plans = [
        plan
        for plan in routing_plans(cabinet)
        if not works.isdisjoint((plan.piece, key) for key in plan.alike)
    ]
    return plans[0] if len(plans) == 1 and plans[0].guide != "saw" else None


def piece_picture(bench: Bench, key: str, face: FaceName, *, room: Room = SHEET_ROOM) -> str:
    """One face of a piece with its dimensions, as SVG; "" where there is no such piece."""
    worked = bench.worked
    piece = worked.cabinet.piece_by_key.get(key) if worked else None
    if worked is None or piece is None:
        return ""
    made = part_sheet(
        worked.cabinet,
        (piece,),
        face,
        bench.style,
        labels=known_labels(worked.cabinet),
        room=room,
    )
    return page_svg(made.drawing, name="step-sheet")


__all__ = ["SHEET_ROOM", "STEP_ROOM", "Room", "piece_picture", "step_picture"]
