"""The last touch to a STEP file as text, so that the same cabinet gives the same bytes.

The kernel writes the time, numbers that go on from the last file it wrote, and styles in an order that hangs on
addresses in memory. Time and numbers are replaced here, and the styles are written here altogether.

Source:
    ISO 10303-21 (the form of the file); ISO 10303-46 (presentation styles).
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence

from casewright.outputs.exports.appearance import Appearance

FILE_NAME = "cabinet.step"
FIXED_TIME = "2000-01-01T00:00:00"
"""Stands for the time of writing in every file."""

_HEADER = re.compile(r"FILE_NAME\(.*?\);", re.DOTALL)
_USE = re.compile(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\(\s*'[^']*'(.*?\);)", re.DOTALL)
_FOLD = re.compile(r"\n\s*")
_SOLIDS = re.compile(
    r"#\d+ = (?:ADVANCED_BREP_)?SHAPE_REPRESENTATION\(\s*'',\s*\(([^)]*)\),\s*#(\d+)\s*\);"
)
_SOLID = re.compile(r"#(\d+) = (?:MANIFOLD_SOLID_BREP|BREP_WITH_VOIDS)\(")
_FOREIGN = re.compile(r"[^\x00-\x7f]+")
_LAST = re.compile(r"#(\d+) = ")


def finished(text: str, looks: Sequence[Appearance]) -> str:
    """The file with a header of our own, uses numbered from 1, and the parts' styles.

    Args:
        text: What the kernel wrote, without colors.
        looks: One for each part, in the order of the parts in the file.
    """
    header = f"FILE_NAME('{FILE_NAME}','{FIXED_TIME}',(''),(''),'Open CASCADE','casewright','');"
    text, count = _HEADER.subn(header, text, count=1)
    assert count == 1
    number = itertools.count(1)

    def use(match: re.Match[str]) -> str:
        rest = _FOLD.sub("", match[1])  # where the line is folded hangs on the number's length
        return f"NEXT_ASSEMBLY_USAGE_OCCURRENCE('{next(number)}'{rest}"

    text = _USE.sub(use, text)
    end = text.rindex("ENDSEC;")
    text = text[:end] + "".join(_styles(text, looks)) + text[end:]
    return _FOREIGN.sub(
        lambda match: f"\\X4\\{match[0].encode('utf-32-be').hex().upper()}\\X0\\", text
    )


def _styles(text: str, looks: Sequence[Appearance]) -> Iterator[str]:
    """Lines that color each part's solids."""
    solids = {match[1] for match in _SOLID.finditer(text)}
    parts = []
    for match in _SOLIDS.finditer(text):
        own = [item for item in re.findall(r"#(\d+)", match[1]) if item in solids]
        if own:
            parts.append((own, match[2]))
    assert len(parts) == len(looks)
    free = max(int(match[1]) for match in _LAST.finditer(text)) + 1
    assignments: dict[Appearance, int] = {}
    for look in looks:
        if look not in assignments:
            assignments[look] = free
            lines = _assignment(look, free)
            free += len(lines)
            yield from lines
    for (own, context), look in zip(parts, looks, strict=True):
        items = range(free + 1, free + 1 + len(own))
        listed = ",".join(f"#{item}" for item in items)
        yield (
            f"#{free} = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION("
            f"'',({listed}),#{context});\n"
        )
        for item, solid in zip(items, own, strict=True):
            yield f"#{item} = STYLED_ITEM('color',(#{assignments[look]}),#{solid});\n"
        free += 1 + len(own)


def _assignment(look: Appearance, first: int) -> list[str]:
    """A style, from its assignment down to its color."""
    red, green, blue = (f"{share:.6f}" for share in look.rgb)
    n = itertools.count(first + 1)
    usage, side, area, fill, colour, rgb = (next(n) for _ in range(6))
    clear = look.opacity < 1
    rendering, transparent = (next(n), next(n)) if clear else (0, 0)
    styles = f"#{area},#{rendering}" if clear else f"#{area}"
    lines = [
        f"#{first} = PRESENTATION_STYLE_ASSIGNMENT((#{usage}));",
        f"#{usage} = SURFACE_STYLE_USAGE(.BOTH.,#{side});",
        f"#{side} = SURFACE_SIDE_STYLE('',({styles}));",
        f"#{area} = SURFACE_STYLE_FILL_AREA(#{fill});",
        f"#{fill} = FILL_AREA_STYLE('',(#{colour}));",
        f"#{colour} = FILL_AREA_STYLE_COLOUR('',#{rgb});",
        f"#{rgb} = COLOUR_RGB('',{red},{green},{blue});",
    ]
    if clear:
        lines += [
            f"#{rendering} = SURFACE_STYLE_RENDERING_WITH_PROPERTIES("
            f".NORMAL_SHADING.,#{rgb},(#{transparent}));",
            f"#{transparent} = SURFACE_STYLE_TRANSPARENT({1 - look.opacity:.6f});",
        ]
    return [line + "\n" for line in lines]


__all__ = ["FILE_NAME", "FIXED_TIME", "finished"]
