"""The bench view's addresses, and the frame of its page: how far the work is, what is shown, back, tick and next."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import partial
from typing import TYPE_CHECKING, Literal
from urllib.parse import quote

from nicegui import app, events, ui
from starlette.responses import RedirectResponse

from casewright import __version__
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import press
from casewright.faces.web.described import DeskKey, PartOfAddress, Word, lead_told, page_told
from casewright.faces.web.live import Live, said
from casewright.faces.web.phone.hand import Hand, Reading
from casewright.faces.web.phone.reading import READINGS, reading_page
from casewright.faces.web.phone.sheets import sheet_over
from casewright.faces.web.phone.step_page import piece_page, step_page, step_row
from casewright.outputs.bench_links import BENCH, STEP_LIST
from casewright.outputs.work_words import STAGE_TITLES, hours_words
from casewright.planning.work import Step
from casewright.session import Session

if TYPE_CHECKING:
    from casewright.faces.web.desk import Desk

LONG = 3.0
"""From here on minutes are not told. [h]"""
VIEWPORT = "width=device-width, initial-scale=1, viewport-fit=cover"
_OF = (
    "The project is one that is open under that name; where none is, it leads to the start. `of` is the mark of the "
    "printed sheet, so that the page can say whether the plan has changed since."
)


def add_phone_pages(desk: Desk, head: Callable[[], None]) -> None:
    """Put the bench view on NiceGUI's server.

    Args:
        desk: What is open.
        head: Writes what every page's head holds.
    """

    def lead(
        *, project: str = "", piece: str = "", step: str = "", view: str = "", of: str = ""
    ) -> RedirectResponse:
        """From a code on a page to the piece, step or view; the project is the one open under that name."""
        key = desk.named(project) if project else desk.first
        if not key:
            return RedirectResponse("/", 303)
        part = f"/step/{quote(step, safe='')}" if step else "/step"
        if piece:
            part = f"/piece/{quote(piece, safe='')}"
        if view in READINGS:
            return RedirectResponse(f"/desk/{key}/read/{view}", 303)
        if view and view != STEP_LIST:
            return RedirectResponse(f"/desk/{key}?view={quote(view, safe='')}", 303)
        if view:
            part = "/steps"
        of = of[:20]
        return RedirectResponse(f"/desk/{key}{part}" + (f"?of={quote(of)}" if of else ""), 303)

    @app.get(BENCH, **lead_told("To the work on the project that was opened first"))
    def to_first(of: Word = "") -> RedirectResponse:
        return lead(of=of)

    @app.get(BENCH + "/{project}", **lead_told("To the work on a project", _OF))
    def to_project(project: PartOfAddress, of: Word = "") -> RedirectResponse:
        return lead(project=project, of=of)

    @app.get(BENCH + "/{project}/{piece}", **lead_told("To a piece", _OF))
    def to_piece(project: PartOfAddress, piece: PartOfAddress, of: Word = "") -> RedirectResponse:
        return lead(project=project, piece=piece, of=of)

    @app.get(BENCH + "/{project}/step/{step}", **lead_told("To a step of the work", _OF))
    def to_step(project: PartOfAddress, step: PartOfAddress, of: Word = "") -> RedirectResponse:
        return lead(project=project, step=step, of=of)

    @app.get(BENCH + "/{project}/view/{view}", **lead_told("To what a sheet was printed from", _OF))
    def to_view(project: PartOfAddress, view: PartOfAddress, of: Word = "") -> RedirectResponse:
        return lead(project=project, view=view, of=of)

    def phone_page(where: str, summary: str) -> ui.page:
        address = "/desk/{key}" + where
        return ui.page(address, title="casewright", viewport=VIEWPORT, **page_told(summary))

    @phone_page("/step", "On a phone: where the work is")
    async def start(key: DeskKey) -> None:
        _page(desk, head, key)

    @phone_page("/steps", "On a phone: all steps")
    async def at_list(key: DeskKey, of: Word = "") -> None:
        _page(desk, head, key, show="list", of=of)

    @phone_page("/read/{reading}", "On a phone: findings, what to buy, or how it is opened")
    async def at_reading(key: DeskKey, reading: PartOfAddress) -> None:
        known = next((one for one in READINGS if one == reading), None)
        _page(desk, head, key, show="reading" if known else "list", reading=known)

    @phone_page("/step/{step}", "On a phone: a step of the work")
    async def at_step(key: DeskKey, step: PartOfAddress, of: Word = "") -> None:
        _page(desk, head, key, step=step, of=of)

    @phone_page("/piece/{piece}", "On a phone: a piece, as drawn and as made")
    async def at_piece(key: DeskKey, piece: PartOfAddress, of: Word = "") -> None:
        _page(desk, head, key, piece=piece, of=of)


def _page(
    desk: Desk,
    head: Callable[[], None],
    key: str,
    *,
    step: str = "",
    piece: str = "",
    show: Literal["step", "list", "reading"] = "step",
    reading: Reading | None = None,
    of: str = "",
) -> None:
    head()
    ui.add_head_html(
        f'<script src="/theme/phone.js?{__version__}"></script>'
        f'<link rel="stylesheet" href="/theme/phone.css?{__version__}">'
    )
    session = desk.find(key)
    ui.query("body").classes("phone-body")
    if session is None:
        with ui.element("main").classes("phone-main"):
            said("That project is not open here", "h1")
            said("Open it on the computer whose terminal shows the code, then scan again.", "p")
        return
    hand = Hand(Bench(desk, session, key, "phone"))
    hand.step, hand.piece, hand.paper = step[:300], piece[:200], of[:20]
    hand.show = "piece" if piece else show
    hand.reading = reading or hand.reading
    _frame(hand, session, is_placed=bool(step or piece))


def _frame(hand: Hand, session: Session, *, is_placed: bool) -> None:
    live = hand.bench.live
    if is_placed:
        _arrive(hand)
    with ui.element("div").classes("phone") as frame:
        _top(hand, live)
        banner = live.section(lambda _: _banner(hand), lambda: hand.misfits)
        banner.classes("phone-banner")
        main = ui.element("main").classes("phone-main")
        main.props["tabindex"] = "-1"
        with main:
            live.section(
                lambda inner: _shown(hand, inner), lambda: _shown_key(hand, is_placed=is_placed)
            )
        sheet = live.section(lambda inner: sheet_over(hand, inner), lambda: _sheet_key(hand))
        sheet.classes("phone-sheet")
        sheet.props["role"], sheet.props["aria-live"] = "region", "polite"
        sheet.props["aria-label"] = "To put down"
        _foot(hand, live)
    # Which edit the page has come to, for tests: it is sent together with what shows it.
    live.props(frame, lambda: {"data-version": session.shown_version, "data-show": hand.show})
    live.update()

    def placed(event: events.GenericEventArguments) -> None:
        """A phone that comes back goes on where it was."""
        if not hand.step and not hand.piece:
            hand.step = str(event.args or "")[:300]
            _arrive(hand)
            hand.refresh()

    if not is_placed:
        ui.on("place", placed)
        hand.bench.client.on_connect(
            lambda: hand.bench.client.run_javascript(f"casewrightWhere('{hand.bench.key}')")
        )


def _arrive(hand: Hand) -> None:
    asked = hand.step
    hand.settle()
    if hand.show == "step":
        hand.keep_place()
    if asked and hand.step != asked and hand.show == "step":
        hand.note = (
            "That step is not in the plan any more: its pieces are made, or the plan has changed."
        )


def _shown_key(hand: Hand, *, is_placed: bool) -> Hashable:
    if hand.show == "step" and (hand.step or is_placed):
        hand.settle()
    if hand.show == "list":
        return ("list", tuple((s.key, s.number, hand.day_of(s.key)) for s in hand.steps))
    if hand.show == "reading":
        return ("reading", hand.reading, hand.worked, hand.bench.style)
    if hand.show == "piece":
        record = hand.bench.opened.project.as_built.get(hand.piece) if hand.bench.opened else None
        return ("piece", hand.piece, hand.plan and hand.plan.steps, repr(record), hand.bench.style)
    return ("step", hand.current, hand.step and hand.day_of(hand.step), hand.bench.style, hand.note)


def _shown(hand: Hand, live: Live) -> None:
    if hand.show == "list":
        _listed(hand, live)
    elif hand.show == "piece":
        piece_page(hand, live)
    elif hand.show == "reading":
        reading_page(hand)
    elif hand.step or hand.steps == ():
        if hand.note:
            said(hand.note, "p").classes("phone-first")
        step_page(hand, live)
    else:
        said("…", "p")


def _sheet_key(hand: Hand) -> Hashable:
    if hand.sheet in ("offer", "pieces"):
        return (hand.sheet, hand.offered)
    if hand.sheet == "measure":
        # Another phone's tick must not take away what is half typed; more of it opened or closed does.
        return (hand.sheet, hand.piece, hand.plan, hand.spot)
    return (hand.sheet, hand.misfits)


def _top(hand: Hand, live: Live) -> None:
    with ui.element("header").classes("phone-top"):
        steps = press(
            "Steps",
            lambda: hand.open("step" if hand.show == "list" else "list"),
            classes="framed",
            icon="menu",
        )
        live.props(steps, lambda: {"aria-pressed": str(hand.show == "list").lower()})
        with ui.element("div").classes("phone-progress"):
            live.text(lambda: _progress(hand))
            bar = ui.element("progress")
            bar.props["aria-label"] = "Steps done"
            live.props(bar, lambda: {"value": hand.counts[0], "max": max(1, hand.counts[1])})
        press(
            "",
            lambda: hand.bench.client.run_javascript("casewrightOtherTheme()"),
            classes="framed",
            icon="sun",
            label="Light or dark",
        )


def _progress(hand: Hand) -> str:
    done, whole = hand.counts
    left = sum(s.busy_h for s in hand.steps if s.key not in hand.done)
    rest = f"{left:.0f} h" if left > LONG else hours_words(left)
    return f"{done} of {whole}, {rest} left" if left else f"{done} of {whole}"


def _banner(hand: Hand) -> None:
    if hand.misfits:
        names = ", ".join(answer.label for answer in hand.misfits[:3])
        press(f"Does not fit the plan: {names}", partial(hand.lay, "misfit"), classes="phone-alarm")


def _listed(hand: Hand, live: Live) -> None:
    """All steps by day; within a day by stage."""
    days: dict[int, list[Step]] = {}
    for step in hand.steps:
        days.setdefault(hand.day_of(step.key), []).append(step)
    for day, steps in sorted(days.items()):
        said(f"Day {day}", "h2").classes("phone-day")
        stage = ""
        with ui.element("ul").classes("plain phone-list"):
            for step in steps:
                if step.stage != stage:
                    stage = step.stage
                    said(STAGE_TITLES[step.stage], "li").classes("phone-stage")
                step_row(hand, live, step)
    hand.bench.client.run_javascript("casewrightCurrent()")


def _foot(hand: Hand, live: Live) -> None:
    with ui.element("footer").classes("phone-foot"):
        back = press("Back", lambda: hand.move(-1), classes="framed", label="The step before")
        tick = press("", hand.tick, classes="tick")
        with tick:
            said("").classes("phone-box").props["aria-hidden"] = "true"
            live.text(lambda: _tick_words(hand))
        next_ = press("Next", lambda: hand.move(1), classes="framed", label="The next step")
    live.props(back, lambda: {"disabled": [s.key for s in hand.steps[:1]] == [hand.step]})
    live.props(next_, lambda: {"disabled": [s.key for s in hand.steps[-1:]] == [hand.step]})
    live.classes(next_, lambda: "main" if hand.step in hand.done else "")
    live.props(
        tick,
        lambda: {
            "data-done": "" if hand.step in hand.done else None,
            "aria-pressed": str(hand.step in hand.done).lower(),
            "disabled": hand.current is None,
        },
    )


def _tick_words(hand: Hand) -> str:
    when = hand.done.get(hand.step)
    return f"Done {when.rpartition(' ')[2]}" if when else "Done?"


__all__ = ["add_phone_pages"]
