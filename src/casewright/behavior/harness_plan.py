"""Which parts are joined by what: power from the supply, ground in a chain, signals, speakers, cables."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from casewright.behavior.feeds import Feeds, feeds_of
from casewright.behavior.harness import GROUND, Core, RunKind, rail_color, rail_colors
from casewright.behavior.laying import Entry, entry_of
from casewright.behavior.light import Light
from casewright.behavior.loads import USB_VOLTS, Loads
from casewright.behavior.routes import Routes
from casewright.behavior.supplying import Source
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
from casewright.geometry.sign import sign_strip

_CONTROLS = (PushButton, Lever, Dial, Trackball)
_LEVER = (("WH", "up"), ("GY", "down"), ("VT", "left"), ("BN", "right"))


MAIN_LEAD = "main lead"
"""What the run from a supply to its switch is called."""


MAINS_LEAD = "its own mains lead"
"""Of a part with a mains supply inside: it comes with it, and leads to an outlet outside."""

MAINS_WIRED = "mains, by a licensed electrician"
"""From an inlet in the cabinet's wall."""


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
    supply: str = ""
    """Name of the supply whose main lead it hangs behind."""
    own: bool = False
    """A cable that comes with its part, and is not bought."""


@dataclass(frozen=True)
class Plan:
    """What the links are made from."""

    cabinet: Cabinet
    routes: Routes
    loads: Loads
    light: Light

    @cached_property
    def feeds(self) -> Feeds:
        """Where each supply comes in."""
        return feeds_of(self.cabinet, self.loads)

    @cached_property
    def entry(self) -> Entry:
        """Where the main power comes in."""
        main = self.feeds.main
        return Entry(main.source, main.switch) if main else entry_of(self.cabinet)

    @cached_property
    def colors(self) -> Mapping[float, str]:
        """Color of each rail's plus, no two alike as long as colors last."""
        lamps = {
            p.part.data.lamp_volts
            for p in self.cabinet.placed
            if isinstance(p.part.data, PushButton)
        }
        rails = {made.volts for made in self.loads.sources} | {
            row.volts for row in self.loads.rows if row.volts
        }
        return rail_colors({volts for volts in rails | lamps if volts})

    @cached_property
    def strip(self) -> Strip | None:
        """What lights the signs."""
        return sign_strip(self.cabinet.parts)

    @cached_property
    def boards(self) -> tuple[Placed, ...]:
        """Controllers that controls are wired to: those that run from USB, else all there are."""
        found = self.by_role.get("controller", ())
        read = [p for p in found if (p.part.data.volts or USB_VOLTS) <= USB_VOLTS]
        return tuple(read) or found

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


def links_of(plan: Plan) -> tuple[Link, ...]:
    """All links of a cabinet, power first."""
    return (
        *_main(plan),
        *_branches(plan),
        *_lamps(plan),
        *_signals(plan),
        *_strip_data(plan),
        *_sound(plan),
        *_cables(plan),
        *_mains(plan),
    )


def _pair(plan: Plan, volts: float) -> tuple[Core, ...]:
    color = plan.colors.get(volts) or rail_color(volts)
    return (Core(color, f"+{volts:g} V"), Core(GROUND, "ground"))


def _main(plan: Plan) -> Iterator[Link]:
    """From where each supply comes in to its switch, with the main fuse; or its own lead, straight to its part."""
    for feed in plan.feeds.all:
        volts, name = feed.supply.volts, feed.supply.name
        watts = plan.loads.hung(name)
        if not volts or not watts:
            continue
        amps = watts / volts
        if feed.straight_to:
            what = f"the supply's own lead, {volts:g} V"
            yield Link(
                "cable",
                feed.source,
                feed.straight_to,
                volts=volts,
                amps=amps,
                what=what,
                own=True,
            )
        elif feed.switch:
            yield Link(
                "power",
                feed.source,
                feed.switch,
                _pair(plan, volts),
                volts,
                amps,
                fuse_for(amps),
                main=True,
                what=MAIN_LEAD,
                supply=name,
            )


def _branches(plan: Plan) -> Iterator[Link]:
    """From the fuses of each supply to every load of its rail, and from each converter to those behind it."""
    straight = {feed.supply.name for feed in plan.feeds.all if feed.straight_to}
    for source in plan.loads.sources:
        start, volts = plan.feeds.hub(source.name), source.volts
        if not volts or source.name in straight:
            continue
        is_supply = source.name in plan.feeds.by_name
        most = source.watts / volts
        for one in plan.loads.converters:
            if one.feeder == source.name:
                amps = plan.loads.hung(one.name) / one.efficiency / volts
                end = plan.feeds.hub(one.name)
                yield _branch(plan, source, start, end, amps, most, is_supply=is_supply)
        for row in plan.loads.rows:
            data = plan.cabinet.parts[row.key].data
            if row.feeder != source.name or isinstance(data, PushButton):
                continue
            if data is plan.strip:
                for sign in plan.light.signs:
                    yield Link(
                        "power",
                        start,
                        sign.key,
                        _pair(plan, volts),
                        volts,
                        sign.amps,
                        sign.fuse,
                        supply=source.name if is_supply else "",
                    )
                continue
            mine = [p for p in plan.cabinet.placed if p.part.key == row.key]
            for placed in mine:
                each = row.peak_w / volts / len(mine)
                yield _branch(plan, source, start, placed.key, each, most, is_supply=is_supply)


