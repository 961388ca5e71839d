"""The deck and every other panel, seen from its show face: what sits where, to the tenth of a millimeter."""

from __future__ import annotations

from collections.abc import Hashable
from functools import partial

from nicegui import ui

from casewright.basics.reckoning import Reckoning
from casewright.basics.wording import counted
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import TypedValue, heading, press
from casewright.faces.web.entering import entered_value
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.boards import panel_board
from casewright.faces.web.views.figures import why_menu
from casewright.faces.web.views.handing import clusters_on, under_hands
from casewright.faces.web.views.pieces import other_boards, piece_form, piece_key, work_forms
from casewright.faces.web.views.placing import show_placement
from casewright.geometry.model import Piece, Placed
from casewright.geometry.place_numbers import place_number
from casewright.session.arranging import Axis, aligned, moved, spread, wish_path
from casewright.workflow import Removal

KINDS = ("panel", "side", "inner", "board", "door")
PAGES = {
    "places": "What sits on it",
    "panel": "How it is made",
    "work": "Holes and doors",
    "boards": "Other boards",
}
"""What is told below the board."""


def view(bench: Bench) -> None:
    """The chooser, the board, the table."""
    heading(
        "Deck and every panel",
        "Seen from the show face, as you stand before it; u to the right, v up from its lower edge.",
    )
    bench.live.section(lambda live: _chooser(bench), lambda: (_panels_key(bench), bench.panel))
    with ui.element("div").classes("columns panels-columns"):
        with ui.element("div").classes("lane drawing-lane"):
            panel_board(bench)
        with ui.element("div").classes("lane"):
            _pages(bench)


def _pages(bench: Bench) -> None:
    """What sits on the panel, what it is made of, what is worked into it, what else there is: one at a time."""
    page = next(iter(PAGES))
    leaves = Live()
    bench.live.add(leaves.update)

    def turn(name: str) -> None:
        nonlocal page
        page = name
        leaves.update()

    def is_turned_to(name: str) -> dict[str, object]:
        return {"aria-pressed": str(page == name).lower()}

    def build(live: Live) -> None:
        if page == "places":
            live.section(lambda inner: _table(bench, inner), lambda: _table_key(bench))
        elif page == "panel":
            live.section(partial(piece_form, bench), lambda: piece_key(bench))
        elif page == "work":
            live.section(partial(work_forms, bench), lambda: (bench.panel, bench.style.unit))
        else:
            live.section(partial(other_boards, bench), lambda: bench.style.unit)

    with ui.element("div").classes("tools leaves") as group:
        group.props["role"] = "group"
        group.props["aria-label"] = "About the panel"
        for name, words in PAGES.items():
            button = press(words, partial(turn, name), classes="framed")
            leaves.props(button, partial(is_turned_to, name))
    leaves.section(build, lambda: page).classes("lane scrolls leaf")


def _boards(bench: Bench) -> list[Piece]:
    worked = bench.built
    return [piece for piece in worked.cabinet.pieces if piece.kind in KINDS] if worked else []


def _panels_key(bench: Bench) -> Hashable:
    return tuple((piece.key, piece.label) for piece in _boards(bench))


def _chooser(bench: Bench) -> None:
    boards = _boards(bench)
    if not boards:
        return
    keys = [piece.key for piece in boards]
    if bench.panel not in keys:
        bench.panel = next((piece.key for piece in boards if piece.role == "deck"), keys[0])
    with ui.element("div").classes("tools chooser") as group:
        group.props["role"] = "group"
        group.props["aria-label"] = "Panel shown"
        for piece in boards:
            button = press(
                piece.label or piece.key,
                partial(_choose, bench, piece.key),
                classes="framed",
                label=piece.label or piece.key,
            )
            is_shown = piece.key == bench.panel
            button.props["aria-pressed"] = str(is_shown).lower()
            if is_shown:  # where there are so many that they scroll
                bench.client.run_javascript(
                    f"getHtmlElement({button.id})?.scrollIntoView({{block: 'nearest'}})"
                )


def _choose(bench: Bench, key: str) -> None:
    bench.panel = key
    bench.chosen.clear()
    bench.live.update()


# ---- what sits on it ----


def _placed(bench: Bench) -> list[Placed]:
    worked = bench.built
    return (
        [placed for placed in worked.cabinet.placed if placed.piece == bench.panel]
        if worked
        else []
    )


def _table_key(bench: Bench) -> Hashable:
    rows = tuple((placed.key, placed.label, placed.wish.like) for placed in _placed(bench))
    hands = tuple((c.player, c.which, c.keys) for c in clusters_on(bench))
    return (bench.panel, rows, bench.style.unit, bench.seen, hands)


def _table(bench: Bench, live: Live) -> None:
    worked = bench.built
    if worked is None or bench.panel not in worked.cabinet.piece_by_key:
        return
    piece = worked.cabinet.piece_by_key[bench.panel]
    said(piece.label or piece.key, "h2").classes("block-title")
    with ui.element("p").classes("quietly"):
        live.text(lambda: _size_words(bench))
        _why_sizes(bench)
    placed = _placed(bench)
    if not placed:
        said("Nothing sits on it.", "p").classes("quietly")
        return
    keys = {one.key for one in placed}
    bench.chosen &= keys
    with ui.element("table").classes("list fields places"):
        with ui.element("thead"), ui.element("tr"):
            for title in (
                "",
                "part",
                f"u, {bench.style.unit}",
                f"v, {bench.style.unit}",
                "turn, °",
                "",
            ):
                said(title, "th")
        with ui.element("tbody"):
            for one in placed:
                is_alone = sum(other.label == one.label for other in placed) == 1
                _row(bench, live, one, one.label if one.label and is_alone else _with_key(one))
    with ui.element("div").classes("arrange"):
        said("Those ticked:", "span").classes("quietly")
        for words, axis, how in (
            ("align in a row", "v", "align"),
            ("align in a column", "u", "align"),
            ("space evenly across", "u", "spread"),
            ("space evenly up", "v", "spread"),
        ):
            press(words, partial(_arrange, bench, axis, how), classes="framed")
    under_hands(bench)


