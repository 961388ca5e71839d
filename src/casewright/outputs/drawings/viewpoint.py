"""From where a cabinet is looked at, without perspective, so that lengths can be compared."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

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
        toward = np.array(self.toward, dtype=float)
        right = np.cross(np.array(self.up, dtype=float), toward)
        if not math.hypot(*right) > 1e-9:
            want = "a direction that is not the picture's up"
            raise InputError("toward", got=self.toward, want=want, example="(-1, -2, 1)")
        toward /= np.linalg.norm(toward)
        right /= np.linalg.norm(right)
        return np.array((right, np.cross(toward, right), toward))


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

__all__ = ["VIEWS", "View", "around"]
