"""Whether a part covers the hole that it sits in: a rim no wider than its hole falls through."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from casewright.basics.errors import InputError
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Kind, Port

COVERS: Mapping[str, Sequence[tuple[str, str]]] = MappingProxyType(
    {
        "button": (("bezel", "hole"), ("nut", "hole")),
        "dial": (("knob", "hole"),),
        "trackball": (("plate_width", "hole"), ("plate_height", "hole")),
        "speaker": (("frame", "cutout"),),
        "fan": (("size", "opening"),),
        "fitting": (
            ("flange_width", "hole"),
            ("flange_height", "hole"),
            ("flange_width", "cutout_width"),
            ("flange_height", "cutout_height"),
        ),
    }
)
"""By kind: what covers, and what it has to cover. Source: plain geometry; what holds a part is larger than its hole."""


def cover_misfits(data: Kind, given: Sequence[str]) -> list[InputError]:
    """One problem for each hole as wide as what is to cover it.

    Args:
        data: The part.
        given: Fields that its owner gave; the problem stands at one of these.

    Example:
        >>> from casewright.catalog.kinds import Fan
        >>> [str(e) for e in cover_misfits(Fan(size=40, thickness=10, opening=60, pitch=32), ["opening"])]
        ['opening: found 60.0 mm; expected less than the size of 40.0 mm, which covers it.']
    """
    kind: str = type(data).model_fields["kind"].default
    pairs = [(name, float(getattr(data, name)), hole) for name, hole in COVERS.get(kind, ())]
    if isinstance(data, Port) and data.shape == "round" and data.flange:
        pairs.append(("flange", data.flange - 2 * data.wall, "width"))
    problems = []
    for name, cover, hole in pairs:
        width = float(getattr(data, hole))
        if width <= 0 or cover > width + TOUCHING:
            continue
        if name in given or hole not in given:
            want = f"more than the {_words(hole)} of {width:.1f} mm, which it covers"
            problems.append(InputError(name, got=f"{getattr(data, name):.1f} mm", want=want))
        else:
            want = f"less than the {_words(name)} of {cover:.1f} mm, which covers it"
            problems.append(InputError(hole, got=f"{width:.1f} mm", want=want))
    return problems


def _words(field: str) -> str:
    return field.replace("_", " ")


__all__ = ["COVERS", "cover_misfits"]