def _branch(
    plan: Plan,
    source: Source,
    start: str,
    end: str,
    amps: float,
    most: float,
    *,
    is_supply: bool,
) -> Link:
    """One load or converter: behind a fuse of a supply, else on wire that carries all that its converter gives."""
    return Link(
        "power",
        start,
        end,
        _pair(plan, source.volts),
        source.volts,
        amps,
        fuse_for(amps) if is_supply else 0.0,
        0.0 if is_supply else max(most, amps),
        supply=source.name if is_supply else "",
    )


def _lamps(plan: Plan) -> Iterator[Link]:
    """Plus and ground from lamp to lamp of the lit buttons, one chain for each source and voltage."""
    feeders = {row.key: row.feeder for row in plan.loads.rows}
    lit: dict[tuple[float, str], list[Placed]] = {}
    for placed in plan.placed_of(PushButton):
        data = placed.part.data
        if isinstance(data, PushButton) and data.lamp_volts and data.lamp_amps:
            feeder = feeders.get(placed.part.key, "")
            lit.setdefault((data.lamp_volts, feeder), []).append(placed)
    for (volts, feeder), those in lit.items():
        amps = math.fsum(
            p.part.data.lamp_amps for p in those if isinstance(p.part.data, PushButton)
        )
        is_supply = feeder in plan.feeds.by_name
        fuse = fuse_for(amps) if is_supply else 0.0
        here = plan.feeds.hub(feeder) or those[0].key
        for key in plan.routes.chain(here, [p.key for p in those]):
            if key != here:
                yield Link(
                    "power",
                    here,
                    key,
                    _pair(plan, volts),
                    volts,
                    amps,
                    fuse,
                    amps,
                    what="lamps",
                    supply=feeder if is_supply else "",
                )
            here = key


def _signals(plan: Plan) -> Iterator[Link]:
    """Each control to its nearest controller, and the ground from control to control."""
    boards = [placed.key for placed in plan.boards]
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


def _strip_data(plan: Plan) -> Iterator[Link]:
    """What tells each light of an addressable strip its color: from a controller of its own, else from the nearest."""
    if plan.strip is None or not plan.strip.addressable:
        return
    every = [placed.key for placed in plan.by_role.get("controller", ())]
    read = {placed.key for placed in plan.boards}
    boards = [key for key in every if key not in read] or every
    for sign in plan.light.signs:
        board = plan.routes.nearest(sign.key, boards)
        if board is not None:
            yield Link("signal", board, sign.key, (Core("BU", "data"),))


def _sound(plan: Plan) -> Iterator[Link]:
    """Each loudspeaker to the nearest amplifier, else to the nearest terminals.

    Where nothing is powered, any socket takes their place.
    """
    roles = ("amplifier", "terminals", *(() if plan.feeds.all else ("socket",)))
    found = ([p.key for p in plan.by_role.get(role, ())] for role in roles)
    sources = next((keys for keys in found if keys), [])
    for placed in plan.placed_of(Speaker):
        data = placed.part.data
        source = plan.routes.nearest(placed.key, sources)
        if source is None or not isinstance(data, Speaker):
            continue
        ohms = data.ohms or 8.0
        amps = math.sqrt(data.rated_w / ohms)
        cores = (Core("BN", "speaker +"), Core("GY", "speaker −"))
        yield Link("speaker", source, placed.key, cores, 0.0, amps, most_ohms=0.05 * ohms)


def _cables(plan: Plan) -> Iterator[Link]:
    """Bought cables between computer, display, boards and ports."""
    computer, amplifier = plan.first("computer"), plan.first("amplifier")
    powered = {plan.entry.source, *(feed.source for feed in plan.feeds.all)}
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
        if placed.key not in powered:
            yield Link("cable", computer, placed.key, what=f"cable to {placed.label}")


def _mains(plan: Plan) -> Iterator[Link]:
    """Mains of each part that runs from it: by the inlet in the wall, else by its own lead out of the cabinet."""
    keys = {row.key for row in plan.loads.mains}
    keys |= {
        supply.key for supply in plan.loads.supplies if plan.cabinet.parts[supply.key].data.mains
    }
    inlets = [p.key for p in plan.by_role.get("inlet", ()) if p.part.data.mains]
    for placed in plan.cabinet.placed:
        if placed.part.key not in keys:
            continue
        if inlets:
            yield Link("cable", inlets[0], placed.key, what=MAINS_WIRED, own=True)
        elif plan.entry.source and plan.entry.source != placed.key:
            yield Link("cable", plan.entry.source, placed.key, what=MAINS_LEAD, own=True)


__all__ = ["MAINS_LEAD", "MAINS_WIRED", "MAIN_LEAD", "Link", "Plan", "links_of"]
