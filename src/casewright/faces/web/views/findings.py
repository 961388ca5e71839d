"""What to look at: words first, each with its place in the picture and orders that can be pressed."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import partial
from html import escape

from nicegui import ui

from casewright.basics.findings import Finding, Severity
from casewright.basics.wording import counted
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import heading, order, press
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.exploring import try_variants
from casewright.faces.web.views.numbers import every_number
from casewright.faces.web.wording import WORD, measure_words

CLASS = {Severity.STOP: "stop", Severity.CAUTION: "caution", Severity.NOTE: "note"}


def pane(bench: Bench) -> None:
    """The column that is always in sight."""
    with ui.element("div").classes("pane-head"):
        said("What to look at", "h2")
        with ui.element("span").classes("stacked quietly"):
            behind = said("still working this out").classes("behind")
            behind.props["aria-hidden"] = "true"  # the column says it itself, by aria-busy
            count = bench.strip.text(lambda: summary(bench))
            count.props["role"] = "status"
            count.props["aria-live"] = "polite"
    with ui.element("div").classes("findings"):
        _list(bench, bench.strip, brief=True)


def view(bench: Bench) -> None:
    """The same findings with room: why each matters, and what to measure."""
    heading(
        "Will it serve", "Everything a foreman would say on looking at the plans, gravest first."
    )
    with ui.element("div").classes("columns serve-columns"):
        with ui.element("div").classes("lane scrolls"):
            with ui.element("div").classes("in-line"):
                bench.live.text(lambda: summary(bench), "p").classes("summary")
                press("Try variants", partial(try_variants, bench), classes="framed")
            _list(bench, bench.live, brief=False)
        with ui.element("div").classes("lane scrolls"):
            every_number(bench)


def summary(bench: Bench) -> str:
    """How many of each."""
    worked = bench.worked
    if worked is None:
        return ""
    findings = bench.session.findings
    if not findings:
        return "nothing to look at"
    counts = [(severity, sum(f.severity is severity for f in findings)) for severity in Severity]
    return ", ".join(counted(count, WORD[severity].lower()) for severity, count in counts if count)


MEASURED = "type what you measured"


def _list(bench: Bench, live: Live, *, brief: bool) -> None:
    nothing = live.text(lambda: _without_findings(bench), "p").classes("quietly")
    live.props(nothing, lambda: {"hidden": not nothing.text})

    def now() -> list[tuple[Hashable, Callable[[], ui.element]]]:
        findings = dict.fromkeys(bench.session.findings)
        return [
            (_key(bench, finding), partial(_finding, bench, finding, brief=brief))
            for finding in findings
        ]

    live.rows(now).classes("plain")


def _without_findings(bench: Bench) -> str:
    worked = bench.worked
    if worked is None:
        return "Nothing could be worked out yet."
    return "" if bench.session.findings else "No stops, no cautions, no notes."


def _key(bench: Bench, finding: Finding) -> Hashable:
    """All that a row shows."""
    can = tuple(bool(bench.session.edits_of(remedy)) for remedy in finding.remedies)
    return (finding, _where(bench, finding), can, bench.style, _is_seen(bench, finding))


def _is_seen(bench: Bench, finding: Finding) -> bool:
    return bool(finding.place.names) and finding.place.names == bench.seen


def _finding(bench: Bench, finding: Finding, *, brief: bool) -> ui.element:
    seen = " seen" if _is_seen(bench, finding) else ""
    with ui.element("li").classes(f"finding {CLASS[finding.severity]}{seen}") as row:
        word, where = WORD[finding.severity], escape(_where(bench, finding))
        _html("p", f'<b>{word}</b> <span class="quietly">{where}</span>').classes("finding-head")
        said(bench.say(finding.message), "p")
        if not brief and finding.why:
            said(bench.say(finding.why), "p").classes("why-line")
        if finding.missing:
            said(f"Measure {measure_words(finding.missing)}.", "p").classes("why-line")
        with ui.element("div").classes("orders"):
            for remedy in finding.remedies:
                words = bench.say(remedy.text).rstrip(".")
                if bench.session.edits_of(remedy):
                    order(words, partial(bench.apply, finding, remedy))
                else:
                    said(bench.say(remedy.text)).classes("advice")
                if remedy.brings:
                    said(bench.say(remedy.brings)).classes("advice")
            if finding.missing.startswith(("parts.", "materials.")):
                of = _where(bench, finding) or bench.say(finding.message)
                press(
                    MEASURED,
                    partial(measure, bench, finding),
                    classes="order",
                    label=f"{MEASURED}: {of}",
                )
            if finding.place.names or finding.place.point:
                of = _where(bench, finding) or bench.say(finding.message)
                press(
                    "see it", partial(see, bench, finding), classes="order", label=f"see it: {of}"
                )
        if brief and finding.why:
            reason, rule = escape(bench.say(finding.why)), escape(finding.rule)
            of = escape(_where(bench, finding) or bench.say(finding.message), quote=True)
            words = f'<summary aria-label="why? {of}">why?</summary><p>{reason}</p><p class="quietly">rule {rule}</p>'
            _html("details", words)
    return row


def _html(tag: str, inner: str) -> ui.html:
    """Several words of different weight as one element: there are many findings. What is in it is escaped."""
    return ui.html(inner, sanitize=False, tag=tag)


def _where(bench: Bench, finding: Finding) -> str:
    names = [bench.label(name) for name in finding.place.names]
    shown = list(dict.fromkeys(names))
    return " / ".join(shown[:2]) + (" …" if len(shown) > 2 else "")


def measure(bench: Bench, finding: Finding) -> None:
    """Go to where the measure is typed."""
    group, key, *_ = finding.missing.split(", ")[0].split(".")
    if group == "materials":
        bench.go("cutting")
        return
    bench.part = key
    bench.go("parts")


def see(bench: Bench, finding: Finding) -> None:
    """Show the place of a finding: on its panel where there is one, else in the whole cabinet."""
    bench.seen = finding.place.names
    bench.point = finding.place.point
    worked = bench.worked
    if worked is None:
        return
    cabinet = worked.cabinet
    panels = [
        cabinet.placed_by_key[name].piece if name in cabinet.placed_by_key else name
        for name in finding.place.names
    ]
    boards = [
        cabinet.piece_by_key[name].panel or name for name in panels if name in cabinet.piece_by_key
    ]
    placed = [name for name in finding.place.names if name in cabinet.placed_by_key]
    if (
        placed
        and boards
        and bench.view in ("panels", "parts", "findings", "cutting", "papers", "text")
    ):
        bench.panel = boards[0]
        bench.go("panels")
    elif bench.view == "side" and len(boards) == 2 and not placed:
        bench.go("side")
    else:
        bench.go("whole")


__all__ = ["CLASS", "measure", "pane", "see", "summary", "view"]
