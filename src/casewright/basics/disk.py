"""What each system does in its own way with files: locks, folders brought to the disk, what was left aside."""

from __future__ import annotations

import os
import shutil
import sys
import time
from pathlib import Path
from typing import IO, Final

if sys.platform == "win32":  # pragma: no cover
    import msvcrt
else:
    import fcntl

ASIDE: Final = ".aside"
"""Suffix of files and folders that are written beside their place and then put there in one step."""
LOCKED: Final = ".locked"
"""In a folder aside: held locked by the program that fills it."""
SETTLED_S: Final = 10.0
"""Younger asides are left alone: between being closed and being put in place a file is not locked."""
_FAR: Final = 800_000_000
"""Place of the byte that Windows locks: one that nobody reads or writes."""


def lock(opened: IO[bytes]) -> bool:
    """Lock a file until it is closed or the program ends, however it ends; False if another has it."""
    try:
        if sys.platform == "win32":  # pragma: no cover
            at = opened.tell()
            opened.seek(_FAR)
            msvcrt.locking(opened.fileno(), msvcrt.LK_NBLCK, 1)
            opened.seek(at)
        else:
            fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def settle(folder: Path) -> None:
    """Bring a folder's own entries to the disk, where the system has that."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def clear_asides(folder: Path, prefix: str, *, older: float = SETTLED_S) -> int:
    """Take away what programs that were ended had written aside and not put in place.

    Args:
        folder: Where to look.
        prefix: How the names begin; they end with `ASIDE`.
        older: Only what has not been touched for so long. [s]

    Returns:
        How many were taken away; what cannot be looked at stays.
    """
    cleared = 0
    try:
        found = [
            Path(entry.path)
            for entry in os.scandir(folder)
            if entry.name.startswith(prefix) and entry.name.endswith(ASIDE)
        ]
    except OSError:
        return 0
    for path in found:
        try:
            if time.time() - path.stat().st_mtime < older or not _is_free(path):
                continue
            if path.is_dir():
                shutil.rmtree(path)
            else:
                path.unlink()
        except OSError:
            continue
        cleared += 1
    return cleared


def _is_free(aside: Path) -> bool:
    """Whether no living program fills it."""
    held = aside / LOCKED if aside.is_dir() else aside
    if not held.exists():
        return True
    with held.open("rb") as opened:
        return lock(opened)


__all__ = ["ASIDE", "LOCKED", "clear_asides", "lock", "settle"]
