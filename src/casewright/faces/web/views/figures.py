"""The figures that decide, along the foot of the page, each with its reasons."""

from __future__ import annotations

from collections.abc import Callable

from nicegui import ui

from casewright.basics.reckoning import Reckoning
from casewright.faces.web.bench import Bench
from casewright.faces.web.live import said
from casewright.faces.web.views.deciding import LABELS, Figure, deciding_figures
from casewright.faces.web.wording import reasons, source_of, value_of


def strip(bench: Bench) -> None:
    """The foot of the page."""
    with ui.element("footer").classes("strip") as foot:
        foot.props["aria-label"] = "The figures that decide"
        for index in range(len(LABELS)):
            _figure(bench, index)


def _figure(bench: Bench, index: int) -> None:
    def now() -> Figure:
        return bench.once(deciding_figures)[index]

    with ui.element("div").classes("figure") as box:
        bench.strip.text(lambda: now().label, "small")
        with ui.element("button").classes("why-button") as button:
            button.props["type"] = "button"
            bench.strip.text(lambda: now().value)
            why_menu(bench, lambda: now().numbers, lambda: now().notes)
        bench.strip.props(
            button, lambda: {"aria-label": f"{now().label}: {now().value}. Why?", "title": "why?"}
        )
        bench.strip.classes(box, lambda: "over" if now().is_over else "")


def why_menu(
    bench: Bench,
    numbers: Callable[[], tuple[Reckoning, ...]],
    notes: Callable[[], tuple[str, ...]] = lambda: (),
) -> ui.menu:
    """A sheet that opens on its parent and tells where numbers come from; made when it is opened."""
    menu = ui.menu().classes("why-sheet").props('max-height="70vh"')

    def fill() -> None:
        menu.clear()
        with menu:
            for number in numbers():
                reckoning(bench, number)
            for note in notes():
                said(note, "p").classes("quietly")

    menu.on("before-show", lambda _: fill())
    return menu


def why(bench: Bench, number: Reckoning | None) -> None:
    """A small "why?" beside a number."""
    if number is None:
        return
    with ui.element("button").classes("press why") as button:
        button.props["type"] = "button"
        button.props["aria-label"] = f"why {number.label}?"
        said("why?")
        key = number.key
        why_menu(bench, lambda: _now(bench, key, number))


def _now(bench: Bench, key: str, otherwise: Reckoning) -> tuple[Reckoning, ...]:
    worked = bench.worked
    return (worked.numbers.get(key, otherwise) if worked else otherwise,)


def reckoning(bench: Bench, number: Reckoning) -> None:
    """A number with its terms, its rule and its source."""
    with ui.element("section").classes("reckoning"):
        said(number.label, "h3")
        with ui.element("table"):
            with ui.element("tbody"):
                for sign, label, value in reasons(number, bench.length):
                    with ui.element("tr"):
                        said(sign, "td").classes("sign")
                        said(label, "td")
                        said(value, "td").classes("number")
            with ui.element("tfoot"), ui.element("tr"):
                said("=", "td").classes("sign")
                said(
                    number.formula if number.formula else "in all" if number.terms else "as given",
                    "td",
                )
                said(value_of(number, bench.length), "td").classes("number")
        if number.rule:
            said(bench.say(number.rule), "p").classes("quietly")
        said(f"Source: {source_of(number)}", "p").classes("quietly")


__all__ = ["reckoning", "strip", "why", "why_menu"]
