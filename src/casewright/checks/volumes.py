"""More air behind a loudspeaker, as an order that can be carried out."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Remedy, at_least
from casewright.behavior.chambers import LITRE, Chamber
from casewright.behavior.sound import Driver
from casewright.checks.subject import Subject

_STEP = 0.5  # litres


def more_air(subject: Subject, driver: Driver, wanted: float) -> Iterator[Remedy]:
    """The recipe's volume where that decides, else the depth that it takes.

    Args:
        subject: What is checked.
        driver: In a chamber that is shut.
        wanted: Air for each driver of its kind. [L]
    """
    assert subject.behavior is not None
    chamber = driver.chamber
    assert chamber is not None
    alike = chamber.litres / driver.litres
    more = (wanted - driver.litres) * alike
    asked = getattr(subject.cabinet.project.shape, "net_litres", None)
    if asked is not None and len(subject.behavior.sound.chambers) == 1:
        # A little over, as cleats grow with the box.
        volume = math.ceil(1.02 * (chamber.empty_litres + more) / _STEP) * _STEP
        yield Remedy(f"Make the box for {volume:.1f} L.", "shape.net_litres", volume)
        return
    yield Remedy(
        f"Give it {math.ceil(10 * wanted) / 10:.1f} L: {at_least(_deeper(subject, chamber, more))} more depth inside."
    )


def _deeper(subject: Subject, chamber: Chamber, more: float) -> float:
    """Depth that adds so many litres to a chamber. [mm]"""
    heights = [z for _, z in chamber.outline]
    inside = subject.behavior.heat.inside if subject.behavior else None
    face = (inside.width if inside else 0.0) * (max(heights) - min(heights))
    return more * LITRE / face if face > 0 else 0.0


__all__ = ["more_air"]
