"""Light of small lights on a sheet in front of them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

_BLOCK = 500_000
"""Figures held at once, so that a large sign needs little memory."""

Point2 = tuple[float, float]


def illuminance(
    lights: Floats,
    points_x: Floats,
    points_y: Floats,
    distance: float,
    *,
    axial: float | Floats = 1.0,
) -> Floats:
    """Illuminance of a sheet parallel to a board full of small lights.

    Each light is a Lambertian emitter that faces the sheet, small against the distance: its intensity falls with the
    cosine, the sheet takes the cosine again, and the square of the way in between dilutes it.

          light •───────► sheet     d² = distance² + r²,  cos = distance ÷ d
                 ╲ d      │         E = axial × cos² ÷ d² = axial × distance² ÷ (distance² + r²)²
                   ╲      │ r
                     ╲────┘

    Args:
        lights: (n, 2) places of the lights on the board. [mm]
        points_x: Columns of the points on the sheet. [mm]
        points_y: Rows of them. [mm]
        distance: From board to sheet, more than 0. [mm]
        axial: Intensity of one light straight ahead, of all alike or of each.

    Returns:
        (rows, columns), in intensity per mm².

    Source:
        iesna-handbook: inverse square and cosine laws; for a Lambertian emitter the fourth power of the cosine.
    """
    field = np.zeros((len(points_y), len(points_x)))
    each = np.broadcast_to(np.asarray(axial, dtype=np.float64), (len(lights),))
    block = max(1, _BLOCK // max(field.size, 1))
    for first in range(0, len(lights), block):
        some = lights[first : first + block]
        # r² = dx² + dy² with dx the same for every row: both squares are made once, then added.
        dx2 = (points_x[None, :] - some[:, 0, None]) ** 2 + distance**2
        dy2 = (points_y[None, :] - some[:, 1, None]) ** 2
        way2 = dx2[:, None, :] + dy2[:, :, None]
        np.multiply(way2, way2, out=way2)
        np.divide(distance**2, way2, out=way2)
        field += np.tensordot(each[first : first + block], way2, axes=1)
    return field


def mirrored_lights(
    lights: Floats, walls: tuple[float, float], reflectance: float, *, reach: Sequence[int] = (1, 3)
) -> list[tuple[float, Floats]]:
    """Lights and their images in four walls round the board, each group with the share that is left of it.

    Every wall sends back its share as a mirror would: light that met n walls comes from an image beyond them, with
    reflectance to the power of n. A matt white wall scatters instead, which is a little more even still.

    Args:
        lights: (n, 2) places, the middle of the box at (0, 0). [mm]
        walls: Distance between left and right wall, and between lower and upper one. [mm]
        reflectance: 0 to 1; at 0 the lights alone come back.
        reach: How many images to each side, across and up.

    Source:
        Plain geometry: the method of images for a rectangular box.
    """
    if reflectance <= 0:
        return [(1.0, lights)]
    wide, high = walls
    groups: list[tuple[float, Floats]] = []
    for i in range(-reach[0], reach[0] + 1):
        for j in range(-reach[1], reach[1] + 1):
            share = reflectance ** (abs(i) + abs(j))
            flip = np.array([(-1.0) ** i, (-1.0) ** j])
            groups.append((share, lights * flip + np.array([i * wide, j * high])))
    return groups


__all__ = ["Floats", "illuminance", "mirrored_lights"]
