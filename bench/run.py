"""Figures: how long a build takes, stage by stage, beside peers run in the same call.

python3 dev.py bench            everything
python3 dev.py bench model      the main demo's model against plain builds of the same solids
python3 dev.py bench papers     the whole set of papers
python3 dev.py bench start      start-up and memory of the command and of the page
python3 dev.py bench cutting    layouts against published totals
python3 dev.py bench workbench  the page in a browser: usable, an edit seen, a drag, at rest
python3 dev.py bench explore    variants of the main demo by one and two workers; --all tries all 10,000
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from itertools import combinations
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "examples" / "library-duel.cabinet.yaml"
REPEATS = 7


def timed(
    action: Callable[[], object],
    *,
    repeats: int = REPEATS,
    before: Callable[[], None] | None = None,
) -> float:
    """Median time of an action, with `before` run untimed before each. [ms]"""
    times = []
    for _ in range(repeats):
        if before:
            before()
        start = time.perf_counter()
        action()
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times)


def row(name: str, ms: float, peer: float | None = None, target: str = "") -> None:
    """Print one figure."""
    ratio = f"{ms / peer:8.2f} x" if peer else " " * 10
    print(f"  {name:<58}{ms:9.1f} ms{ratio}   {target}")


def forget() -> None:
    """Empty every memo of the model, so that each run is a first one; files that were read stay read."""
    for name, module in tuple(sys.modules.items()):
        if not name.startswith("casewright.") or name.startswith("casewright.catalog."):
            continue
        for value in tuple(vars(module).values()):
            clear = getattr(value, "cache_clear", None)
            if callable(clear) and not isinstance(value, type):
                clear()


def bench_model() -> None:
    """The whole model, cold: geometry, solids, collisions, checks; against plain builds of the same solids."""
    from casewright.behavior.balance import weigh
    from casewright.behavior.whole import behavior_of
    from casewright.checks import Subject, run_checks
    from casewright.geometry.build import build_cabinet
    from casewright.geometry.collisions import find_collisions
    from casewright.workflow import densities, open_project, screw_sizes

    opened = open_project(DEMO)
    screws = screw_sizes(opened.catalog, opened.project.unit)

    def geometry() -> object:
        return build_cabinet(opened.project, opened.parts, screws)

    cabinet = build_cabinet(opened.project, opened.parts, screws)
    weights = densities(opened.catalog)
    collisions = find_collisions(cabinet)
    balance = weigh(cabinet, weights)
    behavior = behavior_of(cabinet, balance, opened.catalog)

    def whole() -> object:
        made = build_cabinet(opened.project, opened.parts, screws)
        found = find_collisions(made)
        behavior = behavior_of(made, weigh(made, weights), opened.catalog)
        return run_checks(Subject(made, opened.catalog, found, behavior))

    print("The main demo's whole model, nothing remembered")
    peer = timed(lambda: plain_manifold(cabinet), repeats=3)
    total = timed(whole, before=forget)
    row("reading the project file", timed(lambda: open_project(DEMO)))
    row("geometry: seams, pieces, features, bodies", timed(geometry, before=forget))
    row("solids and collisions", timed(lambda: find_collisions(cabinet), before=forget))
    row("mass and balance, solids remembered", timed(lambda: weigh(cabinet, weights)))

    fresh: list[Any] = []

    def first_time() -> None:
        """A rebuild from nothing, up to where the topics begin: nothing of theirs is remembered."""
        forget()
        made = build_cabinet(opened.project, opened.parts, screws)
        find_collisions(made)
        fresh[:] = [made, weigh(made, weights)]

    row(
        "behavior: all topics with 20,000 draws, added to a rebuild from nothing",
        timed(lambda: behavior_of(fresh[0], fresh[1], opened.catalog), before=first_time),
        target="target: at most 60 ms",
    )
    row(
        "behavior: all topics again",
        timed(lambda: behavior_of(cabinet, balance, opened.catalog)),
    )
    row("checks", timed(lambda: run_checks(Subject(cabinet, opened.catalog, collisions, behavior))))
    row(
        "whole model, solids, collisions, checks",
        total,
        peer,
        "target: at most 0.50 x, about 80 ms",
    )
    row("peer: plain manifold3d build, all pairs tested", peer)
    kernel = plain_kernel(cabinet)
    if kernel is None:
        print("  peer: B-rep kernel not installed (pip install 'casewright[cad]')")
    else:
        row("peer: B-rep kernel, same solids, all pairs boxed then tested", kernel)
        row("whole model beside the B-rep kernel", total, kernel)
    moved = [again(cabinet, opened, screws, weights, step) for step in (0.25, 0.5, 0.75, 1.0, 1.25)]
    row(
        "again after one control has moved: geometry, collisions",
        statistics.median(space for space, _ in moved),
        target="target: at most 25 ms",
    )
    row(
        "the same with mass, topics and checks",
        statistics.median(whole for _, whole in moved),
        target="target: at most 25 ms",
    )


def again(cabinet, opened, screws, weights, step: float) -> tuple[float, float]:  # type: ignore[no-untyped-def]
    """The model again after one button moved, the rest remembered: in space, and with all that is said of it. [ms]"""
    from casewright.behavior.balance import weigh
    from casewright.behavior.whole import behavior_of
    from casewright.checks import Subject, run_checks
    from casewright.geometry.build import build_cabinet
    from casewright.geometry.collisions import find_collisions

    project = opened.project
    part = project.parts["button"]
    first = part.placed[0]
    shifted = first.model_copy(update={"u": first.u + step})
    part = part.model_copy(update={"placed": (shifted, *part.placed[1:])})
    changed = project.model_copy(update={"parts": {**project.parts, "button": part}})
    start = time.perf_counter()
    made = build_cabinet(changed, opened.parts, screws)
    found = find_collisions(made)
    space = time.perf_counter()
    behavior = behavior_of(made, weigh(made, weights), opened.catalog)
    run_checks(Subject(made, opened.catalog, found, behavior))
    return 1000 * (space - start), 1000 * (time.perf_counter() - start)


def plain_manifold(cabinet) -> int:  # type: ignore[no-untyped-def]
    """The same solids the plain way: each feature a boolean, every pair intersected. Counts collisions."""
    from peers import plain_solid

    solids = [plain_solid(thing) for thing in (*cabinet.pieces, *cabinet.bodies)]
    return sum((a ^ b).volume() > 1.0 for a, b in combinations(solids, 2))


def plain_kernel(cabinet) -> float | None:  # type: ignore[no-untyped-def]
    """The same through the B-rep kernel, once. [ms]"""
    from peers import kernel_collisions

    from casewright.outputs.exports.step import has_cad

    if not has_cad():
        return None
    start = time.perf_counter()
    kernel_collisions(cabinet)
    return 1000 * (time.perf_counter() - start)


def bench_papers() -> None:
    """The whole set of papers, without STEP."""
    from casewright.workflow import make_papers, open_project, paper_named, work_out

    print("All papers of the main demo, without STEP")
    start = time.perf_counter()
    stages: list[tuple[str, float]] = []

    def told(stage: str) -> None:
        stages.append((stage, time.perf_counter()))

    worked = work_out(open_project(DEMO), progress=told)
    files = make_papers(worked, paper=paper_named("A4"), step=False, progress=told)
    end = time.perf_counter()
    for (name, begun), after in zip(stages, [*(t for _, t in stages[1:]), end], strict=True):
        row(name, 1000 * (after - begun))
    row(f"whole, {len(files)} files", 1000 * (end - start), target="target: at most 3000 ms")


def bench_start() -> None:
    """Start-up and memory of the command, each in a process of its own."""
    import starting

    starting.main()


def bench_cutting() -> None:
    """Layouts against published totals."""
    import cutting

    cutting.main()


def bench_workbench() -> None:
    """The page in a browser."""
    import workbench

    workbench.main()


def bench_explore(*, everything: bool = False) -> None:
    """Variants of the main demo."""
    import exploring

    exploring.main(everything=everything)


BENCHES: dict[str, Callable[[], None]] = {
    "model": bench_model,
    "papers": bench_papers,
    "start": bench_start,
    "cutting": bench_cutting,
    "workbench": bench_workbench,
    "explore": bench_explore,
}


def main(names: list[str]) -> int:
    """Run the named benches, or all."""
    if names == ["explore", "--all"]:
        bench_explore(everything=True)
        return 0
    unknown = [name for name in names if name not in BENCHES]
    if unknown:
        print(f"bench: no {', '.join(unknown)}; there are {', '.join(BENCHES)}", file=sys.stderr)
        return 2
    for name in names or BENCHES:
        BENCHES[name]()
        print()
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
