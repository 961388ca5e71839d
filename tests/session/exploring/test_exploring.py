"""Explorations: rows that agree with the project's own figures, kept rows, processes that end, variants picked."""

from __future__ import annotations

import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest
from tests.session.projects import DEMO
from tests.session.projects import SMALL as SHUT

from casewright.basics.errors import InputError, InputErrors, OutputError
from casewright.basics.findings import Severity
from casewright.planning.exploring import Row
from casewright.session.exploring import (
    Base,
    Job,
    KeptRows,
    Run,
    explore,
    job_of,
    job_with,
    try_variant,
    trying,
)
from casewright.session.exploring.orders import base_order, tried, variant_order
from casewright.session.exploring.picking import pick_text, write_pick
from casewright.session.exploring.workers import rows_from_processes
from casewright.workflow import open_project, open_text, work_out

SMALL = SHUT.replace("role: back}", "role: back, fixing: screwed}")
"""With a panel that comes off, as most have: no order of work is needed to tell its findings."""
ROOT = Path(__file__).parents[3]
WIDTHS = "shape.width=280 to 320 by 20"


def small_in(folder: Path) -> Path:
    path = folder / "small.cabinet.yaml"
    path.write_text(SMALL, encoding="utf-8")
    return path


def small_job(folder: Path, *vary: str, **more: object) -> Job:
    return job_of(small_in(folder), vary=vary or (WIDTHS,), **more)  # type: ignore[arg-type]


def in_this_process(job: Job) -> list[Row]:
    return [try_variant(job.base, job.space.variant(n), job.wishes.shown) for n in job.numbers]


def printed_by(*words: str, folder: Path) -> dict[str, object]:
    """What the command itself says, in a process that remembers nothing."""
    done = subprocess.run(
        [sys.executable, "-m", "casewright", *words, "--json"],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        capture_output=True,
        check=False,
    )
    assert done.returncode in (0, 1), done.stderr
    told: dict[str, object] = json.loads(done.stdout)
    return told


DEMO_VARY = (
    "shape.width=690 to 720 by 10",
    "shape.corners.G.0=246 to 254 by 4",
    "materials.ply12.measured=11.5, 11.8",
    "parts.screen-display.measured.lit_width=520, 527",
    "parts.button.placed.red1.u=138.3 to 142.3 by 2",
    "parts.lever.placed.lever1.v=110, 125",
)


@pytest.fixture(scope="module")
def demo_rows() -> tuple[Job, list[Row]]:
    """A sample of the main demo's variants, tried one after the other as a worker does it."""
    job = job_of(DEMO, vary=DEMO_VARY, sample=5, seed=5, shown=["deck.length", "work.hours"])
    numbers = job.space.walk(job.numbers)
    return job, [try_variant(job.base, job.space.variant(n), job.wishes.shown) for n in numbers]


def test_every_figure_is_the_projects_own(demo_rows: tuple[Job, list[Row]]) -> None:
    """Each variant's file read and worked out anew, with all remedies: to the last digit."""
    job, rows = demo_rows
    for row in rows:
        worked = work_out(open_text(pick_text(job, row.number), file=str(DEMO)))
        figures = row.figures
        assert row.is_built
        assert figures["cost"] == worked.shopping.cost.value
        assert figures["mass"] == worked.numbers["cabinet.mass"].value
        assert figures["deck.length"] == worked.numbers["deck.length"].value
        assert figures["sheets"] == sum(plan.plan.bought for plan in worked.cutting.plans)
        assert figures["sight"] == 100 * min(
            number.value
            for key, number in worked.numbers.items()
            if key.startswith("sight.display.") and key.endswith(".share")
        )
        for key, severity in (
            ("stops", Severity.STOP),
            ("cautions", Severity.CAUTION),
            ("notes", Severity.NOTE),
        ):
            found = sum(finding.severity is severity for finding in worked.findings)
            assert figures[key] == found, (row.number, key)


