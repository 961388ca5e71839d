"""What to buy for the wiring: wire by size and color, wire ends, fuses, cables."""

from __future__ import annotations

import math
from typing import Literal

from casewright.basics.customary import run_words, stick_words
from casewright.basics.units import Unit
from casewright.behavior.harness import COLORS, LEAD_SOCKET
from casewright.behavior.wires import WIRES
from casewright.behavior.wiring import Wiring
from casewright.design.wiring import WiringWishes
from casewright.planning.purchase import Purchase
from casewright.planning.sold_lengths import SPARE, sold

BASE, COPPER = 0.4, 0.8
"""Price of a metre beside that of 0.75 mm²: a part for making and insulation, and a part for each mm² of copper.

From memory of retail lists of single flexible wire, 0.5 to 6 mm²: within a tenth. Common practice.
"""


def wire_price(size: str, wishes: WiringWishes) -> float:
    """Price of a metre of wire: the maker's own for its size, else that of 0.75 mm² raised or lowered by its copper.

    Args:
        size: As sold, see `casewright.behavior.wires.Wire`.
        wishes: With the prices, in the project's currency.

    Source:
        Common practice, see `BASE`.

    Example:
        >>> wire_price("0.75 mm²", WiringWishes(price_per_m=0.3)), wire_price("1.5 mm²", WiringWishes(price_per_m=0.3))
        (0.3, 0.48)
    """
    if size in wishes.prices:
        return wishes.prices[size]
    area = next((w.area for wires in WIRES.values() for w in wires if w.name == size), 0.75)
    return round(wishes.price_per_m * (BASE + COPPER * area), 4)


def wire_purchases(
    wiring: Wiring, wishes: WiringWishes | None = None, *, unit: Unit = "mm"
) -> list[Purchase]:
    """Wire to the next whole metre, ends with a tenth to spare, a fuse with its holder for each circuit.

    In an inch project wire is counted by the foot.
    """
    wishes = wishes or WiringWishes()
    rows = []

    def row(
        label: str,
        count: float,
        price: float,
        note: str = "",
        by: Literal["piece", "m", "ft"] = "piece",
    ) -> None:
        rows.append(Purchase("wiring", label, label, count, by, price, note=note))

    for (size, color), metres in wiring.metres.items():
        bought = sold(metres * SPARE, unit)
        row(
            f"wire {size}, {COLORS[color]}",
            bought.quantity,
            wire_price(size, wishes) * bought.of_a_metre,
            f"{run_words(round(metres, 1), unit)} needed, a tenth spare",
            bought.unit,
        )
    for end, count in wiring.ends.items():
        if end.startswith(("receptacle", "ferrule")):
            row(end, math.ceil(count * SPARE), wishes.end_price, f"{count} needed, a tenth spare")
    if wiring.line_sockets:
        row(
            LEAD_SOCKET, len(wiring.line_sockets), wishes.end_price, "the supply's lead stays whole"
        )
    for amps, count in wiring.fuses.items():
        row(f"blade fuse {amps:g} A with its holder", count, wishes.fuse_price)
    for (what, length), count in wiring.cables.items():
        row(f"{what}, {stick_words(length, unit)}", count, wishes.cable_price)
    return rows


__all__ = ["BASE", "COPPER", "wire_price", "wire_purchases"]
