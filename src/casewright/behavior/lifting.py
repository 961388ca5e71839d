"""What one person may lift: the revised NIOSH equation, for setting the cabinet on its place."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from casewright.basics.reckoning import Reckoning, Term, derived
from casewright.basics.units import MM_PER_INCH
from casewright.behavior.balance import Balance
from casewright.catalog.kinds import Grip, PartKind
from casewright.geometry.cleat_room import corners_of
from casewright.geometry.model import Cabinet
from casewright.geometry.viewers import base_over_floor

LOAD_CONSTANT = 23.0
"""Load that is fine in the best posture. [kg] Source: niosh-lifting."""

GOOD_CUT_OUT = (4.5 * MM_PER_INCH, 38.0)
"""Least length and height of a good hand-hold, 4.5 × 1.5 in or 11.5 × 3.8 cm. [mm] Source: niosh-lifting, coupling."""

PAIR = 4 / 3
"""What two lift together, by what one of them lifts alone: two thirds of the sum. Source: iso-11228-1."""

CLOSEST = 250.0
"""Hands are at least so far in front of the ankles. [mm] Source: niosh-lifting."""

Coupling = Literal["good", "fair", "poor"]

_COUPLING: dict[Coupling, tuple[float, float]] = {
    "good": (1.0, 1.0),
    "fair": (0.95, 1.0),
    "poor": (0.90, 0.90),
}
"""Multipliers for hands below 75 cm, and from there up. Source: niosh-lifting, table 7."""


@dataclass(frozen=True)
class Lift:
    """One end of a lift, in the equation's own terms."""

    horizontal: float
    """Hands in front of the ankles' middle. [mm]"""
    vertical: float
    """Hands over the floor. [mm]"""
    travel: float
    """How far the hands go up or down. [mm]"""
    turn_deg: float = 0.0
    coupling: Coupling = "fair"
    frequency: float = 1.0
    """Frequency multiplier: 1 for a lift now and then."""

    @property
    def multipliers(self) -> tuple[float, float, float, float, float, float]:
        """HM, VM, DM, AM, FM, CM.

        Source:
            niosh-lifting: HM = 25 ÷ H, H at least 25 cm and at most 63; VM = 1 − 0.003 |V − 75|, V at most 175;
            DM = 0.82 + 4.5 ÷ D, D at least 25; AM = 1 − 0.0032 A, A at most 135°.
        """
        h, v, d = self.horizontal / 10, self.vertical / 10, self.travel / 10
        hm = 0.0 if h > 63 else 25 / max(h, 25)
        vm = 0.0 if v > 175 else 1 - 0.003 * abs(v - 75)
        dm = 0.82 + 4.5 / max(d, 25)
        am = 0.0 if self.turn_deg > 135 else 1 - 0.0032 * self.turn_deg
        low, high = _COUPLING[self.coupling]
        return hm, vm, dm, am, self.frequency, low if v < 75 else high

    @property
    def limit_kg(self) -> float:
        """Recommended weight limit: the load constant times all multipliers."""
        limit = LOAD_CONSTANT
        for multiplier in self.multipliers:
            limit *= multiplier
        return limit


@dataclass(frozen=True)
class Lifting:
    """Lifting the cabinet from the floor to its place, as one person and as two."""

    origin: Lift
    goal: Lift
    mass_kg: float
    limit_kg: float
    """Of the harder end, for one person in front of it."""
    pair_limit_kg: float
    """For two, one at each side, close to it."""
    coupling: Coupling
    numbers: tuple[Reckoning, ...] = ()

    @property
    def index(self) -> float:
        """Lifting index of one person; past 1 the risk to the back grows, past 3 it is high for nearly all."""
        return self.mass_kg / self.limit_kg if self.limit_kg > 0 else float("inf")

    @property
    def people(self) -> int:
        """How many lift it: one, two, or 0 where it is too much for two."""
        if self.mass_kg <= self.limit_kg:
            return 1
        return 2 if self.mass_kg <= self.pair_limit_kg else 0


def lifting_of(cabinet: Cabinet, balance: Balance) -> Lifting:
    """The lift from the floor to where the cabinet stands, hands at its sides at the height of its centre of gravity.

    Hands hold grips or hand holes on the sides where there are some, else the underside. The depth from front to back
    is what keeps the lifter's body off: H = 20 cm + depth ÷ 2, and 25 cm + depth ÷ 2 with the hands below 25 cm.

    Source:
        niosh-lifting, section 1.3.1.1 for H, tables 5 and 7.
    """
    corners = [corner for piece in cabinet.pieces for corner in corners_of(piece)]
    low = min((z for *_, z in corners), default=0.0)
    depths = [y for _, y, _ in corners]
    depth = max(depths) - min(depths) if depths else 0.0
    grips = [p for p in cabinet.placed if isinstance(p.part.data, Grip)]
    hands = max(max((p.frame.origin[2] for p in grips), default=low) - low, 0.0)
    coupling: Coupling = "poor"
    if grips:
        coupling = "good" if all(_is_good(p.part.data) for p in grips) else "fair"
    rise = base_over_floor(cabinet.project, cabinet.parts).value + low
    origin, goal = (
        Lift((200.0 if at >= 250.0 else CLOSEST) + depth / 2, at, rise, coupling=coupling)
        for at in (hands, hands + rise)
    )
    worst = min((origin, goal), key=lambda lift: lift.limit_kg)
    number = _number(worst, "from the floor" if worst is origin else "onto its place")
    near = min(replace(end, horizontal=CLOSEST).limit_kg for end in (origin, goal))
    pair = derived(
        "lifting.pair_limit",
        "most that two should lift, one at each side",
        near * PAIR,
        "limit of one, close to it × 4 ÷ 3",
        [Term("limit of one, close to it", near, unit="kg")],
        unit="kg",
        rule="Two lift two thirds of what they lift one by one.",
        source="iso-11228-1",
    )
    return Lifting(
        origin, goal, balance.total_kg, worst.limit_kg, pair.value, coupling, (number, pair)
    )


def _is_good(data: PartKind) -> bool:
    """Whether hands find a good hold in it."""
    long, high = GOOD_CUT_OUT
    return isinstance(data, Grip) and data.width >= long and data.height >= high


def _number(lift: Lift, end: str) -> Reckoning:
    names = ("horizontal", "vertical", "distance", "turn", "frequency", "coupling")
    terms = [Term("load constant", LOAD_CONSTANT, unit="kg")]
    terms += [
        Term(f"{name} multiplier", value, unit="")
        for name, value in zip(names, lift.multipliers, strict=True)
    ]
    return derived(
        "lifting.limit",
        f"most that one person should lift, {end}",
        lift.limit_kg,
        "load constant × all multipliers",
        terms,
        unit="kg",
        rule=f"Hands {lift.horizontal / 10:.0f} cm in front of the ankles and {lift.vertical / 10:.0f} cm up.",
        source="niosh-lifting",
    )


__all__ = [
    "CLOSEST",
    "GOOD_CUT_OUT",
    "LOAD_CONSTANT",
    "PAIR",
    "Coupling",
    "Lift",
    "Lifting",
    "lifting_of",
]
