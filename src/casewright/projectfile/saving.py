"""Writing files whole or not at all."""

from __future__ import annotations

import errno
import os
import tempfile
from pathlib import Path

from casewright.basics.disk import ASIDE, clear_asides, lock, settle
from casewright.basics.errors import OutputError


def save_text(path: Path, text: str) -> None:
    """Write a text file in UTF-8, whole or not at all.

    It is written aside in the same folder, brought to the disk, then put in the place of the old
    file in one step. A crash at any moment leaves either the old file or the new one; what it left
    aside goes when the file is written the next time.

    Raises:
        OutputError: The file or its folder cannot be written; the old file is as it was.
    """
    save_bytes(path, text.encode("utf-8"))


def save_bytes(path: Path, data: bytes) -> None:
    """Write a file whole or not at all; see `save_text`."""
    target = path.resolve() if path.is_symlink() else path  # a link stays a link
    aside: Path | None = None
    try:
        prefix = f".{target.name[:40]}."
        clear_asides(target.parent, prefix)
        handle, name = tempfile.mkstemp(prefix=prefix, suffix=ASIDE, dir=target.parent)
        aside = Path(name)
        with os.fdopen(handle, "wb") as stream:
            lock(stream)
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(aside, _mode(target))
        os.replace(aside, target)
        aside = None
        settle(target.parent)
    except OSError as error:
        raise _output_error(path, error) from error
    finally:
        if aside is not None:
            aside.unlink(missing_ok=True)


def _mode(target: Path) -> int:
    """The old file's permissions, or those of a new file."""
    if target.exists():
        return target.stat().st_mode & 0o7777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


_REMEDIES = {
    errno.ENOENT: ("the folder is not there", "Make the folder first, or choose another."),
    errno.ENOTDIR: ("the folder is not there", "Make the folder first, or choose another."),
    errno.EISDIR: ("a folder has that name", "Choose another name."),
    errno.EACCES: ("writing there is not allowed", "Choose a folder of your own."),
    errno.EPERM: ("writing there is not allowed", "Choose a folder of your own."),
    errno.EROFS: ("the disk can only be read", "Choose a folder on another disk."),
    errno.ENOSPC: ("the disk is full", "Free some space, then save again."),
    errno.EDQUOT: ("your share of the disk is full", "Free some space, then save again."),
    errno.ENAMETOOLONG: ("the name is too long", "Choose a shorter name."),
}


def _output_error(path: Path, error: OSError) -> OutputError:
    reason = error.strerror or type(error).__name__
    why, remedy = _REMEDIES.get(error.errno or 0, (reason, "Choose another folder or name."))
    return OutputError(str(path), why=why, remedy=remedy)


__all__ = ["save_bytes", "save_text"]
