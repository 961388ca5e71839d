"""Whatever is done in whatever order: undoing all leads back, byte for byte, and a crash loses nothing."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from tests.session.projects import SMALL, U, V, small_in

from casewright.basics.errors import InputErrors
from casewright.session import REMOVE, Changes, Gesture, Session
from casewright.workflow import open_text, work_out

PATHS = st.sampled_from(
    [
        U,
        V,
        ("shape", "width"),
        ("shape", "corners", "C", 1),
        ("name",),
        ("notes",),
        ("limits", "budget"),
        ("panels", "front", "reveal"),
        ("panels", "front", "cleats", "screw"),
        ("parts", "button", "measured", "nut"),
        ("materials", "ply", "measured"),
        ("seams", 1),
        ("nowhere", 3),
    ]
)
VALUES = st.one_of(
    st.integers(-5, 200),
    st.sampled_from(["12 mm", "1/2 in", "no length", "", "a: b # c", "é\n", None, REMOVE, True]),
    st.sampled_from([{"between": ["base", "front"], "rule": "cover", "over": "front"}, {}, []]),
    st.floats(),
)


class Desk(RuleBasedStateMachine):
    """A maker at an open project, with a second page looking on."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.start = SMALL
        self.first: list[Changes] = []
        self.second: list[Changes] = []
        self.gesture: Gesture | None = None

    @initialize(windows=st.booleans())
    def open(self, windows: bool) -> None:
        self.start = SMALL.replace("\n", "\r\n") if windows else SMALL
        self.session = Session.open(small_in(self.folder, self.start))
        self.saved = self.start
        self.listen()

    def listen(self) -> None:
        self.session.subscribe(self.first.append)
        self.session.subscribe(self.second.append)

    @rule(edits=st.dictionaries(PATHS, VALUES, min_size=1, max_size=3), in_gesture=st.booleans())
    def edit(self, edits: dict[tuple[str | int, ...], object], in_gesture: bool) -> None:
        before, labels = self.session.state, self.session.labels
        try:
            self.session.edit(edits, gesture=self.gesture if in_gesture else None)  # type: ignore[arg-type]
        except InputErrors:
            assert self.session.state is before
            assert self.session.labels == labels

    @rule(
        at=st.integers(0, len(SMALL)),
        length=st.integers(0, 3),
        new=st.text(st.sampled_from(" :-\n{}1aé"), max_size=3),
    )
    def type(self, at: int, length: int, new: str) -> None:
        text = self.session.text
        self.session.edit_text(text[:at] + new + text[at + length :])

    @rule()
    def undo(self) -> None:
        before, could = self.session.text, self.session.can_undo
        self.session.undo()
        if could:
            self.session.redo()
            assert self.session.text == before
            self.session.undo()

    @rule()
    def redo(self) -> None:
        self.session.redo()

    @rule()
    def begin(self) -> None:
        self.gesture = self.session.begin_gesture("drag")

    @precondition(lambda self: self.gesture is not None)
    @rule()
    def end(self) -> None:
        assert self.gesture is not None
        self.session.end_gesture(self.gesture)

    @rule(edits=st.dictionaries(PATHS, VALUES, min_size=1, max_size=2))
    def preview(self, edits: dict[tuple[str | int, ...], object]) -> None:
        before = self.session.state
        self.session.preview(edits)  # type: ignore[arg-type]
        assert self.session.state is before

    @rule()
    def save(self) -> None:
        self.session.save()
        self.saved = self.session.text

    @rule()
    def crash_and_reopen(self) -> None:
        """To the file system a closed journal is that of a killed program."""
        text = self.session.text
        unsaved = not self.session.is_saved
        self.session._journal.close()
        self.session = Session.open(self.session.path)
        assert self.session.text == text
        assert (self.session.restored is not None) == unsaved
        self.start = self.saved  # steps from before the last save are gone
        self.gesture = None
        self.listen()

    @invariant()
    def all_agree(self) -> None:
        assert self.first == self.second
        path: Path = self.session.path
        assert path.read_bytes().decode() == self.saved
        assert self.session.is_saved == (self.session.text == self.saved)
        assert self.session.autosave_problem == ""
        if self.session.errors is None:
            assert self.session.worked is not None
            assert self.session.worked.opened.document.text == self.session.text

    def teardown(self) -> None:
        if self.session.errors is None:
            assert self.session.worked is not None
            fresh = work_out(open_text(self.session.text))
            assert self.session.worked.cabinet == fresh.cabinet
            assert self.session.worked.findings == fresh.findings
        while self.session.can_undo:
            self.session.undo()
        assert self.session.text == self.start
        self.session.close(discard=True)
        shutil.rmtree(self.folder)


TestDesk = Desk.TestCase
TestDesk.settings = settings(max_examples=25, stateful_step_count=20, deadline=None)
