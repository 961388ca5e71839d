"""What the stock offers a project, what a layout takes of it, and that no wood is lost or made on the way."""

from __future__ import annotations

import typing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.session.projects import SMALL, small_in
from tests.stock.pieces import NOW, board

from casewright.basics.errors import RefusedError
from casewright.design.materials import Material
from casewright.design.project import Bit, Project
from casewright.planning.blanks import Cutting, MaterialPlan, stock_of
from casewright.planning.cutting import Blank, SawLimits, plan_cuts
from casewright.session import Session
from casewright.session.stocking import accepted_as, is_as_accepted, offer_edits, offered, taken
from casewright.stock.layout_taking import taking_of
from casewright.stock.matching import matches_of
from casewright.stock.records import BoardRecord, Held, ToolKind, read_record
from casewright.stock.shop import ShopStock
from casewright.workflow import open_text, work_out


def held(**data: Any) -> Held:
    record, written = read_record(
        {"kind": "offcut", "material": "plywood", "length": 600, "width": 300, **data}
    )
    return Held("C1", 1, record, written)


def material(**data: Any) -> Material:
    return Material.model_validate({"kind": "plywood", "nominal": 12, **data})


def shop(folder: Path) -> ShopStock:
    return ShopStock(str(folder / "stock.sqlite"), who="Ann", clock=lambda: NOW)


# ---- which boards suit ----


@pytest.mark.parametrize(
    ("wish", "piece", "suits"),
    [
        # Thickness as measured goes before the name; two tenths of a millimeter is common practice.
        ({"measured": 11.8}, {"measured": 11.8}, True),
        ({"measured": 11.8}, {"measured": 12.0}, True),
        ({"measured": 11.8}, {"measured": 12.1}, False),
        ({"measured": 11.8}, {"measured": 9.0, "nominal": 12}, False),
        ({"measured": 11.8}, {"nominal": 12}, True),
        ({"measured": 11.8}, {"nominal": '1/2"'}, False),
        ({}, {"measured": 11.9, "nominal": 12}, True),
        ({}, {"measured": 11.9}, True),
        ({}, {"measured": 11.0}, False),
        # Wood
        ({"kind": "mdf", "measured": 12}, {"measured": 12}, False),
        ({"species": "plywood-birch"}, {"nominal": 12, "species": "plywood-birch"}, True),
        ({"species": "plywood-birch"}, {"nominal": 12, "species": "plywood-poplar"}, False),
        ({"species": "plywood-birch"}, {"nominal": 12}, False),
        ({"species": "plywood-birch", "label": "Ply"}, {"nominal": 12, "label": "ply"}, True),
        ({"color": "#ffffff"}, {"nominal": 12, "color": "#000000"}, False),
        # Grain
        ({"grain": "length"}, {"nominal": 12}, True),
        ({"grain": "length"}, {"nominal": 12, "grain": "none"}, False),
        ({}, {"nominal": 12, "grain": "none"}, True),
    ],
)
def test_boards_of_the_same_wood_and_thickness_suit(
    wish: dict[str, Any], piece: dict[str, Any], suits: bool
) -> None:
    found = matches_of(material(**wish), [held(**piece)])
    assert any(not match.why_not for match in found) is suits


def test_bits_of_the_stock_are_those_of_a_project() -> None:
    """The kinds of `shop.bits`, and the saw."""
    kinds = typing.get_args(Bit.model_fields["kind"].annotation)
    assert set(typing.get_args(ToolKind)) == {*kinds, "saw"}


# ---- offers and the project file ----


