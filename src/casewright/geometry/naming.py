"""Names in a project that lead nowhere: materials, panels, seams, places."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches
from typing import Any

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
    errors = _placement_errors(project)
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


def _placement_errors(project: Project) -> list[InputError]:
    """Placed pieces of one name, and pieces that are like one that is not there."""
    return _like_errors(
        [
            (f"parts.{key}.placed.{i}", wish.key, wish.like)
            for key, part in project.parts.items()
            for i, wish in enumerate(part.placed)
        ]
    )


def _like_errors(wishes: Sequence[tuple[str, object, object]]) -> list[InputError]:
    """The same of each placed piece's field, name and the name of the one it is like; what is no text is left out."""
    errors: list[InputError] = []
    first: dict[str, str] = {}
    for field, name, _ in wishes:
        if not isinstance(name, str):
            continue
        if name in first:
            want = f"a name of its own; {first[name]} has this one"
            errors.append(InputError(f"{field}.key", got=name, want=want, example=f"{name}-2"))
        first.setdefault(name, field)
    for field, _, like in wishes:
        if isinstance(like, str) and like not in first:
            errors.append(
                _unknown(f"{field}.like", like, tuple(first), "the name of a placed piece")
            )
    return errors


def names_in_data(data: Mapping[str, Any]) -> list[InputError]:
    """Names that lead nowhere in a file whose form is wrong elsewhere, so that both are told at once.

    Only what is text is looked at; a name counts as known where its key stands, whatever is wrong with what follows it.
    Places are judged on free outlines alone: recipes make panels of their own.
    """
    shape = _group(data, "shape")
    materials = tuple(_group(data, "materials"))
    panels = tuple(_group(data, "panels"))
    boards = (*panels, *_group(data, "inner"), *_group(data, "boards"))
    anywhere = (*SIDES, *boards, *_group(data, "doors"))
    errors: list[InputError] = []

    def check(field: str, name: object, known: Sequence[str], what: str) -> None:
        if isinstance(name, str) and name not in known:
            errors.append(_unknown(field, name, known, what))

    def material(field: str, name: object) -> None:
        check(field, name, materials, "one of the materials")

    material("shape.board", shape.get("board"))
    material("shape.side.material", _group(shape, "side").get("material"))
    for section in ("panels", "inner", "boards", "doors"):
        for key, entry in _groups(data, section):
            material(f"{section}.{key}.material", entry.get("material"))
            for i, layer in _groups(entry, "layers"):
                material(f"{section}.{key}.layers.{i}.material", layer.get("material"))
    for key, part in _groups(data, "parts"):
        for i, wish in _groups(part, "placed"):
            where = f"parts.{key}.placed.{i}"
            material(f"{where}.diffuser", wish.get("diffuser"))
            material(f"{where}.cover", wish.get("cover"))
            material(f"{where}.hold.bar_material", _group(wish, "hold").get("bar_material"))
    errors += _like_errors(
        [
            (f"parts.{key}.placed.{i}", wish.get("key"), wish.get("like"))
            for key, part in _groups(data, "parts")
            for i, wish in _groups(part, "placed")
        ]
    )
    if shape.get("recipe") != "outline":
        return errors
    corners = tuple(_group(shape, "corners"))
    runs = [f"{a}-{b}" for a, b in zip(corners, (*corners[1:], *corners[:1]), strict=True)]
    for key, panel in _groups(data, "panels"):
        run = panel.get("run")
        bare = run.replace(" ", "").replace("–", "-") if isinstance(run, str) else None
        check(
            f"panels.{key}.run", bare, runs, "two neighboring corners, in the order of the outline"
        )
    what = "a panel, board or side"
    for key, part in _groups(data, "parts"):
        for i, wish in _groups(part, "placed"):
            check(f"parts.{key}.placed.{i}.on", wish.get("on"), anywhere, what)
    for key, door in _groups(data, "doors"):
        check(f"doors.{key}.on", door.get("on"), boards, what)
    for i, feature in _groups(data, "features"):
        check(f"features.{i}.on", feature.get("on"), anywhere, what)
    for i, seam in _groups(data, "seams"):
        between = seam.get("between")
        names = (
            [name for name in between if isinstance(name, str)] if isinstance(between, list) else []
        )
        for j, name in enumerate(names):
            check(f"seams.{i}.between.{j}", name, panels, "a panel on the outline")
        if len(names) == 2:
            check(f"seams.{i}.over", seam.get("over"), names, "one of the two panels")
    return errors


def _group(data: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    """What stands under a key, if it is a group of keys."""
    found = data.get(key)
    return found if isinstance(found, Mapping) else {}


def _groups(data: Mapping[str, Any], key: str) -> Iterator[tuple[str | int, Mapping[str, Any]]]:
    """The groups in a group or list of them, by key or by place."""
    found = data.get(key)
    items: Iterable[tuple[Any, Any]] = ()
    if isinstance(found, Mapping):
        items = found.items()
    elif isinstance(found, (list, tuple)):
        items = enumerate(found)
    for name, entry in items:
        if isinstance(entry, Mapping):
            yield name, entry


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


__all__ = ["SIDES", "material_errors", "names_in_data", "place_errors"]
