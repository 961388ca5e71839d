"""Several projects, or several copies, cut together: choose, lay out, take the papers."""

from __future__ import annotations

from pathlib import Path

from nicegui import run, ui

from casewright.basics.errors import CasewrightError
from casewright.basics.wording import counted
from casewright.faces.web import sending
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.live import said
from casewright.faces.web.wording import error_lines
from casewright.session.batching import Batched, batch_files, batched
from casewright.session.stocking import open_stock
from casewright.workflow import SUFFIX, open_project, work_out


def cut_a_batch(bench: Bench) -> None:
    """A sheet to choose projects and copies, with what their layouts come to."""
    box, inner = dialog("Cut a batch")
    own = bench.session.path
    others = [path for path in bench.desk.projects() if path.resolve() != own.resolve()][:12]
    counts: dict[Path, ui.number] = {}

    async def lay_out() -> None:
        chosen = {path: int(field.value or 0) for path, field in counts.items()}
        trouble.set_text("")
        state.set_text("laying out …")
        made: tuple[Batched, str] | list[str] | None = await run.io_bound(work, chosen)
        if box.is_deleted or made is None:
            return
        state.set_text("")
        if isinstance(made, list):
            trouble.set_text(made[0] if made else "")
            return
        found.clear()
        with found:
            _say(bench, *made)

    def work(chosen: dict[Path, int]) -> tuple[Batched, str] | list[str]:
        try:
            projects = []
            for path, copies in chosen.items():
                if copies < 1:
                    continue
                worked = (
                    bench.session.whole()
                    if path == own
                    else work_out(open_project(path, catalogs=bench.desk.catalogs))
                )
                if worked is not None:
                    projects.append((worked, copies))
            stock = open_stock(bench.desk.stock_address) if boards.value else None
            made = batched(projects, stock=stock)
            return made, sending.keep(batch_files(made))
        except CasewrightError as error:
            return error_lines(error)

    with inner:
        inner.classes("broad")
        said("How many of each? 0 leaves a project out. The first one's saw counts for all.", "p")
        with ui.element("div").classes("in-line"):
            for path in (own, *others):
                name = path.name.removesuffix(SUFFIX)
                field = ui.number(name, value=2 if path == own else 0, min=0, max=100, step=1)
                counts[path] = field
                field.props("dense outlined")
        boards = ui.checkbox("use boards of the shop's stock that save something")
        with ui.element("div").classes("in-line"):
            press("Lay them out together", lay_out, classes="main")
            state = said("").classes("quietly")
            state.props["role"] = "status"
        trouble = said("", "p").classes("problem")
        trouble.props["role"] = "alert"
        found = ui.element("div").classes("table-room")
        press("Close", box.close, classes="framed")
    box.open()


def _say(bench: Bench, made: Batched, name: str) -> None:
    with ui.element("table").classes("list"):
        with ui.element("thead"), ui.element("tr"):
            for title in ("material", "pieces", "sheets", "to buy", "fewer possible"):
                said(title, "th")
        with ui.element("tbody"):
            for one in made.cutting.plans:
                with ui.element("tr"):
                    said(one.label, "td")
                    fewer = "no" if one.plan.proven else f"at least {one.plan.lower_bound}"
                    numbers = (len(one.blanks), len(one.plan.sheets), one.plan.bought)
                    for cell in (*map(str, numbers), fewer):
                        said(cell, "td").classes("number")
    said(
        f"{counted(made.bought, 'sheet')} to buy; cut one by one, {made.bought_apart}.", "p"
    ).classes("summary")
    for finding in made.findings:
        if finding.severity.rank < 2:
            said(bench.say(finding.message), "p").classes("problem")
    with ui.element("div").classes("in-line"):
        for file in ("batch.pdf", "part-labels.pdf", "cutting.json", "parts.csv", "all.zip"):
            link = ui.element("a").classes("press order")
            link.props["href"] = sending.address(name, file)
            link.props["download"] = "batch.zip" if file == "all.zip" else file
            with link:
                said("all as one archive" if file == "all.zip" else file)


__all__ = ["cut_a_batch"]
