"""Years later: what opens with which tool, which screws, supply and fuse, and the way out of every bought part."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from casewright.basics.wording import listed
from casewright.behavior.harness_plan import MAIN_LEAD
from casewright.behavior.wiring import Wiring
from casewright.catalog.kinds import Device, Grip
from casewright.checks.service import WayIn, ways_into
from casewright.checks.sizes import corners_of, smallest_two
from casewright.geometry.model import Cabinet, Fastening, Piece, Placed
from casewright.planning.work.screw_words import is_cleat
from casewright.planning.work.step import is_removable, labels_of, screws_of
from casewright.planning.work.wiring import run_names


@dataclass(frozen=True)
class Opens:
    """Something that comes off without breaking glue."""

    piece: str
    label: str
    how: str
    tool: str
    screws: tuple[tuple[str, int], ...]
    """Name as bought, count."""
    lets_through: tuple[float, float]
    """Clear opening behind it, the smaller first; zeros where it is not reckoned. [mm]"""


@dataclass(frozen=True)
class WayOut:
    """How bought parts of one kind in one piece come out."""

    keys: tuple[str, ...]
    label: str
    opened: str
    """What is opened first; "" where it comes out from outside or with what it sits on."""
    how: str
    tool: str
    screws: tuple[tuple[str, int], ...]
    wires: str
    """Labels of the runs to loosen; "" where there are none."""


_HOW = {
    "hinges": ("swings open", "by hand"),
    "magnets": ("pull at one edge, off its magnets", "by hand"),
    "locks": ("unlock, lift off", "its key"),
    "bolted": ("undo its bolts", "hex key or wrench"),
    "screwed": ("undo its screws", "screwdriver"),
    "shims": ("ease its shims out", "by hand"),
}
_FIRST = ("hinges", "magnets", "locks", "shims", "screwed", "bolted")
"""The quickest first."""

_OUT = {
    "display": "hold it by its housing, undo the bar, lift it out backwards; face down on a soft cloth",
    "button": "turn its nut off inside, push it out to the show face",
    "lever": "unscrew ball and washer, undo it from the back, take it inward",
    "dial": "pull the knob, undo the nut, take it inward",
    "trackball": "undo it from the back, take it inward",
    "speaker": "hold it, undo its screws, take it off its panel",
    "port": "glued in: it stays; a new one is glued in its hole",
    "fan": "undo its screws, mind the arrow of the air",
    "fitting": "undo it, take it out to the show face",
    "sign": "undo lights and frame, lift out diffuser, print and cover",
    "device": "pull its plugs, undo it, take it off",
    "foot": "lay the cabinet on a cloth, unscrew it from below",
    "grip": "undo its screws from inside, take it off outward",
    "vent": "made in the panel: brush it clean",
    "hardware": "undo it",
}
_FROM_OUTSIDE = ("foot",)
_IN_PANEL = ("vent", "port")


def openings_of(cabinet: Cabinet) -> tuple[Opens, ...]:
    """What opens, the quickest first, the larger one before the smaller."""
    ways = {way.key: way for way in ways_into(cabinet)}
    found = []
    for piece in cabinet.pieces:
        if not _comes_off(piece):
            continue
        fixing = "hinges" if piece.kind == "door" and piece.fixing == "glued" else piece.fixing
        how, tool = _HOW.get(fixing, _HOW["screwed"])
        way = ways.get(piece.key)
        opens = Opens(
            piece.key,
            piece.label,
            how,
            tool,
            screws_of(_holding(cabinet, piece)),
            way.sides if way else (0.0, 0.0),
        )
        rank = _FIRST.index(fixing) if fixing in _FIRST else len(_FIRST)
        found.append(((rank, -opens.lets_through[0] * opens.lets_through[1], piece.key), opens))
    return tuple(opens for _, opens in sorted(found, key=lambda pair: pair[0]))


def ways_out(cabinet: Cabinet, wiring: Wiring) -> tuple[WayOut, ...]:
    """The way out of every placed part, parts of one type in one piece together."""
    openings = openings_of(cabinet)
    ways = ways_into(cabinet)
    groups: dict[tuple[str, str], list[Placed]] = {}
    for placed in cabinet.placed:
        groups.setdefault((placed.piece, placed.part.key), []).append(placed)
    return tuple(_way_out(cabinet, mine, openings, ways, wiring) for mine in groups.values())


def _way_out(
    cabinet: Cabinet,
    mine: Sequence[Placed],
    openings: Sequence[Opens],
    ways: Sequence[WayIn],
    wiring: Wiring,
) -> WayOut:
    first = mine[0]
    data = first.part.data
    keys = tuple(placed.key for placed in mine)
    runs = [run for run in wiring.runs if {run.start, run.end} & set(keys)]
    screws = [f for key in keys for f in _own_screws(cabinet, key)]
    tools = list(dict.fromkeys(_tools(data.kind, bool(screws))))
    outside = isinstance(data, Device) and data.outside
    stays = data.kind in _IN_PANEL or (isinstance(data, Grip) and data.style == "hand hole")
    how = "stands outside: unplug it" if outside else _OUT.get(data.kind, "undo it")
    if isinstance(data, Grip) and stays:
        how = "made in the panel: it stays"
    return WayOut(
        keys,
        first.label if len(mine) == 1 else f"{len(mine)} × {first.part.label}",
        "" if outside or stays else _opened(cabinet, first, openings, ways),
        how,
        "" if outside or stays else listed(tools),
        screws_of(screws),
        run_names(runs).replace(" to ", "–").replace(" and ", ", ") if runs else "",
    )


def _opened(
    cabinet: Cabinet, placed: Placed, openings: Sequence[Opens], ways: Sequence[WayIn]
) -> str:
    """What is opened first: the quickest of what it sits on, if that comes off, and of what lets it through."""
    if placed.part.data.kind in _FROM_OUTSIDE:
        return ""
    host = cabinet.piece_by_key[placed.piece]
    needs = smallest_two(_size(cabinet, placed))
    if placed.part.data.kind in ("button", "fitting", "port"):
        needs = (0.0, 0.0)  # it comes out to the show face; only a hand goes in
    by_key = {way.key: way for way in ways}
    for opens in openings:
        if opens.piece in (placed.piece, host.panel):
            return f"{opens.label}, it comes off with it"
        way = by_key.get(opens.piece)
        if way and way.sides[0] >= needs[0] and way.sides[1] >= needs[1]:
            return opens.label
    labels = labels_of(cabinet)
    if any(not run.panel for run in cabinet.shape.runs):
        return "the open side"
    return f"nothing lets it through: the {labels.get(placed.piece, placed.piece)} is glued"


def _size(cabinet: Cabinet, placed: Placed) -> tuple[float, float, float]:
    """Extent of its solid bodies along its own axes. [mm]"""
    points = [
        placed.frame.local(point)
        for body in cabinet.bodies
        if body.owner == placed.key and body.kind == "solid"
        for point in corners_of(body)
    ]
    if not points:
        return (0.0, 0.0, 0.0)
    us, vs, ns = zip(*points, strict=True)
    return (max(us) - min(us), max(vs) - min(vs), max(ns) - min(ns))


def _tools(kind: str, screwed: bool) -> Iterator[str]:
    if screwed:
        yield "screwdriver"
    if kind in ("button", "dial"):
        yield "by hand or a nut wrench"
    elif not screwed:
        yield "by hand"


def _comes_off(piece: Piece) -> bool:
    return piece.kind == "door" or (
        piece.kind in ("panel", "inner", "board") and is_removable(piece)
    )


def _holding(cabinet: Cabinet, piece: Piece) -> list[Fastening]:
    """Screws that hold a removable piece."""
    return [
        f
        for f in cabinet.fastenings
        if f.through == piece.key or (f.into == piece.key and is_cleat(cabinet, f))
    ]


def _own_screws(cabinet: Cabinet, key: str) -> list[Fastening]:
    """Screws of a part; those of rails that are glued to a panel stay."""
    glued = {p.key for p in cabinet.pieces if p.kind in ("rail", "strip") and not is_removable(p)}
    return [
        f
        for f in cabinet.fastenings
        if (f.key.startswith(f"{key}.") or f.through == key) and f.through not in glued
    ]


def fuse_rows(wiring: Wiring) -> tuple[tuple[str, str, str], ...]:
    """Every fuse: its run, its size, and what it feeds."""
    rows = []
    mains = [run for run in wiring.fused if run.what == MAIN_LEAD]
    for run in wiring.fused:
        what = "all lamps" if run.what == "lamps" else run.end_label
        if run.what == MAIN_LEAD:
            whole = "everything" if len(mains) == 1 else f"everything at {run.volts:g} V"
            what = f"{whole}, before the {run.end_label}"
        rows.append((run.label, f"{run.fuse:g} A", what))
    return tuple(rows)


def screw_words(screws: Sequence[tuple[str, int]]) -> str:
    """Screws as a maker asks for them: "6 × 4.0 × 30"."""
    return "; ".join(f"{count} × {name}" for name, count in screws)


__all__ = ["Opens", "WayOut", "fuse_rows", "openings_of", "screw_words", "ways_out"]
