"""The data base behind the stock: its tables, how it is reached, and how a change is begun."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from sqlalchemy import (
    CheckConstraint,
    Column,
    Connection,
    Engine,
    Float,
    Integer,
    MetaData,
    NullPool,
    String,
    Table,
    Text,
    create_engine,
    event,
    insert,
    inspect,
    select,
    text,
)
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import (
    ArgumentError,
    DatabaseError,
    InterfaceError,
    NoSuchModuleError,
    OperationalError,
    SQLAlchemyError,
)

from casewright.basics.errors import InputError, OutputError, RefusedError
from casewright.basics.units import quoted

VERSION: Final = "1"
"""Of the tables."""
PATIENCE: Final = 10.0
"""How long a change waits for another one to end. [s]"""
_LOCK: Final = 0x6361_7365
"""Under which PostgreSQL lets one program at a time make the tables."""

metadata = MetaData()

about = Table(
    "stock_about",
    metadata,
    Column("name", String(40), primary_key=True),
    Column("value", String(200), nullable=False),
)

entries = Table(
    "stock_entries",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("mark", String(60), nullable=False, unique=True),
    Column("kind", String(12), nullable=False),
    Column("pieces", Integer, nullable=False),
    Column("revision", Integer, nullable=False),
    Column("written", Text, nullable=False),  # the record as JSON, lengths as people write them
    Column("length", Float),  # of boards, in mm, to be compared with a plan's
    Column("width", Float),
    Column("origin", String(120), nullable=False, default=""),
    Column("booked_by", Integer),  # the acceptance that it is left over from
    CheckConstraint("pieces >= 0", name="stock_entries_pieces"),
    sqlite_autoincrement=True,  # a mark on a label is never given to another piece
)

acceptances = Table(
    "stock_acceptances",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("plan", String(80), unique=True),  # NULL once it is undone
    Column("project", String(80), nullable=False),
    Column("who", String(80), nullable=False),
    Column("moment", String(20), nullable=False),
    Column("told", Text, nullable=False),  # areas and bought sheets, as JSON
    Column("undone_by", String(80)),
    Column("undone_at", String(20)),
    sqlite_autoincrement=True,
)

moves = Table(
    "stock_moves",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("acceptance", Integer),
    Column("what", String(12), nullable=False),
    Column("mark", String(60), nullable=False),
    Column("kind", String(12), nullable=False),
    Column("change", Integer, nullable=False),  # of the count
    Column("before", Text),  # the whole entry as JSON
    Column("project", String(80), nullable=False, default=""),
    Column("who", String(80), nullable=False),
    Column("moment", String(20), nullable=False),
    sqlite_autoincrement=True,
)


def address_of(text_: str) -> URL:
    """A data base's address, from a URL or from the path of a file.

    Raises:
        InputError: It is neither.
    """
    given = text_.strip()
    if given and not re.match(r"[A-Za-z][A-Za-z0-9+_]*://", given):
        return URL.create("sqlite", database=str(Path(given).expanduser()))
    try:
        url = make_url(given)
    except (ArgumentError, ValueError):
        raise InputError(
            "stock",
            got=_without_password(given),
            want="the path of a file, or the address of a data base",
            example="postgresql+psycopg://shop@server/stock",
        ) from None
    if url.drivername == "postgresql":
        url = url.set(drivername="postgresql+psycopg")
    if url.get_backend_name() == "sqlite" and url.database in (None, "", ":memory:"):
        raise InputError(
            "stock",
            got="a data base in memory, which nobody else could read",
            want="the path of a file",
            example="stock.sqlite",
        )
    return url


def shown(url: URL) -> str:
    """An address as messages show it, without its password."""
    if url.get_backend_name() == "sqlite":
        return str(url.database)
    return url.render_as_string(hide_password=True)


def engine_of(url: URL) -> Engine:
    """An engine whose changes are safe beside others': SQLite's begin by taking the one right to write.

    Raises:
        InputError: There is no driver for it.
    """
    options: dict[str, Any] = {}
    if url.get_backend_name() == "sqlite":
        options["connect_args"] = {"timeout": PATIENCE}
        _make_folder(Path(str(url.database)))
    elif url.get_backend_name() == "postgresql":
        options["connect_args"] = {"connect_timeout": int(PATIENCE)}
    try:
        # Connections live as long as one change: none is left that the server has closed meanwhile.
        engine = create_engine(url, poolclass=NullPool, **options)
    except ImportError as error:
        raise InputError(
            "stock",
            got=f"{url.drivername}, whose driver {error.name or ''} is not installed".replace(
                "  ", " "
            ),
            want="an address whose driver is there; PostgreSQL's comes with pip install casewright[postgresql]",
        ) from None
    except (NoSuchModuleError, SQLAlchemyError):
        raise InputError(
            "stock",
            got=quoted(url.drivername),
            want="a kind of data base that SQLAlchemy knows",
            example="postgresql+psycopg://shop@server/stock",
        ) from None
    if url.get_backend_name() == "sqlite":
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    return engine


def _make_folder(file: Path) -> None:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(
            str(file.parent),
            why=f"the folder cannot be made ({error.strerror})",
            remedy="Name another place for the stock.",
        ) from None


def _prepare_sqlite(connection: Any, record: object) -> None:
    connection.isolation_level = None  # sqlite3 would begin by itself, and without the lock
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode = WAL")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    changes = connection.get_execution_options().get("changes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if changes else "BEGIN")


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """A connection that sees one state of the stock.

    Raises:
        OutputError: The data base does not answer.
    """
    with _told(engine), engine.connect() as connection, connection.begin():
        yield connection


@contextmanager
def changing(engine: Engine) -> Iterator[Connection]:
    """A connection for one change, which is kept whole or not at all.

    Raises:
        OutputError: The data base does not answer.
        RefusedError: Another change does not come to its end.
    """
    with (
        _told(engine),
        engine.connect().execution_options(changes=True) as connection,
        connection.begin(),
    ):
        yield connection


@contextmanager
def _told(engine: Engine) -> Iterator[None]:
    """What the data base's driver complains of, in plain words."""
    try:
        yield
    except (OperationalError, InterfaceError) as error:
        said = str(error.orig).strip().splitlines()
        first = said[0] if said else type(error.orig).__name__
        if "locked" in first or "deadlock" in first:
            raise RefusedError(
                ["Somebody else is changing the stock and has not come to an end. Try again."]
            ) from None
        raise OutputError(
            shown(engine.url),
            why=f"the stock cannot be reached ({_without_password(first)})",
            remedy="Check its address, and that its server runs and lets you in.",
        ) from None
    except DatabaseError as error:
        if "not a database" not in str(error.orig):
            raise
        raise OutputError(
            shown(engine.url),
            why="it is a file of another kind",
            remedy="Name another place for the stock.",
        ) from None


