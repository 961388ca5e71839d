"""An exploration from beginning to end: what is kept is taken over, the rest worked out, each row kept at once."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Final

from casewright.planning.exploring import Row, Variant, best_of
from casewright.session.exploring.job import Job
from casewright.session.exploring.keeping import KeptRows
from casewright.session.exploring.workers import Done, rows_from_processes, usual_workers

LARGEST_CHUNK: Final = 128
"""Most variants handed to a worker at once: enough that neighbors share work, few enough that no worker waits long."""
CHUNKS_EACH: Final = 4
"""Chunks for each worker at least, so that all end at about the same time."""
ELSEWHERE_CHUNK: Final = 32
"""Most in one where nobody knows how many workers there are."""
KEEP_EVERY_S: Final = 1.0
"""Rows are written at least as often. [s]"""

Rows = Callable[[tuple[tuple[Variant, ...], ...]], Iterator[Done | None]]
"""Works out chunks of variants somewhere, and yields rows as they are done."""


@dataclass(frozen=True)
class Explored:
    """What an exploration came to."""

    job: Job
    rows: tuple[Row, ...]
    """Those that are worked out, by number."""
    taken_over: int = 0
    """How many of them were there before."""

    @property
    def is_whole(self) -> bool:
        """Whether all that was asked for is there."""
        return len(self.rows) == len(self.job.numbers)

    @property
    def best(self) -> frozenset[int]:
        """Numbers of the variants that no other one beats."""
        return best_of(self.rows, self.job.wishes.aims)


@dataclass
class Run:
    """An exploration that runs. Iterate over it: it yields what there is now, again and again, until it is done."""

    job: Job
    kept: KeptRows | None = None
    workers: int | None = None
    elsewhere: Rows | None = None
    """Works variants out in place of processes on this computer."""
    rows: dict[int, Row] = field(default_factory=dict)
    taken_over: int = 0
    _is_wanted: bool = True

    def stop(self) -> None:
        """Let it end soon; what is finished stays. From any thread."""
        self._is_wanted = False

    @property
    def result(self) -> Explored:
        """What there is so far."""
        rows = tuple(self.rows[number] for number in sorted(self.rows))
        return Explored(self.job, rows, self.taken_over)

    def __iter__(self) -> Iterator[int]:
        """Yield how many rows there are, whenever that may have changed.

        Raises:
            OutputError: Rows cannot be kept.
        """
        job = self.job
        variants = {number: job.space.variant(number) for number in job.numbers}
        if self.kept is not None:
            self.rows = self.kept.found(job.mark, tuple(variants.values()))
        self.taken_over = len(self.rows)
        yield self.taken_over
        left = [number for number in job.numbers if number not in self.rows]
        if not left:
            return
        workers = self.workers or usual_workers()
        most = ELSEWHERE_CHUNK if self.elsewhere else len(left) // (CHUNKS_EACH * workers)
        chunks = tuple(
            tuple(variants[number] for number in chunk)
            for chunk in job.space.chunks(left, min(max(most, 1), LARGEST_CHUNK))
        )
        unkept: list[Done] = []
        last = time.monotonic()
        source = (
            self.elsewhere(chunks)
            if self.elsewhere
            else rows_from_processes(job, chunks, workers=workers, wanted=lambda: self._is_wanted)
        )
        try:
            for done in source:
                if done is not None:
                    variant, row = done
                    self.rows[variant.number] = row
                    unkept.append(done)
                if time.monotonic() - last > KEEP_EVERY_S:
                    self._keep(unkept)
                    last = time.monotonic()
                yield len(self.rows)
                if not self._is_wanted:
                    return
        finally:
            self._keep(unkept)
            close = getattr(source, "close", None)
            if close is not None:
                close()

    def _keep(self, unkept: list[Done]) -> None:
        if self.kept is not None and unkept:
            self.kept.keep(self.job.mark, unkept)
        unkept.clear()


def explore(
    job: Job,
    *,
    kept: KeptRows | None = None,
    workers: int | None = None,
    elsewhere: Rows | None = None,
    progress: Callable[[int, int], None] = lambda done, all_: None,
) -> Explored:
    """Work all variants of a job out.

    Ctrl-C ends it early: what is finished is in the result, and kept.

    Args:
        job: What is asked for; see `job_of`.
        kept: Where rows are kept and found again.
        workers: Processes on this computer; one for each core if not given. The rows are the same for any number.
        elsewhere: Where variants are worked out instead; see `cluster.rows_from_cluster`.
        progress: Told how many of how many variants there are.

    Raises:
        OutputError: Rows cannot be kept, or the cluster cannot be reached.
    """
    run = Run(job, kept, workers, elsewhere)
    try:
        for done in run:
            progress(done, len(job.numbers))
    except KeyboardInterrupt:
        pass
    return run.result


__all__ = ["Explored", "Run", "explore"]
