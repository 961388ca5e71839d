"""One step, large: what is set, which face lies up, the picture, the orders, the cautions."""

from __future__ import annotations

from functools import partial

from nicegui import run, ui

from casewright.basics.wording import capital
from casewright.faces.web.controls import press
from casewright.faces.web.live import Live, said
from casewright.faces.web.phone.hand import Hand
from casewright.faces.web.views.step_pictures import piece_picture, step_picture
from casewright.geometry.model import FaceName
from casewright.outputs.built_words import STATE_WORDS
from casewright.outputs.documents.signs import HAZARD_SIGNS, sign_svg
from casewright.outputs.fingerprint import fingerprint
from casewright.outputs.work_words import STAGE_TITLES, setting_words
from casewright.planning.cautions import CAUTIONS
from casewright.planning.joints import is_along_u
from casewright.planning.work import Step

ROOM = (110.0, 132.0)
"""Width and height that drawings are laid out for, so that their letters can be read on a phone. [mm]"""


def step_page(hand: Hand, live: Live) -> None:
    """The step that is shown."""
    step, bench = hand.current, hand.bench
    if step is None:
        said("Nothing is left to do." if hand.worked else "Nothing can be planned yet.", "h1")
        said("The desk shows the whole project.", "p")
        return
    day = hand.day_of(step.key)
    where = f"Day {day}, {STAGE_TITLES[step.stage].lower()}, step {step.number}"
    with ui.element("div").classes("phone-step"):
        with ui.element("div").classes("phone-words"):
            said(where, "p").classes("phone-where")
            said(capital(bench.say(step.title)), "h1")
            with ui.element("div").classes("phone-set"):
                if step.setting:
                    _fact("set", bench.say(setting_words(step.setting)))
                elif step.tool:
                    _fact("tool", bench.say(step.tool))
                if step.face_up or step.face:
                    up = step.face_up or f"{step.face} face"
                    _fact("face up", bench.say(up.removesuffix(" up")))
        picture = ui.element("div").classes("phone-picture")
        with ui.element("div").classes("phone-words"):
            with ui.element("ol").classes("phone-orders"):
                for order in step.orders:
                    said(bench.say(order), "li")
            _more(hand, live, step)
            _cautions(step)
            _pieces(hand, step)
    load_picture(hand, picture, partial(_step_svg, hand, step), bench.say(step.title))


def _step_svg(hand: Hand, step: Step) -> str:
    return step_picture(hand.bench, step, sheet_room=ROOM, step_room=ROOM)


def _fact(name: str, words: str) -> None:
    with ui.element("p"):
        said(name, "small")
        said(capital(words), "b")


def _more(hand: Hand, live: Live, step: Step) -> None:
    if step.screws:
        said("Screws: " + "; ".join(f"{count} × {name}" for name, count in step.screws), "p")
    if step.dry:
        said(f"Drying: {step.dry}.", "p")

    def waits() -> str:
        numbers = [
            str(one.number)
            for one in hand.steps
            if one.key in step.needs and one.key not in hand.done
        ]
        if not numbers or step.key in hand.done:
            return ""
        return f"First: step {', '.join(numbers[:6])}{' and more' if numbers[6:] else ''}, not ticked yet."

    words = live.text(waits, "p").classes("phone-first")
    live.props(words, lambda: {"hidden": not waits()})
    if step.minutes:
        said(f"About {max(1, round(step.minutes))} min.", "p").classes("quietly")


def _cautions(step: Step) -> None:
    for hazard in step.cautions:
        with ui.element("div").classes("phone-caution"):
            for sign in HAZARD_SIGNS[hazard][:2]:
                ui.html(sign_svg(sign), sanitize=False, tag="span").props["aria-hidden"] = "true"
            said(" ".join(CAUTIONS[hazard]), "p")


def _pieces(hand: Hand, step: Step) -> None:
    if not step.pieces:
        return
    with ui.element("nav").classes("phone-pieces") as box:
        box.props["aria-label"] = "Pieces at hand"
        for key in step.pieces[:40]:
            press(
                hand.bench.label(key),
                partial(hand.open, "piece", key),
                classes="framed",
                label=f"The piece {hand.bench.label(key)}",
            )


