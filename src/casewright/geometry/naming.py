"""Names in a project that lead nowhere: materials, panels, seams, places."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from casewright.basics.errors import InputError
from casewright.design.project import Project
from casewright.geometry.model import Run

SIDES = ("left", "right", "sides")
"""Keys of the two sides, and of both as a mirrored pair."""


def material_errors(project: Project) -> list[InputError]:
    """Materials that are named but not listed, and keys that name two things."""
    errors: list[InputError] = []
    materials = tuple(project.materials)

    def material(field: str, key: str | None) -> None:
        if key is not None and key not in project.materials:
            errors.append(_unknown(field, key, materials, "one of the materials"))

    material("shape.board", project.shape.board)
    material("shape.side.material", project.shape.side.material)
    for key, panel in project.panels.items():
        material(f"panels.{key}.material", panel.material)
        for i, layer in enumerate(panel.layers):
            material(f"panels.{key}.layers.{i}.material", layer.material)
    for key, inner in project.inner.items():
        material(f"inner.{key}.material", inner.material)
    for key, board in project.boards.items():
        material(f"boards.{key}.material", board.material)
    for key, door in project.doors.items():
        material(f"doors.{key}.material", door.material)
    for key, part in project.parts.items():
        for i, wish in enumerate(part.placed):
            where = f"parts.{key}.placed.{i}"
            material(f"{where}.diffuser", wish.diffuser)
            material(f"{where}.cover", wish.cover)
            if wish.hold is not None:
                material(f"{where}.hold.bar_material", wish.hold.bar_material)
    return errors + _keys_used_twice(project)


def place_errors(
    project: Project, panels: Sequence[str], runs: Sequence[Run] = ()
) -> list[InputError]:
    """Places and seams that name a panel or board that does not exist, seams of panels that do not meet.

    Args:
        project: The project.
        panels: Keys of the panels on the outline.
        runs: The outline in order, if it is known.
    """
    boards = (*panels, *project.inner, *project.boards)
    anywhere = (*SIDES, *boards, *project.doors)
    errors = []
    for key, part in project.parts.items():
        for i, wish in enumerate(part.placed):
            if wish.on not in anywhere:
                field = f"parts.{key}.placed.{i}.on"
                errors.append(_unknown(field, wish.on, anywhere, "a panel, board or side"))
    for key, door in project.doors.items():
        if door.on not in (*SIDES[:2], *boards):
            errors.append(_unknown(f"doors.{key}.on", door.on, boards, "a panel, board or side"))
    for i, feature in enumerate(project.features):
        if feature.on not in anywhere or feature.on == "sides":
            places = tuple(name for name in anywhere if name != "sides")
            errors.append(
                _unknown(f"features.{i}.on", feature.on, places, "a panel, board or side")
            )
    return errors + _seam_errors(project, panels, runs)


def _seam_errors(project: Project, panels: Sequence[str], runs: Sequence[Run]) -> list[InputError]:
    meet = [(a.panel, b.panel) for a, b in zip(runs, (*runs[1:], *runs[:1]), strict=True)]
    pairs = {frozenset(pair) for pair in meet if all(pair)}
    errors = []
    seen: dict[frozenset[str], int] = {}
    for i, seam in enumerate(project.seams):
        for j, name in enumerate(seam.between):
            if name not in panels:
                field = f"seams.{i}.between.{j}"
                errors.append(_unknown(field, name, tuple(panels), "a panel on the outline"))
        pair = frozenset(seam.between)
        if len(pair) < 2 or pair in seen:
            got = " and ".join(seam.between)
            also = f", which seam {seen[pair] + 1} is about already" if pair in seen else ""
            errors.append(
                InputError(f"seams.{i}.between", got=got + also, want="two panels, each pair once")
            )
        elif pairs and pair not in pairs and pair <= set(panels):
            near = [" and ".join(sorted(p)) for p in pairs if p & pair]
            errors.append(
                InputError(
                    f"seams.{i}.between",
                    got=" and ".join(seam.between) + ", which do not meet",
                    want="two panels that meet at a corner, such as " + ", ".join(sorted(near)),
                )
            )
        seen.setdefault(pair, i)
        if seam.over is not None and seam.over not in seam.between:
            errors.append(
                _unknown(f"seams.{i}.over", seam.over, seam.between, "one of the two panels")
            )
        for table in ("tilt", "setback"):
            for name in getattr(seam, table):
                if name not in seam.between:
                    errors.append(
                        _unknown(
                            f"seams.{i}.{table}.{name}", name, seam.between, "one of the two panels"
                        )
                    )
    return errors


def _keys_used_twice(project: Project) -> list[InputError]:
    seen = {"left": "the left side", "right": "the right side", "sides": "both sides"}
    errors = []
    for section in ("panels", "inner", "boards", "doors"):
        for key in getattr(project, section):
            if key in seen:
                errors.append(
                    InputError(
                        f"{section}.{key}",
                        got=f"{key}, which names {seen[key]} already",
                        want="a name of its own",
                        example=f"{key}-2",
                    )
                )
            seen[key] = f"one of the {section}"
    return errors


def _unknown(field: str, key: str, known: Sequence[str], what: str) -> InputError:
    near = get_close_matches(key, known, 1, 0.5)
    return InputError(
        field,
        got=key,
        want=f"{what}: {', '.join(known)}" if known else f"{what}; there is none",
        example=near[0] if near else (known[0] if known else ""),
    )


__all__ = ["SIDES", "material_errors", "place_errors"]
