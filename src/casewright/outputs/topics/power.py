"""Sheet: what it draws, what must feed it, and how it is wired."""

from __future__ import annotations

import math
from dataclasses import replace

from casewright.basics.wording import listed
from casewright.behavior.loads import MARGIN
from casewright.behavior.power import Power, Rail
from casewright.behavior.whole import Behavior
from casewright.geometry.model import Cabinet
from casewright.outputs.topics.sheet import Rows, TopicSheet
from casewright.outputs.topics.wiring import wiring_sheet


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """Loads and rails, then the wiring; nothing where nothing is electric."""
    power, wiring = behavior.power, wiring_sheet(behavior)
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
    others = {supply.volts for supply in loads.supplies} - {loads.main_volts}
    notes = [
        "Peaks are summed as if all came at once. Where two never do, a smaller supply may be enough.",
        "Mains stays in bought, enclosed, certified units with their own fuse and earth. Fixed mains work, and any "
        "inlet in the cabinet's wall, is a licensed electrician's: earth to all metal that can be touched, a fuse at "
        "the inlet, strain relief on the cable. Local codes go before this.",
    ]
    apart = [row for row in loads.rows if row.volts and row.volts in others]
    if apart:
        those = listed(f"{row.label} at {row.volts:g} V" for row in apart)
        notes.append(
            f"Not in the wire list, as each hangs on a supply of its own: {those}. Lead that supply's own lead in by a "
            "socket or a strain relief of its own, with a plug that fits no other voltage."
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
        f"{converter.label} gives {converter.watts:.1f} W and {loads.behind(converter.label):.1f} W hang on it"
        for converter in loads.converters
        if 0 < converter.watts < loads.behind(converter.label) - 1e-6
    ]
    bare = [f"{volts:g} V" for volts in loads.unfed if volts]
    if bare:
        short.append(f"nothing makes {listed(bare)}")
        return f"{need}: {words}, with room to spare; but {listed(short)}."
    if short:
        return f"{need}: {words}, with room to spare; but {listed(short)}: too little."
    return f"{need}: {words}, with room to spare."


def _supplied(power: Power) -> tuple[str, bool]:
    """What hangs on each voltage of the supplies, as shares of what they give, and whether all leave the margin."""
    loads = power.loads
    voltages = sorted({supply.volts for supply in loads.supplies}, reverse=True)
    parts, enough = [], True
    for volts in voltages:
        gives = math.fsum(supply.watts for supply in loads.supplies if supply.volts == volts)
        drawn = loads.drawn(volts)
        at = f" at {volts:g} V" if len(voltages) > 1 else ""
        if not gives:
            parts.append(f"what the supply gives{at} is not known")
            continue
        words = f"{100 * drawn / gives:.0f} % of the {gives:.0f} W that its supply gives{at}"
        if gives + 1e-6 < drawn * MARGIN:
            enough = False
            words += f", which leaves too little; choose one of {drawn * MARGIN:.0f} W"
        parts.append(words)
    return "; ".join(parts), enough


def _loads(power: Power) -> Rows:
    rows = [
        (
            row.label,
            f"{row.count:g}",
            f"{row.volts:g} V" if row.volts else "?",
            row.through,
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


def _rails(power: Power) -> Rows:
    heads = (
        "rail",
        "fed by",
        "most, A",
        f"with {100 * (MARGIN - 1):.0f} % to spare, A",
        "gives, A",
    )
    rows = tuple(
        (
            f"{rail.volts:g} V",
            rail.source or "nothing yet",
            f"{rail.amps:.2f}",
            _choice(rail),
            f"{rail.gives_w / rail.volts:.1f}" if rail.gives_w else "?",
        )
        for rail in power.rails
    )
    return Rows("Rails and the supply to choose", heads, rows, (2, 3, 4))


def _choice(rail: Rail) -> str:
    if not math.isfinite(rail.choice):
        return "split it"
    return f"{rail.amps * MARGIN:.2f}, sold as {rail.choice:g}"


__all__ = ["sheet"]
