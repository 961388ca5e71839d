"""Files and folders named by options: an empty name is no name."""

from __future__ import annotations

from pathlib import Path

import typer


def named_path(text: str) -> Path:
    """The path that an option names.

    Raises:
        BadParameter: Nothing stands there. As a path it would be the current folder, which nobody asked for.
    """
    if not str(text).strip():
        raise typer.BadParameter(
            "found an empty name; expected the name of a file or folder, or no such option. "
            "Example: papers"
        )
    return Path(text)


__all__ = ["named_path"]
