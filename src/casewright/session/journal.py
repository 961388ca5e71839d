"""What was not saved yet, on the disk after every step, so that a crash loses nothing.

The journal stands beside the project (".radio.cabinet.yaml.journal") while there is something unsaved. Its first line
holds the text it starts from, each further line one step, as JSON; lines are only ever added, and each is brought to
the disk before the step counts as kept. A line cut short by a crash is dropped. The journal of a running program is
locked; a second program that has the same file open keeps one of its own.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Any, Final, Literal, cast, get_args

from casewright.basics.disk import lock, settle
from casewright.session.history import Delta, delta_between

SLOTS: Final = 9
"""Programs that may have the same file open, each with a journal."""
VERSION: Final = 1
LARGEST: Final = 200_000_000
"""Bytes of a journal that are read back."""

_NAME: Final = re.compile(r"\.(.+\.yaml)(?:\.[2-9])?\.journal")

EntryKind = Literal["do", "more", "undo", "redo"]
"""A step, more of the step before it, or one taken back or done again."""


@dataclass(frozen=True)
class Entry:
    """One line of the journal."""

    kind: EntryKind
    label: str
    delta: Delta


@dataclass(frozen=True)
class Leftover:
    """What a journal of a program that has ended holds."""

    base: str
    """Text it starts from."""
    entries: tuple[Entry, ...]
    text: str
    """Text after all steps."""
    when: datetime
    """Of the last step."""


class Journal:
    """The journal of one open project."""

    def __init__(
        self, project: Path, *, clock: Callable[[], datetime] = lambda: datetime.now(UTC)
    ) -> None:
        self.project = project
        self.problem = ""
        """Why steps are not kept at the moment; "" while all is well."""
        self.is_elsewhere = False
        """Another program had the same file open and unsaved when this one looked."""
        self._clock = clock
        self._file: IO[bytes] | None = None
        self._path: Path | None = None
        self._length = 0
        self._text = ""
        """Where the steps kept so far lead."""

    def __del__(self) -> None:
        self.close()

    @property
    def is_begun(self) -> bool:
        """Whether there is one on the disk."""
        return self._file is not None

    def take_over(self, on_disk: str | None) -> Leftover | None:
        """Read what an earlier program left unsaved, and go on in its journal.

        Args:
            on_disk: The file's text, None where it is gone; a journal that leads to just this has nothing to add and
                is removed.
        """
        for path in self._slots():
            opened = self._opened(path)
            if opened is None:
                continue
            try:
                leftover, length, is_ours = _read(opened)
                if leftover is None or leftover.text == on_disk:
                    opened.close()
                    if is_ours:
                        path.unlink(missing_ok=True)
                    continue
                opened.truncate(length)
                opened.seek(length)
            except OSError:
                opened.close()
                continue
            self._file, self._path = opened, path
            self._length, self._text = length, leftover.text
            return leftover
        return None

    def add(self, base: str, entry: Entry) -> None:
        """Keep one step; `base` is the text before it, with which a new journal begins.

        A step that cannot be kept is no error: editing goes on, `problem` says why, and the next step that can be
        kept brings the journal up to date.
        """
        try:
            lines: list[dict[str, object]] = []
            if self._file is None:
                self._begin()
                self._length, self._text = 0, base
                lines.append(
                    {"casewright journal": VERSION, "file": self.project.name, "text": base}
                )
            if self._file is None:
                self.problem = "too many programs have this file open"
                return
            entries = [entry]
            if self._text != base:
                entries.insert(0, Entry("do", entry.label, delta_between(self._text, base)))
            for each in entries:
                delta = each.delta
                line = {"kind": each.kind, "label": each.label, "at": delta.at}
                lines.append({**line, "old": delta.old, "new": delta.new})
            time = self._clock().isoformat()
            text = "".join(json.dumps({**line, "time": time}) + "\n" for line in lines)
            self._append(self._file, text.encode("ascii"))
            self._text = entry.delta.applied(base)
            self.problem = ""
        except OSError as error:
            self.problem = error.strerror or type(error).__name__

    def _append(self, opened: IO[bytes], data: bytes) -> None:
        """Add bytes and bring them to the disk; where that fails, leave the journal as it was."""
        try:
            os.lseek(opened.fileno(), self._length, os.SEEK_SET)
            left = memoryview(data)
            while left:
                left = left[os.write(opened.fileno(), left) :]
            os.fsync(opened.fileno())
            self._length += len(data)
        except OSError:
            with contextlib.suppress(OSError):
                os.ftruncate(opened.fileno(), self._length)
            raise

    def end(self) -> None:
        """Remove the journal: everything is saved, or is to be given up."""
        path = self._path
        self.close()
        if path is not None:
            with contextlib.suppress(OSError):
                path.unlink(missing_ok=True)

    def close(self) -> None:
        """Let go of the journal and leave it where it is."""
        if self._file is not None:
            with contextlib.suppress(OSError):
                self._file.close()
        self._file = self._path = None

    def move_to(self, project: Path) -> None:
        """Go on for another file, without a journal as yet."""
        self.end()
        self.project = project

    def _slots(self) -> Iterator[Path]:
        name = self.project.name
        for slot in range(1, SLOTS + 1):
            yield self.project.with_name(f".{name}{f'.{slot}' if slot > 1 else ''}.journal")

    def _opened(self, path: Path) -> IO[bytes] | None:
        """A journal that is there, locked for this program; None if it is another's."""
        try:
            opened = path.open("r+b")
        except OSError:
            return None
        if lock(opened):
            return opened
        opened.close()
        self.is_elsewhere = True
        return None

    def _begin(self) -> None:
        for path in self._slots():
            try:
                opened = path.open("xb")
                settle(path.parent)
            except FileExistsError:
                continue
            if lock(opened):
                self._file, self._path = opened, path
                return
            opened.close()


