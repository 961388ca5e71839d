"""The wiring for book and workbench: diagrams, wire list, colors, ends."""

from __future__ import annotations

import math

from casewright.basics.customary import METRES_PER_FOOT, run_words, stick_words
from casewright.basics.findings import at_least, mm
from casewright.basics.units import Unit
from casewright.basics.wording import counted, listed
from casewright.behavior.harness import COLORS, Run
from casewright.behavior.harness_plan import MAINS_WIRED
from casewright.behavior.whole import Behavior
from casewright.behavior.wiring import Wiring
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet
from casewright.outputs.topics.wiring_pictures import control_pictures, power_picture


def wiring_sheet(behavior: Behavior, unit: Unit) -> TopicSheet | None:
    """Everything about the wires; None where there are none."""
    wiring = behavior.wiring
    if not wiring.runs:
        return None
    pictures = []
    power = power_picture(wiring)
    if power is not None:
        pictures.append(
            Picture(power, "Power: a box with a number is a fuse; every line is plus and ground.")
        )
    pictures += [
        Picture(
            drawing, "Controls: a line for each run of signals, and the ground from part to part."
        )
        for drawing in control_pictures(wiring)
    ]
    tables = [
        _entries(wiring),
        _wires(wiring, ("power", "speaker"), "Wire list: power and loudspeakers"),
    ]
    tables += [
        _wires(wiring, ("signal", "ground"), "Wire list: signals and ground chain"),
        _cables(wiring, unit),
        _colors(wiring),
        _sizes(wiring, unit),
        _ends(wiring),
    ]
    return TopicSheet(
        key="wiring",
        title="Wires",
        question="Which wire goes where?",
        answer=(
            f"{counted(len(wiring.runs), 'run')}, {_in_all(wiring, unit)} of wire; "
            "write each run's label on both of its ends."
        ),
        pictures=tuple(pictures),
        tables=tuple(rows for rows in tables if rows.rows),
        numbers=tuple(number.key for number in wiring.numbers),
        notes=(
            "Lengths follow panels and corners, with ends, slack and a loop where a board comes off; lay a string "
            "before cutting the first one.",
            "Fuses sit beside the place where power comes in. Each is the next size over a quarter more than the "
            "current, and no more than its wire carries.",
            "The minus of a loudspeaker is no ground. Where a board switches single lamps, each lamp's minus goes to "
            "the board instead of the ground.",
            *_between(wiring),
            "Green with yellow is protective earth and nothing else. For sockets of boards and plugs of parts their "
            "own drawing goes first.",
        ),
        hazards=("low voltage",),
    )


def _entries(wiring: Wiring) -> Rows:
    """Where each supply comes in; nothing where there is only one, at its socket."""
    feeds = [feed for feed in wiring.feeds.all if feed.supply.volts]
    if len(feeds) < 2 and not any(feed.by_lead for feed in feeds):
        return Rows("", (), ())
    names = {
        key: label
        for r in wiring.runs
        for key, label in ((r.start, r.start_label), (r.end, r.end_label))
    }
    rows = []
    for feed in feeds:
        comes = names.get(feed.source, feed.source)
        if feed.by_lead:
            through = comes.removesuffix(f" of {feed.supply.label}")
            through = "a gland or grommet" if through in ("lead", feed.source) else f"the {through}"
            comes = f"its own lead, through {through}, with strain relief"
            comes += f", to the {names.get(feed.straight_to)}" if feed.straight_to else ""
        switch = names.get(feed.switch, feed.switch)
        rows.append((feed.supply.label, f"{feed.supply.volts:g} V", comes, switch))
    return Rows("Where each supply comes in", ("supply", "rail", "by", "switch"), tuple(rows), (1,))


def _between(wiring: Wiring) -> tuple[str, ...]:
    """What goes for supplies beside each other."""
    if len(wiring.feeds.all) < 2:
        return ()
    return (
        "Never join the pluses of two supplies, not even of one voltage: each feeds its own loads. Their grounds meet "
        "through the cables between computer, display and boards, and nowhere else.",
    )


def _colors(wiring: Wiring) -> Rows:
    """Which color carries what, over all runs."""
    found: dict[str, dict[str, None]] = {}
    for run in wiring.runs:
        for core in run.cores:
            found.setdefault(core.color, {})[core.carries] = None
    rows = tuple((COLORS[color], listed(carries)) for color, carries in sorted(found.items()))
    return Rows("Colors", ("color", "carries"), rows)


def _wires(wiring: Wiring, kinds: tuple[str, ...], title: str) -> Rows:
    rows = []
    for run in wiring.runs:
        if run.kind in kinds and run.wire is not None:
            rows.append(
                (
                    run.label,
                    f"{run.start_label} to {run.end_label}",
                    _cores(run),
                    run.wire.name,
                    at_least(run.length),
                    f"{run.fuse:g} A" if 0 < run.fuse < math.inf else "",
                    f"{100 * run.drop / run.volts:.1f} %" if run.volts else "",
                )
            )
    heads = ("", "from, to", "wires", "size", "cut to", "fuse", "lost")
    return Rows(title, heads, tuple(rows), (0, 3, 4, 5, 6))


def _cores(run: Run) -> str:
    return ", ".join(f"{COLORS[core.color]} {core.carries}" for core in run.cores)


def _cables(wiring: Wiring, unit: Unit) -> Rows:
    rows = tuple(
        (
            run.label,
            f"{run.start_label} to {run.end_label}",
            run.what,
            mm(run.way),
            _to_buy(run, unit),
        )
        for run in wiring.runs
        if run.wire is None
    )
    return Rows("Bought cables", ("", "from, to", "what", "way", "to buy"), rows, (0, 3, 4))


def _in_all(wiring: Wiring, unit: Unit) -> str:
    """All wire together, to a whole metre, or foot in an inch project."""
    metres = math.fsum(wiring.metres.values())
    return f"{metres / METRES_PER_FOOT:.0f} ft" if unit == "in" else f"{metres:.0f} m"


def _to_buy(run: Run, unit: Unit) -> str:
    if run.what == MAINS_WIRED:
        return "by the electrician"
    return "comes with it" if run.own else stick_words(run.length, unit)


def _sizes(wiring: Wiring, unit: Unit) -> Rows:
    rows = tuple(
        (size, COLORS[color], run_words(round(metres, 1), unit), _carries(wiring, size, color))
        for (size, color), metres in wiring.metres.items()
    )
    return Rows("Wire by size and color", ("size", "color", "length", "carries"), rows, (2,))


def _carries(wiring: Wiring, size: str, color: str) -> str:
    found = dict.fromkeys(
        core.carries
        for run in wiring.runs
        if run.wire is not None and run.wire.name == size
        for core in run.cores
        if core.color == color
    )
    return listed(found)


def _ends(wiring: Wiring) -> Rows:
    rows = tuple((end, str(count)) for end, count in wiring.ends.items())
    return Rows("Wire ends", ("what", "count"), rows, (1,))


__all__ = ["wiring_sheet"]
