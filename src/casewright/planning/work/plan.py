"""The order of work, derived from the cabinet: a graph of what needs what, arranged, timed and guarded."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from enum import Enum

from casewright.basics.findings import Finding
from casewright.basics.reckoning import Reckoning, Term, total
from casewright.basics.wording import counted
from casewright.behavior.light import light_of
from casewright.behavior.loads import power_loads
from casewright.behavior.painting import Painting, painting_of
from casewright.behavior.routes import routes_of
from casewright.behavior.wiring import Wiring, wiring_of
from casewright.geometry.model import Cabinet
from casewright.planning.blanks import Cutting
from casewright.planning.nests import nested_parts
from casewright.planning.work.arranging import SetupCount, arranged, setup_counts, with_settings
from casewright.planning.work.assembly import assembly_steps
from casewright.planning.work.guards import Guard, guards_of
from casewright.planning.work.left import left_to_do
from casewright.planning.work.minutes import settings_minutes
from casewright.planning.work.painting import COAT
from casewright.planning.work.sawing import bevel_steps, cutting_steps, freed_by
from casewright.planning.work.schedule import (
    Critical,
    ShopDay,
    Slot,
    critical_path,
    scheduled,
    shop_days,
)
from casewright.planning.work.shaping import shaping_steps
from casewright.planning.work.step import ADJUSTED, MAKING, STAGES, Step

SHOP_HOURS = 6.0
"""Of a shop day, where the project says nothing. Common practice. [h]"""


@dataclass(frozen=True)
class WorkPlan:
    """Every step in its order and time."""

    steps: tuple[Step, ...]
    """Numbered, each after all that it needs."""
    setups: tuple[SetupCount, ...]
    slots: tuple[Slot, ...]
    """In the order of time."""
    days: tuple[ShopDay, ...]
    critical: Critical
    guards: tuple[Guard, ...]
    numbers: tuple[Reckoning, ...]
    hours: float = SHOP_HOURS
    """Of a shop day."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the guards found."""
        return tuple(finding for guard in self.guards for finding in guard.findings)

    def step(self, key: str) -> Step:
        """The step of that key.

        Raises:
            KeyError: There is none.
        """
        for step in self.steps:
            if step.key == key:
                return step
        raise KeyError(key)


def plan_work(
    cabinet: Cabinet,
    cutting: Cutting,
    painting: Painting | None = None,
    again: Collection[str] = (),
    wiring: Wiring | None = None,
) -> WorkPlan:
    """Return every step, arranged so that each tilt, fence, bit and stop is set as seldom as can be.

    Args:
        cabinet: The cabinet.
        cutting: Its sheets and battens.
        painting: Its coats; found if not given.
        again: Keys of pieces that are made but have to be made anew; what else is made needs no step.
        wiring: Its harness; found if not given.

    Source:
        Common practice; what needs what follows from pieces, cuts, seams, features and fastenings.
    """
    coats = painting_of(cabinet) if painting is None else painting
    shop = cabinet.project.shop
    steps = [
        _paced(step, shop.pace)
        for step in left_to_do(all_steps(cabinet, cutting, coats, wiring), cabinet, again)
    ]
    made: list[Step] = []
    for stage in MAKING:
        mine = [step for step in steps if step.stage == stage]
        if stage == "cut":
            # Sheets of one blade, then of the other, then battens: they share no setting.
            for kind in _Kind:
                made += arranged([step for step in mine if _kind(step) is kind])
        else:
            sawn = [
                step.setting.blade
                for step in made
                if step.setting and step.setting.machine == "table saw"
            ]
            made += arranged(mine, blade=sawn[-1] if sawn else "")
    minutes: dict[tuple[str, str], float] = {
        (str(machine), thing): settings_minutes(thing, machine) * shop.pace
        for machine, things in ADJUSTED.items()
        for thing in things
    } | {("table saw", "blade"): settings_minutes("saw_blade", "table saw") * shop.pace}
    rest = [step for step in steps if step.stage not in MAKING]
    timed = [*with_settings(made, minutes), *rest]
    hours = shop.hours or SHOP_HOURS
    order, slots = scheduled(timed, coats, hours=hours)
    by_key = {step.key: step for step in timed}
    numbered = tuple(
        replace(
            by_key[key],
            number=number,
            needs=tuple(need for need in dict.fromkeys(by_key[key].needs) if need in by_key),
        )
        for number, key in enumerate(order, start=1)
    )
    setups = setup_counts([step for step in numbered if step.stage in MAKING])
    critical = critical_path(numbered)
    days = shop_days(slots)
    return WorkPlan(
        numbered,
        setups,
        slots,
        days,
        critical,
        guards_of(cabinet, numbered),
        tuple(_numbers(numbered, setups, days, critical)),
        hours,
    )


