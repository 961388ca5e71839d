"""What must come before what, as one number of bits a step: small sets that are quick to join and to compare."""

from __future__ import annotations

from collections.abc import Sequence
from graphlib import TopologicalSorter

from casewright.planning.work.step import Step


def earlier_steps(steps: Sequence[Step]) -> list[int]:
    """Return for each step the bits of all that must come before it, directly or not.

    Needs that name no step of the row are left out.

    Raises:
        graphlib.CycleError: Two steps wait for each other: a bug of ours, never of the input.
    """
    place = {step.key: index for index, step in enumerate(steps)}
    direct = [[place[key] for key in step.needs if key in place] for step in steps]
    before = [0] * len(steps)
    for index in TopologicalSorter(dict(enumerate(direct))).static_order():
        for need in direct[index]:
            before[index] |= before[need] | 1 << need
    return before


def direct_needs(steps: Sequence[Step]) -> list[int]:
    """Return for each step the bits of those that it names itself."""
    place = {step.key: index for index, step in enumerate(steps)}
    bits = []
    for step in steps:
        mine = 0
        for key in step.needs:
            if key in place:
                mine |= 1 << place[key]
        bits.append(mine)
    return bits


__all__ = ["direct_needs", "earlier_steps"]
