"""What is left aside by a program that was ended goes; what is under way, or is no aside, stays."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from casewright.basics.disk import ASIDE, LOCKED, clear_asides, lock
from casewright.outputs.writing import PREFIX, write_folder
from casewright.projectfile.saving import save_text


def old(path: Path) -> Path:
    os.utime(path, (time.time() - 60, time.time() - 60))
    return path


def test_only_what_is_old_and_nobodys_goes(tmp_path: Path) -> None:
    left = tmp_path / f".a.x{ASIDE}"
    left.write_bytes(b"half")
    young = tmp_path / f".a.y{ASIDE}"
    young.write_bytes(b"half")
    held = tmp_path / f".a.z{ASIDE}"
    held.write_bytes(b"half")
    journal = tmp_path / ".a.journal"
    journal.write_bytes(b"kept")
    another = tmp_path / f".b.x{ASIDE}"
    another.write_bytes(b"half")
    for path in (left, held, journal, another):
        old(path)
    with held.open("rb") as opened:
        assert lock(opened)
        assert clear_asides(tmp_path, ".a.") == 1
        assert sorted(tmp_path.iterdir()) == sorted([young, held, journal, another])
    assert clear_asides(tmp_path, ".a.") == 1  # its program has ended
    assert not held.exists()
    assert clear_asides(tmp_path / "nowhere", ".a.") == 0


def test_the_next_save_takes_away_what_the_last_one_left(tmp_path: Path) -> None:
    left = tmp_path / f".box.cabinet.yaml.q1w2e3{ASIDE}"
    left.write_bytes(b"name: Bo")
    old(left)
    save_text(tmp_path / "box.cabinet.yaml", "name: Box\n")
    assert [path.name for path in tmp_path.iterdir()] == ["box.cabinet.yaml"]


@pytest.mark.parametrize("is_held", [False, True])
def test_the_next_build_takes_away_what_the_last_one_left(tmp_path: Path, is_held: bool) -> None:
    left = tmp_path / f"{PREFIX}q1w2e3{ASIDE}"
    (left / "drawings").mkdir(parents=True)
    (left / "drawings" / "a.svg").write_bytes(b"<svg")
    (left / LOCKED).write_bytes(b"")
    old(left)
    with (left / LOCKED).open("rb") as opened:
        if is_held:
            assert lock(opened)
        write_folder(tmp_path, {"a.txt": b"x"})
    assert left.exists() == is_held
