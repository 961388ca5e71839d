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
    notes = [
        "Peaks are summed as if all came at once. Where two never do, a smaller supply may be enough.",
        "Mains stays in bought, enclosed, certified units with their own fuse and earth. Fixed mains work, and any "
        "inlet in the cabinet's wall, is a licensed electrician's: earth to all metal that can be touched, a fuse at "
        "the inlet, strain relief on the cable. Local codes go before this.",
    ]
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
    share = 100 * loads.peak_w / loads.supply_w
    words = f"{need}: {share:.0f} % of the {loads.supply_w:.0f} W that its supply gives"
    if loads.supply_w + 1e-6 < loads.needed_w:
        return f"{words}, which leaves too little; choose one of {loads.needed_w:.0f} W."
    over = [
        f"{converter.label} gives {converter.watts:.1f} W and {loads.behind(converter.label):.1f} W hang on it"
        for converter in loads.converters
        if 0 < converter.watts < loads.behind(converter.label) - 1e-6
    ]
    if over:
        return f"{words}, with room to spare; but {listed(over)}: too little."
    return f"{words}, with room to spare."


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
