"""Compare cutting layouts with published totals, a lower bound, and packers run on the same parts for the same time.

    python bench/cutting.py                     every tenth instance, 1 s each
    python bench/cutting.py --all --seconds 1   all of them; about ten minutes
    python bench/cutting.py --effort 200        so many steps instead, as the command and the page take

The seconds are processor time, so that other work on the computer changes nothing; with `--effort` the result is the
same on every computer. Every layout goes through the separate checker, ../shared/tools/check_layout.py, whose figures
are printed: the largest offcut (mean share of a sheet, in %) and the stages (mean), with our fence settings (mean). The
instances are read from ../shared/bench/data beside the repository; its README names their papers.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import random
import time
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from pathlib import Path
from types import ModuleType
from typing import Any

from casewright.geometry.model import Cabinet
from casewright.planning.blanks import blanks_of, saw_of, whole_stock
from casewright.planning.cutting import (
    Blank,
    Grain,
    Profile,
    SawLimits,
    Stock,
    nested_blanks,
    plan_cuts,
    to_layout_json,
)
from casewright.planning.cutting.filling import ready_engine
from casewright.planning.nests import profile_of
from casewright.planning.setups import is_rectangle
from casewright.workflow import build_up, open_project, open_text, starter_text

SHARED = Path(__file__).resolve().parents[2] / "shared"
DATA = SHARED / "bench" / "data"
EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
GAP = 7.0
"""Between nested pieces: 2.5 mm left on both, and the jigsaw's cut. [mm]"""
FIRST = 0.05
"""What a first answer may take. [s]"""
MODES: dict[str, Grain] = {"fixed": "length", "rotate": "none"}
MAIN = "berkey_wang_martello_vigo"
SETS = {MAIN: 10, "gcut": 1, "ngcut": 1, "cgcut": 1, "beng": 1, "cintra_gcut_d": 2}
# ../shared/bench/published.md, the totals over all instances of this half: read there
PUBLISHED = {
    "fixed": "known 3519, ruin and recreate at 1 s 3525",
    "rotate": "known 3387, ruin and recreate at 1 s 3403",
}


def checker() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "check_layout", SHARED / "tools" / "check_layout.py"
    )
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


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


def general_packer(
    parts: list[tuple[float, float]],
    length: float,
    width: float,
    turn: bool,
    bound: int,
    seconds: float,
) -> int:
    """Sheets that rectpack needs for edge-to-edge layouts: every variant, then shuffled orders, while time lasts."""
    import rectpack  # comes as source alone, so it is not among the pins

    fits, splits = ("Baf", "Bssf", "Blsf"), ("Sas", "Las", "Slas", "Llas", "Maxas", "Minas")
    algorithms = [getattr(rectpack, f"Guillotine{f}{s}") for f, s in product(fits, splits)]
    orders = (
        rectpack.SORT_AREA,
        rectpack.SORT_LSIDE,
        rectpack.SORT_SSIDE,
        rectpack.SORT_PERI,
        rectpack.SORT_DIFF,
        rectpack.SORT_RATIO,
    )
    bins = (rectpack.PackingBin.BBF, rectpack.PackingBin.BFF)
    variants = list(product(orders, algorithms, bins))
    chance = random.Random(1)
    best = len(parts) + 1
    start = time.process_time()
    tried = 0
    while best > bound and (best > len(parts) or time.process_time() - start < seconds):
        order, algorithm, fill = variants[tried % len(variants)]
        given = list(parts)
        if tried >= len(variants):
            given.sort(key=lambda p: -p[0] * p[1] * (1 + chance.random()))
            order = rectpack.SORT_NONE
        tried += 1
        packer = rectpack.newPacker(
            mode=rectpack.PackingMode.Offline,
            bin_algo=fill,
            pack_algo=algorithm,
            sort_algo=order,
            rotation=turn,
        )
        for number, (long, wide) in enumerate(given):
            packer.add_rect(long, wide, number)
        packer.add_bin(length, width, count=len(parts))
        packer.pack()
        if len(packer.rect_list()) == len(parts):
            best = min(best, len(packer))
    return best


class Totals:
    """Sums over the instances of one set."""

    def __init__(self) -> None:
        self.count = self.sheets = self.known = self.bound = self.shelves = self.packer = 0
        self.proven = self.beaten = 0
        self.offcut = self.stages = self.fences = self.seconds = self.longest = 0.0


def run(
    instance: dict[str, Any], mode: str, options: argparse.Namespace, check: ModuleType, file: Path
) -> tuple[Any, ...]:
    sheet = instance["sheet"]
    length, width = sheet["width"], sheet["height"]
    grain = MODES[mode]
    blanks = [
        Blank(p["id"], p["width"], p["height"], p["quantity"], grain) for p in instance["parts"]
    ]
    start = time.process_time()
    plan = plan_cuts(
        blanks,
        [Stock("sheet", length, width)],
        saw=SawLimits(0),
        effort=options.effort or 200,
        seconds=None if options.effort else options.seconds,
        clock=time.process_time,
        keepable=(1e-3, 1e-3),
    )
    took = time.process_time() - start
    assert not plan.unplaced
    layout = json.loads(json.dumps(to_layout_json(plan, blanks, 0)))
    parts, stock = check.read_bench(str(file), instance["name"], mode == "fixed")
    violations, report = check.check(layout, parts, stock)
    assert not violations, (instance["name"], mode, violations)
    assert report["sheets"] == len(plan.sheets)
    return plan, report, took, [(b.length, b.width) for b in blanks for _ in range(b.quantity)]


