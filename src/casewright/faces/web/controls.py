"""The few controls that the page is made of: pressed words, values that are typed, choices."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from typing import Any

from nicegui import ui

from casewright.faces.web.live import Live, said

Handler = Callable[[], Any]
Commit = Callable[[str], Awaitable[list[str]]]


def press(
    words: str, do: Handler, *, classes: str = "quiet", label: str = "", icon: str = ""
) -> ui.element:
    """A button. `label` is what a screen reader says where the words alone would not do."""
    made = ui.element("button").classes(f"press {classes}")
    made.props["type"] = "button"
    if label:
        made.props["aria-label"] = label
        made.props["title"] = label
    with made:
        if icon:
            ui.html(ICONS[icon], sanitize=False, tag="span").classes("icon").props[
                "aria-hidden"
            ] = "true"
        if words:
            said(words)
    made.on("click", lambda _: do())
    return made


def order(words: str, do: Handler) -> ui.element:
    """An order that can be pressed, set like a link."""
    return press(words, do, classes="order")


def heading(title: str, hint: str = "") -> None:
    """The head of a view."""
    with ui.element("div").classes("view-head"):
        said(title, "h1")
        if hint:
            said(hint, "p").classes("hint")


class TypedValue:
    """A value in a box: typed, then taken with Enter or on leaving the box.

    Args:
        live: Keeps what is shown up to date.
        label: What it is, for the eye and for screen readers.
        show: The value as text.
        commit: Takes the new text; what is wrong with it, nothing if it was taken.
        hint: What to type, said below.
        many_lines: Enter begins a new line; the value is taken on leaving the box.
    """

    def __init__(
        self,
        live: Live,
        label: str,
        show: Callable[[], str],
        commit: Commit,
        *,
        suffix: str = "",
        hint: str = "",
        bare: bool = False,
        many_lines: bool = False,
    ) -> None:
        self._show, self._commit = show, commit
        self._shown = show()
        self._is_crossed = False
        """Whether a value was sent since the last one was taken: the page may show that instead of what was typed."""
        make = ui.textarea if many_lines else ui.input
        self.input: ui.input | ui.textarea = make(None if bare else label, value=self._shown)
        self.input.classes("typed").props("dense outlined hide-bottom-space")
        if many_lines:
            self.input.classes("many-lines").props("autogrow")
        self.input.props["aria-label"] = label
        if suffix:
            self.input.props["suffix"] = suffix
        if hint:
            self.input.props["title"] = hint
        self.input.on("keydown.ctrl.enter" if many_lines else "keydown.enter", self._take)
        self.input.on("blur", self._take)
        self.input.on("keydown.escape", self._forget)
        live.add(self._bring)

    async def _take(self) -> None:
        text = str(self.input.value or "").strip()
        if text == self._shown:
            self.say([])
            return
        problems = await self._commit(text)
        if not problems:
            self._shown = self._show()
            if self._is_crossed:
                self._is_crossed = False
                self.input.value = ""  # else what the box holds already would not be sent
            self.input.value = self._shown
        self.say(problems)

    def _forget(self) -> None:
        self.input.value = self._shown
        self.say([])

    def say(self, problems: list[str]) -> None:
        """Say what is wrong beside the box; nothing takes it back."""
        say_beside(self.input, problems)

    def _bring(self) -> None:
        now = self._show()
        if now != self._shown:
            self._shown = now
            self.input.value = now
            self._is_crossed = True
            self.say([])


def say_beside(element: ui.element, problems: list[str]) -> None:
    """Say what is wrong with a value beside its box; nothing takes it back."""
    if problems or element.props.get("error"):
        element.props["error"] = bool(problems)
        element.props["error-message"] = problems[0] if problems else ""
        element.update()


class Choice:
    """One of several words.

    Args:
        live: Keeps what is shown up to date.
        options: Words by value.
        show: The present value.
        commit: Takes another one; what is wrong, nothing if it was taken.
    """

    def __init__(
        self,
        live: Live,
        label: str,
        options: Mapping[str, str],
        show: Callable[[], str],
        commit: Commit,
        *,
        bare: bool = False,
    ) -> None:
        self._show, self._commit = show, commit
        now = show()
        self._options = dict(options)
        if now not in self._options:
            self._options[now] = now or "–"
        self.select = ui.select(
            self._options, value=now, label=None if bare else label, on_change=self._take
        )
        self.select.classes("typed chosen").props("dense outlined options-dense hide-bottom-space")
        self.select.props["aria-label"] = label
        live.add(self._bring)

    async def _take(self) -> None:
        if self.select.value == self._show():
            return
        problems = await self._commit(str(self.select.value))
        self._bring()
        self.say(problems)

    def say(self, problems: list[str]) -> None:
        """Say what is wrong beside the box; nothing takes it back."""
        say_beside(self.select, problems)

    def _bring(self) -> None:
        now = self._show()
        if now != self.select.value:
            if now not in self._options:
                self._options[now] = now
                self.select.set_options(self._options, value=now)
            self.select.value = now


def dialog(title: str) -> tuple[ui.dialog, ui.element]:
    """A dialog with its title; fill the element."""
    box = ui.dialog().props('transition-show="fade" transition-hide="fade"')
    box.props["aria-label"] = title
    with box, ui.element("div").classes("paper-dialog") as inner:
        said(title, "h2")
    return box, inner


def _icon(paths: str) -> str:
    return (
        '<svg viewBox="0 0 16 16" width="16" height="16" fill="none" stroke="currentColor" stroke-width="1.5" '
        f'stroke-linecap="round" stroke-linejoin="round">{paths}</svg>'
    )


ICONS: Mapping[str, str] = {
    "back": _icon('<path d="M6 3 2.5 6.5 6 10M2.5 6.5H10a3.5 3.5 0 0 1 0 7H7"/>'),
    "forward": _icon('<path d="m10 3 3.5 3.5L10 10M13.5 6.5H6a3.5 3.5 0 0 0 0 7h3"/>'),
    "sun": _icon(
        '<circle cx="8" cy="8" r="3"/><path d="M8 1v1.6M8 13.4V15M1 8h1.6M13.4 8H15M3 3l1.2 1.2'
        'M11.8 11.8 13 13M13 3l-1.2 1.2M4.2 11.8 3 13"/>'
    ),
    "keys": _icon(
        '<rect x="1.5" y="4" width="13" height="8" rx="1"/><path d="M4 7h.01M7 7h.01M10 7h.01M12.5 7h.01M5 9.7h6"/>'
    ),
    "text": _icon('<path d="M2.5 3.5h11M2.5 6.5h7M2.5 9.5h9M2.5 12.5h5"/>'),
    "pin": _icon('<path d="M9.5 1.8 14.2 6.5l-3.4 1-2.6 3.6-3.3-3.3L8.5 5.2zM6 10l-3.8 3.8"/>'),
    "free": _icon('<path d="M4.5 7V5.2a3.5 3.5 0 0 1 6.6-1.6M3 7.2h10v6.3H3z"/>'),
    "eye": _icon(
        '<path d="M1.5 8S4 3.5 8 3.5 14.5 8 14.5 8 12 12.5 8 12.5 1.5 8 1.5 8z"/><circle cx="8" cy="8" r="1.8"/>'
    ),
    "larger": _icon('<path d="M9.5 2.5h4v4M13.5 2.5 9.5 6.5M6.5 13.5h-4v-4M2.5 13.5l4-4"/>'),
    "menu": _icon('<path d="M2.5 4.5h11M2.5 8h11M2.5 11.5h11"/>'),
}
"""Drawn for this page with a marking knife's plain stroke."""

__all__ = [
    "ICONS",
    "Choice",
    "Commit",
    "Handler",
    "TypedValue",
    "dialog",
    "heading",
    "order",
    "press",
    "say_beside",
]
