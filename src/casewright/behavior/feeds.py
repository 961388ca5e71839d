"""Where each supply's low voltage comes into the cabinet: its own socket and switch, or a lead of its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from casewright.basics.remembering import remembered
from casewright.behavior.loads import Loads
from casewright.behavior.supplying import Source
from casewright.catalog.kinds import Device, Display, Fitting
from casewright.geometry.model import Cabinet, Placed

_SOCKETS = ("inlet", "socket", "port")


@dataclass(frozen=True)
class Feed:
    """One supply and where its power comes in."""

    supply: Source
    source: str
    """Placed supply, inlet, socket or gland; a name of its own where its lead comes in by no placed part."""
    switch: str = ""
    """Placed switch behind it; "" where there is none."""
    by_lead: bool = False
    """Its own lead comes in, through a gland or grommet; there is no socket to plug it in."""
    straight_to: str = ""
    """Placed part that the lead's own plug goes to, the only one that hangs on it; "" where it is joined to wires."""

    @property
    def hub(self) -> str:
        """Where the fuses sit and the branches start: at the switch, else where power comes in."""
        return self.switch or self.source


@dataclass(frozen=True)
class Feeds:
    """All supplies of a cabinet."""

    all: tuple[Feed, ...] = ()
    """The main one first: of those that feed more than a part with a plug of its own, the one that most hangs on."""
    converters: Mapping[str, str] = field(default_factory=dict)
    """Placed converters by their names."""

    @property
    def main(self) -> Feed | None:
        """The one whose socket is the place where power comes in."""
        return self.all[0] if self.all else None

    @cached_property
    def by_name(self) -> Mapping[str, Feed]:
        """By the supply's name."""
        return {feed.supply.name: feed for feed in self.all}

    @cached_property
    def leads(self) -> tuple[Feed, ...]:
        """Those whose lead comes in by no placed part."""
        return tuple(feed for feed in self.all if feed.by_lead and feed.source.endswith(LEAD))

    @cached_property
    def hubs(self) -> frozenset[str]:
        """Where circuits start: fuses sit there, or the source limits the current by itself."""
        found = {key for feed in self.all for key in (feed.hub, feed.source)}
        return frozenset(found | set(self.converters.values()))

    def hub(self, name: str) -> str:
        """Where what hangs on a supply or converter starts; "" where that has no place."""
        feed = self.by_name.get(name)
        return feed.hub if feed else self.converters.get(name, "")


LEAD = "-lead"
"""Ends the name of a place that no part marks."""


@remembered(4)
def feeds_of(cabinet: Cabinet, loads: Loads) -> Feeds:
    """Where each supply comes in.

    A supply that stands inside is the source itself. Else it is the fitting that names it; else, for the one that most
    hangs on, the first inlet, socket or port in a panel, and for the others the next inlet or socket that is free. One
    that finds none comes in by its own lead. Those whose own plug fits the one part that they feed choose last.
    """
    return _Finder(cabinet, loads).feeds()


class _Finder:
    def __init__(self, cabinet: Cabinet, loads: Loads) -> None:
        self.cabinet = cabinet
        self.loads = loads
        self.parts = cabinet.project.parts
        self.fittings = [
            (placed, placed.part.data)
            for placed in cabinet.placed
            if isinstance(placed.part.data, Fitting) and not placed.part.data.mains
        ]
        self.taken: set[str] = set()

    def feeds(self) -> Feeds:
        # A supply whose own plug fits the only part that hangs on it needs a socket least.
        order = sorted(
            self.loads.supplies,
            key=lambda s: (bool(self._only(s)), not s.volts, -self.loads.hung(s.name)),
        )
        main = order[0] if order else None
        named = {s.name: self._named(s) for s in order}
        inside = {s.name: self._inside(s) for s in order}
        made = []
        for supply in order:
            source = inside[supply.name] or named[supply.name]
            if source is None:
                source = self._free(_SOCKETS if supply is main else _SOCKETS[:2])
            switch = self._switch(supply, first=supply is main)
            made.append(self._feed(supply, source, switch))
        converters = {}
        for one in self.loads.converters:
            places = [p for p in self.cabinet.placed if p.part.key == one.key]
            number = _number(one)
            if number < len(places):
                converters[one.name] = places[number].key
        return Feeds(tuple(made), converters)

    def _feed(self, supply: Source, source: Placed | None, switch: str) -> Feed:
        by_lead = source is None or (
            isinstance(source.part.data, Fitting) and source.part.data.role not in _SOCKETS
        )
        key = source.key if source else f"{supply.name}{LEAD}"
        if not by_lead:
            return Feed(supply, key, switch)
        straight = "" if switch else self._only(supply)
        return Feed(supply, key, switch, True, straight)

    def _only(self, supply: Source) -> str:
        """The one placed part with a socket of its own for a supply's plug that hangs on it; "" if there is none."""
        rows = [row for row in self.loads.rows if row.feeder == supply.name]
        if len(rows) != 1 or any(c.feeder == supply.name for c in self.loads.converters):
            return ""
        places = [p for p in self.cabinet.placed if p.part.key == rows[0].key]
        if len(places) != 1:
            return ""
        data = places[0].part.data
        takes = isinstance(data, Display) or data.terminal == "plug"
        takes |= isinstance(data, Device) and data.role == "computer" and data.terminal is None
        return places[0].key if takes else ""

    def _inside(self, supply: Source) -> Placed | None:
        """The supply's own place in the cabinet."""
        places = [p for p in self.cabinet.placed if p.part.key == supply.key]
        number = _number(supply)
        return places[number] if number < len(places) else None

    def _named(self, supply: Source) -> Placed | None:
        """The fitting that is this supply's by its `fed_by`."""
        for placed, data in self.fittings:
            wish = self.parts[placed.part.key].fed_by
            if wish == supply.key and data.role != "switch" and placed.key not in self.taken:
                self.taken.add(placed.key)
                return placed
        return None

    def _free(self, roles: Sequence[str]) -> Placed | None:
        for placed in self._of(roles):
            if placed.key in self.taken or self.parts[placed.part.key].fed_by:
                continue
            self.taken.add(placed.key)
            return placed
        return None

    def _of(self, roles: Sequence[str]) -> Iterator[Placed]:
        """Fittings of some roles, role by role."""
        for role in roles:
            yield from (placed for placed, data in self.fittings if data.role == role)

    def _switch(self, supply: Source, *, first: bool) -> str:
        for placed in self._of(("switch",)):
            wish = self.parts[placed.part.key].fed_by
            if wish == supply.key or (first and wish is None):
                return placed.key
        return ""


def _number(source: Source) -> int:
    """Which piece of its part it is, from 0."""
    rest = source.name.removeprefix(source.key).removeprefix("-")
    return int(rest) - 1 if rest else 0


__all__ = ["LEAD", "Feed", "Feeds", "feeds_of"]
