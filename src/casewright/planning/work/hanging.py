"""Orders for hanging doors on hinges."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import mm
from casewright.basics.wording import listed
from casewright.geometry.hinges import Hanging

LEAST_LET_IN = 0.25
"""Nobody chisels a shallower bed for a leaf; the gap takes it. [mm] Common practice."""

_END = {"left": "lower", "right": "lower", "top": "left", "bottom": "left"}
"""End of the hung edge that places are measured from."""


def hanging_orders(hanging: Hanging, label: str) -> Iterator[str]:
    """How one door's hinges are marked, let in and screwed on, before paint.

    Args:
        hanging: The door on its hinges.
        label: What the door is called.
    """
    hinge, end = hanging.hinge, _END[hanging.edge]
    if not hinge.leaf:
        yield (
            f"{hanging.label} on the {hanging.edge} edge of the {label}, seen from its show face: cut it "
            f"{mm(hanging.length)} long with a hacksaw, file the ends smooth, knuckle outward."
        )
    else:
        at = listed(mm(place) for place in hanging.places)
        yield (
            f"{hanging.count} × {hanging.label} on the {hanging.edge} edge of the {label}, seen from its show face: "
            f"middles {at} from the edge's {end} end, knuckle outward, its pin clear of the faces."
        )
    if hanging.let_in > LEAST_LET_IN:
        yield (
            f"Let every leaf {mm(hanging.let_in)} into its edge, door and opening alike, with a sharp chisel: the "
            f"leaves are {mm(hinge.leaf_thickness)} thick and the gap is {mm(hanging.gap)}."
        )
    if hanging.screw is not None and hanging.screws_a_leaf:
        yield (
            f"One screw in each leaf first, {hanging.screw.name}, in a pilot hole; swing the door, see that the gap is "
            "even, then drive the others."
        )


__all__ = ["LEAST_LET_IN", "hanging_orders"]
