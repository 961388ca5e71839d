"""Dimensions of a cabinet that may still change: its width, its outline, reveals and places of parts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from casewright.basics.findings import mm
from casewright.basics.plane import Line, crossing
from casewright.catalog.kinds import Display
from casewright.design.panels import Panel
from casewright.design.parts import Opening, Placement
from casewright.design.project import Project
from casewright.design.shape import OutlineShape
from casewright.geometry.model import Cabinet, Placed, Run

Path = tuple[str | int, ...]

MOST = 12.0
"""Nothing is moved further than this to make up for a cut: by then the design has changed. [mm]"""
MOST_DEG = 5.0
"""The same for slopes. [deg]"""
NOT_LENGTHS = ("width", "net_litres", "recipe", "side", "board")
"""Fields of a recipe that are no lengths or angles, and the width, which stands for itself."""
REVEAL = 3.0
"""A panel's face goes no further from the sides' edges than this, or than its layers are thick. [mm]"""


@dataclass(frozen=True)
class Freedom:
    """One way the plan may give: values of the project that move together."""

    key: str
    label: str
    """What it is called: "the cabinet's width"."""
    change: tuple[tuple[Path, float, float], ...]
    """(place in the project, value now, change by a unit step)."""
    weight: float
    largest: float = MOST
    more: str = "more by {}"
    """What a step up does, in words; {} takes the length."""
    less: str = "less by {}"
    is_angle: bool = False
    """Its step is in degrees."""

    def words(self, step: float) -> str:
        """What it is called, and how it moves; lengths are marked."""
        by = f"{abs(step):.1f}°" if self.is_angle else mm(abs(step))
        return f"{self.label} {(self.more if step > 0 else self.less).format(by)}"


def freedoms_of(
    cabinet: Cabinet, panels: Iterable[str], parts: Iterable[str]
) -> tuple[Freedom, ...]:
    """What may give for these panels and parts, with the panels' neighbors.

    Args:
        cabinet: The plan.
        panels: Keys of panels whose made pieces do not fit.
        parts: Keys of placed parts whose holes are elsewhere.
    """
    near = set(panels)
    if any(piece.kind == "side" and piece.key in near for piece in cabinet.pieces):
        near |= {run.panel for run in cabinet.shape.runs} - {""}  # a side meets them all
    for corner in cabinet.corners:
        if {corner.first, corner.second} & set(panels):
            near |= {corner.first, corner.second} - {""}
    found = [
        *_width(cabinet),
        *wishes(cabinet),
        *_pushes(cabinet, near),
        *_reveals(cabinet, near),
    ]
    for key in _with_followers(cabinet, parts):
        placed = cabinet.placed_by_key.get(key)
        if placed is not None:
            found += _places(cabinet, placed)
    return tuple(found)


def stepped(project: Project, steps: Mapping[Freedom, float]) -> tuple[Project, dict[Path, float]]:
    """The project with some freedoms moved, and the values that changed, by their place. [mm]"""
    values: dict[Path, float] = {}
    now: dict[Path, float] = {}
    for freedom, step in steps.items():
        for path, value, by in freedom.change:
            now[path] = value
            values[path] = values.get(path, value) + by * step
    changed = project
    kept = {
        path: round(value, 3) for path, value in values.items() if abs(value - now[path]) > 1e-9
    }
    for path, value in kept.items():
        changed = with_value(changed, path, value)
    return changed, kept


def with_value(model: Any, path: Path, value: Any) -> Any:
    """A frozen value with one place changed; a panel that only a recipe names is begun."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(model, BaseModel):
        below = getattr(model, str(step))
        if below is None and rest:
            below = Opening()  # the only section that may be left out on a way
        return model.model_copy(update={str(step): with_value(below, rest, value)})
    if isinstance(model, Mapping):
        return {**model, step: with_value(model.get(step, Panel()), rest, value)}
    assert isinstance(model, tuple) and isinstance(step, int), path
    return (*model[:step], with_value(model[step], rest, value), *model[step + 1 :])


def _with_followers(cabinet: Cabinet, parts: Iterable[str]) -> tuple[str, ...]:
    """These parts, and all whose place follows theirs: where those are made, they have to stay."""
    found = dict.fromkeys(parts)
    grown = True
    while grown:
        before = len(found)
        found |= {p.key: None for p in cabinet.placed if p.wish.like in found}
        grown = len(found) > before
    return tuple(found)


def _width(cabinet: Cabinet) -> Iterator[Freedom]:
    yield Freedom(
        "width",
        "the cabinet",
        ((("shape", "width"), cabinet.shape.width, 1.0),),
        1.0,
        more="{} wider",
        less="{} narrower",
    )


def wishes(cabinet: Cabinet) -> tuple[Freedom, ...]:
    """A recipe's lengths and angles, given or worked out; what it works out from them follows."""
    return tuple(_wishes(cabinet))


