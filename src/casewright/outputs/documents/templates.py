"""Templates at true size, tiled over the paper the maker has, as one PDF.

Several templates begin with their contents. Each gets an overview page (the whole mosaic, its sizes to check after
taping, the order of work) and then its tiles. Every tile has its name, the face it goes on, rulers in both directions,
crosses that meet their twins on the neighboring sheets, and the neighbors' names.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from importlib.resources import files

from casewright.assets import FONT_FAMILY
from casewright.basics.errors import InputError
from casewright.outputs.documents.template_contents import (
    Entry,
    contents_count,
    contents_pages,
)
from casewright.outputs.documents.template_marks import (
    SheetWords,
    ghost_name,
    own_marks,
    same_marks,
)
from casewright.outputs.documents.template_overview import overview
from casewright.outputs.documents.tiles import (
    MARGIN,
    OVERLAP,
    PAD,
    PAPERS,
    Heading,
    Paper,
    Tile,
    Tiling,
    can_tape,
    tile_windows,
)
from casewright.outputs.documents.typesetting import Script
from casewright.outputs.drawings.ground import Edge, meets
from casewright.outputs.drawings.lettering import one_line
from casewright.outputs.drawings.marks import (
    Box,
    Drawing,
    Mark,
    Polyline,
    Region,
    SimpleMark,
    Text,
    bounds,
)
from casewright.outputs.drawings.style import MATERIALS
from casewright.outputs.drawings.svg import write_svg

SHOW_FACE_UP = "SHOW FACE UP"
BACK_FACE_UP = "BACK FACE UP"


@dataclass(frozen=True)
class TemplateSheet:
    """One template: a drawing at true size and what must be said with it."""

    drawing: Drawing
    """Laid out at scale 1."""
    title: str
    """The part's name."""
    face: str
    """Which face of the part it is fixed to, in words."""
    notes: tuple[str, ...] = ()
    lettered_off: Callable[[Sequence[Edge]], Drawing] | None = field(
        default=None, compare=False, repr=False
    )
    """The drawing again, its lettering kept off some lines."""
    code: str = ""
    """What its square code holds; "" for none."""


TOO_LARGE = "too large to tape together: mark it out from its sheet"


@dataclass(frozen=True)
class Template:
    """A template with its tiling."""

    sheet: TemplateSheet
    tiling: Tiling
    skipped: frozenset[str]
    """Names of tiles that would be empty and are not needed to hold the mosaic together."""

    @property
    def printed(self) -> tuple[Tile, ...]:
        """The tiles that come out of the printer."""
        return tuple(tile for tile in self.tiling.tiles if tile.name not in self.skipped)


def plan_template(
    sheet: TemplateSheet, paper: Paper, *, overlap: float = OVERLAP, margin: float = MARGIN
) -> Template:
    """Return how a template is spread over the paper.

    Raises:
        InputError: The drawing was not laid out at true size, or does not fit the limits of `tile_windows`.
    """
    drawing = sheet.drawing
    if drawing.scale != 1:
        raise InputError("drawing", got=f"scale {drawing.scale:g}", want="true size, scale 1")
    tiling = tile_windows(
        drawing.bounds.width, drawing.bounds.height, paper, overlap=overlap, margin=margin
    )
    edges = _ends_of_paper(tiling, drawing)
    cut = _cut_words(drawing, edges)
    if cut and sheet.lettered_off is not None:
        other = sheet.lettered_off(edges)
        # Lettering at the rim may have moved, and with it where the paper ends.
        moved = tile_windows(
            other.bounds.width, other.bounds.height, paper, overlap=overlap, margin=margin
        )
        fewer = _cut_words(other, _ends_of_paper(moved, other)) < cut
        if fewer and (moved.rows, moved.columns) == (tiling.rows, tiling.columns):
            sheet, drawing, tiling = replace(sheet, drawing=other), other, moved
    return Template(sheet, tiling, _skipped(tiling, drawing))


def _ends_of_paper(tiling: Tiling, drawing: Drawing) -> tuple[Edge, ...]:
    """Where sheets end inside of the mosaic, and where crosses stand between, in the drawing's millimeters."""
    dx, dy = drawing.bounds.left - tiling.origin[0], drawing.bounds.bottom - tiling.origin[1]
    mosaic, lap = tiling.mosaic, tiling.overlap / 2
    shifts = (-lap, 0.0, lap)
    upright = [x + shift + dx for x in tiling.seams_x for shift in shifts]
    level = [y + shift + dy for y in tiling.seams_y for shift in shifts]
    return (
        *(((x, dy), (x, mosaic.height + dy)) for x in upright),
        *(((dx, y), (mosaic.width + dx, y)) for y in level),
    )


