"""When each step is done by one person: shop days, what dries meanwhile, and the chain that decides the end.

Hours are counted from midnight of the first day, as the paint calendar counts its own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from casewright.behavior.painting import FIRST_HOUR, Painting
from casewright.planning.work.painting import coat_keys
from casewright.planning.work.step import MAKING, STAGES, Step

EPS = 1e-9


@dataclass(frozen=True)
class Slot:
    """A step in its time."""

    step: str
    start_h: float
    end_h: float
    """The hands are free again then, or the day is over."""
    ready_h: float
    """It is dry then."""
    is_last: bool = True
    """False of a step longer than a shop day, where it goes on another day."""

    @property
    def day(self) -> int:
        """Day of the work it falls on, from 1."""
        return int((self.start_h + EPS) // 24) + 1


@dataclass(frozen=True)
class ShopDay:
    """What is done on one day."""

    number: int
    steps: tuple[str, ...]
    busy_h: float
    drying: tuple[tuple[str, float], ...]
    """Steps that still dry when the work of the day is over, and the hour when they are dry."""


@dataclass(frozen=True)
class Critical:
    """The chain of needs that takes longest, nights and tired hands left aside."""

    steps: tuple[str, ...]
    busy_h: float
    drying_h: float

    @property
    def hours(self) -> float:
        """Work and drying along it."""
        return self.busy_h + self.drying_h


def scheduled(
    steps: Sequence[Step], painting: Painting, *, hours: float
) -> tuple[tuple[str, ...], tuple[Slot, ...]]:
    """Return the order in which one person takes the steps, and the time of each.

    The making keeps its order. Afterwards, within a stage, what is dry goes first; what is not is waited for only when
    nothing else can be done. Coats begin in the morning of a day and keep to the hours of the paint calendar.

    Args:
        steps: Those at the machines in their order, then the others.
        painting: The paint calendar.
        hours: Of a shop day.
    """
    return _Shop(steps, painting, hours).work()


class _Shop:
    def __init__(self, steps: Sequence[Step], painting: Painting, hours: float) -> None:
        self.steps = steps
        self.hours = hours
        self.place = {step.key: index for index, step in enumerate(steps)}
        self.ready: dict[str, float] = {}
        self.now = float(FIRST_HOUR)
        self.order: list[str] = []
        self.slots: list[Slot] = []
        sittings = [s for s in painting.sittings if s.kind != "harden"]
        coats = coat_keys(steps)  # none are left once every piece is painted
        self.sittings = dict(zip(coats, sittings, strict=True)) if coats else {}
        self.first_coat: float | None = None
        """Midnight before the first coat."""

    def work(self) -> tuple[tuple[str, ...], tuple[Slot, ...]]:
        for stage in STAGES:
            waiting = [step for step in self.steps if step.stage == stage]
            while waiting:
                step = waiting[0] if stage in MAKING else self.next(waiting)
                waiting.remove(step)
                self.do(step)
        return tuple(self.order), tuple(self.slots)

    def next(self, waiting: Sequence[Step]) -> Step:
        """The step that can begin first; of those that can begin at once the lowest rank."""
        ready = [
            step
            for step in waiting
            if all(k in self.ready or k not in self.place for k in step.needs)
        ]
        return min(
            ready,
            key=lambda step: (max(self.earliest(step), self.now), step.rank, self.place[step.key]),
        )

    def earliest(self, step: Step) -> float:
        return max((self.ready[key] for key in step.needs if key in self.ready), default=0.0)

    def do(self, step: Step) -> None:
        if step.key in self.sittings:
            self.coat(step)
            return
        left = step.busy_h
        start = self.opened(max(self.now, self.earliest(step)), left)
        while left > self.hours + EPS:
            # Longer than a day: it goes on the next one.
            end = self.closing(start)
            self.slots.append(Slot(step.key, start, end, end, is_last=False))
            left -= end - start
            start = self.opened(end, left)
        self.put(step, start, start + left)

    def coat(self, step: Step) -> None:
        sitting = self.sittings[step.key]
        if self.first_coat is None:
            day = max(self.now, self.earliest(step)) // 24
            if day * 24 + sitting.start_h < max(self.now, self.earliest(step)) - EPS:
                day += 1
            self.first_coat = day * 24
        start = self.first_coat + sitting.start_h
        self.put(step, start, start + step.busy_h)

    def put(self, step: Step, start: float, end: float) -> None:
        self.ready[step.key] = end + step.dry_h
        self.slots.append(Slot(step.key, start, end, end + step.dry_h))
        self.order.append(step.key)
        self.now = end

    def opened(self, hour: float, needed: float) -> float:
        """The first hour from then on at which so much work fits into the day; a long one begins in the morning."""
        day, of_day = divmod(hour + EPS, 24)
        of_day = max(of_day - EPS, FIRST_HOUR)
        fits = of_day + min(needed, self.hours) <= FIRST_HOUR + self.hours + EPS
        return day * 24 + of_day if fits else (day + 1) * 24 + FIRST_HOUR

    def closing(self, hour: float) -> float:
        return (hour + EPS) // 24 * 24 + FIRST_HOUR + self.hours


def shop_days(slots: Sequence[Slot]) -> tuple[ShopDay, ...]:
    """Days on which something is done, with what dries over night."""
    days = []
    for number in sorted({slot.day for slot in slots}):
        mine = [slot for slot in slots if slot.day == number]
        over = max(slot.end_h for slot in mine)
        drying = tuple(
            (slot.step, slot.ready_h)
            for slot in slots
            if slot.is_last and slot.end_h <= over + EPS and slot.ready_h > over + EPS
        )
        days.append(
            ShopDay(
                number,
                tuple(dict.fromkeys(slot.step for slot in mine)),
                sum(slot.end_h - slot.start_h for slot in mine),
                drying,
            )
        )
    return tuple(days)


def critical_path(steps: Sequence[Step]) -> Critical:
    """Return the chain of steps, each needed by the next, that takes longest with its drying.

    Args:
        steps: In the order of work, each after all that it needs.

    Source:
        Kelley and Walker, Critical-path planning and scheduling, 1959: longest path through what needs what; from
        memory.
    """
    finish: dict[str, float] = {}
    before: dict[str, str] = {}
    by_key: Mapping[str, Step] = {step.key: step for step in steps}
    for step in steps:
        known = [key for key in step.needs if key in finish]
        latest = max(known, key=lambda key: (finish[key], key), default="")
        finish[step.key] = step.busy_h + step.dry_h + (finish[latest] if latest else 0.0)
        if latest:
            before[step.key] = latest
    if not finish:
        return Critical((), 0.0, 0.0)
    key = max(finish, key=lambda name: (finish[name], name))
    chain = [key]
    while chain[-1] in before:
        chain.append(before[chain[-1]])
    chain.reverse()
    return Critical(
        tuple(chain),
        sum(by_key[key].busy_h for key in chain),
        sum(by_key[key].dry_h for key in chain),
    )


__all__ = ["Critical", "ShopDay", "Slot", "critical_path", "scheduled", "shop_days"]
