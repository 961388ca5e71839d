"""Papers: make them, look at the pages, take one or all."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from functools import partial

from nicegui import run, ui

from casewright.design.project import Writing
from casewright.faces.web import sending
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import Choice, heading, press
from casewright.faces.web.live import said
from casewright.faces.web.paper_job import Papers
from casewright.faces.web.views.batching import cut_a_batch
from casewright.faces.web.views.forms import form
from casewright.faces.web.views.rows import Place
from casewright.outputs.documents.tiles import PAPERS

GROUPS = (
    ("For the bench", (".pdf",)),
    ("To show on a display while it is set", (".png",)),
    ("Drawings, one a part and face", (".svg",)),
    ("For a machine or another drawing program", (".dxf",)),
    ("Tables and data", (".csv", ".json")),
    ("Days of painting, for a calendar", (".ics",)),
    ("Solids", (".glb", ".step")),
)


def view(bench: Bench) -> None:
    """Choose paper and unit, make, look, take."""
    heading(
        "Papers",
        "Everything for the bench: the book, templates at true size, drawings, lists, solids.",
    )
    live, job = bench.live, bench.papers

    async def paper(text: str) -> list[str]:
        return await bench.set(("shop", "paper"), text, "paper")

    def paper_now() -> str:
        return bench.opened.project.shop.paper if bench.opened else "A4"

    with ui.element("div").classes("tools"):
        sizes = Choice(live, "Paper", {name: name for name in PAPERS}, paper_now, paper)
        sizes.select.props["data-field"] = "shop.paper"
        make_button = press("Make them now", lambda: make(), classes="main")
        live.props(make_button, lambda: {"aria-disabled": "true" if job.stage else None})
        press("Cut a batch", partial(cut_a_batch, bench), classes="framed")
        with ui.element("span").classes("working") as working:
            ui.spinner(size="18px")
            live.text(lambda: f"{job.stage} …").props["role"] = "status"
            press("Stop", job.stop, classes="order")
        live.props(working, lambda: {"hidden": not job.stage})
    with ui.element("details").classes("narrow"):
        said("How numbers are written", "summary")
        form(live, Place(bench, ("writing",), "the papers"), Writing)
    note = live.text(lambda: _stops_words(bench), "p")
    note.classes("problem")
    stale = said("", "p").classes("quietly")
    with ui.element("div").classes("columns papers-columns"):
        shown = ui.element("div").classes("lane paper-shown")
        listed = ui.element("div").classes("lane scrolls")
    filled: list[Papers | None] = [None]

    async def make() -> None:
        worked = await run.io_bound(bench.session.whole)
        if worked is not None:
            made = job.make(worked, version=bench.session.version, bench=bench.desk.bench_address)
            await bench.tell(await made)

    def follow() -> None:
        if job.papers is not filled[0]:
            filled[0] = job.papers
            _fill(job.papers, shown, listed)
        old = job.papers is not None and job.papers.version != bench.session.version
        stale.set_text("The project was changed since these papers were made." if old else "")

    live.add(follow)
    _fill(None, shown, listed)
    follow()


def _stops_words(bench: Bench) -> str:
    worked = bench.worked
    if worked is None or not worked.stops:
        return ""
    return "Stops first: do not cut before they are cured."


def _fill(papers: Papers | None, shown: ui.element, listed: ui.element) -> None:
    shown.clear()
    listed.clear()
    if papers is None:
        with shown:
            said("No papers made yet. It takes a few seconds.", "p").classes("quietly")
        return
    name, contents = papers.name, papers.files
    drawings = [file for file in contents if file.endswith(".svg")]

    def show(file: str) -> None:
        shown.clear()
        with shown:
            _preview(name, file, drawings)

    with listed:
        with ui.element("div").classes("in-line"):
            _link("Take all as one archive (.zip)", sending.address(name, "all.zip"), "press main")
        for title, endings in GROUPS:
            files = [file for file in contents if file.endswith(endings)]
            if not files:
                continue
            with ui.element("section").classes("block"):
                said(title, "h2")
                with ui.element("ul").classes("plain files"):
                    for file in files:
                        _file(name, file, contents, show)
    show("bench-book.pdf")


def _file(name: str, file: str, papers: Mapping[str, bytes], show: object) -> None:
    with ui.element("li").classes("paper-file"):
        _link(file, sending.address(name, file), "press order")
        said(_size(len(papers[file])), "small")
        if file.endswith((".pdf", ".svg", ".png")) and callable(show):
            press("look", lambda: show(file), classes="why", label=f"Look at {file}")


def _link(words: str, address: str, classes: str) -> None:
    link = ui.element("a").classes(classes)
    link.props["href"] = address
    link.props["download"] = address.rpartition("/")[2]
    with link:
        said(words)


def _preview(name: str, file: str, drawings: Sequence[str]) -> None:
    address = f"{sending.address(name, file)}?shown"
    if file.endswith(".pdf"):
        _pages(name, file, address, drawings)
    else:
        frame = ui.element("img").classes("paper-page")
        frame.props["src"], frame.props["alt"] = address, file
    own = ui.element("a").classes("press order")
    own.props["href"], own.props["target"], own.props["rel"] = address, "_blank", "noopener"
    with own:
        said("Open it in a tab of its own")


def _pages(name: str, file: str, address: str, drawings: Sequence[str]) -> None:
    """A PDF in the page; where the browser cannot show one, words and the drawings, which it can."""
    frame = ui.element("iframe").classes("paper-page")
    frame.props["title"] = file
    with ui.element("div").classes("paper-elsewhere") as elsewhere:
        elsewhere.props["hidden"] = True
        said(
            f"This browser shows no PDF inside a page. Take {file} from the list, or open it in a tab of its own, and "
            "look at it in another program. These are the drawings in it:",
            "p",
        )
        for drawing in drawings:
            picture = ui.element("img").classes("paper-drawing")
            picture.props["src"] = f"{sending.address(name, drawing)}?shown"
            picture.props["loading"], picture.props["alt"] = "lazy", drawing
    # Only the browser knows; asked before it fetches the pages, since it would save them where it cannot show them.
    ui.context.client.run_javascript(
        f"const pages = getHtmlElement({frame.id}), elsewhere = getHtmlElement({elsewhere.id});"
        "if (navigator.pdfViewerEnabled === false) { pages.hidden = true; elsewhere.hidden = false; }"
        f"else pages.src = {json.dumps(address)};"
    )


def _size(count: int) -> str:
    return f"{count / 1_000_000:.1f} MB" if count > 999_999 else f"{max(1, round(count / 1000))} kB"


__all__ = ["GROUPS", "view"]
