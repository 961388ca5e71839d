"""What is laid over the page's lower part: pieces to put down as made, what the tape says, and the best way on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from nicegui import run, ui

from casewright.basics.errors import CasewrightError
from casewright.basics.wording import capital, counted
from casewright.faces.web.controls import press
from casewright.faces.web.live import Live, said
from casewright.faces.web.phone.hand import Hand
from casewright.faces.web.phone.measuring import measuring, told_of
from casewright.outputs.built_words import STATE_WORDS, way_words
from casewright.planning.as_built import Way
from casewright.planning.work.ticks import Offer, open_cuts, piece_offers
from casewright.session.recording import way_edits
from casewright.session.ticking import put_down
from casewright.workflow import Value

FEW = 6
"""Of more pieces than this the names are not listed in a sentence."""


def sheet_over(hand: Hand, live: Live) -> None:
    """What is laid over the page now."""
    if hand.sheet == "offer" and hand.offered:
        _offer(hand)
    elif hand.sheet == "pieces":
        _choose(hand)
    elif hand.sheet == "measure":
        _measure(hand)
    elif hand.sheet == "misfit" and hand.misfits:
        _misfit(hand, live)


def _names(hand: Hand, keys: tuple[str, ...]) -> str:
    if len(keys) > FEW:
        return counted(len(keys), "piece")
    return ", ".join(hand.bench.label(key) for key in keys)


# ---- putting down ----


def _offer(hand: Hand) -> None:
    offered = hand.offered
    for offer in offered:
        state = STATE_WORDS[offer.state]
        many = "are" if len(offer.pieces) > 1 else "is"
        said(capital(f"{_names(hand, offer.pieces)} {many} {state}."), "h2")
    said("Put down, what is done of it leaves the list, and the plan keeps it as it is.", "p")
    with ui.element("div").classes("phone-buttons"):
        press("Put it down", partial(_put_down, hand, offered), classes="main")
        press("First, what the tape says", partial(_to_measure, hand, offered), classes="framed")
        press("Not now", hand.put_off, classes="framed")


def _to_measure(hand: Hand, offered: tuple[Offer, ...]) -> None:
    keys = [key for offer in offered for key in offer.pieces]
    if len(keys) == 1:
        hand.lay("measure", keys[0])
    else:
        hand.lay("pieces")


def _choose(hand: Hand) -> None:
    said("Which piece?", "h2")
    with ui.element("div").classes("phone-pieces"):
        for offer in hand.offered:
            for key in offer.pieces:
                press(hand.bench.label(key), partial(hand.lay, "measure", key), classes="framed")
    with ui.element("div").classes("phone-buttons"):
        press("Back", partial(hand.lay, "offer"), classes="framed")


async def _put_down(
    hand: Hand,
    offered: tuple[Offer, ...],
    told: Mapping[str, Mapping[str, Value]] | None = None,
    *,
    say: Callable[[str], object] | None = None,
) -> None:
    worked = hand.worked
    if worked is None:
        return
    try:
        edits = await run.io_bound(put_down, worked, hand.done, offered, told)
    except CasewrightError as error:
        await hand.bench.tell([hand.problem_of(error)])
        return
    if edits is None:  # the server is ending
        return
    pieces = tuple(key for offer in offered for key in offer.pieces)
    state = STATE_WORDS[offered[-1].state]
    if await hand.edit(edits, f"{_names(hand, pieces)}: {state}"[:70], say=say):
        hand.lay("misfit" if told and hand.misfits else "")


# ---- measuring ----


def _measure(hand: Hand) -> None:
    worked = hand.worked
    piece = worked.cabinet.piece_by_key.get(hand.piece) if worked else None
    if worked is None or piece is None:
        return
    said(f"What the tape says of the {piece.label or piece.key}", "h2")
    record = worked.opened.project.as_built.get(piece.key)
    if record is None or not record.reached("cut"):
        still = open_cuts(hand.steps, hand.done, piece.key, worked.cabinet)
        if still:
            said(
                "It can be put down here once all of its material is sawn; a single piece at the desk, As built. "
                f"{counted(len(still), 'cut')} not ticked yet.",
                "p",
            )
            with ui.element("div").classes("phone-buttons"):
                number = still[0].number
                press(f"To step {number}", partial(hand.go, still[0].key), classes="main")
                press("Close", partial(hand.lay, ""), classes="framed")
            return
    measuring(hand, piece, record)
    problem = said("", "p").classes("problem")
    problem.props["role"] = "alert"

    async def take() -> None:
        try:
            told = told_of(hand, piece)
        except CasewrightError as error:
            problem.set_text(hand.problem_of(error))
            return
        now = hand.worked
        if now is None or piece.key not in now.cabinet.piece_by_key:
            return
        known = now.opened.project.as_built.get(piece.key)
        found = piece_offers(hand.steps, hand.done, [piece.key], now.cabinet, now.again)
        if not any(piece.key in offer.pieces for offer in found):
            state = known.state if known and known.reached("cut") else "cut"
            found = (*found, Offer(state, (piece.key,)))
        await _put_down(hand, found, {piece.key: told}, say=problem.set_text)

    with ui.element("div").classes("phone-buttons"):
        press("Keep it", take, classes="main")
        press("Close", partial(hand.lay, ""), classes="framed")
    _to_desk(hand, "More of it: at the desk, As built")


# ---- what does not fit ----


def _misfit(hand: Hand, live: Live) -> None:
    bench = hand.bench
    for answer in hand.misfits[:4]:
        said(capital(f"{answer.label}: {answer.verdict}"), "h2").classes("phone-stop")
        said(bench.say(answer.reason), "p")
    live.section(lambda _: _best(hand), lambda: (hand.ways, hand.worked))
    with ui.element("div").classes("phone-buttons"):
        press("Close", partial(hand.lay, ""), classes="framed")
    _to_desk(hand, "All ways on: at the desk, As built")
    ui.timer(0, hand.find_ways, once=True)


def _best(hand: Hand) -> None:
    bench, ways = hand.bench, hand.ways
    if ways is None:
        said("Looking for the best way on …", "p").props["aria-live"] = "polite"
        return
    if ways.conflict:
        said(bench.say(ways.conflict), "p").classes("problem")
    if not ways.ways:
        return
    way = ways.ways[0]
    cost = way_words(way)
    said(f"Best way on: {bench.say(way.title)}", "h2")
    said(f"{capital(cost)}.", "p")
    with ui.element("ul"):
        for answer in way.touched[:4]:
            for order in answer.orders or (f"{answer.label}: {answer.verdict}.",):
                said(bench.say(order), "li")
    for stop in way.stops:
        said(bench.say(stop), "p").classes("problem")
    if way.changes:
        with ui.element("div").classes("phone-buttons"):
            press("Let the plan go this way", partial(_take, hand, way), classes="main")


async def _take(hand: Hand, way: Way) -> None:
    worked = hand.worked
    if worked is not None and await hand.edit(
        way_edits(worked, way), hand.bench.say(way.title).lower()[:70]
    ):
        hand.lay("misfit" if hand.misfits else "")


def _to_desk(hand: Hand, words: str) -> None:
    link = ui.element("a").classes("phone-link")
    link.props["href"] = f"/desk/{hand.bench.key}?view=made"
    with link:
        said(words)


__all__ = ["sheet_over"]
