"""Compare cutting layouts with published totals, a lower bound and a plain shelf packer.

    python bench/cutting.py              a fifth of the instances, usual effort: under a minute
    python bench/cutting.py --all --effort 2000

The instances are read from ../shared/bench/data beside the repository; its README names their papers.
"""

from __future__ import annotations

import argparse
import json
import time
from pathlib import Path
from typing import Any

from casewright.planning.cutting import Blank, Grain, SawLimits, Stock, plan_cuts

DATA = Path(__file__).resolve().parents[2] / "shared" / "bench" / "data"
MODES: dict[str, Grain] = {"fixed": "length", "rotate": "none"}
EVERY = {"berkey_wang_martello_vigo": 5, "gcut": 1, "ngcut": 1, "cgcut": 1, "beng": 2}
SLOW = ("cintra_gcut_d",)  # hundreds of parts each: only with --all


def shelves(parts: list[tuple[float, float]], length: float, width: float, turn: bool) -> int:
    """Sheets that first-fit decreasing height needs: shelves as high as their first part, in the first sheet with room.

    E. G. Coffman, M. R. Garey, D. S. Johnson, R. E. Tarjan, SIAM J. Computing 9 (1980), carried over to sheets. Parts
    that may turn are laid flat where they fit so.
    """
    laid = []
    for long, wide in parts:
        if turn and long < wide and wide <= length:
            long, wide = wide, long
        if turn and (long > length or wide > width):
            long, wide = wide, long
        laid.append((long, wide))
    rows: list[list[float]] = []  # sheet, height, free length
    room: list[float] = []
    for long, wide in sorted(laid, key=lambda p: (-p[1], -p[0])):
        for row in rows:
            if wide <= row[1] and long <= row[2]:
                row[2] -= long
                break
        else:
            sheet = next((i for i, free in enumerate(room) if free >= wide), len(room))
            if sheet == len(room):
                room.append(width)
            room[sheet] -= wide
            rows.append([sheet, wide, length - long])
    return len(room)


def run(instance: dict[str, Any], mode: str, effort: int) -> tuple[int, int, int, int | None]:
    """Sheets planned, the bound, sheets of the shelf packer, sheets known."""
    sheet = instance["sheet"]
    length, width = sheet["width"], sheet["height"]
    blanks = [
        Blank(p["id"], p["width"], p["height"], p["quantity"], MODES[mode])
        for p in instance["parts"]
    ]
    plan = plan_cuts(blanks, [Stock("sheet", length, width)], saw=SawLimits(0), effort=effort)
    assert not plan.unplaced
    parts = [(b.length, b.width) for b in blanks for _ in range(b.quantity)]
    peer = shelves(parts, length, width, mode == "rotate")
    records = instance.get("known", {})
    known = records.get(f"guillotine3_{mode}") or records.get(f"homogenous3_{mode}")
    return len(plan.sheets), plan.lower_bound, peer, known


def main() -> None:
    """Print one line a set and mode."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--all", action="store_true", help="every instance")
    parser.add_argument("--effort", type=int, default=200)
    options = parser.parse_args()
    if not DATA.is_dir():
        print("skipped: no instances at ../shared/bench/data")
        return
    print(
        f"{'set':27}{'parts':8}{'count':>6}{'sheets':>8}{'known':>7}{'bound':>7}{'shelves':>9}",
        end="",
    )
    print(f"{'to known':>10}{'to shelves':>12}{'s each':>8}")
    for name in (*EVERY, *SLOW) if options.all else EVERY:
        lines = (DATA / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()
        chosen = [json.loads(line) for line in lines[:: 1 if options.all else EVERY[name]]]
        for mode in MODES:
            start = time.perf_counter()
            results = [run(instance, mode, options.effort) for instance in chosen]
            each = (time.perf_counter() - start) / len(chosen)
            sheets, bound, peer = (sum(r[i] for r in results) for i in (0, 1, 2))
            known = sum(r[3] or 0 for r in results)
            ratio = f"{sheets / known:10.3f}" if known else f"{'-':>10}"
            print(
                f"{name:27}{mode:8}{len(chosen):6}{sheets:8}{known or '-':>7}{bound:7}{peer:9}"
                f"{ratio}{sheets / peer:12.3f}{each:8.2f}",
                flush=True,
            )


if __name__ == "__main__":
    main()
