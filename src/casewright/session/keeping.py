"""Layouts that were found with more time, put into the project, so that the papers show them."""

from __future__ import annotations

import time
from collections.abc import Callable

from casewright.planning.blanks import (
    Cutting,
    plan_cutting,
    plans_by_material,
    saw_of,
    wishes_of,
)
from casewright.planning.cutting import better_plan
from casewright.workflow import Edits, Worked

PLACE = ("cutting", "kept")
_LEAP = 1e6
"""Further than any search may take. [s]"""


class StoppableClock:
    """A clock that leaps ahead once it is stopped, so that whatever goes by it comes to its end with what it has."""

    def __init__(self, clock: Callable[[], float] = time.perf_counter) -> None:
        self._clock = clock
        self._leapt = 0.0
        self.is_stopped = False

    def __call__(self) -> float:
        """The time; after `stop` each look at it is far later than the one before. [s]"""
        if self.is_stopped:
            self._leapt += _LEAP
        return self._clock() + self._leapt

    def stop(self) -> None:
        """End what goes by it; from any thread."""
        self.is_stopped = True


def looked_longer(
    worked: Worked,
    *,
    seconds: float | None = None,
    steps: int | None = None,
    clock: Callable[[], float] = time.perf_counter,
    tell: Callable[[str], None] = lambda label: None,
) -> Cutting:
    """Lay all pieces out again with more time or more steps.

    Args:
        worked: The cabinet as it is.
        seconds: For each material.
        steps: Of the search instead.
        clock: What tells the time; one that leaps ahead ends the search with what is found so far.
        tell: Told the label of each material as it is begun.
    """
    return plan_cutting(
        worked.cabinet, effort=steps, seconds=seconds, clock=clock, again=worked.again, tell=tell
    )


def keeping_edits(worked: Worked, found: Cutting) -> Edits:
    """The edits that keep what is better in a cutting than in the project as it stands; none where nothing is.

    Args:
        worked: The cabinet as it is.
        found: From `looked_longer`.
    """
    project, before = worked.opened.project, plans_by_material(worked.cutting)
    saw, wishes = saw_of(project), wishes_of(project)
    return {
        (*PLACE, one.material): list(one.plan.texts)
        for one in found.plans
        if better_plan(one.plan, before[one.material].plan, one.stock, saw=saw, wishes=wishes)
    }


__all__ = ["PLACE", "StoppableClock", "keeping_edits", "looked_longer"]
