"""Thousands of variants of the main demo: how long one takes, and what a second worker brings.

Displays, widths, tilts, material and layouts of controls, every combination of them: 10,000 variants, walked as
`casewright explore` walks them. A stretch of them is timed and the rest reckoned from it, which is said; `--all` times
every one. Processor seconds of the workers are what an idle computer would take.
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "examples" / "library-duel.cabinet.yaml"
PLAN = ROOT / "examples" / "library-duel.explore.yaml"

VARIANTS = 10_000
TARGET_S = 120.0
"""For all of them on two cores. [s]"""
STRETCH = 400
"""Variants timed, from the middle of the walk: four shapes, each with all displays and layouts, as everywhere."""


def main(*, everything: bool = False) -> None:
    """Print the figures for one and two workers."""
    from casewright.session.exploring import job_of
    from casewright.session.exploring.running import LARGEST_CHUNK
    from casewright.session.exploring.workers import rows_from_processes

    job = job_of(DEMO, plan=PLAN)
    assert job.space.count == VARIANTS, job.space.count
    walk = job.space.walk(job.numbers)
    timed = VARIANTS if everything else STRETCH
    begin = (VARIANTS - timed) // 2 // 100 * 100  # at the beginning of a shape
    numbers = tuple(sorted(walk[begin : begin + timed]))
    print(
        f"Variants of the main demo: {VARIANTS}, of which {timed} are timed"
        + ("" if timed == VARIANTS else "; the times for all are reckoned from them")
    )
    rows: list[Any] = []
    taken = {}
    for workers in (1, 2):
        chunks = [
            [job.space.variant(number) for number in chunk]
            for chunk in job.space.chunks(numbers, LARGEST_CHUNK)
        ]
        cpu, begun = children_seconds(), time.perf_counter()
        done = [one[1] for one in rows_from_processes(job, chunks, workers=workers) if one]
        wall, cpu = time.perf_counter() - begun, children_seconds() - cpu
        taken[workers] = (wall, cpu)
        rows.append(sorted(done, key=lambda row: row.number))
        each = 1000 * cpu / timed
        print(
            f"  {workers} worker{'s' if workers > 1 else ' '} {wall:8.1f} s, {cpu:7.1f} s of processor, "
            f"{each:6.1f} ms each; all: {cpu / timed * VARIANTS / workers:6.0f} s on {workers} idle "
            f"core{'s' if workers > 1 else ''} (wall clock now: {wall / timed * VARIANTS:.0f} s)"
        )
    one, two = taken[1], taken[2]
    print(
        f"  two workers: {one[0] / two[0]:.2f} times as fast by the clock, "
        f"{two[1] / one[1]:.2f} times the processor time"
    )
    print(
        f"  target: {VARIANTS} in at most {TARGET_S:.0f} s on 2 cores, {1000 * 2 * TARGET_S / VARIANTS:.0f} ms each"
    )
    print(
        f"  the same rows: {'yes' if rows[0] == rows[1] else 'NO'}; "
        f"cannot be built: {sum(not row.is_built for row in rows[0])}"
    )
    loop = reference()
    print(f"  this computer: a loop of a million steps takes {loop:.0f} ms of processor time")


def children_seconds() -> float:
    """Processor time of all processes that were started and have ended. [s]"""
    times = os.times()
    return times.children_user + times.children_system


def reference() -> float:
    """A plain loop, to compare computers by. [ms]"""
    begun, total = time.process_time(), 0
    for number in range(1_000_000):
        total += number * number % 7
    return 1000 * (time.process_time() - begun)


__all__ = ["main"]


if __name__ == "__main__":
    main(everything="--all" in sys.argv)