def make_tables(engine: Engine) -> None:
    """Make the tables where they are not there yet.

    Raises:
        RefusedError: They are of a newer casewright.
        OutputError: The data base does not answer.
    """
    with reading(engine) as connection:
        there = inspect(connection).has_table(about.name)
        version = (
            connection.scalar(select(about.c.value).where(about.c.name == "version"))
            if there
            else None
        )
    if version is None:
        with changing(engine) as connection:
            if engine.dialect.name == "postgresql":
                connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _LOCK})
            metadata.create_all(connection)
            version = connection.scalar(select(about.c.value).where(about.c.name == "version"))
            if version is None:
                version = VERSION
                connection.execute(insert(about).values(name="version", value=VERSION))
    if version != VERSION:
        raise RefusedError(
            [
                f"The stock at {shown(engine.url)} is of a newer casewright (form {version}); "
                "bring this one up to date."
            ]
        )


def _without_password(words: str) -> str:
    return re.sub(r"(://[^:/@\s]*):[^@\s]*@", r"\1:***@", words)


__all__ = [
    "PATIENCE",
    "VERSION",
    "about",
    "acceptances",
    "address_of",
    "changing",
    "engine_of",
    "entries",
    "make_tables",
    "metadata",
    "moves",
    "reading",
    "shown",
]
