"""One session for each file, however many pages show it."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from threading import Lock

from casewright.basics.errors import OutputError
from casewright.session.recent import RecentFiles
from casewright.session.session import Session


class Sessions:
    """The open projects of one program.

    Args:
        recent: Where opened projects are remembered; None to remember none.
        catalogs: The maker's own catalog files, laid over the built-in catalog.
    """

    def __init__(self, *, recent: RecentFiles | None = None, catalogs: Sequence[Path] = ()) -> None:
        self.recent = recent
        self._catalogs = tuple(catalogs)
        self._users: dict[Session, int] = {}
        self._lock = Lock()

    @property
    def all(self) -> tuple[Session, ...]:
        """The open ones, in the order of opening."""
        return tuple(self._users)

    def find(self, path: Path) -> Session | None:
        """The session of a file that is open already."""
        path = path.resolve()
        return next((session for session in self._users if session.path == path), None)

    def open(self, path: Path) -> Session:
        """The session of a file; each `open` takes one `close`.

        Raises:
            InputErrors: The file cannot be read as text.
        """
        with self._lock:
            session = self.find(path) or Session.open(path, catalogs=self._catalogs)
            return self._used(session)

    def new(self, text: str, path: Path, *, overwrite: bool = False) -> Session:
        """Write a new project file and open it.

        Raises:
            OutputError: It exists already or is open, or cannot be written.
        """
        with self._lock:
            self._refuse_open(path)
            session = Session.new(text, path, overwrite=overwrite, catalogs=self._catalogs)
            return self._used(session)

    def save_as(self, session: Session, path: Path, *, overwrite: bool = False) -> None:
        """Write a session's text to another file and go on with that one, for all its pages.

        Raises:
            OutputError: It exists already or is open, or cannot be written.
        """
        with self._lock:
            if path.resolve() != session.path:
                self._refuse_open(path)
            session.save_as(path, overwrite=overwrite)
            self._remember(session)

    def close(self, session: Session, *, discard: bool = False) -> None:
        """Let go of a session; with its last user it is closed. Unsaved changes wait in the journal."""
        with self._lock:
            left = self._users.get(session, 1) - 1
            if left > 0:
                self._users[session] = left
                return
            self._users.pop(session, None)
            session.close(discard=discard)

    def _used(self, session: Session) -> Session:
        is_new = session not in self._users
        self._users[session] = self._users.get(session, 0) + 1
        if is_new:
            self._remember(session)
        return session

    def _refuse_open(self, path: Path) -> None:
        if self.find(path) is not None:
            raise OutputError(str(path), why="it is open", remedy="Choose another name.")

    def _remember(self, session: Session) -> None:
        if self.recent is None:
            return
        name = session.opened.project.name if session.opened else session.path.stem
        with suppress(OutputError):  # a list that cannot be written keeps nobody from his work
            self.recent.remember(session.path, name)


__all__ = ["Sessions"]
