"""How the maker wires it: lengths to spare, sizes of wire, and wires of the maker's own."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from casewright.basics.fields import (
    Amps,
    Key,
    Length,
    Money,
    Name,
    PositiveLength,
    Share,
    Volts,
    WireSize,
)
from casewright.design.base import Section


class OwnWire(Section):
    """One run of wire between two placed parts; it takes the place of all that casewright would lay between them."""

    start: Key = Field(description="Placed part where it starts.")
    end: Key = Field(description="Placed part where it ends.")
    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    cores: Annotated[int, Field(ge=0, le=40)] = Field(
        2, description="Wires side by side; 0: no wire runs there."
    )
    volts: Volts | None = Field(None, description="Rail it carries; none for signals.")
    amps: Amps = Field(0.0, description="Highest steady current.")
    length: PositiveLength | None = Field(
        None,
        description="Length as laid; worked out from the way through the cabinet if not given.",
    )
    bought: bool = Field(False, description="A bought cable with its own plugs.")


class WiringWishes(Section):
    """Lengths to spare and wires of the maker's own."""

    sizes: Literal["mm2", "awg"] | None = Field(
        None, description="How wire is sold there; AWG in inch projects, else mm², if not given."
    )
    slack: Share = Field(0.1, description="Added to every way, for bends and bundles.")
    ends: Length = Field(
        80.0, description="Added at each end, for stripping, crimping and reaching the terminal."
    )
    service_loop: Length = Field(
        250.0,
        description="Added where a panel comes off with its parts, so that it can be laid down.",
    )
    price_per_m: Money = Field(
        0.0,
        description="Price of one metre of wire of 0.75 mm²; other sizes follow by their copper.",
    )
    prices: dict[WireSize, Money] = Field(
        default_factory=dict,
        description="Price of one metre by size, where yours differs from what follows from price_per_m.",
    )
    end_price: Money = Field(0.0, description="Price of one receptacle or ferrule.")
    fuse_price: Money = Field(0.0, description="Price of one fuse with its holder.")
    cable_price: Money = Field(0.0, description="Price of one bought cable, the mean of all.")
    wires: tuple[OwnWire, ...] = Field(
        (), description="Wires of your own, in place of those worked out."
    )


__all__ = ["OwnWire", "WiringWishes"]
