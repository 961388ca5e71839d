"""Parts of a page that follow the session: only what changed is made anew."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator
from functools import partial
from pathlib import Path

import pytest
from nicegui import ui
from nicegui.testing import User, user_simulation

from casewright.faces.web.components import board, viewer
from casewright.faces.web.live import Live, said
from casewright.faces.web.preloading import preload_links


@pytest.fixture
async def user() -> AsyncIterator[User]:
    async with user_simulation(root=lambda: None) as found:
        yield found


async def test_rows_that_stay_are_not_made_again(user: User) -> None:
    live, words, made = Live(), ["a", "b", "c"], list[str]()

    def row(word: str) -> ui.element:
        made.append(word)
        return said(word, "li")

    @ui.page("/rows")
    def page() -> None:
        with ui.element("section") as section:
            live.rows(lambda: [(word, partial(row, word)) for word in words]).mark("rows")
        lists.append(next(iter(section)))

    lists: list[ui.element] = []
    await user.open("/rows")
    box = lists[0]

    def shown() -> list[str]:
        return [element.text for element in box if isinstance(element, ui.label)]

    first = dict(zip(shown(), box, strict=True))
    words[:] = ["c", "new", "a"]
    live.update()
    assert shown() == ["c", "new", "a"]
    assert made == ["a", "b", "c", "new"]
    now = dict(zip(shown(), box, strict=True))
    assert now["a"] is first["a"] and now["c"] is first["c"]
    assert first["b"].is_deleted and not first["a"].is_deleted

    words.clear()
    live.update()
    assert shown() == []
    words.append("b")
    live.update()
    assert shown() == ["b"]
    assert made == ["a", "b", "c", "new", "b"]  # what was let go is made anew


def test_modules_to_fetch_at_once_are_those_of_the_view() -> None:
    """Each file of the module's folder, once; three.js with the viewer; nothing for a view without one."""
    for view, module in (("side", board), ("panels", board), ("whole", viewer)):
        folder = Path(module.__file__).parent / ("viewing" if module is viewer else "drafting")
        files = sorted(file.name for file in folder.glob("*.js"))
        named = re.findall(r"/([^/]+/[^/]+)/([a-z]+\.js)\"", preload_links(view))
        assert len({key for key, _ in named}) == (2 if module is viewer else 1)
        three = ["index.js"] if module is viewer else []
        assert sorted(name for _, name in named) == sorted(files + three)
    assert preload_links("papers") == ""
