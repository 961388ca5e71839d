"""Codes on the papers: what a phone reads off them, and that they change nothing else."""

from __future__ import annotations

import re
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from urllib.parse import unquote, urlsplit
from xml.etree import ElementTree

import numpy as np
import pypdfium2
import pytest
import segno
from numpy.typing import NDArray

from casewright.basics.errors import InputError, InputErrors
from casewright.outputs.bench_links import bench_link
from casewright.outputs.documents.bench_drawings import drawings_script, service_script
from casewright.outputs.documents.book import BookSource, book_data, book_script, part_room
from casewright.outputs.documents.template_marks import code_marks
from casewright.outputs.documents.templates import template_script
from casewright.outputs.documents.tiles import PAPERS
from casewright.outputs.drawings.marks import Polyline, Region
from casewright.outputs.drawings.part_files import template_sheets
from casewright.outputs.drawings.part_view import part_drawings
from casewright.outputs.drawings.square_code import MASK
from casewright.outputs.fingerprint import fingerprint
from casewright.workflow import Worked, bench_address_named, open_text, work_out

LAP = (Path(__file__).parents[2] / "examples" / "lap-controller.cabinet.yaml").read_text("utf-8")
ADDRESS = "http://192.168.1.5:8080"
A4 = PAPERS["A4"]


@pytest.fixture(scope="module")
def lap() -> Worked:
    return work_out(open_text(LAP))


def source(worked: Worked, bench: str) -> BookSource:
    return BookSource(
        cabinet=worked.cabinet,
        findings=worked.findings,
        cutting=worked.cutting,
        shopping=worked.shopping,
        behavior=worked.behavior,
        work=worked.work,
        sheets=part_drawings(worked.cabinet, worked.opened.style, room=part_room(A4)),
        style=worked.opened.style,
        bench=bench,
    )


def codes(data: object) -> dict[str, str]:
    """What each picture of a code is said to hold, by its file, wherever it stands in the book."""
    if isinstance(data, dict):
        found = {}
        file = data.get("file")
        if isinstance(file, str) and file.startswith("qr-"):
            found[file] = str(data["alt"])
        for value in data.values():
            found |= codes(value)
        return found
    if isinstance(data, list | tuple):
        return {key: text for one in data for key, text in codes(one).items()}
    return {}


def squares(svg: bytes) -> list[list[int]]:
    """The dark squares of a drawn code, read back from its path; two squares of margin taken off."""
    root = ElementTree.fromstring(svg)
    side = int(root.attrib["viewBox"].split()[2]) - 4
    grid = [[0] * side for _ in range(side)]
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", path.attrib["d"]):
            grid[int(y) - 2][int(x) - 2] = 1
    return grid


def test_every_piece_and_every_step_has_a_code_that_leads_there(lap: Worked) -> None:
    """ISO/IEC 18004 by the library segno: the drawn squares are those of the address."""
    data, pictures = book_data(source(lap, ADDRESS), A4)
    held = codes(data["blocks"])
    mark = fingerprint(lap.opened.project)
    paths = set()
    for file, text in held.items():
        made = segno.make(text, error="m", micro=False, mask=MASK)
        assert squares(pictures[file]) == [list(row) for row in made.matrix], text
        parts = urlsplit(text)
        assert (parts.scheme, parts.netloc) == ("http", "192.168.1.5:8080")
        assert parts.query == f"of={mark}"
        paths.add(parts.path)
    on_pages = {sheet.piece for sheet in source(lap, "").sheets}
    assert {f"/b/window-seat-controller/{key}" for key in on_pages} <= paths
    later = [s for s in lap.work.steps if s.stage not in ("cut", "bevel", "shape")]
    assert {p for p in paths if "/step/" in p} == {
        f"/b/window-seat-controller/step/{step.key}" for step in later
    }


