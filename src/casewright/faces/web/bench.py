"""One page on one project: what it shows, in which unit, and how it hands edits to the session."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import UTC, datetime
from threading import Event, Lock, get_ident
from typing import TYPE_CHECKING, TypeVar, cast

from nicegui import background_tasks, run, ui

from casewright.basics.errors import CasewrightError
from casewright.basics.findings import Finding, Remedy, worded
from casewright.basics.units import LengthStyle, Unit, format_length
from casewright.faces.web.entering import entered_length
from casewright.faces.web.live import Live
from casewright.faces.web.paper_job import PaperJob
from casewright.faces.web.wording import error_lines
from casewright.session import Changes, Session
from casewright.workflow import Built, Edits, KeyPath, Opened, Removal, Value, Worked

if TYPE_CHECKING:
    from casewright.faces.web.desk import Desk

T = TypeVar("T")

RESTING = 2.0
"""After so long without a change what the remedies would bring is found out. [s]"""

SENDING = 0.005
"""What was put together is handed to the network meanwhile. [s]"""
SOON = 0.25
"""After so long the page tells that the rest is still being worked out; a change of it has the browser lay out the page
anew, which would hold up the picture. [s]"""


class Bench:
    """One browser tab on a session; another tab has another one on the same session."""

    def __init__(self, desk: Desk, session: Session, key: str, view: str) -> None:
        self.desk = desk
        self.session = session
        self.key = key
        self.view = view
        self.panel = ""
        """Panel shown in the view of panels."""
        self.chosen: set[str] = set()
        """Placed parts ticked on it."""
        self.part = ""
        """Part shown in the view of bought parts."""
        self.seen: tuple[str, ...] = ()
        """Keys of what a finding points at."""
        self.point: tuple[float, float, float] | None = None
        self.papers = PaperJob(self._papers_changed)
        self.is_dark = False
        self.unit: Unit | None = None
        """The unit shown; None is the project's own."""
        self.live = Live()
        self.strip = Live()
        self.go: Callable[[str], None] = lambda view: None
        self.last_change = datetime.now(UTC)
        self.watchers: list[Callable[[Changes], None]] = []
        """Called with each change, for pictures that send only what changed."""
        self.early: list[Callable[[Built], None]] = []
        """Called as soon as a changed cabinet is there in space, before the rest is worked out."""
        self.pulse = Live()
        """What tells that the rest is still being worked out."""
        self._rest: asyncio.TimerHandle | None = None
        self._is_early_due = False
        self._untold: Changes | None = None
        """What the page has not come to yet."""
        self._telling = Lock()
        self.theme_watchers: list[Callable[[bool], None]] = []
        """Called with true for dark."""
        self.client = ui.context.client
        self._made: dict[object, tuple[Worked | None, LengthStyle, object]] = {}
        self._loop = asyncio.get_running_loop()
        self._thread = get_ident()
        self._is_shown_early = Event()
        self._is_shown_early.set()
        self._unsubscribe = session.subscribe(
            self._heard,
            early=self._heard_early,
            judged=self._heard_judged,
            pause=self._let_show,
        )
        self.client.on_delete(self._unsubscribe)
        self.client.on_delete(self._wake)
        self.client.on_delete(self.papers.stop)

    # ---- what there is ----

    @property
    def opened(self) -> Opened | None:
        """The project as last read without errors."""
        worked = self.session.worked
        return self.session.opened or (worked.opened if worked else None)

    @property
    def worked(self) -> Worked | None:
        """The cabinet as last worked out, with all that is said of it."""
        return self.session.worked

    @property
    def built(self) -> Built | None:
        """The cabinet in space as it is now, for pictures and for what is pulled and typed at it."""
        return self.session.built

    @property
    def style(self) -> LengthStyle:
        """How lengths are shown here."""
        style = self.opened.style if self.opened else LengthStyle()
        if self.unit is None or self.unit == style.unit:
            return style
        return LengthStyle(self.unit, decimals=style.decimals, denominator=style.denominator)

    def length(self, value: float) -> str:
        """A length as text with its unit."""
        return format_length(value, self.style, glyphs="typeset")

    def figure(self, value: float) -> str:
        """A length as text without its unit."""
        return format_length(value, self.style, with_unit=False)

    def say(self, text: str) -> str:
        """A text with its marked lengths in the unit shown here."""
        return worded(text, self.length)

    def label(self, key: str) -> str:
        """What a piece or placed part is called."""
        known = self.built or self.worked
        if known is None:
            return key
        cabinet = known.cabinet
        if key in cabinet.piece_by_key:
            return cabinet.piece_by_key[key].label or key
        if key in cabinet.placed_by_key:
            return cabinet.placed_by_key[key].label or key
        return key

    def once(self, make: Callable[[Bench], T]) -> T:
        """What a function makes of what there is; made once for each state, however many places show it."""
        worked, style = self.worked, self.style
        known = self._made.get(make)
        if known is not None and known[0] is worked and known[1] == style:
            return cast(T, known[2])
        made = make(self)
        self._made[make] = (worked, style, made)
        return made

    def typed_length(self, text: str) -> Value | Removal:
        """A typed length as the file will hold it."""
        project = self.opened.project.unit if self.opened else "mm"
        return entered_length(text, shown=self.style.unit, project=project)

    # ---- changing it ----

    async def do(self, change: Callable[[], object]) -> list[str]:
        """Change the session aside from the page's own thread; what is wrong, nothing where it went well."""
        is_known = False
        try:
            await run.io_bound(change)
            is_known = True
        except CasewrightError as error:
            is_known = True
            return error_lines(error)
        finally:
            if not is_known:
                with self.client:
                    ui.notify(
                        "casewright met a fault of its own; nothing was changed. The terminal shows it.",
                        type="negative",
                        timeout=12_000,
                        close_button="Close",
                    )
        return []

    async def set(self, path: KeyPath, value: Value | Removal, label: str = "") -> list[str]:
        """Change one value."""
        return await self.edit({path: value}, label)

    async def edit(self, edits: Edits, label: str = "") -> list[str]:
        """Change values in one step; what is wrong, nothing where it went well."""
        return await self.do(lambda: self.session.edit(edits, label))

    async def tell(self, problems: list[str]) -> bool:
        """Show what is wrong as a message; True if there was nothing."""
        with self.client:  # what was pressed may be gone
            for line in problems[:3]:
                ui.notify(
                    line, type="negative", multi_line=True, timeout=9000, close_button="Close"
                )
        return not problems

    def notify(self, words: str) -> None:
        """Say that something went well, from whatever was pressed: it may be gone by the edit itself."""
        with self.client:
            ui.notify(words)

    async def apply(self, finding: Finding, remedy: Remedy) -> None:
        """Carry out a remedy."""
        await self.tell(await self.do(lambda: self.session.apply(finding, remedy)))

    async def undo(self) -> None:
        """Take the last step back."""
        await self.tell(await self.do(self.session.undo))

    async def redo(self) -> None:
        """Do the undone step again."""
        await self.tell(await self.do(self.session.redo))

    async def save(self) -> None:
        """Write the file."""
        if await self.tell(await self.do(self.session.save)):
            ui.notify("Saved.", timeout=1500)

    # ---- following it ----

    def _heard(self, changes: Changes) -> None:
        """Called by the thread that made a change, whichever page it was for, within the session's lock.

        Several that the page has not come to yet are shown as one: else many pages fall behind fast changes for ever.
        """
        with self._telling:
            before = self._untold
            self._untold = changes if before is None else before.then(changes)
        if before is None:
            self._loop.call_soon_threadsafe(self._show)

    def _heard_early(self, changes: Changes) -> None:
        """The same for its first stage, of which one is enough."""
        if not self._is_early_due:
            self._is_early_due = True
            self._is_shown_early.clear()
            self._loop.call_soon_threadsafe(self._show_early)

    def _heard_judged(self, changes: Changes) -> None:
        """The same for what the checks found."""
        if not self._is_early_due:
            self._is_shown_early.clear()
            self._loop.call_soon_threadsafe(self._show_judged)

    def _show_judged(self) -> None:
        try:
            if (
                not self.client.is_deleted
                and self.session.found_version != self.session.shown_version
            ):
                with self.client:
                    self.strip.update()
                    if self.view == "findings":
                        self.live.update()
        finally:
            self._loop.call_later(SENDING, self._let_go_on)

    def _show_early(self) -> None:
        self._is_early_due = False
        built = self.built
        try:
            if self.client.is_deleted or built is None:
                return
            with self.client:
                for watch in tuple(self.early):
                    watch(built)
            self._loop.call_later(SOON, self._tell_behind)
        finally:
            self._loop.call_later(SENDING, self._let_go_on)

    def _let_go_on(self) -> None:
        """The rest may go on once what was put together is with the network: both at once hold each other up."""
        if self.client.is_deleted or not self.client.outbox.messages:
            self._is_shown_early.set()
        else:
            self._loop.call_later(SENDING, self._let_go_on)

    def _tell_behind(self) -> None:
        if not self.client.is_deleted:
            with self.client:
                self.pulse.update()

    def _let_show(self, at_most: float) -> None:
        """Called by the thread that made a change: wait until its first stage is on the way to the browser. [s]"""
        if get_ident() != self._thread:
            self._is_shown_early.wait(at_most)

    def _show(self) -> None:
        with self._telling:
            changes, self._untold = self._untold, None
        if self.client.is_deleted or changes is None:
            return
        self.last_change = datetime.now(UTC)
        self.rest()
        with self.client:
            self.strip.update()
            self.live.update()
            self.pulse.update()
            for watch in tuple(self.watchers):
                watch(changes)

    def rest(self) -> None:
        """Begin to wait for a moment of rest, in which what the remedies would bring is found out."""
        self._wake()
        self._rest = self._loop.call_later(RESTING, self._try_remedies)

    def _wake(self) -> None:
        if self._rest is not None:
            self._rest.cancel()

    def _try_remedies(self) -> None:
        if not self.client.is_deleted and not self.session.is_behind:
            background_tasks.create(run.io_bound(self.session.try_remedies))

    def _papers_changed(self) -> None:
        if not self.client.is_deleted:
            with self.client:
                self.live.update()

    def refresh(self) -> None:
        """Bring the whole page up to date after something of its own changed, such as the unit."""
        self.strip.update()
        self.live.update()


__all__ = ["Bench"]
