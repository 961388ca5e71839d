"""Try to break the program, for as long as wanted: `python3 dev.py soak`.

python3 dev.py soak                        every part, 10 minutes in all
python3 dev.py soak cabinets --minutes 60  random cabinets: all laws, papers read back
python3 dev.py soak files                  hostile project, catalog, stock and shared files; lengths
python3 dev.py soak texts                  names with markup, formulas, scripts, through every output
python3 dev.py soak kills                  kill -9 while saving, ticking, taking stock, writing papers, exploring
python3 dev.py soak edits                  random edits, remembered against worked out from nothing
python3 dev.py soak server                 foreign hosts, wrong codes, large and slow requests, many pages

Options: --minutes N for each part named, --seed N, --workers N, --most N cases. What fails is kept under out/soak/;
the exit code is 1 then.
"""

from __future__ import annotations

import argparse
import importlib
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))  # the tests' laws and strategies are used here too

from soak.common import KEPT, MOST_TOLD, Budget, Tally, forget_kept, keep, processors, told  # noqa: E402

PARTS = ("cabinets", "files", "texts", "kills", "edits", "server")
MINUTES = 10.0


def main(arguments: list[str]) -> int:
    """Run the parts and say what came of it."""
    asked = argparse.ArgumentParser(
        prog="python3 dev.py soak", description=__doc__, allow_abbrev=False
    )
    asked.formatter_class = argparse.RawDescriptionHelpFormatter
    asked.add_argument("parts", nargs="*", metavar="PART", help=", ".join(PARTS))
    asked.add_argument("--minutes", type=float, help="for each part; default: 10 for all together")
    asked.add_argument("--seed", type=int, default=int(time.time()))
    asked.add_argument("--workers", type=int, default=processors())
    asked.add_argument("--most", type=int, help="cases after which a part ends")
    given = asked.parse_args(arguments)
    unknown = [part for part in given.parts if part not in PARTS]
    if unknown:
        asked.error(f"no part {unknown[0]!r}; there are: {', '.join(PARTS)}")
    if given.most is not None and given.most < 1:
        asked.error("--most takes a number of at least 1")
    parts = given.parts or PARTS
    minutes = given.minutes or MINUTES / (len(parts) if not given.parts else 1)
    budget = Budget(60 * minutes, given.seed, given.workers, given.most)
    print(f"{minutes:g} min a part, seed {budget.seed}, {budget.workers} workers", flush=True)
    failed = 0
    for part in parts:
        failed += len(one(part, budget).failures)
    return 1 if failed else 0


def one(part: str, budget: Budget) -> Tally:
    """Run one part and print its figures."""
    run: Callable[[Budget, Callable[[Tally], None]], Tally] = importlib.import_module(
        f"soak.{part}"
    ).run
    forget_kept(part)
    print(f"\n{part}", flush=True)
    start, last, kept = time.monotonic(), [0.0], [0]

    def tell(so_far: Tally) -> None:
        now = time.monotonic()
        if len(so_far.failures) > kept[0]:  # at once, so that a run which is ended loses none
            kept[0] = len(so_far.failures)
            keep(part, so_far)
        if now - last[0] > 30:
            last[0] = now
            bad = f", {len(so_far.failures)} failed" if so_far.failures else ""
            print(f"  {now - start:6.0f} s: {so_far.total} so far{bad}", flush=True)

    try:
        tally = run(budget, tell)
    except Exception as error:  # noqa: BLE001 - the other parts are run all the same
        tally = Tally(failures=[(f"{part} ended", told(error))])
    for sort, count in sorted(tally.tried.items()):
        slow = tally.slowest.get(sort, 0.0)
        print(f"  {sort:<44}{count:9d}" + (f"   slowest {slow:.2f} s" if slow else ""))
    print(f"  {'all, in':<44}{tally.total:9d}   {time.monotonic() - start:.0f} s")
    if tally.largest:
        print(f"  {'most memory of a process':<44}{tally.largest:9.0f} MB")
    paths = keep(part, tally)
    for (name, about), path in list(zip(tally.failures, paths, strict=True))[:MOST_TOLD]:
        last_line = about.strip().splitlines()[-1][:200] if about.strip() else ""
        print(f"  FAILED {name}: {last_line}  ({path.relative_to(KEPT.parent)})")
    if len(paths) > MOST_TOLD:
        print(f"  ... and {len(paths) - MOST_TOLD} more under {KEPT.relative_to(ROOT)}")
    print(f"  {'FAILED' if tally.failures else 'nothing failed'}", flush=True)
    return tally


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
