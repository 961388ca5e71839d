"""The page on one project: head, the job down the left, one view, what to look at, the figures that decide."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING

from nicegui import events, ui

from casewright.basics.findings import Severity
from casewright.basics.wording import counted
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import press
from casewright.faces.web.filing import file_menu, watch_disk
from casewright.faces.web.keys import keys_dialog
from casewright.faces.web.live import Live, said
from casewright.faces.web.preloading import preload_links
from casewright.faces.web.views import (
    cutting,
    figures,
    findings,
    made,
    order,
    panels,
    papers,
    parts,
    people,
    side,
    stock,
    text,
    using,
    whole,
)
from casewright.faces.web.wording import ago, error_lines
from casewright.session import Session

if TYPE_CHECKING:
    from casewright.faces.web.desk import Desk

STEPS = (
    ("parts", "Bought parts", parts.view),
    ("people", "People & place", people.view),
    ("side", "Side view", side.view),
    ("panels", "Deck & panels", panels.view),
    ("whole", "Whole cabinet", whole.view),
    ("findings", "Will it serve", findings.view),
    ("use", "In use", using.view),
    ("stock", "Stock", stock.view),
    ("cutting", "Cutting", cutting.view),
    ("order", "Order of work", order.view),
    ("made", "As built", made.view),
    ("papers", "Papers", papers.view),
    ("text", "Project text", text.view),
)
"""The way of the job: key, name and view. Later steps (light, wiring, heat) find their place here."""
NUMBERED = 12
MOST_TROUBLE = 6
"""Mistakes of the text that stand above each view."""
NUMBERS = "1234567890-=t"
"""Keys that lead to the steps, in order."""


STEP_IN_SIGHT = """
setTimeout(() => document.querySelector(".job [aria-current]")
  ?.scrollIntoView({block: "nearest", inline: "center"}), 50)
