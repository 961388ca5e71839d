"""The project file on the disk: what it held when last seen, and whether another program changed it since."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from casewright.basics.errors import InputErrors, OutputError
from casewright.workflow import read_text

DiskChange = Literal["changed", "gone"]


class ChangedOnDiskError(OutputError):
    """Another program changed the file: saving would lose its changes."""


@dataclass(frozen=True)
class Seen:
    """A file as it was when it was read or written."""

    stamp: tuple[int, int] | None
    """Time of its last change [ns] and size [bytes]; None where there is no file."""
    digest: str


def digest_of(text: str) -> str:
    """SHA-256 of a text in UTF-8."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def seen(path: Path, text: str) -> Seen:
    """The file as it is now, known to hold the text."""
    return Seen(_stamp(path), digest_of(text))


def look(path: Path, known: Seen) -> tuple[DiskChange | None, Seen]:
    """What happened to the file since it was seen, and how it is seen now.

    A file that was only written again with the same text counts as unchanged.
    """
    stamp = _stamp(path)
    if stamp is None:
        return "gone", known
    if stamp == known.stamp:
        return None, known
    try:
        digest = digest_of(read_text(path))
    except InputErrors:
        digest = ""  # no longer text
    now = Seen(stamp, digest)
    return ("changed" if digest != known.digest else None), now


def _stamp(path: Path) -> tuple[int, int] | None:
    try:
        state = path.stat()
    except OSError:
        return None
    return state.st_mtime_ns, state.st_size


__all__ = ["ChangedOnDiskError", "DiskChange", "Seen", "digest_of", "look", "seen"]
