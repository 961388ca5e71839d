"""What the stock offers a project: pieces in place of sheets to buy, what need not be bought, saw and bits."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from casewright.basics.units import TOUCHING
from casewright.design.finish import Coat
from casewright.design.materials import Material, StockSheet
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.geometry.model import Cabinet
from casewright.planning.blanks import Cutting, blanks_of, plan_cutting
from casewright.stock.layout_taking import sheets_by_key
from casewright.stock.matching import SAME_THICKNESS, Match, matches_of
from casewright.stock.records import (
    HardwareRecord,
    Held,
    LengthRecord,
    PaintRecord,
    SheetRecord,
    ToolRecord,
)

What = Literal["boards", "have", "tools"]
WHATS: tuple[What, ...] = ("boards", "have", "tools")

MOST_TRIED = 40
"""Pieces of one material that are tried, the largest first; further ones would only slow the search."""
_ROUNDS = 5


@dataclass(frozen=True)
class BoardOffer:
    """What the stock offers for one material."""

    material: str
    label: str
    sheets: tuple[Mapping[str, Any], ...]
    """As the project file would write them, each with its mark."""
    matches: tuple[Match, ...]
    """The pieces of them."""
    gone: tuple[str, ...]
    """Marks in the project file of pieces that are not to be had any more, or are of no use."""
    bought: tuple[int, int]
    """Sheets to buy without the stock, and with it."""
    price: tuple[float, float]
    """What they cost."""
    others: tuple[Match, ...] = ()
    """Pieces of the kind that are not offered, each with why; those that fit and save nothing say so."""

    @property
    def is_news(self) -> bool:
        """Whether the project file would change."""
        return bool(self.gone) or bool(self.sheets)


@dataclass(frozen=True)
class ValueOffer:
    """A value of the project that the stock knows better."""

    what: What
    path: tuple[str | int, ...]
    label: str
    now: Any
    then: Any
    """As the project file would write it."""
    marks: tuple[str, ...]


@dataclass(frozen=True)
class Offer:
    """All that the stock offers a project."""

    boards: tuple[BoardOffer, ...]
    values: tuple[ValueOffer, ...]


def offer_of(
    cabinet: Cabinet,
    stock: Sequence[Held],
    *,
    accepted: Collection[str] = (),
    again: Collection[str] = (),
) -> Offer:
    """Return what the stock offers a project.

    Args:
        cabinet: The project's.
        stock: What is there.
        accepted: Marks of pieces that layouts of this project have taken already: they stay in it.
        again: Keys of pieces that are made but have to be made anew.
    """
    boards = _boards(cabinet, stock, accepted, again)
    project = cabinet.project
    values = (
        *_hardware(project, cabinet.parts, stock),
        *_screws(cabinet, stock),
        *_battens(project, stock),
        *_paint(project, stock),
        *_tools(project, stock),
    )
    return Offer(boards, values)


# ---- boards ----


def _boards(
    cabinet: Cabinet, stock: Sequence[Held], accepted: Collection[str], again: Collection[str]
) -> tuple[BoardOffer, ...]:
    project = cabinet.project
    kept = {
        key: tuple(s for s in material.sheets if s.mark is None or s.mark in accepted)
        for key, material in project.materials.items()
    }
    matched: dict[str, tuple[Match, ...]] = {}
    tried: dict[str, tuple[Held, ...]] = {}
    for key, material in project.materials.items():
        if not blanks_of(cabinet, key):
            matched[key] = tried[key] = ()
            continue
        matched[key] = matches_of(material, stock)
        elsewhere = {held.mark for found in tried.values() for held in found}
        fitting = [m.held for m in matched[key] if not m.why_not and m.held.mark not in elsewhere]
        tried[key] = tuple(fitting[:MOST_TRIED])
    plain = _planned(cabinet, kept, {}, again)
    counts: dict[str, dict[str, int]] = {
        key: {held.mark: held.count for held in found} for key, found in tried.items()
    }
    for _ in range(_ROUNDS):
        given = {
            key: tuple(
                _sheet(held, counts[key][held.mark]) for held in found if counts[key].get(held.mark)
            )
            for key, found in tried.items()
        }
        planned = _planned(cabinet, kept, given, again)
        used = _used(cabinet, planned, kept, given)
        if used == counts:
            break
        counts = used
    offers = []
    for key, material in project.materials.items():
        taken = [m for m in matched[key] if not m.why_not and counts[key].get(m.held.mark)]
        new = tuple(_written(m.held, counts[key][m.held.mark]) for m in taken)
        marks = {m.held.mark for m in taken}
        gone = tuple(
            s.mark
            for s in material.sheets
            if s.mark and s.mark not in accepted and s.mark not in marks
        )
        if not matched[key] and not gone:
            continue
        bought = (_bought(plain, key), _bought(planned, key))
        offers.append(
            BoardOffer(
                key,
                material.label or key,
                new,
                tuple(taken),
                gone,
                (bought[0][0], bought[1][0]),
                (bought[0][1], bought[1][1]),
                tuple(
                    m if m.why_not else replace(m, why_not="it saves no sheet here")
                    for m in matched[key]
                    if m not in taken
                ),
            )
        )
    return tuple(offers)


def _with_sheets(
    cabinet: Cabinet,
    kept: Mapping[str, tuple[StockSheet, ...]],
    given: Mapping[str, tuple[StockSheet, ...]],
) -> Project:
    materials = {
        key: material.model_copy(update={"sheets": (*kept[key], *given.get(key, ()))})
        for key, material in cabinet.project.materials.items()
    }
    return cabinet.project.model_copy(update={"materials": materials})


def _planned(
    cabinet: Cabinet,
    kept: Mapping[str, tuple[StockSheet, ...]],
    given: Mapping[str, tuple[StockSheet, ...]],
    again: Collection[str],
) -> Cutting:
    return plan_cutting(replace(cabinet, project=_with_sheets(cabinet, kept, given)), again=again)


def _used(
    cabinet: Cabinet,
    cutting: Cutting,
    kept: Mapping[str, tuple[StockSheet, ...]],
    given: Mapping[str, tuple[StockSheet, ...]],
) -> dict[str, dict[str, int]]:
    """How many of each mark the plans use."""
    project = _with_sheets(cabinet, kept, given)
    used: dict[str, dict[str, int]] = {key: {} for key in project.materials}
    for plan in cutting.plans:
        material: Material = project.materials[plan.material]
        sheets = sheets_by_key(project, material)
        offered = {sheet.mark for sheet in given.get(plan.material, ())}
        for layout in plan.plan.sheets:
            mark = sheets[layout.stock].mark if layout.stock in sheets else None
            if mark in offered and mark is not None:
                counts = used[plan.material]
                counts[mark] = counts.get(mark, 0) + 1
    return used


def _bought(cutting: Cutting, key: str) -> tuple[int, float]:
    plan = next((plan.plan for plan in cutting.plans if plan.material == key), None)
    return (plan.bought, plan.price) if plan else (0, 0.0)


def _written(held: Held, count: int) -> Mapping[str, Any]:
    """A piece of the stock as a sheet of the project file."""
    written: dict[str, Any] = {
        "length": held.written["length"],
        "width": held.written["width"],
        "quantity": count,
        "offcut": True,
        "mark": held.mark,
    }
    if isinstance(held.record, SheetRecord):
        written["edges"] = "factory"
    if held.record.price:
        written["price"] = held.record.price
    return written


def _sheet(held: Held, count: int) -> StockSheet:
    return StockSheet.model_validate(dict(_written(held, count)))


# ---- what need not be bought ----


def _hardware(
    project: Project, parts: Mapping[str, KnownPart], stock: Sequence[Held]
) -> list[ValueOffer]:
    offers = []
    for key, part in project.parts.items():
        label = parts[key].label.casefold() if key in parts else part.label.casefold()
        found, amount = [], 0.0
        for held in stock:
            record = held.record
            if not isinstance(record, HardwareRecord | LengthRecord) or not held.count:
                continue
            same_type = record.type is not None and record.type == part.type
            if not same_type and record.label.casefold() != label:
                continue
            found.append(held.mark)
            each = record.length / 1000 if isinstance(record, LengthRecord) else 1.0
            amount += held.count * each
        then = min(10_000, math.floor(amount + TOUCHING))
        if found and then != part.have:
            label_ = parts[key].label if key in parts else key
            offers.append(
                ValueOffer("have", ("parts", key, "have"), label_, part.have, then, tuple(found))
            )
    return offers


def _screws(cabinet: Cabinet, stock: Sequence[Held]) -> list[ValueOffer]:
    """Screws by their name in the shopping list, such as 4.0 × 30: the label is that name, or ends in it."""
    names = {fastening.name for fastening in cabinet.fastenings}
    names |= {name for fastening in cabinet.fastenings for name, _ in fastening.also}
    offers = []
    for name in sorted(names - {""}):
        found = [
            held
            for held in stock
            if isinstance(held.record, HardwareRecord)
            and held.count
            and f" {held.record.label}".casefold().endswith(f" {name}".casefold())
        ]
        now = cabinet.project.fixings.have.get(name, 0)
        then = min(10_000, sum(held.count for held in found))
        if found and then != now:
            marks = tuple(held.mark for held in found)
            path = ("fixings", "have", name)
            offers.append(ValueOffer("have", path, f"screws {name}", now, then, marks))
    return offers


def _battens(project: Project, stock: Sequence[Held]) -> list[ValueOffer]:
    """Lengths of the batten's own width and height, in meters, rounded down to a tenth."""
    batten = project.batten
    section = sorted((batten.width, batten.height))
    found, meters = [], 0.0
    for held in stock:
        record = held.record
        if not isinstance(record, LengthRecord) or record.width is None or record.height is None:
            continue
        own = sorted((record.width, record.height))
        if max(abs(a - b) for a, b in zip(section, own, strict=True)) <= SAME_THICKNESS:
            found.append(held.mark)
            meters += held.count * record.length / 1000
    then = math.floor(min(meters, 10_000) * 10 + TOUCHING) / 10
    if not found or abs(then - batten.have_m) < TOUCHING:
        return []
    label = f"meters of {batten.label or 'batten'}"
    return [ValueOffer("have", ("batten", "have_m"), label, batten.have_m, then, tuple(found))]


