"""What is done with a bought part of each kind. Common practice; the maker's own sheet goes first."""

from __future__ import annotations

from collections.abc import Mapping

from casewright.catalog.kinds import Port
from casewright.geometry.model import Placed


def is_electric(placed: Placed) -> bool:
    """Whether wires go to it."""
    data = placed.part.data
    return bool(data.volts or data.peak_w) or data.kind in ("button", "speaker", "sign", "lever")


def fit_order(placed: Placed, labels: Mapping[str, str]) -> str:
    """How a bought part of its kind is put in, as an order."""
    name = (
        placed.part.label if placed.part.data.kind in ("button", "fitting") else labels[placed.key]
    )
    if isinstance(placed.part.data, Port) and placed.part.data.shape == "slot":
        return f"Look into its mouth and run a bead of sealant round the duct's foot from inside: {name}."
    how = {
        "button": "Push each through from the show face and tighten its nut by hand: ",
        "lever": "Screw on from the back, shaft through the hole, washer and ball last: ",
        "dial": "Push the bushing through from the back, tighten the nut, press on the knob: ",
        "speaker": "Screw on from the back, wires up: ",
        "port": "Glue in, flush with the show face, and seal its rim from inside: ",
        "fan": "Screw on from the back, arrow of the air outward: ",
        "fitting": "Set in from the show face and fasten: ",
        "foot": "Screw on under the base: ",
        "display": "Lay in face down on a soft cloth against its rails, fasten bar to housing: ",
        "sign": "Lay in cover, print and diffuser, then frame and lights: ",
        "device": "Fasten, plugs toward their cables: ",
    }
    return f"{how.get(placed.part.data.kind, 'Fit: ')}{name}."


__all__ = ["fit_order", "is_electric"]
