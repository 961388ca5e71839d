"""Which supply or converter feeds what: by the maker's word, else by voltage and by what each has left to give."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Load:
    """One line of the power table."""

    key: str
    """Of the part."""
    label: str
    volts: float
    count: float
    """Pieces, or metres of strip."""
    typical_w: float
    """All together."""
    peak_w: float
    through: str = ""
    """What makes its rail for people, if no supply does: a converter's label, or a computer's USB."""
    feeder: str = ""
    """Name of the supply or converter that it hangs on; "" where it hangs on none."""
    host: str = ""
    """Key of the computer whose USB feeds it."""

    def told(self, through: str) -> Load:
        """The same with words for what makes its rail."""
        return replace(self, through=through)


@dataclass(frozen=True)
class Source:
    """A supply or converter, one piece."""

    key: str
    """Of the part."""
    label: str
    volts: float
    watts: float
    """0 where its output is not known."""
    input_volts: float = 0.0
    """Of a converter: the rail that it hangs on, 0 where that is not known or nothing makes it."""
    efficiency: float = 1.0
    name: str = ""
    """Its own among all: the part's key, or key-2 and on for further pieces."""
    feeder: str = ""
    """Of a converter: name of what it hangs on."""


@dataclass(frozen=True)
class Astray:
    """A part whose `fed_by` leads nowhere."""

    key: str
    label: str
    wish: str
    fits: tuple[str, ...]
    """Keys that would do."""


@dataclass(frozen=True)
class Hung:
    """Everything on its hook."""

    rows: tuple[Load, ...]
    converters: tuple[Source, ...]
    """Those that feed something, with their output, their watts and what they hang on."""
    astray: tuple[Astray, ...]


def hang(
    rows: Sequence[Load],
    supplies: Sequence[Source],
    converters: Sequence[Source],
    wishes: Mapping[str, str],
) -> Hung:
    """Hang every load and converter on a source of its voltage; on none where no supply is named.

    Those with a wish go first. Of the rest what asks most chooses first, and takes the source with most left to give:
    supplies before converters. Loads of one part hang together.

    Args:
        rows: All loads.
        supplies: All supplies, piece by piece.
        converters: All converters; an output of 0 is not told, its watts are amperes then.
        wishes: Key of a source's part, by key of the part that is to hang on it.
    """
    if not supplies:
        return Hung(tuple(rows), (), ())
    made = _outputs(rows, supplies, converters, wishes)
    sources = [*supplies, *made]
    left = {source.name: source.watts or math.inf for source in sources}
    astray: list[Astray] = []
    voltages = {supply.volts for supply in supplies}
    feeders: dict[str, str] = {}

    def choose(key: str, label: str, volts: float, watts: float, barred: frozenset[str]) -> str:
        fits = [s for s in sources if s.volts == volts and s.name not in barred]
        if not volts and len(voltages) == 1:
            fits = list(supplies)
        wish = wishes.get(key)
        if wish is not None:
            wished = [s for s in fits if s.key == wish]
            if not wished:
                astray.append(Astray(key, label, wish, tuple(dict.fromkeys(s.key for s in fits))))
            fits = wished or fits
        else:
            first = [s for s in fits if s in supplies]
            fits = first or [s for s in fits if s in made]
        if not fits:
            return ""
        best = max(fits, key=lambda s: left[s.name])
        left[best.name] -= watts
        return best.name

    by_usb: dict[str, float] = {}
    for row in rows:
        if row.host:
            by_usb[row.host] = by_usb.get(row.host, 0.0) + row.peak_w
    none: frozenset[str] = frozenset()
    for row in sorted(rows, key=lambda row: (row.key not in wishes, -row.peak_w)):
        if not row.host:
            watts = row.peak_w + by_usb.get(row.key, 0.0)
            feeders[row.key] = choose(row.key, row.label, row.volts, watts, none)
    hung: list[Source] = []
    for one in sorted(made, key=lambda c: (c.input_volts, c.volts)):
        drawn = (one.watts or math.inf) - left[one.name] if one.watts else 0.0
        below = _below(one.name, hung)
        volts = one.input_volts
        if volts not in {s.volts for s in sources} and len(voltages) == 1:
            volts = next(iter(voltages))
        feeder = choose(one.key, one.label, volts, drawn / one.efficiency, below)
        hung.append(replace(one, feeder=feeder, input_volts=volts if feeder else 0.0))
    used = _used(hung, set(feeders.values()))
    order = [one.name for one in converters]
    return Hung(
        tuple(replace(row, feeder=feeders.get(row.key, "")) for row in rows),
        tuple(sorted(used, key=lambda one: order.index(one.name))),
        tuple(astray),
    )


def _outputs(
    rows: Sequence[Load],
    supplies: Sequence[Source],
    converters: Sequence[Source],
    wishes: Mapping[str, str],
) -> list[Source]:
    """Converters that are asked for, each with the rail that it makes.

    Those that say their output make that rail and no other. One that does not say makes a single one of those left:
    the highest below its own input, as nobody takes one that steps up without saying so. What a converter itself hangs
    on is asked for too.
    """
    wished = {wishes[row.key]: row.volts for row in rows if row.key in wishes and not row.host} | {
        wishes[one.key]: one.input_volts
        for one in converters
        if wishes.get(one.key, one.key) != one.key
    }
    supplied = {supply.volts for supply in supplies}
    lacking = {row.volts for row in rows if row.volts and not row.host} - supplied
    found: dict[str, Source] = {}

    def take(one: Source, volts: float) -> None:
        told = one if one.volts else replace(one, volts=volts, watts=one.watts * volts)
        found[one.name] = told
        if told.input_volts and told.input_volts not in supplied:
            lacking.add(told.input_volts)

    for _ in range(len(converters) + 1):
        for one in converters:
            if one.name not in found and one.volts and (one.volts in lacking or one.key in wished):
                take(one, one.volts)
    for one in converters:
        left = lacking - {made.volts for made in found.values()}
        if one.name in found or one.volts:
            continue
        if one.key in wished:
            take(one, wished[one.key])
        elif left:
            below = {volts for volts in left if not one.input_volts or volts < one.input_volts}
            if below:
                take(one, max(below))
    return list(found.values())


def _below(name: str, hung: Sequence[Source]) -> frozenset[str]:
    """A converter and all that hang on it, which cannot feed it."""
    found = {name}
    for _ in hung:
        found |= {one.name for one in hung if one.feeder in found}
    return frozenset(found)


def _used(hung: Sequence[Source], feeders: set[str]) -> list[Source]:
    """Converters that feed something."""
    used = list(hung)
    while True:
        busy = feeders | {one.feeder for one in used}
        left = [one for one in used if one.name in busy]
        if len(left) == len(used):
            return left
        used = left


__all__ = ["Astray", "Hung", "Load", "Source", "hang"]
