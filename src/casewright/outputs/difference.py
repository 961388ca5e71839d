"""What is different between two states of a project: pieces, parts, settings, findings, mass and cost."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from casewright.basics.findings import Finding, mm
from casewright.geometry.model import Cabinet, Piece, Point2

NEAR = 0.05
"""Lengths that differ by less are the same on paper. [mm]"""
MANY = 400
"""Lines of one kind; what is more is only counted."""

Kind = Literal["setting", "piece", "part", "finding", "figure"]
TITLES: Mapping[Kind, str] = {
    "setting": "What the project says",
    "piece": "Pieces",
    "part": "Parts and their places",
    "finding": "Findings",
    "figure": "Figures",
}


@dataclass(frozen=True)
class Line:
    """One difference. Lengths in texts are marked by `mm`."""

    kind: Kind
    what: str
    before: str
    """ "" where it is new."""
    after: str
    """ "" where it is gone."""


@dataclass(frozen=True)
class State:
    """What is compared of one state."""

    data: Mapping[str, Any]
    """The project file's."""
    cabinet: Cabinet
    findings: Sequence[Finding]
    mass_kg: float
    cost: float
    currency: str
    sheets: int


def difference(before: State, after: State) -> tuple[Line, ...]:
    """All differences, in the order of `TITLES`."""
    return (
        *_settings(before.data, after.data),
        *_pieces(before.cabinet, after.cabinet),
        *_parts(before.cabinet, after.cabinet),
        *_findings(before.findings, after.findings),
        *_figures(before, after),
    )


# ---- the project's own words ----


def _settings(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Line]:
    old, new = dict(_leaves(before)), dict(_leaves(after))
    keys = [
        key for key in (*old, *(k for k in new if k not in old)) if old.get(key) != new.get(key)
    ]
    for key in keys[:MANY]:
        yield Line("setting", key, old.get(key, ""), new.get(key, ""))
    if len(keys) > MANY:
        yield Line("setting", f"and {len(keys) - MANY} more", "", "")


