"""A panel's run made longer: all above it lifted along it, or the wish of a recipe, by as much as is asked."""

from __future__ import annotations

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Remedy, mm
from casewright.basics.units import TOUCHING, shown_beyond
from casewright.basics.wording import listed
from casewright.design.project import Project
from casewright.design.shape import OutlineShape
from casewright.design.writing import length_style
from casewright.geometry.carcass import thicknesses
from casewright.geometry.outline import solve_outline
from casewright.geometry.slabs import cut_slabs

_TRIES = 12


def longer_run(project: Project, panel: str, more: float) -> Remedy | None:
    """The order that makes a panel longer from end to end, both its faces; None where no value does.

    Of an outline, all from the run's upper end to the top of the back is moved along the run, until what the neighbors
    leave of the panel is longer by as much as is asked.

    Args:
        project: What the maker wants.
        panel: Key of the panel.
        more: How much longer. [mm]
    """
    style, shape = length_style(project), project.shape
    if not isinstance(shape, OutlineShape):
        now = getattr(shape, "screen_length", None)
        if panel != "screen" or now is None:
            return None
        value = shown_beyond(now + more, style, up=True)
        return Remedy(f"Make the panel's run {mm(value)} long.", "shape.screen_length", value)
    before = _length(project, shape, panel)
    if before is not None and more > before / 2:
        return None  # that is another cabinet
    run = next((run for run in solve_outline(project, shape).runs if run.panel == panel), None)
    if before is None or run is None or run.climbs or run.length < TOUCHING:
        return None
    above = _above(shape, run.start)
    (y, z), (wy, wz) = run.p, (-run.direction[0], -run.direction[1])
    by = more
    for _ in range(_TRIES):
        dy = 0.0 if abs(wy * by) < TOUCHING else shown_beyond(y + wy * by, style, up=wy > 0) - y
        dz = shown_beyond(z + wz * by, style, up=True) - z
        corners = dict(shape.corners)
        for name, goes_back in above.items():
            old = corners[name]
            corners[name] = (round(old[0] + goes_back * dy, 4), round(old[1] + dz, 4))
        after = _length(project, shape.model_copy(update={"corners": corners}), panel)
        if after is None:
            return None
        if after - before >= more - TOUCHING:
            break
        by += more - (after - before)
    else:
        return None
    fields = [
        (f"shape.corners.{name}.{axis}", value)
        for name in above
        for axis, value in enumerate(corners[name])
        if value != shape.corners[name][axis]
    ]
    if not fields:
        return None
    back = (
        f", those before the back {mm(abs(dy))} {'back' if dy > 0 else 'forward'} too" if dy else ""
    )
    return Remedy(
        f"Lift the corners {listed(above)} by {mm(dz)}{back}: then its run is long enough.",
        *fields[0],
        also=tuple(fields[1:]),
    )


def _above(shape: OutlineShape, tip: str) -> dict[str, int]:
    """Corners from the top of the back to the upper end of a run, and whether each goes back with that end.

    All of them go along, so that what is above the run keeps its form; the back stays where it is.
    """
    names = list(shape.corners)
    deep, low = (
        pick(c[axis] for c in shape.corners.values()) for pick, axis in ((max, 0), (min, 1))
    )
    found: dict[str, int] = {}
    at = names.index(tip)
    for name in (*reversed(names[: at + 1]), *reversed(names[at + 1 :])):
        y, z = shape.corners[name]
        if z <= low + TOUCHING:
            break
        found[name] = int(y < deep - TOUCHING)
        if not found[name]:
            break  # the top of the back
    return found


def _length(project: Project, shape: OutlineShape, panel: str) -> float | None:
    """What is left of a panel by its neighbors, on its shorter face; None for nothing. [mm]"""
    changed = project.model_copy(update={"shape": shape})
    try:
        solved = solve_outline(changed, shape)
    except InputErrors:
        return None
    slabs, _, _ = cut_slabs(solved, thicknesses(changed, solved), tilt_most=project.shop.tilt_most)
    slab = next((slab for slab in slabs if slab.panel == panel), None)
    return None if slab is None else min(slab.show_length, slab.back_length)


__all__ = ["longer_run"]
