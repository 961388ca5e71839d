"""Handing pages over to the typesetter."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, TypeVar

from casewright.assets import font_folder

T = TypeVar("T")

Beginning = Callable[[Callable[[], T]], Callable[[], T]]
"""Begins a piece of work, in a thread of its own perhaps, and returns what waits for its result."""


def at_once(work: Callable[[], T]) -> Callable[[], T]:
    """Do a piece of work where it begins.

    Example:
        >>> at_once(lambda: 2 + 3)()
        5
    """
    done = work()
    return lambda: done


@dataclass(frozen=True)
class Script:
    """All that the typesetter needs for one PDF; setting it needs nothing else, so a thread of its own may do it."""

    template: bytes
    """The Typst file."""
    data: Mapping[str, object]
    """What it sets, as it takes it: plain values."""
    pictures: Mapping[str, bytes]
    """SVG by file name."""
    later: Mapping[str, Callable[[], object]] = field(default_factory=dict)
    """More data by name, asked for when the pages are set: what another script told."""

    def pdf(self) -> bytes:
        """Set the pages. Same script, same bytes."""
        return self._set("pdf")

    def png(self, dots_per_inch: float) -> bytes:
        """Set a single page as a picture. Same script, same bytes."""
        return self._set("png", dots_per_inch)

    def told(self, label: str) -> object:
        """The value of the one `metadata` with this label, as plain data; no pages are set."""
        import typst

        return json.loads(
            typst.query(self._files(), f"<{label}>", field="value", one=True, **self._setting())
        )

    def _set(self, form: Literal["pdf", "png"], dots_per_inch: float | None = None) -> bytes:
        import typst

        made = typst.compile(self._files(), format=form, ppi=dots_per_inch, **self._setting())
        assert isinstance(made, bytes), "one file was asked for"
        return made

    def _files(self) -> dict[str, bytes]:
        return {"main.typ": self.template, **self.pictures}

    def _setting(self) -> dict[str, Any]:
        data = {**self.data, **{name: ask() for name, ask in self.later.items()}}
        return {
            "font_paths": [str(font_folder())],
            "ignore_system_fonts": True,
            "sys_inputs": {"data": json.dumps(data, sort_keys=True)},
        }


__all__ = ["Beginning", "Script", "at_once"]
