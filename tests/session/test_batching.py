"""Several projects and copies cut together: every piece is there, its sheets can be cut, the stock serves it."""

from __future__ import annotations

import csv
import io
import json
import sys
from collections import Counter
from pathlib import Path

import pdfplumber
import pytest
from tests.session.projects import DEMO, SMALL

from casewright.basics.errors import InputError, RefusedError
from casewright.faces.cli import main
from casewright.planning.batch import Member, batch_of
from casewright.session.batching import batch_files, batched, batched_files
from casewright.stock.shop import ShopStock
from casewright.workflow import Worked, open_text, starter_text, work_out

OTHER = SMALL.replace("name: Small box", "name: Shelf").replace("width: 300", "width: 420")
THINNER = SMALL.replace("name: Small box", "name: Thin box").replace("11.8", "9.2")


def worked(text: str) -> Worked:
    return work_out(open_text(text))


@pytest.fixture(scope="module")
def small() -> Worked:
    return worked(SMALL)


def sizes(worked: Worked) -> Counter[tuple[float, float]]:
    """Blanks of a project by itself, as its own cutting has them."""
    return Counter(
        (round(b.length, 3), round(b.width, 3))
        for plan in worked.cutting.plans
        for b in plan.blanks
    )


def test_every_piece_of_every_copy_is_cut_once(small: Worked) -> None:
    """Counted against each project's own list of blanks."""
    other = worked(OTHER)
    made = batched([(small, 3), (other, 2)])
    assert [plan.material for plan in made.cutting.plans] == ["ply"], (
        "the same wood is one material"
    )
    placed: Counter[tuple[float, float]] = Counter()
    whose: Counter[tuple[str, int, str]] = Counter()
    for plan in made.cutting.plans:
        blanks = {blank.key: blank for blank in plan.blanks}
        for sheet in plan.plan.sheets:
            for place in sheet.placements:
                blank, owner = blanks[place.blank], made.batch.owners[place.blank]
                placed[round(blank.length, 3), round(blank.width, 3)] += 1
                whose[owner.project, owner.copy, owner.piece] += 1
    wanted = Counter({size: 3 * n for size, n in sizes(small).items()})
    wanted += Counter({size: 2 * n for size, n in sizes(other).items()})
    assert placed == wanted and set(whose.values()) == {1}
    assert {(name, copy) for name, copy, _ in whose} == {
        ("Small box", 1),
        ("Small box", 2),
        ("Small box", 3),
        ("Shelf", 1),
        ("Shelf", 2),
    }
    assert made.bought <= made.bought_apart == 5


def test_its_sheets_can_be_cut(small: Worked) -> None:
    """Rectangles inside the trimmed sheet, a kerf apart: plain geometry, worked out here from the written layout."""
    made = batched([(small, 6)])
    layout = json.loads(batch_files(made)["cutting.json"])
    kerf = small.opened.project.shop.kerf
    assert layout["kerf_mm"] == kerf
    for sheet in layout["sheets"]:
        boxes = [
            (p["x_mm"], p["y_mm"], p["x_mm"] + p["width_mm"], p["y_mm"] + p["height_mm"])
            for p in sheet["placements"]
        ]
        trim = sheet["trim_mm"]
        for number, (x, y, right, top) in enumerate(boxes):
            assert trim - 1e-3 <= x and right <= sheet["width_mm"] - trim + 1e-3
            assert trim - 1e-3 <= y and top <= sheet["height_mm"] - trim + 1e-3
            for ax, ay, aright, atop in boxes[:number]:
                gap = max(x - aright, ax - right, y - atop, ay - top)
                assert gap >= kerf - 2e-3


def test_other_woods_stay_apart_and_other_saws_are_told(small: Worked) -> None:
    thin = worked(THINNER.replace("shape:", "shop: {kerf: 2.0}\nshape:"))
    made = batched([(small, 1), (thin, 1)])
    thickness = {
        plan.material: made.batch.cabinet.project.materials[plan.material].thickness
        for plan in made.cutting.plans
    }
    assert sorted(thickness.values()) == [9.2, 11.8] and len(thickness) == 2
    assert len({plan.label for plan in made.cutting.plans}) == 2, "two labels"
    assert ["saw kerf" in finding.message for finding in made.batch.findings] == [True]


def test_pieces_that_exist_are_cut_for_the_other_copies_only() -> None:
    begun = worked(SMALL + "as built: {base: {state: cut}}\n")
    made = batched([(begun, 3)])
    owners = [owner for owner in made.batch.owners.values() if owner.piece == "base"]
    assert [owner.copy for owner in owners] == [2, 3]


def test_strips_stay_together_in_each_copy() -> None:
    text = SMALL + "cutting: {together: {front: round, back: round}}\n"
    made = batched([(worked(text), 2)])
    assert made.batch.cabinet.project.cutting.strips == (
        ("A1.front", "A1.back"),
        ("A2.front", "A2.back"),
    )


