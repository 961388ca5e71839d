"""Moving placed parts: the edits that bring a part to a place, whether it says its place itself or follows another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from casewright.basics.errors import InputError
from casewright.basics.units import parse_length
from casewright.design.parts import Placement
from casewright.geometry.model import Placed
from casewright.workflow import Edits, InSpace, KeyPath, Removal, Value, written_length

Axis = Literal["u", "v"]


def wish_path(worked: InSpace, key: str) -> KeyPath | None:
    """Where a placed part's wish stands in the file; of a mirrored pair, the pair's."""
    placed = worked.cabinet.placed_by_key.get(key)
    for part, known in worked.opened.project.parts.items():
        for number, wish in enumerate(known.placed):
            if wish.key == key or (placed is not None and wish.key == placed.wish.key):
                return ("parts", part, "placed", number)
    return None


def moved(worked: InSpace, key: str, axis: Axis, to: Value) -> Edits:
    """The edits that bring a part to a coordinate; `to` as typed, in the project's unit.

    Raises:
        InputError: It is no length, or there is no such part.
    """
    place = parse_length(to, unit=worked.opened.project.unit, least=None, field=axis)
    wish = _placed(worked, key).wish
    is_own = wish.like is None or getattr(wish, axis) is not None
    if is_own and not getattr(wish, f"d{axis}") and not _is_mirrored(worked, key):
        return {(*_wish_path(worked, key), axis): to}
    return placed_at(worked, {key: {axis: place}})


def placed_at(worked: InSpace, places: Mapping[str, Mapping[Axis, float]]) -> Edits:
    """The edits that bring parts to places of their panels' frames. [mm]

    A part that follows another keeps following it, at another distance; one whose leader moves as well ends where it
    is asked to. A shift from the middle stays one. Of a mirrored pair either may be named.

    Raises:
        InputError: There is no such part.
    """
    edits: dict[KeyPath, Value | Removal] = {}
    unit = worked.opened.project.unit
    for key, place in places.items():
        placed = _placed(worked, key)
        wish, path = placed.wish, _wish_path(worked, key)
        for axis in place:
            shift = _shift(worked, key, axis, places)
            if _follows(wish, axis):
                assert wish.like is not None
                shift -= _shift(worked, wish.like, axis, places)
            if abs(shift) < 1e-9:
                continue
            if _is_mirrored(worked, key) and axis == "u":
                shift = -shift  # the file gives the right one's
            own, by = getattr(wish, axis), float(getattr(wish, f"d{axis}"))
            if own is not None:
                name, length = str(axis), float(own) + shift
            elif by or wish.like is not None:
                name, length = f"d{axis}", by + shift
            else:
                name, length = str(axis), float(getattr(placed, axis)) + shift
            like = _written(worked, (*path, name))
            edits[(*path, name)] = written_length(length, unit, like=like)
    return edits


def aligned(worked: InSpace, keys: Sequence[str], axis: Axis) -> Edits:
    """The edits that bring all to the first one's coordinate.

    Raises:
        InputError: There is no such part.
    """
    to = getattr(_placed(worked, keys[0]), axis)
    return placed_at(worked, {key: {axis: to} for key in keys[1:]})


def spread(worked: InSpace, keys: Sequence[str], axis: Axis) -> Edits:
    """The edits that space parts evenly between the outer two, which stay.

    Raises:
        InputError: There is no such part.
    """
    order = sorted(keys, key=lambda key: (getattr(_placed(worked, key), axis), key))
    low, high = (getattr(_placed(worked, order[i]), axis) for i in (0, -1))
    step = (high - low) / (len(order) - 1) if len(order) > 1 else 0.0
    return placed_at(
        worked,
        {key: {axis: low + number * step} for number, key in enumerate(order[1:-1], start=1)},
    )


def _shift(
    worked: InSpace, key: str, axis: Axis, places: Mapping[str, Mapping[Axis, float]]
) -> float:
    """How far a part will move, by itself or carried along."""
    placed = _placed(worked, key)
    if key in places and axis in places[key]:
        return places[key][axis] - float(getattr(placed, axis))
    if _follows(placed.wish, axis) and placed.wish.like is not None:
        return _shift(worked, placed.wish.like, axis, places)
    return 0.0


def _follows(wish: Placement, axis: Axis) -> bool:
    """Whether it is carried along this axis by the part it is like."""
    return wish.like is not None and getattr(wish, axis) is None


def _is_mirrored(worked: InSpace, key: str) -> bool:
    """Whether it is the left one of a pair on both sides."""
    placed = _placed(worked, key)
    return placed.wish.on == "sides" and placed.piece == "left"


def _placed(worked: InSpace, key: str) -> Placed:
    placed = worked.cabinet.placed_by_key.get(key)
    if placed is None:
        raise InputError("part", got=key, want="a part that is placed")
    return placed


def _wish_path(worked: InSpace, key: str) -> KeyPath:
    path = wish_path(worked, key)
    if path is None:
        raise InputError("part", got=key, want="a part that is placed")
    return path


def _written(worked: InSpace, path: KeyPath) -> object:
    here: object = worked.opened.document.data
    for step in path:
        if isinstance(here, dict):
            here = here.get(step)
        elif isinstance(here, list) and isinstance(step, int) and step < len(here):
            here = here[step]
        else:
            return None
    return here


__all__ = ["Axis", "aligned", "moved", "placed_at", "spread", "wish_path"]
