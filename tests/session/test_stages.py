"""A change is answered in two stages, and a newer one never waits for the second stage of an older one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from threading import Event, Thread

import pytest
from tests.session.projects import SMALL

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Finding, Remedy, Severity
from casewright.planning import blanks
from casewright.session import Changes, Session, workings
from casewright.session import session as session_module
from casewright.session.foretaste import meanwhile
from casewright.workflow import open_text, work_out, working_out

V = ("panels", "base", "reveal")
WAIT = 30.0  # s; only where a test fails is it waited for


class Gate:
    """Holds the second stage up until it is opened."""

    def __init__(self) -> None:
        self.reached, self.open = Event(), Event()
        self.asked = 0

    def work_out(self, opened, **options):
        self.asked += 1
        self.reached.set()
        assert self.open.wait(WAIT)
        return work_out(opened, **options)


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    file = tmp_path / "small.cabinet.yaml"
    file.write_text(SMALL, encoding="utf-8")
    session = Session.open(file)
    yield session
    session.close(discard=True)


@pytest.fixture
def gate(session: Session, monkeypatch: pytest.MonkeyPatch) -> Gate:
    gate = Gate()
    monkeypatch.setattr(workings, "work_out", gate.work_out)
    return gate


def aside(what) -> tuple[Thread, list[object]]:
    made: list[object] = []
    thread = Thread(target=lambda: made.append(what()))
    thread.start()
    return thread, made


def fresh(session: Session):
    """The findings of the text from nothing: a reading of its own."""
    return work_out(open_text(session.text)).findings


def test_the_cabinet_in_space_is_there_before_what_is_said_of_it(session, gate):
    before, early, told = session.worked, [], []
    session.subscribe(told.append, early=lambda c: early.append((c, session.built, session.worked)))
    thread, made = aside(lambda: session.set(V, 3))
    assert gate.reached.wait(WAIT)
    assert [(c.stage, c.text) for c, _, _ in early] == [("space", True)]
    assert session.built.cabinet != before.cabinet
    assert session.worked is before
    assert session.is_behind
    assert "reveal: 3" in session.text
    assert (session.version, session.shown_version, told) == (1, 0, [])
    gate.open.set()
    thread.join(WAIT)
    assert made == told
    assert told[0].stage == "whole"
    assert told[0].pieces.changed
    assert told[0].text
    assert (session.is_behind, session.shown_version) == (False, 1)
    assert session.worked.cabinet is session.built.cabinet
    assert session.worked.findings == fresh(session)


def test_a_newer_change_does_not_wait_for_the_older_ones_second_stage(session, gate):
    told: list[Changes] = []
    session.subscribe(told.append)
    older, first = aside(lambda: session.set(V, 3, "one"))
    assert gate.reached.wait(WAIT)
    gate.reached.clear()
    newer, second = aside(lambda: session.set(V, 4, "two"))
    assert gate.reached.wait(WAIT)  # in its own second stage, while the older one is still held up
    assert "reveal: 4" in session.text
    assert session.labels == ("one", "two")
    gate.open.set()
    older.join(WAIT)
    newer.join(WAIT)
    assert [c.stage for c in first] == ["space"]  # given up
    assert told == second  # told once, of both
    assert (told[0].label, told[0].stage) == ("two", "whole")
    assert session.worked.findings == fresh(session)
    session.undo()
    session.undo()
    assert session.text == SMALL
    assert session.worked.findings == fresh(session)


def test_where_the_newer_change_is_refused_the_older_one_is_finished(session, gate):
    older, first = aside(lambda: session.set(V, 3))
    assert gate.reached.wait(WAIT)

    def refused():
        with pytest.raises(InputErrors):
            session.set(V, "no length")

    newer, _ = aside(refused)
    newer.join(WAIT)
    gate.open.set()
    older.join(WAIT)
    assert [c.stage for c in first] == ["whole"]
    assert not session.is_behind
    assert session.worked.findings == fresh(session)


def test_a_preview_keeps_no_change_waiting_and_is_given_up_for_it(session, gate):
    looking, seen = aside(lambda: session.preview({V: 5}))
    assert gate.reached.wait(WAIT)
    gate.reached.clear()
    changing, _ = aside(lambda: session.set(V, 6))
    assert gate.reached.wait(WAIT)
    gate.open.set()
    looking.join(WAIT)
    changing.join(WAIT)
    assert [(one.is_superseded, one.worked, one.errors) for one in seen] == [(True, None, None)]
    assert "reveal: 6" in session.text


def test_of_two_previews_the_newer_one_is_worked_out(session, gate):
    one, first = aside(lambda: session.preview({V: 5}))
    assert gate.reached.wait(WAIT)
    gate.reached.clear()
    two, second = aside(lambda: session.preview({V: 6}))
    assert gate.reached.wait(WAIT)
    gate.open.set()
    one.join(WAIT)
    two.join(WAIT)
    assert [seen.is_superseded for seen in (*first, *second)] == [True, False]


def test_papers_can_wait_for_the_whole_of_it(session, gate):
    changing, _ = aside(lambda: session.set(V, 3))
    assert gate.reached.wait(WAIT)
    waiting, got = aside(session.whole)
    gate.open.set()
    changing.join(WAIT)
    waiting.join(WAIT)
    assert got == [session.worked]
    assert got[0].cabinet is session.built.cabinet


def test_a_page_may_change_something_when_it_hears_of_the_first_stage(session):
    """The lock is held then, and others may be waiting for it: it must come to an end all the same."""
    others = []

    def hear(changes: Changes) -> None:
        if changes.label == "one":
            others.append(aside(lambda: session.set(V, 9, "three")))
            session.set(V, 4, "two")

    session.subscribe(lambda changes: None, early=hear)
    session.set(V, 3, "one")
    others[0][0].join(WAIT)
    assert not others[0][0].is_alive()
    assert session.labels == ("one", "two", "three")
    assert session.worked.findings == fresh(session)
    assert "reveal: 9" in session.text


def test_the_rest_waits_until_the_first_stage_is_shown(session, gate):
    """And nobody else has to wait meanwhile: a change that comes while it waits is made, and the older one given up."""
    order: list[object] = []
    is_shown = Event()

    def pause(at_most: float) -> None:
        order.append("pause")
        if len(order) == 2:
            assert is_shown.wait(WAIT)

    gate.open.set()
    end = session.subscribe(
        lambda c: order.append("whole"), early=lambda c: order.append(c.label), pause=pause
    )
    older, first = aside(lambda: session.set(V, 3, "one"))
    while order != ["one", "pause"]:
        older.join(0.01)
    assert gate.asked == 0
    session.set(V, 4, "two")
    assert order == ["one", "pause", "two", "pause", "whole"]
    is_shown.set()
    older.join(WAIT)
    assert [c.stage for c in first] == ["space"]
    end()
    session.set(V, 5, "three")
    assert order[5:] == []


THROUGH = ("parts", "button", "placed", 0, "u")


def test_what_the_checks_find_is_told_before_their_remedies_and_the_cutting(session, monkeypatch):
    """The button is put past the edge; its move is looked for, and the sheets are planned, after that was told."""
    before, seen = session.worked, []
    monkeypatch.setattr(working_out, "plan_cutting", lambda *a, **k: planned(seen, *a, **k))

    def hear(changes: Changes) -> None:
        seen.append((changes.stage, session.findings, session.worked, session.found_version))

    session.subscribe(hear, judged=hear)
    session.set(THROUGH, 400)
    assert [what for what, *_ in seen] == ["judged", "cutting", "whole"]
    (_, found, worked, version), _, (_, told, now, last) = seen
    assert (worked, version, last) == (before, 1, 1)
    (outside,) = [f for f in found if f.rule == "feature.outside"]
    (ended,) = [f for f in told if f.rule == "feature.outside"]
    assert outside.remedies == ()
    assert (ended.message, bool(ended.remedies)) == (outside.message, True)
    assert set(before.planned) <= set(found)
    assert told == now.findings == fresh(session)


def planned(seen: list[object], *arguments, **options):
    seen.append(("cutting", None, None, None))
    return blanks.plan_cutting(*arguments, **options)


def test_what_is_said_again_keeps_its_remedies_meanwhile():
    remedy, other = Remedy("Move it."), Remedy("Saw it.")
    same, new = Finding("a.b", Severity.STOP, "A."), Finding("a.b", Severity.STOP, "B.")
    cut = Finding("c.d", Severity.CAUTION, "C.")
    shown = (replace(same, remedies=(remedy,)), cut)
    assert meanwhile((same, new), shown, (cut,)) == (shown[0], new, cut)
    own = replace(same, remedies=(other,))
    assert meanwhile((own,), shown, (cut,)) == (own, cut)
    assert meanwhile((new,), (), ()) == (new,)


def test_where_the_rest_is_soon_there_it_is_told_at_once(session, monkeypatch):
    told: list[str] = []
    session.subscribe(lambda c: told.append(c.stage), judged=lambda c: told.append(c.stage))
    monkeypatch.setattr(session_module, "WORTH_TELLING", 1e-9)
    session.set(THROUGH, 400)
    session.set(THROUGH, 410)
    assert told == ["judged", "whole"] * 2
    monkeypatch.setattr(session_module, "WORTH_TELLING", WAIT)
    session.set(THROUGH, 420)
    assert told[4:] == ["whole"]
    assert session.findings == fresh(session)


def test_many_changes_at_once_end_with_all_of_the_last_one(session):
    """Threads change one value in turn; whatever is given up on the way, the end is that of the text."""
    told: list[Changes] = []
    session.subscribe(told.append)

    def work(first: int) -> None:
        for reveal in range(first, first + 4):
            session.set(V, reveal)

    threads = [Thread(target=work, args=(first,)) for first in (1, 11, 21)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(WAIT)
    assert session.version == len(session.labels) == 12
    assert not session.is_behind
    assert session.shown_version == session.version
    assert told[-1].stage == "whole"
    assert session.worked.findings == fresh(session)
