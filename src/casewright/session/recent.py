"""The projects opened last, kept in the user's data folder."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from platformdirs import user_data_path

from casewright.workflow import save_text

DATA_FOLDER: Final = "CASEWRIGHT_DATA"
"""Environment variable that names another data folder."""
MOST: Final = 30


@dataclass(frozen=True)
class Recent:
    """One project opened before."""

    path: Path
    name: str
    when: datetime

    @property
    def is_there(self) -> bool:
        """Whether the file still exists."""
        return self.path.is_file()


def data_folder() -> Path:
    """Where the user's own data are kept."""
    chosen = os.environ.get(DATA_FOLDER)
    return Path(chosen) if chosen else user_data_path("casewright", appauthor=False)


class RecentFiles:
    """The list, read anew each time, so that several windows share it."""

    def __init__(
        self,
        folder: Path | None = None,
        *,
        clock: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self._folder = folder
        self._clock = clock

    @property
    def file(self) -> Path:
        """Where the list is kept."""
        return (self._folder or data_folder()) / "recent.json"

    def listed(self) -> tuple[Recent, ...]:
        """The last one opened first; what cannot be read is left out."""
        try:
            rows = json.loads(self.file.read_text(encoding="utf-8"))
        except (OSError, ValueError, RecursionError):
            return ()
        found = (_row(row) for row in (rows if isinstance(rows, list) else ()))
        return tuple(recent for recent in found if recent is not None)[:MOST]

    def remember(self, path: Path, name: str) -> None:
        """Put a project at the head of the list.

        Raises:
            OutputError: The list cannot be written.
        """
        path = path.resolve()
        others = (recent for recent in self.listed() if recent.path != path)
        self._write((Recent(path, name, self._clock()), *others))

    def forget(self, path: Path) -> None:
        """Take a project off the list; its file stays.

        Raises:
            OutputError: The list cannot be written.
        """
        path = path.resolve()
        self._write(tuple(recent for recent in self.listed() if recent.path != path))

    def _write(self, recents: tuple[Recent, ...]) -> None:
        rows = [
            {"path": str(recent.path), "name": recent.name, "when": recent.when.isoformat()}
            for recent in recents[:MOST]
        ]
        with suppress(OSError):  # a folder that is not there is told by the next line
            self.file.parent.mkdir(parents=True, exist_ok=True)
        save_text(self.file, json.dumps(rows, indent=1, ensure_ascii=False) + "\n")


def _row(row: object) -> Recent | None:
    if not isinstance(row, dict):
        return None
    path, name, when = row.get("path"), row.get("name"), row.get("when")
    if not (isinstance(path, str) and isinstance(name, str) and isinstance(when, str)):
        return None
    try:
        return Recent(Path(path), name, datetime.fromisoformat(when))
    except ValueError:
        return None


__all__ = ["DATA_FOLDER", "MOST", "Recent", "RecentFiles", "data_folder"]
