"""All that can be said of one placed part: what it sits on, whom it follows, how it is held, what is cut for it."""

from __future__ import annotations

from collections.abc import Callable

from nicegui import ui

from casewright.basics.reckoning import Reckoning
from casewright.design.parts import Placement
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.live import Live
from casewright.faces.web.views.forms import form
from casewright.faces.web.views.rows import Place
from casewright.geometry.place_numbers import Axis, place_number
from casewright.session.arranging import wish_path
from casewright.workflow import REMOVE


def show_placement(bench: Bench, key: str) -> None:
    """A sheet with the form of one placed part."""
    worked = bench.built
    path = wish_path(worked, key) if worked else None
    if path is None:
        ui.notify("It has no place of its own in the file.")
        return
    label = bench.label(key)

    async def remove() -> None:
        if await bench.tell(await bench.set(path, REMOVE, f"take out {label}")):
            box.close()

    def place(axis: Axis) -> Callable[[], Reckoning | None]:
        def number() -> Reckoning | None:
            now = bench.built
            placed = now.cabinet.placed_by_key if now else {}
            found = next((placed[k] for k in (f"{wish}-right", wish) if k in placed), None)
            return place_number(now.cabinet, found, axis) if now and found else None

        return number

    wish = worked.cabinet.placed_by_key[key].wish.key if worked else key
    related = {"u": place("u"), "v": place("v")}
    box, inner = live_dialog(
        bench,
        label,
        lambda live: form(live, Place(bench, path, label, related=related), Placement),
    )
    with inner, ui.element("div").classes("in-line"):
        press("Take it out", remove, classes="order")
        press("Close", box.close, classes="main")


def live_dialog(
    bench: Bench, title: str, build: Callable[[Live], None]
) -> tuple[ui.dialog, ui.element]:
    """An open sheet that follows the session while it is open."""
    box, inner = dialog(title)
    live = Live()
    with inner:
        build(live)
    bench.live.add(lambda: live.update() if box.value and not box.is_deleted else None)
    box.open()
    return box, inner


__all__ = ["live_dialog", "show_placement"]