def test_papers_name_project_and_copy(small: Worked) -> None:
    """Read back from the PDF by pdfplumber and from the table by csv."""
    made = batched([(small, 2), (worked(OTHER), 1)])
    files = batch_files(made, paper="Letter")
    rows = list(csv.DictReader(io.StringIO(files["parts.csv"].decode("utf-8-sig"))))
    assert len(rows) == 3 * sizes(small).total()
    with pdfplumber.open(io.BytesIO(files["part-labels.pdf"])) as pdf:
        words = " ".join(page.extract_text() or "" for page in pdf.pages)
    assert words.count("Small box, copy 2") == sizes(small).total()
    assert words.count("Shelf, copy 1") == sizes(small).total()
    with pdfplumber.open(io.BytesIO(files["batch.pdf"])) as pdf:
        pages = [page.extract_text() or "" for page in pdf.pages]
    assert "Small box" in pages[0] and "Shelf" in pages[0]
    assert any("front A2" in page for page in pages) and any("front B1" in page for page in pages)
    assert batch_files(made, paper="Letter") == files, "same batch, same bytes"


def test_the_pieces_of_nests_are_counted_labelled_and_told_how_to_saw_apart() -> None:
    """Read back from the PDFs by pdfplumber: three cabinets, two sides each, none of them in a blank of its own."""
    text = starter_text("tabletop", name="Case", unit="mm", buttons=4, width=520)
    text = text.replace("shop:\n", "cutting:\n  shapes: nested\nshop:\n  jigsaw_kerf: 2\n", 1)
    made = batched([(worked(text), 3)])
    (plan,) = (p for p in made.cutting.plans if any(b.nested for b in p.blanks))
    assert len(plan.pieces) == 6 > len(plan.blanks)
    files = batch_files(made)
    (data,) = (m for m in json.loads(files["batch.json"])["materials"] if m["pieces"] == 6)
    assert data["material"] == plan.material
    with pdfplumber.open(io.BytesIO(files["part-labels.pdf"])) as pdf:
        words = " ".join(page.extract_text() or "" for page in pdf.pages)
    assert words.count("left side") == words.count("right side") == 3
    with pdfplumber.open(io.BytesIO(files["batch.pdf"])) as pdf:
        told = " ".join(" ".join((page.extract_text() or "").split()) for page in pdf.pages)
    for number in (1, 2, 3):
        assert f"Draw the left side A{number} show face up" in told
    assert "Nest of left side A1" in told


def test_the_stock_serves_a_batch_as_it_serves_a_project(tmp_path: Path, small: Worked) -> None:
    stock = ShopStock(str(tmp_path / "stock.sqlite"), who="Ann")
    board = {
        "kind": "offcut",
        "material": "plywood",
        "measured": 11.8,
        "length": 1000,
        "width": 500,
    }
    stock.add(dict(board))
    plain, made = batched([(small, 3)]), batched([(small, 3)], stock=stock)
    marks = [s.mark for m in made.batch.cabinet.project.materials.values() for s in m.sheets]
    assert "C1" in marks and made.bought < plain.bought
    done = stock.accept(made.taking, place="rack 2")
    assert dict(done.taken) == {"C1": 1} and "3 × Small box" in done.project
    assert all(held.mark != "C1" or not held.count for held in stock.entries())
    with pytest.raises(RefusedError):
        stock.accept(made.taking)
    stock.undo(done.number)
    assert any(held.mark == "C1" and held.count == 1 for held in stock.entries())


@pytest.mark.parametrize("copies", [0, 101])
def test_too_many_or_no_copies_are_told(small: Worked, copies: int) -> None:
    with pytest.raises(InputError):
        batch_of([Member("x", small.cabinet, copies)])
    with pytest.raises(InputError):
        batch_of([])


def test_a_club_builds_the_main_demo() -> None:
    made = batched_files([(DEMO, 4)], steps=0)
    assert len(made.batch.owners) % 4 == 0 and not any(p.plan.unplaced for p in made.cutting.plans)
    assert made.bought <= made.bought_apart


def test_the_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for name, text in (("a", SMALL), ("b", OTHER)):
        (tmp_path / f"{name}.cabinet.yaml").write_text(text, encoding="utf-8")
    files = ["a.cabinet.yaml", "b.cabinet.yaml"]

    def go(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["casewright", "batch", *words])
        code = main()
        return (code, *capsys.readouterr())

    code, out, _ = go(*files, "--copies", "2", "--copies", "1")
    assert code == 0 and "A  2 × Small box" in out and "cut one by one, 3" in out
    assert (tmp_path / "out" / "batch" / "batch.pdf").read_bytes().startswith(b"%PDF")
    code, out, _ = go(*files, "--json", "--out", "elsewhere")
    assert code == 0 and [p["copies"] for p in json.loads(out)["projects"]] == [1, 1]
    code, _, err = go(*files, "--copies", "1", "--copies", "2", "--copies", "3")
    assert code == 2 and "one for each" in err