def _cut_words(drawing: Drawing, edges: Sequence[Edge]) -> int:
    """How often lettering runs across a line."""
    boxes = [mark.box(1.0) for mark in drawing.simple() if isinstance(mark, Text)]
    return sum(meets(box, start, end) for box in boxes for start, end in edges)


def compile_templates(
    sheets: Sequence[TemplateSheet],
    paper: Paper,
    *,
    project: str,
    fingerprint: str,
    overlap: float = OVERLAP,
    margin: float = MARGIN,
) -> bytes:
    """Return the PDF of all templates on one kind of paper.

    Args:
        sheets: The templates, in the order they are printed.
        paper: The sheets in the printer.
        project: Name of the project.
        fingerprint: Short mark of the project's state.
        overlap: Strip that neighboring sheets share. [mm]
        margin: White that the printer needs along the edges. [mm]

    Returns:
        The file. Same templates, same bytes. One too large to be taped together is only listed.

    Raises:
        InputError: There are no templates, or one is not at true size.
    """
    script = template_script(
        sheets,
        paper,
        project=project,
        fingerprint=fingerprint,
        overlap=overlap,
        margin=margin,
    )
    return script.pdf()


def template_script(
    sheets: Sequence[TemplateSheet],
    paper: Paper,
    *,
    project: str,
    fingerprint: str,
    overlap: float = OVERLAP,
    margin: float = MARGIN,
    code: str = "",
) -> Script:
    """The same before it is set; `code` is what the square code on the page of contents holds, "" for none."""
    if not sheets:
        raise InputError("sheets", got="none", want="at least one template")
    fitting = [
        s for s in sheets if can_tape(s.drawing.bounds, paper, overlap=overlap, margin=margin)
    ]
    templates = [plan_template(s, paper, overlap=overlap, margin=margin) for s in fitting]
    ahead = contents_count(len(templates), paper, margin, left_out=len(sheets) - len(fitting))
    entries, first = [], ahead + 1
    for template in templates:
        sheets_of = len(template.printed)
        entries.append(Entry(template.sheet.title, template.sheet.face, sheets_of, first))
        first += 1 + sheets_of
    entries += [Entry(s.title, TOO_LARGE, 0, first) for s in sheets if s not in fitting]
    book = _Book(first - 1)
    if ahead:
        book.contents(entries, paper, margin, project, fingerprint, code)
    for index, template in enumerate(templates):
        words = SheetWords(
            template.sheet.title,
            one_line(template.sheet.face),
            project,
            fingerprint,
            template.sheet.notes,
            template.sheet.code,
        )
        book.add(template, words, f"template{index}.svg")
    data = {"title": one_line(f"{project}: templates"), "font": FONT_FAMILY, "pages": book.pages}
    source = files(__package__).joinpath("templates.typ").read_bytes()
    return Script(source, data, book.pictures)


