"""Ticks in a project: what they change and what not, when the file is written, what a killed program loses."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from casewright.basics.errors import InputErrors
from casewright.outputs.fingerprint import fingerprint
from casewright.planning.work.ticks import Offer
from casewright.session import Session
from casewright.session.ticking import keep, put_down, ticked, unticked
from casewright.workflow import Worked

EXAMPLES = Path(__file__).parents[2] / "examples"
WHEN = datetime(2027, 3, 5, 14, 2)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "lap.cabinet.yaml"
    path.write_bytes((EXAMPLES / "lap-controller.cabinet.yaml").read_bytes())
    return path


@pytest.fixture
def session(file: Path) -> Session:
    return Session.open(file)


def worked(session: Session) -> Worked:
    assert session.worked is not None
    return session.worked


def ticks(session: Session) -> dict[str, str]:
    assert session.opened is not None
    return session.opened.project.steps_done


def test_a_tick_changes_nothing_of_the_cabinet(session: Session) -> None:
    before, text = worked(session), session.text
    mark = fingerprint(before.opened.project)
    session.edit(ticked(["dry-fit"], WHEN), "tick")
    assert ticks(session) == {"dry-fit": "2027-03-05 14:02"}
    assert worked(session).cabinet is before.cabinet  # not worked out again
    assert fingerprint(worked(session).opened.project) == mark
    assert session.text.startswith(text)  # comments and all
    session.edit(unticked(["dry-fit"]), "untick")
    assert ticks(session) == {}


def test_the_file_is_written_where_nothing_else_was_unsaved(session: Session, file: Path) -> None:
    assert keep(session, ticked(["dry-fit"], WHEN), "tick") == ""
    assert session.is_saved
    assert "dry-fit: '2027-03-05 14:02'" in file.read_text(encoding="utf-8")
    session.edit({("name",): "Another"}, "rename")  # at the desk, not saved
    keep(session, ticked(["wire"], WHEN), "tick")
    assert not session.is_saved
    assert "Another" not in file.read_text(encoding="utf-8")
    assert set(ticks(session)) == {"dry-fit", "wire"}


def test_what_another_program_wrote_is_not_written_over(session: Session, file: Path) -> None:
    file.write_text(file.read_text(encoding="utf-8") + "# by another hand\n", encoding="utf-8")
    assert keep(session, ticked(["wire"], WHEN), "tick") != ""
    assert "# by another hand" in file.read_text(encoding="utf-8")
    assert set(ticks(session)) == {"wire"}


def test_a_piece_put_down_takes_its_past_ticks_along(session: Session) -> None:
    steps = [s.key for s in worked(session).work.steps if s.stage in ("cut", "bevel")]
    session.edit(ticked([*steps, "wire"], WHEN), "tick")
    plan = worked(session)
    every = tuple(plan.cabinet.piece_by_key)
    told = {"deck": {"length": "400 mm"}}
    session.edit(put_down(plan, ticks(session), [Offer("cut", every)], told), "cut")
    assert set(ticks(session)) == {"wire"}
    project = worked(session).opened.project
    assert set(project.as_built) == set(every)
    assert project.as_built["deck"].length == 400
    session.undo()
    assert set(ticks(session)) == {*steps, "wire"}  # one step of undo for all of it
    assert not worked(session).opened.project.as_built


@pytest.mark.parametrize(
    ("line", "field"),
    [
        ("steps done: {dry-fit: yesterday}", "steps done.dry-fit"),
        ("steps done: {dry-fit: 2027-02-30 10:00}", "steps done.dry-fit"),
        ("steps done: {dry-fit: 2027-03-05 24:10}", "steps done.dry-fit"),
        ("steps done: {'../x': 2027-03-05 10:00}", "steps done.../x"),
    ],
)
def test_what_is_no_tick_is_told_with_its_line(file: Path, line: str, field: str) -> None:
    text = file.read_text(encoding="utf-8")
    file.write_text(f"{text}{line}\n", encoding="utf-8")
    errors = Session.open(file).errors
    assert isinstance(errors, InputErrors)
    (error,) = errors.errors
    assert error.field.startswith(field.split(".")[0])
    assert error.spot is not None and error.spot.line == text.count("\n") + 1


def test_a_time_with_seconds_is_read_too(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    file.write_text(f"{text}steps done:\n  wire: 2027-03-05 14:02:59\n", encoding="utf-8")
    assert ticks(Session.open(file)) == {"wire": "2027-03-05 14:02"}


KILLED = """
import os, signal, sys
from datetime import datetime
from pathlib import Path
from casewright.session import Session
from casewright.session.ticking import keep, ticked
session = Session.open(Path(sys.argv[1]))
for key in ("dry-fit", "wire", "test"):
    keep(session, ticked([key], datetime(2027, 3, 5, 14, 2)), "tick")
session.edit({("name",): "Another"}, "rename")
keep(session, ticked(["close"], datetime(2027, 3, 5, 15, 0)), "tick")
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.skipif(os.name != "posix", reason="a process is killed by signal")
def test_a_killed_program_loses_no_tick(file: Path) -> None:
    ended = subprocess.run([sys.executable, "-c", KILLED, str(file)], check=False)
    assert ended.returncode == -signal.SIGKILL
    again = Session.open(file)
    assert set(ticks(again)) == {"dry-fit", "wire", "test", "close"}
    assert again.opened is not None and again.opened.project.name == "Another"
