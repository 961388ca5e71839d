"""From where a cabinet is looked at, without perspective, so that lengths can be compared."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from casewright.basics.errors import InputError
from casewright.geometry.model import Point3

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class View:
    """A direction to look from."""

    name: str
    toward: Point3
    """From the cabinet toward the eye, of any length."""
    up: Point3 = (0.0, 0.0, 1.0)
    """What is up in the picture; not along `toward`."""

    @property
    def axes(self) -> Floats:
        """Rows: right, up, toward the eye, each of length 1.

        Raises:
            InputError: `toward` or `up` gives no direction.
        """
        return _axes(self.toward, self.up)


@lru_cache(maxsize=256)
def _axes(looked: Point3, upward: Point3) -> Floats:
    toward, up = np.array(looked, dtype=float), np.array(upward, dtype=float)
    right = cross(up, toward)
    if not math.hypot(*right) > 1e-9:
        want = "a direction that is not the picture's up"
        raise InputError("toward", got=looked, want=want, example="(-1, -2, 1)")
    toward /= np.linalg.norm(toward)
    right /= np.linalg.norm(right)
    axes = np.array((right, cross(toward, right), toward))
    axes.flags.writeable = False  # shared by all who look from there
    return axes


def cross(a: Floats, b: Floats) -> Floats:
    """The cross product along the last axis, as `numpy.cross` gives it, for less work on short arrays.

    Example:
        >>> cross(np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0])).tolist()
        [0.0, 0.0, 1.0]
    """
    result = np.empty(np.broadcast_shapes(a.shape, b.shape))
    result[..., 0] = a[..., 1] * b[..., 2] - a[..., 2] * b[..., 1]
    result[..., 1] = a[..., 2] * b[..., 0] - a[..., 0] * b[..., 2]
    result[..., 2] = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return result


def around(name: str, *, aside_deg: float, above_deg: float) -> View:
    """A view from the front, turned to the right and upward by so much. [degrees]"""
    aside, above = math.radians(aside_deg), math.radians(above_deg)
    level = math.cos(above)
    return View(name, (level * math.sin(aside), -level * math.cos(aside), math.sin(above)))


VIEWS: Mapping[str, View] = {
    view.name: view
    for view in (
        View("front", (0.0, -1.0, 0.0)),
        View("back", (0.0, 1.0, 0.0)),
        View("right", (1.0, 0.0, 0.0)),
        View("left", (-1.0, 0.0, 0.0)),
        View("top", (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)),
        View("underside", (0.0, 0.0, -1.0), (0.0, 1.0, 0.0)),
        # 45° aside and arctan 1/√2 above: all three axes are shortened alike.
        around("isometric", aside_deg=-45.0, above_deg=math.degrees(math.atan(math.sqrt(0.5)))),
        around("cover", aside_deg=-32.0, above_deg=24.0),
        around("from behind", aside_deg=145.0, above_deg=28.0),
    )
}
"""By name. The isometric projection is that of ISO 5456-3."""

__all__ = ["VIEWS", "View", "around", "cross"]