def cabinets(count: int, seconds: float) -> None:
    """Part lists of seeded random cabinets, and of three alike cut together: how many are proven best in sheets."""
    proven = {1: 0, 3: 0}
    slowest = {1: 0.0, 3: 0.0}
    parts = 0
    for cabinet in typical(count):
        saw = saw_of(cabinet.project)
        for copies in proven:
            start = time.process_time()
            best = True
            for blanks, stock in lists_of(cabinet, copies):
                plan = plan_cuts(blanks, stock, saw=saw, seconds=seconds, clock=time.process_time)
                best &= plan.proven
                parts += copies * len(blanks) if copies == 1 else 0
            proven[copies] += best
            slowest[copies] = max(slowest[copies], time.process_time() - start)
    print(
        f"{count} random cabinets of {parts / count:.0f} pieces, {seconds:g} s a material: proven best in sheets "
        f"{proven[1]} (slowest {slowest[1]:.2f} s); three alike together {proven[3]} ({slowest[3]:.2f} s)"
    )


def typical(count: int) -> Iterator[Cabinet]:
    """Seeded random cabinets."""
    chance = random.Random(11)
    for number in range(count):
        recipe = ("tabletop", "standing", "lap", "box")[number % 4]
        text = starter_text(
            recipe,
            name=f"cabinet {number}",
            unit="in" if number % 3 == 2 else "mm",
            buttons=chance.randint(2, 8),
            width=float(chance.randrange(420, 900)),
        )
        yield build_up(open_text(text)).cabinet


def lists_of(cabinet: Cabinet, copies: int) -> Iterator[tuple[list[Blank], tuple[Stock, ...]]]:
    """What is cut of each material, for so many cabinets alike, and from what."""
    for key in cabinet.project.materials:
        blanks = [
            replace(blank, quantity=copies * blank.quantity) for blank in blanks_of(cabinet, key)
        ]
        stock = whole_stock(cabinet, key)
        if blanks and stock:
            yield blanks, stock


def first_answers(count: int) -> None:
    """How long the first answer takes where 50 ms are given, and whether a second would buy fewer sheets."""
    cabinets = [
        build_up(open_project(path)).cabinet for path in sorted(EXAMPLES.glob("*.cabinet.yaml"))
    ]
    for label, mine in (("examples", cabinets), (f"{count} random cabinets", typical(count))):
        took: list[float] = []
        more = pieces = 0
        for cabinet in mine:
            saw = saw_of(cabinet.project)
            for copies in (1, 3):
                for blanks, stock in lists_of(cabinet, copies):
                    plans = []
                    for seconds in (FIRST, 1.0):
                        start = time.process_time()
                        plans.append(
                            plan_cuts(
                                blanks, stock, saw=saw, seconds=seconds, clock=time.process_time
                            )
                        )
                        if seconds == FIRST:
                            took.append(time.process_time() - start)
                    more += plans[0].bought > plans[1].bought
                    pieces += sum(blank.quantity for blank in blanks)
        took.sort()
        print(
            f"first answer, {label}, one and three alike, {len(took)} lists of {pieces / len(took):.0f} pieces: half "
            f"in {1000 * took[len(took) // 2]:.0f} ms, 95 % in {1000 * took[int(0.95 * len(took))]:.0f} ms, "
            f"slowest {1000 * took[-1]:.0f} ms; fewer sheets after a second: {more}"
        )


def nests() -> None:
    """The examples' sides nested: smallest area over two blanks, its time, and a general library's strip."""
    general = importlib.util.find_spec("spyrrow") is not None
    for path in sorted(EXAMPLES.glob("*.cabinet.yaml")):
        cabinet = build_up(open_project(path)).cabinet
        sides = [p for p in cabinet.pieces if p.kind == "side" and not is_rectangle(p)]
        if len(sides) != 2:
            continue
        pair = [profile_of(side) for side in sides]
        apart = sum(p.polygon.envelope.area for p in pair)
        for either in (False, True):
            start = time.process_time()
            blank = nested_blanks(*pair, gap=GAP, either_face=either)[0]
            took = time.process_time() - start
            line = (
                f"nest, {path.name.split('.')[0]}{', either face up' if either else ''}: {blank.length:.0f} × "
                f"{blank.width:.0f} mm, {blank.length * blank.width / apart:.2f} of two blanks, {1000 * took:.0f} ms"
            )
            if general and all(p.turns == "half" for p in pair):
                length, took = general_nest(pair, blank, either)
                line += f"; spyrrow, as wide: {length:.0f} mm long, {1000 * took:.0f} ms"
            print(line, flush=True)


