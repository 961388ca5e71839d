"""An order of the work at the machines that sets each tilt, fence, bit and stop as seldom as possible.

What can be done without setting anything is done at once: that never costs. Then a machine must be set. A setting whose
steps can all be finished now, on a machine that has nothing left to do as it stands, is taken first; while there is
such a one, nothing is ever set twice. Only where needs go round in rings is there something to choose, and a few of the
best beginnings are followed side by side (a beam search, always the same for the same steps).

Among orders that set equally often, one that takes up another machine and turns pieces over less is taken.

Source: plain reasoning; `bounds.least_settings` says how far the result can be from the best.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from casewright.geometry.model import FaceName
from casewright.planning.work.bounds import least_settings
from casewright.planning.work.needs import direct_needs, earlier_steps
from casewright.planning.work.step import ADJUSTED, Machine, Setting, Step

BEAM = 12
"""Beginnings followed side by side."""


@dataclass(frozen=True)
class SetupCount:
    """How often one thing is set."""

    machine: str
    thing: str
    """ "tilt", "fence", "bit"; "turned over" of the pieces themselves."""
    count: int
    least: int
    """No order needs fewer."""
    distinct: int
    """So many different settings."""


def arranged(steps: Sequence[Step], *, blade: str = "") -> tuple[Step, ...]:
    """Return the steps in an order that can be worked and sets little; each after all that it needs.

    Args:
        steps: Steps whose needs, so far as they are in the row, form no ring.
        blade: The blade that is in the table saw.
    """
    if not steps:
        return ()
    return tuple(steps[index] for index in _Search(steps, blade).best())


def setup_counts(
    steps: Sequence[Step], *, before: Sequence[int] | None = None
) -> tuple[SetupCount, ...]:
    """How often each thing of each machine is set in this order, and how often it must be.

    Args:
        steps: In the order of work.
        before: As `earlier_steps` gives it for these steps; found if not given.
    """
    earlier = earlier_steps(steps) if before is None else before
    counts = []
    for machine, things in ADJUSTED.items():
        for depth, thing in enumerate(things):
            classes = [
                step.setting.level(depth)
                if step.setting and step.setting.machine == machine
                else None
                for step in steps
            ]
            if any(name and name[-1] for name in classes):
                counts.append(_counted(machine, thing, classes, earlier))
        if machine == "table saw" and any(step.setting and step.setting.blade for step in steps):
            blades = [
                (step.setting.blade or "usual",)
                if step.setting and step.setting.machine == machine
                else None
                for step in steps
            ]
            counts.append(_counted(machine, "blade", blades, earlier))
    turned = _turns(steps, earlier)
    return (*counts, *([turned] if turned else []))


def with_settings(steps: Sequence[Step], minutes: dict[tuple[str, str], float]) -> tuple[Step, ...]:
    """The steps with the minutes of setting before each, in this order.

    Args:
        steps: In the order of work.
        minutes: To set a thing, by machine and thing.
    """
    stands: dict[str, Setting] = {}
    blade = ""
    made = []
    for step in steps:
        setting, spent = step.setting, 0.0
        if setting is not None:
            known = stands.get(setting.machine)
            for depth, thing in enumerate(ADJUSTED[setting.machine]):
                if setting.values[depth] and (
                    known is None or known.level(depth) != setting.level(depth)
                ):
                    spent += minutes[setting.machine, thing]
            if setting.machine == "table saw" and setting.blade != blade:
                spent += minutes["table saw", "blade"]
                blade = setting.blade
            stands[setting.machine] = setting
        made.append(replace(step, setup_minutes=spent))
    return tuple(made)


def _counted(
    machine: str,
    thing: str,
    classes: Sequence[tuple[str, ...] | None],
    earlier: Sequence[int],
) -> SetupCount:
    count, last = 0, None
    for name in classes:
        if name is not None and name != last:
            count += bool(name[-1])  # a stop taken off is not set, but must be set anew
            last = name
    used = [name if name and name[-1] else None for name in classes]
    distinct = len({name for name in used if name is not None})
    return SetupCount(machine, thing, count, least_settings(used, earlier), distinct)


def _turns(steps: Sequence[Step], earlier: Sequence[int]) -> SetupCount | None:
    """How often a piece is turned over between two steps that need a face up."""
    keys = dict.fromkeys(key for step in steps if step.face for key in step.pieces[:1])
    count = least = distinct = 0
    for key in keys:
        classes = [(step.face,) if step.face and key == step.pieces[0] else None for step in steps]
        one = _counted("pieces", "turned over", classes, earlier)
        count += one.count - 1
        least += one.least - 1
        distinct += one.distinct - 1
    return SetupCount("pieces", "turned over", count, least, distinct) if keys else None


@dataclass(frozen=True)
class _State:
    """How far the work has come."""

    done: int
    stands: tuple[tuple[Machine, Setting], ...]
    order: tuple[int, ...]
    cost: int
    at: str
    """Machine that is at hand; "" before the first."""
    moves: int
    """How often another one was taken up."""
    turns: int
    faces: tuple[tuple[str, FaceName], ...]


class _Search:
    def __init__(self, steps: Sequence[Step], blade: str) -> None:
        self.steps = steps
        self.blade = blade
        self.needs = direct_needs(steps)
        self.all = (1 << len(steps)) - 1
        self.after: list[list[int]] = [[] for _ in steps]
        for index, bits in enumerate(self.needs):
            for need in range(len(steps)):
                if bits >> need & 1:
                    self.after[need].append(index)
        self.classes: dict[tuple[str, ...], int] = {}
        """Bits of the steps of each class at each level."""
        self.needed: dict[tuple[str, ...], int] = {}
        """All that must come before any step of a class."""
        self.by_hand = 0
        before = earlier_steps(steps)
        for index, step in enumerate(steps):
            if step.setting is None:
                self.by_hand |= 1 << index
            for name in self.levels(step):
                self.classes[name] = self.classes.get(name, 0) | 1 << index
                self.needed[name] = self.needed.get(name, 0) | before[index]

    @staticmethod
    def levels(step: Step) -> list[tuple[str, ...]]:
        """Classes of a step, from the coarse to the fine."""
        if step.setting is None:
            return []
        machine = step.setting.machine
        return [step.setting.level(depth) for depth in range(len(ADJUSTED[machine]))]

    def best(self) -> tuple[int, ...]:
        beam = [self.freely(_State(0, (), (), 0, "", 0, 0, ()))]
        while True:
            if beam[0].done == self.all:
                return beam[0].order
            grown: dict[tuple[int, tuple[tuple[Machine, Setting], ...]], _State] = {}
            for state in beam:
                if state.done == self.all:
                    grown[state.done, state.stands] = state
                    continue
                for setting in self.choices(state):
                    after = self.freely(self.set_to(state, setting))
                    place = (after.done, after.stands)
                    if place not in grown or self.price(after) < self.price(grown[place]):
                        grown[place] = after
            beam = sorted(grown.values(), key=self.price)[:BEAM]

    def price(self, state: _State) -> tuple[int, int, int, tuple[int, ...]]:
        """What it has cost and still must, at the least; machines changed and pieces turned; how far it has come."""
        left = {name for name, bits in self.classes.items() if bits & ~state.done}
        standing = {
            setting.level(depth)
            for machine, setting in state.stands
            for depth in range(len(ADJUSTED[machine]))
        }
        return (
            state.cost + len(left - standing),
            state.moves + state.turns,
            -state.done.bit_count(),
            state.order,
        )

    def choices(self, state: _State) -> list[Setting]:
        """Settings worth taking next: those that can be finished at once, or else all that could begin."""
        stands = dict(state.stands)
        ready: dict[Setting, int] = {}
        for index in self.ready(state.done):
            setting = self.steps[index].setting
            if setting is not None and setting not in ready:
                ready[setting] = index
        ranked: list[tuple[int, bool, int, float, int, Setting]] = []
        for setting, index in ready.items():
            known = stands.get(setting.machine)
            last = len(ADJUSTED[setting.machine]) - 1
            same = bool(known and last and known.level(0) == setting.level(0))
            left = [] if known is None else [known.level(last), *([] if same else [known.level(0)])]
            is_clear = all(not self.classes[name] & ~state.done for name in left)
            is_whole = self.can_finish(state, setting.level(last)) and (
                same or self.can_finish(state, setting.level(0))
            )
            grade = 2 if not (is_clear and is_whole) else 0 if same else 1
            step = self.steps[index]
            turned = self.turned_now(dict(state.faces), index)
            blade = (self.blade if known is None else known.blade) != setting.blade
            blade = blade and setting.machine == "table saw"
            moved = setting.machine != state.at
            ranked.append((grade, blade, moved + turned, step.rank, index, setting))
        ranked.sort(key=lambda one: one[:5])
        if ranked[0][0] < 2:
            return [ranked[0][5]]
        return [one[5] for one in ranked]

    def can_finish(self, state: _State, name: tuple[str, ...]) -> bool:
        """Whether all steps of a class can be done now, with others only that need no setting."""
        return not self.needed[name] & ~(state.done | self.classes[name] | self.by_hand)

    def set_to(self, state: _State, setting: Setting) -> _State:
        """The machine as it is set now."""
        stands = dict(state.stands)
        known = stands.get(setting.machine)
        cost = sum(
            known is None or known.level(depth) != setting.level(depth)
            for depth in range(len(ADJUSTED[setting.machine]))
            if setting.values[depth]
        )
        stands[setting.machine] = setting
        return replace(state, stands=tuple(sorted(stands.items())), cost=state.cost + cost)

    def freely(self, state: _State) -> _State:
        """All that can be done as the machines stand, pieces turned over as seldom as can be."""
        stands = dict(state.stands)
        faces = dict(state.faces)
        done, order, turns = state.done, list(state.order), state.turns
        at, moves = state.at, state.moves
        waiting = self.ready(done)
        while True:
            free = [
                index
                for index in waiting
                if (setting := self.steps[index].setting) is None
                or stands.get(setting.machine) == setting
            ]
            if not free:
                break
            index = min(
                free,
                key=lambda i: (
                    self.needless(i),
                    self.is_elsewhere(at, i) + self.turned_now(faces, i),
                    self.is_elsewhere(at, i),
                    self.steps[i].rank,
                    i,
                ),
            )
            step = self.steps[index]
            if step.setting is not None and step.setting.machine != at:
                moves += at != ""
                at = step.setting.machine
            if step.face is not None:
                turns += self.turned_now(faces, index)
                faces[step.pieces[0]] = step.face
            done |= 1 << index
            order.append(index)
            waiting.remove(index)
            waiting += [after for after in self.after[index] if not self.needs[after] & ~done]
        return _State(
            done, state.stands, tuple(order), state.cost, at, moves, turns, tuple(faces.items())
        )

    def needless(self, index: int) -> bool:
        """Steps with a setting first; hand work waits until something needs it, so that it stands next to that."""
        return self.steps[index].setting is None

    def is_elsewhere(self, at: str, index: int) -> bool:
        """Whether a step takes up another machine than the one at hand."""
        setting = self.steps[index].setting
        return setting is not None and setting.machine != at

    def turned_now(self, faces: dict[str, FaceName], index: int) -> int:
        """1 where the piece lies with its other face up."""
        step = self.steps[index]
        return int(step.face is not None and faces.get(step.pieces[0], step.face) != step.face)

    def ready(self, done: int) -> list[int]:
        """Steps that nothing is missing for."""
        return [i for i in _ones(self.all & ~done) if not self.needs[i] & ~done]


def _ones(bits: int) -> list[int]:
    found = []
    while bits:
        low = bits & -bits
        found.append(low.bit_length() - 1)
        bits ^= low
    return found


__all__ = ["BEAM", "SetupCount", "arranged", "setup_counts", "with_settings"]
