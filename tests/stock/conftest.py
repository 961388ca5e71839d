"""Stocks to try: a file, and a data base on a PostgreSQL server that runs for the tests alone."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest


def programs() -> Path | None:
    """Folder of PostgreSQL's own programs; Debian keeps them out of the search path."""
    found = shutil.which("initdb")
    if found:
        return Path(found).resolve().parent
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return folders[-1].parent if folders else None


def unprivileged() -> str | None:
    """A user that the server may run as: never root."""
    if os.name != "posix" or os.geteuid() != 0:
        return None
    names = {one.pw_name for one in pwd.getpwall()}
    return next((name for name in ("postgres", "nobody") if name in names), "nobody")


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """Address of a server's first data base; the server ends with the tests."""
    folder = programs()
    if folder is None:
        pytest.skip("PostgreSQL is not installed here")
    user = unprivileged()
    # In the system's own folder for such things: the path of a socket may hold no more than 107 signs.
    home = Path(tempfile.mkdtemp(prefix="stock-"))
    if user is not None:
        shutil.chown(home, user)

    def run(*command: str) -> None:
        done = subprocess.run(
            command,
            user=user,
            cwd=home,
            capture_output=True,
            text=True,
            env={"PATH": os.defpath, "LC_ALL": "C", "HOME": str(home)},
            timeout=60,
            check=False,
        )
        assert done.returncode == 0, done.stdout + done.stderr

    data = home / "data"
    options = f"-k {home} -c listen_addresses= -c fsync=off"
    try:
        run(
            str(folder / "initdb"), "-D", str(data), "-U", "shop", "-A", "trust", "-E", "UTF8", "-N"
        )
        # Its output goes to a file: the server would keep a pipe open.
        log = str(home / "log")
        run(str(folder / "pg_ctl"), "-D", str(data), "-l", log, "-o", options, "-w", "start")
        try:
            yield f"postgresql+psycopg://shop@/postgres?host={home}"
        finally:
            run(str(folder / "pg_ctl"), "-D", str(data), "-m", "immediate", "stop")
    finally:
        shutil.rmtree(home, ignore_errors=True)


@pytest.fixture
def emptied(server: str) -> str:
    """The server's data base with nothing in it."""
    from sqlalchemy import create_engine, text
    from sqlalchemy.pool import NullPool

    engine = create_engine(server, isolation_level="AUTOCOMMIT", poolclass=NullPool)
    with engine.connect() as connection:
        connection.execute(text("DROP SCHEMA public CASCADE"))
        connection.execute(text("CREATE SCHEMA public"))
    return server


@pytest.fixture(params=["file", "PostgreSQL"])
def address(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where an empty stock is: in turn a file, and a data base on a server."""
    if request.param == "file":
        return str(tmp_path / "stock.sqlite")
    empty: str = request.getfixturevalue("emptied")
    return empty