"""
"""On a narrow page the steps are one row that is wider than it; after what was sent with it is there."""


def bench_page(desk: Desk, session: Session, key: str, view: str) -> None:
    """Build the page for one browser tab."""
    known = {step for step, _, _ in STEPS}
    first = "side" if session.worked else "text"
    bench = Bench(desk, session, key, view if view in known else first)
    ui.add_head_html(preload_links(bench.view))
    ui.query("body").classes("bench-body")
    with ui.element("div").classes("bench") as frame:
        bench.strip.classes(frame, lambda: f"at-{bench.view}")
        _head(bench)
        nav = ui.element("nav").classes("job")
        main = ui.element("section").classes("view")
        with ui.element("aside").classes("look-at") as aside:
            findings.pane(bench)
        figures.strip(bench)
    aside.props["aria-label"] = "What to look at"
    # Which edit the page has come to, for tests and figures: it is sent together with what shows it.
    bench.strip.props(
        aside,
        lambda: {"data-version": session.shown_version, "data-found": session.found_version},
    )
    bench.pulse.props(aside, lambda: {"aria-busy": "true" if session.is_behind else None})
    nav.props["aria-label"] = "The job"
    main.props["tabindex"] = "-1"
    main.props["aria-label"] = "Work"
    main.props["id"] = "view"

    def go(step: str) -> None:
        bench.view = step
        bench.watchers.clear()
        bench.early.clear()
        bench.theme_watchers.clear()
        bench.live.clear()
        main.clear()
        builder = next(build for name, _, build in STEPS if name == step)
        with main:
            _trouble(bench)
            with ui.element("div").classes(f"view-body view-{step}"):
                builder(bench)
        bench.strip.update()
        ui.navigate.history.replace(f"/desk/{bench.key}?view={step}")
        if bench.client.has_socket_connection:
            bench.client.run_javascript(STEP_IN_SIGHT)

    bench.go = go
    with nav:
        _job(bench)
    go(bench.view)
    _keys(bench)
    watch_disk(bench)

    def themed(event: events.GenericEventArguments) -> None:
        bench.is_dark = event.args == "dark"
        for watch in tuple(bench.theme_watchers):
            watch(bench.is_dark)

    def ask_theme() -> None:
        bench.client.run_javascript("emitEvent('theme', document.documentElement.dataset.theme)")

    ui.on("theme", themed)
    bench.client.on_connect(ask_theme)
    bench.client.on_connect(bench.rest)
    bench.client.on_connect(lambda: bench.client.run_javascript(STEP_IN_SIGHT))


def _head(bench: Bench) -> None:
    session = bench.session
    with ui.element("header").classes("head"):
        file_menu(bench)
        bench.strip.text(
            lambda: bench.opened.project.name if bench.opened else session.path.name, "strong"
        ).classes("project-name")
        clock = Live()
        state = clock.text(lambda: _saved_words(bench)).classes("quietly saved")
        state.props["role"] = "status"
        bench.strip.add(clock.update)
        ui.timer(5.0, clock.update)
        _step_button(bench, "back")
        _step_button(bench, "forward")
        ui.element("span").classes("spring")
        _unit_switch(bench)
        press("", lambda: _toggle_dark(bench), icon="sun", label="Light or dark")
        press("", lambda: keys_dialog(), icon="keys", label="Keys (?)")
        press("", lambda: bench.go("text"), icon="text", label="The project's text")
        press("Make the papers", lambda: bench.go("papers"), classes="main")


def _step_button(bench: Bench, way: str) -> None:
    session = bench.session
    undo = way == "back"
    button = press(
        "", bench.undo if undo else bench.redo, icon=way, label="Undo" if undo else "Redo"
    )

    def props() -> dict[str, object]:
        can = session.can_undo if undo else session.can_redo
        words = (session.undo_label if undo else session.redo_label) if can else ""
        said_ = (
            f"{'Undo' if undo else 'Redo'}: {words}"
            if can
            else f"Nothing to {'undo' if undo else 'redo'}"
        )
        off = None if can else "true"  # the last step back leaves the focus where it is
        return {"aria-disabled": off, "aria-label": said_, "title": said_}

    bench.strip.props(button, props)


def _saved_words(bench: Bench) -> str:
    session = bench.session
    if session.errors:
        return "the text cannot be used yet; your words are kept"
    if session.autosave_problem:
        return f"not kept: {session.autosave_problem}"
    if session.is_saved:
        try:
            when = datetime.fromtimestamp(session.path.stat().st_mtime, UTC)
        except OSError:
            return "the file is gone; save it again"
        return f"saved {ago(when)}"
    return f"kept {ago(bench.last_change)}, not in the file yet"


def _unit_switch(bench: Bench) -> None:
    def switch(unit: str) -> None:
        bench.unit = "in" if unit == "in" else "mm"
        bench.go(bench.view)

    with ui.element("span").classes("switch") as box:
        box.props["role"] = "group"
        box.props["aria-label"] = "Unit shown"
        for unit in ("mm", "in"):
            button = press(
                unit, partial(switch, unit), classes="half", label=f"Show lengths in {unit}"
            )
            bench.strip.props(button, partial(_unit_props, bench, unit))


def _unit_props(bench: Bench, unit: str) -> dict[str, object]:
    return {"aria-pressed": str(bench.style.unit == unit).lower()}


def _toggle_dark(bench: Bench) -> None:
    bench.is_dark = not bench.is_dark
    theme = "dark" if bench.is_dark else "light"
    ui.run_javascript(f"casewrightTheme('{theme}')")
    for watch in tuple(bench.theme_watchers):
        watch(bench.is_dark)


def _job(bench: Bench) -> None:
    with ui.element("ol"):
        for number, (step, name, _) in enumerate(STEPS, start=1):
            if number > NUMBERED:
                continue
            with ui.element("li"):
                button = ui.element("button").classes("step")
                button.props["type"] = "button"
                button.on("click", partial(bench.go, step))
                bench.strip.props(button, partial(_step_props, bench, step))
                with button:
                    said(str(number), "i").props["aria-hidden"] = "true"
                    with ui.element("span").classes("step-words"):
                        said(name, "b")
                        bench.strip.text(partial(_step_note, bench, step), "em")


def _step_props(bench: Bench, step: str) -> dict[str, object]:
    return {"aria-current": "step" if bench.view == step else None}


def _step_note(bench: Bench, step: str) -> str:
    worked = bench.worked
    if worked is None:
        return ""
    if step == "parts":
        count = sum(bool(f.missing) or f.rule.endswith(".measured") for f in worked.findings)
        return f"{count} to measure" if count else ""
    if step == "findings":
        stops = len(worked.stops)
        if stops:
            return counted(stops, "stop")
        count = sum(f.severity is Severity.CAUTION for f in worked.findings)
        return f"{count} to look at" if count else ""
    if step == "cutting":
        sheets = sum(len(plan.plan.sheets) for plan in worked.cutting.plans)
        return counted(sheets, "sheet") if sheets else ""
    return ""


def _trouble(bench: Bench) -> None:
    """What is wrong with the text, above the last picture that could be made."""

    def build(live: Live) -> None:
        errors = bench.session.errors
        if errors is None:
            return
        with ui.element("section").classes("trouble") as box:
            box.props["role"] = "alert"
            stays = "the last good picture stays" if bench.worked else "nothing can be drawn yet"
            said(f"The text cannot be used as it is; {stays}.", "strong")
            with ui.element("ul"):
                lines = error_lines(errors)
                for line in lines[:MOST_TROUBLE]:
                    said(line, "li")
                if len(lines) > MOST_TROUBLE:
                    said(f"and {len(lines) - MOST_TROUBLE} more, in the text", "li")
            if bench.view != "text":
                press("Go to the text", lambda: bench.go("text"), classes="order")
            if bench.session.can_undo:
                press(f"Undo: {bench.session.undo_label}", bench.undo, classes="order")

    bench.live.section(build, lambda: str(bench.session.errors or ""))


def _keys(bench: Bench) -> None:
    """Keys that work everywhere on the page; the browser tells of them where nothing is typed (`theme/keys.js`)."""

    async def pressed(event: events.GenericEventArguments) -> None:
        told = event.args if isinstance(event.args, dict) else {}
        key, is_shifted = str(told.get("key")), bool(told.get("shift"))
        if not told.get("command"):
            if key == "?":
                keys_dialog()
            elif key in NUMBERS[: len(STEPS)]:
                bench.go(STEPS[NUMBERS.index(key)][0])
        elif key == "s":
            await bench.save()
        elif key == "y" or (key == "z" and is_shifted):
            await bench.redo()
        elif key == "z":
            await bench.undo()

    ui.add_head_html(f'<script>window.casewrightSteps = "{NUMBERS[: len(STEPS)]}"</script>')
    ui.on("page-key", pressed)


__all__ = ["MOST_TROUBLE", "NUMBERED", "NUMBERS", "STEPS", "bench_page"]
