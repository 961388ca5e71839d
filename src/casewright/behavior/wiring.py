"""The whole wiring: every run sized, routed, labelled and colored, and what must be bought for it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.behavior.feeds import Feed, Feeds
from casewright.behavior.harness import (
    LEAD_SOCKET,
    Core,
    Run,
    RunKind,
    cable_for,
    end_words,
    terminal_of,
)
from casewright.behavior.harness_plan import MAINS_LEAD, Link, Plan, links_of
from casewright.behavior.laying import Entry, cut_step, laid_length, wire_system
from casewright.behavior.light import Light
from casewright.behavior.loads import Loads
from casewright.behavior.routes import Routes
from casewright.behavior.wires import DROP, WIRES, Wire, wire_for
from casewright.catalog.kinds import Terminal
from casewright.design.wiring import OwnWire, WiringWishes
from casewright.geometry.model import Cabinet

SIGNAL_TAB = 0.5
"""Thinnest wire that a crimped receptacle holds. [mm²] Common practice."""

MAIN_SHARE = 1 / 3
"""Share of the whole drop that the main lead may take. Common practice."""

_OWN = ("YE", "BK", "RD", "BU", "WH", "GY", "VT", "BN", "OG", "PK")


@dataclass(frozen=True)
class Wiring:
    """All runs of a cabinet."""

    entry: Entry
    runs: tuple[Run, ...] = ()
    too_thin: tuple[str, ...] = ()
    """Labels of runs for which no wire is thick enough; they have the thickest."""
    lost: tuple[OwnWire, ...] = ()
    """The maker's own wires whose ends are no placed parts."""
    feeds: Feeds = field(default_factory=Feeds)
    """Every supply and where it comes in."""
    wishes: WiringWishes = field(default_factory=WiringWishes)
    """What the lengths follow."""

    @cached_property
    def numbers(self) -> tuple[Reckoning, ...]:
        """Lengths of all runs, and the drop of those that carry power."""
        return _numbers(self) if self.runs else ()

    @cached_property
    def metres(self) -> dict[tuple[str, str], float]:
        """Wire to buy by size and code of color: the sum of all lengths, no spare. [m]"""
        found: dict[tuple[str, str], float] = {}
        for run in self.runs:
            if run.wire is None:
                continue
            for core in run.cores:
                key = (run.wire.name, core.color)
                found[key] = found.get(key, 0.0) + run.length / 1000.0
        return dict(sorted(found.items()))

    @cached_property
    def ends(self) -> dict[str, int]:
        """What is put on wire ends, and how many."""
        counts: Counter[str] = Counter()
        for run in self.runs:
            for end in run.ends if run.wire else ():
                counts[end] += len(run.cores)
        return dict(sorted(counts.items()))

    @cached_property
    def fused(self) -> tuple[Run, ...]:
        """Runs that start a fused circuit, each with a fuse of its own."""
        hubs = {self.entry.hub, self.entry.source} | self.feeds.hubs
        return tuple(run for run in self.runs if 0 < run.fuse < math.inf and run.start in hubs)

    @cached_property
    def fuses(self) -> dict[float, int]:
        """Fuses by rating: one for each run that starts a fused circuit."""
        return dict(sorted(Counter(run.fuse for run in self.fused).items()))

    @cached_property
    def line_sockets(self) -> tuple[Feed, ...]:
        """Supplies whose own lead is joined to the harness inside: each asks for one line socket."""
        starts = {run.start for run in self.runs if run.wire is not None}
        return tuple(
            feed
            for feed in self.feeds.all
            if feed.by_lead and not feed.straight_to and feed.source in starts
        )

    @cached_property
    def cables(self) -> dict[tuple[str, float], int]:
        """Cables to buy by what they are and their length. [mm]"""
        cables = [(run.what, run.length) for run in self.runs if run.wire is None and not run.own]
        return dict(sorted(Counter(cables).items()))