@dataclass
class _Book:
    """Pages as the typesetter takes them."""

    total: int
    pages: list[dict[str, object]] = field(default_factory=list)
    pictures: dict[str, bytes] = field(default_factory=dict)

    def add(self, template: Template, words: SheetWords, file: str) -> None:
        tiling, drawing = template.tiling, template.sheet.drawing
        self.pictures[file] = write_svg(drawing, margin=PAD).encode()
        full = drawing.bounds.width + 2 * PAD
        x, y = tiling.origin[0] - PAD, tiling.origin[1] - PAD
        picture = Box(x, y, x + full, y + drawing.bounds.height + 2 * PAD)

        page = tiling.page
        front = overview(
            tiling, words, page=len(self.pages) + 1, pages=self.total, missing=template.skipped
        )
        factor = front.picture.width / tiling.mosaic.width
        shown = _within(picture, tiling.mosaic, front.picture, page, factor)
        self.page(
            page,
            [
                self.layer(page, front.ghosts, words),
                {**shown, "file": file},
                self.layer(page, front.marks, words),
            ],
        )
        same = self.layer(page, same_marks(tiling, words), words)
        for tile in template.printed:
            shown = _within(picture, tile.box, tiling.window, page, 1.0)
            marks = own_marks(
                tiling,
                tile,
                words,
                page=len(self.pages) + 1,
                pages=self.total,
                missing=template.skipped,
            )
            self.page(
                page,
                [
                    self.layer(page, ghost_name(tiling, tile), words),
                    {**shown, "file": file},
                    self.layer(page, marks, words),
                    same,
                ],
            )

    def contents(
        self,
        entries: Sequence[Entry],
        paper: Paper,
        margin: float,
        project: str,
        fingerprint: str,
        code: str,
    ) -> None:
        page = Box(0.0, 0.0, paper.width, paper.height)
        words = SheetWords("Templates", "", project, fingerprint)
        for marks in contents_pages(
            entries,
            paper,
            margin=margin,
            project=project,
            fingerprint=fingerprint,
            pages=self.total,
            code=code,
        ):
            self.page(page, [self.layer(page, marks, words)])

    def page(self, page: Box, layers: list[dict[str, object]]) -> None:
        self.pages.append({"width": page.width, "height": page.height, "layers": layers})

    def layer(self, page: Box, marks: tuple[Mark, ...], words: SheetWords) -> dict[str, object]:
        file = f"layer{len(self.pictures)}.svg"
        self.pictures[file] = write_svg(Drawing(words.title, marks, page), margin=0.0).encode()
        return {
            "file": file,
            "left": 0.0,
            "top": 0.0,
            "width": page.width,
            "height": page.height,
            "dx": 0.0,
            "dy": 0.0,
            "across": page.width,
            "up": page.height,
        }


def _within(picture: Box, view: Box, place: Box, page: Box, factor: float) -> dict[str, object]:
    """How the picture is laid under a window: both in the mosaic's millimeters, y turned to run down."""
    return {
        "left": place.left,
        "top": page.top - place.top,
        "width": place.width,
        "height": place.height,
        "dx": (picture.left - view.left) * factor,
        "dy": (view.top - picture.top) * factor,
        # Both are given: with the height left out, a picture taller than its window would be cropped.
        "across": picture.width * factor,
        "up": picture.height * factor,
    }


def _skipped(tiling: Tiling, drawing: Drawing) -> frozenset[str]:
    """Empty tiles that can be left out: never a corner, and what is left hangs together."""
    dx = tiling.origin[0] - drawing.bounds.left
    dy = tiling.origin[1] - drawing.bounds.bottom
    boxes = [
        Box(box.left + dx, box.bottom + dy, box.right + dx, box.top + dy)
        for mark in drawing.simple()
        for box in _pieces(mark)
    ]
    left = {(tile.row, tile.column): tile for tile in tiling.tiles}
    skipped = set()
    for tile in tiling.tiles:
        corner = tile.row in (0, tiling.rows - 1) and tile.column in (0, tiling.columns - 1)
        empty = not any(tile.box.grown(0.5).overlaps(box.grown(0.5)) for box in boxes)
        if corner or not empty:
            continue
        rest = left.keys() - {(tile.row, tile.column)}
        if _connected(rest):
            del left[tile.row, tile.column]
            skipped.add(tile.name)
    return frozenset(skipped)


def _pieces(mark: SimpleMark) -> list[Box]:
    """Boxes that hold a mark; the edges of an outline one by one, so that its empty middle does not count."""
    if isinstance(mark, Region):
        return [bounds([mark])] if MATERIALS[mark.material].hatch else []
    if isinstance(mark, Polyline):
        return [
            bounds([Polyline((start, end), (bulge, 0.0), closed=False)])
            for start, end, bulge in mark.edges()
        ]
    return [bounds([mark])]


def _connected(places: set[tuple[int, int]]) -> bool:
    """Whether every place can be reached from every other over shared edges."""
    start = min(places)
    reached, waiting = {start}, [start]
    while waiting:
        row, column = waiting.pop()
        for step in ((row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1)):
            if step in places and step not in reached:
                reached.add(step)
                waiting.append(step)
    return len(reached) == len(places)


__all__ = [
    "BACK_FACE_UP",
    "PAPERS",
    "SHOW_FACE_UP",
    "Heading",
    "Paper",
    "Template",
    "TemplateSheet",
    "compile_templates",
    "plan_template",
    "template_script",
]
