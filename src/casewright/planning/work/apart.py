"""Steps that saw the pieces of a nest apart, once the nest is cut off its sheet."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from casewright.basics.findings import mm
from casewright.basics.wording import listed
from casewright.geometry.model import Cabinet
from casewright.planning.blanks import MaterialPlan
from casewright.planning.cautions import Hazard
from casewright.planning.cutting import Blank, Nested, longest_edge
from casewright.planning.nests import LEFT_ON, nest_saw
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.step import Laid, Setting, Step


def nest_steps(
    cabinet: Cabinet, plan: MaterialPlan, cuts: Sequence[Step], *, rank: float
) -> Iterator[Step]:
    """One step for each nest of a material's sheets: mark all outlines, then saw along them.

    Args:
        cabinet: Whose pieces they are.
        plan: Of the material.
        cuts: Steps of its saw cuts.
        rank: Of the material.

    Source:
        Common practice: sawn out a little outside the line, trimmed to it afterwards.
    """
    nests = {blank.key: blank for blank in plan.blanks if blank.nested}
    for sheet in plan.plan.sheets:
        for place in sheet.placements:
            blank = nests.get(place.blank)
            if blank is None:
                continue
            number = next(
                (
                    cut.number
                    for cut in sheet.cuts
                    if any(result.blank == blank.key for result in cut.results)
                ),
                len(sheet.cuts),
            )
            at = (plan.material, sheet.index, number)
            needs = tuple(step.key for step in cuts if step.sheet == at)
            yield replace(nest_step(cabinet, plan, blank), needs=needs, rank=rank, sheet=at)


def nest_step(cabinet: Cabinet, plan: MaterialPlan, blank: Blank) -> Step:
    """How a nest is sawn apart, whatever comes before it."""
    material = cabinet.project.materials[plan.material]
    tool = nest_saw(cabinet.project.shop, material.thickness)
    assert tool is not None, "nests are made only where something saws them apart"
    plastic = material.kind in ("acrylic", "polycarbonate")
    names = listed(nested.name for nested in blank.nested)
    marked = [
        f"Draw the {nested.name} {nested.face} face up: lay its template so that the longest edge runs "
        f"{_place_words(nested)}. One printed for the other face lies print down. Write its name on that face "
        "at once."
        for nested in blank.nested
    ]
    marked[0] += " All is measured from the nest's lower left corner, as its drawing lies."
    if tool.machine == "jigsaw":
        orders = (
            *marked,
            f"Saw with the jigsaw {mm(LEFT_ON)} outside the lines. Edges that lie on the nest's own straight edges "
            "stay as they are. Support every piece, so that the last of the cut does not tear.",
        )
        setting = Setting("jigsaw", ("for plastics" if plastic else "for wood",))
        hazards: tuple[Hazard, ...] = ("plastics", "saw") if plastic else ("saw", "dust")
        words = "Jigsaw, long fine blade"
    else:
        orders = (
            *marked,
            f"Clamp each template on its line over a waste board and rout round it with the {mm(tool.bit)} straight "
            "bit and a bearing, in passes no deeper than half the bit's width; small parts of waste come loose: "
            "hold them down.",
        )
        setting = Setting("router", (f"straight {mm(tool.bit)}", ""), stop=material.thickness)
        hazards = ("router", "plastics") if plastic else ("router", "dust")
        words = f"Router, straight bit {mm(tool.bit)}, bearing"
    around = math.fsum(_around(nested) for nested in blank.nested) / 1000
    return Step(
        key=f"{blank.key}.apart",
        stage="cut",
        title=f"Saw {names} out of their nest",
        orders=orders,
        pieces=blank.parts,
        tool=words,
        face_up="as the drawing of the nest says",
        cautions=hazards,
        setting=setting,
        laid=tuple(Laid("template", nested.key, nested.face, "clamps") for nested in blank.nested),
        marks=tuple((nested.key, nested.face) for nested in blank.nested),
        guards=("template face",),
        count=len(blank.nested),
        job="profile saw",
        minutes=minutes_table().of("profile saw", around),
    )


def _place_words(nested: Nested) -> str:
    (x0, y0), (x1, y1) = longest_edge(nested)
    return f"from {mm(x0)} to the right and {mm(y0)} up, to {mm(x1)} to the right and {mm(y1)} up"


def _around(nested: Nested) -> float:
    points = nested.outline
    return math.fsum(math.dist(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True))


__all__ = ["nest_step", "nest_steps"]
