"""The order of work in words, the same for the book, the command line and the workbench. Lengths stay marked."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from casewright.basics.wording import capital, counted
from casewright.planning.work import Setting, SetupCount, Stage, Step, WorkPlan

STAGE_TITLES: dict[Stage, str] = {
    "cut": "Cut",
    "bevel": "Bevel",
    "shape": "Saw out, rout and drill",
    "dry fit": "Dry fit",
    "glue": "Glue and screw",
    "paint": "Fill, seal and paint",
    "fit": "Fit the parts",
    "wire": "Wire",
    "test": "Test",
    "close": "Close",
}
_COUNTED = re.compile(r"⟦[^⟧]*⟧|\d+|(?<=hole)s|(?<=centre)s|(?<=place)s|(?<=pass)es")


@dataclass(frozen=True)
class SetupGroup:
    """Steps that follow each other with the machine as it stands."""

    words: str
    minutes: float
    """Of setting, before the first."""
    steps: tuple[Step, ...]


def setting_words(setting: Setting | None) -> str:
    """How the machine stands: "Drill: brad 2.2 mm, stop 9.0 mm"."""
    if setting is None:
        return "By hand"
    name = capital(setting.machine)
    values = setting.values
    if setting.machine == "table saw":
        tilt = values[0] if values[0] == "upright" else f"tilt {values[0]}"
        fence = values[1] if values[1].startswith("sled") else f"fence {values[1]}"
        return f"{name}: {tilt}, {fence}"
    if setting.machine == "guide rail saw":
        return f"{name}: {values[0]} from the edge"
    if setting.machine == "miter saw":
        return f"{name}: stop {values[0]}"
    if setting.machine == "jigsaw":
        return f"{name}: blade {values[0]}"
    if setting.machine == "router":
        depth = values[1] if values[1] == "right through" else f"depth {values[1]}"
        return f"{name}: {values[0]}, {depth}"
    return f"{name}: {values[0]}, " + (f"stop {values[1]}" if values[1] else "no stop")


def setup_groups(steps: Sequence[Step]) -> Iterator[SetupGroup]:
    """Neighbors in the order of work that share a setting."""
    run: list[Step] = []
    for step in steps:
        if run and setting_words(run[0].setting) != setting_words(step.setting):
            yield _group(run)
            run = []
        run.append(step)
    if run:
        yield _group(run)


def new_orders(step: Step, said: set[str]) -> list[str]:
    """Orders of a step that were not said with this setting before, but for counts and lengths; adds them to `said`."""
    orders = []
    for order in step.orders:
        bare = _COUNTED.sub("", order)
        if bare not in said:
            said.add(bare)
            orders.append(order)
    return orders


def hours_words(hours: float) -> str:
    """Hours and minutes, to five minutes: "3 h 20 min".

    Example:
        >>> hours_words(3.3), hours_words(0.07), hours_words(26)
        ('3 h 20 min', '5 min', '26 h')
    """
    minutes = max(5, 5 * round(hours * 12)) if hours > 0 else 0
    whole, rest = divmod(minutes, 60)
    if not whole:
        return f"{rest} min"
    return f"{whole} h" + (f" {rest} min" if rest else "")


def clock_words(hour: float, day: int) -> str:
    """When something is dry, seen from a day of the work: "16:30", "day 9, 14:00"."""
    there = int(hour // 24) + 1
    minutes = 5 * round((hour % 24) * 12)
    if minutes == 24 * 60:
        there, minutes = there + 1, 0
    clock = f"{minutes // 60}:{minutes % 60:02d}"
    return clock if there == day else f"day {there}, {clock}"


def setups_sentence(plan: WorkPlan) -> str:
    """How good the order is."""
    machines = [one for one in plan.setups if one.machine != "pieces"]
    count, least = sum(one.count for one in machines), sum(one.least for one in machines)
    settings = counted(count, "setting")
    if count == least:
        return f"{settings} of the machines; no order needs fewer."
    return f"{settings} of the machines; no order can do with fewer than {least}."


def setup_remark(one: SetupCount) -> str:
    """Why something is set more often than there are settings."""
    if one.thing == "blade" and one.machine == "table saw" and one.count > one.least:
        return "changed at tilts that wood and plastics share, so that no tilt is set twice"
    if one.machine == "pieces":
        return "marking out counts; settings go before turning"
    if one.count == one.least > one.distinct:
        return "what needs what leaves a setting and comes back to it"
    return ""


def _group(steps: Sequence[Step]) -> SetupGroup:
    return SetupGroup(
        setting_words(steps[0].setting), sum(s.setup_minutes for s in steps), tuple(steps)
    )


__all__ = [
    "STAGE_TITLES",
    "SetupGroup",
    "clock_words",
    "hours_words",
    "new_orders",
    "setting_words",
    "setup_groups",
    "setup_remark",
    "setups_sentence",
]
