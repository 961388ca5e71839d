"""Buttons laid out under a player's hand, one press a way."""

from __future__ import annotations

from functools import partial

from nicegui import ui

from casewright.basics.errors import CasewrightError
from casewright.basics.units import parse_length
from casewright.behavior.hands import STYLES, Style
from casewright.behavior.playing import Cluster
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import press, say_beside
from casewright.faces.web.live import said
from casewright.faces.web.wording import error_lines
from casewright.session.handing import laid_out

WORDS: dict[Style, str] = {
    "arc": "an arc",
    "straight": "a line",
    "two rows": "two rows",
    "three rows": "three rows",
}


def clusters_on(bench: Bench) -> tuple[Cluster, ...]:
    """Groups of buttons on the panel shown."""
    worked = bench.worked
    if worked is None:
        return ()
    return tuple(
        c for c in worked.behavior.playing.clusters if c.panel == bench.panel and len(c.keys) > 1
    )


def under_hands(bench: Bench) -> None:
    """For each group of buttons on the panel, the ways to lay it out."""
    for cluster in clusters_on(bench):
        whose = f"{cluster.which} hand of player {cluster.player}"
        with ui.element("div").classes("arrange") as group:
            group.props["role"] = "group"
            group.props["aria-label"] = f"Lay out for the {whose}"
            said(f"Under the {whose}:", "span").classes("quietly")
            thumb = ui.checkbox("one for the thumb")
            thumb.props["aria-label"] = f"one for the thumb of the {whose}"
            pitch = ui.input(placeholder="as suits").props("dense outlined hide-bottom-space")
            pitch.classes("pitch").props["suffix"] = bench.style.unit
            pitch.props["aria-label"] = f"From button to button for the {whose}"
            pitch.props["title"] = "From middle to middle; left empty, what suits the hand."
            for style in STYLES:
                press(
                    WORDS[style],
                    partial(_lay_out, bench, cluster, style, thumb, pitch),
                    classes="framed",
                    label=f"{WORDS[style]} for the {whose}",
                )


async def _lay_out(
    bench: Bench, cluster: Cluster, style: Style, thumb: ui.checkbox, pitch: ui.input
) -> None:
    worked = bench.worked
    if worked is None:
        return
    say_beside(pitch, [])
    typed = str(pitch.value or "").strip()
    try:
        between = parse_length(typed, unit=bench.style.unit, field="pitch") if typed else None
    except CasewrightError as error:
        say_beside(pitch, error_lines(error)[:1])
        return
    try:
        edits = laid_out(
            worked,
            cluster.player,
            style,
            which=cluster.which,
            thumb=bool(thumb.value),
            pitch=between,
        )
    except CasewrightError as error:
        await bench.tell(error_lines(error))
        return
    await bench.tell(await bench.edit(edits, f"buttons in {WORDS[style]}"))


__all__ = ["clusters_on", "under_hands"]
