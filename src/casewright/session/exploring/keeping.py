"""Rows that are worked out, kept so that neither a crash nor Ctrl-C costs them.

A SQLite file: a row that was written is there after the program, or the computer, was killed. Rows are found again by
the project's text, the program's code, the numbers asked for and the variant's own changes, so that a wider range
takes over what a narrower one has worked out, and nothing is taken over that could differ.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Final

from casewright.basics.errors import OutputError
from casewright.planning.exploring import Row, Variant

PATIENCE_S: Final = 10.0
"""How long another program that writes is waited for. [s]"""


class KeptRows:
    """The rows of one file. Nothing stays open between calls, so that any thread may ask."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def found(self, job: str, variants: Sequence[Variant]) -> dict[int, Row]:
        """Rows that are there already, by number.

        Args:
            job: Mark of the exploration.
            variants: Those that are asked for.

        Raises:
            OutputError: The file cannot be read.
        """
        if not self.path.exists():
            return {}
        with self._open() as database:
            told = database.execute("SELECT variant, row FROM rows WHERE job = ?", (job,))
            rows = {variant: json.loads(row) for variant, row in told}
        return {
            one.number: Row(
                one.number, one.choices, rows[one.mark]["figures"], rows[one.mark]["reason"]
            )
            for one in variants
            if one.mark in rows
        }

    def keep(self, job: str, rows: Iterable[tuple[Variant, Row]]) -> None:
        """Write rows, all or none.

        Raises:
            OutputError: The file cannot be written.
        """
        with self._open() as database, database:
            database.executemany(
                "INSERT OR REPLACE INTO rows VALUES (?, ?, ?)",
                [
                    (
                        job,
                        variant.mark,
                        json.dumps({"figures": dict(row.figures), "reason": row.reason}),
                    )
                    for variant, row in rows
                ],
            )

    def forget(self, *, but: str = "") -> int:
        """Take out the rows of all explorations but one; how many they were.

        Raises:
            OutputError: The file cannot be written.
        """
        if not self.path.exists():
            return 0
        with self._open() as database, database:
            return database.execute("DELETE FROM rows WHERE job != ?", (but,)).rowcount

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            with closing(sqlite3.connect(self.path, timeout=PATIENCE_S)) as database:
                database.execute("PRAGMA journal_mode = WAL")
                database.execute("PRAGMA synchronous = FULL")
                database.execute(
                    "CREATE TABLE IF NOT EXISTS rows (job TEXT NOT NULL, variant TEXT NOT NULL,"
                    " row TEXT NOT NULL, PRIMARY KEY (job, variant)) WITHOUT ROWID"
                )
                yield database
        except (sqlite3.Error, OSError) as error:
            raise OutputError(
                str(self.path),
                why=f"the rows of the exploration cannot be kept there ({error})",
                remedy="Name another file with --keep.",
            ) from error


__all__ = ["KeptRows"]