def test_the_command_says_the_same_of_a_variant(
    demo_rows: tuple[Job, list[Row]], tmp_path: Path
) -> None:
    """`casewright check` in a process of its own, on the written file."""
    job, rows = demo_rows
    row = random.Random(3).choice(rows)
    write_pick(job, row.number, tmp_path / "one.cabinet.yaml")
    told = printed_by("check", "one.cabinet.yaml", folder=tmp_path)
    findings = told["findings"]
    assert isinstance(findings, list)
    count = {
        severity: sum(one["severity"] == severity.value for one in findings)
        for severity in Severity
    }
    assert [row.figures[key] for key in ("stops", "cautions", "notes")] == [
        count[severity] for severity in (Severity.STOP, Severity.CAUTION, Severity.NOTE)
    ]


def test_rows_are_the_same_for_any_number_of_workers(tmp_path: Path) -> None:
    vary = ("shape.width=280 to 360 by 40", "parts.button.placed.go.u=60 to 100 by 20")
    job = small_job(tmp_path, *vary)
    wanted = in_this_process(job)
    for workers in (2,):
        seen: list[int] = []
        told = seen.append
        explored = explore(job, workers=workers, progress=lambda done, of, told=told: told(done))
        assert explored.is_whole and list(explored.rows) == wanted
        assert seen[0] == 0 and seen[-1] == len(wanted) and seen == sorted(seen)
    assert {row.number for row in wanted if not row.is_built} == set(), "all of these stand"


def test_what_cannot_be_built_is_a_row_with_its_reason(tmp_path: Path) -> None:
    job = small_job(
        tmp_path,
        "shape.width=10, 300, -5, nonsense, 1e9",
        "parts.button.type=button-28-long-lit, no-such-button",
    )
    rows = in_this_process(job)
    built = [row.number for row in rows if row.is_built]
    assert built and all(rows[n - 1].choices["shape.width"] == "300" for n in built)
    assert all(row.reason and not row.figures for row in rows if not row.is_built)
    assert any("no-such-button" in row.reason for row in rows)
    assert job.space.count == 10


def test_a_fault_of_our_own_is_a_row_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stumbles(*_: object, **__: object) -> None:
        raise ZeroDivisionError("oh")

    job = small_job(tmp_path)
    monkeypatch.setattr(trying, "work_out", stumbles)
    assert "ZeroDivisionError" in try_variant(job.base, job.space.variant(1)).reason


def test_wild_values_never_stop_a_worker(tmp_path: Path) -> None:
    """Seeded nonsense at many places of the file: a row for each."""
    draw = random.Random(11)
    values: list[object] = [0, -1, 1e6, "", "abc", None, [], {}, True, "3/4 in", 17.5]
    places = {
        "shape.corners.B.0": "200",
        "materials.ply.measured": "11.8",
        "panels.front.role": "door",
        "parts.button.placed.go.v": "60",
        "seams.0.rule": "miter",
        "shop.kerf": "3.2",
    }
    job = job_with(
        Base.of(SMALL),
        vary=[
            f"{place}={usual}, {json.dumps(draw.sample(values, 2))[1:-1]}"
            for place, usual in places.items()
        ],
        sample=60,
    )
    rows = in_this_process(job)
    assert len(rows) == 60 and all(bool(row.reason) != bool(row.figures) for row in rows)
    assert not [row.reason for row in rows if "stumbled" in row.reason]


def test_finished_variants_are_not_worked_out_again(tmp_path: Path) -> None:
    kept = KeptRows(tmp_path / "kept" / "rows.sqlite")
    job = small_job(tmp_path)
    first = explore(job, kept=kept, workers=1)
    assert first.taken_over == 0 and first.is_whole

    def nobody(chunks: object) -> object:
        raise AssertionError("nothing is left to do")

    again = explore(job, kept=kept, elsewhere=nobody)  # type: ignore[arg-type]
    assert again.taken_over == 3 and again.rows == first.rows
    wider = small_job(tmp_path, "shape.width=260 to 320 by 20")
    assert len(kept.found(wider.mark, [wider.space.variant(n) for n in wider.numbers])) == 3
    changed = job_with(Base.of(SMALL.replace("11.8", "11.9")), vary=[WIDTHS])
    assert not kept.found(changed.mark, [changed.space.variant(n) for n in changed.numbers])
    assert kept.forget(but=changed.mark) == 3