def piece_page(hand: Hand, live: Live) -> None:
    """One piece: what it is, how far it has come, what is left to do on it."""
    bench, worked = hand.bench, hand.worked
    piece = worked.cabinet.piece_by_key.get(hand.piece) if worked else None
    if worked is None or piece is None:
        said("There is no such piece in the project now.", "h1")
        press("To the steps", partial(hand.open, "list"), classes="framed")
        return
    with ui.element("div").classes("phone-step"):
        with ui.element("div").classes("phone-words"):
            said("Piece", "p").classes("phone-where")
            said(capital(piece.label or piece.key), "h1")
            long, short = (piece.width, piece.height)
            if not is_along_u(piece):
                long, short = short, long
            with ui.element("div").classes("phone-set"):
                sizes = f"{bench.figure(long)} × {bench.figure(short)} × {bench.length(piece.thickness)}"
                _fact("size", sizes)
                record = bench.opened.project.as_built.get(piece.key) if bench.opened else None
                _fact("state", STATE_WORDS[record.state] if record else "not made yet")
            mark = fingerprint(worked.opened.project)
            if hand.paper and hand.paper != mark:
                said(
                    f"The page is of state {hand.paper}, the project is at {mark} now: where they differ, "
                    "this is right.",
                    "p",
                ).classes("phone-first")
        pictures = {
            face: ui.element("div").classes("phone-picture") for face in _faces(hand, piece.key)
        }
        with ui.element("div").classes("phone-words"):
            press(
                "What the tape says", partial(hand.lay, "measure", piece.key), classes="main wide"
            )
            said("Left to do on it", "h2")
            left = [s for s in hand.steps if piece.key in s.pieces]
            if not left:
                said("Nothing.", "p")
            with ui.element("ul").classes("plain phone-list"):
                for step in left:
                    step_row(hand, live, step)
    for face, box in pictures.items():
        load_picture(
            hand,
            box,
            partial(piece_picture, bench, piece.key, face, room=ROOM),
            f"{piece.label}, {face} face",
        )


def _faces(hand: Hand, key: str) -> list[FaceName]:
    """Those that steps lay up; the back, from which most is worked, where none does."""
    faces = {s.face for s in hand.steps if key in s.pieces and s.face}
    ordered: list[FaceName] = [face for face in ("back", "show") if face in faces]
    return ordered or ["back"]


def step_row(hand: Hand, live: Live, step: Step) -> ui.element:
    """One step in a list: its tick, its number and its title; pressed, it is shown."""
    with ui.element("li") as row:
        button = ui.element("button").classes("phone-row")
        button.props["type"] = "button"
        button.on("click", partial(hand.go, step.key))
        with button:
            said("").classes("phone-box").props["aria-hidden"] = "true"
            said(str(step.number)).classes("phone-number")
            said(capital(hand.bench.say(step.title))).classes("phone-title")
        live.props(
            button,
            lambda: {
                "data-done": "" if step.key in hand.done else None,
                "aria-current": "step" if step.key == hand.step and hand.show == "list" else None,
                "aria-label": f"Step {step.number}: {hand.bench.say(step.title)}"
                + (", done" if step.key in hand.done else ""),
            },
        )
    return row


def load_picture(hand: Hand, box: ui.element, make: partial[str], words: str) -> None:
    """Draw aside, then show; a press makes it larger."""

    async def load() -> None:
        svg = await run.io_bound(make)
        if hand.bench.client.is_deleted or box.is_deleted:
            return
        if not svg:
            box.delete()
            return
        with box:
            drawn = ui.html(svg, sanitize=False)
            drawn.props["role"], drawn.props["aria-label"] = "img", words
            press(
                "", lambda: _enlarge(hand, box), icon="larger", label="Larger or smaller"
            ).classes("phone-larger")

    ui.timer(0, load, once=True)


def _enlarge(hand: Hand, box: ui.element) -> None:
    is_large = "large" in box.classes
    box.classes(add="" if is_large else "large", remove="large" if is_large else "")
    hand.bench.client.run_javascript(f"casewrightMiddle({box.id})")


__all__ = ["ROOM", "load_picture", "piece_page", "step_page", "step_row"]
