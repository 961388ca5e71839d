"""Names in a project that lead nowhere: materials, panels, seams, places."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from difflib import get_close_matches
from typing import Any, NamedTuple

from casewright.basics.errors import InputError
from casewright.design.project import Project
from casewright.geometry.model import SolvedShape
from casewright.geometry.recipes.rings import (
    Ring,
    names_on,
    pairs_on,
    rings_in_data,
    rings_of_shape,
)

SIDES = ("left", "right", "sides")
"""Keys of the two sides, and of both as a mirrored pair."""

BATTEN = "batten"
"""What pieces of strip wood have for their material; its sizes stand in the project's own section."""

PLACES = ("panels", "inner", "boards", "doors")
"""Sections of a project whose keys name places."""


def material_errors(project: Project) -> list[InputError]:
    """Materials that are named but not listed, and one whose name is taken."""
    errors: list[InputError] = []
    materials = tuple(project.materials)
    if BATTEN in project.materials:
        errors.append(
            InputError(
                f"materials.{BATTEN}",
                got=f"{BATTEN}, which names the strip wood of cleats already",
                want="a name of its own",
                example="strips",
            )
        )

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
    return errors


def place_errors(project: Project, shape: SolvedShape | None = None) -> list[InputError]:
    """Places and seams that name a panel or board that does not exist, seams of panels that do not meet.

    Args:
        project: The project.
        shape: Its shape, if that is known; else a recipe's panels are taken from its name.
    """
    rings = rings_of_shape(project.shape)
    errors: list[InputError] = []
    if shape is not None:
        panels = tuple(shape.panels)
        runs = [run.panel for run in shape.runs]
        pairs = {
            frozenset(pair) for pair in zip(runs, (*runs[1:], *runs[:1]), strict=True) if all(pair)
        }
    elif rings:
        left_out = [key for key, panel in project.panels.items() if panel.role == "open"]
        panels = tuple(name for name in names_on(rings) if name not in left_out)
        pairs = pairs_on(rings, left_out)
        errors += recipe_panel_errors(project.shape.recipe, names_on(rings), project.panels)
    else:
        panels, pairs = tuple(project.panels), set()
    sections: dict[str, Sequence[str]] = {name: tuple(getattr(project, name)) for name in PLACES}
    sections["panels"] = _surely(panels if shape else (), rings, project.panels)
    errors += _keys_used_twice(sections)
    errors += _layers_twice(
        {k: [layer.key for layer in p.layers] for k, p in project.panels.items()}
    )
    boards = (*panels, *project.inner, *project.boards)
    anywhere = (*SIDES, *boards, *project.doors)
    errors += _placement_errors(project)
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
    seams = [
        _SeamNames(f"seams.{i}", s.between, s.over, (*s.tilt,), (*s.setback,))
        for i, s in enumerate(project.seams)
    ]
    return errors + _seam_errors(seams, panels, pairs)


def recipe_panel_errors(
    recipe: str, known: Sequence[str], named: Iterable[str]
) -> list[InputError]:
    """Panels that a recipe does not have."""
    what = f"a panel of this {recipe} shape"
    return [_unknown(f"panels.{key}", key, known, what) for key in named if key not in known]


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
    after = {
        name: like
        for field, name, like in reversed(wishes)
        if isinstance(name, str) and isinstance(like, str)
    }
    for name in after:
        way = [name]
        while way[-1] in after and after[way[-1]] not in way:
            way.append(after[way[-1]])
        if (
            after.get(way[-1]) == name
        ):  # told once at each member, not at those that only lead into it
            ring = " → ".join((*way, name))
            want = "a chain that ends at a piece with a place of its own"
            errors.append(InputError(f"{first[name]}.like", got=f"a ring: {ring}", want=want))
    return errors