def wiring_of(cabinet: Cabinet, routes: Routes, loads: Loads, light: Light) -> Wiring:
    """Every run of the cabinet, the maker's own in place of ours between the same parts."""
    plan = Plan(cabinet, routes, loads, light)
    wishes = cabinet.project.wiring
    known = {*cabinet.placed_by_key, *(feed.source for feed in plan.feeds.leads)}
    own = [wire for wire in wishes.wires if wire.start in known and wire.end in known]
    taken = {frozenset((wire.start, wire.end)) for wire in own}
    links = [
        link
        for link in links_of(plan)
        if link.start in known
        and link.end in known
        and frozenset((link.start, link.end)) not in taken
    ]
    runs: list[Run] = []
    alike = Counter(placed.label for placed in cabinet.placed)
    thin: list[str] = []
    lost_before: dict[str, float] = {}
    for link in links:
        run, enough = _sized(
            plan, link, lost_before.get(link.supply, 0.0), f"W{len(runs) + 1}", alike
        )
        if link.main:
            lost_before[link.supply] = run.drop
        runs.append(run)
        if not enough:
            thin.append(run.label)
    for wire in own:
        if wire.cores:
            runs.append(_own(plan, wire, f"W{len(runs) + 1}", alike))
    lost = tuple(wire for wire in wishes.wires if wire not in own)
    return Wiring(plan.entry, tuple(runs), tuple(thin), lost, plan.feeds, wishes)


def _sized(
    plan: Plan, link: Link, main_drop: float, label: str, alike: Mapping[str, int]
) -> tuple[Run, bool]:
    """A link with its wire, its length and its ends; False where no wire is thick enough."""
    cabinet = plan.cabinet
    way = plan.routes.way(link.start, link.end)
    length = laid_length(way, cabinet.project.wiring, step=cut_step(cabinet))
    made = Run(
        label,
        link.kind,
        link.start,
        link.end,
        _named(plan, link.start, alike),
        _named(plan, link.end, alike),
        link.cores,
        None,
        length,
        way.length,
        link.volts,
        link.amps,
        link.fuse,
        what=link.what,
        own=link.own,
    )
    if link.what == MAINS_LEAD:  # it leaves beside that socket, never through it
        made = replace(made, start_label=f"outside, beside the {made.start_label}")
    if link.kind == "cable":
        return (
            made if link.own else replace(made, length=cable_for(length, cabinet.project.unit))
        ), True
    system = wire_system(cabinet)
    limit = DROP * link.volts * (MAIN_SHARE if link.main else 1.0) - main_drop
    if not link.volts:
        limit = link.most_ohms * link.amps if link.most_ohms else math.inf
    sign = next((sign for sign in plan.light.signs if sign.key == link.end), None)
    found: Wire | None
    if sign is not None and link.kind == "power":
        found, limit = sign.wire, max(DROP * sign.volts - sign.drop, 0.0)
    else:
        carries = max(link.fuse, link.carries)
        found = wire_for(link.amps, length, limit, system, fuse=carries)
    enough = found is not None and math.isfinite(link.fuse)
    wire = found or WIRES[system][-1]
    terminals = _terminal(plan, link.start), _terminal(plan, link.end)
    least = SIGNAL_TAB if any(t.startswith("tab") for t in terminals) else 0.0
    wire = next((w for w in WIRES[system] if w.area >= max(least, wire.area) - 1e-9), wire)
    ends = _end(plan, link.start, wire), _end(plan, link.end, wire)
    return replace(made, wire=wire, most_drop=limit, ends=ends), enough


def _terminal(plan: Plan, key: str) -> Terminal:
    """How wires are joined to a placed part; to a lead that comes in, by its plug."""
    placed = plan.cabinet.placed_by_key.get(key)
    return terminal_of(placed.part.data) if placed and key not in _leads(plan) else "plug"


def _leads(plan: Plan) -> dict[str, Feed]:
    """Supplies that come in by their own lead, by where."""
    return {feed.source: feed for feed in plan.feeds.all if feed.by_lead}


