"""The catalog: generic types of bought parts, sheet goods, battens and screws, from TOML files.

The package's own files lie in `data/`. TOML, because the standard library reads it some thirty times as fast as
a YAML reader that keeps comments, and the catalog is read at every start. A file holds any of these tables:

    unit = "in"                      # of lengths without a unit; mm if not given

    [types.palm-button-40]           # a type of part
    kind = "button"
    like = "button-30-screw"         # optional: an earlier type whose values fill the gaps
    label = "Palm button 40 mm"
    explains = "What to know about it, in a sentence."
    hole = 40
    sources = { "*" = "common practice", hole = "iso-273" }

    [species.…]  [battens.…]  [screws.…]

A file given later adds to the ones before it and replaces what has the same key.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar, get_args

from pydantic import ValidationError

from casewright.basics.errors import InputError, InputErrors, Spot
from casewright.basics.units import Unit, quoted
from casewright.catalog.kinds import KINDS, Display, Kind
from casewright.catalog.reading import (
    make_part,
    missing_fields,
    problem_of,
    read_fields,
    unknown_name,
)
from casewright.catalog.short_forms import display_misfits, from_short_forms
from casewright.catalog.stock import BattenStock, Species, Stock, WoodScrew

PACKAGED = (
    "displays.toml",
    "controls.toml",
    "sound.toml",
    "electronics.toml",
    "panel.toml",
    "hardware.toml",
    "materials.toml",
    "screws.toml",
)
"""The package's own files, in the order they are read and listed in."""


@dataclass(frozen=True)
class CatalogType:
    """A generic type of part with its usual values."""

    key: str
    data: Kind
    explains: str = ""
    sources: Mapping[str, str] = field(default_factory=dict)
    """Key of the source by field; "*" for the fields not named."""

    @property
    def kind(self) -> str:
        """Key of its kind in `KINDS`."""
        return str(getattr(self.data, "kind"))  # noqa: B009  each kind has it, their base has not

    @property
    def given(self) -> frozenset[str]:
        """Fields that the type gives; the others are the kind's defaults."""
        return frozenset(self.data.model_fields_set - {"kind"})

    def source(self, field: str) -> str:
        """Key of the source of a field's value; empty if the kind's default."""
        return self.sources.get(field, self.sources.get("*", "")) if field in self.given else ""


@dataclass(frozen=True)
class Catalog:
    """All that is known of the trade's goods, by key."""

    types: Mapping[str, CatalogType]
    species: Mapping[str, Species]
    battens: Mapping[str, BattenStock]
    screws: Mapping[str, WoodScrew]


def load_catalog(extra: Sequence[tuple[str, str]] = ()) -> Catalog:
    """Return the package's catalog with further files laid over it.

    Args:
        extra: Name and text of each file, in order; the name is for messages only.

    Raises:
        InputErrors: What cannot be used in those files, each with its file and line.
    """
    catalog = _packaged()
    for file, text in extra:
        catalog = read_catalog(file, text, base=catalog)
    return catalog


@cache
def _packaged() -> Catalog:
    folder = files("casewright.catalog").joinpath("data")
    catalog = EMPTY
    for name in PACKAGED:
        text = folder.joinpath(name).read_text(encoding="utf-8")
        catalog = read_catalog(name, text, base=catalog)
    return catalog


EMPTY = Catalog(*(MappingProxyType({}),) * 4)
"""A catalog of nothing."""


def read_catalog(file: str, text: str, *, base: Catalog = EMPTY) -> Catalog:
    """Return `base` with what one file's text adds and replaces.

    Raises:
        InputErrors: All that cannot be used, each with its file and line.
    """
    problems: list[InputError] = []
    try:
        root = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputErrors([_no_toml(file, text, str(error))]) from None
    unit: Unit = "mm"
    if root.get("unit", "mm") in get_args(Unit):
        unit = root.get("unit", "mm")
    else:
        problems.append(InputError("unit", got=quoted(root["unit"]), want="one of mm, cm, m, in"))
    tables = ("types", "species", "battens", "screws")
    for name in root:
        if name not in (*tables, "unit"):
            problems.append(unknown_name(name, name, ("unit", *tables), "a table of a catalog"))
    types = dict(base.types)
    for key, entry in _entries(root, "types", problems):
        made = _read_type(Path(file).name, key, entry, types, unit, problems)
        if made is not None:
            types[key] = made
    species = dict(base.species) | _read_stock(root, "species", Species, unit, problems)
    battens = dict(base.battens) | _read_stock(root, "battens", BattenStock, unit, problems)
    screws = dict(base.screws) | _read_stock(root, "screws", WoodScrew, unit, problems)
    if problems:
        raise InputErrors(problem.at(_spot(file, text, problem.field)) for problem in problems)
    return Catalog(
        MappingProxyType(types),
        MappingProxyType(species),
        MappingProxyType(battens),
        MappingProxyType(screws),
    )


_KEY = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}")


def _entries(
    root: Mapping[str, Any], table: str, problems: list[InputError]
) -> list[tuple[str, dict[str, Any]]]:
    """The entries of one table that are tables themselves."""
    entries = root.get(table, {})
    if not isinstance(entries, dict):
        problems.append(InputError(table, got=quoted(entries), want="a table of entries"))
        return []
    good = []
    for key, entry in entries.items():
        if not isinstance(entry, dict):
            problems.append(
                InputError(f"{table}.{key}", got=quoted(entry), want="a table of values")
            )
        elif not _KEY.fullmatch(key):
            want = "a key of at most 40 letters (a to z), digits, - or _"
            problems.append(InputError(f"{table}.{key}", got=quoted(key), want=want))
        else:
            good.append((key, dict(entry)))
    return good


