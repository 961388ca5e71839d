"""The side profile given as points: checked, and turned into runs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.plane import area, line_through, segments_cross
from casewright.basics.units import TOUCHING
from casewright.design.panels import Panel
from casewright.design.project import Project
from casewright.design.shape import OutlineShape
from casewright.geometry.model import Point2, Run, SolvedShape

SMALLEST = 1.0
"""Least depth and height of an outline. [mm] Project convention: less is a slip of the pen."""


def solve_outline(project: Project, shape: OutlineShape) -> SolvedShape:
    """Return the free outline as runs with their panels.

    Raises:
        InputErrors: corners coincide, go clockwise or cross; a panel names no run of the outline, or two name one.
    """
    corners: dict[str, Point2] = {name: (y, z) for name, (y, z) in shape.corners.items()}
    errors = outline_errors(corners)
    panel_by_run, panel_errors = _panels_by_run(project.panels, tuple(corners))
    errors += panel_errors
    if errors:
        raise InputErrors(errors)
    return SolvedShape(
        width=shape.width,
        corners=corners,
        runs=runs_between(corners, panel_by_run, project.panels),
        panels=dict(project.panels),
        seams=project.seams,
    )


def runs_between(
    corners: Mapping[str, Point2], panel_by_run: Mapping[str, str], panels: Mapping[str, Panel]
) -> tuple[Run, ...]:
    """The runs round the corners in order; those without a panel are open."""
    names = tuple(corners)
    runs = []
    for start, end in zip(names, (*names[1:], names[0]), strict=True):
        panel = panel_by_run.get(f"{start}-{end}", "")
        role = panels[panel].role if panel else "open"
        runs.append(
            Run(start, end, corners[start], corners[end], panel if role != "open" else "", role)
        )
    return tuple(runs)


def _panels_by_run(
    panels: Mapping[str, Panel], names: tuple[str, ...]
) -> tuple[dict[str, str], list[InputError]]:
    known = [f"{a}-{b}" for a, b in zip(names, (*names[1:], names[0]), strict=True)]
    found: dict[str, str] = {}
    errors = []
    for key, panel in panels.items():
        run = panel.run.replace(" ", "").replace("–", "-")
        if run not in known:
            near = get_close_matches(run, known, 1) or known[:1]
            want = f"two neighboring corners, in the order of the outline: {', '.join(known)}"
            errors.append(
                InputError(
                    f"panels.{key}.run", got=panel.run or "nothing", want=want, example=near[0]
                )
            )
        elif run in found:
            errors.append(
                InputError(
                    f"panels.{key}.run",
                    got=f"{run}, which {found[run]} stands on already",
                    want="one panel for each run",
                    example=next((r for r in known if r not in found), run),
                )
            )
        else:
            found[run] = key
    return found, errors


def outline_errors(corners: Mapping[str, Point2]) -> list[InputError]:
    """What keeps corners (y, z) [mm] from being an outline: twice the same, crossing, touching, flat, clockwise."""
    names, points = tuple(corners), tuple(corners.values())
    count = len(points)
    errors = []
    for i, name in enumerate(names):
        if "-" in name:
            errors.append(
                InputError(
                    f"shape.corners.{name}",
                    got=name,
                    want="a corner's name without a dash, since runs are named by two corners",
                    example=name.replace("-", ""),
                )
            )
        after = points[(i + 1) % count]
        if max(abs(points[i][0] - after[0]), abs(points[i][1] - after[1])) < TOUCHING:
            errors.append(
                InputError(
                    f"shape.corners.{name}",
                    got=f"the same place as {names[(i + 1) % count]}",
                    want="corners apart from each other",
                )
            )
    for i in range(count):
        for j in range(i + 2, count):
            if i == 0 and j == count - 1:
                continue
            if segments_cross(
                points[i], points[(i + 1) % count], points[j], points[(j + 1) % count]
            ):
                first = f"{names[i]}-{names[(i + 1) % count]}"
                second = f"{names[j]}-{names[(j + 1) % count]}"
                errors.append(
                    InputError(
                        "shape.corners",
                        got=f"run {first} crossing run {second}",
                        want="an outline that does not cross itself",
                    )
                )
    extents = [max(c) - min(c) for c in zip(*points, strict=True)]
    if not errors and min(extents) < SMALLEST:
        errors.append(
            InputError(
                "shape.corners",
                got=f"an outline {extents[0]:g} mm deep and {extents[1]:g} mm high",
                want=f"{SMALLEST:g} mm or more both ways",
                example="A: [0, 0], B: [400, 0], C: [400, 300], D: [0, 300]",
            )
        )
    if not errors and area(points) < TOUCHING:
        errors.append(
            InputError(
                "shape.corners",
                got="corners that go round clockwise, or enclose nothing",
                want="corners in the order floor, back, top, front: counter-clockwise in (y, z), "
                "y toward the back and z up",
                example="A: [0, 0], B: [400, 0], C: [400, 300], D: [0, 300]",
            )
        )
    return errors or _touching(names, points)


def _touching(names: Sequence[str], points: Sequence[Point2]) -> list[InputError]:
    """Corners that lie on a run of others. [mm]"""
    errors = []
    count = len(points)
    for i, (start, end) in enumerate(zip(points, (*points[1:], points[0]), strict=True)):
        for j, point in enumerate(points):
            if j in (i, (i + 1) % count) or math.dist(start, end) < TOUCHING:
                continue
            run = line_through(start, end)
            nearest = run.at(min(max(run.along(point), 0.0), math.dist(start, end)))
            if math.dist(point, nearest) < TOUCHING:
                errors.append(
                    InputError(
                        f"shape.corners.{names[j]}",
                        got=f"a corner on the run {names[i]}-{names[(i + 1) % count]}",
                        want="an outline that does not touch itself",
                    )
                )
    return errors


__all__ = ["SMALLEST", "outline_errors", "runs_between", "solve_outline"]
