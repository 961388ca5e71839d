"""An open project: its text, what was worked out from it, and every way to change it.

A change is answered in two stages. First the text and the cabinet in space are there (`built`), then all that is said
of it (`worked`); on the way to that, what the checks find is told as soon as it is known (`findings`). A newer change
does not wait for the second stage of an older one, which is then given up.

The text of the file is the truth; all else follows from it. A state is one frozen value, put in the old one's place in
a single step, so whoever reads it, from any thread, sees one that belongs together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from threading import Lock, RLock, get_ident
from time import monotonic
from typing import Final, NamedTuple

from casewright.basics.errors import InputError, InputErrors, OutputError
from casewright.basics.findings import Finding, Remedy, worded
from casewright.catalog.load import Catalog
from casewright.session.changes import Cause, Changes, compare, compare_findings
from casewright.session.disk import ChangedOnDiskError, DiskChange, look, seen
from casewright.session.foretaste import meanwhile, with_outcomes_kept
from casewright.session.history import Delta, Gesture, History, Step, delta_between
from casewright.session.journal import Entry, EntryKind, Journal, Leftover
from casewright.session.listening import Listener, Listeners
from casewright.session.states import Preview, Restored, State
from casewright.session.workings import Workings
from casewright.workflow import (
    LARGEST_BYTES,
    Built,
    Edits,
    KeyPath,
    LoadedDocument,
    Opened,
    Removal,
    Superseded,
    Value,
    Worked,
    changed_document,
    named,
    proposed_document,
    read_catalogs,
    read_text,
    remedy_edits,
    save_text,
    with_groups,
    write_new,
)

PATIENCE: Final = 0.3
"""For how long the second stage of a change is put off at most until its first one is shown. [s]"""


WORTH_TELLING: Final = 0.08
"""What the checks found is told before the rest where that took as long the last time: a page that draws twice shows
the rest later. [s]"""


class _Begun(NamedTuple):
    """A change after its first stage."""

    changes: Changes
    state: State
    version: int


class Session:
    """An open project. Make one with `open` or `new`; share it through `Sessions`."""

    def __init__(self, path: Path, text: str | None, catalog: Catalog) -> None:
        self._path = path
        self._lock = RLock()
        self._history = History()
        self._journal = Journal(path)
        self._listeners = Listeners()
        self._early = Listeners()
        self._judging = Listeners()
        self._pauses: list[Callable[[float], None]] = []
        self._coming: set[object] = set()
        """Changes that wait for their turn or are being made."""
        self._teller = 0
        """The thread that is telling listeners, and holds the lock; 0 for none."""
        self._trying = Lock()
        self._tried: tuple[Finding, ...] = ()
        """Findings whose remedies were tried last."""
        self._looks = 0
        """Previews asked for so far."""
        self._workings = Workings(catalog)
        self._seen = seen(path, text or "")
        self._saved_text = text
        """What the file held when last seen; None where there was none."""
        self.restored: Restored | None = None
        self.version = 0
        """Grows by 1 with each change of the text."""
        self.shown_version = 0
        """The version that `worked` is of."""
        leftover = self._journal.take_over(self._saved_text)
        if leftover is not None:
            text = self._replay(leftover)
        if text is None:
            raise _missing(path)
        state = self._workings.finished(self._state_of(text))
        self._state = replace(state, shown=state.worked, placed=state.built)
        self._judged: tuple[int, tuple[Finding, ...]] = (-1, ())
        """What the checks found in the text of a version, while the rest of it is worked out."""
        self._rest_took = WORTH_TELLING
        """From what the checks found to the end, the last time. [s]"""
        self._told = (self._state.shown, text, str(state.errors or ""))
        """What listeners know: what is shown, the text, and what is wrong with it."""

    @classmethod
    def open(cls, path: Path, *, catalogs: Sequence[Path] = ()) -> Session:
        """Open a project file; unsaved changes of an earlier program are taken up again.

        A file that has something wrong with it opens too, and `errors` tells what. So does one that is gone, where its
        journal is still there; `save` then writes it again.

        Raises:
            InputErrors: The file cannot be read as text.
            InputError: One of the catalogs cannot be read.
        """
        path = path.resolve()
        text = read_text(path) if path.exists() else None
        return cls(path, text, read_catalogs(catalogs))

    @classmethod
    def new(
        cls, text: str, path: Path, *, overwrite: bool = False, catalogs: Sequence[Path] = ()
    ) -> Session:
        """Write a new project file and open it.

        Raises:
            OutputError: It exists already, or cannot be written.
        """
        path = path.resolve()
        catalog = read_catalogs(catalogs)
        _check_text(text)
        write_new(path, text, overwrite=overwrite)
        return cls(path, text, catalog)

    # ---- what there is ----

    @property
    def path(self) -> Path:
        """The file."""
        return self._path

    @property
    def state(self) -> State:
        """Text and results that belong together."""
        return self._state

    @property
    def text(self) -> str:
        """The project file's text, with all edits."""
        return self._state.text

    @property
    def opened(self) -> Opened | None:
        """The project as read; None where the text cannot be read."""
        return self._state.opened

    @property
    def worked(self) -> Worked | None:
        """The cabinet and all that is said of it; the last one while the text's own is not there, or cannot be."""
        return self._state.shown

    @property
    def sound(self) -> Worked:
        """The cabinet, where there must be one.

        Raises:
            InputErrors: What is wrong with the text, while there has not been a right one.
        """
        if self.worked is None:
            assert self.errors is not None
            raise self.errors
        return self.worked

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What there is to look at, as far as it is known.

        While the rest is worked out: what the checks found in the text as it is now, perhaps without some remedies,
        and what followed from cutting and purchases before. Until remedies are tried anew, those that are the same say
        what the last trial told of them.
        """
        if self.found_version != self.shown_version:
            return self._judged[1]
        worked = self.worked
        if worked is None:
            return ()
        return worked.told if worked.is_tried else with_outcomes_kept(worked.told, self._tried)

    @property
    def found_version(self) -> int:
        """The version that `findings` are of."""
        version = self._judged[0]
        return version if self.is_behind and version == self.version else self.shown_version

    @property
    def built(self) -> Built | None:
        """The cabinet in space, there before `worked` is; the last one where something is wrong with the text."""
        return self._state.placed

    @property
    def is_behind(self) -> bool:
        """Whether `worked` is of an earlier text, and that of this one is being worked out."""
        return self._state.is_behind

    @property
    def is_changing(self) -> bool:
        """Whether a change waits for its turn, or its first stage is being made."""
        return bool(self._coming)

    @property
    def errors(self) -> InputErrors | None:
        """What is wrong with the text, each with its line."""
        return self._state.errors

    @property
    def is_saved(self) -> bool:
        """Whether the file holds the text."""
        return self._state.text == self._saved_text

    @property
    def is_elsewhere(self) -> bool:
        """Whether another program had unsaved changes of the same file when this one opened it."""
        return self._journal.is_elsewhere

    @property
    def autosave_problem(self) -> str:
        """Why unsaved changes would not outlive a crash; "" if they would."""
        return self._journal.problem

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to take back."""
        return self._history.last is not None

    @property
    def can_redo(self) -> bool:
        """Whether there is a step to do again."""
        return self._history.next is not None

    @property
    def undo_label(self) -> str:
        """What `undo` would take back."""
        return self._history.last.label if self._history.last else ""

    @property
    def redo_label(self) -> str:
        """What `redo` would do again."""
        return self._history.next.label if self._history.next else ""

    @property
    def labels(self) -> tuple[str, ...]:
        """Of all steps that can be undone, the first one first."""
        return self._history.labels

    # ---- changing it ----

    def set(self, path: KeyPath, value: Value | Removal, label: str = "") -> Changes:
        """Change one value; see `edit`."""
        return self.edit({path: value}, label)

    def edit(self, edits: Edits, label: str = "", *, gesture: Gesture | None = None) -> Changes:
        """Change values of the file, its comments and order kept; one step of undo.

        Args:
            edits: New values by place, `REMOVE` to take one out. Missing groups on the way are made.
            label: What the step is called.
            gesture: One from `begin_gesture`; its edits count as one step.

        Raises:
            InputErrors: The file would have something wrong with it that it has not now. Nothing is changed.
        """
        with self._change():
            try:
                document = self._document()
                changed = changed_document(document, with_groups(document.data, edits))
            except InputError as error:
                raise InputErrors([error]) from None
            state = self._state_of(_mark(self.text) + changed.text, changed)
            if state.errors is not None:
                before = self._state.errors.errors if self._state.errors else ()
                if {e.field for e in state.errors.errors} - {e.field for e in before}:
                    raise state.errors
            name = label or (gesture.label if gesture else "") or named(edits)
            begun = self._commit(state, name, "edit", gesture=gesture)
        return self._finish(begun)

    def edit_text(
        self, text: str, label: str = "edit the text", *, gesture: Gesture | None = None
    ) -> Changes:
        """Put another text in place of the whole; it may have something wrong with it, which `errors` tells.

        Raises:
            InputErrors: It is no text that a file can hold. Nothing is changed.
        """
        _check_text(text)
        with self._change():
            begun = self._commit(self._state_of(text), label, "text", gesture=gesture)
        return self._finish(begun)

    def edits_of(self, remedy: Remedy) -> dict[KeyPath, Value | Removal]:
        """The edits that carry out a remedy; none where it is not a matter of values in the file."""
        document, opened = self._state.document, self._state.opened
        return remedy_edits(remedy, document, opened) if document and opened else {}

    def apply(self, finding: Finding, remedy: Remedy) -> Changes:
        """Carry out one of a finding's remedies.

        Raises:
            InputErrors: It cannot be carried out by editing one value, or not on the file as it is now.
        """
        with self._lock:
            edits = self.edits_of(remedy)
            opened = self._state.opened
            if not edits or opened is None:
                want = "a remedy that changes one value of the file"
                raise InputErrors([InputError(remedy.field, got=finding.rule, want=want)])
            return self.edit(edits, worded(remedy.text, opened.write_length).rstrip("."))

    def preview(self, edits: Edits) -> Preview:
        """What an edit would lead to; nothing is changed, told or kept.

        For drags: as fast as the model allows. It keeps no change waiting, and is given up for a change or a newer
        preview.
        """
        self._looks += 1
        look, state = self._looks, self._state

        def wanted() -> bool:
            return self._looks == look and not self._coming and self._state.text == state.text

        try:
            document = self._document()
            proposed = proposed_document(document, with_groups(document.data, edits))
            worked = self._workings.work(proposed, wanted=wanted)
        except InputError as error:
            return Preview(Changes("preview"), None, InputErrors([error]))
        except InputErrors as errors:
            return Preview(Changes("preview"), None, errors)
        except Superseded:
            return Preview(Changes("preview"), None, is_superseded=True)
        return Preview(compare(state.shown, worked, cause="preview"), worked)

    def try_remedies(self) -> Changes:
        """Find what the remedies of what is shown would bring, unless a change comes; listeners are told of it.

        It takes a cabinet's working out for each remedy: a matter for a moment of rest.
        """
        nothing = Changes()
        state, version, looks = self._state, self.version, self._looks
        worked = state.worked

        def wanted() -> bool:
            return self.version == version and self._looks == looks and not self._coming

        if worked is None or not self._trying.acquire(blocking=False):
            return nothing
        before = worked.told
        try:
            worked.try_remedies(wanted=wanted)
        except Superseded:
            return nothing
        finally:
            self._trying.release()
        with self._lock:
            self._tried = worked.told
            changes = compare_findings(before, worked.told)
            if self._state.worked is not worked or not changes:
                return nothing
            self._say(self._listeners, changes)
            return changes

    def begin_gesture(self, label: str) -> Gesture:
        """Begin a drag: its edits, handed this, count as one step."""
        return Gesture(label)

    def end_gesture(self, gesture: Gesture) -> None:
        """End a drag; one that led back to where it began leaves no step."""
        gesture.is_open = False

    @contextmanager
    def gesture(self, label: str) -> Iterator[Gesture]:
        """A gesture for the length of a `with` block."""
        gesture = self.begin_gesture(label)
        try:
            yield gesture
        finally:
            self.end_gesture(gesture)

    def undo(self) -> Changes:
        """Take the last step back; nothing where there is none."""
        with self._change():
            step = self._history.undo()
            if step is None:
                return Changes("undo")
            begun = self._walk(step.label, step.delta.reverse, "undo")
        return self._finish(begun)

    def redo(self) -> Changes:
        """Do the step again that was undone last; nothing where there is none."""
        with self._change():
            step = self._history.redo()
            if step is None:
                return Changes("redo")
            begun = self._walk(step.label, step.delta, "redo")
        return self._finish(begun)

    def whole(self) -> Worked | None:
        """All that is said of the text as it is now, worked out first where need be; for papers and the like."""
        while True:
            with self._lock:
                state, version = self._state, self.version
            if not state.is_behind:
                return state.shown
            self._finish(_Begun(Changes("edit", stage="space"), state, version))

    # ---- the file ----

    def disk_change(self) -> DiskChange | None:
        """Whether another program changed or removed the file since it was read or saved."""
        with self._lock:
            change, now = look(self._path, self._seen)
            if change is None:
                self._seen = now
            elif change == "gone" and not self._journal.is_begun:
                # Nothing was unsaved, and now nothing is saved: keep the whole of it.
                self._keep(self.text, "do", "keep what the file held", Delta(0, "", ""))
            return change

    def reload(self) -> Changes:
        """Take the text that another program wrote; a step that can be undone.

        Raises:
            InputErrors: The file cannot be read as text. Nothing is changed.
        """
        with self._change():
            text = read_text(self._path)
            _check_text(text)
            self._seen = seen(self._path, text)
            self._saved_text = text
            if self.is_saved:
                self._journal.end()
            begun = self._commit(self._state_of(text), "take the file from the disk", "reload")
        return self._finish(begun)

    def keep_mine(self) -> None:
        """Let the next `save` write over what another program wrote."""
        with self._lock:
            try:
                self._saved_text = read_text(self._path)
            except InputErrors:
                self._saved_text = ""
            self._seen = seen(self._path, self._saved_text)

    def save(self) -> None:
        """Write the file, whole or not at all.

        Raises:
            ChangedOnDiskError: Another program changed it; `reload` or `keep_mine` first.
            OutputError: It cannot be written.
        """
        with self._lock:
            if self.disk_change() == "changed":
                raise ChangedOnDiskError(
                    str(self._path),
                    why="another program changed it",
                    remedy="Take the file from the disk, or keep yours.",
                )
            self._write(self._path)

    def save_as(self, path: Path, *, overwrite: bool = False) -> None:
        """Write the text to another file and go on with that one.

        Raises:
            OutputError: It exists already, or cannot be written.
        """
        path = path.resolve()
        with self._lock:
            if path == self._path:
                self.save()
                return
            if path.exists() and not overwrite:
                raise OutputError(str(path), why="it exists already", remedy="Choose another name.")
            save_text(path, self.text)
            self._journal.move_to(path)
            self._path = path
            self._workings.forget()  # their messages name the old file
            self._take(self._workings.finished(self._state_of(self.text)))
            self.shown_version = self.version
            self._kept(path)

    def close(self, *, discard: bool = False) -> None:
        """Let go of the project. What is unsaved stays in the journal, unless it is to be discarded."""
        with self._lock:
            if discard or self._is_on_disk:
                self._journal.end()
            self._journal.close()
            self._listeners.clear()
            self._early.clear()
            self._judging.clear()

    # ---- listeners ----

    def subscribe(
        self,
        listener: Listener,
        *,
        early: Listener | None = None,
        judged: Listener | None = None,
        pause: Callable[[float], None] | None = None,
    ) -> Callable[[], None]:
        """Have a function called with each change, in order, by the thread that made it.

        Args:
            listener: Called when all is worked out. Of changes that follow each other too fast for that, only the last
                one is told; it tells what differs from the last one told.
            early: Called before that, as soon as the cabinet in space is there.
            judged: Called between the two, as soon as `findings` are those of the new text.
            pause: Called by the same thread before it goes on from either, with the seconds that it may wait at most
                until what was told is shown: two threads of Python at work at once would only hold each other up.
                However many pauses there are, all together wait for `PATIENCE`.

        Returns:
            A function that ends the subscription.
        """
        with self._lock:
            self._listeners.add(listener)
            if early is not None:
                self._early.add(early)
            if judged is not None:
                self._judging.add(judged)
            if pause is not None:
                self._pauses.append(pause)

        def unsubscribe() -> None:
            with self._lock:
                self._listeners.remove(listener)
                if early is not None:
                    self._early.remove(early)
                if judged is not None:
                    self._judging.remove(judged)
                if pause in self._pauses:
                    self._pauses.remove(pause)

        return unsubscribe

    # ---- inside ----

    @property
    def _is_on_disk(self) -> bool:
        """Whether nothing would be lost without the journal."""
        return self.is_saved and self._path.exists()

    def _document(self) -> LoadedDocument:
        document, errors = self._state.document, self._state.errors
        if document is None:
            assert errors is not None
            raise errors
        return document

    def _state_of(self, text: str, document: LoadedDocument | None = None) -> State:
        return self._workings.begun(text, document, file=self._path.name)

    @contextmanager
    def _change(self) -> Iterator[None]:
        """For the first stage of a change: one at a time; what is worked on meanwhile is told to make way."""
        mine = object()
        self._coming.add(mine)
        try:
            with self._lock:
                yield
        finally:
            self._coming.discard(mine)

    def _finish(self, begun: _Begun) -> Changes:
        """The second stage of a change, unless a newer one comes.

        Returns:
            What the change did; only its first stage where the second one was given up.
        """
        if begun.changes.stage == "whole":
            return begun.changes
        # Within a listener the lock is held, and what waits for it cannot be newer.
        is_inside = self._teller == get_ident()
        if not is_inside:
            self._pause()

        def wanted() -> bool:
            return self.version == begun.version and (is_inside or not self._coming)

        found_at: list[float] = []

        def judged(found: tuple[Finding, ...]) -> None:
            with self._lock:
                is_newest = self.version == begun.version
                if self._rest_took < WORTH_TELLING or not is_newest:
                    found_at[:] = [monotonic()]
                    return
                before = self._state.shown
                planned = before.planned if before else ()
                self._judged = (begun.version, meanwhile(found, self.findings, planned))
                told = Changes(begun.changes.cause, begun.changes.label, stage="judged")
                self._say(self._judging, told)
            if not is_inside:
                self._pause()
            found_at[:] = [monotonic()]

        hears = judged if self._judging else None
        while True:
            try:
                whole = self._workings.finished(begun.state, wanted=wanted, judged=hears)
                if found_at:
                    self._rest_took = monotonic() - found_at[0]
                break
            except Superseded:
                with (
                    self._lock
                ):  # it has its turn; where nothing came of it, this one is still the newest
                    if self.version != begun.version:
                        return begun.changes
        with self._lock:
            if self.version != begun.version or not self._state.is_behind:
                return begun.changes
            self._take(whole)
            return self._tell(begun.changes.cause, begun.changes.label)

    def _pause(self) -> None:
        """Wait for what was told to be shown."""
        ends = monotonic() + PATIENCE
        for pause in tuple(self._pauses):
            pause(max(0.0, ends - monotonic()))

    def _take(self, state: State) -> None:
        """Make a state the present one; what it lacks stays as it was."""
        old = self._state
        self._state = replace(
            state, shown=state.worked or old.shown, placed=state.built or old.placed
        )

    def _tell(self, cause: Cause, label: str) -> Changes:
        """Tell all that differs from what was told last."""
        state, (shown, text, errors) = self._state, self._told
        self._told = (state.shown, state.text, str(state.errors or ""))
        self.shown_version = self.version
        changes = compare(
            shown,
            state.shown,
            cause=cause,
            label=label,
            text=text != state.text,
            errors=errors != self._told[2],
        )
        self._say(self._listeners, changes)
        return changes

    def _say(self, who: Listeners, changes: Changes) -> None:
        before, self._teller = self._teller, get_ident()
        try:
            who.tell(changes)
        finally:
            self._teller = before

    def _commit(
        self, state: State, label: str, cause: Cause, *, gesture: Gesture | None = None
    ) -> _Begun:
        """Make a state the present one, as a step of its own or as more of a gesture's."""
        before = self._state.text
        if state.text == before:
            return _Begun(Changes(cause, label), state, self.version)
        last = self._history.last
        merges = gesture is not None and gesture.is_open and last is not None
        delta = delta_between(before, state.text)
        if merges and last is not None and last.gesture is gesture and not self.can_redo:
            start = last.delta.reverse.applied(before)
            whole = delta_between(start, state.text)
            is_back = start == state.text
            self._history.replace_last(None if is_back else Step(last.label, whole, gesture))
            self._keep(before, "more", last.label, delta)
        else:
            self._history.push(Step(label, delta, gesture))
            self._keep(before, "do", label, delta)
        return self._become(state, label, cause)

    def _walk(self, label: str, delta: Delta, cause: Cause) -> _Begun:
        """Undo or redo a step."""
        before = self._state.text
        state = self._state_of(delta.applied(before))
        self._keep(before, "undo" if cause == "undo" else "redo", label, delta)
        return self._become(state, label, cause)

    def _become(self, state: State, label: str, cause: Cause) -> _Begun:
        """The first stage of a change, told at once."""
        self._take(state)
        self.version += 1
        if self._is_on_disk:
            self._journal.end()
        if not state.is_behind:
            return _Begun(self._tell(cause, label), state, self.version)
        changes = Changes(cause, label, text=True, stage="space")
        self._say(self._early, changes)
        return _Begun(changes, state, self.version)

    def _keep(self, before: str, kind: EntryKind, label: str, delta: Delta) -> None:
        self._journal.add(before, Entry(kind, label, delta))

    def _replay(self, leftover: Leftover) -> str:
        """Take up an earlier program's steps, so that they can be undone as well."""
        text = leftover.base
        for entry in leftover.entries:
            after = entry.delta.applied(text)
            if after == text:
                continue
            last, coming = self._history.last, self._history.next
            if entry.kind == "undo" and last and last.delta.reverse == entry.delta:
                self._history.undo()
            elif entry.kind == "redo" and coming and coming.delta == entry.delta:
                self._history.redo()
            elif entry.kind == "more" and last and last.delta.reverse.fits(text):
                start = last.delta.reverse.applied(text)
                whole = None if start == after else Step(last.label, delta_between(start, after))
                self._history.replace_last(whole)
            else:
                self._history.push(Step(entry.label, entry.delta))
            text = after
        steps = sum(entry.delta.old != entry.delta.new for entry in leftover.entries)
        is_gone = self._saved_text is None
        is_conflict = not is_gone and leftover.base != self._saved_text
        self.restored = Restored(leftover.when, steps, is_conflict, is_gone)
        return text

    def _write(self, path: Path) -> None:
        save_text(path, self.text)
        self._journal.end()
        self._kept(path)

    def _kept(self, path: Path) -> None:
        """The file holds the text now."""
        self._saved_text = self.text
        self._seen = seen(path, self.text)
        self.restored = None
        self._listeners.tell(Changes("save"))


def _missing(path: Path) -> InputErrors:
    error = InputError(
        "file",
        got=f"{path}, which is not there",
        want="a project file, or the journal of one that was not saved beside it",
        example="my.cabinet.yaml",
    )
    return InputErrors([error])


def _mark(text: str) -> str:
    """The byte order mark that a text begins with, which a document's text has not."""
    return text[:1] if text.startswith("\ufeff") else ""


def _check_text(text: str) -> None:
    """Refuse what no file can hold, or what would take long to look at."""
    try:
        size = len(text.encode("utf-8"))
    except UnicodeEncodeError:
        error = InputError("", got="half a character", want="text that can be written in UTF-8")
        raise InputErrors([error]) from None
    if size > LARGEST_BYTES:
        want = f"at most {LARGEST_BYTES:,} bytes"
        raise InputErrors([InputError("", got="a larger text", want=want)])


__all__ = ["Session"]
