"""Corners and default panels put together to a shape, the project's own words laid over them."""

from __future__ import annotations

import string
from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.plane import area, segments_cross
from casewright.basics.units import TOUCHING
from casewright.design.panels import Panel, Seam
from casewright.design.project import Project
from casewright.geometry.carcass import layers_of
from casewright.geometry.model import Point2, SolvedShape
from casewright.geometry.outline import runs_between
from casewright.geometry.recipes.ledger import Ledger


def merged_panels(project: Project, defaults: Mapping[str, Panel]) -> dict[str, Panel]:
    """The recipe's panels with what the project says of each; its own words win.

    Raises:
        InputErrors: a panel the recipe does not have.
    """
    known = tuple(defaults)
    errors = []
    for key in project.panels:
        if key not in defaults:
            near = get_close_matches(key, known, 1)
            hint = f"; the nearest is {near[0]}" if near else ""
            errors.append(
                InputError(
                    f"panels.{key}",
                    got=key,
                    want=f"a panel of this {project.shape.recipe} shape: {', '.join(known)}{hint}",
                    example=near[0] if near else known[0],
                )
            )
    if errors:
        raise InputErrors(errors)
    panels = {}
    for key, default in defaults.items():
        own = project.panels.get(key)
        if own is not None:
            said = {name: getattr(own, name) for name in own.model_fields_set if name != "run"}
            default = default.model_copy(update=said)
        if own is None or own.grain is None:  # what a recipe says of it is for boards that have one
            board = project.materials.get(default.material or project.shape.board)
            if board is not None and board.grain == "none":
                default = default.model_copy(update={"grain": None})
        panels[key] = default
    return panels


def stack_thickness(project: Project, panels: Mapping[str, Panel], key: str) -> float:
    """All layers of a panel, 0 for one that is open or not there. [mm]"""
    panel = panels.get(key)
    if panel is None or panel.role == "open":
        return 0.0
    return panel.reveal + sum(thickness for _, _, thickness in layers_of(project, key, panel))


def assemble(
    project: Project,
    panels: Mapping[str, Panel],
    corners: Sequence[tuple[Point2, str]],
    seams: Sequence[Seam],
    *,
    width: float,
    ledger: Ledger,
) -> SolvedShape:
    """Return the shape.

    Args:
        project: Whose panels and seams lie over the recipe's.
        panels: Merged panels by key.
        corners: Each corner with the panel on the run that starts there, counter-clockwise.
        seams: The recipe's.
        width: Over both sides. [mm]
        ledger: What was written down so far.

    Raises:
        InputErrors: wishes that no outline can be made of.
    """
    names = [_letter(i) for i in range(len(corners))]
    points = {name: point for name, (point, _) in zip(names, corners, strict=True)}
    runs = {}
    settled: dict[str, Panel] = {}
    for i, (_, key) in enumerate(corners):
        run = f"{names[i]}-{names[(i + 1) % len(names)]}"
        own = project.panels.get(key)
        said = own.run.replace(" ", "").replace("–", "-") if own else ""
        if said and said != run:
            ledger.errors.append(
                InputError(
                    f"panels.{key}.run",
                    got=said,
                    want=f"{run}, where the recipe puts it, or no run at all",
                    example=run,
                )
            )
        if panels[key].role == "open":
            continue
        runs[run] = key
        settled[key] = panels[key].model_copy(update={"run": run})
    if not ledger.errors:
        ledger.errors += _crossings(project.shape.recipe, points)
    if ledger.errors:
        raise InputErrors(ledger.errors)
    return SolvedShape(
        width=width,
        corners=points,
        runs=runs_between(points, runs, settled),
        panels=settled,
        seams=(
            *project.seams,
            *(seam for seam in seams if all(key in settled for key in seam.between)),
        ),
        numbers=tuple(ledger.numbers),
        findings=tuple(ledger.findings),
    )


def _letter(index: int) -> str:
    return string.ascii_uppercase[index]


def _crossings(recipe: str, points: Mapping[str, Point2]) -> list[InputError]:
    """What is left of bad outlines after each recipe has refused the wishes it knows to make one."""
    names, ring = tuple(points), tuple(points.values())
    count = len(ring)
    for i in range(count):
        after = ring[(i + 1) % count]
        if max(abs(ring[i][0] - after[0]), abs(ring[i][1] - after[1])) < TOUCHING:
            return [
                _outline_error(
                    recipe, f"corners {names[i]} and {names[(i + 1) % count]} in one place"
                )
            ]
        for j in range(i + 2, count):
            if (i, j) == (0, count - 1):
                continue
            if segments_cross(ring[i], after, ring[j], ring[(j + 1) % count]):
                first = f"{names[i]}-{names[(i + 1) % count]}"
                second = f"{names[j]}-{names[(j + 1) % count]}"
                return [_outline_error(recipe, f"run {first} crossing run {second}")]
    if area(ring) < TOUCHING:
        return [_outline_error(recipe, "an outline that encloses nothing")]
    return []


def _outline_error(recipe: str, got: str) -> InputError:
    return InputError(
        "shape",
        got=f"{got}, in the side view that these wishes give",
        want=f"wishes that leave a {recipe} outline open; take out the last one you gave",
    )


__all__ = ["assemble", "merged_panels", "stack_thickness"]
