"""Which parts are joined by what: power from the supply, ground in a chain, signals, speakers, cables."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from casewright.behavior.harness import GROUND, Core, RunKind, rail_color
from casewright.behavior.laying import Entry, entry_of
from casewright.behavior.light import Light
from casewright.behavior.loads import Loads
from casewright.behavior.routes import Routes
from casewright.behavior.wires import fuse_for
from casewright.catalog.kinds import (
    Device,
    Dial,
    Display,
    Fitting,
    Lever,
    PushButton,
    Speaker,
    Strip,
    Trackball,
)
from casewright.geometry.model import Cabinet, Placed

_CONTROLS = (PushButton, Lever, Dial, Trackball)
_LEVER = (("WH", "up"), ("GY", "down"), ("VT", "left"), ("BN", "right"))


@dataclass(frozen=True)
class Link:
    """One thing to join, before it is sized."""

    kind: RunKind
    start: str
    end: str
    cores: tuple[Core, ...] = ()
    volts: float = 0.0
    amps: float = 0.0
    fuse: float = 0.0
    carries: float = 0.0
    """Current that its wire must carry at least, where the source limits it. [A]"""
    main: bool = False
    """Between where power comes in and the fuses."""
    most_ohms: float = 0.0
    """Most resistance there and back, for a loudspeaker; 0: none asked."""
    what: str = ""


@dataclass(frozen=True)
class Plan:
    """What the links are made from."""

    cabinet: Cabinet
    routes: Routes
    loads: Loads
    light: Light
    entry: Entry = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "entry", entry_of(self.cabinet))

    @cached_property
    def by_role(self) -> Mapping[str, tuple[Placed, ...]]:
        """Placed devices and fittings by role."""
        found: dict[str, list[Placed]] = {}
        for placed in self.cabinet.placed:
            data = placed.part.data
            if isinstance(data, Device | Fitting):
                found.setdefault(data.role, []).append(placed)
        return {role: tuple(those) for role, those in found.items()}

    def first(self, role: str) -> str:
        """Key of the first placed part of a role; "" if there is none."""
        return next((placed.key for placed in self.by_role.get(role, ())), "")

    def placed_of(self, *kinds: type) -> list[Placed]:
        """Placed parts of some kinds."""
        return [placed for placed in self.cabinet.placed if isinstance(placed.part.data, kinds)]

    @property
    def volts(self) -> float:
        """Of the supply that most hangs on; 0 where that is not known."""
        return self.loads.main_volts


def links_of(plan: Plan) -> tuple[Link, ...]:
    """All links of a cabinet, power first."""
    return (
        *_main(plan),
        *_branches(plan),
        *_lamps(plan),
        *_signals(plan),
        *_sound(plan),
        *_cables(plan),
    )


def _pair(volts: float) -> tuple[Core, ...]:
    return (Core(rail_color(volts), f"+{volts:g} V"), Core(GROUND, "ground"))


def _main(plan: Plan) -> Iterator[Link]:
    """From where power comes in to the switch, with the main fuse."""
    entry, volts = plan.entry, plan.volts
    if entry.source and entry.switch and volts and plan.loads.rows:
        amps = plan.loads.drawn(volts) / volts
        yield Link(
            "power",
            entry.source,
            entry.switch,
            _pair(volts),
            volts,
            amps,
            fuse_for(amps),
            main=True,
            what="main lead",
        )


def _branches(plan: Plan) -> Iterator[Link]:
    """From the fuses to every load of the supply's rail, and from each converter to those behind it."""
    if not plan.volts:
        return
    hub, computer = plan.entry.hub, plan.first("computer")
    converters = {placed.part.label: placed.key for placed in plan.by_role.get("converter", ())}
    for converter in plan.loads.converters:
        amps = plan.loads.behind(converter.label) / _efficiency(plan, converter.key) / plan.volts
        yield Link(
            "power",
            hub,
            converters.get(converter.label, ""),
            _pair(plan.volts),
            plan.volts,
            amps,
            fuse_for(amps),
        )
    for row in plan.loads.rows:
        data = plan.cabinet.parts[row.key].data
        if isinstance(data, PushButton) or not row.volts:
            continue
        amps = row.peak_w / row.volts
        if isinstance(data, Strip):
            for sign in plan.light.signs:
                yield Link(
                    "power",
                    hub,
                    sign.key,
                    _pair(row.volts),
                    row.volts,
                    sign.amps,
                    sign.fuse,
                )
            continue
        mine = [p for p in plan.cabinet.placed if p.part.key == row.key]
        for placed in mine:
            each = amps / len(mine)
            by_usb = isinstance(data, Device) and data.role == "controller" and computer
            if row.through and not by_usb:
                start = converters.get(row.through, "")
                limit = next(
                    (
                        c.watts / c.volts
                        for c in plan.loads.converters
                        if c.label == row.through and c.volts
                    ),
                    0.0,
                )
                yield Link(
                    "power",
                    start,
                    placed.key,
                    _pair(row.volts),
                    row.volts,
                    each,
                    carries=max(limit, each),
                )
            elif not row.through and row.volts == plan.volts:
                yield Link(
                    "power",
                    hub,
                    placed.key,
                    _pair(row.volts),
                    row.volts,
                    each,
                    fuse_for(each),
                )


