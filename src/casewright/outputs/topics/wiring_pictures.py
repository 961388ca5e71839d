"""Wiring diagrams: boxes for parts, lines for runs, laid out in columns by what feeds what."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from casewright.behavior.harness import COLORS, Run
from casewright.behavior.harness_plan import MAIN_LEAD
from casewright.behavior.wiring import Wiring
from casewright.outputs.drawings.lettering import text_width
from casewright.outputs.drawings.marks import (
    Box,
    Drawing,
    Line,
    Mark,
    Polyline,
    Region,
    Text,
    rectangle,
)

LETTERS = 2.2
"""[mm]"""
STEP = 9.5
"""From line to line. [mm]"""
BOX_WIDTH = 30.0
BOX_HEIGHT = 7.0
GAP = 32.0
"""Between two columns of boxes, for the line's words. [mm]"""
MOST_ROWS = 9
"""Controls in one picture."""
_SMALL = 1.8


def power_picture(wiring: Wiring) -> Drawing | None:
    """From where power comes in, over its fuses, to every load; lamps in a chain are one box."""
    runs = [r for r in wiring.runs if r.kind in ("power", "speaker") or (r.own and r.volts)]
    if not runs:
        return None
    below: dict[str, list[Run]] = defaultdict(list)
    mains = [run for run in runs if run.what == MAIN_LEAD]
    # The only main lead stands upright over its switch, which saves a column; of several, each is a line of its tree.
    main = mains[0] if len(mains) == 1 and len(wiring.feeds.all) == 1 else None
    chains = lamp_chains(runs)
    for run in runs:
        if run is not main and (run.what != "lamps" or run.label in chains):
            below[run.start].append(run)
    fed = {run.end for run in runs}
    roots = [key for key in below if key not in fed or (main and key == main.end)]
    marks: list[Mark] = []
    if main is not None:
        high = 2.2 * STEP
        marks += [
            *_box(0.0, high, main.start_label),
            Line((BOX_WIDTH / 2, high - BOX_HEIGHT / 2), (BOX_WIDTH / 2, BOX_HEIGHT / 2)),
        ]
        marks += _run_words(main, BOX_WIDTH / 2 + 2.0, high / 2, along=False)
    row = 0
    for root in roots or [runs[0].start]:
        row = _tree(marks, below, root, _label_of(runs, root), 0, row, set(), chains)
    return Drawing("Wiring diagram, power", tuple(marks))


def lamp_chains(runs: Sequence[Run]) -> dict[str, int]:
    """Lamps of each chain from button to button, by the label of the run that starts it."""
    first: dict[str, str] = {}
    found: dict[str, int] = {}
    for run in runs:
        if run.what == "lamps":
            label = first.get(run.start, run.label)
            first[run.end] = label
            found[label] = found.get(label, 0) + 1
    return found


def _label_of(runs: Sequence[Run], key: str) -> str:
    for run in runs:
        if run.start == key:
            return run.start_label
        if run.end == key:
            return run.end_label
    return key


def _tree(
    marks: list[Mark],
    below: dict[str, list[Run]],
    key: str,
    label: str,
    column: int,
    row: int,
    seen: set[str],
    lamps: Mapping[str, int],
) -> int:
    """Draw a part and all that it feeds, to the right of it; the next free row comes back."""
    seen.add(key)
    x, y = column * (BOX_WIDTH + GAP), -row * STEP
    marks += _box(x, y, label)
    here = row
    for run in below.get(key, ()):
        if run.end in seen:
            continue
        y_run = -here * STEP
        left = x + BOX_WIDTH
        right = left + GAP
        if y_run < y:
            bend = left + 2.5
            marks.append(
                Polyline(((left, y), (bend, y), (bend, y_run), (right, y_run)), closed=False)
            )
        else:
            marks.append(Line((left, y), (right, y)))
        marks += _run_words(run, left + 4.0, y_run)
        if run.what == "lamps":
            marks += _box(right, y_run, f"{lamps[run.label]} lamps, one after the other")
            here += 1
        else:
            here = _tree(marks, below, run.end, run.end_label, column + 1, here, seen, lamps)
    return max(here, row + 1)


