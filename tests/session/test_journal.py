"""What was not saved outlives the program."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from tests.session.projects import SMALL, U, V, small_in

from casewright.basics.errors import InputErrors
from casewright.session import Session
from casewright.session.journal import Journal, without_file

ROOT = Path(__file__).parents[2]
KILLED = """
import os, signal, sys
from pathlib import Path
from casewright.session import Session
session = Session.open(Path(sys.argv[1]))
session.edit({V: 70}, "one")
session.edit({V: 80}, "two")
session.undo()
session.edit({U: 90}, "three")
os.kill(os.getpid(), signal.SIGKILL)
"""


def journals(folder: Path) -> list[Path]:
    return sorted(folder.glob(".*.journal"))


@pytest.mark.skipif(os.name != "posix", reason="a process is killed by signal")
def test_a_killed_program_loses_nothing(tmp_path: Path) -> None:
    path = small_in(tmp_path)
    done = subprocess.run(
        [sys.executable, "-c", KILLED.replace("V:", f"{V}:").replace("U:", f"{U}:"), str(path)],
        env={"PYTHONPATH": str(ROOT / "src"), "PATH": ""},
        capture_output=True,
        check=False,
    )
    assert done.returncode == -signal.SIGKILL, done.stderr
    assert path.read_bytes().decode() == SMALL
    session = Session.open(path)
    assert session.restored is not None
    assert (session.restored.steps, session.restored.is_conflict) == (4, False)
    assert "u: 90, v: 70" in session.text
    assert session.labels == ("one", "three")
    session.undo()
    session.undo()
    assert session.text == SMALL
    assert session.is_saved
    assert journals(tmp_path) == []


def test_closing_unsaved_keeps_and_discarding_drops(tmp_path: Path) -> None:
    path = small_in(tmp_path)
    session = Session.open(path)
    session.set(V, 70)
    session.close()
    again = Session.open(path)
    assert again.text == SMALL.replace("v: 60", "v: 70")
    again.set(V, 71)
    again.close(discard=True)
    assert journals(tmp_path) == []
    assert Session.open(path).text == SMALL


def test_a_saved_project_leaves_no_journal(tmp_path: Path) -> None:
    session = Session.open(small_in(tmp_path))
    assert journals(tmp_path) == []
    session.set(V, 70)
    assert [path.name for path in journals(tmp_path)] == [".small.cabinet.yaml.journal"]
    session.save()
    assert journals(tmp_path) == []
    session.close()
    assert Session.open(session.path).restored is None


def test_a_drag_is_one_step_after_a_crash_too(tmp_path: Path) -> None:
    session = Session.open(small_in(tmp_path))
    with session.gesture("drag") as gesture:
        for v in (61, 62, 63):
            session.edit({V: v}, gesture=gesture)
    session.set(U, 90)
    session.close()
    again = Session.open(session.path)
    assert again.labels == ("drag", "set parts.button.placed.0.u")
    again.undo()
    again.undo()
    assert again.text == SMALL


@pytest.mark.parametrize("cut", range(0, 400, 19))
def test_a_journal_cut_anywhere_gives_the_steps_before_the_cut(tmp_path: Path, cut: int) -> None:
    """As a power failure in the middle of writing leaves it."""
    session = Session.open(small_in(tmp_path))
    texts = [SMALL]
    for v in (70, 80, 90):
        session.set(V, v)
        texts.append(session.text)
    session.close()
    (journal,) = journals(tmp_path)
    data = journal.read_bytes()
    whole = data[: len(data) - cut]
    journal.write_bytes(whole)
    again = Session.open(session.path)
    assert again.text == texts[max(whole.count(b"\n") - 1, 0)]
    again.set(U, 91)  # goes on behind the last whole line
    again.close()
    assert Session.open(session.path).text == again.text


def test_spoiled_lines_end_the_reading(tmp_path: Path) -> None:
    session = Session.open(small_in(tmp_path))
    session.set(V, 70)
    after_one = session.text
    session.set(V, 80)
    session.close()
    (journal,) = journals(tmp_path)
    lines = journal.read_bytes().splitlines(keepends=True)
    for spoiled in (
        b"[" * 100_000 + b"\n",
        b"\xff\n",
        b"{}\n",
        json.dumps({**json.loads(lines[2]), "at": -3}).encode() + b"\n",
        json.dumps({**json.loads(lines[2]), "old": "elsewhere"}).encode() + b"\n",
        json.dumps({**json.loads(lines[2]), "kind": ["do"]}).encode() + b"\n",
    ):
        journal.write_bytes(b"".join((*lines[:2], spoiled, lines[2])))
        again = Session.open(session.path)
        assert again.text == after_one
        again.close()


def test_a_strangers_file_with_the_journals_name_is_left_alone(tmp_path: Path) -> None:
    path = small_in(tmp_path)
    stranger = tmp_path / ".small.cabinet.yaml.journal"
    stranger.write_text("my diary\nsecond line\n")
    session = Session.open(path)
    assert session.restored is None
    session.set(V, 70)
    session.close()
    assert stranger.read_text() == "my diary\nsecond line\n"
    assert Session.open(path).text == session.text


def test_a_file_changed_since_is_told(tmp_path: Path) -> None:
    path = small_in(tmp_path)
    session = Session.open(path)
    session.set(V, 70)
    session.close()
    path.write_bytes(SMALL.replace("Small box", "Their box").encode())
    again = Session.open(path)
    assert again.restored is not None
    assert again.restored.is_conflict
    assert again.text == session.text
    again.reload()
    assert "Their box" in again.text
    again.undo()
    assert again.text == session.text


def test_two_programs_keep_their_own_journals(tmp_path: Path) -> None:
    path = small_in(tmp_path)
    first = Session.open(path)
    first.set(V, 70)
    second = Session.open(path)
    assert second.is_elsewhere
    assert second.text == SMALL
    second.set(V, 80)
    first.set(U, 90)
    assert len(journals(tmp_path)) == 2
    first.close()
    second.close()
    one = Session.open(path)
    assert one.text == first.text
    two = Session.open(path)
    assert two.text == second.text


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no full device")
def test_a_full_disk_stops_no_edit_and_is_told(tmp_path: Path) -> None:
    session = Session.open(small_in(tmp_path))
    session.set(V, 70)
    journal: Journal = session._journal
    assert journal._file is not None
    good = os.dup(journal._file.fileno())
    with open("/dev/full", "wb") as full:  # every write fails as on a full disk
        os.dup2(full.fileno(), journal._file.fileno())
    session.set(V, 80)
    assert session.autosave_problem
    os.dup2(good, journal._file.fileno())
    os.close(good)
    session.set(U, 90)
    assert session.autosave_problem == ""
    session.close()
    assert Session.open(session.path).text == session.text
    assert "u: 90, v: 80" in session.text


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="all folders are open to root")
def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    session = Session.open(small_in(tmp_path))
    tmp_path.chmod(0o500)
    try:
        session.set(V, 70)
        assert session.autosave_problem
        assert "v: 70" in session.text
    finally:
        tmp_path.chmod(0o700)


# ---- the project file itself is gone ----


def test_a_file_that_is_gone_comes_back_from_its_journal(tmp_path: Path) -> None:
    path = small_in(tmp_path)
    session = Session.open(path)
    session.edit({V: 70}, "one")
    session.edit({U: 90}, "two")
    text = session.text
    session.close()
    path.unlink()
    assert without_file(tmp_path) == (path,)

    again = Session.open(path)
    assert again.text == text
    assert again.restored is not None
    assert (again.restored.steps, again.restored.is_gone) == (2, True)
    assert not again.restored.is_conflict
    assert again.disk_change() == "gone" and not again.is_saved
    assert again.labels == ("one", "two")
    again.save()
    assert path.read_bytes().decode() == text
    assert again.disk_change() is None and journals(tmp_path) == []
    assert without_file(tmp_path) == ()
    again.undo()
    again.undo()
    assert again.text == SMALL


def test_undone_to_the_start_while_the_file_is_gone(tmp_path: Path) -> None:
    """Then nothing differs from what was saved, but nothing is saved any more."""
    path = small_in(tmp_path)
    session = Session.open(path)
    session.edit({V: 70}, "one")
    path.unlink()
    session.undo()
    session.close()
    again = Session.open(path)
    assert again.text == SMALL
    again.redo()
    assert "v: 70" in again.text


def test_a_file_that_vanishes_with_nothing_unsaved(tmp_path: Path) -> None:
    """A page looks at the disk from time to time; from then on all of the text is kept."""
    path = small_in(tmp_path)
    session = Session.open(path)
    path.unlink()
    assert session.disk_change() == "gone" and session.disk_change() == "gone"
    session.close()
    again = Session.open(path)
    assert again.text == SMALL and again.labels == ()
    assert again.restored is not None and again.restored.steps == 0
    again.edit({V: 70}, "one")
    again.undo()
    again.close()
    path.write_bytes(SMALL.encode())  # put back by whoever took it away
    assert Session.open(path).restored is None
    assert journals(tmp_path) == []


def test_a_file_that_never_was_is_told(tmp_path: Path) -> None:
    (tmp_path / ".radio.txt.journal").write_text("no project's")
    path = tmp_path / "gone.cabinet.yaml"
    with pytest.raises(InputErrors, match="is not there") as told:
        Session.open(path)
    assert told.value.errors[0].field == "file"
    assert without_file(tmp_path) == () and without_file(tmp_path / "nowhere") == ()
    assert journals(tmp_path) == [tmp_path / ".radio.txt.journal"]
