"""Named versions of a project, kept in one file beside it: one line each, as JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from casewright.basics.errors import InputError, OutputError
from casewright.basics.wording import counted
from casewright.outputs.difference import State
from casewright.workflow import SUFFIX, Worked, save_text

LARGEST = 200_000_000
"""Bytes that are read. """
LONGEST_NAME = 80


@dataclass(frozen=True)
class Version:
    """The project as it was at one time."""

    name: str
    when: datetime
    text: str


def versions_path(project: Path) -> Path:
    """Where the versions of a project are kept: "radio.versions.jsonl" beside "radio.cabinet.yaml"."""
    return project.with_name(f"{project.name.removesuffix(SUFFIX)}.versions.jsonl")


def versions_of(project: Path) -> tuple[Version, ...]:
    """All versions, the oldest first; none where nothing was kept. A line that is spoilt is passed over.

    Raises:
        OutputError: The file is there and cannot be read.
    """
    path = versions_path(project)
    try:
        if not path.exists():
            return ()
        if path.stat().st_size > LARGEST:
            raise OutputError(
                str(path),
                why="it is larger than the versions of any project",
                remedy="Move it away.",
            )
        lines = path.read_text(encoding="utf-8", errors="replace").split("\n")
    except OSError as error:
        raise OutputError(
            str(path), why=error.strerror or str(error), remedy="Look at its rights."
        ) from error
    found = []
    for line in lines:
        version = _read(line)
        if version is not None:
            found.append(version)
    return tuple(found)


def keep_version(
    project: Path,
    text: str,
    name: str,
    *,
    clock: Callable[[], datetime] = lambda: datetime.now(UTC),
) -> Version:
    """Keep a project's text as a version; it is on the disk when this returns, whole or not at all.

    Raises:
        InputError: The name is empty, too long, or taken.
        OutputError: The file cannot be written.
    """
    name = " ".join(name.split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        want = f"a name of 1 to {LONGEST_NAME} signs in one line"
        raise InputError(
            "name", got=repr(name[:LONGEST_NAME]), want=want, example="before the overlay"
        )
    known = versions_of(project)
    if any(version.name == name for version in known):
        raise InputError(
            "name", got=name, want="a name that no version has yet", example=f"{name} 2"
        )
    version = Version(name, clock().replace(microsecond=0), text)
    save_text(versions_path(project), "".join(_line(one) for one in (*known, version)))
    return version


def version_named(project: Path, name: str) -> Version:
    """The version of that name, or of that number, the oldest being 1.

    Raises:
        InputError: There is none; the last ones are named.
    """
    known = versions_of(project)
    for version in known:
        if version.name == name:
            return version
    if name.isdecimal() and 1 <= int(name) <= len(known):
        return known[int(name) - 1]
    if not known:
        want = "a version; none is kept yet: casewright keep FILE NAME"
        raise InputError("version", got=name, want=want)
    last = ", ".join(version.name for version in known[-4:])
    want = f"one of {counted(len(known), 'version')}, such as {last}"
    raise InputError("version", got=name, want=want, example=known[-1].name)


def state_of(worked: Worked) -> State:
    """What is compared of a worked project."""
    return State(
        data=worked.opened.document.data,
        cabinet=worked.cabinet,
        findings=worked.findings,
        mass_kg=worked.balance.total_kg,
        cost=worked.shopping.cost.value,
        currency=worked.opened.project.currency,
        sheets=sum(len(plan.plan.sheets) for plan in worked.cutting.plans),
    )


def _line(version: Version) -> str:
    row = {"name": version.name, "when": version.when.isoformat(), "text": version.text}
    return json.dumps(row, ensure_ascii=False) + "\n"


def _read(line: str) -> Version | None:
    try:
        row = json.loads(line)
        when = datetime.fromisoformat(row["when"])
        name, text = row["name"], row["text"]
    except (ValueError, KeyError, TypeError):
        return None
    if not isinstance(name, str) or not isinstance(text, str):
        return None
    return Version(name, when if when.tzinfo else when.replace(tzinfo=UTC), text)


__all__ = ["Version", "keep_version", "state_of", "version_named", "versions_of", "versions_path"]
