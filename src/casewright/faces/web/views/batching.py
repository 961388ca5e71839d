"""Several projects, or several copies, cut together: choose, lay out, take the papers."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from nicegui import run, ui

from casewright.basics.errors import CasewrightError
from casewright.basics.wording import counted
from casewright.faces.web import sending
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.live import said
from casewright.faces.web.stock_room import change_stock, stock_now
from casewright.faces.web.views.accepting import accept_sheet
from casewright.faces.web.wording import error_lines
from casewright.outputs.documents.tiles import PAPERS
from casewright.session.batching import Batched, batch_files, batched
from casewright.session.making import StoppedError
from casewright.stock.words import layout_words
from casewright.workflow import SUFFIX, Worked, open_project, work_out

if TYPE_CHECKING:
    from casewright.stock.history import Accepted


def cut_a_batch(bench: Bench) -> None:
    """A sheet to choose projects and copies, with what their layouts come to."""
    box, inner = dialog("Cut a batch")
    own = bench.session.path
    others = [path for path in bench.desk.projects() if path.resolve() != own.resolve()][:12]
    counts: dict[Path, ui.number] = {}
    work: _Work | None = None
    loop = asyncio.get_running_loop()

    def tell(stage: str) -> None:
        if not box.is_deleted:
            state.set_text(f"{stage} …")

    def stop() -> None:
        nonlocal work
        if work is not None:
            work.is_stopped, work = True, None
            working.set_visibility(False)

    async def lay_out() -> None:
        nonlocal work
        if work is not None:
            return
        chosen = {path: int(field.value or 0) for path, field in counts.items()}
        trouble.set_text("")
        found.clear()
        work = mine = _Work(bench, lambda stage: loop.call_soon_threadsafe(tell, stage))
        tell("getting ready")
        working.set_visibility(True)
        made = await run.io_bound(
            mine.run,
            chosen,
            with_boards=bool(boards.value),
            seconds=float(seconds.value) if seconds.value else None,
            paper=str(paper.value),
        )
        if mine.is_stopped or box.is_deleted or made is None:
            return  # nobody waits for it any more
        work = None
        working.set_visibility(False)
        if isinstance(made, list):
            trouble.set_text("\n".join(made))
            return
        with found:
            _say(bench, *made)
            _accepting(bench, made[0], inner)

    with inner:
        inner.classes("broad")
        said("How many of each? 0 leaves a project out. The first one's saw counts for all.", "p")
        with ui.element("div").classes("batch-counts"):
            for path in (own, *others):
                name = path.name.removesuffix(SUFFIX)
                field = ui.number(name, value=2 if path == own else 0, min=0, max=100, step=1)
                counts[path] = field
                field.props("dense outlined")
                field.props["title"] = name
        boards = ui.checkbox("use boards of the shop's stock that save something")
        with ui.element("div").classes("in-line"):
            own_paper = bench.opened.project.shop.paper if bench.opened else "A4"
            paper = ui.select(list(PAPERS), value=own_paper, label="Paper")
            seconds = ui.number("Look so many seconds for each material", min=1, max=3600, step=1)
            for choice in (paper, seconds):
                choice.classes("typed" if choice is paper else "typed wide").props(
                    "dense outlined hide-bottom-space"
                )
        with ui.element("div").classes("in-line"):
            press("Lay them out together", lay_out, classes="main")
            with ui.element("span").classes("working") as working:
                ui.spinner(size="18px")
                state = said("").classes("quietly")
                state.props["role"] = "status"
                press("Stop", stop, classes="order")
            working.set_visibility(False)
        trouble = said("", "p").classes("problem")
        trouble.props["role"] = "alert"
        found = ui.element("div").classes("table-room")
        press("Close", box.close, classes="framed")
    box.on_value_change(lambda event: None if event.value else stop())
    bench.client.on_delete(stop)
    box.open()


class _Work:
    """One laying out, aside from the page."""

    def __init__(self, bench: Bench, tell: Callable[[str], object]) -> None:
        self.bench = bench
        self.is_stopped = False
        self._tell = tell

    def run(
        self, chosen: Mapping[Path, int], *, with_boards: bool, seconds: float | None, paper: str
    ) -> tuple[Batched, str] | list[str]:
        """The layouts with the name of their papers, or what is wrong."""
        try:
            projects = [self._project(path, n) for path, n in chosen.items() if n > 0]
            made = batched(
                [(worked, copies) for worked, copies in projects if worked is not None],
                stock=stock_now(self.bench) if with_boards else None,
                seconds=seconds,
                tell=self._stage,
            )
            self._stage("papers")
            return made, sending.keep(batch_files(made, paper=paper))
        except StoppedError:
            return []
        except CasewrightError as error:
            return error_lines(error)

    def _project(self, path: Path, copies: int) -> tuple[Worked | None, int]:
        bench = self.bench
        self._stage(path.name.removesuffix(SUFFIX))
        if path == bench.session.path:
            return bench.session.whole(), copies
        return work_out(open_project(path, catalogs=bench.desk.catalogs)), copies

    def _stage(self, name: str) -> None:
        if self.is_stopped:
            raise StoppedError
        self._tell(name)


def _accepting(bench: Bench, made: Batched, sheets: ui.element) -> None:
    """Accept the layouts of a batch, and take that back."""
    with ui.element("div").classes("in-line accepting") as row:
        pass

    async def accepted(done: Accepted) -> None:
        show(done)

    def accept() -> None:
        with sheets:
            accept_sheet(
                bench, lambda: made.taking, change=partial(change_stock, bench), told=accepted
            )

    async def undo(number: int) -> None:
        done, problems = await change_stock(bench, lambda stock: stock.undo(number))
        show(None if done else number, problems)

    def show(done: Accepted | int | None, problems: Sequence[str] = ()) -> None:
        if row.is_deleted:
            return
        row.clear()
        with row:
            if done is None:
                press("Accept this layout …", accept, classes="main")
                said(
                    "Takes its boards out of the shop's stock and books the offcuts it leaves, all at once."
                ).classes("quietly")
            else:
                if not isinstance(done, int):
                    said(f"Accepted: it {layout_words(done)}.").props["role"] = "status"
                number = done if isinstance(done, int) else done.number
                press("Undo it", partial(undo, number), classes="order")
            for line in problems:
                said(line, "p").classes("problem")

    show(None)


def _say(bench: Bench, made: Batched, name: str) -> None:
    with ui.element("table").classes("list"):
        with ui.element("thead"), ui.element("tr"):
            said("material", "th")
            for title in ("pieces", "sheets", "to buy", "fewer possible"):
                said(title, "th").classes("number")
        with ui.element("tbody"):
            for one in made.cutting.plans:
                with ui.element("tr"):
                    said(one.label, "td")
                    fewer = "no" if one.plan.proven else f"at least {one.plan.lower_bound}"
                    numbers = (len(one.pieces), len(one.plan.sheets), one.plan.bought)
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
