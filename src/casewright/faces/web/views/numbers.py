"""Every number that was worked out, to be searched and asked why."""

from __future__ import annotations

from functools import partial

from nicegui import ui

from casewright.faces.web.bench import Bench
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.figures import why
from casewright.faces.web.wording import value_of

SHOWN = 60
"""Rows at most; words narrow them."""


def every_number(bench: Bench) -> None:
    """A box to search in, and what was found."""
    said("Every number", "h2").classes("block-title")

    def found() -> tuple[str, ...]:
        worked = bench.worked
        words = str(box.value or "").lower().split()
        if worked is None:
            return ()
        return tuple(
            key
            for key, number in worked.numbers.items()
            if all(word in f"{key} {number.label}".lower() for word in words)
        )

    live = Live()
    box: ui.input = ui.input("Search: deck, opening, lever1 …", on_change=live.update)
    box.props("dense outlined clearable")
    live.section(lambda inner: _rows(bench, inner, found()), found)
    bench.live.add(live.update)


def _rows(bench: Bench, live: Live, keys: tuple[str, ...]) -> None:
    worked = bench.worked
    if worked is None:
        return
    with ui.element("table").classes("list numbers-list"), ui.element("tbody"):
        for key in keys[:SHOWN]:
            with ui.element("tr"):
                with ui.element("td"):
                    said(worked.numbers[key].label)
                    said(f" {key}", "small")
                live.text(partial(_value, bench, key), "td").classes("number")
                with ui.element("td"):
                    why(bench, worked.numbers[key])
    if len(keys) > SHOWN:
        said(f"and {len(keys) - SHOWN} more; a word narrows them.", "p").classes("quietly")
    elif not keys:
        said("No number of that name.", "p").classes("quietly")


def _value(bench: Bench, key: str) -> str:
    worked = bench.worked
    number = worked.numbers.get(key) if worked else None
    return value_of(number, bench.length) if number else ""


__all__ = ["SHOWN", "every_number"]