def _end(plan: Plan, key: str, wire: Wire) -> str:
    """What goes on a wire's end there."""
    return LEAD_SOCKET if key in _leads(plan) else end_words(_terminal(plan, key), wire)


def _named(plan: Plan, key: str, alike_by_label: Mapping[str, int]) -> str:
    """What a placed part is called; with its key where several are called so.

    Args:
        plan: Holds it.
        key: Its own, or that of a supply's lead.
        alike_by_label: How many are called so.
    """
    lead = _leads(plan).get(key)
    placed = plan.cabinet.placed_by_key.get(key)
    if lead is not None:
        return f"{placed.label if placed else 'lead'} of {lead.supply.label}"
    label = plan.cabinet.placed_by_key[key].label
    alike = alike_by_label[label]
    return f"{label} ({key})" if alike > 1 else label


def _own(plan: Plan, wish: OwnWire, label: str, alike: Mapping[str, int]) -> Run:
    """A run as the maker wants it."""
    cabinet = plan.cabinet
    way = plan.routes.way(wish.start, wish.end)
    length = wish.length or laid_length(way, cabinet.project.wiring, step=cut_step(cabinet))
    volts = wish.volts or 0.0
    made = Run(
        label,
        "cable",
        wish.start,
        wish.end,
        _named(plan, wish.start, alike),
        _named(plan, wish.end, alike),
        (),
        None,
        length,
        way.length,
        volts,
        wish.amps,
        what=wish.label or "own cable",
    )
    if wish.bought:
        return made
    system = wire_system(cabinet)
    limit = DROP * volts if volts else math.inf
    wire = wire_for(wish.amps, length, limit, system) or WIRES[system][-1]
    cores = tuple(Core(_OWN[n % len(_OWN)], f"wire {n + 1}") for n in range(wish.cores))
    ends = (_end(plan, wish.start, wire), _end(plan, wish.end, wire))
    kind: RunKind = "power" if volts else "signal"
    what = wish.label or "own wire"
    return replace(made, kind=kind, cores=cores, wire=wire, most_drop=limit, ends=ends, what=what)


def _numbers(wiring: Wiring) -> tuple[Reckoning, ...]:
    wishes = wiring.wishes
    made = []
    for run in wiring.runs:
        key = f"wiring.{run.label.lower()}"
        if run.wire is None or not math.isfinite(run.way):
            continue
        made.append(
            derived(
                f"{key}.length",
                f"length of {run.label}, {run.start_label} to {run.end_label}",
                run.length,
                "way × (1 + slack) + 2 × ends + loops, to the next whole step",
                [
                    Term("way along panels and corners", run.way),
                    Term("slack", wishes.slack, unit=""),
                    Term("ends", wishes.ends),
                    Term("loop where a board comes off", wishes.service_loop),
                ],
                rule="Wires lie across a panel's back, along corners between panels, and round the sides.",
                source="Project setting",
            )
        )
        if run.volts and run.amps:
            made.append(
                derived(
                    f"{key}.drop",
                    f"voltage lost in {run.label}, there and back",
                    run.drop,
                    "2 × length × current × resistance",
                    [
                        Term("length", run.length / 1000, unit="m"),
                        Term("current", run.amps, unit="A"),
                        Term(
                            f"resistance of {run.wire.name}",
                            run.wire.ohms_per_km / 1000,
                            unit="Ω/m",
                        ),
                    ],
                    unit="V",
                    rule="Ohm's law.",
                    source="iec-60228",
                )
            )
    made.append(
        total(
            "wiring.metres",
            "wire in all, every color",
            [Term(f"{size}, {color}", metres) for (size, color), metres in wiring.metres.items()],
            unit="m",
        )
    )
    return tuple(made)


__all__ = ["MAIN_SHARE", "SIGNAL_TAB", "Wiring", "wiring_of"]
