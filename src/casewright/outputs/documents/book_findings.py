"""Chapter: what to look at before cutting, and where it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.customary import air_words, scale_words
from casewright.basics.findings import Finding, Severity
from casewright.catalog.explaining import field_label, field_unit, write_value
from casewright.catalog.kinds import PartKind
from casewright.geometry.model import Body, Box, Cylinder
from casewright.outputs.documents.book_blocks import (
    BLANK,
    TICK,
    Block,
    Cell,
    Column,
    Writer,
    chapter,
    clean,
    heading,
    table,
    text,
    ticks,
)
from casewright.outputs.documents.book_codes import opens
from casewright.outputs.drawings.marks import (
    Circle,
    Drawing,
    Mark,
    Polyline,
    Region,
    Text,
    polar,
)

WORDS = {Severity.STOP: "Stop", Severity.CAUTION: "Caution", Severity.NOTE: "Note"}
DOT = 3.2
"""Radius of a numbered dot on paper. [mm]"""


def findings_chapter(writer: Writer) -> Iterator[Block]:
    """Stops first, each with its number in the side view."""
    findings = writer.source.findings
    counts = {severity: sum(f.severity is severity for f in findings) for severity in Severity}
    names = {
        Severity.STOP: ("stop", "stops"),
        Severity.CAUTION: ("caution", "cautions"),
        Severity.NOTE: ("note", "notes"),
    }
    said = ", ".join(
        f"{count} {names[severity][count != 1]}" for severity, count in counts.items() if count
    )
    yield chapter(
        "Look at these first",
        f"{said}. Numbers are those of the side view."
        if findings
        else "Nothing stands against cutting as far as the checks reach.",
    )
    yield from opens(writer, view="findings")
    if counts[Severity.STOP]:
        yield text("A stop means: do not cut. What it names will not fit, work or be safe.")
    drawing = place_picture(writer, findings)
    yield writer.drawing(drawing, most=(writer.width, writer.height * 0.36))
    for number, finding in enumerate(findings, start=1):
        yield {
            "kind": "finding",
            "number": number,
            "placed": finding.place.point is not None,
            "severity": finding.severity.value,
            "word": WORDS[finding.severity],
            "about": clean(_names(writer, finding)),
            "message": writer.say(finding.message),
            "missing": clean(missing_words(writer, finding.missing)),
            "remedies": [writer.say(remedy.words) for remedy in finding.remedies],
            "why": writer.say(finding.why),
        }


def place_picture(writer: Writer, findings: Sequence[Finding]) -> Drawing:
    """Side view from the right with a numbered dot at each finding."""
    cabinet = writer.cabinet
    points = list(cabinet.shape.corners.values())
    for piece in cabinet.pieces:
        for u, v in piece.show:
            point = piece.frame.point(u, v)
            points.append((point[1], point[2]))
    ys, zs = [p[0] for p in points], [p[1] for p in points]
    high = max(zs) - min(zs)
    scale = min(writer.height * 0.32 / high, (writer.width - 30) / (max(ys) - min(ys)))
    marks: list[Mark] = []
    for piece in cabinet.pieces:
        if piece.kind == "side" or (piece.kind == "board" and abs(piece.frame.n[0]) > 0.9):
            outline = tuple((p[1], p[2]) for p in (piece.frame.point(u, v) for u, v in piece.show))
            if piece.kind == "side" and piece.key == "left":
                continue
            marks += [Region(Polyline(outline), material="face"), Polyline(outline, pen="thin")]
    for body in cabinet.bodies:
        if body.kind == "solid" and abs(body.frame.n[0]) < 0.1:
            outline = _body_outline(body)
            marks += [Region(Polyline(outline), material="part"), Polyline(outline, pen="thin")]
    for slab in cabinet.slabs:
        marks += [
            Region(Polyline(slab.polygon), material="wood"),
            Polyline(slab.polygon, pen="thin"),
        ]
    taken: list[tuple[float, float]] = []
    for number, finding in enumerate(findings, start=1):
        if finding.place.point is None:
            continue
        _, y, z = finding.place.point
        at = _free((y, z), taken, 2.1 * DOT / scale)
        taken.append(at)
        marks += [
            Region(Circle(at, DOT / scale), material="paper"),
            Circle(at, DOT / scale, "accent"),
            Text(at, str(number), 2.5, "middle", "middle", weight="bold", pen="accent"),
        ]
    return Drawing(
        "Side view from the right, with the places of the findings", tuple(marks), scale=scale
    )


def _free(
    at: tuple[float, float], taken: Sequence[tuple[float, float]], apart: float
) -> tuple[float, float]:
    """The nearest place, on widening rings, that no dot has taken."""
    for ring in range(12):
        for turn in range(1 if ring == 0 else 12):
            place = polar(at, ring * apart / 2, 30.0 * turn)
            if all(
                (place[0] - x) ** 2 + (place[1] - z) ** 2 >= (apart * 0.999) ** 2 for x, z in taken
            ):
                return place
    return at


def _body_outline(body: Body) -> tuple[tuple[float, float], ...]:
    shape = body.shape
    if isinstance(shape, Box):
        half_u, half_v = shape.width / 2, shape.height / 2
    else:
        assert isinstance(shape, Cylinder)
        half_u = half_v = shape.diameter / 2
    corners = [
        body.frame.point(shape.u + du * half_u, shape.v + dv * half_v, n)
        for du in (-1, 1)
        for dv in (-1, 1)
        for n in (shape.n_low, shape.n_high)
    ]
    return _hull([(p[1], p[2]) for p in corners])


def _hull(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Convex outline, counter-clockwise: the lower chain, then the upper one."""
    ordered = sorted(points)
    chains = []
    for run in (ordered, ordered[::-1]):
        chain: list[tuple[float, float]] = []
        for point in run:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 1e-9:
                chain.pop()
            chain.append(point)
        chains.append(chain[:-1])
    return (*chains[0], *chains[1])


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def missing_words(writer: Writer, missing: str) -> str:
    """Project paths of measurements as a maker says them.

    "parts.fan.measured.pitch" becomes "pitch of Fan 60 mm"; what is no such path stays as it is.
    """
    first, _, rest = missing.partition(".")
    key, _, field = rest.partition(".")
    material = writer.cabinet.project.materials.get(key) if first == "materials" else None
    if material is not None and field in ("measured", "sheets"):
        what = {"measured": "thickness", "sheets": "sizes of the sheets"}[field]
        return f"{what} of {material.label or key}"
    by_part: dict[str, list[str]] = {}
    for path in missing.split(", "):
        words = path.split(".")
        if len(words) != 4 or words[0] != "parts" or words[1] not in writer.cabinet.parts:
            return missing
        by_part.setdefault(words[1], []).append(field_label(words[3]))
    return "; ".join(
        f"{', '.join(fields)} of {writer.cabinet.parts[key].label}"
        for key, fields in by_part.items()
    )


