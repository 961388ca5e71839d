"""What to buy for the wiring: wire by size and color, wire ends, fuses, cables."""

from __future__ import annotations

import math
from typing import Literal

from casewright.behavior.harness import COLORS
from casewright.behavior.wiring import Wiring
from casewright.planning.purchase import Purchase

SPARE = 1.1
"""A tenth more than is cut. Common practice."""


def wire_purchases(wiring: Wiring) -> list[Purchase]:
    """Wire to the next whole metre, ends with a tenth to spare, a fuse with its holder for each circuit."""
    rows = []

    def row(
        label: str, count: float, note: str = "", unit: Literal["piece", "m"] = "piece"
    ) -> None:
        rows.append(Purchase("fixings", label, label, count, unit, 0.0, note=note))

    for (size, color), metres in wiring.metres.items():
        note = f"{metres:.1f} m needed, a tenth spare"
        row(f"wire {size}, {COLORS[color]}", math.ceil(metres * SPARE), note, "m")
    for end, count in wiring.ends.items():
        if end.startswith(("receptacle", "ferrule")):
            row(end, math.ceil(count * SPARE), f"{count} needed, a tenth spare")
    for amps, count in wiring.fuses.items():
        row(f"blade fuse {amps:g} A with its holder", count)
    for (what, length), count in wiring.cables.items():
        row(f"{what}, {length / 1000:g} m", count)
    return rows


__all__ = ["SPARE", "wire_purchases"]
