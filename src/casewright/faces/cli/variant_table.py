"""Variants on a terminal: whole figures and whole words at any width.

A line for each variant where that fits; else a line of figures with its choices below; else, on a narrow terminal or
with many figures, both as running text.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from rich.cells import cell_len

_GAP: Final = "  "
_INDENT: Final = "    "
_HELD: Final = "\xa0"
"""A blank that no line is broken at."""
_HIGHEST: Final = 3
"""Lines of a head, where there is room."""
_LEAST: Final = 40
"""Narrower than this nothing is set."""


@dataclass(frozen=True)
class VariantLine:
    """What is shown of one variant."""

    number: str
    choices: Sequence[str]
    figures: Sequence[str]


def variant_lines(
    labels: Sequence[str], figures: Sequence[str], rows: Sequence[VariantLine], *, width: int
) -> list[str]:
    """Set variants as lines of text.

    What is chosen alike in all rows is said once, below them.

    Args:
        labels: What is varied, one for each of a row's choices.
        figures: Heads of the figures, one for each of a row's figures.
        rows: The variants.
        width: Cells to a line.
    """
    width = max(width, _LEAST)
    differ = [
        index for index in range(len(labels)) if len({row.choices[index] for row in rows}) > 1
    ]
    heads = ["variant", *(labels[index] for index in differ), *figures]
    cells = [[row.number, *(row.choices[i] for i in differ), *row.figures] for row in rows]
    left = range(1, 1 + len(differ))
    found = _table(heads, cells, width, left=left)
    if _widest(found) > width:
        found = _with_choices_below(labels, differ, figures, rows, width)
    alike = [
        f"{label}: {rows[0].choices[index]}"
        for index, label in enumerate(labels)
        if rows and index not in differ
    ]
    if alike:
        found += ["", *folded("All of these: " + _items(alike, width), width, hang=_INDENT)]
    return found


def folded(text: str, width: int, *, begin: str = "", hang: str = "") -> list[str]:
    """Text in lines, broken between words; a word longer than a line is left whole.

    Args:
        text: The text.
        width: Cells to a line.
        begin: Before the first line.
        hang: Before the others.

    Example:
        >>> folded("cost 556 cu; mass 18 kg", 12, hang="  ")
        ['cost 556 cu;', '  mass 18 kg']
    """
    lines, line, is_empty = [], begin, True
    for word in text.split(" "):
        if not is_empty and cell_len(line) + 1 + cell_len(word) > width:
            lines.append(line)
            line, is_empty = hang, True
        line += word if is_empty else f" {word}"
        is_empty = False
    return [one.replace(_HELD, " ") for one in (*lines, line)]


def _items(items: Sequence[str], width: int) -> str:
    """Items with signs between them, to be broken only between items where each has room on a line."""
    most = width - len(_INDENT) - 1
    return "; ".join(item.replace(" ", _HELD) if cell_len(item) <= most else item for item in items)


def _with_choices_below(
    labels: Sequence[str],
    differ: Sequence[int],
    figures: Sequence[str],
    rows: Sequence[VariantLine],
    width: int,
) -> list[str]:
    """A line of figures for each variant, its choices below; running text where the figures do not fit either."""
    table = _table(["variant", *figures], [[row.number, *row.figures] for row in rows], width)
    fits = _widest(table) <= width
    found = table[: len(table) - len(rows)] if fits else []
    for row, line in zip(rows, table[len(table) - len(rows) :], strict=True):
        chosen = _items([f"{labels[index]}: {row.choices[index]}" for index in differ], width)
        if fits:
            found.append(line)
        else:
            pairs = zip(figures, row.figures, strict=True)
            told = _items([f"{head} {cell.replace(' ', _HELD)}" for head, cell in pairs], width)
            found += folded(f"{row.number}: {told}", width, hang=_INDENT)
        if chosen:
            found += folded(chosen, width, begin=_INDENT, hang=_INDENT)
    return found


def _table(
    heads: Sequence[str], rows: Sequence[Sequence[str]], width: int, *, left: Sequence[int] = ()
) -> list[str]:
    """Heads, a rule and rows, each cell whole; heads of more lines only where that keeps the table in its width."""
    found = _set_up(heads, rows, left, most=_HIGHEST)
    return found if _widest(found) <= width else _set_up(heads, rows, left, most=None)


def _set_up(
    heads: Sequence[str], rows: Sequence[Sequence[str]], left: Sequence[int], *, most: int | None
) -> list[str]:
    widths, broken = [], []
    for index, head in enumerate(heads):
        cell = max((cell_len(row[index]) for row in rows), default=0)
        wide = max([cell, *map(cell_len, head.split())])
        while most is not None and len(folded(head, wide)) > most:
            wide += 1
        widths.append(wide)
        broken.append(folded(head, wide))
    high = max(map(len, broken))
    tops = [["" for _ in range(high - len(lines))] + lines for lines in broken]
    found = [_line([top[level] for top in tops], widths, left) for level in range(high)]
    found.append(_GAP.join("─" * wide for wide in widths))
    return found + [_line(row, widths, left) for row in rows]


def _line(cells: Sequence[str], widths: Sequence[int], left: Sequence[int]) -> str:
    return _GAP.join(_set(cells, widths, left)).rstrip()


def _set(cells: Sequence[str], widths: Sequence[int], left: Sequence[int]) -> Iterator[str]:
    for index, (cell, wide) in enumerate(zip(cells, widths, strict=True)):
        room = " " * (wide - cell_len(cell))
        yield cell + room if index in left else room + cell


def _widest(lines: Sequence[str]) -> int:
    return max(map(cell_len, lines), default=0)


__all__ = ["VariantLine", "folded", "variant_lines"]