def without_file(folder: Path) -> tuple[Path, ...]:
    """Project files that are gone from a folder while what was unsaved of them is still kept there, by name."""
    try:
        names = {found[1] for found in map(_NAME.fullmatch, os.listdir(folder)) if found}
    except OSError:
        return ()
    return tuple(folder / name for name in sorted(names) if not (folder / name).exists())


def _read(opened: IO[bytes]) -> tuple[Leftover | None, int, bool]:
    """What a journal holds, how many bytes of it are whole, and whether it is one of ours."""
    data = opened.read(LARGEST)
    whole = data[: data.rfind(b"\n") + 1].split(b"\n")[:-1]
    if not whole:  # cut short in its first line, or nothing of ours
        return None, 0, not data or data.startswith(b'{"casewright journal"')
    head = _fields(whole[0])
    base = head.get("text")
    if head.get("casewright journal") != VERSION or not isinstance(base, str):
        return None, 0, False
    length = len(whole[0]) + 1
    when, text, entries = _time(head), base, []
    for line in whole[1:]:
        fields = _fields(line)
        entry = _entry(fields)
        if entry is None or not entry.delta.fits(text):
            break
        text = entry.delta.applied(text)
        entries.append(entry)
        when = _time(fields)
        length += len(line) + 1
    return (Leftover(base, tuple(entries), text, when) if entries else None), length, True


def _fields(line: bytes) -> dict[str, Any]:
    try:
        fields = json.loads(line)
    except (ValueError, RecursionError):
        return {}
    return fields if isinstance(fields, dict) else {}


def _entry(fields: dict[str, Any]) -> Entry | None:
    kind, label, at = fields.get("kind"), fields.get("label"), fields.get("at")
    old, new = fields.get("old"), fields.get("new")
    if kind not in get_args(EntryKind) or not isinstance(at, int):
        return None
    if not (isinstance(label, str) and isinstance(old, str) and isinstance(new, str)):
        return None
    return Entry(cast(EntryKind, kind), label, Delta(at, old, new))


def _time(fields: dict[str, Any]) -> datetime:
    try:
        return datetime.fromisoformat(str(fields.get("time")))
    except ValueError:
        return datetime.fromtimestamp(0, UTC)


__all__ = ["Entry", "EntryKind", "Journal", "Leftover", "without_file"]