_BESIDE = ("explains", "kind", "like", "sources")
"""What a type's table holds beside dimensions."""


def _read_type(
    file: str,
    key: str,
    entry: dict[str, Any],
    earlier: Mapping[str, CatalogType],
    unit: Unit,
    problems: list[InputError],
) -> CatalogType | None:
    """One type of part, or None after telling what is wrong."""
    path = f"types.{key}"
    like, kind = entry.pop("like", None), entry.pop("kind", None)
    explains = _text(entry.pop("explains", ""), f"{path}.explains", problems)
    sources = _sources(entry.pop("sources", {}), f"{path}.sources", problems)
    base: CatalogType | None = None
    if like is not None:
        base = earlier.get(str(like))
        if base is None:
            problems.append(unknown_name(f"{path}.like", str(like), earlier, "an earlier type"))
            return None
        kind = base.kind if kind is None else kind
    known = KINDS if base is None else (base.kind,)
    if not isinstance(kind, str) or kind not in known:
        problems.append(unknown_name(f"{path}.kind", str(kind), known, "a kind of part"))
        return None
    below = {name: getattr(base.data, name) for name in base.given} if base else {}
    own, wrong = read_fields(kind, entry, unit=unit, prefix=path, also=_BESIDE)
    derived, more = from_short_forms(kind, own, below)
    wrong += [problem.inside(path) for problem in more]
    fields = KINDS[kind].model_fields
    values = below | {k: v for k, v in own.items() if k in fields}
    values |= {name: value for name, (value, _) in derived.items()}
    if not wrong:
        wrong = missing_fields(kind, values, prefix=path)
    if wrong:
        problems += wrong
        return None
    data = make_part(kind, values)
    if isinstance(data, Display):
        misfits = [problem.inside(path) for problem in display_misfits(data)]
        if misfits:
            problems += misfits
            return None
    taken = {name: base.source(name) for name in base.given} if base else {}
    sources = {**_unsaid_source(file, base), **sources}
    made_of = {name: sources.get(short, "plain geometry") for name, (_, short) in derived.items()}
    return CatalogType(
        key,
        data,
        explains or (base.explains if base else ""),
        MappingProxyType({**_without(taken, own), **made_of, **sources}),
    )


def _unsaid_source(file: str, base: CatalogType | None) -> dict[str, str]:
    """Where values come from that name no source: the maker's own file, or, here, the type that one is like."""
    if file not in PACKAGED:
        return {"*": f"own catalog file {file}"}
    return {"*": base.sources["*"]} if base and "*" in base.sources else {}


def _without(sources: Mapping[str, str], own: Mapping[str, Any]) -> dict[str, str]:
    """Sources of the values that a type takes over from the one it is like."""
    return {name: source for name, source in sources.items() if name not in own}


S = TypeVar("S", bound=Stock)


def _read_stock(
    root: Mapping[str, Any],
    table: str,
    model: type[S],
    unit: Unit,
    problems: list[InputError],
) -> dict[str, S]:
    made: dict[str, S] = {}
    for key, entry in _entries(root, table, problems):
        try:
            made[key] = model.model_validate({**entry, "key": key}, context={"unit": unit})
        except ValidationError as error:
            known = [name for name in model.model_fields if name != "key"]
            problems += [
                problem_of(detail, prefix=f"{table}.{key}", known=known)
                for detail in error.errors()
            ]
    return made


def _text(value: object, path: str, problems: list[InputError]) -> str:
    if isinstance(value, str):
        return value
    problems.append(InputError(path, got=quoted(value), want="text"))
    return ""


def _sources(value: object, path: str, problems: list[InputError]) -> dict[str, str]:
    if isinstance(value, dict) and all(isinstance(text, str) for text in value.values()):
        return dict(value)
    problems.append(InputError(path, got=quoted(value), want="a source for each field named"))
    return {}


_TOML_PLACE = re.compile(r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)", re.DOTALL)


def _no_toml(file: str, text: str, message: str) -> InputError:
    """The reader's message with its place; it states line and column in words."""
    lines = text.splitlines() or [""]
    match = _TOML_PLACE.fullmatch(message)
    line = int(match[2]) if match and match[2] else len(lines)
    column = int(match[3]) if match and match[3] else 1
    shown = lines[min(line, len(lines)) - 1]
    what = match[1] if match else message
    want = f"a TOML file ({what[:1].lower()}{what[1:]})"
    return InputError("", got=quoted(shown), want=want).at(Spot(file, line, column, shown))


def _spot(file: str, text: str, path: str) -> Spot:
    """The line of a value, or of the entry that lacks it, found by its words."""
    parts = path.split(".")
    lines = text.splitlines() or [""]
    header, name = ".".join(parts[:2]), parts[2] if len(parts) > 2 else ""
    inside, best = len(parts) < 3, 0
    for number, line in enumerate(lines):
        plain = line.strip()
        if plain.startswith("["):
            title = plain.lstrip("[").partition("]")[0].replace('"', "").strip()
            inside = title == header or title.startswith(header + ".")
            if inside and not best:
                best = number
            if inside and name and title.startswith(f"{header}.{name}"):
                return Spot(file, number + 1, 1, line)
        elif inside and re.match(rf"[\"']?{re.escape(name or parts[-1])}[\"']?\s*=", plain):
            return Spot(file, number + 1, len(line) - len(line.lstrip()) + 1, line)
    return Spot(file, best + 1, 1, lines[best])


__all__ = [
    "EMPTY",
    "PACKAGED",
    "Catalog",
    "CatalogType",
    "load_catalog",
    "read_catalog",
]
