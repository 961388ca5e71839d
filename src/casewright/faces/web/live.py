"""Parts of a page that follow the session: what is shown is compared with what should be, and only that is sent."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from typing import Any

from nicegui import ui


class Live:
    """Pieces of a page, brought up to date one by one."""

    def __init__(self) -> None:
        self._pieces: list[Callable[[], None]] = []

    def add(self, bring: Callable[[], None]) -> None:
        """Have a function called at each update."""
        self._pieces.append(bring)

    def clear(self) -> None:
        """Forget all pieces."""
        self._pieces.clear()

    def update(self) -> None:
        """Bring every piece up to date."""
        for bring in tuple(self._pieces):
            bring()

    # ---- pieces ----

    def text(self, words: Callable[[], str], tag: str = "span") -> ui.label:
        """Text that follows a function."""
        made = said(words(), tag)

        def bring() -> None:
            now = words()
            if made.text != now:
                made.set_text(now)

        self.add(bring)
        return made

    def classes(self, element: ui.element, names: Callable[[], str]) -> None:
        """Classes that follow a function, besides those the element has."""
        shown = ""

        def bring() -> None:
            nonlocal shown
            now = names()
            if now != shown:
                element.classes(add=now, remove=shown)
                shown = now

        bring()
        self.add(bring)

    def props(self, element: ui.element, values: Callable[[], dict[str, Any]]) -> None:
        """Attributes that follow a function; None and False take one out."""
        shown: dict[str, Any] = {}

        def bring() -> None:
            now = values()
            if now == shown:
                return
            shown.clear()
            shown.update(now)
            for name, value in now.items():
                if value is None or value is False:
                    element.props.pop(name, None)
                else:
                    element.props[name] = value
            element.update()

        bring()
        self.add(bring)

    def picture(self, svg: Callable[[], str], *, label: str = "") -> ui.html:
        """A drawing of ours that follows a function. It must hold no text that is not escaped."""
        made = ui.html(svg(), sanitize=False)
        if label:
            made.props["role"], made.props["aria-label"] = "img", label

        def bring() -> None:
            now = svg()
            if made.content != now:
                made.set_content(now)

        self.add(bring)
        return made

    def section(
        self, build: Callable[[Live], None], key: Callable[[], Hashable], tag: str = "div"
    ) -> ui.element:
        """A stretch of the page that is built anew when its key changes, else only brought up to date."""
        box = ui.element(tag)
        inner = Live()
        shown: Hashable = None
        is_built = False

        def bring() -> None:
            nonlocal shown, is_built
            now = key()
            if is_built and now == shown:
                inner.update()
                return
            shown, is_built = now, True
            inner.clear()
            box.clear()
            with box:
                build(inner)

        bring()
        self.add(bring)
        return box

    def rows(
        self,
        now: Callable[[], Sequence[tuple[Hashable, Callable[[], ui.element]]]],
        tag: str = "ul",
    ) -> ui.element:
        """A list of which only the rows that are new are made and sent.

        Args:
            now: For each row all that it shows, which tells it from the others, and a function that makes it.
            tag: Of the list.
        """
        box = ui.element(tag)
        shown: dict[Hashable, ui.element] = {}

        def bring() -> None:
            wanted = dict(now())
            if list(wanted) == list(shown):
                return
            for key in [key for key in shown if key not in wanted]:
                shown.pop(key).delete()
            with box:
                made = {key: shown[key] if key in shown else make() for key, make in wanted.items()}
            shown.clear()
            shown.update(made)
            box.default_slot.children[:] = made.values()
            box.update()

        bring()
        self.add(bring)
        return box


def said(words: str, tag: str = "span") -> ui.label:
    """An element with text in it, never read as markup."""
    made = ui.label(words)
    made.tag = tag
    return made


__all__ = ["Live", "said"]