def _why_sizes(bench: Bench) -> None:
    """What length, width and saw tilts of the panel come from, together."""

    def numbers() -> tuple[Reckoning, ...]:
        known = bench.worked.numbers if bench.worked else {}
        return tuple(number for key, number in known.items() if key.startswith(f"{bench.panel}."))

    if numbers():
        with ui.element("button").classes("press why") as button:
            button.props["type"] = "button"
            button.props["aria-label"] = "Why these sizes?"
            said("why?")
            why_menu(bench, numbers)


def _size_words(bench: Bench) -> str:
    worked = bench.built
    piece = worked.cabinet.piece_by_key.get(bench.panel) if worked else None
    if piece is None:
        return ""
    material = bench.opened.project.materials.get(piece.material) if bench.opened else None
    label = (material.label if material else "") or piece.material
    size = f"{bench.figure(piece.width)} × {bench.figure(piece.height)} × {bench.length(piece.thickness)}"
    return f"{size}, {label} "


def _with_key(one: Placed) -> str:
    return f"{one.label} ({one.key})" if one.label else one.key


def _row(bench: Bench, live: Live, one: Placed, called: str) -> None:
    """A placed part; `called` tells it from all others to whoever hears its boxes."""
    key = one.key
    is_seen = key in bench.seen
    with ui.element("tr").classes("chosen" if is_seen else ""):
        with ui.element("td"):
            tick = ui.checkbox(value=key in bench.chosen)
            tick.props["aria-label"] = f"Tick {called}"
            tick.on_value_change(lambda e: _tick(bench, key, bool(e.value)))
            live.add(partial(_show_tick, bench, tick, key))
        with ui.element("td").classes("field-name"):
            said(one.label or key)
            said(f"{key}, follows {one.wish.like}" if one.wish.like else key, "small")
        for axis in ("u", "v"):
            with ui.element("td"):
                _place_box(bench, live, one, axis, called)
        with ui.element("td"):
            _turn_box(bench, live, one, called)
        with ui.element("td"):
            _why_place(bench, key, called)
            more = partial(show_placement, bench, key)
            press("more …", more, classes="order", label=f"More about {called}")


def _why_place(bench: Bench, key: str, called: str) -> None:
    """What u and v of a part come from, together."""

    def numbers() -> tuple[Reckoning, ...]:
        worked, one = bench.built, _now(bench, key)
        axes: tuple[Axis, Axis] = ("u", "v")
        return tuple(place_number(worked.cabinet, one, a) for a in axes) if worked and one else ()

    with ui.element("button").classes("press why") as button:
        button.props["type"] = "button"
        button.props["aria-label"] = f"Why does {called} sit there?"
        said("why?")
        why_menu(bench, numbers)


def _show_tick(bench: Bench, tick: ui.checkbox, key: str) -> None:
    tick.value = key in bench.chosen


def _tick(bench: Bench, key: str, on: bool) -> None:
    if on != (key in bench.chosen):
        bench.chosen ^= {key}
        bench.live.update()


def _now(bench: Bench, key: str) -> Placed | None:
    worked = bench.built
    return worked.cabinet.placed_by_key.get(key) if worked else None


def _place_box(bench: Bench, live: Live, placed: Placed, axis: Axis, called: str) -> None:
    key, label = placed.key, placed.label or placed.key

    def show() -> str:
        one = _now(bench, key)
        return bench.figure(getattr(one, axis)) if one else ""

    async def take(text: str) -> list[str]:
        value = bench.typed_length(text)
        worked = bench.built
        if isinstance(value, Removal) or worked is None:
            return ["Type a length."]
        return await bench.do(
            lambda: bench.session.edit(moved(worked, key, axis, value), f"move {label}")
        )

    TypedValue(live, f"{axis} of {called}", show, take, bare=True)


def _turn_box(bench: Bench, live: Live, placed: Placed, called: str) -> None:
    key, label = placed.key, placed.label or placed.key

    def show() -> str:
        one = _now(bench, key)
        return f"{one.turn_deg:.6g}" if one else ""

    async def take(text: str) -> list[str]:
        worked = bench.built
        path = wish_path(worked, key) if worked else None
        if path is None:
            return ["It has no place of its own in the file."]
        return await bench.set((*path, "turn"), entered_value(text), f"turn {label}")

    TypedValue(live, f"turn of {called}", show, take, bare=True)


async def _arrange(bench: Bench, axis: str, how: str) -> None:
    worked = bench.built
    if worked is None:
        return
    keys = [one.key for one in _placed(bench) if one.key in bench.chosen]
    least = 2 if how == "align" else 3
    if len(keys) < least:
        ui.notify(f"Tick {least} parts or more in the table first.")
        return
    which: Axis = "u" if axis == "u" else "v"
    edits = aligned(worked, keys, which) if how == "align" else spread(worked, keys, which)
    words = "align" if how == "align" else "space evenly"
    await bench.tell(await bench.edit(edits, f"{words} {counted(len(keys), 'part')}"))


__all__ = ["KINDS", "PAGES", "view"]
