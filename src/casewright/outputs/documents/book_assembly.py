"""Chapters: the order of work, and which screw goes where."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.outputs.bench_links import STEP_LIST
from casewright.outputs.documents.book_blocks import (
    TICK,
    Block,
    Cell,
    Column,
    Writer,
    chapter,
    clean,
    cut_short,
    heading,
    small,
    spans,
    table,
)
from casewright.outputs.documents.book_codes import opens, opens_step, step_code
from casewright.outputs.documents.book_order import making_table, order_summary, times_aside
from casewright.outputs.drawings.marks import Drawing
from casewright.outputs.drawings.step_view import step_drawings
from casewright.outputs.work_words import STAGE_TITLES
from casewright.planning.cautions import CAUTIONS
from casewright.planning.work import MAKING, Stage, Step

PICTURE = (60.0, 50.0)
"""Most that a step's picture takes, width and height. [mm]"""
LONG_STEP = 9
"""A step with more orders than this may run over the page."""
LONG_ORDERS = 1200
"""And one with more to read. [signs]"""
LONG_TITLE = 130
"""Longer titles are cut short. [signs]"""


def assembly_chapter(writer: Writer) -> Iterator[Block]:
    """Every step, numbered, under its stage."""
    yield chapter(
        "Order of work",
        "Each step stands on those it needs. Tick what is done; write what the tape says on the piece. "
        "Pictures show what stands so far; what the step adds is blue, dashed where something hides it.",
    )
    yield from opens(writer, view=STEP_LIST)
    steps = writer.source.work.steps
    yield from order_summary(writer)
    for making in MAKING:
        mine = [step for step in steps if step.stage == making]
        if mine:
            yield from making_table(writer, mine, making)
    pictures = step_drawings(writer.cabinet, steps, room=PICTURE)
    stage: Stage | None = None
    said: set[str] = set()
    for step in steps:
        if step.stage in MAKING:
            continue
        if step.stage != stage:
            stage = step.stage
            said = set()
            yield heading(STAGE_TITLES[stage])
        yield _step(writer, step, said, pictures.get(step.key))


def _step(writer: Writer, step: Step, said: set[str], picture: Drawing | None) -> Block:
    numbers = {other.key: other.number for other in writer.source.work.steps}
    # The signs stand at every step, the sentences at the first of its stage.
    cautions = [
        {"signs": writer.signs([hazard]), "text": clean(" ".join(CAUTIONS[hazard]))}
        for hazard in step.cautions
        if hazard not in said
    ]
    signs = writer.signs(hazard for hazard in step.cautions if hazard in said)
    said |= set(step.cautions)
    aside: list[list[str]] = []
    if step.tool:
        aside.append(["tool", writer.say(step.tool)])
    if step.face_up:
        aside.append(["face up", step.face_up])
    if step.screws:
        aside.append(["screws", "\n".join(f"{count} × {name}" for name, count in step.screws)])
    if step.dry:
        aside.append(["drying", step.dry])
    aside += times_aside(writer.source.work, step)
    after = sorted(numbers[key] for key in step.needs if key in numbers)
    if after:
        aside.append(["after step", spans(after)])
    return {
        "kind": "step",
        "number": step.number,
        "title": _title(writer, step),
        "orders": [writer.say(order) for order in step.orders],
        "cautions": cautions,
        "signs": signs,
        "code": step_code(writer, step),
        "places": list(opens(writer, step=step)),
        "aside": [[a, "\n".join(clean(line) for line in b.split("\n"))] for a, b in aside],
        "picture": writer.drawing(picture, margin=0.5) if picture else None,
        "breaks": len(step.orders) > LONG_STEP or sum(map(len, step.orders)) > LONG_ORDERS,
    }


def _title(writer: Writer, step: Step) -> str:
    """In two lines or three; of many parts the first few by name, and how many there are."""
    title = writer.say(step.title)
    if len(title) <= LONG_TITLE:
        return title
    count = f" {len(step.parts)} in all" if len(step.parts) > 1 else ""
    return f"{cut_short(title, LONG_TITLE - len(count))}{count}"


def fastenings_chapter(writer: Writer) -> Iterator[Block]:
    """Every screw: through what, into what, with which drills."""
    fastenings = writer.cabinet.fastenings
    if not fastenings:
        return
    yield chapter(
        "Screw map",
        "Sorted by screw, so that one box is open at a time. No screw comes nearer to a show face than "
        "its last column says.",
    )
    yield from opens_step(writer, lambda step: bool(step.fastenings))
    yield small(
        f"All in {writer.unit_words}. Pilot: drill for the thread. Clearance: hole for the shank. "
        "Counterbore: depth for the head. Left over: wood from the screw's tip to the far face. "
        "Machine screws need no pilot."
    )
    rows: list[list[Cell] | str] = []
    names: dict[str, list[list[Cell]]] = {}
    counts: dict[str, int] = {}
    for fastening in fastenings:
        counts[fastening.name] = counts.get(fastening.name, 0) + fastening.count
        names.setdefault(fastening.name, []).append(
            [
                TICK,
                str(fastening.count),
                f"{writer.labels.get(fastening.through, fastening.through)} → "
                f"{writer.labels.get(fastening.into, fastening.into)}",
                _drill(writer, fastening.pilot),
                _drill(writer, fastening.clearance),
                writer.figure(fastening.counterbore) if fastening.counterbore else "",
                writer.figure(fastening.left),
            ]
        )
    for name in sorted(names):
        rows.append(f"{name or 'screw to choose'}: {counts[name]} in all")
        rows += names[name]
    yield table(
        [
            Column(""),
            Column("", 0, "right"),
            Column("through → into", 3),
            Column("pilot", 0, "right"),
            Column("clearance", 0, "right"),
            Column("counterbore", 0, "right"),
            Column("left over", 0, "right"),
        ],
        rows,
        dense=True,
    )


def _drill(writer: Writer, diameter: float) -> str:
    return f"⌀ {writer.bit(diameter)}" if diameter else ""


__all__ = ["assembly_chapter", "fastenings_chapter"]
