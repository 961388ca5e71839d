"""As built: what exists already, what the tape says of it, and the ways on from there."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from functools import partial
from typing import Any, get_args

from nicegui import run, ui

from casewright.basics.errors import CasewrightError
from casewright.basics.wording import capital, counted
from casewright.design.built import STATES, Edge, State
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import Choice, TypedValue, dialog, heading, press
from casewright.faces.web.live import Live, said
from casewright.faces.web.wording import error_lines
from casewright.geometry.model import Circle, Piece, Rectangle
from casewright.outputs.built_words import STATE_WORDS, way_words
from casewright.planning.as_built import Answer, Replan, Way
from casewright.planning.joints import is_along_u
from casewright.session.recording import marked, printed, unmarked, way_edits
from casewright.workflow import Value, Worked, replan

NOT_YET = "not yet"
WORDS: Mapping[str, str] = {NOT_YET: "not yet", **STATE_WORDS}
LARGE = ("side", "panel", "overlay", "inner", "board", "door")


class _Ways:
    """The ways on that were last looked for, and of which state of the project they are."""

    def __init__(self) -> None:
        self.worked: Worked | None = None
        self.plan: Replan | None = None
        self.busy = False


def view(bench: Bench) -> None:
    """Pieces and how far they have come on the left, what that asks of the plan on the right."""
    heading(
        "As built",
        "Mark what is made and write down what the tape says. The plan keeps it, and changes only what is not cut yet.",
    )
    ways = _Ways()
    with ui.element("div").classes("columns"):
        with ui.element("div").classes("lane scrolls"):
            with ui.element("div").classes("in-line"):
                press(
                    "The papers are printed",
                    partial(_print_all, bench),
                    classes="framed",
                    label="Keep every piece as the papers show it, so that later changes are told",
                )
            bench.live.section(lambda live: _pieces(bench, live), lambda: _pieces_key(bench))
        with ui.element("div").classes("lane scrolls"):
            bench.live.section(
                lambda _: _asked(bench, ways),
                lambda: (bench.worked, bench.style, ways.plan, ways.busy),
            )


def _pieces_key(bench: Bench) -> Hashable:
    worked = bench.worked
    if worked is None:
        return None
    return (
        tuple((p.key, p.label, p.kind, p.width, p.height) for p in worked.cabinet.pieces),
        tuple((key, repr(record)) for key, record in worked.opened.project.as_built.items()),
        tuple((a.piece, a.verdict) for a in worked.made.answers) if worked.made else (),
        bench.style,
    )


def _pieces(bench: Bench, live: Live) -> None:
    worked = bench.worked
    if worked is None:
        said("Nothing can be worked out yet; the project text says what is amiss.", "p")
        return
    answers = {a.piece: a for a in worked.made.answers} if worked.made else {}
    groups = {
        "Sides, panels and doors": [p for p in worked.cabinet.pieces if p.kind in LARGE],
        "Cleats, rails and other small pieces": [
            p for p in worked.cabinet.pieces if p.kind not in LARGE
        ],
    }
    for title, pieces in groups.items():
        if not pieces:
            continue
        said(title, "h2").classes("block-title")
        with ui.element("table").classes("list"), ui.element("tbody"):
            for piece in pieces:
                _row(bench, live, piece, answers.get(piece.key))


def _row(bench: Bench, live: Live, piece: Piece, answer: Answer | None) -> None:
    with ui.element("tr"):
        words = answer.verdict if answer is not None and answer.trouble else ""
        with ui.element("td"):
            said(piece.label)
            if words:
                said(words, "strong").style("display: block")
        long, short = _sizes(piece)
        said(f"{bench.figure(long)} × {bench.length(short)}", "td").classes("number")
        with ui.element("td"):
            Choice(
                live,
                f"How far the {piece.label} has come",
                WORDS,
                lambda: _state(bench, piece.key),
                partial(_mark, bench, piece.key),
                bare=True,
            )
        with ui.element("td"):
            press(
                "Measure",
                partial(_measure, bench, piece.key),
                classes="order",
                label=f"What the tape says of the {piece.label}",
            )


def _sizes(piece: Piece) -> tuple[float, float]:
    """Length and width as the list of pieces gives them. [mm]"""
    return (piece.width, piece.height) if is_along_u(piece) else (piece.height, piece.width)


def _state(bench: Bench, key: str) -> str:
    opened = bench.opened
    record = opened.project.as_built.get(key) if opened else None
    return record.state if record else NOT_YET


async def _print_all(bench: Bench) -> None:
    worked = bench.worked
    if worked is not None:
        edits = printed(worked)
        if edits:
            await bench.tell(await bench.edit(edits, "papers are printed"))


async def _mark(bench: Bench, key: str, state: str) -> list[str]:
    worked = bench.worked
    if worked is None:
        return []
    label = bench.label(key)
    if state == NOT_YET:
        return await bench.edit(unmarked([key]), f"{label}: not made")
    return await bench.edit(marked(worked, [key], _known(state)), f"{label}: {WORDS[state]}")


def _known(state: str) -> State:
    return next(one for one in STATES if one == state)


# ---- measuring ----


def _measure(bench: Bench, key: str) -> None:
    """A sheet for what the tape says of one piece."""
    worked = bench.worked
    piece = worked.cabinet.piece_by_key.get(key) if worked else None
    if worked is None or piece is None:
        return
    record = worked.opened.project.as_built.get(key)
    box, inner = dialog(f"What the tape says of the {piece.label}")
    texts: dict[str, str] = {}
    boxes: dict[str, TypedValue] = {}
    long, short = _sizes(piece)
    fields = [
        ("length", f"Length, plan {bench.figure(long)}", record.length if record else None),
        ("width", f"Width, plan {bench.figure(short)}", record.width if record else None),
        (
            "thickness",
            f"Thickness, plan {bench.figure(piece.thickness)}",
            record.thickness if record else None,
        ),
    ]
    with inner:
        said("Leave empty what is as planned.", "p").classes("hint")
        with ui.element("div").classes("measure-fields"):
            for name, label, value in fields:
                texts[name] = bench.figure(value) if value is not None else ""
                boxes[name] = _box(label, texts, name)
            for edge in get_args(Edge):
                told = record.bevels.get(edge) if record else None
                texts[f"bevels.{edge}"] = f"{told:g}" if told is not None else ""
        with ui.element("details"):
            said("bevels, in degrees", "summary")
            with ui.element("div").classes("measure-fields"):
                for edge in get_args(Edge):
                    place = f"bevels.{edge}"
                    boxes[place] = _box(f"Tilt of the {edge} edge", texts, place)
        holes = [f for f in piece.features if f.kind not in ("pilot", "clearance", "counterbore")]
        if holes:
            with ui.element("details"):
                said("a hole or opening that is elsewhere", "summary")
                with ui.element("div").classes("measure-fields"):
                    for feature in holes[:60]:
                        shape = feature.shape
                        if not isinstance(shape, Circle | Rectangle):
                            continue
                        name = feature.label or bench.label(feature.owner) or feature.key
                        for axis, at in (("u", shape.u), ("v", shape.v)):
                            place = f"holes.{feature.key}:{axis}"
                            old = record.holes.get(feature.key) if record else None
                            was = getattr(old, axis) if old else None
                            texts[place] = bench.figure(was) if was is not None else ""
                            way = "right" if axis == "u" else "up"
                            boxes[place] = _box(
                                f"{name}, {way}, plan {bench.figure(at)}", texts, place
                            )
        problem = said("", "p").classes("problem")
        problem.props["role"] = "alert"

        async def take() -> None:
            state = _state(bench, key)
            # What stands in a box counts, even where the box was not left before the press.
            typed = {name: str(one.input.value or "") for name, one in boxes.items()}
            told, wrong = _told(bench, typed)
            if wrong:
                problem.set_text(wrong)
                return
            now = bench.worked
            if now is None:
                return
            try:
                edits = marked(
                    now, [key], _known("cut" if state in (NOT_YET, "drawn") else state), told
                )
            except CasewrightError as error:
                problem.set_text(" ".join(error_lines(error)))
                return
            lines = await bench.edit(edits, f"measure the {piece.label}")
            if box.is_deleted:
                return
            problem.set_text(" ".join(lines[:3]))
            if not lines:
                box.close()

        with ui.element("div").classes("in-line"):
            press("Keep it", take, classes="main")
            press("Cancel", box.close)
    box.open()


def _box(label: str, texts: dict[str, str], name: str) -> TypedValue:
    async def change(text: str) -> list[str]:
        texts[name] = text
        return []

    return TypedValue(Live(), label, lambda: texts[name], change)


def _told(bench: Bench, texts: Mapping[str, str]) -> tuple[dict[str, Value], str]:
    """What was typed, as the record has it; and what is wrong with it."""
    told: dict[str, Any] = {}
    for name, text in texts.items():
        if not text.strip():
            continue
        try:
            if name.startswith("bevels."):
                told.setdefault("bevels", {})[name.removeprefix("bevels.")] = text.strip()
            elif name.startswith("holes."):
                key, _, axis = name.removeprefix("holes.").rpartition(":")
                told.setdefault("holes", {}).setdefault(key, {})[axis] = bench.typed_length(text)
            else:
                told[name] = bench.typed_length(text)
        except CasewrightError as error:
            return {}, " ".join(error_lines(error))
    return told, ""


# ---- the ways on ----


def _asked(bench: Bench, ways: _Ways) -> None:
    worked = bench.worked
    if worked is None:
        return
    if worked.made is None:
        said("Nothing is marked as made yet.", "h2").classes("block-title")
        said(
            "Mark a piece as cut once it is cut. Where the tape says something else than the plan, or the plan "
            "changes later, this side says what to do: trim, shim, plug, make it anew, or let the plan follow.",
            "p",
        ).classes("quietly")
        return
    if not worked.made.touched:
        said("All that is made serves the plan as it is.", "h2").classes("block-title")
        _answers(bench, worked.made)
        return
    said(
        f"{counted(len(worked.made.touched), 'made piece')} "
        f"{'does' if len(worked.made.touched) == 1 else 'do'} not serve the plan as it is.",
        "h2",
    ).classes("block-title")
    if ways.busy:
        said("Looking for the ways on …", "p").props["aria-live"] = "polite"
    elif ways.plan is None or ways.worked is not worked:
        _answers(bench, worked.made)
        press("Find the ways on", partial(_find, bench, ways), classes="main")
    else:
        _ways(bench, ways.plan)


async def _find(bench: Bench, ways: _Ways) -> None:
    worked = bench.worked
    if worked is None or ways.busy:
        return
    ways.busy = True
    bench.live.update()
    try:
        ways.plan, ways.worked = await run.io_bound(replan, worked), worked
    finally:
        ways.busy = False
    bench.live.update()


def _ways(bench: Bench, plan: Replan) -> None:
    if plan.conflict:
        said(bench.say(plan.conflict), "p").classes("problem")
    for number, way in enumerate(plan.ways, start=1):
        with ui.element("section").classes("block"):
            said(f"{number}. {bench.say(way.title)}", "h2")
            said(f"{capital(way_words(way))}.", "p").classes("quietly")
            for stop in way.stops:
                said(bench.say(stop), "p").classes("problem")
            if way.changes:
                press(
                    "Let the plan go this way",
                    partial(_take, bench, way),
                    classes="main" if number == 1 else "framed",
                    label=f"Let the plan go way {number}",
                )
            _answers(bench, way)


async def _take(bench: Bench, way: Way) -> None:
    worked = bench.worked
    if worked is not None:
        await bench.tell(
            await bench.edit(way_edits(worked, way), bench.say(way.title).lower()[:70])
        )


def _answers(bench: Bench, way: Way) -> None:
    told = [answer for answer in way.answers if answer.verdict not in ("unchanged", "new size")]
    new = [answer for answer in way.answers if answer.verdict == "new size"]
    same = [answer.label for answer in way.answers if answer.verdict == "unchanged"]
    for answer in told:
        with ui.element("div").classes("answer"):
            said(f"{answer.label}: {answer.verdict}", "h3")
            said(bench.say(answer.reason), "p")
            if answer.orders:
                with ui.element("ul"):
                    for one in answer.orders:
                        said(bench.say(one), "li")
    if same:
        said(f"Stays as it is: {', '.join(same)}.", "p").classes("quietly")
    if new:
        with ui.element("details"):
            said(f"{counted(len(new), 'piece')} not cut yet: new sizes or holes", "summary")
            with ui.element("ul"):
                for answer in new:
                    said(f"{answer.label}. {bench.say(answer.reason)}", "li")


__all__ = ["view"]