def _leaves(data: Any, path: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(data, Mapping):
        for key, value in data.items():
            if path == "" and key == "as built":
                yield from _records(value)
            else:
                yield from _leaves(value, f"{path}.{key}" if path else str(key))
    elif isinstance(data, list | tuple) and any(isinstance(one, Mapping) for one in data):
        for index, value in enumerate(data):
            name = value.get("key", index) if isinstance(value, Mapping) else index
            yield from _leaves(value, f"{path}.{name}")
    elif isinstance(data, list | tuple):
        yield path, ", ".join(str(one) for one in data)
    else:
        yield path, str(data)


def _records(records: Any) -> Iterator[tuple[str, str]]:
    """Of pieces that exist, how far they have come and what was measured; not how they were drawn."""
    for key, record in (records or {}).items():
        told = {name: value for name, value in record.items() if name != "drawn"}
        yield from _leaves(told, f"as built.{key}")


# ---- pieces ----


def _pieces(before: Cabinet, after: Cabinet) -> Iterator[Line]:
    old, new = before.piece_by_key, after.piece_by_key
    for key, piece in old.items():
        if key not in new:
            yield Line("piece", piece.label, size_words(piece), "")
    for key, piece in new.items():
        was = old.get(key)
        if was is None:
            yield Line("piece", piece.label, "", size_words(piece))
        elif not _same_size(was, piece):
            yield Line("piece", piece.label, size_words(was), size_words(piece))
        elif not _same_outline(was, piece):
            yield Line("piece", piece.label, "", "same size, other bevels or profile")
        elif (moved := _moved_holes(was, piece)) > 0:
            holes = "hole" if moved == 1 else "holes"
            yield Line("piece", piece.label, "", f"{moved} {holes} new, gone or elsewhere")


def changed_pieces(before: Cabinet, after: Cabinet) -> tuple[str, ...]:
    """Keys of the pieces that are gone, are new, or have another size, outline or hole; those gone come first."""
    old, new = before.piece_by_key, after.piece_by_key
    gone = [key for key in old if key not in new]
    other = [
        key
        for key, piece in new.items()
        if (was := old.get(key)) is None
        or not _same_size(was, piece)
        or not _same_outline(was, piece)
        or _moved_holes(was, piece)
    ]
    return (*gone, *other)


def size_words(piece: Piece) -> str:
    """Longer side × shorter side × thickness."""
    sizes = sorted((piece.width, piece.height), reverse=True)
    return " × ".join(mm(size) for size in (*sizes, piece.thickness))


def _same_size(a: Piece, b: Piece) -> bool:
    pairs = ((a.width, b.width), (a.height, b.height), (a.thickness, b.thickness))
    return all(abs(x - y) < NEAR for x, y in pairs)


def _same_outline(a: Piece, b: Piece) -> bool:
    return all(
        len(p) == len(q)
        and all(
            math.dist(x, y) < NEAR for x, y in zip(_from_corner(p), _from_corner(q), strict=True)
        )
        for p, q in ((a.show, b.show), (a.back, b.back))
    )


def _from_corner(points: Sequence[Point2]) -> list[Point2]:
    u, v = min(p[0] for p in points), min(p[1] for p in points)
    return [(p[0] - u, p[1] - v) for p in points]


def _moved_holes(a: Piece, b: Piece) -> int:
    def places(piece: Piece) -> dict[str, tuple[float, ...]]:
        low_u, low_v, _, _ = piece.extent
        found = {}
        for feature in piece.features:
            shape = feature.shape
            if hasattr(shape, "points"):
                numbers = [c for p in shape.points for c in (p[0] - low_u, p[1] - low_v)]
            else:
                sizes = [
                    getattr(shape, n) for n in ("diameter", "width", "height") if hasattr(shape, n)
                ]
                numbers = [shape.u - low_u, shape.v - low_v, *sizes]
            found[feature.key] = tuple(round(n, 1) for n in (*numbers, feature.depth or 0.0))
        return found

    old, new = places(a), places(b)
    return sum(old.get(key) != new.get(key) for key in {*old, *new})


# ---- parts ----


def _parts(before: Cabinet, after: Cabinet) -> Iterator[Line]:
    old, new = before.placed_by_key, after.placed_by_key

    def place(cabinet: Cabinet, key: str) -> str:
        placed = cabinet.placed_by_key[key]
        piece = cabinet.piece_by_key.get(placed.piece)
        on = piece.label if piece else placed.piece
        what = f"{placed.part.label} on" if placed.label != placed.part.label else "on"
        return f"{what} {on}, {mm(placed.u)} / {mm(placed.v)}"

    for key in (*old, *(k for k in new if k not in old)):
        label = (new.get(key) or old[key]).label or key
        was = place(before, key) if key in old else ""
        now = place(after, key) if key in new else ""
        if was != now:
            yield Line("part", label, was, now)


# ---- findings and figures ----


def _findings(before: Sequence[Finding], after: Sequence[Finding]) -> Iterator[Line]:
    """Gone, new, and those of one rule about the same things whose words changed."""
    old, new = _told(before, after), _told(after, before)
    for key, was in old.items():
        now = new.pop(key, ())
        for index in range(max(len(was), len(now))):
            a = was[index] if index < len(was) else None
            b = now[index] if index < len(now) else None
            one = b or a
            assert one is not None
            yield Line(
                "finding", one.severity.value, a.message if a else "", b.message if b else ""
            )
    for now in new.values():
        for finding in now:
            yield Line("finding", finding.severity.value, "", finding.message)


def _told(
    mine: Sequence[Finding], others: Sequence[Finding]
) -> dict[tuple[str, tuple[str, ...]], tuple[Finding, ...]]:
    """What only one of the two says, by rule and by what it is about, the gravest first."""
    theirs = {(f.severity, f.message) for f in others}
    found: dict[tuple[str, tuple[str, ...]], tuple[Finding, ...]] = {}
    for finding in sorted(mine, key=lambda f: f.order):
        if (finding.severity, finding.message) not in theirs:
            key = (finding.rule, finding.place.names)
            found[key] = (*found.get(key, ()), finding)
    return found


def _figures(before: State, after: State) -> Iterator[Line]:
    rows = [
        ("mass", f"{before.mass_kg:.1f} kg", f"{after.mass_kg:.1f} kg"),
        ("cost", f"{before.cost:.2f} {before.currency}", f"{after.cost:.2f} {after.currency}"),
        ("sheets to cut", str(before.sheets), str(after.sheets)),
        ("pieces", str(len(before.cabinet.pieces)), str(len(after.cabinet.pieces))),
    ]
    for what, was, now in rows:
        if was != now:
            yield Line("figure", what, was, now)


def line_words(line: Line) -> str:
    """One difference in one line; lengths marked."""
    if not line.before and not line.after:
        return line.what
    if not line.before:
        return f"{line.what}: now {line.after}"
    if not line.after:
        return f"{line.what}: no longer {line.before}"
    return f"{line.what}: {line.before} → {line.after}"


__all__ = [
    "TITLES",
    "Kind",
    "Line",
    "State",
    "changed_pieces",
    "difference",
    "line_words",
    "size_words",
]