def _paint(project: Project, stock: Sequence[Held]) -> list[ValueOffer]:
    offers = []
    for name in type(project.finish).model_fields:
        coat = getattr(project.finish, name)
        if not isinstance(coat, Coat):
            continue
        found = [
            held
            for held in stock
            if isinstance(held.record, PaintRecord)
            and held.count
            and held.record.coat == coat.kind
            and (not coat.label or held.record.label.casefold() == coat.label.casefold())
            and (held.record.can is None or abs(held.record.can - coat.can) < 0.01)
        ]
        then = sum(held.count for held in found)
        if found and then != coat.have:
            marks = tuple(held.mark for held in found)
            offers.append(
                ValueOffer("have", ("finish", name, "have"), coat.name, coat.have, then, marks)
            )
    return offers


# ---- tools ----


def _tools(project: Project, stock: Sequence[Held]) -> list[ValueOffer]:
    tools = [held for held in stock if isinstance(held.record, ToolRecord) and held.count]
    offers = []
    saw = next((one for one in tools if _tool(one).tool == "saw"), None)
    if saw is not None:
        record = _tool(saw)
        if record.kerf is not None and abs(record.kerf - project.shop.kerf) > TOUCHING:
            offers.append(
                ValueOffer(
                    "tools",
                    ("shop", "kerf"),
                    "the saw's kerf",
                    project.shop.kerf,
                    saw.written["kerf"],
                    (saw.mark,),
                )
            )
        if record.tilt_most is not None and abs(record.tilt_most - project.shop.tilt_most) > 0.01:
            offers.append(
                ValueOffer(
                    "tools",
                    ("shop", "tilt_most"),
                    "most the saw's blade tilts",
                    project.shop.tilt_most,
                    record.tilt_most,
                    (saw.mark,),
                )
            )
    return [*offers, *_bits(project, tools)]