def test_offers_are_written_into_the_file_and_taken_back(tmp_path: Path) -> None:
    """The small box needs one board of 1220 × 610 mm; the shop's own does as well."""
    stock = shop(tmp_path)
    stock.bring(
        [
            board("A1", length=1000, width=500, species=None, place="rack"),
            board("A2", length=250, width=100, species=None),
            {
                "kind": "sheet",
                "mark": "S1",
                "material": "mdf",
                "nominal": 12,
                "length": 1220,
                "width": 610,
            },
            {"kind": "hardware", "label": "big buttons", "type": "button-28-long-lit", "count": 3},
            {"kind": "tool", "tool": "saw", "kerf": "1/8 in", "tilt_most": 47},
            {"kind": "tool", "tool": "brad", "diameter": "6 mm"},
            {
                "kind": "tool",
                "tool": "flush trim",
                "diameter": "12.7 mm",
                "cutting_length": "25 mm",
            },
        ]
    )
    session = Session.open(small_in(tmp_path))
    worked = session.worked
    assert worked is not None and worked.cutting.plans[0].plan.bought == 1
    offer = offered(worked, stock)
    assert [(b.bought, [s["mark"] for s in b.sheets]) for b in offer.boards] == [((1, 0), ["A1"])]
    assert [m.held.mark for m in offer.boards[0].others] == ["A2"]
    session.edit(offer_edits(worked, offer), "take up what the stock offers")
    now = session.worked
    assert now is not None
    sheet = now.opened.project.materials["ply"].sheets[1]
    assert (sheet.mark, sheet.offcut, sheet.quantity, sheet.length) == ("A1", True, 1, 1000.0)
    assert now.cutting.plans[0].plan.bought == 0
    assert "A1 of the shop's stock" in [row.note for row in now.shopping.rows]
    part = next(row for row in now.shopping.rows if row.key == "button")
    assert (part.have, part.to_buy) == (3, 0)
    assert now.opened.project.shop.kerf == pytest.approx(3.175)  # 25.4 / 8
    assert now.opened.project.shop.tilt_most == 47
    bits = [(b.kind, b.sizes, b.length) for b in now.opened.project.shop.bits]
    assert bits == [("brad", (6.0,), 0.0), ("flush trim", (12.7,), 25.0)]
    # The file's own words stay, and the file alone gives the same again.
    assert "# by calipers" in session.text and "# Small box" not in session.text.splitlines()[1]
    assert work_out(open_text(session.text)).cutting == now.cutting
    assert offer_edits(now, offered(now, stock)) == {}
    session.undo()
    assert session.text == SMALL
    session.close(discard=True)


def test_a_whole_sheet_of_the_stock_keeps_its_factory_edges(tmp_path: Path) -> None:
    stock = shop(tmp_path)
    stock.add(
        {
            "kind": "sheet",
            "mark": "S1",
            "count": 4,
            "material": "plywood",
            "measured": 11.8,
            "length": 1220,
            "width": 610,
        }
    )
    worked = work_out(open_text(SMALL))
    offer = offered(worked, stock)
    assert offer.boards[0].sheets[0]["quantity"] == 1  # one is enough, three stay for others
    text = SMALL.replace(
        "{length: 1220, width: 610}",
        "{length: 1220, width: 610, offcut: true, mark: S1, edges: factory}, "
        "{length: 1220, width: 610, offcut: true, mark: C1}",
    )
    opened = open_text(text)
    trims = [s.trim for s in stock_of(opened.project, opened.project.materials["ply"])]
    assert trims == [opened.project.shop.edge_trim, 0.0]


def test_a_board_that_somebody_took_leaves_the_file_with_the_next_offer(tmp_path: Path) -> None:
    stock = shop(tmp_path)
    stock.add(board("A1", length=1000, width=500, species=None))
    session = Session.open(small_in(tmp_path))
    worked = session.worked
    assert worked is not None
    session.edit(offer_edits(worked, offered(worked, stock)))
    stock.take("A1", project="Kiosk")
    now = session.worked
    assert now is not None
    offer = offered(now, stock)
    assert offer.boards[0].gone == ("A1",)
    session.edit(offer_edits(now, offer))
    assert session.opened is not None
    assert [s.mark for s in session.opened.project.materials["ply"].sheets] == [None]
    session.close(discard=True)


def test_an_accepted_layout_is_known_again_and_offers_rest(tmp_path: Path) -> None:
    stock = shop(tmp_path)
    stock.add(board("A1", length=1000, width=500, species=None))
    session = Session.open(small_in(tmp_path))
    worked = session.worked
    assert worked is not None
    session.edit(offer_edits(worked, offered(worked, stock)))
    now = session.worked
    assert now is not None
    assert accepted_as(now, stock) is None
    done = stock.accept(taken(now))
    again = accepted_as(now, stock)
    assert again is not None and again.number == done.number
    assert offered(now, stock).boards == ()
    assert dict(done.taken) == {"A1": 1}
    # A wider box has another layout: that is told, and it is not accepted beside the first one.
    session.set(("shape", "width"), 320)
    wider = session.worked
    assert wider is not None
    changed = accepted_as(wider, stock)
    assert changed is not None and not is_as_accepted(wider, changed)
    assert offered(wider, stock).boards == ()
    with pytest.raises(RefusedError, match="Another layout of “Small box”"):
        stock.accept(taken(wider))
    stock.undo(done.number)
    assert accepted_as(now, stock) is None
    session.close(discard=True)


