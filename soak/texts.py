"""Every text of a project reaches every output, and the page, as text: never as markup, formula, script or path."""

from __future__ import annotations

import csv
import io
import json
import random
import time
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache
from html.parser import HTMLParser
from pathlib import PurePosixPath
from typing import Any

import ezdxf
import icalendar
import pdfplumber

from casewright.basics.errors import InputErrors
from casewright.faces.share.page import share_page
from casewright.workflow import (
    LoadedDocument,
    changed_document,
    load_text,
    make_papers,
    open_text,
    paper_named,
    work_out,
)
from soak.common import ROOT, Budget, Tally, batches, told
from soak.shown_texts import some_pages

BATCH = 2
FIELDS = ("name", "label", "notes", "note", "title", "place", "maker", "currency")
"""Keys whose values are words of the maker's own."""
START = "2027-03-05"
FRAGMENTS = (
    *(
        "<img src=x onerror=alert(1)>",
        "<script>alert(1)</script>",
        "</title></svg>",
        "<!--",
        "]]>",
        "&lt;",
        "&#0;",
    ),
    *("=1+1", "@SUM(1)", "+1", "-1", "=HYPERLINK(1)", "\t=1", '"', '""', "'", ",", ";", "|cmd"),
    *(
        "#panic()",
        "#set page(1mm)",
        "$x^2$",
        "*b*",
        "_i_",
        "`raw`",
        "@ref",
        "<lab>",
        "//",
        "/*",
        "\\",
        "~",
        "---",
    ),
    *(
        "%%c",
        "%%u",
        "^I",
        "\\P",
        "{\\H3x;",
        "\\U+0041",
        "0\nSECTION",
        "ENDSEC",
        "%<",
        "(",
        ")",
        ">>",
        "endobj",
    ),
    *(
        "BEGIN:VEVENT",
        "END:VCALENDAR",
        ":",
        "\\n",
        "${jndi}",
        "{{7*7}}",
        "%s%n",
        "{0}",
        "../../x",
        "C:\\x",
        "CON",
    ),
    *("e\u0301" * 5, "👩", "ﷺ", "漢字", "שלום", "½", "″", "x" * 60, " ", "a"),
)
UNSEEN = ("\u202e", "\u2066", "\u200b", "👩‍🔧", "\u00ad", "\ufeff")
"""Signs that cannot be seen: files that have them are refused."""
LISTED = frozenset("=+-@\t\r")
"""What begins a formula in a spreadsheet: OWASP, "CSV injection"."""


def run(budget: Budget, tell: Callable[[Tally], None]) -> Tally:
    """Hostile words through all outputs for two thirds of the time, then in all pages."""
    total = batches(some_texts, replace(budget, seconds=budget.seconds * 2 / 3), tell)
    pages = replace(budget, seconds=budget.seconds / 3, workers=1, most=budget.most and 1)
    total.add(batches(some_pages, pages, tell))
    return total


def some_texts(number: int) -> Tally:
    """A few projects with hostile words in all places that take words."""
    rng, tally = random.Random(number), Tally()
    for _ in range(BATCH):
        names = sorted(path.name for path in (ROOT / "examples").glob("*.yaml"))
        name = rng.choice(names)
        document = hostile(rng, name)
        start = time.process_time()
        try:
            for wrong in wrongs(name, document):
                tally.fail(f"texts in {name}: {wrong}", document.text)
        except InputErrors as errors:
            if not all(e.want and e.spot for e in errors.errors):
                tally.fail(f"texts in {name}: refused without words", f"{document.text}\n{errors}")
            tally.count("refused in words")
            continue
        except Exception as error:  # noqa: BLE001 - whatever it is, an output could not be made or read
            tally.fail(
                f"texts in {name}: {type(error).__name__}", f"{document.text}\n\n{told(error)}"
            )
        tally.count("all outputs read back", time.process_time() - start)
    return tally


def hostile(rng: random.Random, name: str) -> LoadedDocument:
    """An example with words made of fragments wherever it may have words."""
    document = load_text((ROOT / "examples" / name).read_text(encoding="utf-8"), file=name)
    edits: dict[tuple[str | int, ...], Any] = {("notes",): words(rng)}
    unseen = rng.choice(UNSEEN) if rng.random() < 0.1 else ""
    for path, value in leaves(document.data):
        if path[-1] in FIELDS and isinstance(value, str) and path[-1] != "currency":
            edits[path] = words(rng) + unseen
    return changed_document(document, edits)


def words(rng: random.Random) -> str:
    """A few fragments, of a length that a label may have; never with characters that no file may hold."""
    text = "".join(rng.choice(FRAGMENTS) for _ in range(rng.randint(1, 6)))
    return text.replace("\n", " ").replace("\t", " ").replace("\u2028", " ")[:78].strip() or "a"


def leaves(
    data: Any, path: tuple[str | int, ...] = ()
) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Path and value of every value in a file."""
    if isinstance(data, (dict, list)):
        for key, value in data.items() if isinstance(data, dict) else enumerate(data):
            yield from leaves(value, (*path, key))
    else:
        yield path, data


# ---- reading back ----------------------------------------------------------------------------------------------------


def outputs(text: str, name: str) -> tuple[dict[str, bytes], str]:
    """All files of a build and the shared page, and the project's name."""
    worked = work_out(open_text(text, file=name))
    files = make_papers(worked, paper=paper_named("A4"), step=False, start=START)
    return files | {"shared.html": share_page(worked, text, name=name)}, worked.opened.project.name


