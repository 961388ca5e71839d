"""The order of work, derived from the cabinet: a graph of what needs what, walked once."""

from __future__ import annotations

from dataclasses import replace
from graphlib import TopologicalSorter

from casewright.geometry.model import Cabinet
from casewright.planning.blanks import Cutting
from casewright.planning.step import STAGES, Step
from casewright.planning.step_assembly import assembly_steps
from casewright.planning.step_making import bevel_steps, cutting_steps, shaping_steps


def plan_steps(cabinet: Cabinet, cutting: Cutting) -> tuple[Step, ...]:
    """Return every step in an order that can be worked.

    Each step follows all that it needs; of those that are ready, the earliest stage comes first, then the lowest rank,
    so that a tilt or a bit is set once and the order never depends on chance.

    Args:
        cabinet: The cabinet.
        cutting: Its sheets and battens.

    Source:
        Common practice; what needs what follows from pieces, seams, features and fastenings.
    """
    cut = list(cutting_steps(cabinet, cutting))
    bevel = list(bevel_steps(cabinet))
    shape = []
    for step in shaping_steps(cabinet):
        tilted = [earlier.key for earlier in bevel if set(earlier.pieces) & set(step.pieces)]
        shape.append(replace(step, needs=(*step.needs, *tilted)))
    made = [*cut, *bevel, *shape]
    return in_order([*made, *assembly_steps(cabinet, made)])


def in_order(steps: list[Step]) -> tuple[Step, ...]:
    """Number the steps so that each comes after what it needs.

    Raises:
        graphlib.CycleError: Two steps wait for each other: a bug of ours, never of the input.
    """
    by_key = {step.key: step for step in steps}
    graph = {step.key: [key for key in step.needs if key in by_key] for step in steps}
    place = {step.key: index for index, step in enumerate(steps)}
    sorter = TopologicalSorter(graph)
    sorter.prepare()
    ready = list(sorter.get_ready())
    ordered: list[Step] = []
    while ready:
        ready.sort(key=lambda key: (STAGES.index(by_key[key].stage), by_key[key].rank, place[key]))
        key = ready.pop(0)
        ordered.append(replace(by_key[key], needs=tuple(graph[key]), number=len(ordered) + 1))
        sorter.done(key)
        ready += sorter.get_ready()
    return tuple(ordered)


__all__ = ["Step", "in_order", "plan_steps"]
