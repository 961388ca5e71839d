"""What of the stock the browser fetches: labels, the table, and the page that a label's code leads to."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING
from urllib.parse import quote

from starlette.responses import Response

from casewright.basics.errors import CasewrightError
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

    @app.get(STOCK_PATH + "/labels.pdf")
    def labels(paper: str = "A4", kind: str = "", bench: str = "") -> Response:
        try:
            held = open_stock(desk.stock_address).entries(kinds=(kind,) if kind else ())
            lead = bench_address_named(bench) if bench else ""
            data = labels_pdf(held, paper_named(paper), address=lead)
        except CasewrightError as error:
            return Response("\n".join(error_lines(error)), 404)
        return _sent(data, "labels.pdf", "application/pdf")

    @app.get(STOCK_PATH + "/stock.csv")
    def table() -> Response:
        try:
            data = stock_csv(open_stock(desk.stock_address).entries())
        except CasewrightError as error:
            return Response("\n".join(error_lines(error)), 404)
        return _sent(data, "stock.csv", "text/csv")

    @ui.page(STOCK_PATH + "/{mark}", title="casewright", viewport=VIEWPORT)
    async def piece(mark: str) -> None:
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