def test_screws_and_battens_of_the_stock_come_off_the_shopping_list(tmp_path: Path) -> None:
    worked = work_out(open_text(SMALL))
    rows = {row.key: row for row in worked.shopping.rows}
    screw = next(key for key, row in rows.items() if row.label.startswith("screws"))
    batten = worked.opened.project.batten
    stock = shop(tmp_path)
    stock.add({"kind": "hardware", "label": f"brass screws {screw}", "count": 500})
    stock.add({"kind": "hardware", "label": f"1{screw}", "count": 7})  # of another size
    side = {"width": batten.height, "height": batten.width}  # turned
    stock.add({"kind": "length", "label": "strip", "length": "1.26 m", "count": 2, **side})
    offer = offered(worked, stock)
    told = {value.path: value.then for value in offer.values}
    assert told == {("fixings", "have", screw): 500, ("batten", "have_m"): 2.5}
    session = Session.open(small_in(tmp_path))
    session.edit(offer_edits(worked, offer))
    now = session.worked
    assert now is not None
    after = {row.key: row for row in now.shopping.rows}
    assert rows[screw].to_buy > 0 and after[screw].to_buy == 0
    assert after["batten"].to_buy == pytest.approx(max(0, rows["batten"].quantity - 2.5))
    assert offer_edits(now, offered(now, stock)) == {}
    session.close(discard=True)


# ---- no wood is lost or made ----

SIZES = st.tuples(st.integers(100, 700), st.integers(60, 400))
OFFCUTS = st.lists(st.tuples(st.integers(200, 900), st.integers(150, 500)), max_size=3)


@settings(max_examples=10)
@given(
    blanks=st.lists(SIZES, min_size=1, max_size=6),
    offcuts=OFFCUTS,
    unit=st.sampled_from(("mm", "in")),
)
def test_what_is_taken_and_bought_becomes_parts_offcuts_waste_and_dust(
    blanks: list[tuple[int, int]],
    offcuts: list[tuple[int, int]],
    unit: str,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """Plain geometry: areas are summed here from sizes alone, by rectangles and the slots between them."""
    stock = shop(tmp_path_factory.mktemp("stock"))
    stock.bring(
        [board(f"A{i}", length=f"{a} mm", width=f"{b} mm") for i, (a, b) in enumerate(offcuts)]
    )
    sheets: list[dict[str, Any]] = [{"length": "1220 mm", "width": "800 mm"}]
    sheets += [
        {"length": f"{a} mm", "width": f"{b} mm", "offcut": True, "quantity": 1, "mark": f"A{i}"}
        for i, (a, b) in enumerate(offcuts)
    ]
    project = Project.model_validate(
        {
            "name": "Any box",
            "unit": unit,
            "shop": {"kerf": "3.2 mm", "edge_trim": "5 mm"},
            "materials": {"ply": {"kind": "plywood", "nominal": "12 mm", "sheets": sheets}},
            "shape": {"recipe": "box", "side": {"material": "ply"}, "board": "ply"},
        },
        context={"unit": unit},
    )
    ply = project.materials["ply"]
    wishes = tuple(Blank(f"p{i}", float(a), float(b)) for i, (a, b) in enumerate(blanks))
    supply = stock_of(project, ply)
    plan = plan_cuts(wishes, supply, saw=SawLimits(kerf=3.2), effort=10)
    taking = taking_of(
        project, Cutting((MaterialPlan("ply", "ply", wishes, supply, plan),), (), ())
    )

    def area() -> float:
        return sum(
            h.count * h.record.length * h.record.width
            for h in stock.entries()
            if isinstance(h.record, BoardRecord)
        )

    start, before = sorted(h.value for h in stock.entries()), area()
    done = stock.accept(taking)
    used = sum(w.count * w.length * w.width for w in taking.wanted)
    bought = sum(b.count * b.length * b.width for b in taking.bought)
    parts = sum(a * b for a, b in blanks)
    left = sum(one.length * one.width for one in taking.leftovers)
    areas = done.areas
    assert areas.sheet == pytest.approx(used + bought)
    assert areas.parts == pytest.approx(parts)
    assert areas.offcuts == pytest.approx(left)
    assert used + bought == pytest.approx(parts + left + areas.waste + areas.kerf + areas.trim)
    # Only new sheets are trimmed, 5 mm round each.
    trimmed = sum(
        b.count * (b.length * b.width - (b.length - 10) * (b.width - 10)) for b in taking.bought
    )
    assert areas.trim == pytest.approx(trimmed)
    # 12 mm is no whole number of 64ths of an inch, and stays what it is.
    assert all(one.written["nominal"] == "12 mm" for one in taking.leftovers)
    # What is booked is never larger than what is left, and smaller by no more than the rounding of two sides.
    booked = area() - (before - used)
    step = 0.1 if unit == "mm" else 25.4 / 32
    most = sum(step * (one.length + one.width) for one in taking.leftovers)
    assert left - most - 1e-6 <= booked <= left + 1e-6
    stock.undo(done.number)
    assert sorted(h.value for h in stock.entries()) == start