def names_in_data(data: Mapping[str, Any]) -> list[InputError]:
    """Names that lead nowhere in a file whose form is wrong elsewhere, so that both are told at once.

    Only what is text is looked at; a name counts as known where its key stands, whatever is wrong with what follows it.
    """
    shape = _group(data, "shape")
    materials = tuple(_group(data, "materials"))
    panels: tuple[str, ...] = tuple(map(str, _group(data, "panels")))
    errors: list[InputError] = []

    def check(field: str, name: object, known: Sequence[str], what: str) -> None:
        if isinstance(name, str) and name not in known:
            errors.append(_unknown(field, name, known, what))

    def material(field: str, name: object) -> None:
        if (
            materials
        ):  # else nothing can be said of names: that there are none, or no group of them, is told
            check(field, name, materials, "one of the materials")

    material("shape.board", shape.get("board"))
    material("shape.side.material", _group(shape, "side").get("material"))
    for section in PLACES:
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
    recipe = shape.get("recipe")
    rings = rings_in_data(recipe, shape.get("header"), shape.get("knee_room"))
    sections: dict[str, Sequence[str]] = {
        name: tuple(map(str, _group(data, name))) for name in PLACES
    }
    sections["panels"] = _surely((), rings, panels)
    errors += _keys_used_twice(sections)
    errors += _layers_twice(
        {
            str(key): [layer.get("key") for _, layer in _groups(panel, "layers")]
            for key, panel in _groups(data, "panels")
        }
    )
    pairs: set[frozenset[str]] = set()
    left_out = [key for key, panel in _groups(data, "panels") if panel.get("role") == "open"]
    if recipe == "outline":
        corners = tuple(_group(shape, "corners"))
        runs = [f"{a}-{b}" for a, b in zip(corners, (*corners[1:], *corners[:1]), strict=True)]
        for key, panel in _groups(data, "panels"):
            run = panel.get("run")
            bare = run.replace(" ", "").replace("–", "-") if isinstance(run, str) else None
            check(
                f"panels.{key}.run",
                bare,
                runs,
                "two neighboring corners, in the order of the outline",
            )
    elif rings:
        errors += recipe_panel_errors(str(recipe), names_on(rings), map(str, panels))
        panels = tuple(name for name in names_on(rings) if name not in left_out)
        pairs = pairs_on(rings, [str(key) for key in left_out])
    else:
        return errors  # which panels there are, only the recipe knows
    boards = (*panels, *_group(data, "inner"), *_group(data, "boards"))
    anywhere = (*SIDES, *boards, *_group(data, "doors"))
    what = "a panel, board or side"
    for key, part in _groups(data, "parts"):
        for i, wish in _groups(part, "placed"):
            check(f"parts.{key}.placed.{i}.on", wish.get("on"), anywhere, what)
    for key, door in _groups(data, "doors"):
        check(f"doors.{key}.on", door.get("on"), (*SIDES[:2], *boards), what)
    for i, feature in _groups(data, "features"):
        places = tuple(name for name in anywhere if name != "sides")
        check(f"features.{i}.on", feature.get("on"), places, what)
    seams = []
    for i, seam in _groups(data, "seams"):
        between = seam.get("between")
        if not isinstance(between, list) or [type(name) for name in between] != [str, str]:
            continue  # said already
        over = seam.get("over")
        seams.append(
            _SeamNames(
                f"seams.{i}",
                (between[0], between[1]),
                over if isinstance(over, str) else None,
                tuple(map(str, _group(seam, "tilt"))),
                tuple(map(str, _group(seam, "setback"))),
            )
        )
    return errors + _seam_errors(seams, panels, pairs)


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


class _SeamNames(NamedTuple):
    """What a seam names."""

    field: str
    between: tuple[str, str]
    over: str | None
    tilt: tuple[str, ...]
    setback: tuple[str, ...]


def _seam_errors(
    seams: Sequence[_SeamNames], panels: Sequence[str], pairs: Set[frozenset[str]]
) -> list[InputError]:
    """Seams of panels that are not there or, where the pairs that meet are known, do not meet."""
    errors = []
    seen: dict[frozenset[str], str] = {}
    for seam in seams:
        for j, name in enumerate(seam.between):
            if name not in panels:
                field = f"{seam.field}.between.{j}"
                errors.append(_unknown(field, name, tuple(panels), "a panel on the outline"))
        pair = frozenset(seam.between)
        if len(pair) < 2 or pair in seen:
            got = " and ".join(seam.between)
            number = int(seen[pair].rpartition(".")[2]) + 1 if pair in seen else 0
            also = f", which seam {number} is about already" if number else ""
            errors.append(
                InputError(
                    f"{seam.field}.between", got=got + also, want="two panels, each pair once"
                )
            )
        elif pairs and pair not in pairs and pair <= set(panels):
            near = [" and ".join(sorted(p)) for p in pairs if p & pair]
            errors.append(
                InputError(
                    f"{seam.field}.between",
                    got=" and ".join(seam.between) + ", which do not meet",
                    want="two panels that meet at a corner, such as " + ", ".join(sorted(near)),
                )
            )
        seen.setdefault(pair, seam.field)
        if seam.over is not None and seam.over not in seam.between:
            errors.append(
                _unknown(f"{seam.field}.over", seam.over, seam.between, "one of the two panels")
            )
        for table, names in (("tilt", seam.tilt), ("setback", seam.setback)):
            for name in names:
                if name not in seam.between:
                    errors.append(
                        _unknown(
                            f"{seam.field}.{table}.{name}",
                            name,
                            seam.between,
                            "one of the two panels",
                        )
                    )
    return errors


def _surely(made: Iterable[str], rings: Sequence[Ring], named: Iterable[str]) -> tuple[str, ...]:
    """Panels that there are in any case: those that are made, that every form of a recipe has, and that are named."""
    always = [name for name in names_on(rings) if all(name in ring for ring in rings)]
    return tuple(dict.fromkeys((*named, *made, *always)))


def _layers_twice(layers: Mapping[str, Sequence[object]]) -> list[InputError]:
    """Overlays of one panel that share a key."""
    return [
        InputError(
            f"panels.{panel}.layers.{i}.key",
            got=f"{key}, as layer {keys.index(key) + 1} has",
            want="a name of its own",
            example=f"{key}-2",
        )
        for panel, keys in layers.items()
        for i, key in enumerate(keys)
        if isinstance(key, str) and key in keys[:i]
    ]


def _keys_used_twice(sections: Mapping[str, Sequence[str]]) -> list[InputError]:
    """Keys of panels and boards that name something else already."""
    seen = {"left": "the left side", "right": "the right side", "sides": "both sides"}
    errors = []
    for section, keys in sections.items():
        for key in keys:
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


__all__ = [
    "BATTEN",
    "SIDES",
    "material_errors",
    "names_in_data",
    "place_errors",
    "recipe_panel_errors",
]
