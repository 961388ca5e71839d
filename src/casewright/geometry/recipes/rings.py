"""Which panels a recipe has, before anything of it is worked out.

A name that leads nowhere is to be told beside all else that is wrong with a file, also where no outline can be solved
yet. What the file's wishes leave open (whether a console has a screen depends on its parts) is judged kindly: a name
counts as known if any form of the recipe has it.
"""

from __future__ import annotations

from collections.abc import Sequence

from casewright.design.shape import Shape, StandingShape, TabletopShape

Ring = tuple[str, ...]
"""Panels in order round the outline, from the base to the back, over the top and down the front."""

BOX: Ring = ("base", "back", "top", "front")


def possible_rings(
    recipe: object, *, header: bool | None = None, knees: bool | None = None
) -> tuple[Ring, ...]:
    """Every ring of panels that a recipe may come to; none for a free outline or a recipe nobody knows.

    Args:
        recipe: Its name.
        header: Whether a header is wished for; None where that cannot be read.
        knees: Whether a standing cabinet has room for knees; None where that cannot be read.
    """
    if recipe == "box":
        return (BOX,)
    if recipe == "lap":
        fronts: list[Ring] = [("lip",)]
        uppers: list[Ring] = [()]
    elif recipe in ("tabletop", "standing"):
        heads: list[Ring] = [
            head
            for head, kept in (
                ((), header is not True),
                (("header", "underside"), header is not False),
            )
            if kept
        ]
        uppers = [("top", *head, "screen") for head in heads]
        uppers.append(())  # without a display it is a lectern
        fronts = [("lip",)]
        if recipe == "standing":
            fronts = [
                front
                for front, kept in (
                    (("riser",), knees is not True),
                    (("lip", "knee", "riser"), knees is not False),
                )
                if kept
            ]
    else:
        return ()
    return tuple(("base", "back", *upper, "deck", *front) for upper in uppers for front in fronts)


def rings_of_shape(shape: Shape) -> tuple[Ring, ...]:
    """Every ring of panels that a shape may come to; none for a free outline."""
    return possible_rings(
        shape.recipe,
        header=shape.header if isinstance(shape, TabletopShape | StandingShape) else None,
        knees=shape.knee_room > 0 if isinstance(shape, StandingShape) else None,
    )


def rings_in_data(recipe: object, header: object, knee_room: object) -> tuple[Ring, ...]:
    """The same from what stands in a file, None where nothing stands there."""
    given = header if isinstance(header, bool) else None
    if header is None:
        given = recipe == "tabletop"
    knees = None if knee_room is not None and knee_room != 0 else False
    return possible_rings(recipe, header=given, knees=knees)


def names_on(rings: Sequence[Ring]) -> tuple[str, ...]:
    """The panels of all rings, each once."""
    return tuple(dict.fromkeys(name for ring in rings for name in ring))


def pairs_on(rings: Sequence[Ring], left_out: Sequence[str] = ()) -> set[frozenset[str]]:
    """Panels that meet at a corner in any of the rings, but for those that are left open."""
    return {
        frozenset(pair)
        for ring in rings
        for pair in zip(ring, (*ring[1:], *ring[:1]), strict=True)
        if not set(pair) & set(left_out)
    }


__all__ = ["Ring", "names_on", "pairs_on", "possible_rings", "rings_in_data", "rings_of_shape"]