def test_without_an_address_a_code_holds_plain_words_as_ever(lap: Worked) -> None:
    data, pictures = book_data(source(lap, ""), A4)
    held = codes(data["blocks"])
    mark = fingerprint(lap.opened.project)
    assert held and set(held.values()) <= {f"{mark}/{key}" for key in lap.cabinet.piece_by_key}
    for file, text in held.items():
        made = segno.make(f"casewright:{text}", error="m", micro=False, mask=MASK)
        assert squares(pictures[file]) == [list(row) for row in made.matrix]
    again, same = book_data(source(lap, ""), A4)
    assert (again, same) == (data, pictures)  # same input, same bytes


def test_templates_carry_the_code_on_every_page(lap: Worked) -> None:
    """ISO/IEC 18004 by the library segno: the dark runs are those of the address, row by row."""
    text = bench_link(ADDRESS, "Window-seat controller", piece="deck", of="1234-ABCD")
    matrix = [list(row) for row in segno.make(text, error="m", micro=False, mask=MASK).matrix]
    pitch = 15.0 / len(matrix)
    read = [[0] * len(matrix) for _ in matrix]
    for mark in code_marks((100.0, 200.0), text, 15.0):
        assert isinstance(mark, Region) and isinstance(mark.outer, Polyline)
        xs = [x for x, _ in mark.outer.points]
        ys = [y for _, y in mark.outer.points]
        row = round((200.0 - max(ys)) / pitch)
        for column in range(round((min(xs) - 85.0) / pitch), round((max(xs) - 85.0) / pitch)):
            read[row][column] = 1
    assert read == matrix

    def link(piece: str) -> str:
        return bench_link(ADDRESS, "Window-seat controller", piece=piece)

    plain = template_sheets(lap.cabinet)
    coded = template_sheets(lap.cabinet, link=link)
    assert [sheet.code for sheet in plain] == [""] * len(plain)
    assert link("deck") in {sheet.code for sheet in coded}
    name = "Window-seat controller"
    before = template_script(plain, A4, project=name, fingerprint="1234-ABCD")
    after = template_script(coded, A4, project=name, fingerprint="1234-ABCD")
    assert len(before.data["pages"]) == len(after.data["pages"])  # type: ignore[arg-type]
    changed = [name for name in before.pictures if before.pictures[name] != after.pictures[name]]
    kept = {name: data for name, data in before.pictures.items() if name not in changed}
    assert kept  # what is at true size stays as it is
    assert not [name for name in changed if re.fullmatch(r"template\d+\.svg", name)]


PRINTED = 200 / 72
"""Picture elements to the point: what a phone sees of a page at arm's length. 200 to the inch."""


