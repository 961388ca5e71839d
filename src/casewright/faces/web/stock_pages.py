"""What of the stock the browser fetches: labels, the table, and the page that a label's code leads to."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING
from urllib.parse import quote

from starlette.responses import Response

from casewright.basics.errors import CasewrightError
from casewright.faces.web.described import PartOfAddress, Word, file_told, page_told
from casewright.faces.web.live import said
from casewright.faces.web.wording import error_lines
from casewright.session.stocking import open_stock
from casewright.stock.labels import STOCK_PATH, labels_pdf, size_of
from casewright.stock.tables_csv import stock_csv
from casewright.workflow import bench_address_named, paper_named

if TYPE_CHECKING:
    from casewright.faces.web.desk import Desk

VIEWPORT = "width=device-width, initial-scale=1"


def add_stock_pages(desk: Desk, head: Callable[[], None]) -> None:
    """Put the routes on the server.

    Args:
        desk: What is open.
        head: Writes what every page's head holds.
    """
    from nicegui import app, run, ui

    labels_told = file_told(
        "stock",
        "Labels to stick on the pieces of the stock",
        ("application/pdf",),
        missing="There is nothing to label, or no such paper, kind or address; it says which.",
        about=(
            "`paper` is A4, Letter, A3 or Tabloid; `kind` one kind of pieces only; `bench` the address that "
            "the codes lead to."
        ),
    )

    @app.get(STOCK_PATH + "/labels.pdf", **labels_told)
    def labels(paper: Word = "A4", kind: Word = "", bench: Word = "") -> Response:
        try:
            held = open_stock(desk.stock_address).entries(kinds=(kind,) if kind else ())
            lead = bench_address_named(bench) if bench else ""
            data = labels_pdf(held, paper_named(paper), address=lead)
        except CasewrightError as error:
            return Response("\n".join(error_lines(error)), 404, media_type="text/plain")
        return _sent(data, "labels.pdf", "application/pdf")

    table_told = file_told(
        "stock", "The whole stock as a table", ("text/csv",), missing="The stock cannot be read."
    )

    @app.get(STOCK_PATH + "/stock.csv", **table_told)
    def table() -> Response:
        try:
            data = stock_csv(open_stock(desk.stock_address).entries())
        except CasewrightError as error:
            return Response("\n".join(error_lines(error)), 404, media_type="text/plain")
        return _sent(data, "stock.csv", "text/csv")

    piece_told = page_told("What is known of a piece in the stock", group="stock")

    @ui.page(STOCK_PATH + "/{mark}", title="casewright", viewport=VIEWPORT, **piece_told)
    async def piece(mark: PartOfAddress) -> None:
        head()
        lines = await run.io_bound(_told, desk, mark)
        ui.query("body").classes("start-body")
        with ui.element("div").classes("start"):
            said(mark[:40], "h1")
            for line in lines or ():
                said(line, "p")


def _told(desk: Desk, mark: str) -> list[str]:
    """All that is known of a piece, a line each."""
    try:
        stock = open_stock(desk.stock_address)
        held, moves = stock.entry(mark), stock.journal(mark=mark, most=10)
    except CasewrightError as error:
        return error_lines(error)
    record = held.record
    lines = [record.name, size_of(held)]
    lines.append(f"{held.count} there" if held.count else "None left.")
    if record.place:
        lines.append(f"Place: {record.place}")
    if held.origin:
        lines.append(f"From {held.origin}")
    if record.note:
        lines.append(record.note)
    for move in moves:
        project = f" for “{move.project}”" if move.project else ""
        lines.append(f"{move.moment}: {move.what} by {move.who}{project}")
    return [line for line in lines if line]


def _sent(data: bytes, name: str, kind: str) -> Response:
    headers = {
        "content-disposition": f"attachment; filename*=UTF-8''{quote(name)}",
        "cache-control": "no-store",
    }
    return Response(data, media_type=kind, headers=headers)


__all__ = ["add_stock_pages"]
