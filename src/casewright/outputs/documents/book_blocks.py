"""What a page of the bench book is made of, as plain data for the typesetter, and the writer that holds the pictures.

Every block is a dictionary with a `kind` that `book.typ` knows. Words go in as they are; the typesetter never reads
them as markup.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal
from zlib import crc32

from casewright.basics.customary import METRES_PER_FOOT, POUND_KG
from casewright.basics.findings import Finding, worded
from casewright.basics.units import LengthStyle, Unit, format_length
from casewright.behavior.balance import Balance
from casewright.behavior.whole import Behavior
from casewright.geometry.model import Cabinet, Piece
from casewright.outputs.documents.signs import HAZARD_SIGNS, sign_svg
from casewright.outputs.documents.tiles import Paper
from casewright.outputs.drawings.hole_table import bit_figure
from casewright.outputs.drawings.lettering import one_line
from casewright.outputs.drawings.marks import Drawing
from casewright.outputs.drawings.part_view import PartSheet
from casewright.outputs.drawings.svg import write_svg
from casewright.outputs.fingerprint import fingerprint
from casewright.planning.as_built import Way
from casewright.planning.blanks import Cutting
from casewright.planning.buying import Shopping
from casewright.planning.cautions import CAUTIONS, Hazard
from casewright.planning.work import WorkPlan
from casewright.planning.work.step import labels_of

Block = dict[str, object]
Cell = str | dict[str, str]

SIDE, TOP, BOTTOM = 17.0, 24.0, 19.0
"""Margins of a page. [mm]"""

LONG_WORD = 18
"""Words longer than this may be broken anywhere. [signs]"""

MM2_PER_SQUARE_FOOT = 304.8**2
"""Exact: a foot is 12 inches of 25.4 mm. Source: international yard and pound agreement, 1959; NIST SP 811, B.8."""
UNIT_WORDS: dict[Unit, str] = {
    "mm": "millimeters",
    "cm": "centimeters",
    "m": "meters",
    "in": "inches",
}

_LONG = re.compile(rf"\S{{{LONG_WORD + 1},}}")


@dataclass(frozen=True)
class BookSource:
    """All that a bench book tells."""

    cabinet: Cabinet
    findings: tuple[Finding, ...]
    cutting: Cutting
    shopping: Shopping
    behavior: Behavior
    work: WorkPlan
    sheets: tuple[PartSheet, ...]
    """From `part_drawings`, laid out for `part_room` of the same paper."""
    style: LengthStyle
    made: Way | None = None
    """What exists, held against the plan; None where nothing does."""
    bench: str = ""
    """Address under which phones find the project at the bench; "" where there is none."""

    @property
    def balance(self) -> Balance:
        """Mass and centre of gravity."""
        return self.behavior.balance


@dataclass
class Writer:
    """Puts lengths into words, and collects the pictures of one book."""

    source: BookSource
    paper: Paper
    pictures: dict[str, bytes] = field(default_factory=dict)
    places: dict[str, dict[str, str]] = field(default_factory=dict)
    """Codes of the places that pages open: picture and text, by the place's name."""

    @property
    def cabinet(self) -> Cabinet:
        """The cabinet."""
        return self.source.cabinet

    @property
    def width(self) -> float:
        """Of the text. [mm]"""
        return self.paper.width - 2 * SIDE

    @property
    def height(self) -> float:
        """Of the text. [mm]"""
        return self.paper.height - TOP - BOTTOM

    @cached_property
    def fingerprint(self) -> str:
        """Of the project's state."""
        return fingerprint(self.cabinet.project)

    @cached_property
    def labels(self) -> dict[str, str]:
        """What pieces and placed parts are called, by key."""
        return labels_of(self.cabinet)

    def length(self, length: float) -> str:
        """With its unit. [mm in]"""
        return format_length(length, self.source.style, glyphs="typeset")

    def figure(self, length: float) -> str:
        """Without its unit. [mm in]"""
        return format_length(length, self.source.style, with_unit=False, glyphs="typeset")

    def sizes(self, *lengths: float) -> str:
        """Length × width × thickness, the unit once at the end. [mm in]"""
        return " × ".join([*(self.figure(x) for x in lengths[:-1]), self.length(lengths[-1])])

    def say(self, text: str) -> str:
        """A text with its marked lengths written out, fit for a narrow column."""
        return clean(worded(text, self.length))

    @property
    def unit_words(self) -> str:
        """The user's unit in full."""
        return UNIT_WORDS[self.source.style.unit]

    def mass(self, mass_kg: float) -> str:
        """In pounds too where lengths are in inches."""
        if self.source.style.unit == "in":
            return f"{mass_kg / POUND_KG:.1f} lb ({mass_kg:.1f} kg)"
        return f"{mass_kg:.1f} kg"

    def area(self, area: float, *, decimals: int = 2) -> str:
        """In square meters, or square feet where lengths are in inches. [mm² in]"""
        if self.source.style.unit == "in":
            return f"{area / MM2_PER_SQUARE_FOOT:.{decimals - 1}f} ft²"
        return f"{area / 1e6:.{decimals}f} m²"

    def run(self, metres: float) -> str:
        """What is sold by the metre; in feet first, to the next whole one, where lengths are in inches."""
        if self.source.style.unit == "in":
            return f"{math.ceil(metres / METRES_PER_FOOT - 1e-9)} ft ({metres:g} m)"
        return f"{metres:g} m"

    def bit(self, diameter: float) -> str:
        """A drill's diameter; in inches to 1/64, as drills are sold. [mm in]"""
        return bit_figure(diameter, self.source.style)

    def money(self, value: float) -> str:
        """An amount in the project's currency."""
        return f"{value:.2f} {clean(self.cabinet.project.currency)}"

    def blank(self, piece: Piece) -> tuple[float, float, float]:
        """Length (along the grain, else the longer), width, thickness. [mm]"""
        sizes = sorted((piece.width, piece.height), reverse=True)
        if piece.grain == "u":
            sizes = [piece.width, piece.height]
        elif piece.grain == "v":
            sizes = [piece.height, piece.width]
        return (sizes[0], sizes[1], piece.thickness)

    def material(self, piece: Piece) -> str:
        """What it is cut from."""
        material = self.cabinet.project.materials.get(piece.material)
        if material is None:
            return clean(self.cabinet.project.batten.label or "batten")
        return clean(material.label or piece.material)

    def keep(self, file: str, svg: str) -> str:
        """Store a picture under its name, once."""
        self.pictures.setdefault(file, svg.encode())
        return file

    def drawing(
        self,
        drawing: Drawing,
        *,
        caption: str = "",
        margin: float = 1.0,
        most: tuple[float, float] | None = None,
        align: Literal["left", "center"] = "center",
    ) -> Block:
        """A figure at the drawing's own scale; shrunk, if it must, to `most` wide and high. [mm]"""
        width = drawing.bounds.width * drawing.scale + 2 * margin
        height = drawing.bounds.height * drawing.scale + 2 * margin
        room = most or (self.width, self.height)
        factor = min(1.0, room[0] / width, room[1] / height)
        file = self.keep(f"figure{len(self.pictures):03}.svg", write_svg(drawing, margin=margin))
        return {
            "kind": "figure",
            "file": file,
            "width": width * factor,
            "height": height * factor,
            "caption": clean(caption),
            "alt": one_line(drawing.title),
            "align": align,
        }

    def signs(self, hazards: Iterable[Hazard]) -> list[str]:
        """Files of the signs of some hazards, each once."""
        names = dict.fromkeys(name for hazard in hazards for name in HAZARD_SIGNS[hazard])
        return [self.keep(f"sign-{name}.svg", sign_svg(name)) for name in names]

    def cautions(self, *hazards: Hazard) -> Block:
        """Signs with their sentences."""
        return {
            "kind": "cautions",
            "items": [
                {"signs": self.signs([hazard]), "texts": list(CAUTIONS[hazard])}
                for hazard in hazards
            ],
        }


