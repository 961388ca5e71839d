"""How long something takes beside a reference that the same computer runs at the same moment.

Seconds differ several times from one computer to another, and from one minute to the next; how many times as long as a
fixed piece of work something takes does not. `python3 dev.py bench` tells seconds.
"""

from __future__ import annotations

import gc
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

TURNS = 3
BESIDE = 8
"""Runs of the reference before and after a piece of work, long enough together to feel the computer's moods."""
ORDINARY_S = 0.010
"""The reference on an ordinary desk computer. [s] Measured on one of two cores, both busy."""


def reference() -> int:
    """A fixed piece of work in plain Python, with objects and numbers made on the way."""
    table: dict[str, list[float]] = {}
    for n in range(20_000):
        table.setdefault(str(n % 512), []).append(n * 0.5)
    return len(table)


def times_reference(action: Callable[[], object], *, turns: int = TURNS) -> float:
    """Processor time of an action, in runs of the reference; the least of some turns, as disturbances only add.

    Time of this thread alone: what others do in the same process does not count.
    """
    return min(spent(action) / spent(reference) for _ in range(turns))


def within(times: float, action: Callable[[], object]) -> bool:
    """Whether an action takes no longer than so many runs of the reference, in one of some turns. Processor time.

    The reference is run before and after it, and the slower of the two means counts: a computer that changes its speed
    meanwhile slows both. What is slow is so every time; what was disturbed once is not again.
    """
    for _ in range(TURNS):
        before = _mean()
        took = spent(action)
        if took < times * max(before, _mean()):
            return True
    return False


def _mean() -> float:
    """Of some runs of the reference. [s]"""
    return sum(spent(reference) for _ in range(BESIDE)) / BESIDE


def slowness() -> float:
    """How many times as long as on an ordinary desk computer the reference takes here and now, with waiting.

    At least 1: what is promised for such a computer is never asked for sooner.
    """
    took = []
    for _ in range(TURNS):
        start = time.perf_counter()
        reference()
        took.append(time.perf_counter() - start)
    return max(1.0, sorted(took)[TURNS // 2] / ORDINARY_S)


def spent(action: Callable[[], object]) -> float:
    """Processor time of this thread. [s]"""
    with _undisturbed():
        start = time.thread_time()
        action()
        return time.thread_time() - start


@contextmanager
def _undisturbed() -> Iterator[None]:
    """No looking for rubbish meanwhile: that takes as long as all that earlier tests have left is large."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


__all__ = ["slowness", "times_reference", "within"]
