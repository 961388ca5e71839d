"""Sheet: how evenly each sign is lit, and its strip from cutting to soldering."""

from __future__ import annotations

import math

from casewright.basics.customary import run_words
from casewright.basics.findings import at_least, mm
from casewright.basics.units import Unit
from casewright.basics.wording import counted
from casewright.behavior.light import SignLight
from casewright.behavior.light_box import DARKEST, RIPPLE
from casewright.behavior.whole import Behavior
from casewright.behavior.wires import DROP
from casewright.geometry.model import Cabinet
from casewright.geometry.sign import sign_strip
from casewright.outputs.topics.light_pictures import board_picture, field_picture, row_places
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

BRIDGE_SPARE = 20.0
"""Wire of a bridge beyond the pitch of the rows. [mm] Common practice."""


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """All lit signs; nothing where there is none."""
    signs = behavior.light.signs
    if not signs:
        return None
    pictures: list[Picture] = []
    tables: list[Rows] = []
    for sign in signs:
        pictures += [
            Picture(
                field_picture(sign),
                f"{sign.label} as it will be lit: big dots are dark. Below, light along its middle and its "
                "lower edge, by its mean.",
            ),
            Picture(
                board_picture(cabinet, sign),
                f"{sign.label}: light board seen from the front, drawn higher than it is. Every second row is "
                "turned round, so that no wires cross; strokes across the strip are its cut marks.",
            ),
        ]
        tables += [
            _evenness(sign),
            _rows(cabinet, sign),
            _current(sign, _supply_w(cabinet, behavior), cabinet.project.unit),
            _plan(sign),
        ]
    return TopicSheet(
        key="light",
        title="Light",
        question="Is the sign lit evenly, and bright to its end?",
        answer=" ".join(_answer(sign) for sign in signs),
        pictures=tuple(pictures),
        tables=tuple(tables),
        numbers=tuple(number.key for number in behavior.light.numbers),
        notes=(
            "Every light counts as a small matt one. The print takes its share, and the opal sheet softens dots a "
            "little more than is reckoned here.",
            "Walls count only where the project says so, at the artwork's edges, as mirrors of their share.",
            "Before gluing: lay the strip on its board, light it, and look through the opal sheet in a dark room.",
        ),
        hazards=("heat", "low voltage"),
    )


def _answer(sign: SignLight) -> str:
    even = sign.evenness
    dots = (
        "Single lights do not show"
        if max(even.dots, even.stripes) <= RIPPLE
        else "Single lights or rows show"
    )
    edges = f"its darkest corner has {100 * even.least:.0f} % of the mean light"
    if even.least < DARKEST:
        edges += f" ({100 * DARKEST:g} % is asked)"
    far = f"the far lights lack {100 * sign.lost:.1f} % of their voltage"
    return f"{dots}, {edges}, and {far}."


def _evenness(sign: SignLight) -> Rows:
    even = sign.evenness
    return Rows(
        f"{sign.label}: evenness",
        ("what", "reckoned", "asked"),
        (
            ("brightest place, by the mean", _share(even.most), ""),
            ("darkest place, by the mean", _share(even.least), f"{_share(DARKEST)} or more"),
            ("ripple from light to light", _fine(even.dots), f"{_share(RIPPLE)} or less"),
            ("ripple from row to row", _fine(even.stripes), f"{_share(RIPPLE)} or less"),
        ),
        (1, 2),
    )


def _rows(cabinet: Cabinet, sign: SignLight) -> Rows:
    return Rows(
        f"{sign.label}: rows on the light board, from its left and lower edge",
        ("row", "cut units", "length", "starts at", "its middle at", "plus lies"),
        tuple(
            (
                str(place.number),
                str(sign.box.rows.units),
                mm(place.length),
                mm(place.start),
                mm(place.middle),
                "below" if place.turned else "above",
            )
            for place in row_places(cabinet, sign)
        ),
        (1, 2, 3, 4),
    )


def _supply_w(cabinet: Cabinet, behavior: Behavior) -> float:
    """What the supply or converter gives that the strip hangs on; 0 where that is not known. [W]"""
    loads, strip = behavior.power.loads, sign_strip(cabinet.parts)
    name = next((row.feeder for row in loads.rows if cabinet.parts[row.key].data is strip), "")
    return next((made.watts for made in loads.sources if made.name == name), 0.0)


def _current(sign: SignLight, supply_w: float, unit: Unit) -> Rows:
    feet = f" ({run_words(sign.metres, unit)})" if unit == "in" else ""
    return Rows(
        f"{sign.label}: current and voltage",
        ("what", "value"),
        (
            ("strip", f"{sign.metres:.2f} m{feet} at {sign.volts:g} V"),
            ("current, fully lit", f"{sign.amps:.2f} A"),
            (
                "fed at",
                {"one end": "one end", "both ends": "both ends", "middle": "the middle"}[sign.feed],
            ),
            ("lost along the strip", f"{sign.drop:.2f} V"),
            (
                f"lost in its lead, {at_least(sign.lead)} of {sign.wire.name}",
                f"{sign.lead_drop:.2f} V",
            ),
            (f"lost together, {100 * DROP:g} % at most", f"{100 * sign.lost:.1f} %"),
            ("fuse", f"{sign.fuse:g} A" if math.isfinite(sign.fuse) else "too much for one"),
            *(
                [("share of the supply", _share(sign.amps * sign.volts / supply_w))]
                if supply_w
                else []
            ),
        ),
        (1,),
    )


def _plan(sign: SignLight) -> Rows:
    """What is cut and soldered, in order."""
    rows, units = len(sign.box.rows.rows), sign.box.rows.units
    names = "plus, data and minus" if sign.wires == 3 else "plus and minus"
    steps = [
        f"Cut {counted(rows, 'length')} of {counted(units, 'unit')}: count {units} marks, cut through the middle of "
        "the last.",
        "Scrape the pads bare and tin them; glue the rows down, every second one turned round.",
    ]
    if rows > 1:
        wire = mm(sign.box.row_pitch + BRIDGE_SPARE)
        steps.append(
            f"Bridge row to row, {names}: {counted(sign.wires * (rows - 1), 'wire')} of {wire}, plus to plus."
            + (" Follow the data arrows." if sign.wires == 3 else "")
        )
    ends = {
        "one end": "row 1, its left end",
        "both ends": "both ends of the chain",
        "middle": "the middle of the chain",
    }
    steps += [
        f"Solder the lead to {ends[sign.feed]}: {counted(sign.joints, 'joint')} in all.",
        "Measure before it is lit: no short between plus and minus, and plus meets plus at every joint.",
    ]
    return Rows(
        f"{sign.label}: cut and solder",
        ("", "step"),
        tuple((str(number), step) for number, step in enumerate(steps, 1)),
        (0,),
    )


def _share(value: float) -> str:
    return f"{100 * value:.0f} %"


def _fine(value: float) -> str:
    return f"{100 * value:.1f} %" if value >= 0.0005 else "below 0.1 %"


__all__ = ["sheet"]