def _tool(held: Held) -> ToolRecord:
    assert isinstance(held.record, ToolRecord)
    return held.record


def _bits(project: Project, tools: Sequence[Held]) -> list[ValueOffer]:
    """Bits that the project does not know yet, one line for each kind and cutting length."""
    known: list[tuple[str, float]] = [
        (bit.kind, size) for bit in project.shop.bits for size in bit.sizes
    ]
    lines: dict[tuple[str, str], list[Held]] = {}
    for held in tools:
        record = _tool(held)
        if record.tool == "saw" or record.diameter is None:
            continue
        if any(k == record.tool and abs(s - record.diameter) < 0.05 for k, s in known):
            continue
        known.append((record.tool, record.diameter))
        lines.setdefault((record.tool, str(held.written.get("cutting_length", ""))), []).append(
            held
        )
    offers = []
    for number, ((kind, length), found) in enumerate(lines.items(), len(project.shop.bits)):
        then: dict[str, Any] = {"kind": kind, "sizes": [h.written["diameter"] for h in found]}
        if length:
            then["length"] = length
        marks = tuple(held.mark for held in found)
        offers.append(
            ValueOffer("tools", ("shop", "bits", number), f"{kind} bits", None, then, marks)
        )
    return offers


__all__ = ["MOST_TRIED", "WHATS", "BoardOffer", "Offer", "ValueOffer", "What", "offer_of"]
