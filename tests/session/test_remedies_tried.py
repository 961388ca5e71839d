"""What remedies would bring is found out in a moment of rest, told to listeners, and given up for a change."""

from __future__ import annotations

import pickle
import shutil
from collections.abc import Iterator
from pathlib import Path
from threading import Event, Thread

import pytest

from casewright.session import Changes, Session
from casewright.session.making import packed
from casewright.workflow import Worked, open_text, work_out, working_out

CASE = Path(__file__).parents[2] / "examples" / "speaker-case.cabinet.yaml"
V = ("parts", "large", "placed", 0, "v")
HEIGHT = "shape.height"
WAIT = 30.0  # s; only where a test fails is it waited for


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    """A case whose loudspeaker was put too high: higher, its feet would stand past the end of its base."""
    file = tmp_path / "case.cabinet.yaml"
    shutil.copy(CASE, file)
    session = Session.open(file)
    session.set(V, 360)
    yield session
    session.close(discard=True)


def brought(worked: Worked | None) -> str:
    assert worked is not None
    return next(r.brings for f in worked.told for r in f.remedies if r.field == HEIGHT)


def test_listeners_are_told_what_remedies_would_bring(session):
    told: list[Changes] = []
    session.subscribe(told.append)
    version, text = session.version, session.text
    assert brought(session.worked) == ""
    changes = session.try_remedies()
    assert told == [changes]
    assert {f.rule for f in changes.findings_new} >= {"shape.height"}
    assert len(changes.findings_new) == len(changes.findings_gone)
    assert not (changes.pieces or changes.cutting or changes.text)
    assert "another stop" in brought(session.worked)
    assert (session.version, session.text) == (version, text)
    assert not session.try_remedies()  # known already
    assert told == [changes]
    fresh = work_out(open_text(session.text))
    assert session.worked.told == fresh.advised


def test_what_was_found_is_there_again_after_undo_and_redo(session):
    session.try_remedies()
    session.undo()
    session.redo()
    assert "another stop" in brought(session.worked)


def test_until_the_next_trial_the_same_remedy_says_the_same(session):
    """A change that has nothing to do with it: the page does not jump."""
    session.try_remedies()

    def shown() -> list[str]:
        return [r.brings for f in session.findings for r in f.remedies if r.field == HEIGHT]

    session.set(("shop", "kerf"), 2.6)
    assert brought(session.worked) == ""
    assert ["another stop" in words for words in shown()] == [True]
    session.set(V, 361)  # another height would be asked
    assert shown() == [""]
    session.try_remedies()
    assert ["another stop" in words for words in shown()] == [True]


@pytest.mark.parametrize("what", ["change", "preview"])
def test_trying_makes_way(session, monkeypatch, what):
    reached, on = Event(), Event()
    tried: list[object] = []

    def held_up(opened, **options):
        tried.append(opened)
        reached.set()
        assert on.wait(WAIT)
        return work_out(opened, **options)

    monkeypatch.setattr(working_out, "work_out", held_up)
    made: list[Changes] = []
    thread = Thread(target=lambda: made.append(session.try_remedies()))
    thread.start()
    assert reached.wait(WAIT)
    assert not session.try_remedies()  # one at a time
    if what == "change":
        assert session.set(V, 350).stage == "whole"
    else:
        session.preview({V: 350})
    on.set()
    thread.join(WAIT)
    assert made == [Changes()]
    assert len(tried) == 1
    assert session.worked.told == session.worked.findings


def test_papers_made_beside_the_page_say_it_too(session):
    """The process that makes them is handed what was worked out, and tries what was not tried yet."""
    before = brought(session.worked)
    handed: Worked = pickle.loads(packed(session.worked))
    assert (before, brought(handed)) == ("", "")
    assert handed.advised == session.worked.advised
    again: Worked = pickle.loads(packed(session.worked))
    assert again.is_tried
    assert "another stop" in brought(again)
