"""Variants of the project: what to vary, a plot and table of what comes of it, one of them taken."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any, NamedTuple

from nicegui import events, run, ui

from casewright.basics.errors import CasewrightError
from casewright.basics.wording import counted
from casewright.faces.web import sending
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.live import said
from casewright.faces.web.wording import error_lines
from casewright.session.exploring import Base, Job, KeptRows, Run, job_with, plan_beside
from casewright.session.exploring.job import wishes_in
from casewright.session.exploring.picking import pick_edits
from casewright.session.exploring.writing import explored_files

HINT = (
    "One line for each thing: its place in the file = a range, or values with commas between them."
)
PICKED = "variant-picked"
HEAR = f"""
if (!window.hearsVariants) {{
  window.hearsVariants = true;
  addEventListener("message", event => {{
    const number = event.origin === location.origin ? event.data?.variant : null;
    if (Number.isInteger(number)) emitEvent("{PICKED}", number);
  }});
}}
"""
"""In the page: passes on which variant was pressed in the frame."""


def try_variants(bench: Bench) -> None:
    """A sheet to say what to vary, and to look at what comes of it."""
    box, inner = dialog("Try variants")
    state = _Exploring(bench)

    async def start() -> None:
        lines = [line.strip() for line in str(wish.value or "").splitlines() if line.strip()]
        most = int(sample.value) if sample.value else None
        trouble.set_text("")
        more = More(
            listed(shown.value), listed(aims.value), int(seed.value) if seed.value else None
        )
        problems = await state.begin(lines, most, more, progress.set_text, working.set_visibility)
        if box.is_deleted:
            return
        trouble.set_text(problems[0] if problems else "")
        if not problems and state.address:
            frame.props["src"] = f"{state.address}?shown"
            frame.set_visibility(True)
            frame.update()
            links.clear()
            with links:
                for name in ("explored.html", "variants.csv", "variants.json"):
                    link = ui.element("a")
                    link.props["href"] = sending.address(state.name, name)
                    link.props["download"] = name
                    with link:
                        said(name)

    async def pick(event: events.GenericEventArguments) -> None:
        number = event.args
        if isinstance(number, int) and state.job is not None and box.value and not box.is_deleted:
            problems = await state.take(number)
            if await bench.tell(problems):
                bench.notify(f"Variant {number} is the project now; undo brings it back as it was.")
                box.close()

    with inner:
        inner.classes("broad")
        wish = ui.textarea("What to vary", value=usual_lines(bench)).classes("typed many-lines")
        wish.props("dense outlined autogrow")
        plan = plan_beside(bench.session.path)
        if plan.is_file():
            wish.props["placeholder"] = f"Left empty, it is what {plan.name} says."
        wish.props["hint"] = HINT
        with ui.element("details").classes("narrow"):
            said("More to show, and what is to be low or high", "summary")
            shown = ui.input("Further numbers, as deck.length, with commas between")
            aims = ui.input("Aims, as cost, mass, sight more, with commas between")
            seed = ui.number("Another sample", min=0, step=1)
            for box_ in (shown, aims, seed):
                box_.classes("typed").props("dense outlined hide-bottom-space")
        with ui.element("div").classes("in-line"):
            sample = ui.number("At most so many", value=500, min=1, max=200_000, step=100)
            sample.props("dense outlined")
            press("Try them", start, classes="main")
            with ui.element("span").classes("in-line") as working:
                progress = said("").classes("quietly")
                progress.props["role"] = "status"
                press("Stop", state.stop, classes="order")
            working.set_visibility(False)
            links = ui.element("span").classes("in-line")
        trouble = said("", "p").classes("problem")
        trouble.props["role"] = "alert"
        frame = ui.element("iframe").classes("paper-page variants")
        frame.props["title"] = "Plot and table of the variants"
        frame.style("width: 100%; height: 70vh; border: 0")
        frame.set_visibility(False)
        ui.on(PICKED, pick)
        press("Close", box.close, classes="framed")
    box.on_value_change(lambda event: None if event.value else state.stop())
    box.open()
    ui.run_javascript(HEAR)


class More(NamedTuple):
    """What else is asked of an exploration."""

    shown: tuple[str, ...] = ()
    aims: tuple[str, ...] = ()
    seed: int | None = None


def listed(text: object) -> tuple[str, ...]:
    """Words with commas between them.

    Example:
        >>> listed("cost, sight more,"), listed(None)
        (('cost', 'sight more'), ())
    """
    return tuple(word.strip() for word in str(text or "").split(",") if word.strip())


def usual_lines(bench: Bench) -> str:
    """What may be worth varying, to begin with: nothing where a plan beside the file says it."""
    opened = bench.opened
    if opened is None or plan_beside(bench.session.path).is_file():
        return ""
    worked = bench.worked
    lines = []
    if worked is not None and opened.project.shape.width is not None:
        unit = opened.project.unit
        width = worked.cabinet.shape.width / {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4}[unit]
        step = {"mm": 10.0, "cm": 1.0, "m": 0.01, "in": 0.5}[unit]
        lines.append(f"shape.width = {width - 2 * step:g} to {width + 2 * step:g} by {step:g}")
    for key, material in list(opened.project.materials.items())[:1]:
        names = ", ".join(other for other in opened.project.materials if other != key)
        if names and opened.project.shape.board == key:
            lines.append(f"shape.board = {key}, {names.split(', ')[0]}")
        elif material.measured:
            lines.append(f"materials.{key}.measured = {material.measured:g}, {material.nominal:g}")
    return "\n".join(lines)


class _Exploring:
    """The exploration of one sheet."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.job: Job | None = None
        self.name = ""
        self._run: Run | None = None
        bench.client.on_delete(self.stop)

    @property
    def address(self) -> str:
        """Where the page of the last exploration is; "" before there is one."""
        return sending.address(self.name, "explored.html") if self.name else ""

    def stop(self) -> None:
        """End it; what is finished stays."""
        if self._run is not None:
            self._run.stop()

    async def begin(
        self, lines: list[str], most: int | None, more: More, tell: Any, show: Any
    ) -> list[str]:
        """Work it out; what is wrong, nothing where it went well."""
        if self._run is not None:
            return []
        loop = asyncio.get_running_loop()
        try:
            job = await run.io_bound(self._job, lines, most, more)
        except CasewrightError as error:
            return error_lines(error)
        if job is None:  # the server is ending
            return []
        self._run = running = Run(job, KeptRows(self._kept()))
        show(True)

        def work() -> None:
            for done in running:
                words = f"{done} of {counted(len(job.numbers), 'variant')}"
                loop.call_soon_threadsafe(tell, words)

        try:
            await run.io_bound(work)
        except CasewrightError as error:
            return error_lines(error)
        finally:
            self._run = None
            show(False)
        self.job = job
        file = self.bench.session.path
        command = f"casewright explore {file.name} --pick"
        self.name = sending.keep(explored_files(running.result, command=command))
        return []

    async def take(self, number: int) -> list[str]:
        """Make a variant the project: one step of undo."""
        if self.job is None:
            return []
        try:
            edits = pick_edits(self.job, number)
        except CasewrightError as error:
            return error_lines(error)
        return await self.bench.edit(edits, f"take variant {number}")

    def _job(self, lines: list[str], most: int | None, more: More) -> Job:
        session, desk = self.bench.session, self.bench.desk
        texts = [(str(path), path.read_text(encoding="utf-8")) for path in desk.catalogs]
        base = Base.of(session.text, file=session.path.name, catalogs=texts, catalog=desk.catalog)
        plan = plan_beside(session.path)
        planned = None
        if not lines and plan.is_file():
            planned = wishes_in(plan.read_text(encoding="utf-8"), base, file=plan.name)
        vary = [_tight(line) for line in lines]
        return job_with(
            base, planned, vary=vary, shown=more.shown, aims=more.aims, sample=most, seed=more.seed
        )

    def _kept(self) -> Path:
        return self.bench.desk.recent.file.parent / "variants" / f"{self.bench.key}.sqlite"


def _tight(line: str) -> str:
    """A line without the blanks round its equals sign."""
    field, sign, values = line.partition("=")
    return f"{field.strip()}{sign}{values.strip()}"


__all__ = ["More", "listed", "try_variants", "usual_lines"]