def test_a_killed_exploration_goes_on_where_it_was(tmp_path: Path) -> None:
    """kill -9 in the midst of it; whatever was written is there, and only the rest is worked out."""
    file = small_in(tmp_path)
    words = ["explore", file.name, "--vary", "shape.width=280 to 900 by 1", "--workers", "1"]
    keep = tmp_path / "rows.sqlite"
    killed = subprocess.Popen(
        [sys.executable, "-m", "casewright", *words, "--keep", str(keep), "--json"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        stdout=subprocess.DEVNULL,
        start_new_session=True,
    )

    def count() -> int:
        if not keep.exists():
            return 0
        try:
            with sqlite3.connect(keep) as database:
                return int(database.execute("SELECT count(*) FROM rows").fetchone()[0])
        except sqlite3.Error:
            return 0  # not made yet

    deadline = time.monotonic() + 60
    while count() == 0 and time.monotonic() < deadline:
        time.sleep(0.02)
    workers = children_of(killed.pid)
    os.kill(killed.pid, signal.SIGKILL)
    killed.wait()
    there = count()
    job = job_of(file, vary=["shape.width=280 to 900 by 1"])
    assert 0 < there < len(job.numbers) == 621
    kept = KeptRows(keep)
    begun = [job.space.variant(n) for n in job.numbers]
    found = kept.found(job.mark, begun)
    assert len(found) == there
    for number in random.Random(1).sample(sorted(found), min(3, there)):
        assert found[number] == try_variant(job.base, job.space.variant(number))
    asked: list[int] = []

    def here(chunks: object) -> object:
        for chunk in chunks:  # type: ignore[attr-defined]
            for variant in chunk:
                asked.append(variant.number)
                yield variant, Row(variant.number, variant.choices, {"cost": 1.0})

    explored = explore(job, kept=kept, elsewhere=here)  # type: ignore[arg-type]
    assert explored.is_whole and explored.taken_over == there
    assert sorted(asked) == sorted(set(job.numbers) - set(found))
    for worker in workers:  # their input ended with the program that was killed
        assert ended(worker), "no process is left behind"


def children_of(process: int) -> list[int]:
    try:
        told = Path(f"/proc/{process}/task/{process}/children").read_text(encoding="ascii")
    except OSError:
        return []
    return [int(word) for word in told.split()]


def ended(process: int) -> bool:
    deadline = time.monotonic() + 30
    while time.monotonic() < deadline:
        try:
            os.kill(process, 0)
            if Path(f"/proc/{process}/stat").read_text(encoding="ascii").split(") ")[1][0] == "Z":
                return True
        except OSError:
            return True
        time.sleep(0.05)
    return False


def test_a_worker_that_dies_costs_one_variant_at_most(tmp_path: Path) -> None:
    """Killed by whoever is out of memory: its work goes on in another process."""
    job = small_job(tmp_path, "shape.width=280 to 320 by 4")
    variants = tuple(job.space.variant(n) for n in job.numbers)
    rows: list[Row] = []
    source = rows_from_processes(job, [variants], workers=1)
    for done in source:
        if done is None:
            continue
        rows.append(done[1])
        if len(rows) == 1:
            for child in children_of_this():
                os.kill(child, signal.SIGKILL)
    assert sorted(row.number for row in rows) == list(job.numbers)
    assert sum(not row.is_built for row in rows) == 0


def children_of_this() -> list[int]:
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            told = (folder / "cmdline").read_bytes()
            parent = int((folder / "stat").read_text().rpartition(") ")[2].split()[1])
        except OSError:
            continue
        if parent == os.getpid() and b"casewright.session.exploring.worker" in told:
            found.append(int(folder.name))
    return found


def test_stopping_keeps_what_is_finished(tmp_path: Path) -> None:
    job = small_job(tmp_path, "shape.width=280 to 900 by 1")
    run = Run(job, KeptRows(tmp_path / "rows.sqlite"), workers=1)
    for done in run:
        if done >= 3:
            run.stop()
    there = len(run.result.rows)
    assert 3 <= there < 621 and not run.result.is_whole
    found = KeptRows(tmp_path / "rows.sqlite").found(
        job.mark, [job.space.variant(n) for n in job.numbers]
    )
    assert len(found) == there and not children_of_this()


def test_rows_that_cannot_be_kept_are_told_of(tmp_path: Path) -> None:
    (tmp_path / "rows.sqlite").write_text(
        "no data base at all, but long enough to look like one" * 20
    )
    job = small_job(tmp_path)
    with pytest.raises(OutputError):
        explore(job, kept=KeptRows(tmp_path / "rows.sqlite"), workers=1)


PLAN = """\
vary:
  - {at: shape.width, values: 280 to 320 by 20}   # over both sides
  - label: button
    choices:
      as drawn: {}
      higher: {parts.button.placed.go.v: 80}
      none: {parts.button: null, extras.plug: 2}
show: [front.length]
aims: [cost, mass, front.length more]
sample: 8
"""


def test_a_plan_file_beside_the_project(tmp_path: Path) -> None:
    file = small_in(tmp_path)
    (tmp_path / "small.explore.yaml").write_text(PLAN, encoding="utf-8")
    job = job_of(file)
    assert job.space.count == 9 and len(job.numbers) == 8
    rows = in_this_process(job)
    assert [row.choices["button"] for row in rows if row.number in (1, 2, 3)] == [
        choice for choice in ("as drawn", "higher", "none")
    ][: sum(row.number in (1, 2, 3) for row in rows)]
    front = {row.choices["shape.width"]: row.figures["front.length"] for row in rows}
    assert front == {"280": 280 - 2 * 11.8, "300": 300 - 2 * 11.8, "320": 320 - 2 * 11.8}
    without = [row for row in rows if row.choices["button"] == "none"]
    assert all(row.is_built for row in rows) and without
    assert job_of(file, vary=["shape.width=300, 310"], sample=4).space.count == 2
    both = job_of(file, plan=tmp_path / "small.explore.yaml", vary=["shape.width=300, 310"])
    assert both.space.count == 6, "the option takes the place of the plan's own"


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("280 to 320 by 20", "280 to 320", 2),
        ("shape.width, values", "shape.widht, values", None),
        ("sample: 8", "sampel: 8", 10),
        ("aims: [cost, mass", "aims: [price, mass", 9),
        ("placed.go.v", "placed.stop.v", 6),
        ("sample: 8", "sample: many", 10),
    ],
)
def test_a_plan_with_a_mistake_is_told_with_its_line(
    tmp_path: Path, old: str, new: str, line: int | None
) -> None:
    file = small_in(tmp_path)
    (tmp_path / "small.explore.yaml").write_text(PLAN.replace(old, new), encoding="utf-8")
    with pytest.raises((InputErrors, InputError)) as told:
        job_of(file)
    if line is None:
        assert "widht" in str(told.value)
    else:
        assert isinstance(told.value, InputErrors)
        assert [error.spot.line for error in told.value.errors if error.spot] == [line]