def _run_words(run: Run, x: float, y: float, *, along: bool = True) -> Iterator[Mark]:
    """Label, size and voltage over the line, fuse and current under it; a box on the line is its fuse."""
    told = [run.label, run.wire.name if run.wire else "", f"{run.volts:g} V" if run.volts else ""]
    yield Text((x, y + 1.3), " ".join(word for word in told if word), LETTERS)
    fused = 0 < run.fuse < math.inf
    words = [f"fuse {run.fuse:g} A"] if fused else []
    words += [f"{run.amps:.2f} A"] if run.amps else []
    yield Text((x, y - 2.6), ", ".join(words), _SMALL)
    if fused:
        middle = x + GAP - 8.0 if along else x - 2.0
        half = (2.5, 0.8) if along else (0.8, 2.5)
        fuse = Box(middle - half[0], y - half[1], middle + half[0], y + half[1])
        yield rectangle(fuse, pen="thin")


def _box(x: float, y: float, label: str) -> Iterator[Mark]:
    box = Box(x, y - BOX_HEIGHT / 2, x + BOX_WIDTH, y + BOX_HEIGHT / 2)
    yield Region(rectangle(box), material="part")
    yield rectangle(box)
    lines = _lines(label)
    for index, line in enumerate(lines):
        high = y + (len(lines) - 1 - 2 * index) * 1.55
        yield Text((x + BOX_WIDTH / 2, high), line, LETTERS, "middle", "middle")


def _lines(label: str) -> list[str]:
    """The label on one line or two, cut short where its box does not hold it."""
    lines = [""]
    for word in label.split():
        longer = f"{lines[-1]} {word}".strip()
        if _wide(longer) <= BOX_WIDTH - 2.0 or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    if len(lines) > 2:
        lines = [lines[0], f"{lines[1]} …"]
    for index, line in enumerate(lines):
        while len(line) > 1 and _wide(line) > BOX_WIDTH - 2.0:
            line = f"{line.rstrip('…')[:-1].rstrip()}…"
        lines[index] = line
    return lines


def _wide(text: str) -> float:
    return text_width(text, LETTERS, "regular")


def control_pictures(wiring: Wiring) -> tuple[Drawing, ...]:
    """Controls below each other beside their board: colors of their signals, and the ground chain on their right."""
    made = []
    boards = dict.fromkeys(run.start for run in wiring.runs if run.kind == "signal")
    for board in boards:
        runs = {r.end: r for r in wiring.runs if r.kind == "signal" and r.start == board}
        chain = [r for r in wiring.runs if r.kind == "ground" and r.end in runs]
        order = [r.end for r in chain] + [key for key in runs if key not in {r.end for r in chain}]
        for first in range(0, len(order), MOST_ROWS):
            keys = order[first : first + MOST_ROWS]
            made.append(_controls(runs, chain, keys, first > 0))
    return tuple(made)


def _controls(
    runs: dict[str, Run], chain: Sequence[Run], keys: Sequence[str], continued: bool
) -> Drawing:
    """One board's picture, or a part of it."""
    by_end = {run.end: run for run in chain}
    low = -(len(keys) - 1) * STEP
    label = runs[keys[0]].start_label
    board = Box(0.0, low - BOX_HEIGHT, 14.0, BOX_HEIGHT)
    marks: list[Mark] = [
        Region(rectangle(board), material="part"),
        rectangle(board),
        Text((7.0, low / 2), label, LETTERS, "middle", "middle", 90.0),
    ]
    left = 14.0 + 56.0
    right = left + BOX_WIDTH
    for index, key in enumerate(keys):
        y, run = -index * STEP, runs[key]
        marks.append(Line((14.0, y), (left, y), "thin"))
        colors = ", ".join(COLORS[core.color] for core in run.cores)
        marks.append(Text((16.0, y + 0.9), f"{run.label}  {colors}", LETTERS))
        marks += _box(left, y, run.end_label)
        ground = by_end.get(key)
        if ground is None:
            continue
        bend = right + 6.0
        if index == 0:
            top = BOX_HEIGHT + 3.0
            start = (7.0, BOX_HEIGHT) if not continued else (bend, top)
            marks.append(
                Polyline(
                    (start, (start[0], top), (bend, top), (bend, y), (right, y)),
                    closed=False,
                    pen="visible",
                )
            )
            marks.append(Text((bend + 1.0, top - 2.5), ground.label, LETTERS))
        else:
            above = y + STEP
            marks.append(
                Polyline(((right, above), (bend, above), (bend, y), (right, y)), closed=False)
            )
            marks.append(Text((bend + 1.0, y + STEP / 2), ground.label, LETTERS, "start", "middle"))
    return Drawing(f"Wiring diagram, {label}", tuple(marks))


__all__ = ["control_pictures", "lamp_chains", "power_picture"]
