"""What all parts of the soak share: a budget of time, a tally, batches on all processors."""

from __future__ import annotations

import os
import resource
import time
import traceback
from collections.abc import Callable
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass, field
from multiprocessing import get_context
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
KEPT = ROOT / "out" / "soak"
"""Where inputs that failed are kept."""
MOST_TOLD = 20
"""Failures told in words; all are kept."""


@dataclass
class Tally:
    """What a part, or a batch of it, has done."""

    tried: dict[str, int] = field(default_factory=dict)
    """How many, by sort."""
    failures: list[tuple[str, str]] = field(default_factory=list)
    """Name of what failed, and all that is known of it."""
    slowest: dict[str, float] = field(default_factory=dict)
    """Longest case, by sort. [s of processor time]"""
    largest: float = 0.0
    """Most memory that a process held. [MB]"""

    def count(self, sort: str, took: float = 0.0) -> None:
        """One more case."""
        self.tried[sort] = self.tried.get(sort, 0) + 1
        self.slowest[sort] = max(self.slowest.get(sort, 0.0), took)

    def fail(self, name: str, about: str) -> None:
        """A case that failed."""
        self.failures.append((name, about))

    def add(self, other: Tally) -> None:
        """Take in what a batch has done."""
        for sort, count in other.tried.items():
            self.tried[sort] = self.tried.get(sort, 0) + count
        for sort, took in other.slowest.items():
            self.slowest[sort] = max(self.slowest.get(sort, 0.0), took)
        self.failures += other.failures
        self.largest = max(self.largest, other.largest)

    @property
    def total(self) -> int:
        """All cases."""
        return sum(self.tried.values())


@dataclass(frozen=True)
class Budget:
    """How long a part may go on, and how."""

    seconds: float
    seed: int
    workers: int
    most: int | None = None
    """Cases after which it ends in any case."""


Batch = Callable[[int], Tally]
"""A batch of cases, from a seed; it must be a function of a module, so that another process finds it."""


def batches(batch: Batch, budget: Budget, tell: Callable[[Tally], None]) -> Tally:
    """Run batch after batch on all workers until the time is over or the cases are enough.

    Seeds are counted up from the budget's; which ones come to be used depends on the time, what each does does not.
    """
    total, ends, seed = Tally(), time.monotonic() + budget.seconds, budget.seed
    context = get_context("spawn")
    with ProcessPoolExecutor(budget.workers, mp_context=context, max_tasks_per_child=8) as pool:
        running: set[Future[Tally]] = set()
        while True:
            is_over = time.monotonic() >= ends or (
                budget.most is not None and total.total >= budget.most
            )
            while not is_over and len(running) < budget.workers:
                running.add(pool.submit(watched, batch, seed))
                seed += 1
            if not running:
                return total
            done, running = wait(running, return_when=FIRST_COMPLETED)
            for future in done:
                try:
                    total.add(future.result())
                except Exception as error:  # noqa: BLE001 - a worker that died is a failure of what it ran
                    total.fail(f"{batch.__name__} ended", repr(error))
            tell(total)


def watched(batch: Batch, seed: int) -> Tally:
    """A batch, and the most memory that its process has held."""
    tally = batch(seed)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    tally.largest = max(tally.largest, peak)
    return tally


def told(error: BaseException) -> str:
    """An error with its notes and where it came from."""
    return "".join(traceback.format_exception(error))


def keep(part: str, tally: Tally) -> list[Path]:
    """Write what failed under out/soak, so that it can be run again."""
    paths = []
    for number, (name, about) in enumerate(tally.failures, start=1):
        path = KEPT / f"{part}-{number}.txt"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"{name}\n\n{about}\n", encoding="utf-8", errors="backslashreplace")
        paths.append(path)
    return paths


def forget_kept(part: str) -> None:
    """Take away what an earlier run kept."""
    for path in KEPT.glob(f"{part}-*.txt"):
        path.unlink()


def processors() -> int:
    """How many there are to use."""
    return max(1, len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1)