def looked_at(pdf: bytes) -> list[NDArray[np.uint8]]:
    """Each page as a gray picture."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [page.render(scale=PRINTED, grayscale=True).to_numpy() for page in document]
    finally:
        document.close()


def finders(picture: NDArray[np.uint8]) -> int:
    """In how many of the rows looked at a code's corner mark is crossed: dark and light as 1 : 1 : 3 : 1 : 1.

    Source: ISO/IEC 18004, finder pattern. Every fourth row: the mark's middle is more than two such steps high.
    """
    found = 0
    wanted = np.array([1, 1, 3, 1, 1])
    for row in picture[::4] < 128:
        edges = np.flatnonzero(np.diff(row)) + 1
        if len(edges) < 6:
            continue
        runs = np.lib.stride_tricks.sliding_window_view(np.diff(edges), 5)
        modules = runs.sum(axis=1, keepdims=True) / 7
        fits = (np.abs(runs - modules * wanted) < 0.6 * modules).all(axis=1)
        found += int((fits & (modules[:, 0] > 1.5) & row[edges[:-5]]).sum())
    return found


def test_each_printed_page_has_a_code_that_opens_its_part(lap: Worked) -> None:
    """Read off the printed pages: the corner marks that ISO/IEC 18004 gives every code are looked for, and where a
    general library for square codes is installed (zxing-cpp), it reads them.
    """
    it = source(lap, ADDRESS)
    sheets = template_sheets(lap.cabinet, link=lambda key: bench_link(ADDRESS, "x", piece=key))
    contents = bench_link(ADDRESS, "x", view="steps")
    scripts = {
        "book": book_script(it, A4),
        "drawings": drawings_script(it, A4),
        "service": service_script(it, A4),
        "templates": template_script(
            sheets, A4, project="x", fingerprint="1234-ABCD", code=contents
        ),
    }
    keys = set(lap.cabinet.piece_by_key)
    steps = {step.key for step in lap.work.steps}
    for name, script in scripts.items():
        pages = looked_at(script.pdf())
        bare = [number for number, page in enumerate(pages, 1) if finders(page) < 3]
        assert bare == [], f"{name}: no code on these pages"
        if find_spec("zxingcpp") is None:
            continue
        reader = import_module("zxingcpp")
        for number, page in enumerate(pages, 1):
            paths = [urlsplit(code.text).path for code in reader.read_barcodes(page)]
            assert paths, f"{name}, page {number}"
            for path in paths:
                kind, _, rest = path.removeprefix("/b/").partition("/")[2].rpartition("/")
                assert kind in ("", "step", "view"), path
                assert kind != "step" or unquote(rest) in steps, path
                assert kind or not rest or unquote(rest) in keys, path


def test_what_a_page_opens_fits_what_stands_on_it(lap: Worked) -> None:
    """The places are asked of the plan anew: the first bevel, the first coat, the first wire."""
    data, _ = book_data(source(lap, ADDRESS), A4)
    texts = {name: code["alt"] for name, code in data["codes"].items() if name != "size"}  # type: ignore[attr-defined]
    blocks: list[dict[str, object]] = data["blocks"]  # type: ignore[assignment]
    after: dict[str, str] = {}
    chapter = ""
    for block in blocks:
        if block["kind"] == "chapter":
            chapter = str(block["title"])
        elif block["kind"] == "place":
            after.setdefault(
                chapter,
                urlsplit(texts[str(block["of"])]).path.removeprefix("/b/window-seat-controller"),
            )
    steps = lap.work.steps
    assert after["Look at these first"] == "/view/findings"
    assert after["Order of work"] == "/view/steps"
    assert after["Saw set-ups"] == f"/step/{next(s.key for s in steps if s.stage == 'bevel')}"
    assert after["Finishing"] == f"/step/{next(s.key for s in steps if s.stage == 'paint')}"
    assert after["Wiring and power"] == f"/step/{next(s.key for s in steps if s.stage == 'wire')}"


@pytest.mark.parametrize(
    "text",
    [
        "192.168.1.5:8080",
        "https://192.168.1.5",
        "http://192.168.1.5:8080/desk",
        "http://me@192.168.1.5",
        "http://192.168.1.5:0",
        "http://192.168.1.5:65536",
        "http://a b",
        "javascript:alert(1)",
        "http://",
        "",
    ],
)
def test_what_is_no_address_is_refused(text: str) -> None:
    with pytest.raises(InputError) as told:
        bench_address_named(text)
    assert told.value.field == "--bench-address"
    with pytest.raises(InputErrors) as errors:
        open_text(LAP.replace("shop:\n", f"shop:\n  bench_address: '{text}'\n"))
    assert [error.field for error in errors.value.errors] == ["shop.bench_address"]


def test_addresses_are_read_as_people_write_them() -> None:
    assert bench_address_named(" HTTP://Workshop.local:8080/ ") == "http://workshop.local:8080"
    assert bench_address_named("http://[fd00::5]:8080") == "http://[fd00::5]:8080"
    shop = LAP.replace("shop:\n", f"shop:\n  bench_address: {ADDRESS}/\n")
    assert open_text(shop).project.shop.bench_address == ADDRESS


def test_a_key_that_is_more_than_letters_is_written_for_an_address() -> None:
    """RFC 3986, 2.4: a plus sign in a path is written as %2B, so that nobody reads a space."""
    link = bench_link(ADDRESS, "Duel", step="cut.ply9.rip.back+1.4c")
    assert link == f"{ADDRESS}/b/duel/step/cut.ply9.rip.back%2B1.4c"