def clean(text: str) -> str:
    r"""One line of printable signs; long words may break.

    Example:
        >>> clean("deck\nleft"), len(clean("x" * 40))
        ('deck left', 43)
    """
    return _LONG.sub(lambda match: _breakable(match[0]), one_line(text))


def cut_short(text: str, most: int) -> str:
    """The text, or as many whole words as fit, with an ellipsis.

    Example:
        >>> cut_short("a lit box for two", 12)
        'a lit box…'
    """
    if len(text) <= most:
        return text
    head = text[:most]
    words = head.rsplit(" ", 1)[0] if " " in head else head
    return f"{words.rstrip(' ,;.')}…"


def _breakable(word: str) -> str:
    return "\u200b".join(word[i : i + 12] for i in range(0, len(word), 12))


def chapter(title: str, lead: str = "", *, joins: bool = False) -> Block:
    """Begins on a new page and stands in the contents; one that `joins` begins below the chapter before it."""
    return {"kind": "chapter", "title": clean(title), "lead": clean(lead), "joins": joins}


def heading(text: str) -> Block:
    """Inside a chapter."""
    return {"kind": "heading", "text": clean(text)}


def minor(text: str) -> Block:
    """A small heading."""
    return {"kind": "minor", "text": clean(text)}


def text(words: str, *, leads: bool = False) -> Block:
    """A paragraph; one that leads to what follows stands on its page."""
    return {"kind": "text", "text": clean(words), "leads": leads}


