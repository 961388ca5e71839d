"""Where each placed part sits, as numbers that say why: its own place, or those that it follows."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from casewright.basics.reckoning import Reckoning, Term, total
from casewright.catalog.kinds import Display, Sign
from casewright.design.parts import Placement
from casewright.geometry.model import Cabinet, Placed
from casewright.geometry.naming import SIDES

Axis = Literal["u", "v"]

_RULES = {
    "u": "u is measured to the right from the panel's left inner edge, as seen from its show face.",
    "v": "v is measured up from the panel's lower or front edge, as seen from its show face.",
}


def place_numbers(cabinet: Cabinet) -> Iterator[Reckoning]:
    """Places of all parts, u and v of each. [mm]"""
    for placed in cabinet.placed:
        for axis in ("u", "v"):
            yield place_number(cabinet, placed, axis)


def place_number(cabinet: Cabinet, placed: Placed, axis: Axis) -> Reckoning:
    """One place with its terms: what the file gives, the shifts, or the middle it starts from. [mm]

    Args:
        cabinet: The cabinet.
        placed: A part in its place.
        axis: Which way.
    """
    return total(
        f"{placed.key}.{axis}",
        f"{placed.label}: {axis} of its middle",
        tuple(_terms(cabinet, placed, axis)),
        rule=_RULES[axis],
        source="Project setting",
    )


def _terms(cabinet: Cabinet, placed: Placed, axis: Axis) -> Iterator[Term]:
    value: float = getattr(placed, axis)
    right = cabinet.placed_by_key.get(f"{placed.wish.key}-right")
    if placed.wish.on == SIDES[-1] and right is not None and right is not placed:
        other: float = getattr(right, axis)
        called = f"{axis} of {right.label}"
        if axis == "v":
            yield Term(called, other, key=f"{right.key}.v")
        else:
            yield Term("depth of the sides, which are mirrored", value + other)
            yield Term(called, other, -1, key=f"{right.key}.u")
        return
    wishes = {wish.key: wish for part in cabinet.project.parts.values() for wish in part.placed}
    chain = [placed.wish]
    while (name := chain[-1].like) is not None and getattr(chain[-1], axis) is None:
        chain.append(wishes[name])
    shifts = [(wish, float(getattr(wish, f"d{axis}"))) for wish in reversed(chain)]
    given: float | None = getattr(chain[-1], axis)
    if given is not None:
        whose = "as given" if len(chain) == 1 else f"of {_named(chain[-1])}, as given"
        yield Term(f"{axis} {whose}", given)
    else:
        yield Term(_start(cabinet, placed, axis), value - sum(shift for _, shift in shifts))
    for wish, shift in shifts:
        if shift:
            whose = "shift" if wish is placed.wish else f"shift of {_named(wish)}"
            yield Term(whose, shift)


def _named(wish: Placement) -> str:
    return wish.label or wish.key


def _start(cabinet: Cabinet, placed: Placed, axis: Axis) -> str:
    """What a part is centred on where nothing is given."""
    panel = cabinet.piece_by_key[placed.piece].label
    if axis == "v" and isinstance(placed.part.data, Display):
        return f"its housing midway up the clear back of {panel}"
    if axis == "v" and isinstance(placed.part.data, Sign):
        return f"middle of the clear back of {panel}"
    return f"middle of {panel}"


__all__ = ["Axis", "place_number", "place_numbers"]
