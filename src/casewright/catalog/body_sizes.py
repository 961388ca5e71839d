"""Usual body sizes, for people whose own were not taken: the entries of `body_sizes.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal

Posture = Literal["seated", "standing", "wheelchair"]


@dataclass(frozen=True)
class BodySize:
    """Sizes of one body. All in mm."""

    eye: float
    """Over the floor, with shoes."""
    elbow: float
    """Over the floor, with shoes."""
    shoulders: float
    """Breadth over both upper arms."""
    reach: float
    """From the elbow to the middle of a closed hand."""
    source: str
    """Key of the source."""
    made: str
    """What the heights were made of."""


def body_size(posture: Posture, *, child: bool = False) -> BodySize:
    """Return the usual sizes of an adult or a child.

    Source:
        ansur-ii, en-1729-1, exhibition-guidelines; see `body_sizes.toml`.

    Example:
        >>> body_size("standing").eye
        1603.5
    """
    return _table()["child" if child else "adult", posture]


@cache
def _table() -> dict[tuple[str, str], BodySize]:
    text = files("casewright.catalog").joinpath("body_sizes.toml").read_text(encoding="utf-8")
    return {
        (age, posture): BodySize(**entry)
        for age, postures in tomllib.loads(text).items()
        for posture, entry in postures.items()
    }


__all__ = ["BodySize", "Posture", "body_size"]