def small(words: str) -> Block:
    """A remark in small type."""
    return {"kind": "small", "text": clean(words)}


def facts(items: Sequence[tuple[str, str]], *, across: int = 4) -> Block:
    """Names over values, in a tinted band."""
    return {
        "kind": "facts",
        "items": [[clean(a), clean(b)] for a, b in items],
        "across": min(across, max(1, len(items))),
    }


def listing(items: Sequence[str]) -> Block:
    """A plain list."""
    return {"kind": "list", "items": [clean(item) for item in items]}


def ticks(items: Sequence[str]) -> Block:
    """A list with boxes to tick."""
    return {"kind": "ticks", "items": [clean(item) for item in items]}


@dataclass(frozen=True)
class Column:
    """A column of a table."""

    head: str
    width: float = 0.0
    """Share of what is left; 0 is as wide as its words."""
    align: Literal["left", "right", "center"] = "left"


def table(
    columns: Sequence[Column],
    rows: Sequence[Sequence[Cell] | str | Block],
    *,
    breaks: bool = True,
    dense: bool = False,
    narrow: bool = False,
) -> Block:
    """Rows under thin rules; a bare text is a group's heading across the table; `narrow` in a column of the page.

    A heading that begins what another place on the phone shows is a block of `grouped`.
    """
    cells = [
        {"group": clean(row)}
        if isinstance(row, str)
        else row
        if isinstance(row, dict)
        else [clean(cell) if isinstance(cell, str) else cell for cell in row]
        for row in rows
    ]
    marked = any(
        isinstance(cell, dict) and cell["kind"] == "ditto"
        for row in cells
        if isinstance(row, list)
        for cell in row
    )
    return {
        "kind": "table",
        "columns": [{"head": c.head, "width": c.width, "align": c.align} for c in columns],
        "rows": cells,
        "marked": f"{crc32(repr(cells).encode()):08x}" if marked else "",
        "breaks": breaks,
        "dense": dense,
        "narrow": narrow,
    }


def grouped(words: str, places: Sequence[Block]) -> Block:
    """A group's heading across a table, with the place that the page opens from there on."""
    return {"group": clean(words), "places": list(places)}


TICK: Cell = {"kind": "tick"}
BLANK: Cell = {"kind": "blank"}


def bold(words: str) -> Cell:
    """A cell that decides."""
    return {"kind": "bold", "text": clean(words)}


def ditto(words: str) -> Cell:
    """A mark for the words of the row above; where a page begins between the two, the words themselves."""
    return {"kind": "ditto", "text": clean(words)}


def faint(words: str) -> Cell:
    """A cell in small type."""
    return {"kind": "small", "text": clean(words)}


def together(*blocks: Block) -> Block:
    """Blocks that stay on one page."""
    return {"kind": "keep", "blocks": list(blocks)}


def beside(*columns: Sequence[Block], widths: Sequence[float]) -> Block:
    """Columns side by side on one page, as wide as said [mm]; 0 shares what is left."""
    return {
        "kind": "row",
        "columns": [list(column) for column in columns],
        "split": list(widths),
        "breaks": False,
    }


def spans(numbers: list[int]) -> str:
    """Rising numbers with runs drawn together.

    Example:
        >>> spans([1, 2, 3, 5, 8, 9])
        '1–3, 5, 8, 9'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words = []
    for run in runs:
        words += [f"{run[0]}–{run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return ", ".join(words)


def new_page() -> Block:
    """The next block begins on a new page."""
    return {"kind": "break"}


__all__ = [
    "BLANK",
    "BOTTOM",
    "SIDE",
    "TICK",
    "TOP",
    "Block",
    "BookSource",
    "Cell",
    "Column",
    "Writer",
    "beside",
    "bold",
    "chapter",
    "clean",
    "cut_short",
    "ditto",
    "facts",
    "faint",
    "grouped",
    "heading",
    "listing",
    "minor",
    "new_page",
    "small",
    "spans",
    "table",
    "text",
    "ticks",
    "together",
]
