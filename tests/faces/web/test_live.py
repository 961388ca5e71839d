"""Parts of a page that follow the session: only what changed is made anew."""

from __future__ import annotations

import asyncio
import re
from collections.abc import AsyncIterator
from functools import partial
from pathlib import Path

import pytest
from nicegui import ui
from nicegui.testing import User, user_simulation
from tests.faces.web.pages import fire

from casewright.faces.web.components import board, viewer
from casewright.faces.web.controls import TypedValue
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


@pytest.mark.parametrize("crossed", [True, False])
async def test_a_value_that_crossed_another_one_on_its_way_is_sent_once_more(
    user: User, crossed: bool
) -> None:
    """Typed here while another page's value was on its way: the browser shows that one, and must be told otherwise."""
    live, kept = Live(), ["150.0"]

    async def take(text: str) -> list[str]:
        kept[0] = text
        return []

    @ui.page("/typed")
    def page() -> None:
        boxes.append(TypedValue(live, "u", lambda: kept[0], take).input)

    boxes: list[ui.input | ui.textarea] = []
    await user.open("/typed")
    (box,) = boxes
    if crossed:
        kept[0] = "169.6"
        live.update()  # on its way to the browser
    (typed,) = [one for one in box._event_listeners.values() if one.type == "update:value"]
    box._handle_event({"listener_id": typed.id, "args": "161.3"})  # typed before that came
    assert box.value == "161.3"
    fire(user, box, "keydown.enter")
    for _ in range(100):
        await asyncio.sleep(0.01)
        if kept[0] == "161.3" and box.value == "161.3":
            break
    assert box.value == kept[0] == "161.3"
    # NiceGUI leaves a value out that it takes the browser to show already.
    assert ("value" in box._to_dict().get("preserved_props", ())) == (not crossed)
