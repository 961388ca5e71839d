"""What is varied, and the variants that come of it: every choice of one with every choice of the others.

A variant has a number, which tells its choices: the last variation changes first, as the wheels of a counter do. So
variants need not be kept to be found again.
"""

from __future__ import annotations

import json
import math
import random
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import Any, Final, TypeAlias

from casewright.basics.errors import InputError
from casewright.basics.units import quoted
from casewright.planning.exploring.ranges import values_of

Path: TypeAlias = tuple[str | int, ...]
Edits: TypeAlias = Mapping[Path, Any]
"""New values by place; None takes a value out of the file."""

MOST_VARIANTS: Final = 200_000
"""More than these are only tried as a sample."""
RANGE_KEYS: Final = frozenset({"at", "values", "label"})
"""Of what varies one value; the label may be left out."""
BUNDLE_KEYS: Final = frozenset({"label", "choices"})
"""Of what varies several values at once."""


@dataclass(frozen=True)
class Choice:
    """One of the things that a variation may be."""

    label: str
    edits: Edits


@dataclass(frozen=True)
class Variation:
    """One thing that is varied."""

    label: str
    choices: tuple[Choice, ...]

    @cached_property
    def paths(self) -> frozenset[Path]:
        """Places that it changes."""
        return frozenset(path for choice in self.choices for path in choice.edits)


@dataclass(frozen=True)
class Variant:
    """One variant: its number from 1, what was chosen, what that changes."""

    number: int
    choices: Mapping[str, str]
    edits: Edits

    @cached_property
    def mark(self) -> str:
        """Its changes as text that is the same whenever they are; tells it from others, whatever its number."""
        return mark_of(self.edits)


def mark_of(edits: Edits) -> str:
    """Changes as text, the same for the same ones.

    Example:
        >>> mark_of({("shape", "width"): 700})
        '[[["shape", "width"], 700]]'
    """
    rows = sorted(
        ([list(path), value] for path, value in edits.items()), key=lambda row: str(row[0])
    )
    return json.dumps(rows, ensure_ascii=False, sort_keys=True)


@dataclass(frozen=True)
class Space:
    """All variants."""

    variations: tuple[Variation, ...]

    @property
    def count(self) -> int:
        """How many there are."""
        return math.prod(len(variation.choices) for variation in self.variations)

    def variant(self, number: int) -> Variant:
        """The variant of a number from 1 to `count`."""
        rest = number - 1
        chosen: list[Choice] = []
        for variation in reversed(self.variations):
            rest, index = divmod(rest, len(variation.choices))
            chosen.append(variation.choices[index])
        chosen.reverse()
        return Variant(
            number,
            {v.label: c.label for v, c in zip(self.variations, chosen, strict=True)},
            {path: value for choice in chosen for path, value in choice.edits.items()},
        )

    def sample(self, most: int, *, seed: int = 1) -> tuple[int, ...]:
        """Numbers of at most so many variants, drawn evenly; the same ones for the same seed, in order."""
        if most >= self.count:
            return tuple(range(1, self.count + 1))
        drawn = random.Random(seed).sample(range(1, self.count + 1), most)
        return tuple(sorted(drawn))

    def walk(self, numbers: Iterable[int]) -> tuple[int, ...]:
        """Numbers in the order in which they are worked out soonest: neighbors share most of the work.

        What changes the carcass changes slowest, then what changes parts, then where parts sit.
        """
        return tuple(sorted(numbers, key=self._place))

    def chunks(self, numbers: Iterable[int], most: int) -> tuple[tuple[int, ...], ...]:
        """The same in chunks for one worker each, of at most so many.

        Where there is room, variants of one carcass stay together: whoever works out another one of them begins anew.
        """
        groups = [tuple(g) for _, g in groupby(self.walk(numbers), lambda n: self._carcass(n))]
        chunks: list[tuple[int, ...]] = []
        for group in groups:
            if chunks and len(chunks[-1]) + len(group) <= most:
                chunks[-1] += group
            else:
                chunks += chunks_of(group, most)
        return tuple(chunks)

    @cached_property
    def _order(self) -> tuple[int, ...]:
        """Places of the variations, the one that changes slowest first."""
        places = range(len(self.variations))
        return tuple(sorted(places, key=lambda place: (_weight(self.variations[place]), place)))

    @cached_property
    def _heavy(self) -> int:
        """How many of these change the carcass."""
        return sum(_weight(variation) <= _CARCASS for variation in self.variations)

    def _place(self, number: int) -> tuple[int, ...]:
        """Which choices a variant has, in that order."""
        rest, digits = number - 1, [0] * len(self.variations)
        for index in range(len(self.variations) - 1, -1, -1):
            rest, digits[index] = divmod(rest, len(self.variations[index].choices))
        return tuple(digits[index] for index in self._order)

    def _carcass(self, number: int) -> tuple[int, ...]:
        return self._place(number)[: self._heavy]


_CARCASS: Final = 2
"""Up to this weight a change makes boards anew."""
_WEIGHTS: Final = {"shape": 0, "panels": 0, "seams": 0, "materials": 1, "batten": 1, "inner": 1}


