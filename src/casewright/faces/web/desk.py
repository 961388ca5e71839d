"""What the server has open: each project once, under a short name for its address."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path

from casewright.basics.errors import InputError
from casewright.catalog.load import Catalog
from casewright.outputs.bench_links import project_slug
from casewright.session import RecentFiles, Session, Sessions
from casewright.session.journal import without_file
from casewright.session.stocking import stock_address
from casewright.workflow import SUFFIX, read_catalogs


class Desk:
    """The projects of one server.

    Args:
        folder: Where new projects are put and opened from, unless the maker says otherwise.
        recent: The list of projects opened last.
        catalogs: The maker's own catalog files.
    """

    def __init__(
        self, folder: Path, *, recent: RecentFiles | None = None, catalogs: Sequence[Path] = ()
    ) -> None:
        self.folder = folder.resolve()
        self.recent = recent if recent is not None else RecentFiles()
        self.catalogs = tuple(catalogs)
        """The maker's own catalog files."""
        self.sessions = Sessions(recent=self.recent, catalogs=catalogs)
        self.catalog: Catalog = read_catalogs(catalogs)
        self._open: dict[str, Session] = {}
        self.bench_address = ""
        """Where phones on the local network find the server; "" where only this computer does."""
        self.stock_wished: str | None = None
        """Address of the shop's stock, where the command names one."""
        self.who = ""
        """In whose name the stock is changed; the computer's user where nobody said."""
        self.told: set[str] = set()
        """What a page has told already and need not be told twice."""

    @property
    def stock_address(self) -> str:
        """Where the shop's stock is."""
        return stock_address(self.stock_wished, folder=self.recent.file.parent)

    def open(self, path: Path) -> str:
        """Open a file, or find it open; the name it has in addresses.

        Raises:
            InputErrors: It cannot be read as text.
        """
        key = key_of(path)
        if key not in self._open:
            self._open[key] = self.sessions.open(path)
        return key

    def new(self, text: str, path: Path) -> str:
        """Write a new project and open it.

        Raises:
            OutputError: The file exists already, or cannot be written.
        """
        session = self.sessions.new(text, path)
        key = key_of(session.path)
        self._open[key] = session
        return key

    def find(self, key: str) -> Session | None:
        """The session of that name; opened for it if it is one of the last ones, so that a page outlives the server."""
        if key in self._open:
            return self._open[key]
        for recent in self.recent.listed():
            if key_of(recent.path) == key and (
                recent.is_there or recent.path in self.kept(recent.path.parent)
            ):
                return self._open[self.open(recent.path)]
        return None

    def named(self, slug: str) -> str:
        """The name in addresses of the project whose papers call it so, of those open the last one; "" for none."""
        for key, session in reversed(self._open.items()):
            opened = session.opened or (session.worked.opened if session.worked else None)
            if opened is not None and project_slug(opened.project.name) == slug:
                return key
        return ""

    @property
    def first(self) -> str:
        """The name in addresses of the project that was opened first; "" where none is."""
        return next(iter(self._open), "")

    def save_as(self, session: Session, path: Path) -> str:
        """Go on with another file; the new name. The old one leads there too while the server runs.

        Raises:
            OutputError: It exists already, or cannot be written.
        """
        self.sessions.save_as(session, path)
        key = key_of(session.path)
        self._open[key] = session
        return key

    def projects(self) -> list[Path]:
        """Project files in the folder."""
        return sorted(path for path in self.folder.glob(f"*{SUFFIX}") if path.is_file())[:200]

    def kept(self, folder: Path | None = None) -> list[Path]:
        """Project files that are gone, of which unsaved work is still kept; in the desk's folder or another."""
        return list(without_file(folder or self.folder))

    def close(self) -> None:
        """Let go of everything; unsaved changes wait in their journals."""
        for session in set(self._open.values()):
            self.sessions.close(session)
        self._open.clear()


def key_of(path: Path) -> str:
    """A file's name in addresses: the same every time, and it tells nothing of where the file lies."""
    return hashlib.sha256(str(path.resolve()).encode("utf-8", "surrogatepass")).hexdigest()[:16]


def file_name(name: str) -> str:
    """A plain file name for a project's name; it leads into no other folder.

    Example:
        >>> file_name("Reading-corner duel"), file_name("../../x")
        ('reading-corner-duel.cabinet.yaml', 'x.cabinet.yaml')
    """
    return f"{project_slug(name)}{SUFFIX}"


def path_in(folder: Path, name: str) -> Path:
    """Where a file of that name lies in a folder.

    Raises:
        InputError: The name leads out of the folder.
    """
    plain = plain_file(name)
    if not plain.endswith(SUFFIX):
        plain = plain.removesuffix(".yaml").removesuffix(".cabinet") + SUFFIX
    return folder / plain


def plain_file(name: str) -> str:
    """The name of a file without the blanks round it.

    Raises:
        InputError: It leads into another folder.
    """
    plain = name.strip()
    bad = (
        not plain
        or plain != Path(plain).name
        or plain.startswith(".")
        or "\\" in plain
        or "\0" in plain
    )
    if bad or len(plain) > 120:
        raise InputError(
            "file name",
            got=plain[:120] or "nothing",
            want="a name without folders",
            example="my-cabinet",
        )
    return plain


def free_path(folder: Path, name: str) -> Path:
    """Where a project file of that name can be put: the same with a number where it is taken."""
    stem = name.removesuffix(SUFFIX)
    path, number = folder / name, 2
    while path.exists():
        path, number = folder / f"{stem}-{number}{SUFFIX}", number + 1
    return path


__all__ = ["Desk", "file_name", "free_path", "key_of", "path_in", "plain_file"]