def _efficiency(plan: Plan, key: str) -> float:
    data = plan.cabinet.parts[key].data
    return data.efficiency if isinstance(data, Device) else 1.0


def _lamps(plan: Plan) -> Iterator[Link]:
    """Plus and ground from lamp to lamp of the lit buttons, one chain for each voltage."""
    lit: dict[float, list[Placed]] = {}
    for placed in plan.placed_of(PushButton):
        data = placed.part.data
        if isinstance(data, PushButton) and data.lamp_volts and data.lamp_amps:
            lit.setdefault(data.lamp_volts, []).append(placed)
    for volts, those in lit.items():
        amps = math.fsum(
            p.part.data.lamp_amps for p in those if isinstance(p.part.data, PushButton)
        )
        start = plan.entry.hub if volts == plan.volts else plan.first("converter")
        fuse = fuse_for(amps) if volts == plan.volts else 0.0
        here = start or those[0].key
        for key in plan.routes.chain(here, [p.key for p in those]):
            if key != here:
                yield Link(
                    "power",
                    here,
                    key,
                    _pair(volts),
                    volts,
                    amps,
                    fuse,
                    amps,
                    what="lamps",
                )
            here = key


def _signals(plan: Plan) -> Iterator[Link]:
    """Each control to its nearest controller, and the ground from control to control."""
    boards = [placed.key for placed in plan.by_role.get("controller", ())]
    if not boards:
        return
    groups: dict[str, list[str]] = {}
    for placed in plan.placed_of(*_CONTROLS):
        data = placed.part.data
        board = plan.routes.nearest(placed.key, boards) or boards[0]
        if isinstance(data, Trackball):
            yield Link("cable", board, placed.key, what="the trackball's cable")
            continue
        cores: tuple[Core, ...] = (Core("BU", "signal"),)
        if isinstance(data, Lever):
            cores = tuple(Core(color, way) for color, way in _LEVER)
        elif isinstance(data, Dial):
            cores = (Core("RD", "plus"), Core("WH", "slider"))
        yield Link("signal", board, placed.key, cores)
        groups.setdefault(board, []).append(placed.key)
    for board, keys in groups.items():
        here = board
        for key in plan.routes.chain(board, keys):
            yield Link("ground", here, key, (Core(GROUND, "ground"),), what="ground chain")
            here = key


def _sound(plan: Plan) -> Iterator[Link]:
    """Each loudspeaker to the nearest amplifier, else to the nearest socket."""
    sources = [p.key for role in ("amplifier", "socket") for p in plan.by_role.get(role, ())]
    amplifiers = [p.key for p in plan.by_role.get("amplifier", ())]
    for placed in plan.placed_of(Speaker):
        data = placed.part.data
        source = plan.routes.nearest(placed.key, amplifiers or sources)
        if source is None or not isinstance(data, Speaker):
            continue
        ohms = data.ohms or 8.0
        amps = math.sqrt(data.rated_w / ohms)
        cores = (Core("BN", "speaker +"), Core("GY", "speaker −"))
        yield Link("speaker", source, placed.key, cores, 0.0, amps, most_ohms=0.05 * ohms)


def _cables(plan: Plan) -> Iterator[Link]:
    """Bought cables between computer, display, boards and ports."""
    computer, amplifier = plan.first("computer"), plan.first("amplifier")
    entry = plan.entry.source
    for placed in plan.by_role.get("controller", ()):
        host = computer or plan.first("port")
        if host:
            yield Link("cable", host, placed.key, what="USB cable")
    if amplifier:
        for placed in plan.by_role.get("jack", ()):
            yield Link("cable", amplifier, placed.key, what="audio lead")
    if not computer:
        return
    for placed in plan.placed_of(Display):
        yield Link("cable", computer, placed.key, what="video cable")
    if amplifier:
        yield Link("cable", computer, amplifier, what="audio lead")
    for placed in plan.by_role.get("port", ()):
        if placed.key != entry:
            yield Link("cable", computer, placed.key, what=f"cable to {placed.label}")


__all__ = ["Link", "Plan", "links_of"]