def _wishes(cabinet: Cabinet) -> Iterator[Freedom]:
    shape = cabinet.project.shape
    if isinstance(shape, OutlineShape):
        return
    for name in type(shape).model_fields:
        stem = name.removesuffix("_deg")
        if name in NOT_LENGTHS:
            continue
        value = getattr(shape, name)
        if value is None:
            solved = cabinet.numbers.get(f"shape.{stem}")
            value = solved.value if solved is not None else None
        if not isinstance(value, float | int) or isinstance(value, bool):
            continue
        is_angle = name.endswith("_deg")
        yield Freedom(
            f"shape.{name}",
            f"the {stem.replace('_', ' ')}",
            ((("shape", name), float(value), 1.0),),
            1.0,
            MOST_DEG if is_angle else MOST,
            more="{} more",
            less="{} less",
            is_angle=is_angle,
        )


def _pushes(cabinet: Cabinet, near: set[str]) -> Iterator[Freedom]:
    """Edges of a free outline that move square to themselves, the slopes beside them unchanged."""
    shape = cabinet.project.shape
    if not isinstance(shape, OutlineShape):
        return
    runs = cabinet.shape.runs
    labels = {piece.key: piece.label for piece in cabinet.pieces}
    for index, run in enumerate(runs):
        if run.panel not in near:
            continue
        moved = _pushed(runs[index - 1], run, runs[(index + 1) % len(runs)])
        if moved is None:
            continue
        change = []
        for name, (dy, dz) in moved.items():
            place = shape.corners[name]
            for axis, by in ((0, dy), (1, dz)):
                if abs(by) > 1e-9:
                    change.append((("shape", "corners", name, axis), place[axis], by))
        what = labels.get(run.panel, run.panel)
        yield Freedom(
            f"push.{run.panel}",
            f"the outline at the {what}",
            tuple(change),
            1.0,
            more="{} further out",
            less="{} further in",
        )


def _pushed(before: Run, run: Run, after: Run) -> dict[str, tuple[float, float]] | None:
    """How the ends of a run move when it is pushed out by 1 mm."""
    line = Line(run.p, run.direction).shifted(-1.0)
    start = crossing(line, Line(before.p, before.direction))
    end = crossing(line, Line(after.p, after.direction))
    if start is None or end is None:
        return None
    return {
        run.start: (start[0] - run.p[0], start[1] - run.p[1]),
        run.end: (end[0] - run.q[0], end[1] - run.q[1]),
    }


def _reveals(cabinet: Cabinet, near: set[str]) -> Iterator[Freedom]:
    labels = {piece.key: piece.label for piece in cabinet.pieces}
    for key in sorted(near):
        panel = cabinet.shape.panels.get(key)
        if panel is not None and panel.role != "open":
            layers = sum(
                piece.thickness
                for piece in cabinet.pieces
                if piece.panel == key and piece.kind == "overlay"
            )
            yield Freedom(
                f"reveal.{key}",
                f"the {labels.get(key, key)}",
                ((("panels", key, "reveal"), panel.reveal, 1.0),),
                1.5,
                max(REVEAL, layers) + 0.5,
                more="{} further behind the edges of the sides",
                less="{} further out, proud of the edges of the sides",
            )


def _opening_size(cabinet: Cabinet, placed: Placed, wish: Placement, name: str) -> float | None:
    """A display's opening as it is given, or as its lit area makes it, so that a made one may stay. [mm]"""
    given = getattr(wish.opening, name) if wish.opening is not None else None
    if given is not None or not isinstance(placed.part.data, Display):
        return None if given is None else float(given)
    piece = cabinet.piece_by_key[placed.piece]
    for feature in piece.features:
        if feature.owner == placed.key and feature.kind == "opening":
            return float(getattr(feature.shape, name, 0.0)) or None
    return None


def _places(cabinet: Cabinet, placed: Placed) -> Iterator[Freedom]:
    """A part's place as its wish says it: its own, or its distance from the part it is like."""
    for part, known in cabinet.project.parts.items():
        for number, wish in enumerate(known.placed):
            if wish.key != placed.wish.key:
                continue
            label = placed.label or placed.part.label
            for axis, ways in (("u", ("right", "left")), ("v", ("up", "down"))):
                own, shift = getattr(wish, axis), float(getattr(wish, f"d{axis}"))
                name, value = axis, own
                if own is None:
                    name, value = (
                        (f"d{axis}", shift) if wish.like or shift else (axis, getattr(placed, axis))
                    )
                mirrored = wish.on == "sides" and placed.piece == "left" and axis == "u"
                yield Freedom(
                    f"{placed.key}.{axis}",
                    label,
                    (
                        (
                            ("parts", part, "placed", number, name),
                            float(value),
                            -1.0 if mirrored else 1.0,
                        ),
                    ),
                    0.5,
                    more="{} further " + ways[0],
                    less="{} further " + ways[1],
                )
            for name in ("width", "height"):
                size = _opening_size(cabinet, placed, wish, name)
                if size is not None:
                    yield Freedom(
                        f"{placed.key}.opening.{name}",
                        f"the opening of {label}",
                        ((("parts", part, "placed", number, "opening", name), float(size), 1.0),),
                        1.0,
                        more="{} larger in " + name,
                        less="{} smaller in " + name,
                    )


__all__ = ["MOST", "Freedom", "Path", "freedoms_of", "stepped", "wishes", "with_value"]
