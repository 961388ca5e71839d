"""A build's files appear whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from casewright.basics.errors import OutputError
from casewright.outputs.writing import MADE, write_folder


def listing(folder: Path) -> set[str]:
    return {str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file()}


def test_files_and_folders_appear(tmp_path):
    write_folder(tmp_path / "out", {"a.txt": b"1", "drawings/b.svg": b"2"})
    assert listing(tmp_path / "out") == {"a.txt", "drawings/b.svg", MADE}


def test_stale_files_of_ours_go_and_foreign_ones_stay(tmp_path):
    write_folder(tmp_path, {"a.txt": b"1", "drawings/b.svg": b"2"})
    (tmp_path / "mine.txt").write_text("keep")
    write_folder(tmp_path, {"a.txt": b"3"})
    assert listing(tmp_path) == {"a.txt", "mine.txt", MADE}
    assert (tmp_path / "a.txt").read_bytes() == b"3"


def test_a_failure_while_writing_leaves_the_old_build(tmp_path, monkeypatch):
    write_folder(tmp_path, {"a.txt": b"old", "b.txt": b"old"})

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError) as caught:
        write_folder(tmp_path, {"a.txt": b"new", "b.txt": b"new"})
    assert "full" in caught.value.why
    assert (tmp_path / "a.txt").read_bytes() == b"old"
    assert listing(tmp_path) == {"a.txt", "b.txt", MADE}


def test_a_file_in_the_way_is_told(tmp_path):
    (tmp_path / "out").write_text("a file")
    with pytest.raises(OutputError):
        write_folder(tmp_path / "out", {"a.txt": b"1"})


@pytest.mark.parametrize("name", ["../x", "/x", "a/../../x", "c:x", "a\\..\\x", ""])
def test_names_cannot_leave_the_folder(tmp_path, name):
    with pytest.raises(ValueError, match="leaves its folder"):
        write_folder(tmp_path, {name: b""})


def test_a_forged_listing_cannot_remove_foreign_files(tmp_path):
    victim = tmp_path / "victim.txt"
    victim.write_text("keep")
    out = tmp_path / "out"
    out.mkdir()
    (out / MADE).write_text('["../victim.txt"]')
    write_folder(out, {"a.txt": b"1"})
    assert victim.exists()