def test_a_place_that_does_not_exist_is_no_table_of_failures(tmp_path: Path) -> None:
    with pytest.raises(InputError) as told:
        small_job(tmp_path, "shape.widht=300, 310")
    assert "widht" in told.value.field


def test_orders_are_plain_data_that_survive_a_wire(tmp_path: Path) -> None:
    """As a worker on another computer gets them: through JSON (RFC 8259) and back."""
    job = small_job(tmp_path, WIDTHS, "parts.button=null, {type: button-28-long-lit}")
    base = json.loads(json.dumps(base_order(job)))
    for number in job.numbers:
        variant = job.space.variant(number)
        told = json.loads(json.dumps(tried(base, json.loads(json.dumps(variant_order(variant))))))
        row = try_variant(job.base, variant)
        assert (told["figures"], told["reason"]) == (dict(row.figures), row.reason)


def test_a_picked_variant_keeps_every_comment(tmp_path: Path) -> None:
    file = small_in(tmp_path)
    job = job_of(file, vary=[WIDTHS, "parts.button.placed.go.u=90, 100"])
    text = pick_text(job, 1)
    assert "width: 280   # over both sides" in text
    assert [line.partition("#")[2] for line in text.splitlines()] == [
        line.partition("#")[2] for line in SMALL.splitlines()
    ]
    write_pick(job, 1, tmp_path / "other.cabinet.yaml")
    assert open_project(tmp_path / "other.cabinet.yaml").project.shape.width == 280
    for number in (0, 7):
        with pytest.raises(InputError):
            pick_text(job, number)
    with pytest.raises(OutputError):
        write_pick(job, 1, tmp_path / "other.cabinet.yaml")
