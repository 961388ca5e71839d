"""What tests of pages without a browser have in common: a desk in a folder of its own, and a user before it."""

from __future__ import annotations

import asyncio
import gc
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from nicegui import ElementFilter, ui
from nicegui.testing import User, UserInteraction, user_simulation

from casewright.faces.web.app import register
from casewright.faces.web.desk import Desk
from casewright.session import RecentFiles, Session


class Shown:
    """A desk with one project open, and a user before it."""

    def __init__(self, user: User, desk: Desk, session: Session, key: str) -> None:
        self.user = user
        self.desk = desk
        self.session = session
        self.key = key

    async def open(self, view: str) -> None:
        await self.user.open(f"/desk/{self.key}?view={view}")

    def elements(self, **props: str) -> list[ui.element]:
        """What is on the page with these attributes ("_" stands for "-")."""
        with self.user:
            return [
                e
                for e in ElementFilter()
                if all(e.props.get(n.replace("_", "-")) == value for n, value in props.items())
            ]

    def fields(self) -> set[str]:
        """Places of the project that the page has a box for."""
        with self.user:
            found = {str(e.props.get("data-field") or "") for e in ElementFilter()}
        return found - {""}

    def field(self, place: str) -> ui.input | ui.select:
        """The one box for a place of the project."""
        found = self.elements(data_field=place)
        assert len(found) == 1, (place, len(found))
        assert isinstance(found[0], ui.input | ui.select)
        return found[0]

    async def enter(self, place: str, text: str) -> None:
        """Type a value and take it with Enter."""
        element = self.field(place)
        element.value = text
        fire(self.user, element, "keydown.enter")

    def draft(self, label: str) -> ui.input:
        """The box of a new section."""
        (found,) = [e for e in self.elements(label=label) if isinstance(e, ui.input)]
        return found

    def errors(self) -> list[str]:
        """What is said beside boxes."""
        with self.user:
            wrong = [e for e in ElementFilter() if e.props.get("error")]
        return [str(e.props.get("error-message")) for e in wrong]

    def press(self, words: str, which: int = 0) -> None:
        """Press the button whose words begin so."""
        with self.user:
            labels = [e for e in ElementFilter(kind=ui.label) if e.text.startswith(words)]
            slots = [label.parent_slot for label in labels]
        buttons = [slot.parent for slot in slots if slot and slot.parent.tag == "button"]
        fire(self.user, buttons[which], "click")


@asynccontextmanager
async def showing(folder: Path, text: str) -> AsyncIterator[Shown]:
    """A desk with a project of that text."""
    path = folder / "shown.cabinet.yaml"
    path.write_text(text, encoding="utf-8")
    desk = Desk(folder, recent=RecentFiles(folder / "data"))
    key = desk.open(path)
    session = desk.find(key)
    assert session is not None
    _SESSIONS.append(session)
    # What all tests before this one keep is not looked through again: the simulated user collects twice.
    gc.freeze()
    try:
        async with user_simulation(root=lambda: None) as user:
            register(desk)
            yield Shown(user, desk, session, key)
    finally:
        _SESSIONS.remove(session)
    desk.close()


_SESSIONS: list[Session] = []
"""Those that a test has open."""


async def until(happened: Callable[[], bool]) -> None:
    """Edits run aside from the page: wait for one, and until all that follows from it is on the page."""
    for _ in range(1500):  # a busy computer is slow, not wrong
        if happened() and _is_settled():
            await asyncio.sleep(0.02)  # for what the session has told to reach the page
            if happened() and _is_settled():
                return
        await asyncio.sleep(0.02)
    pytest.fail("it did not happen within half a minute")


def _is_settled() -> bool:
    """Whether nothing is in the making: a step can be undone already before its text is the session's."""
    return not any(session.is_changing or session.is_behind for session in _SESSIONS)


def fire(user: User, element: ui.element, event: str) -> None:
    UserInteraction(user, {element}, None).trigger(event)
