"""What to buy for the wiring: wire by size and color, wire ends, fuses, cables."""

from __future__ import annotations

import math
from typing import Literal

from casewright.behavior.harness import COLORS
from casewright.behavior.wiring import Wiring
from casewright.design.wiring import WiringWishes
from casewright.planning.purchase import Purchase

SPARE = 1.1
"""A tenth more than is cut. Common practice."""


def wire_purchases(wiring: Wiring, wishes: WiringWishes | None = None) -> list[Purchase]:
    """Wire to the next whole metre, ends with a tenth to spare, a fuse with its holder for each circuit."""
    wishes = wishes or WiringWishes()
    rows = []

    def row(
        label: str,
        count: float,
        price: float,
        note: str = "",
        unit: Literal["piece", "m"] = "piece",
    ) -> None:
        rows.append(Purchase("wiring", label, label, count, unit, price, note=note))

    for (size, color), metres in wiring.metres.items():
        note = f"{metres:.1f} m needed, a tenth spare"
        row(
            f"wire {size}, {COLORS[color]}",
            math.ceil(metres * SPARE),
            wishes.price_per_m,
            note,
            "m",
        )
    for end, count in wiring.ends.items():
        if end.startswith(("receptacle", "ferrule")):
            row(end, math.ceil(count * SPARE), wishes.end_price, f"{count} needed, a tenth spare")
    for amps, count in wiring.fuses.items():
        row(f"blade fuse {amps:g} A with its holder", count, wishes.fuse_price)
    for (what, length), count in wiring.cables.items():
        row(f"{what}, {length / 1000:g} m", count, wishes.cable_price)
    return rows


__all__ = ["SPARE", "wire_purchases"]
