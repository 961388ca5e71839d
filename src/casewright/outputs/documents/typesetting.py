"""Handing pages over to the typesetter."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from casewright.assets import font_folder


@dataclass(frozen=True)
class Script:
    """All that the typesetter needs for one PDF; setting it needs nothing else, so a thread of its own may do it."""

    template: bytes
    """The Typst file."""
    data: Mapping[str, object]
    """What it sets, as it takes it: plain values."""
    pictures: Mapping[str, bytes]
    """SVG by file name."""

    def pdf(self) -> bytes:
        """Set the pages. Same script, same bytes."""
        return self._set("pdf")

    def png(self, dots_per_inch: float) -> bytes:
        """Set a single page as a picture. Same script, same bytes."""
        return self._set("png", dots_per_inch)

    def _set(self, form: Literal["pdf", "png"], dots_per_inch: float | None = None) -> bytes:
        import typst

        made = typst.compile(  # type: ignore[call-overload]  # Its types leave out files in memory.
            {"main.typ": self.template, **self.pictures},
            font_paths=[str(font_folder())],
            ignore_system_fonts=True,
            sys_inputs={"data": json.dumps(self.data, sort_keys=True)},
            format=form,
            ppi=dots_per_inch,
        )
        assert isinstance(made, bytes), "one file was asked for"
        return made


__all__ = ["Script"]
