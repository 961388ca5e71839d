"""The view of the stock, without a browser: offers taken up, layouts accepted and undone, entries, table, labels."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from nicegui import ElementFilter, ui
from tests.faces.web.pages import Shown, fire, showing, until
from tests.session.projects import SMALL
from tests.stock.pieces import board

from casewright.faces.web.stock_room import StockRoom
from casewright.faces.web.views import stock_list
from casewright.session.stocking import STOCK_ADDRESS
from casewright.stock.shop import ShopStock

HOSTILE = '<img src=x onerror="alert(1)">'


@pytest.fixture
async def shown(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[Shown]:
    monkeypatch.delenv(STOCK_ADDRESS, raising=False)
    async with showing(tmp_path, SMALL) as found:
        yield found


def words(shown: Shown) -> str:
    with shown.user:
        return "\n".join(e.text for e in ElementFilter(kind=ui.label))


def stock_of(shown: Shown) -> ShopStock:
    """The same stock as somebody else opens it."""
    return ShopStock(shown.desk.stock_address, who="Ann")


async def test_an_offcut_goes_into_the_project_and_its_layout_is_accepted(
    shown: Shown, tmp_path: Path
) -> None:
    stock = stock_of(shown)
    assert Path(stock.address).parent == tmp_path / "data"
    stock.add(board("A1", length=1000, width=500, species=None, place="rack", label=HOSTILE))
    await shown.open("stock")
    await until(lambda: "0 sheets to buy instead of 1" in words(shown))
    assert HOSTILE in words(shown) and "A1: 1000.0 × 500.0 × 11.8 mm, rack" in words(shown)
    shown.press("Take these boards")
    await until(lambda: "mark: A1" in shown.session.text)
    await until(lambda: not any("Take these boards" in line for line in words(shown).splitlines()))
    assert shown.session.undo_label == "take up what the stock offers"
    shown.press("Accept this layout")
    shown.press("Accept", which=-1)
    await until(lambda: "Accepted by" in words(shown) and "took A1" in words(shown))
    assert stock.entry("A1").count == 0
    await shown.open("cutting")
    await until(lambda: "A1 of the shop's stock" in words(shown))
    await shown.open("stock")
    (done,) = stock.accepted()
    assert done.project == "Small box" and done.booked
    await until(lambda: all(mark in words(shown) for mark in done.booked))
    shown.press("Undo it")
    await until(lambda: stock.entry("A1").count == 1)
    assert {one.mark for one in stock.entries()} == {"A1"}


async def test_a_board_that_somebody_took_meanwhile_is_told(shown: Shown) -> None:
    stock = stock_of(shown)
    stock.add(board("A1", length=1000, width=500, species=None))
    await shown.open("stock")
    await until(lambda: "instead of 1" in words(shown))
    shown.press("Take these boards")
    await until(lambda: "mark: A1" in shown.session.text)
    await until(lambda: "Accept this layout" in words(shown))
    stock.take("A1", project="Kiosk")
    shown.press("Accept this layout")
    shown.press("Accept", which=-1)
    await until(lambda: "A1 was taken by Ann for “Kiosk”" in words(shown))
    assert stock.accepted() == ()


async def test_an_entry_is_put_in_with_what_is_wrong_beside_its_box(shown: Shown) -> None:
    await shown.open("stock")
    await until(lambda: "Nothing yet." in words(shown))
    shown.press("Add an offcut")
    shown.press("Put it in")
    await until(lambda: shown.errors() == ["Fill this in."] * 3)
    texts = {"length": "long", "width": "300", "measured": "11.8 mm"}
    for label, text in texts.items():
        shown.elements(aria_label=label)[0].value = text  # type: ignore[attr-defined]
    (chosen,) = [e for e in shown.elements(aria_label="material") if isinstance(e, ui.select)]
    chosen.value = "plywood"
    shown.press("Put it in")
    await until(lambda: bool(shown.errors()))
    await until(lambda: len(shown.errors()) == 1)
    assert shown.errors()[0].startswith("Found “long”; expected a length.")
    shown.elements(aria_label="length")[0].value = "600"  # type: ignore[attr-defined]
    shown.press("Put it in")
    stock = stock_of(shown)
    await until(lambda: len(stock.entries()) == 1)
    (held,) = stock.entries()
    assert (held.written["length"], held.mark) == ("600 mm", "C1")
    await until(lambda: "600.0 × 300.0 × 11.8 mm" in words(shown))
    (row,) = shown.elements(aria_label="Take one of C1")
    fire(shown.user, row, "click")
    await until(lambda: not stock.entries())


async def test_pieces_are_taken_for_something_and_put_back_and_what_happened_is_told(
    shown: Shown,
) -> None:
    """As `stock take --count --for`, `--back` and `stock show`."""
    stock = stock_of(shown)
    stock.add(board("A1", length=1000, width=500, species=None, count=5))
    await shown.open("stock")
    await until(lambda: "A1" in words(shown))

    def form(count: int, purpose: str = "") -> None:
        fire(shown.user, shown.elements(aria_label=f"Change A1, {name}")[0], "click")
        (pieces,) = [e for e in shown.elements(label="pieces") if isinstance(e, ui.number)][-1:]
        pieces.value = count
        (box,) = [e for e in shown.elements(label="what for") if isinstance(e, ui.input)][-1:]
        box.value = purpose

    name = stock.entry("A1").record.name
    form(3, HOSTILE)
    shown.press("Take them", which=-1)
    await until(lambda: stock.entry("A1").count == 2)
    form(4)
    shown.press("Put them back", which=-1)
    await until(lambda: stock.entry("A1").count == 6)
    form(9)
    shown.press("Take them", which=-1)
    await shown.user.should_see("A1")
    assert stock.entry("A1").count == 6  # there are not so many
    shown.press("What happened to it", which=-1)
    await until(lambda: "put back 4 by" in words(shown))
    assert f"taken 3 by {shown.desk.who or stock.journal()[0].who} for “{HOSTILE}”" in words(shown)


async def test_a_table_comes_in_whole_or_not_at_all(shown: Shown) -> None:
    made: list[StockRoom] = []

    class Room(StockRoom):
        def __init__(self, *arguments: object) -> None:
            super().__init__(*arguments)  # type: ignore[arg-type]
            made.append(self)

    from casewright.faces.web.views import stock as view

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(view, "StockRoom", Room)
        await shown.open("stock")
    await until(lambda: "Nothing yet." in words(shown))
    problems = await stock_list.table_read(made[0], b"kind,label,count\nhardware,hinges,few\n")
    assert len(problems) == 1 and "line 2, column count" in problems[0]
    assert stock_of(shown).entries() == ()
    assert await stock_list.table_read(made[0], b"kind,label,count\nhardware,hinges,4\n") == []
    await until(lambda: "hinges" in words(shown))


async def test_labels_the_table_and_a_pieces_page_are_served(shown: Shown) -> None:
    client = shown.user.http_client
    assert (await client.get("/stock/labels.pdf")).status_code == 404  # nothing to label
    stock_of(shown).add(board("A1", place="rack", note=HOSTILE))
    labels = await client.get("/stock/labels.pdf?paper=Letter&bench=http://192.168.1.5:8080")
    assert labels.status_code == 200 and labels.content.startswith(b"%PDF")
    assert (await client.get("/stock/labels.pdf?paper=A9")).status_code == 404
    table = await client.get("/stock/stock.csv")
    assert table.headers["content-type"].startswith("text/csv") and b"A1,offcut,1" in table.content
    await shown.user.open("/stock/A1")
    await shown.user.should_see("Place: rack")
    await shown.user.should_see(HOSTILE)
    await shown.user.open("/stock/B7")
    await shown.user.should_see("expected the mark of an entry")


async def test_a_stock_that_cannot_be_reached_leaves_the_page_alive(
    shown: Shown, tmp_path: Path
) -> None:
    other = tmp_path / "notes.txt"
    other.write_text("not a stock " * 200, encoding="utf-8")
    shown.desk.stock_wished = str(other)
    await shown.open("stock")
    await shown.user.should_see("It is a file of another kind.")
