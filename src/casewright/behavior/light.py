"""Lit signs: how evenly they are lit, what they draw, and what that takes in strip, wire and joints."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.behavior.feeds import Feeds, feeds_of
from casewright.behavior.laying import Entry, cut_step, entry_of, laid_length, wire_system
from casewright.behavior.light_box import Evenness, LightBox, evenness_of, light_box
from casewright.behavior.light_field import Floats
from casewright.behavior.light_strip import Feed, joint_count, strip_drop, strip_ohms
from casewright.behavior.loads import power_loads
from casewright.behavior.routes import Routes
from casewright.behavior.wires import DROP, WIRES, Wire, fuse_for, wire_for
from casewright.catalog.kinds import Sign, Strip
from casewright.geometry.model import Cabinet, Placed
from casewright.geometry.sign import sign_strip
from casewright.geometry.sign_layout import with_sheets


@dataclass(frozen=True)
class SignLight:
    """One sign, lit."""

    key: str
    """Of the placed sign."""
    label: str
    part: str
    """Key of the part."""
    box: LightBox
    evenness: Evenness
    xs: tuple[float, ...]
    """Columns of the field, over the whole opening. [mm]"""
    ys: tuple[float, ...]
    field: tuple[tuple[float, ...], ...]
    """Light by its mean, row by row from below."""
    volts: float
    metres: float
    amps: float
    ohms_per_m: float
    drop: float
    """Lost along the strip, to the light farthest from its feed. [V]"""
    joints: int
    wires: int
    """Conductors of the strip."""
    unit: float
    """Cut unit. [mm]"""
    strip_width: float
    """[mm]"""
    feed: Feed
    lead: float
    """Length of the two wires from the source of power to the strip. [mm]"""
    wire: Wire
    """The thinnest that carries it and keeps the whole drop in bounds; the thickest where none does."""
    fuse: float
    """[A]"""
    numbers: tuple[Reckoning, ...] = ()

    @property
    def lead_drop(self) -> float:
        """Lost in the lead, there and back. [V]"""
        return self.wire.drop(self.lead, self.amps)

    @property
    def lost(self) -> float:
        """Share of the voltage that the farthest light lacks."""
        return (self.drop + self.lead_drop) / self.volts


@dataclass(frozen=True)
class Light:
    """All lit signs."""

    signs: tuple[SignLight, ...] = ()

    @property
    def numbers(self) -> tuple[Reckoning, ...]:
        """Figures of all of them."""
        return tuple(number for sign in self.signs for number in sign.numbers)


def light_of(cabinet: Cabinet, routes: Routes) -> Light:
    """Light of every sign that has its light board and a strip."""
    strip = sign_strip(cabinet.parts)
    if strip is None:
        return Light()
    loads = power_loads(cabinet)
    feeds = feeds_of(cabinet, loads)
    feeder = next((row.feeder for row in loads.rows if cabinet.parts[row.key].data is strip), "")
    found = [
        _lit(
            cabinet,
            placed,
            placed.part.data,
            strip,
            lead_to(cabinet, routes, placed.key, feeds, feeder),
        )
        for placed in cabinet.placed
        if isinstance(placed.part.data, Sign) and placed.wish.boxed
    ]
    return Light(tuple(sign for sign in found if sign is not None))


def lead_to(cabinet: Cabinet, routes: Routes, key: str, feeds: Feeds, feeder: str) -> float:
    """Length of a lead to a part: from where power comes in, by the switch, or from the converter before it. [mm]

    Args:
        cabinet: The cabinet.
        routes: Its ways.
        key: The placed part.
        feeds: Where power comes in.
        feeder: Name of the supply or converter that the part hangs on; "" where none is chosen yet.
    """
    wishes, step = cabinet.project.wiring, cut_step(cabinet)
    feed = feeds.by_name.get(feeder)
    entry = entry_of(cabinet) if not feeder else Entry(feeds.hub(feeder), "")
    if feed is not None:
        entry = Entry(feed.source, feed.switch)
    lead = laid_length(routes.way(entry.hub, key), wishes, step=step)
    if entry.switch and entry.source:
        lead += laid_length(routes.way(entry.source, entry.switch), wishes, step=step)
    return lead


def _lit(
    cabinet: Cabinet, placed: Placed, data: Sign, strip: Strip, lead: float
) -> SignLight | None:
    data = with_sheets(data, placed.wish, cabinet.project)
    box = light_box(data, strip)
    if not box.rows.rows:
        return None  # geometry has said so
    evenness, xs, ys, quarter = evenness_of(box)
    metres = box.rows.strip_length / 1000.0
    volts = strip.volts or 12.0
    amps = strip.watts_per_m * metres / volts
    ohms = strip_ohms(strip)
    wires = 3 if strip.addressable else 2
    drop = strip_drop(metres, amps, ohms, data.feed)
    system = wire_system(cabinet)
    fuse = fuse_for(amps)
    wire = wire_for(amps, lead, DROP * volts - drop, system, fuse=fuse) or WIRES[system][-1]
    made = SignLight(
        key=placed.key,
        label=placed.label,
        part=placed.part.key,
        box=box,
        evenness=evenness,
        xs=(*(-xs[:0:-1]).tolist(), *xs.tolist()),
        ys=(*(-ys[:0:-1]).tolist(), *ys.tolist()),
        field=_whole(quarter),
        volts=volts,
        metres=metres,
        amps=amps,
        ohms_per_m=ohms,
        drop=drop,
        joints=joint_count(len(box.rows.rows), wires, data.feed),
        wires=wires,
        unit=strip.cut_unit,
        strip_width=strip.width,
        feed=data.feed,
        lead=lead,
        wire=wire,
        fuse=fuse,
    )
    numbers = (*_even_numbers(made), *_strip_numbers(made, strip))
    return replace(made, numbers=tuple(n for n in numbers if math.isfinite(n.value)))


def _whole(quarter: Floats) -> tuple[tuple[float, ...], ...]:
    half = np.hstack([quarter[:, :0:-1], quarter])
    whole = np.vstack([half[:0:-1], half])
    return tuple(tuple(row) for row in whole.tolist())


def _even_numbers(sign: SignLight) -> list[Reckoning]:
    """Figures of the light itself."""
    box, even, key = sign.box, sign.evenness, f"light.{sign.key}"
    beside = [
        Term("light board behind the diffuser", box.distance),
        Term("from light to light", box.light_pitch),
        Term("rows", float(len(box.rows.rows)), unit=""),
        Term("from row to row", box.row_pitch),
        Term("lights", float(len(box.lights)), unit=""),
        Term("share thrown back by side walls", box.reflectance, unit=""),
    ]
    rule = "Every light is a small matt one: E = I × cos⁴ ÷ distance², summed over all lights and their images."
    formula = "from E = Σ I × distance² ÷ (distance² + r²)²"
    return [
        derived(
            f"{key}.{name}",
            label,
            value,
            formula,
            beside,
            unit="",
            rule=rule,
            source="iesna-handbook",
        )
        for name, label, value in (
            ("darkest", "darkest place of the sign, by its mean", even.least),
            ("brightest", "brightest place of the sign, by its mean", even.most),
            ("dots", "ripple from light to light, (most − least) ÷ (most + least)", even.dots),
            ("stripes", "ripple from row to row, (most − least) ÷ (most + least)", even.stripes),
        )
    ]


def _strip_numbers(sign: SignLight, strip: Strip) -> list[Reckoning]:
    """Figures of current and voltage."""
    key = f"light.{sign.key}"
    measured = strip.ohms_per_m is not None
    return [
        derived(
            f"{key}.current",
            "current of the strip, fully lit",
            sign.amps,
            "power per metre × length ÷ voltage",
            [
                Term("power per metre", strip.watts_per_m, unit="W/m"),
                Term("length", sign.metres, unit="m"),
                Term("voltage", sign.volts, unit="V"),
            ],
            unit="A",
        ),
        derived(
            f"{key}.drop",
            "voltage lost along the strip, to the light farthest from the feed",
            sign.drop,
            "resistance × length × current ÷ " + ("2" if sign.feed == "one end" else "8"),
            [
                Term("resistance of both rails", sign.ohms_per_m, unit="Ω/m"),
                Term("length", sign.metres, unit="m"),
                Term("current", sign.amps, key=f"{key}.current", unit="A"),
            ],
            unit="V",
            rule="Lights take their current one by one along the strip, so that its mean counts."
            + ("" if measured else " Copper taken thin; measure it on a length of strip."),
        ),
        derived(
            f"{key}.lead_drop",
            "voltage lost in the lead, there and back",
            sign.lead_drop,
            "2 × length × current × resistance",
            [
                Term("length", sign.lead / 1000, unit="m"),
                Term("current", sign.amps, key=f"{key}.current", unit="A"),
                Term(f"resistance of {sign.wire.name}", sign.wire.ohms_per_km / 1000, unit="Ω/m"),
            ],
            unit="V",
            rule="Ohm's law; the wire is the thinnest that carries its fuse and loses little enough.",
            source="iec-60228",
        ),
        derived(
            f"{key}.lost",
            "voltage that the farthest light lacks, by the rail's",
            100 * sign.lost,
            "100 × (strip + lead) ÷ voltage",
            [
                Term("strip", sign.drop, key=f"{key}.drop", unit="V"),
                Term("lead", sign.lead_drop, key=f"{key}.lead_drop", unit="V"),
                Term("voltage", sign.volts, unit="V"),
            ],
            unit="%",
            rule=f"{100 * DROP:g} % is asked.",
            source="Common practice",
        ),
        derived(
            f"{key}.fuse",
            "fuse of the strip",
            sign.fuse,
            "next size from (current × 1.25)",
            [Term("current", sign.amps, key=f"{key}.current", unit="A")],
            unit="A",
            rule="A fuse carries its current for good at three quarters of its size.",
            source="iso-8820-3",
        ),
        total(
            f"{key}.joints",
            "soldered wire ends on the strip",
            [
                Term("wires", float(sign.wires), 2.0 if sign.feed == "both ends" else 1.0, unit=""),
                Term(
                    "wires of a bridge",
                    float(sign.wires),
                    2.0 * (len(sign.box.rows.rows) - 1),
                    unit="",
                ),
            ],
            unit="",
            rule="The feed, and a bridge from the end of each row to the start of the next.",
        ),
    ]


__all__ = ["Light", "SignLight", "lead_to", "light_of"]
