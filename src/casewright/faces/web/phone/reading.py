"""What is read on the phone rather than done: findings, the shopping list, how the cabinet is opened for service."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from nicegui import ui

from casewright.basics.wording import capital
from casewright.faces.web.live import said
from casewright.faces.web.phone.hand import Hand, Reading
from casewright.faces.web.wording import WORD
from casewright.planning.service import openings_of, ways_out
from casewright.workflow import Worked


def reading_page(hand: Hand) -> None:
    """What is read now."""
    worked = hand.worked
    if worked is None:
        said("Nothing can be worked out yet; the desk says what is amiss.", "p")
        return
    title, show = READINGS[hand.reading]
    said(title, "h1")
    show(hand, worked)


def _findings(hand: Hand, worked: Worked) -> None:
    if not worked.told:
        said("Nothing stands against cutting.", "p")
    for finding in worked.told:
        said(WORD[finding.severity], "h2").classes(
            "phone-stop" if finding.severity.value == "stop" else ""
        )
        said(hand.bench.say(finding.message), "p")
        if finding.missing:
            said(f"Measure: {finding.missing}", "p")
        with ui.element("ul"):
            for remedy in finding.remedies:
                said(hand.bench.say(remedy.words), "li")


def _shopping(hand: Hand, worked: Worked) -> None:
    group = ""
    for row in worked.shopping.rows:
        if row.to_buy <= 0:
            continue
        if row.group != group:
            group = row.group
            said(capital(group), "h2")
        unit = "" if row.unit in ("piece", "sum") else f" {row.unit}"
        size = " × ".join(hand.bench.figure(x) for x in row.size) if row.size else ""
        words = ", ".join(part for part in (row.label, size, row.note) if part)
        said(f"{row.to_buy:g}{unit}: {words}", "p")


def _service(hand: Hand, worked: Worked) -> None:
    said("Pull the plug before anything is opened.", "p").classes("phone-first")
    said("What opens, the quickest first", "h2")
    with ui.element("ol"):
        for opens in openings_of(worked.cabinet):
            said(f"{capital(opens.label)}: {opens.how}; {opens.tool}", "li")
    said("The way out of each part", "h2")
    for way in ways_out(worked.cabinet, worked.behavior.wiring):
        said(capital(way.label), "h3")
        first = f"Open {way.opened}. " if way.opened else ""
        said(f"{first}{capital(hand.bench.say(way.how))}", "p")


READINGS: Mapping[Reading, tuple[str, Callable[[Hand, Worked], None]]] = {
    "findings": ("Will it serve", _findings),
    "shopping": ("Shopping list", _shopping),
    "service": ("Service", _service),
}
"""Title and contents."""

__all__ = ["READINGS", "reading_page"]