@lru_cache(maxsize=8)
def plain(name: str) -> dict[str, bytes]:
    """The same outputs of the example as it is."""
    return outputs((ROOT / "examples" / name).read_text(encoding="utf-8"), name)[0]


def wrongs(name: str, document: LoadedDocument) -> Iterator[str]:
    """All that a reader of an output would take for more than text."""
    files, project = outputs(document.text, name)
    usual = plain(name)
    if set(files) != set(usual):
        yield f"other files than usual: {sorted(set(files) ^ set(usual))[:5]}"
    for file, data in files.items():
        path = PurePosixPath(file)
        if path.is_absolute() or ".." in path.parts:
            yield f"{file} climbs"
        like = usual.get(file, b"")
        if path.suffix == ".svg":
            yield from of_svg(file, data)
        elif path.suffix == ".csv":
            yield from of_csv(file, data, like)
        elif path.suffix == ".dxf":
            yield from of_dxf(file, data, like)
        elif path.suffix == ".pdf":
            yield from of_pdf(file, data)
        elif path.suffix == ".html":
            yield from of_html(file, data, like)
        elif path.suffix == ".ics":
            yield from of_calendar(file, data, like)
        elif path.suffix == ".json" and path.stem == "cabinet":
            if json.loads(data)["name"] != project:
                yield f"{file} has another name"
        elif path.suffix == ".json":
            json.loads(data)


def of_svg(file: str, data: bytes) -> Iterator[str]:
    """SVG 2: no scripts, no foreign elements, no handlers, no links to outside."""
    for element in ET.fromstring(data).iter():
        tag = str(element.tag).rpartition("}")[2]
        if tag in ("script", "foreignObject", "image", "iframe", "a"):
            yield f"{file} has <{tag}>"
        for key, value in element.attrib.items():
            short = key.rpartition("}")[2]
            if short.startswith("on") or (short == "href" and not value.startswith("#")):
                yield f"{file} has {short}={value[:40]}"


def of_csv(file: str, data: bytes, like: bytes) -> Iterator[str]:
    """RFC 4180: as many cells in each row, as many rows; no cell that begins a formula, but for numbers."""
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"))))
    if len({len(row) for row in rows}) > 1:
        yield f"{file} has rows of different lengths"
    if len(rows) != len(list(csv.reader(io.StringIO(like.decode("utf-8-sig"))))):
        yield f"{file} has another number of rows"
    for row in rows:
        for cell in row:
            if cell[:1] in LISTED and cell and not is_number(cell):
                yield f"{file} has the cell {cell[:40]!r}"


def is_number(cell: str) -> bool:
    """Whether a cell is a number, which a spreadsheet may take as one."""
    try:
        float(cell)
    except ValueError:
        return False
    return True


def of_dxf(file: str, data: bytes, like: bytes) -> Iterator[str]:
    """Read by another library: clean, on the usual layers, with the usual sorts of entities."""
    document = ezdxf.read(io.StringIO(data.decode("utf-8")))
    if errors := document.audit().errors:
        yield f"{file}: {errors[0].message}"
    usual = ezdxf.read(io.StringIO(like.decode("utf-8")))
    layers = {layer.dxf.name for layer in document.layers} - {
        layer.dxf.name for layer in usual.layers
    }
    sorts = (
        {e.dxftype() for e in document.modelspace()}
        - {e.dxftype() for e in usual.modelspace()}
        - {"MTEXT", "TEXT"}
    )
    if layers or sorts:
        yield f"{file} has {sorted(layers | sorts)}"


def of_pdf(file: str, data: bytes) -> Iterator[str]:
    """ISO 32000-1, 12.6.4: no actions but going to a page of the document itself."""
    for word in (b"/JavaScript", b"/Launch", b"/EmbeddedFile", b"/OpenAction"):
        if word in data:
            yield f"{file} has {word.decode()}"
    with pdfplumber.open(io.BytesIO(data)) as book:
        if not book.pages:
            yield f"{file} has no pages"
        for uri in {note.get("uri") for page in book.pages[:3] for note in page.annots} - {None}:
            yield f"{file} links to {str(uri)[:60]}"


class Tags(HTMLParser):
    """The elements of a page with the names of their attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: set[tuple[str, str]] = set()
        self.scripts = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Called for each element."""
        self.scripts += tag == "script"
        self.seen |= {(tag, name) for name, _ in attrs} | {(tag, "")}


def of_html(file: str, data: bytes, like: bytes) -> Iterator[str]:
    """As a browser would take it apart: the elements and attributes of the plain page, and as many scripts."""
    found, usual = Tags(), Tags()
    found.feed(data.decode("utf-8"))
    usual.feed(like.decode("utf-8"))
    if found.scripts != usual.scripts:
        yield f"{file} has {found.scripts} scripts, usually {usual.scripts}"
    for tag, name in sorted(found.seen - usual.seen):
        if (tag, name) not in (("tspan", ""), ("tspan", "x"), ("tspan", "dy"), ("tspan", "y")):
            yield f"{file} has <{tag} {name}>"


def of_calendar(file: str, data: bytes, like: bytes) -> Iterator[str]:
    """RFC 5545, read by another library: as many events, and nothing else."""
    found = [part.name for part in icalendar.Calendar.from_ical(data).walk()]
    usual = [part.name for part in icalendar.Calendar.from_ical(like).walk()]
    if found != usual:
        yield f"{file} has {len(found)} parts, usually {len(usual)}"
