"""Sheet: what it draws, what must feed it, and how it is wired."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

from casewright.basics.wording import listed
from casewright.behavior.loads import MARGIN
from casewright.behavior.power import Power, Rail
from casewright.behavior.whole import Behavior
from casewright.catalog.kinds import Device, Sign
from casewright.geometry.model import Cabinet
from casewright.geometry.sign import sign_strip
from casewright.outputs.topics.sheet import Rows, TopicSheet
from casewright.outputs.topics.wiring import wiring_sheet


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """Loads and rails, then the wiring; nothing where nothing is electric."""
    power, wiring = behavior.power, wiring_sheet(behavior, cabinet.project.unit)
    loads = power.loads
    if not loads.rows and not loads.supplies:
        if wiring is None:
            return None
        return replace(
            wiring,
            key="power",
            title="Power and wiring",
            question="How is it wired?",
        )
    tables = [_loads(power), _rails(power)]
    notes = [
        "Peaks are summed as if all came at once. Where two never do, a smaller supply may be enough.",
        "Mains stays in bought, enclosed, certified units with their own fuse and earth. Fixed mains work, and any "
        "inlet in the cabinet's wall, is a licensed electrician's: earth to all metal that can be touched, a fuse at "
        "the inlet, strain relief on the cable. Local codes go before this.",
    ]
    placed = {placed.part.key for placed in cabinet.placed}
    loose = [
        row for row in loads.rows if row.key not in placed and not _is_lighting(cabinet, row.key)
    ]
    if loose:
        notes.append(
            f"Not in the wire list, as they have no place in the cabinet yet: {listed(row.label for row in loose)}. "
            "Place them, and their wires follow."
        )
    batteries = [rail for rail in power.rails if _is_battery(cabinet, power, rail)]
    for rail in batteries:
        if rail.runs_h:
            notes.append(f"{rail.source} lasts about {rail.runs_h:.1f} hours at the usual draw.")
        else:
            notes.append(f"How long {rail.source} lasts is not known: enter its watt_hours.")
    if batteries:
        notes.append(
            "A battery feeds a short circuit with all it has: buy one with its own protection, put the fuse at its "
            "plus, keep it away from screws and heat, and charge it by its own charger, never unattended."
        )
    if loads.mains:
        those = listed(row.label for row in loads.mains)
        notes.append(
            f"Not on the supply: {those}, with a mains supply inside; its mains lead goes to an outlet outside the "
            "cabinet, or to what a licensed electrician fits."
        )
    if loads.unknown:
        notes.append(f"Power not known yet: {', '.join(loads.unknown)}. Measure it first.")
    return TopicSheet(
        key="power",
        title="Power and wiring",
        question="Does the supply carry it, and how is it wired?",
        answer=_answer(power),
        pictures=wiring.pictures if wiring else (),
        tables=(*tables, *(wiring.tables if wiring else ())),
        numbers=tuple(number.key for number in (*power.numbers, *behavior.wiring.numbers)),
        notes=(*notes, *(wiring.notes if wiring else ())),
        hazards=("mains", "low voltage"),
    )


def _answer(power: Power) -> str:
    loads = power.loads
    need = f"It draws {loads.typical_w:.0f} W usually and {loads.peak_w:.0f} W at most"
    if not loads.supplies:
        return f"{need}; no supply is chosen yet: it should give {loads.needed_w:.0f} W."
    if loads.supply_w <= 0:
        return f"{need}; what the supply gives is not known: {loads.needed_w:.0f} W are needed."
    words, enough = _supplied(power)
    if not enough:
        return f"{need}: {words}."
    short = [
        f"{converter.label} gives {converter.watts:.1f} W and {loads.hung(converter.name):.1f} W hang on it"
        for converter in loads.converters
        if converter in loads.short
    ]
    bare = [f"{volts:g} V" for volts in loads.unfed if volts]
    if bare:
        short.append(f"nothing makes {listed(bare)}")
        return f"{need}: {words}, with room to spare; but {listed(short)}."
    if short:
        return f"{need}: {words}, with room to spare; but {listed(short)}: too little."
    return f"{need}: {words}, with room to spare."


def _supplied(power: Power) -> tuple[str, bool]:
    """What hangs on each supply, as a share of what it gives, and whether all leave the margin."""
    loads = power.loads
    voltages = Counter(supply.volts for supply in loads.supplies)
    parts, enough = [], True
    for supply in sorted(loads.supplies, key=lambda supply: -supply.volts):
        gives, drawn = supply.watts, loads.hung(supply.name)
        at = f" at {supply.volts:g} V" if len(voltages) > 1 else ""
        its = supply.label if voltages[supply.volts] > 1 else "its supply"
        if not gives:
            parts.append(f"what the supply gives{at} is not known")
            continue
        words = f"{100 * drawn / gives:.0f} % of the {gives:.0f} W that {its} gives{at}"
        if gives + 1e-6 < drawn * MARGIN:
            enough = False
            words += f", which leaves too little; choose one of {drawn * MARGIN:.0f} W"
        parts.append(words)
    return "; ".join(parts), enough


def _is_battery(cabinet: Cabinet, power: Power, rail: Rail) -> bool:
    key = next((made.key for made in power.loads.sources if made.name == rail.name), "")
    data = cabinet.parts[key].data if key else None
    return isinstance(data, Device) and data.role == "battery"


def _is_lighting(cabinet: Cabinet, key: str) -> bool:
    """Whether a strip lights signs, and is wired with them."""
    data = cabinet.parts[key].data
    return data is sign_strip(cabinet.parts) and any(
        isinstance(placed.part.data, Sign) for placed in cabinet.placed
    )


def _loads(power: Power) -> Rows:
    rows = [
        (
            row.label,
            f"{row.count:g}",
            f"{row.volts:g} V" if row.volts else "?",
            row.through or _supply(power, row.feeder),
            f"{row.typical_w:.1f}",
            f"{row.peak_w:.1f}",
            f"{row.peak_w / row.volts:.2f}" if row.volts else "",
        )
        for row in power.loads.rows
    ]
    rows += [
        (
            row.label,
            f"{row.count:g}",
            "mains",
            "its own",
            f"{row.typical_w:.1f}",
            f"{row.peak_w:.1f}",
            "",
        )
        for row in power.loads.mains
    ]
    heads = ("load", "", "rail", "through", "usual, W", "most, W", "most, A")
    return Rows("What draws", heads, tuple(rows), (1, 2, 4, 5, 6))


def _supply(power: Power, name: str) -> str:
    """Label of the supply that a load hangs on, where there are several; the only one goes without saying."""
    supplies = power.loads.supplies
    return next((s.label for s in supplies if s.name == name and len(supplies) > 1), "")


def _rails(power: Power) -> Rows:
    heads = (
        "rail",
        "fed by",
        "usual, A",
        "most, A",
        f"with {100 * (MARGIN - 1):.0f} % to spare, A",
        "gives, A",
        "used",
    )
    rows = tuple(
        (
            f"{rail.volts:g} V",
            rail.source or "nothing yet",
            f"{rail.typical_w / rail.volts:.2f}",
            f"{rail.amps:.2f}",
            _choice(rail),
            f"{rail.gives_w / rail.volts:.1f}" if rail.gives_w else "?",
            f"{100 * rail.peak_w / rail.gives_w:.0f} %" if rail.gives_w else "",
        )
        for rail in power.rails
    )
    return Rows("Rails and the supply to choose", heads, rows, (2, 3, 4, 5, 6))


def _choice(rail: Rail) -> str:
    if not math.isfinite(rail.choice):
        return "split it"
    return f"{rail.amps * MARGIN:.2f}, sold as {rail.choice:g}"


__all__ = ["sheet"]
