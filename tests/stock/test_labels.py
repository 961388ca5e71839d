"""Labels: what stands on the sheet, and what its codes hold."""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree

import pdfplumber
import pytest
import segno

from casewright.basics.errors import InputError
from casewright.outputs.documents.labels import HEIGHT, WIDTH, code_svg, piece_svg
from casewright.outputs.documents.tiles import PAPERS
from casewright.stock.labels import labels_pdf, size_of
from casewright.stock.records import Held, read_record

MM = 72 / 25.4


def held(mark: str, count: int = 1, **data: object) -> Held:
    record, written = read_record(data)
    return Held(mark, count, record, written, 1, "S3, Quiz box" if count == 1 else "")


PLY = {"kind": "offcut", "label": "birch plywood 12", "material": "plywood", "measured": "11.8 mm"}
ENTRIES = [
    held("C12", length="1189.6 mm", width="459.6 mm", place="rack 2", **PLY),
    held("C13", length="23 5/8 in", width="11 7/8 in", note="#let x = 1", **PLY),
    held("H6", 120, kind="hardware", label="wood screws 4.0 × 40", place="drawer 3"),
    *(held(f"C{n}", length=300, width=900, **PLY) for n in range(20, 31)),
]


@pytest.mark.parametrize("name", ["A4", "Letter"])
def test_a_sheet_of_labels_says_what_each_piece_is(name: str) -> None:
    paper = PAPERS[name]
    with pdfplumber.open(io.BytesIO(labels_pdf(ENTRIES, paper))) as pdf:
        page = pdf.pages[0]
        assert (page.width, page.height) == pytest.approx(
            (paper.width * MM, paper.height * MM), abs=0.1
        )
        assert len(pdf.pages) == 2
        texts = [page.extract_text() for page in pdf.pages]
        words = page.extract_words()
    assert "1189.6 × 459.6 × 11.8 mm" in texts[0]
    assert "23 5/8 × 11 7/8 in × 11.8 mm" in texts[0]  # the unit it was written in
    for said in (
        "C12",
        "Place: rack 2",
        "120 of these",
        "#let x = 1",
        "from S3, Quiz box",
        "grain",
    ):
        assert said in texts[0]
    found = re.findall(r"\b[CH]\d+\b", " ".join(texts))
    assert {e.mark for e in ENTRIES} <= set(found)
    # Two columns of labels of the same size, side by side.
    left = next(w for w in words if w["text"] == "C12")
    right = next(w for w in words if w["text"] == "C13")
    below = next(w for w in words if w["text"] == "H6")
    assert right["x0"] - left["x0"] == pytest.approx(WIDTH * MM, abs=0.5)
    assert below["top"] - left["top"] == pytest.approx(HEIGHT * MM, abs=0.5)


def test_the_same_entries_give_the_same_bytes() -> None:
    assert labels_pdf(ENTRIES, PAPERS["A4"]) == labels_pdf(ENTRIES, PAPERS["A4"])


def test_no_labels_and_too_many_are_told() -> None:
    for many in ([], ENTRIES * 50):
        with pytest.raises(InputError) as told:
            labels_pdf(many, PAPERS["A4"])
        assert told.value.field == "labels"


def test_the_code_holds_the_address_of_its_piece() -> None:
    """The squares drawn are those that segno gives (ISO/IEC 18004), with a quiet zone of four squares."""
    text = "http://192.168.1.5:8080/stock/C12"
    root = ElementTree.fromstring(code_svg(text))
    path = root[0].attrib["d"]
    drawn = {(int(x), int(y)) for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", path)}
    matrix = segno.make(text, error="m", micro=False).matrix
    assert drawn == {
        (x + 4, y + 4) for y, row in enumerate(matrix) for x, on in enumerate(row) if on
    }
    assert float(root.attrib["viewBox"].split()[2]) == len(matrix) + 8


def test_a_piece_is_drawn_in_its_proportions_with_its_grain() -> None:
    root = ElementTree.fromstring(piece_svg(900, 300, grain=True))
    rect = root[0].attrib
    assert float(rect["width"]) / float(rect["height"]) == pytest.approx(3, rel=0.01)
    assert len(root) == 2
    assert len(ElementTree.fromstring(piece_svg(900, 300, grain=False))) == 1


def test_sizes_of_other_things() -> None:
    def size(**data: object) -> str:
        return size_of(held("X", **data))

    assert size(kind="tool", tool="saw", kerf="1/8 in", tilt_most=45) == "kerf 1/8 in, tilts to 45°"
    assert size(kind="paint", label="black", coat="color", can="0.4") == "0.4 l"
    assert size(kind="length", label="batten", length="2.4 m", width="20 mm") == "2400.0 × 20.0 mm"
    assert size(kind="hardware", label="hinge") == ""