def _names(writer: Writer, finding: Finding) -> str:
    names = list(dict.fromkeys(writer.labels.get(name, name) for name in finding.place.names))
    if len(names) > 4:
        names = [*names[:3], f"and {len(names) - 3} more"]
    return " / ".join(names)


def measuring_chapter(writer: Writer) -> Iterator[Block]:
    """What to measure before cutting, with room for the reading."""
    yield chapter(
        "Measure before cutting",
        "Every number here is still taken on trust. Write the reading beside it, put it into the "
        "project, and print again.",
    )
    yield from opens(writer, view="parts")
    rows: list[Sequence[Cell] | str] = []
    for part in writer.cabinet.parts.values():
        if not any(placed.part.key == part.key for placed in writer.cabinet.placed):
            continue
        open_fields = [
            (name, origin)
            for name, origin in part.origin.items()
            if origin in ("assumed", "catalog")
            and name != "price"
            and isinstance(getattr(part.data, name, None), float)
        ]
        if not open_fields:
            continue
        rows.append(part.label)
        for name, origin in sorted(open_fields, key=lambda item: (item[1] != "assumed", item[0])):
            value = _reckoned(writer, part.data, name)
            rows.append([TICK, field_label(name), value, origin, BLANK])
    if rows:
        yield table(
            [
                Column(""),
                Column("dimension", 2),
                Column("reckoned with", 1.2, "right"),
                Column("from", 1),
                Column("reading", 1.6),
            ],
            rows,
            dense=True,
        )
    else:
        yield text("Every dimension of the placed parts was measured.")
    missing = [finding for finding in writer.source.findings if finding.missing]
    if missing:
        yield heading("Checks that could not run")
        yield ticks(
            [f"{missing_words(writer, f.missing)} ({writer.say(f.message)})" for f in missing]
        )
    yield heading("Thickness card")
    yield text(
        "Measure each sheet with calipers at four places, away from the factory edge. The mean is "
        "what the project needs; more than a few tenths apart is a sheet to take back.",
        leads=True,
    )
    yield table(
        [
            Column("material", 2.4),
            Column("nominal", 1, "right"),
            Column("reckoned with", 1.2, "right"),
            *(Column(str(n), 0.8) for n in range(1, 5)),
            Column("mean", 0.9),
        ],
        [
            [
                material.label or key,
                writer.length(material.nominal),
                writer.length(material.thickness) + ("" if material.measured else " ?"),
                *([BLANK] * 5),
            ]
            for key, material in writer.cabinet.project.materials.items()
            if any(piece.material == key for piece in writer.cabinet.pieces)
        ],
        breaks=False,
    )


def _reckoned(writer: Writer, data: PartKind, name: str) -> str:
    """A part's number as its scale or its label tells it."""
    value, unit = getattr(data, name), writer.source.style.unit
    told = field_unit(data.kind, name)
    if told == "kg":
        return scale_words(value, unit)
    if told == "m³/h":
        return air_words(value, unit)
    return write_value(data.kind, name, value, writer.length)


__all__ = ["findings_chapter", "measuring_chapter", "missing_words", "place_picture"]
