"""Sessions shared by pages, and the list of recent projects."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.session.projects import SMALL, V, small_in

from casewright.basics.errors import OutputError
from casewright.session import Changes, RecentFiles, Sessions
from casewright.session.recent import DATA_FOLDER, MOST, data_folder


def test_two_pages_on_one_file_share_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    sessions = Sessions()
    path = small_in(tmp_path)
    monkeypatch.chdir(tmp_path)
    one, two = sessions.open(path), sessions.open(Path(path.name))
    assert one is two
    told: list[Changes] = []
    two.subscribe(told.append)
    one.set(V, 70)
    assert "v: 70" in two.text
    assert len(told) == 1
    sessions.close(one)
    assert sessions.find(path) is two
    sessions.close(two)
    assert sessions.find(path) is None
    assert "v: 70" in sessions.open(path).text  # from the journal


def test_an_open_file_is_not_written_over(tmp_path: Path) -> None:
    sessions = Sessions()
    session = sessions.open(small_in(tmp_path))
    other = sessions.new(SMALL, tmp_path / "other.cabinet.yaml")
    for refused in (session.path, other.path):
        with pytest.raises(OutputError):
            sessions.new(SMALL, refused, overwrite=True)
    with pytest.raises(OutputError):
        sessions.save_as(session, other.path, overwrite=True)
    sessions.save_as(session, tmp_path / "third.cabinet.yaml")
    assert sessions.find(tmp_path / "third.cabinet.yaml") is session
    assert sessions.all == (session, other)


def test_opened_projects_are_remembered(tmp_path: Path) -> None:
    recent = RecentFiles(tmp_path / "data", clock=lambda: datetime(2026, 3, 1, tzinfo=UTC))
    sessions = Sessions(recent=recent)
    one = sessions.open(small_in(tmp_path))
    two = sessions.new(SMALL.replace("Small box", "Two"), tmp_path / "two.cabinet.yaml")
    sessions.close(one)
    sessions.open(one.path)
    assert [(r.path, r.name) for r in recent.listed()] == [
        (one.path, "Small box"),
        (two.path, "Two"),
    ]
    two.path.unlink()
    assert [r.is_there for r in recent.listed()] == [True, False]
    recent.forget(two.path)
    assert [r.path for r in recent.listed()] == [one.path]


def test_the_list_is_kept_short(tmp_path: Path) -> None:
    recent = RecentFiles(tmp_path)
    for number in range(MOST + 5):
        recent.remember(tmp_path / f"{number}.yaml", str(number))
    assert [r.name for r in recent.listed()] == [str(n) for n in range(MOST + 4, 4, -1)]


@pytest.mark.parametrize(
    "spoiled", [b"", b"{", b"[1, {}]", b'[{"path": "a", "name": "b", "when": "c"}]', b"\xff", b"[" * 99999]
)  # fmt: skip
def test_a_spoiled_list_is_begun_anew(tmp_path: Path, spoiled: bytes) -> None:
    recent = RecentFiles(tmp_path)
    recent.file.write_bytes(spoiled)
    assert recent.listed() == ()
    recent.remember(tmp_path / "a.yaml", "A")
    assert [r.name for r in recent.listed()] == ["A"]


def test_the_folder_can_be_chosen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DATA_FOLDER, str(tmp_path / "mine"))
    assert data_folder() == tmp_path / "mine"
    RecentFiles().remember(tmp_path / "a.yaml", "A")
    assert (tmp_path / "mine" / "recent.json").is_file()
    monkeypatch.delenv(DATA_FOLDER)
    assert data_folder().name == "casewright"


def test_a_list_that_cannot_be_written_keeps_nobody_out(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    sessions = Sessions(recent=RecentFiles(tmp_path / "file"))
    assert sessions.open(small_in(tmp_path)).errors is None
