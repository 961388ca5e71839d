"""Where numbers come from: the entries of `sources.toml`, by key."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

PLAIN_SOURCES = (
    "common practice",
    "from memory",
    "plain geometry",
    "project setting",
)
"""Sources that need no entry: they say all there is to say."""


@dataclass(frozen=True)
class Source:
    """One standard, handbook, data sheet or table."""

    key: str
    title: str
    edition: str
    """Number or year; empty if the source has none."""
    where: str
    """Clause, table or page."""
    checked: str
    """How far the values were checked: seen in the source itself, in a reprint, or not since."""

    @property
    def line(self) -> str:
        """The source in one line, for lists and explanations."""
        return ", ".join(part for part in (self.title, self.edition, self.where) if part)


@cache
def load_sources() -> Mapping[str, Source]:
    """Return every source by key, in the order of the file.

    Example:
        >>> load_sources()["iso-273"].title
        'ISO 273, Fasteners: clearance holes for bolts and screws'
    """
    text = files("casewright.basics").joinpath("sources.toml").read_text(encoding="utf-8")
    return MappingProxyType(
        {key: Source(key=key, **entry) for key, entry in tomllib.loads(text).items()}
    )


def is_source(key: str) -> bool:
    """True for a key of `sources.toml` and for the plain sources such as "common practice"."""
    return key.lower() in PLAIN_SOURCES or key in load_sources()


def source_line(key: str) -> str:
    """Return a source in one line for a reader; what is no key stands for itself.

    Example:
        >>> source_line("common practice")
        'common practice'
    """
    source = load_sources().get(key)
    return source.line if source else key


__all__ = ["PLAIN_SOURCES", "Source", "is_source", "load_sources", "source_line"]
