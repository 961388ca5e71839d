"""Handing pages over to the typesetter."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass

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
        import typst

        pdf = typst.compile(  # type: ignore[call-overload]  # Its types leave out files in memory.
            {"main.typ": self.template, **self.pictures},
            font_paths=[str(font_folder())],
            ignore_system_fonts=True,
            sys_inputs={"data": json.dumps(self.data, sort_keys=True)},
        )
        assert isinstance(pdf, bytes), "one PDF was asked for"
        return pdf


__all__ = ["Script"]
