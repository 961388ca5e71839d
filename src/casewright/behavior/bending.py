"""How boards bend: strips on two supports and plates held along four edges.

Pure statics; nothing of a cabinet is known here. Lengths in mm, forces in N, stresses and moduli in N/mm² (MPa).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

TERMS = 30
"""Terms of the series each way; the deflection is then exact to 0.1 %, the stress under a hand to 2 %."""

Load = Literal["middle", "spread"]


@dataclass(frozen=True)
class Stiff:
    """What a board opposes to bending along two ways at right angles."""

    along: float
    """Modulus along the first way. [MPa]"""
    across: float
    """Modulus along the second way. [MPa]"""
    shear: float
    """Modulus of its twisting. [MPa]"""
    poisson: float = 0.0


@dataclass(frozen=True)
class Bend:
    """How far a board gives, and what it bears."""

    sag: float
    """[mm]"""
    stress: float
    """Greatest bending stress at its faces. [MPa]"""


def strip_bend(
    span: float, width: float, thickness: float, modulus: float, load: float, how: Load
) -> Bend:
    """A strip on two supports that let its ends turn.

    Args:
        span: Between supports. [mm]
        width: Of the strip. [mm]
        thickness: In the direction of the load. [mm]
        modulus: Along the span. [MPa]
        load: All of it. [N]
        how: In the middle, or spread evenly over the span.

    Source:
        roark, straight beams: 5·W·L³/(384·E·I) with M = W·L/8, and W·L³/(48·E·I) with M = W·L/4.

    Example:
        >>> round(strip_bend(600, 300, 18, 2200, 98.1, "spread").sag, 4)
        0.8602
    """
    inertia = width * thickness**3 / 12
    factor, arm = (5 / 384, 1 / 8) if how == "spread" else (1 / 48, 1 / 4)
    sag = factor * load * span**3 / (modulus * inertia)
    return Bend(sag, load * span * arm * (thickness / 2) / inertia)


def plate_bend(
    length: float,
    width: float,
    thickness: float,
    stiff: Stiff,
    load: float,
    patch: tuple[float, float] | None = None,
) -> Bend:
    """A plate held along four edges that let it turn, at its middle.

    Args:
        length: Along the first way. [mm]
        width: Along the second way. [mm]
        thickness: [mm]
        stiff: Its moduli.
        load: All of it. [N]
        patch: Sides of the rectangle in the middle that bears it; the whole plate if none. [mm]

    Source:
        timoshenko-plates: Navier's double series for a plate whose stiffness differs in two ways.

    Example:
        >>> soft = Stiff(2200, 2200, 2200 / 2.6, 0.3)
        >>> round(plate_bend(800, 400, 12, soft, 0.001 * 800 * 400).sag, 3)
        0.745
    """
    wide, high = patch or (length, width)
    wide, high = min(wide, length), min(high, width)
    cube = thickness**3 / 12
    share = 1 - stiff.poisson**2
    dx, dy = stiff.along * cube / share, stiff.across * cube / share
    mixed = stiff.poisson * math.sqrt(dx * dy)
    twist = mixed + 2 * stiff.shear * cube
    # Only odd terms act: the load lies in the middle.
    m = np.arange(1, 2 * TERMS, 2)[:, None]
    n = np.arange(1, 2 * TERMS, 2)[None, :]
    a, b = m * math.pi / length, n * math.pi / width
    sign = np.sin(m * math.pi / 2) * np.sin(n * math.pi / 2)
    # Fourier terms of the load: 4/(length·width) ∫∫ q sin sin; a patch gives sin(x)/x each way.
    terms = 4 * load / (length * width) * sign
    terms = terms * np.sinc(a * wide / 2 / math.pi) * np.sinc(b * high / 2 / math.pi)
    w = terms / (dx * a**4 + 2 * twist * a**2 * b**2 + dy * b**4)
    middle = w * sign
    along = float(((dx * a**2 + mixed * b**2) * middle).sum())
    across = float(((dy * b**2 + mixed * a**2) * middle).sum())
    return Bend(float(middle.sum()), 6 * max(along, across) / thickness**2)


__all__ = ["TERMS", "Bend", "Load", "Stiff", "plate_bend", "strip_bend"]
