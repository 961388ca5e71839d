"""What the tape, the protractor and the rule say of one piece: sizes, bevels, and the places of holes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

from nicegui import ui

from casewright.basics.units import parse_length
from casewright.basics.wording import capital
from casewright.design.built import BuiltPiece
from casewright.faces.web.controls import press
from casewright.faces.web.drawings import page_svg
from casewright.faces.web.live import said
from casewright.faces.web.phone.hand import Hand
from casewright.faces.web.phone.step_page import load_picture
from casewright.geometry.model import Circle, FaceName, Piece, Rectangle
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.hole_table import HoleRow, hole_rows
from casewright.outputs.drawings.measuring_view import bevel_drawing, hole_drawing, place_of
from casewright.outputs.drawings.part_view import known_labels
from casewright.planning.joints import is_along_u
from casewright.planning.setups import BevelEdge, bevel_edges
from casewright.workflow import REMOVE, Value

SCREWED = ("pilot", "clearance", "counterbore", "countersink")
"""Kinds of hole that nobody measures: a screw finds its way."""
FACES: tuple[FaceName, ...] = ("back", "show")


@dataclass(frozen=True)
class Field:
    """One box to type into."""

    name: str
    """Under which what is typed is remembered."""
    words: str
    start: str
    suffix: str


def sizes_of(piece: Piece) -> dict[str, float]:
    """Length, width and thickness as the list of pieces gives them. [mm]"""
    long, short = piece.width, piece.height
    if not is_along_u(piece):
        long, short = short, long
    return {"length": long, "width": short, "thickness": piece.thickness}


def measured_holes(hand: Hand, piece: Piece) -> list[HoleRow]:
    """The holes and openings whose places can be told, by their tags on the sheets."""
    worked = hand.worked
    labels = known_labels(worked.cabinet) if worked else {}
    return [
        row
        for face in FACES
        for row in hole_rows(FaceView(piece, face), hand.bench.style, labels)
        if row.kind not in SCREWED and isinstance(row.feature.shape, Circle | Rectangle)
    ]


def measuring(hand: Hand, piece: Piece, record: BuiltPiece | None) -> None:
    """The boxes for what is measured now, under the picture of what from where; and what else can be measured."""
    edges = {f"bevel {edge.edge}": edge for edge in bevel_edges(piece) if piece.kind != "side"}
    rows = {f"hole {row.feature.key}": row for row in measured_holes(hand, piece)}
    if hand.spot in edges:
        _bevel(hand, edges[hand.spot], record)
    elif hand.spot in rows:
        _hole(hand, piece, rows[hand.spot], record)
    else:
        said("Leave empty what is as planned.", "p")
        _boxes(hand, _size_fields(hand, piece, record))
    if not edges and not rows:
        return
    said("Measure too", "h2")
    with ui.element("div").classes("phone-pieces"):
        if hand.spot:
            press("sizes", partial(hand.look, ""), classes="framed")
        for spot, edge in edges.items():
            _spot(hand, spot, f"bevel, {edge.edge} edge")
        for spot, row in rows.items():
            _spot(hand, spot, f"{row.tag}, {row.feature.face} face: {row.purpose}")


def _spot(hand: Hand, spot: str, words: str) -> None:
    told = any(value.strip() for name, value in hand.typed.items() if name.startswith(f"{spot}:"))
    button = press(f"{words} ✓" if told else words, partial(hand.look, spot), classes="framed")
    button.props["aria-pressed"] = str(hand.spot == spot).lower()


def _size_fields(hand: Hand, piece: Piece, record: BuiltPiece | None) -> list[Field]:
    bench = hand.bench
    fields = []
    for name, plan in sizes_of(piece).items():
        old = getattr(record, name) if record else None
        start = bench.figure(old) if old is not None else ""
        words = f"{name}, plan {bench.figure(plan)}"
        fields.append(Field(name, words, start, bench.style.unit))
    return fields


def _bevel(hand: Hand, edge: BevelEdge, record: BuiltPiece | None) -> None:
    _picture(hand, page_svg(bevel_drawing(edge), name="measure"), "The bevel, and where to hold")
    said(
        f"{capital(edge.edge)} edge, as seen on the show face. Lay the square's stock on the {edge.longer} face and "
        "read the tilt between blade and bevel.",
        "p",
    )
    old = record.bevels.get(edge.edge) if record else None
    words = f"tilt, plan {edge.tilt_deg:.1f}"
    _boxes(hand, [Field(f"bevel {edge.edge}:tilt", words, f"{old:g}" if old else "", "°")])


def _hole(hand: Hand, piece: Piece, row: HoleRow, record: BuiltPiece | None) -> None:
    bench, feature = hand.bench, row.feature
    _picture(
        hand,
        page_svg(hole_drawing(piece, feature, bench.style), name="measure"),
        f"{row.tag} on the {feature.face} face",
    )
    said(f"From the ringed corner to the middle of {row.tag}, on the {feature.face} face.", "p")
    old = record.holes.get(feature.key) if record else None
    start = {"right": "", "up": ""}
    if old is not None and old.u is not None and old.v is not None:
        x, y = FaceView(piece, feature.face).point((old.u, old.v))
        start = {"right": bench.figure(x), "up": bench.figure(y)}
    plans = {"right": row.u, "up": row.v}
    _boxes(
        hand,
        [
            Field(
                f"hole {feature.key}:{way}",
                f"{way}, plan {plan}",
                start[way],
                bench.style.unit,
            )
            for way, plan in plans.items()
        ],
    )


def _picture(hand: Hand, svg: str, words: str) -> None:
    box = ui.element("div").classes("phone-picture")
    load_picture(hand, box, partial(str, svg), words)


def _boxes(hand: Hand, fields: list[Field]) -> None:
    with ui.element("div").classes("phone-fields"):
        for field in fields:
            with ui.element("label"):
                said(field.words)
                box = ui.input(value=hand.typed.get(field.name, field.start)).props("outlined")
                is_decimal = hand.bench.style.unit == "mm" or field.suffix == "°"
                box.props["inputmode"] = "decimal" if is_decimal else "text"
                box.props["aria-label"] = field.words
                box.props["suffix"] = field.suffix
                hand.typed.setdefault(field.name, field.start)
                box.on_value_change(partial(_remember, hand, field.name))


def _remember(hand: Hand, name: str, event: Any) -> None:
    hand.typed[name] = str(event.value or "")


def told_of(hand: Hand, piece: Piece) -> dict[str, Any]:
    """What was typed, as the piece's record has it.

    Raises:
        InputError: Something is no length.
    """
    told: dict[str, Any] = {}
    typed = {name: text.strip() for name, text in hand.typed.items() if text.strip()}
    for name in sizes_of(piece):
        value = hand.bench.typed_length(typed.get(name, ""))
        if value is not REMOVE:
            told[name] = value
    for edge in bevel_edges(piece):
        text = typed.get(f"bevel {edge.edge}:tilt", "")
        if text:
            told.setdefault("bevels", {})[edge.edge] = text.removesuffix("°").strip()
    for row in measured_holes(hand, piece):
        place = _place(hand, piece, row, typed)
        if place is not None:
            told.setdefault("holes", {})[row.feature.key] = place
    return told


def _place(
    hand: Hand, piece: Piece, row: HoleRow, typed: dict[str, str]
) -> dict[str, Value] | None:
    """Where a hole is in the panel's own frame, from what was measured off the datum corner of its face."""
    way = f"hole {row.feature.key}:"
    right, up = typed.get(f"{way}right", ""), typed.get(f"{way}up", "")
    if not right and not up:
        return None
    x = _length(hand, right) if right else row.x
    y = _length(hand, up) if up else row.y
    along = "length" if is_along_u(piece) else "width"
    wide = _length(hand, typed[along]) if along in typed else None
    u, v = place_of(piece, row.feature.face, x, y, wide=wide)
    return {"u": f"{u:.3f} mm", "v": f"{v:.3f} mm"}


def _length(hand: Hand, text: str) -> float:
    """A typed length. [mm]"""
    opened = hand.bench.opened
    unit = opened.project.unit if opened else hand.bench.style.unit
    return parse_length(hand.bench.typed_length(text), unit=unit, field="place")


__all__ = ["Field", "measured_holes", "measuring", "sizes_of", "told_of"]
