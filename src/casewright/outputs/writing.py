"""Files appear whole or not at all: made in memory, written aside, then renamed into place."""

from __future__ import annotations

import errno
import json
import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path, PurePosixPath

from casewright.basics.disk import ASIDE, LOCKED, clear_asides, lock
from casewright.basics.errors import OutputError

PREFIX = ".casewright-"
"""Of the folder in which a build is written aside."""
MADE = "made-by-casewright.json"
"""Lists what the last build wrote, so that the next one removes what is no longer made - and nothing else."""


def write_folder(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write a set of files into a folder.

    All are written into a hidden folder beside the target first; only when every one is complete are they renamed
    into place. Files of an earlier build that are not made any more are removed, and what a build that was ended midway
    had written aside; others are left alone.

    Args:
        folder: Where to; made if it does not exist.
        files: Content by name relative to the folder, with forward slashes.

    Returns:
        The paths written, in order.

    Raises:
        OutputError: The folder cannot be written; what stood there before still does.
    """
    for name in files:
        _refuse_climbing(name)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        clear_asides(folder, PREFIX)
        aside = Path(tempfile.mkdtemp(prefix=PREFIX, suffix=ASIDE, dir=folder))
        held = (aside / LOCKED).open("wb")
    except OSError as error:
        raise _explained(folder, error) from None
    try:
        lock(held)
        for name, content in files.items():
            path = aside / name
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        before = _made_before(folder)
        # Told of before they are put in place: ended midway, the next build still knows all that is ours.
        _list(folder, aside, before | set(files))
        written = []
        for name in files:
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            os.replace(aside / name, target)
            written.append(target)
        for name in sorted(before - set(files)):
            _forget(folder, name)
        _list(folder, aside, set(files))
    except OSError as error:
        raise _explained(folder, error) from None
    finally:
        held.close()
        shutil.rmtree(aside, ignore_errors=True)
    return tuple(written)


def _list(folder: Path, aside: Path, names: set[str]) -> None:
    (aside / MADE).write_bytes(json.dumps(sorted(names), indent=1).encode())
    os.replace(aside / MADE, folder / MADE)


def _made_before(folder: Path) -> set[str]:
    try:
        names = json.loads((folder / MADE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return set()
    if not isinstance(names, list):
        return set()
    return {name for name in names if isinstance(name, str) and not _climbs(name)}


def _forget(folder: Path, name: str) -> None:
    path = folder / name
    if path.is_file() and not path.is_symlink():
        path.unlink()
        parent = path.parent
        if parent != folder and not any(parent.iterdir()):
            parent.rmdir()


def _climbs(name: str) -> bool:
    parts = PurePosixPath(name).parts
    return not parts or name.startswith("/") or ".." in parts or "\\" in name or ":" in name


def _refuse_climbing(name: str) -> None:
    if _climbs(name):
        raise ValueError(f"a file name that leaves its folder: {name!r}")


def _explained(folder: Path, error: OSError) -> OutputError:
    reasons = {
        errno.ENOSPC: ("the disk is full", "Free some space and build again; nothing was changed."),
        errno.EACCES: ("it may not be written", "Choose another folder with --out."),
        errno.EPERM: ("it may not be written", "Choose another folder with --out."),
        errno.EROFS: ("it is on a read-only disk", "Choose another folder with --out."),
        errno.ENOTDIR: ("a file is in the way", "Choose another folder with --out."),
        errno.EEXIST: ("a file of that name is in the way", "Choose another folder with --out."),
        errno.ENAMETOOLONG: ("its name is too long", "Choose a shorter folder with --out."),
    }
    why, remedy = reasons.get(
        error.errno or 0,
        (error.strerror or "it cannot be written", "Choose another folder with --out."),
    )
    return OutputError(str(error.filename or folder), why=why, remedy=remedy)


__all__ = ["MADE", "write_folder"]