def harness_of(cabinet: Cabinet) -> Wiring:
    """The harness of a cabinet, where it is not at hand."""
    routes = routes_of(cabinet)
    return wiring_of(cabinet, routes, power_loads(cabinet), light_of(cabinet, routes))


def all_steps(
    cabinet: Cabinet, cutting: Cutting, painting: Painting, wiring: Wiring | None = None
) -> list[Step]:
    """Every step, in no order yet, with all that it needs."""
    cut = cutting_steps(cabinet, cutting)
    freed = freed_by(cut)
    bevel = list(bevel_steps(cabinet, freed))
    sawn: dict[str, list[str]] = {piece: [key] for piece, key in freed.items()}
    for step in bevel:
        for piece in step.pieces:
            sawn.setdefault(piece, []).append(step.key)
    nested = {key for plan in cutting.plans for key in nested_parts(plan.blanks)}
    made = [*cut, *bevel, *shaping_steps(cabinet, sawn, nested)]
    return [*made, *assembly_steps(cabinet, made, painting, wiring or harness_of(cabinet))]


class _Kind(Enum):
    """What is cut in one go."""

    WOOD = "wood"
    PLASTICS = "plastics"
    BATTENS = "battens"


def _kind(step: Step) -> _Kind:
    if step.setting is None:
        return _Kind.WOOD
    if step.setting.machine == "miter saw":
        return _Kind.BATTENS
    return _Kind.PLASTICS if "plastics" in step.cautions else _Kind.WOOD


def _paced(step: Step, pace: float) -> Step:
    """Its minutes at this shop's pace; coats keep to the paint calendar's hour."""
    return step if step.key.startswith(COAT) else replace(step, minutes=step.minutes * pace)


def _numbers(
    steps: tuple[Step, ...],
    setups: tuple[SetupCount, ...],
    days: tuple[ShopDay, ...],
    critical: Critical,
) -> list[Reckoning]:
    last = max((day.number for day in days), default=0)
    table = "Minutes of each kind of job from one table, at the pace of `shop.pace`."
    terms = []
    for stage in STAGES:
        mine = [step for step in steps if step.stage == stage]
        if mine:
            terms.append(
                Term(f"{stage}, {counted(len(mine), 'step')}", sum(s.minutes for s in mine))
            )
    setting = sum(step.setup_minutes for step in steps)
    terms.append(Term("setting the machines", setting, key="work.setups"))
    machines = [one for one in setups if one.machine != "pieces"]
    return [
        total(
            "work.minutes",
            "time at the bench",
            terms,
            unit="min",
            rule=table,
            source="Common practice",
        ),
        total(
            "work.setups",
            "settings of the machines",
            [Term(f"{one.machine}, {one.thing}", one.count) for one in machines],
            unit="",
            rule="Everything is set once where needs allow it.",
        ),
        total(
            "work.setups_least",
            "settings that no order can undercut",
            [Term(f"{one.machine}, {one.thing}", one.least) for one in machines],
            unit="",
            rule="Different settings, and one more wherever needs go round in a ring.",
        ),
        total(
            "work.critical",
            "longest chain of steps that need each other",
            [
                Term("work along it", critical.busy_h),
                Term("drying along it", critical.drying_h),
            ],
            unit="h",
            rule="However many hands help, it does not go faster.",
        ),
        total(
            "work.days",
            "days from the first cut to the closed cabinet",
            [
                Term("days with work", len(days)),
                Term("days that only dry", last - len(days)),
            ],
            unit="",
            rule="One person, `shop.hours` a day.",
            source="Common practice",
        ),
    ]


__all__ = ["SHOP_HOURS", "WorkPlan", "all_steps", "harness_of", "plan_work"]
