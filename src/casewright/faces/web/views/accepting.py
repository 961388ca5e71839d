"""Accepting layouts: where the offcuts will lie and who says so; then the boards are taken, or it tells why not."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from functools import partial
from typing import TYPE_CHECKING, TypeAlias

from nicegui import ui

from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import TypedValue, dialog, press
from casewright.faces.web.live import Live, said
from casewright.stock.taking import Taking

if TYPE_CHECKING:
    from casewright.stock.history import Accepted
    from casewright.stock.shop import ShopStock

Changing: TypeAlias = Callable[
    [Callable[["ShopStock"], "Accepted"]], Awaitable[tuple["Accepted | None", list[str]]]
]
Told: TypeAlias = Callable[["Accepted"], Awaitable[None]]


def accept_sheet(
    bench: Bench, taking: Callable[[], Taking], *, change: Changing, told: Told
) -> None:
    """Ask and accept.

    Args:
        bench: The page.
        taking: What the layouts take and leave; asked for when Accept is pressed, aside from the page.
        change: Changes the stock; what came of it, and what is wrong.
        told: Called once it is accepted.
    """
    box, inner = dialog("Accept the layout")
    live = Live()
    place = ""

    async def put(text: str) -> list[str]:
        nonlocal place
        place = text
        return []

    async def name(text: str) -> list[str]:
        bench.desk.who = text
        return []

    async def go(*, again: bool = False) -> None:
        done, problems = await change(
            lambda stock: stock.accept(taking(), place=place, again=again)
        )
        if done is not None:
            box.close()
            await told(done)
            return
        if box.is_deleted:
            return
        wrong.clear()
        with wrong:
            for line in problems:
                said(line, "p").classes("problem")
        twice.set_visibility(any("accepted already" in line for line in problems))

    with inner:
        TypedValue(live, "Where the offcuts will lie", lambda: place, put)
        TypedValue(
            live, "Your name", lambda: bench.desk.who, name, hint="For whoever finds a piece gone."
        )
        wrong = ui.element("div")
        wrong.props["role"] = "alert"
        with ui.element("div").classes("in-line"):
            press("Accept", go, classes="main")
            twice = press(
                "It is cut once more, or besides", partial(go, again=True), classes="framed"
            )
            press("Cancel", box.close, classes="order")
        twice.set_visibility(False)
    box.open()


__all__ = ["accept_sheet"]
