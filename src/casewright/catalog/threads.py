"""Threads by name: clearance holes, tap drills, and the gauge numbers of inch wood screws."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Literal

from casewright.basics.errors import InputError
from casewright.basics.units import MM_PER_INCH

Fit = Literal["fine", "medium", "coarse"]
"""Series of ISO 273; close, normal and loose fit in ASME B18.2.8."""


@dataclass(frozen=True)
class Thread:
    """A machine screw thread. Lengths in mm."""

    name: str
    diameter: float
    pitch: float
    tap_drill: float
    """Drill for cutting the thread."""
    fine: float
    """Clearance hole, fine series."""
    medium: float
    coarse: float
    source: str

    @property
    def minor_diameter(self) -> float:
        """Basic minor diameter D1 of the internal thread. [mm] Source: ISO 724, also for unified threads."""
        return self.diameter - 1.082532 * self.pitch

    @property
    def pitch_diameter(self) -> float:
        """Basic pitch diameter d2. [mm] Source: ISO 724."""
        return self.diameter - 0.649519 * self.pitch


# Diameter, pitch (ISO 261, coarse), tap drill (ISO 2306), then the holes of ISO 273: fine, medium, coarse.
_METRIC = (
    (2.0, 0.40, 1.60, 2.2, 2.4, 2.6),
    (2.5, 0.45, 2.05, 2.7, 2.9, 3.1),
    (3.0, 0.50, 2.50, 3.2, 3.4, 3.6),
    (3.5, 0.60, 2.90, 3.7, 3.9, 4.2),
    (4.0, 0.70, 3.30, 4.3, 4.5, 4.8),
    (5.0, 0.80, 4.20, 5.3, 5.5, 5.8),
    (6.0, 1.00, 5.00, 6.4, 6.6, 7.0),
    (7.0, 1.00, 6.00, 7.4, 7.6, 8.0),
    (8.0, 1.25, 6.80, 8.4, 9.0, 10.0),
    (10.0, 1.50, 8.50, 10.5, 11.0, 12.0),
    (12.0, 1.75, 10.20, 13.0, 13.5, 14.5),
)

# Name, diameter, threads per inch, tap drill (from memory), then the drills of ASME B18.2.8: close, normal, loose.
# All in inches.
_INCH = (
    ("4-40", 0.112, 40, 0.0890, 0.1200, 0.1285, 0.1440),
    ("6-32", 0.138, 32, 0.1065, 0.1540, 0.1695, 0.1850),
    ("8-32", 0.164, 32, 0.1360, 0.1800, 0.1960, 0.2130),
    ("10-24", 0.190, 24, 0.1495, 0.2055, 0.2210, 0.2380),
    ("10-32", 0.190, 32, 0.1590, 0.2055, 0.2210, 0.2380),
    ("1/4-20", 1 / 4, 20, 0.2010, 17 / 64, 9 / 32, 19 / 64),
    ("5/16-18", 5 / 16, 18, 0.2570, 21 / 64, 11 / 32, 23 / 64),
    ("3/8-16", 3 / 8, 16, 5 / 16, 25 / 64, 13 / 32, 27 / 64),
)


def _metric_thread(diameter: float, pitch: float, *holes: float) -> Thread:
    tap, fine, medium, coarse = holes
    return Thread(f"M{diameter:g}", diameter, pitch, tap, fine, medium, coarse, "iso-273")


def _inch_thread(name: str, diameter: float, per_inch: int, *drills: float) -> Thread:
    tap, fine, medium, coarse = (drill * MM_PER_INCH for drill in drills)
    pitch = MM_PER_INCH / per_inch
    return Thread(name, diameter * MM_PER_INCH, pitch, tap, fine, medium, coarse, "asme-b18-2-8")


THREADS: dict[str, Thread] = {
    thread.name: thread
    for thread in (
        *(_metric_thread(*row) for row in _METRIC),
        *(_inch_thread(*row) for row in _INCH),
    )
}
"""Threads by name: "M4", "1/4-20"."""


def thread_of(name: str, *, field: str = "thread") -> Thread:
    """Return the thread of a name such as `M4`, `m4`, `M4 x 0.7` (coarse pitch only) or `1/4-20`.

    Raises:
        InputError: There is no such thread in the table.
    """
    plain = name.replace(" ", "").removesuffix("UNC").removesuffix("UNF").removesuffix("in")
    first, _, pitch = plain.upper().replace("×", "X").partition("X")
    thread = THREADS.get(first)
    if thread is None or (pitch and pitch != f"{thread.pitch:g}"):
        near = difflib.get_close_matches(first, THREADS, n=1, cutoff=0.3)
        want = "one of " + ", ".join(THREADS)
        raise InputError(field, got=f"“{name}”", want=want, example=near[0] if near else "M4")
    return thread


def clearance_hole(thread: str, fit: Fit = "medium", *, field: str = "thread") -> float:
    """Return the hole that a screw passes through freely. [mm]

    Args:
        thread: Its name, as `thread_of` takes it.
        fit: Series of the hole; "medium" is the usual one, "coarse" forgives hand marking.
        field: Path of the name, for the message.

    Raises:
        InputError: There is no such thread in the table.

    Source:
        ISO 273:1979 for metric threads, ASME B18.2.8-1999 for inch ones.

    Example:
        >>> clearance_hole("M4"), clearance_hole("M4", "fine")
        (4.5, 4.3)
    """
    found = thread_of(thread, field=field)
    return {"fine": found.fine, "medium": found.medium, "coarse": found.coarse}[fit]


def wood_screw_diameter(number: int) -> float:
    """Return the basic diameter of an inch wood screw of that gauge number. [mm]

    Raises:
        InputError: The number is not from 0 to 24.

    Source:
        ASME B18.6.1: D = 0.060 in + 0.013 in × number.

    Example:
        >>> round(wood_screw_diameter(8), 2)
        4.17
    """
    if not 0 <= number <= 24:
        raise InputError("number", got=number, want="a gauge number from 0 to 24", example="8")
    return (0.060 + 0.013 * number) * MM_PER_INCH


__all__ = [
    "THREADS",
    "Fit",
    "Thread",
    "clearance_hole",
    "thread_of",
    "wood_screw_diameter",
]
