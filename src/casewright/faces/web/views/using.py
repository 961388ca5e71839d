"""In use: what to expect of it, topic by topic, each with its picture and its reasons."""

from __future__ import annotations

from collections.abc import Hashable
from functools import partial

from nicegui import ui

from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import heading
from casewright.faces.web.drawings import page_svg
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.figures import why
from casewright.faces.web.wording import value_of
from casewright.outputs.topics import Rows, TopicSheet, topic_sheets

MARGIN = 3.0
"""Round a picture. [mm]"""


def view(bench: Bench) -> None:
    """All topics that this cabinet has, one below the other; only those that change are made anew."""
    heading("In use", "What to expect of it once it stands there, before anything is cut.")
    with ui.element("div").classes("lane scrolls topics"):
        bench.live.section(lambda live: _all(bench, live), lambda: tuple(_by_key(bench)))


def _by_key(bench: Bench) -> dict[str, TopicSheet]:
    worked = bench.worked
    sheets = topic_sheets(worked.cabinet, worked.behavior, worked.shopping) if worked else ()
    return {sheet.key: sheet for sheet in sheets}


def _all(bench: Bench, live: Live) -> None:
    keys = tuple(bench.once(_by_key))
    if not keys:
        said("Nothing can be told yet; the project text says what is amiss.", "p")
    for key in keys:
        live.section(partial(_topic, bench, key), partial(_shown, bench, key), "section").classes(
            "topic"
        )


def _shown(bench: Bench, key: str) -> Hashable:
    """All that a topic's section depends on."""
    return (bench.once(_by_key).get(key), bench.style)


def _topic(bench: Bench, key: str, _: Live) -> None:
    sheet = bench.once(_by_key).get(key)
    if sheet is None:
        return
    said(sheet.title, "h2")
    said(sheet.question, "p").classes("quietly")
    said(bench.say(sheet.answer), "p").classes("answer")
    for number, picture in enumerate(sheet.pictures):
        with ui.element("figure"):
            name = f"{key}-{number}"
            svg = page_svg(picture.drawing, name=name, margin=MARGIN, fills=False)
            drawn = ui.html(svg, sanitize=False)
            drawn.props["role"], drawn.props["aria-label"] = "img", picture.drawing.title
            said(bench.say(picture.caption), "figcaption").classes("quietly")
    for rows in sheet.tables:
        _table(bench, rows)
    _numbers(bench, sheet.numbers)
    for note in sheet.notes:
        said(bench.say(note), "p").classes("quietly")


def _table(bench: Bench, rows: Rows) -> None:
    said(rows.title, "h3")
    with ui.element("div").classes("table-room"), ui.element("table").classes("list"):
        with ui.element("thead"), ui.element("tr"):
            for index, head in enumerate(rows.heads):
                said(head, "th").classes("number" if index in rows.figures else "")
        with ui.element("tbody"):
            for row in rows.rows:
                with ui.element("tr"):
                    for index, cell in enumerate(row):
                        said(bench.say(cell), "td").classes(
                            "number" if index in rows.figures else ""
                        )


def _numbers(bench: Bench, keys: tuple[str, ...]) -> None:
    worked = bench.worked
    known = [worked.numbers[key] for key in keys if worked and key in worked.numbers]
    if not known:
        return
    with ui.element("table").classes("list numbers-list"), ui.element("tbody"):
        for number in known:
            with ui.element("tr"):
                said(number.label, "td")
                said(value_of(number, bench.length), "td").classes("number")
                with ui.element("td"):
                    why(bench, number)


__all__ = ["view"]
