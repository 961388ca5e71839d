"""How to read the book: its lines and signs, each drawn once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.outputs.documents.book_blocks import Block, Writer, beside, heading, text
from casewright.outputs.drawings.marks import (
    Box,
    Circle,
    Drawing,
    Line,
    Mark,
    Motion,
    Pen,
    Polyline,
    Region,
    Text,
    rectangle,
)
from casewright.outputs.drawings.symbols import CentreMark, DatumMark, GrainArrow, Triangle

WIDE, HIGH = 26.0, 10.0
"""Of one sign. [mm]"""


def legend(writer: Writer) -> Iterator[Block]:
    """Lines after ISO 128, the signs of this book, and its habits."""
    yield heading("How to read it")
    yield text(
        "Every length is worked out from the project; none is read off a picture. Sizes of a piece stand "
        "as length × width × thickness, and run from one datum corner, so that errors do not add up."
    )
    entries = _entries()
    half = (len(entries) + 1) // 2
    yield beside(*([_column(writer, entries[i : i + half])] for i in (0, half)), widths=(0, 0))
    yield text(
        "Stop: do not cut. Caution: look again. Note: worth knowing. The short mark at the top right "
        f"of every page ({writer.fingerprint}) changes with the project: papers with another mark belong to "
        "another state of it."
    )
    if writer.source.bench:
        yield text(
            "The square code of a page, a piece or a step opens it on a phone, as long as the workbench runs at "
            f"{writer.source.bench} (casewright open --lan)."
        )
    else:
        yield text(
            "Every piece's page has a square code with that mark and the piece's key, to be read by any "
            "phone; it holds plain words and no address."
        )


def _column(writer: Writer, entries: Sequence[tuple[str, Sequence[Mark]]]) -> Block:
    marks: list[Mark] = []
    for row, (words, picture) in enumerate(entries):
        down = -row * HIGH
        marks += [mark.through(Motion(0.0, down)) for mark in picture]
        marks.append(Text((WIDE + 4.0, down), words, 2.8, "start", "middle"))
    box = Box(0.0, -(len(entries) - 1) * HIGH - HIGH / 2, writer.width / 2 - 5.0, HIGH / 2)
    return writer.drawing(Drawing("Lines and signs", tuple(marks), box), margin=0.0, align="left")


def _entries() -> list[tuple[str, Sequence[Mark]]]:
    lines: list[tuple[Pen, str]] = [
        ("visible", "edge that is seen"),
        ("hidden", "edge behind"),
        ("centre", "centre line"),
        ("phantom", "cleat or guide strip"),
    ]
    entries: list[tuple[str, Sequence[Mark]]] = [
        (words, (Line((0.0, 0.0), (WIDE, 0.0), pen),)) for pen, words in lines
    ]
    middle = WIDE / 2
    wood = rectangle(Box(4.0, -3.2, WIDE - 4.0, 3.2))
    waste = rectangle(Box(4.0, -3.2, WIDE - 4.0, 3.2), pen="thin")
    cut = Circle((middle, 0.0), 2.6, "accent-thin")
    return [
        *entries,
        ("wood, cut through", (Region(wood, material="wood"), wood)),
        ("offcut worth keeping", (Region(waste, material="waste"), waste)),
        ("datum corner", (_corner(middle), DatumMark((middle, -1.0)))),
        ("this edge is up", (Triangle((middle, -3.5), 7.0),)),
        ("grain", (GrainArrow((middle, -0.5), 0.0, 20.0, ""),)),
        ("hole with its centre", (Circle((middle, 0.0), 2.2), CentreMark((middle, 0.0), 2.2, 1.5))),
        (
            "number of a saw cut",
            (
                Line((2.0, 0.0), (WIDE - 2.0, 0.0), "accent-thin"),
                Region(cut, material="paper"),
                cut,
                Text((middle, 0.0), "3", 2.5, "middle", "middle", weight="bold", pen="accent"),
            ),
        ),
        ("″ in a table", (Text((middle, 0.0), "as above", 2.8, "middle", "middle"),)),
    ]


def _corner(x: float) -> Polyline:
    return Polyline(((x, 4.0), (x, -1.0), (x + 9.0, -1.0)), closed=False)


__all__ = ["legend"]