def _weight(variation: Variation) -> int:
    """How much of the work a change asks for, the most first."""
    return min((_weight_of(path) for path in variation.paths), default=9)


def _weight_of(path: Path) -> int:
    if path[0] == "parts":
        return 4 if "placed" in path else 3
    return _WEIGHTS.get(str(path[0]), 2 if path[0] in ("doors", "boards", "features") else 5)


def chunks_of(numbers: Sequence[int], size: int) -> Iterator[tuple[int, ...]]:
    """Numbers in chunks for one worker each, in their order."""
    for start in range(0, len(numbers), size):
        yield tuple(numbers[start : start + size])


# ---- from what people write ----


def place_named(data: Mapping[str, Any], field: str, *, where: str) -> Path:
    """The place of a value by its dotted name, such as `shape.width` or `parts.button.placed.red1.u`.

    In a list an item is named by its position from 0, or by its `key` or `label`. What is not in the file yet may be
    named too: reading it tells whether the project can have it.

    Raises:
        InputError: It leads through a list to no item of it.
    """
    path: list[str | int] = []
    here: Any = data
    for part in field.split("."):
        step: str | int = part
        if isinstance(here, list):
            names = [
                str(item.get("key") or item.get("label") or "") if isinstance(item, dict) else ""
                for item in here
            ]
            if part.isdecimal() and int(part) <= len(here):
                step = int(part)
            elif part in names:
                step = names.index(part)
            else:
                known = ", ".join(name for name in names if name)
                want = f"an item of the list: 0 to {len(here) - 1}" + (
                    f", {known}" if known else ""
                )
                raise InputError(where, got=field, want=want)
        elif not part:
            raise InputError(where, got=field, want="a place in the file", example="shape.width")
        path.append(step)
        if isinstance(here, dict):
            here = here.get(part)
        elif isinstance(here, list) and isinstance(step, int) and step < len(here):
            here = here[step]
        else:
            here = None
    return tuple(path)


def variation_at(data: Mapping[str, Any], field: str, written: object, *, where: str) -> Variation:
    """A single value over a list or a range; see `values_of`.

    Args:
        data: The project file's data.
        field: Dotted place of the value.
        written: The list or range.
        where: What messages call it.
    """
    path = place_named(data, field, where=where)
    choices = tuple(Choice(_label(value), {path: value}) for value in values_of(where, written))
    return Variation(field, choices)


def variation_of(data: Mapping[str, Any], entry: object, *, where: str) -> Variation:
    """A variation as a plan file writes it: `at` and `values`, or `label` and `choices`.

    Raises:
        InputError: It is written otherwise.
    """
    if not isinstance(entry, dict):
        raise InputError(
            where,
            got=quoted(entry),
            want="at and values, or label and choices",
            example="{at: shape.width, values: 660 to 740 by 20}",
        )
    keys = set(entry)
    if keys <= RANGE_KEYS and RANGE_KEYS - {"label"} <= keys:
        made = variation_at(data, str(entry["at"]), entry["values"], where=f"{where}.values")
        return Variation(str(entry["label"]), made.choices) if "label" in entry else made
    if keys == BUNDLE_KEYS and isinstance(entry["choices"], dict) and entry["choices"]:
        choices = []
        for name, edits in entry["choices"].items():
            at = f"{where}.choices.{name}"
            if not isinstance(edits, dict):
                raise InputError(
                    at,
                    got=quoted(edits),
                    want="values by place, {} for none",
                    example="{shape.width: 700}",
                )
            choices.append(
                Choice(
                    str(name),
                    {place_named(data, str(k), where=at): value for k, value in edits.items()},
                )
            )
        return Variation(str(entry["label"]), tuple(choices))
    raise InputError(
        where,
        got=", ".join(map(str, entry)),
        want="at and values, or label and choices",
        example="{at: shape.width, values: 660 to 740 by 20}",
    )


def space_of(variations: Sequence[Variation], *, where: str = "vary") -> Space:
    """The variants of several variations.

    Raises:
        InputError: There are none, two share a name, or two change the same value.
    """
    if not variations:
        raise InputError(
            where, got="nothing", want="what to vary", example="shape.width=660 to 740 by 20"
        )
    known: dict[Path, str] = {}
    names: set[str] = set()
    for variation in variations:
        if variation.label in names:
            raise InputError(where, got=f"{variation.label} twice", want="each of them once")
        names.add(variation.label)
        for path in variation.paths:
            for other, label in known.items():
                shorter = min(len(path), len(other))
                if label != variation.label and path[:shorter] == other[:shorter]:
                    raise InputError(
                        where,
                        got=f"{'.'.join(map(str, path))} in {variation.label} and in {label}",
                        want="each value varied by one of them alone",
                    )
        known |= dict.fromkeys(variation.paths, variation.label)
    return Space(tuple(variations))


def _label(value: object) -> str:
    if value is None:
        return "none"
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


__all__ = [
    "BUNDLE_KEYS",
    "MOST_VARIANTS",
    "RANGE_KEYS",
    "Choice",
    "Edits",
    "Path",
    "Space",
    "Variant",
    "Variation",
    "chunks_of",
    "mark_of",
    "place_named",
    "space_of",
    "variation_at",
    "variation_of",
]