def general_nest(pair: list[Profile], blank: Blank, either: bool) -> tuple[float, float]:
    """Length of the strip as wide as a nest that spyrrow packs the same two into, and its processor time.

    It keeps its distance from the strip's edges too, so the strip is wider by that.
    """
    import spyrrow  # no part of the pins: the product does without

    shapes = [[(x, y) for x, y in profile.outline] for profile in pair]
    if either and blank.nested[1].face == "back":
        shapes[1] = [(-x, y) for x, y in shapes[1]]
    items = [spyrrow.Item(str(n), shape, 1, [0, 180]) for n, shape in enumerate(shapes)]
    strip = spyrrow.StripPackingInstance("", blank.width + 2 * GAP + 0.1, items)
    start = time.process_time()
    found = strip.solve(
        spyrrow.StripPackingConfig(
            min_items_separation=GAP, total_computation_time=60, num_workers=1, seed=1
        )
    )
    return found.width - 2 * GAP, time.process_time() - start


def main() -> None:
    """Print one line a set and mode."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--all", action="store_true", help="every instance")
    parser.add_argument("--seconds", type=float, default=1.0, help="processor time an instance")
    parser.add_argument("--effort", type=int, default=0, help="steps instead of seconds")
    parser.add_argument("--set", choices=list(SETS), help="one set only")
    parser.add_argument("--parts", choices=list(MODES), help="one way only")
    parser.add_argument("--no-peers", action="store_true", help="without the packers beside")
    parser.add_argument("--every", type=int, help="every so many-th instance")
    parser.add_argument("--worse", action="store_true", help="name what is above the known")
    options = parser.parse_args()
    if not DATA.is_dir():
        print("skipped: no instances at ../shared/bench/data")
        return
    start = time.process_time()
    engine = ready_engine()
    print(
        f"search {'compiled' if engine.compiled else 'as plain Python'}, "
        f"made ready in {time.process_time() - start:.1f} s; "
        + (f"{options.effort} steps" if options.effort else f"{options.seconds:g} s an instance")
    )
    check = checker()
    packs = importlib.util.find_spec("rectpack") is not None
    if not packs and not options.no_peers:
        print(
            "rectpack is not installed and left out; .venv/bin/python -m pip install rectpack==0.2.2 adds it"
        )
    print(
        f"{'set':27}{'parts':8}{'count':>6}{'sheets':>8}{'known':>7}{'bound':>7}{'proven':>8}"
        f"{'rectpack':>10}{'shelves':>9}{'offcut %':>10}{'stages':>8}{'fences':>8}{'s each':>8}"
    )
    if not options.set:
        first_answers(20)
        nests()
        cabinets(40, options.seconds)
    for name in [options.set] if options.set else SETS:
        file = DATA / f"{name}.jsonl"
        lines = file.read_text(encoding="utf-8").splitlines()
        step = 1 if options.all else options.every or SETS[name]
        chosen = [json.loads(line) for line in lines[::step]]
        for mode in [options.parts] if options.parts else MODES:
            t = Totals()
            above, below = [], []
            for instance in chosen:
                plan, report, took, parts = run(instance, mode, options, check, file)
                size = (instance["sheet"]["width"], instance["sheet"]["height"])
                records = instance.get("known", {})
                known = records.get(f"guillotine3_{mode}") or records.get(f"homogenous3_{mode}")
                t.count += 1
                t.sheets += plan.bought
                t.known += known or 0
                t.bound += plan.lower_bound
                t.proven += plan.bought == plan.lower_bound
                t.seconds += took
                t.stages += report["stages_finished"]
                t.fences += plan.fence_settings
                best = report["largest_offcut_mm"]
                t.offcut += best["width"] * best["height"] / size[0] / size[1] if best else 0
                if known and plan.bought != known:
                    (above if plan.bought > known else below).append(instance["name"])
                if not options.no_peers:
                    turn = mode == "rotate"
                    t.shelves += shelves(parts, *size, turn)
                    if packs:
                        t.packer += general_packer(
                            parts, *size, turn, plan.lower_bound, max(took, options.seconds)
                        )
            n = t.count
            print(
                f"{name:27}{mode:8}{n:6}{t.sheets:8}{t.known or '-':>7}{t.bound:7}{t.proven:8}"
                f"{t.packer or '-':>10}{t.shelves or '-':>9}{100 * t.offcut / n:10.1f}"
                f"{t.stages / n:8.2f}{t.fences / n:8.1f}{t.seconds / n:8.2f}",
                flush=True,
            )
            if name == MAIN and step == 1:
                print(f"{'':27}published: {PUBLISHED[mode]}")
            if options.worse:
                print(f"{'':27}above: {' '.join(above)}; below: {' '.join(below)}")


if __name__ == "__main__":
    main()
