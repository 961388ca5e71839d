"""An open project as a page sees it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from threading import Thread

import pytest
from tests.session.projects import DEMO, SMALL, U, V, small_in

from casewright.basics.errors import InputErrors, OutputError
from casewright.session import REMOVE, ChangedOnDiskError, Changes, Session
from casewright.workflow import open_text, work_out


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return Session.open(small_in(tmp_path))


def test_an_edit_changes_one_place_of_the_text_and_the_cabinet(session: Session) -> None:
    changes = session.edit({V: 70}, "move the button")
    assert session.text == SMALL.replace("v: 60}", "v: 70}")
    assert session.worked is not None
    assert session.worked.cabinet.placed_by_key["go"].v == 70
    assert changes.placed.changed == ("go",)
    assert changes.pieces.changed == ("front",)
    assert not changes.shape
    assert not changes.cutting
    assert (session.undo_label, session.is_saved) == ("move the button", False)


def test_undo_and_redo_walk_the_same_way(session: Session) -> None:
    texts = [session.text]
    for v in (70, 80, 90):
        session.set(V, v)
        texts.append(session.text)
    walked = [session.text]
    while session.can_undo:
        session.undo()
        walked.append(session.text)
    assert walked == texts[::-1]
    assert session.is_saved
    while session.can_redo:
        session.redo()
    assert session.text == texts[-1]
    session.undo()
    session.set(V, 75)
    assert not session.can_redo


def test_a_drag_is_one_step(session: Session) -> None:
    session.set(U, 90)
    with session.gesture("drag the button") as gesture:
        for v in range(61, 71):
            session.edit({V: v, U: v + 20}, gesture=gesture)
    assert session.labels == ("set parts.button.placed.0.u", "drag the button")
    session.undo()
    assert session.text == SMALL.replace("u: 100", "u: 90")
    session.redo()
    assert "u: 90, v: 70" in session.text


def test_a_drag_that_leads_back_leaves_no_step(session: Session) -> None:
    with session.gesture("drag") as gesture:
        session.edit({V: 61}, gesture=gesture)
        session.edit({V: 60}, gesture=gesture)
    assert not session.can_undo
    assert session.text == SMALL


def test_another_pages_edit_parts_a_drag_in_two(session: Session) -> None:
    gesture = session.begin_gesture("drag")
    session.edit({V: 61}, gesture=gesture)
    session.edit({("name",): "Other"}, "name it")
    session.edit({V: 62}, gesture=gesture)
    session.end_gesture(gesture)
    assert session.labels == ("drag", "name it", "drag")
    session.undo()
    session.undo()
    assert "v: 61" in session.text
    assert "Small box" in session.text


@pytest.mark.parametrize(
    "edits",
    [
        {V: "60 bananas"},
        {V: float("nan")},
        {V: True},
        {V: "\x00"},
        {V: "\ud800"},
        {V: [1, 2]},
        {("nonsense",): 1},
        {("parts", "button", "placed", 7, "v"): 1},
        {("parts", "button", "placed", 0, "v", "w"): 1},
        {("name",): "x" * 10_000},
        {("shape", "board"): "no-such-board"},
        {("parts", "button", "type"): "no-such-type"},
        {("shape", "corners"): {}},
        {("materials",): REMOVE},
        {("name", "x"): REMOVE},
        {(): 1},
        {("name", 1.5): 1},
        {("shape", "corners", "A"): [0, "1e999"]},
    ],
)
def test_what_cannot_be_is_refused_and_leaves_all_as_it_was(
    session: Session, edits: dict[object, object]
) -> None:
    state, told = session.state, []
    session.subscribe(told.append)
    with pytest.raises(InputErrors):
        session.edit(edits)  # type: ignore[arg-type]
    assert session.state is state
    assert (told, session.labels, session.version) == ([], (), 0)
    preview = session.preview(edits)  # type: ignore[arg-type]
    assert preview.errors is not None
    assert session.state is state


def test_a_value_nested_without_end_is_refused(session: Session) -> None:
    value: list[object] = []
    for _ in range(100_000):
        value = [value]
    with pytest.raises(InputErrors):
        session.set(("notes",), value)
    assert session.text == SMALL


def test_groups_that_are_missing_are_made(session: Session) -> None:
    session.edit({("limits", "budget"): 90, ("limits", "mass_kg"): 12})
    assert session.opened is not None
    assert session.opened.project.limits.budget == 90
    assert session.opened.project.limits.mass_kg == 12
    session.set(("panels", "front", "cleats", "screw"), "4.0 × 30")
    cleats = session.opened.project.panels["front"].cleats
    assert cleats is not None
    assert cleats.screw == "4.0 × 30"
    assert "# over both sides" in session.text
    session.undo()
    session.undo()
    assert session.text == SMALL


def test_a_wrong_text_is_kept_and_the_last_cabinet_shown(session: Session) -> None:
    shown = session.worked
    changes = session.edit_text(SMALL.replace("width: 300 ", "width: wide "))
    assert changes.errors
    assert session.worked is shown
    assert session.errors is not None
    (error,) = session.errors.errors
    assert error.field == "shape.width"
    assert error.spot is not None
    assert error.spot.line == SMALL[: SMALL.index("width: 300")].count("\n") + 1
    # A form can mend it, and may not add another error.
    with pytest.raises(InputErrors):
        session.set(V, "far")
    session.set(("shape", "width"), 310)
    assert session.errors is None
    session.undo()
    session.undo()
    assert session.text == SMALL
    assert session.errors is None


def test_a_text_that_is_no_yaml_takes_only_text(session: Session) -> None:
    session.edit_text("name: [")
    with pytest.raises(InputErrors):
        session.set(V, 70)
    session.edit_text(SMALL)
    session.set(V, 70)
    assert session.errors is None


@pytest.mark.parametrize("text", ["\ud800", "x" * 500_001])
def test_a_text_that_no_file_can_hold_is_refused(session: Session, text: str) -> None:
    with pytest.raises(InputErrors):
        session.edit_text(text)
    assert session.text == SMALL


def test_a_preview_tells_what_the_edit_leads_to_and_leaves_no_trace(session: Session) -> None:
    preview = session.preview({V: 70, ("limits", "budget"): 1})
    assert (session.text, session.labels) == (SMALL, ())
    changes = session.edit({V: 70, ("limits", "budget"): 1})
    assert session.worked is not None
    assert preview.worked is not None
    assert preview.worked.cabinet == session.worked.cabinet
    assert preview.findings == session.worked.findings
    assert (preview.changes.pieces, preview.changes.findings_new) == (
        changes.pieces,
        changes.findings_new,
    )


def test_both_pages_are_told_the_same_in_order(session: Session) -> None:
    first: list[Changes] = []
    second: list[Changes] = []

    def and_edit(changes: Changes) -> None:
        first.append(changes)
        if (changes.cause, changes.label) == ("edit", "one"):
            session.edit({V: 72}, "two")

    session.subscribe(and_edit)
    unsubscribe = session.subscribe(second.append)
    session.edit({V: 71}, "one")
    session.undo()
    assert [c.label for c in second] == ["one", "two", "two"]
    assert first == second
    unsubscribe()
    session.undo()
    assert len(first) == len(second) + 1


def test_a_page_that_fails_keeps_no_other_from_being_told(session: Session) -> None:
    told: list[Changes] = []

    def fail(changes: Changes) -> None:
        raise LookupError(changes.label)

    session.subscribe(fail)
    session.subscribe(told.append)
    with pytest.raises(LookupError):
        session.edit({V: 71}, "one")
    assert [c.label for c in told] == ["one"]
    assert "v: 71" in session.text


def test_threads_edit_one_after_the_other(session: Session) -> None:
    def work(panel: str) -> None:
        for reveal in range(1, 6):
            session.set(("panels", panel, "reveal"), reveal)

    threads = [Thread(target=work, args=(panel,)) for panel in ("base", "back", "top")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert session.version == 15
    assert session.opened is not None
    assert {session.opened.project.panels[p].reveal for p in ("base", "back", "top")} == {5}
    while session.can_undo:
        session.undo()
    assert session.text == SMALL


def test_saving_keeps_every_byte(tmp_path: Path) -> None:
    text = "\ufeff" + SMALL.replace("\n", "\r\n")
    path = small_in(tmp_path, text)
    session = Session.open(path)
    session.set(V, 70)
    session.save()
    assert path.read_bytes() == text.replace("v: 60", "v: 70").encode("utf-8")
    assert session.is_saved
    session.undo()
    assert not session.is_saved
    session.save()
    assert path.read_bytes() == text.encode("utf-8")


def test_a_file_changed_by_another_program_is_not_written_over(session: Session) -> None:
    session.set(V, 70)
    theirs = SMALL.replace("Small box", "Their box")
    session.path.write_bytes(theirs.encode())
    assert session.disk_change() == "changed"
    with pytest.raises(ChangedOnDiskError):
        session.save()
    mine = session.text
    session.reload()
    assert (session.text, session.is_saved, session.disk_change()) == (theirs, True, None)
    session.undo()
    assert session.text == mine
    session.save()
    assert session.path.read_bytes().decode() == mine


def test_mine_can_be_kept(session: Session) -> None:
    session.set(V, 70)
    session.path.write_bytes(SMALL.replace("Small box", "Their box").encode())
    session.keep_mine()
    session.save()
    assert session.path.read_bytes().decode() == session.text


def test_a_file_only_touched_or_gone(session: Session) -> None:
    session.path.write_bytes(SMALL.encode())
    assert session.disk_change() is None
    session.path.unlink()
    assert session.disk_change() == "gone"
    session.save()
    assert session.path.read_bytes().decode() == SMALL


def test_save_as_goes_on_with_the_other_file(session: Session, tmp_path: Path) -> None:
    old = session.path
    session.set(V, 70)
    with pytest.raises(OutputError):
        session.save_as(_taken(tmp_path))
    other = tmp_path / "other.cabinet.yaml"
    session.save_as(other)
    assert (session.path, session.is_saved) == (other.resolve(), True)
    assert old.read_bytes().decode() == SMALL
    assert other.read_bytes().decode() == session.text
    assert not list(tmp_path.glob(".*.journal"))
    session.undo()
    assert session.text == SMALL


def _taken(folder: Path) -> Path:
    path = folder / "taken.cabinet.yaml"
    path.write_text("name: taken\n")
    return path


def test_a_new_project_is_written_at_once(tmp_path: Path) -> None:
    path = tmp_path / "new.cabinet.yaml"
    session = Session.new(SMALL, path)
    assert path.read_bytes().decode() == session.text == SMALL
    with pytest.raises(OutputError):
        Session.new(SMALL, path)


def test_a_file_with_errors_opens_and_one_that_is_no_text_does_not(tmp_path: Path) -> None:
    session = Session.open(small_in(tmp_path, "name: 5 kg of flour\n"))
    assert session.errors is not None
    assert session.worked is None
    path = tmp_path / "picture.cabinet.yaml"
    path.write_bytes(b"\x89PNG\xff\xfe")
    with pytest.raises(InputErrors):
        Session.open(path)


def test_many_edits_lead_to_what_a_fresh_process_makes_of_the_file(tmp_path: Path) -> None:
    """Nothing that is remembered from one edit to the next gets into the results."""
    path = tmp_path / "demo.cabinet.yaml"
    path.write_bytes(DEMO.read_bytes())
    session = Session.open(path)
    lever = ("parts", "lever", "placed", 0)
    session.edit({(*lever, "v"): 131.5, (*lever, "u"): "80 mm"})
    session.preview({("shape", "width"): 720})
    session.set(("shape", "corners", "G"), [250, 130])
    session.set(("materials", "ply12", "measured"), 12.1)
    session.undo()
    session.set(("doors", "hatch", "gap"), 2)
    session.save()
    assert session.worked is not None
    mine = _told(session.text)
    program = (
        "import sys; from tests.session.test_session import _told; from pathlib import Path;"
        "sys.stdout.write(_told(Path(sys.argv[1]).read_bytes().decode()))"
    )
    root = Path(__file__).parents[2]
    fresh = subprocess.run(
        [sys.executable, "-c", program, str(path)],
        capture_output=True,
        text=True,
        check=True,
        cwd=root,
        env={"PYTHONPATH": f"{root / 'src'}:{root}", "PYTHONHASHSEED": "7", "PATH": ""},
    ).stdout
    assert mine == fresh
    assert session.worked.cabinet == work_out(open_text(session.text)).cabinet
    assert repr(session.worked.findings) in fresh


def _told(text: str) -> str:
    """All that is worked out from a text, as text."""
    worked = work_out(open_text(text))
    return f"{worked.cabinet!r}\n{worked.findings!r}\n{worked.cutting!r}\n{worked.shopping!r}"
