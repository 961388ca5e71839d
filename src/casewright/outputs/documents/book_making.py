"""Chapters: saw set-ups, routing and drilling, each grouped so that a tilt or a bit is set once."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import groupby

from casewright.design.project import Shop
from casewright.geometry.model import Circle, FaceName, Feature, Rectangle
from casewright.outputs.documents.book_blocks import (
    TICK,
    Block,
    Cell,
    Column,
    Writer,
    bold,
    chapter,
    grouped,
    heading,
    small,
    table,
    text,
    together,
)
from casewright.outputs.documents.book_codes import opens_step, opens_work
from casewright.outputs.drawings.hole_table import TOOLS, HoleRow, depth_words, size_words
from casewright.outputs.drawings.marks import (
    Box,
    Drawing,
    Line,
    Mark,
    Polyline,
    Region,
    Text,
    rectangle,
)
from casewright.outputs.drawings.part_view import PartSheet
from casewright.outputs.drawings.symbols import arrow_head
from casewright.planning.setups import SawSetup, saw_setups
from casewright.planning.work.holes import CHAMFER_PASS, PASS, ROUTED, bored, passes
from casewright.planning.work.routing import routing_plans
from casewright.planning.work.sawing import bevel_fence, bevel_means
from casewright.planning.work.step import Step, other

TILT_WIDTH = 118.0
"""Of the picture above a tilt's table. [mm]"""


def setups_chapter(writer: Writer) -> Iterator[Block]:
    """One tilt of the blade after the other."""
    setups = saw_setups(writer.cabinet)
    if not setups:
        return
    yield chapter(
        "Saw set-ups",
        "One tilt at a time. The longer face lies up and the blade leans away from the fence; prove "
        "every tilt on scrap.",
    )
    yield from opens_step(writer, lambda step: step.stage == "bevel")
    yield writer.cautions("saw")
    yield small(
        "Up: the face that carries the long point; the other one lies down on the table. Fence: from the fence to the "
        "blade where it leaves the table; with (sled) a stop block at that distance on sled or miter gauge, with "
        "(rail) a guide rail at that distance from the far edge. To far edge: from the long point, on the upper face. "
        f"All in {writer.unit_words}."
    )
    shop = writer.cabinet.project.shop
    led = {"fence": "", "sled": " (sled)", "guide": " (rail)"}
    for setup in setups:
        rows: list[list[Cell] | str] = []
        for edge in setup.edges:
            piece = writer.cabinet.piece_by_key[edge.piece]
            means = led[bevel_means(piece, edge, shop.fence_reach)]
            rows.append(
                [
                    TICK,
                    edge.label,
                    edge.edge,
                    bold(edge.longer),
                    other(edge.longer),
                    bold(f"{writer.figure(bevel_fence(piece, edge))}{means}"),
                    writer.figure(edge.across),
                    writer.figure(edge.length),
                ]
            )
        past = setup.tilt_deg > shop.tilt_most + 0.05
        yield together(
            *opens_step(writer, partial(_bevels, setup)),
            heading(f"Tilt {setup.tilt_deg:.1f}°"),
            *(
                [
                    text(
                        f"More than the saw's {shop.tilt_most:.0f}°: do not cut it flat on the table. See the findings."
                    )
                ]
                if past
                else []
            ),
            writer.drawing(tilt_drawing(setup), margin=0.5, most=(TILT_WIDTH, 40.0)),
            table(
                [
                    Column(""),
                    Column("piece", 1),
                    Column("edge"),
                    Column("up"),
                    Column("down"),
                    Column("fence", 0, "right"),
                    Column("to far edge", 0, "right"),
                    Column("length", 0, "right"),
                ],
                rows,
                breaks=False,
                dense=True,
            ),
        )


def _bevels(setup: SawSetup, step: Step) -> bool:
    """Whether a step saws one of the edges of a tilt."""
    if step.stage != "bevel" or step.setting is None:
        return False
    return f"{setup.tilt_deg:.1f}°" in step.setting.values[0] and any(
        edge.piece in step.pieces for edge in setup.edges
    )


def tilt_drawing(setup: SawSetup) -> Drawing:
    """A board on the saw's table, longer face up, seen from where the sawyer stands: fence, blade, long point."""
    high, far = 9.0, 62.0
    lean = high * math.tan(math.radians(setup.tilt_deg))
    tangent = math.tan(math.radians(setup.tilt_deg))
    board = ((-far, 0.0), (0.0, 0.0), (lean, high), (-far, high))
    # The board's end leans out by `lean` at the top: the long point. Square would be the chain line.
    blade = [(tangent * y, y) for y in (-5.0, high + 7.0)]
    marks: list[Mark] = [
        Region(rectangle(Box(-far - 7.0, 0.0, -far, high + 4.0)), material="metal"),
        rectangle(Box(-far - 7.0, 0.0, -far, high + 4.0), pen="thin"),
        Region(Polyline(board), material="wood"),
        Polyline(board),
        Line((-far - 12.0, 0.0), (-1.2, 0.0), "visible"),
        Line((2.4, 0.0), (30.0, 0.0), "visible"),
        Line((0.0, 0.0), (0.0, high + 7.0), "centre"),
        Line(blade[0], blade[1], "accent"),
        Text((-far - 3.5, high + 5.5), "fence", 2.5, "middle"),
        Text((-far / 2, high + 2.0), f"{_faces(setup)} up", 2.5, "middle"),
        Text((-far - 10.0, -4.5), "table", 2.5),
        Text((lean + 3.0, high - 0.5), "long point", 2.5, "start", "middle"),
        Text((blade[1][0] + 2.0, blade[1][1]), "blade", 2.5, "start", "top"),
        # From the fence to where the blade leaves the table.
        Line((-far, -3.4), (0.0, -3.4), "dimension"),
        arrow_head((-far, -3.4), 180.0),
        arrow_head((0.0, -3.4), 0.0),
        Text((-far / 2, -7.0), "fence to blade, on the table", 2.5, "middle"),
    ]
    words = f"{setup.tilt_deg:.1f}°"
    marks.append(Text((-far / 2, high / 2), words, 3.5, "middle", "middle", weight="bold"))
    return Drawing(f"Tilt {setup.tilt_deg:.1f}°", tuple(marks))


def _faces(setup: SawSetup) -> str:
    """The faces that carry this tilt's long points."""
    faces = sorted({edge.longer for edge in setup.edges})
    return f"{faces[0]} face" if len(faces) == 1 else "longer face"


def routing_chapter(writer: Writer) -> Iterator[Block]:
    """Openings, pockets and chamfers, piece by piece."""
    jobs = [
        (sheet, row)
        for sheet in writer.source.sheets
        for row in sheet.hole_rows
        if row.feature.tool in ROUTED
    ]
    if not jobs:
        return
    shop = writer.cabinet.project.shop
    yield chapter(
        "Routing and sawing out",
        f"Saw out roughly, {writer.length(2.5)} inside the line, then trim along guide strips on the back face. "
        "Pockets in passes. Chamfers last. Each plan is drawn in bench-drawings.pdf.",
    )
    yield from opens_step(writer, lambda step: step.stage == "shape")
    yield writer.cautions("router", "dust")
    yield small(
        f"Corner: inside radius that the bit leaves. Passes: at most {writer.length(PASS)} deep and half "
        f"the bit's diameter; chamfers at most {writer.length(CHAMFER_PASS)} wide."
    )
    rows: list[list[Cell] | str | Block] = []
    before: tuple[str, FaceName] | None = None
    for job in _jobs(_merged(jobs), shop, writer):
        if job.where != before:
            place = opens_work(writer, job.piece, frozenset((job.feature,)))
            rows.append(grouped(f"{job.where[0]}: {job.where[1]} face up", place))
            before = job.where
        rows.append(job.cells)
    yield table(
        [
            Column(""),
            Column(""),
            Column("what", 2),
            Column(f"size, {writer.source.style.unit}", 1.4),
            Column("tool", 1.2),
            Column("depth", 0, "right"),
            Column("corner", 0, "right"),
            Column("passes", 0, "right"),
        ],
        rows,
        dense=True,
    )


@dataclass(frozen=True)
class _Job:
    """One line of the routing table."""

    where: tuple[str, FaceName]
    """The sheet's label, and the face that lies up."""
    cells: list[Cell]
    piece: str
    feature: str
    """Keys of what is worked."""


def _jobs(rows: Sequence[tuple[PartSheet, HoleRow]], shop: Shop, writer: Writer) -> Iterator[_Job]:
    """Lines piece by piece; what is trimmed along guide strips lies back face up, chamfers come last."""
    for _, group in groupby(rows, key=lambda pair: pair[0].piece):
        mine = list(group)
        lines: list[_Job] = []
        for sheet, row in mine:
            feature = row.feature
            thickness = writer.cabinet.piece_by_key[sheet.piece].thickness
            up: FaceName = "back" if _trimmed(feature) else feature.face
            plain = replace(feature, chamfer=0.0)
            cells: list[Cell] = [
                TICK,
                bold(row.tag),
                row.purpose.removeprefix(f"{writer.labels[sheet.piece]}: ")
                + _plan_words(writer, sheet, feature),
                size_words(plain, writer.source.style).replace("R ", "R\u00a0"),
                TOOLS.get(feature.tool, feature.tool),
                depth_words(plain, writer.source.style),
                _radius(writer, feature),
                str(passes(plain, shop, thickness)),
            ]
            lines.append(_Job((sheet.label, up), cells, sheet.piece, feature.key))
        for sheet, row in mine:
            if not row.feature.chamfer:
                continue
            wide = row.feature.chamfer
            cells = [
                TICK,
                bold(row.tag),
                "chamfer of its rim, 45°",
                f"{writer.figure(wide)} wide",
                "router, chamfer bit",
                writer.figure(wide),
                "",
                str(max(1, math.ceil(wide / CHAMFER_PASS - 1e-9))),
            ]
            where = (sheet.label, row.feature.face)
            lines.append(_Job(where, cells, sheet.piece, row.feature.key))
        yield from sorted(lines, key=lambda line: line.where[1] != lines[0].where[1])


def _plan_words(writer: Writer, sheet: PartSheet, feature: Feature) -> str:
    """Which routing plan draws it."""
    for plan in routing_plans(writer.cabinet):
        if plan.piece == sheet.piece and feature.key in plan.alike:
            return f" (plan {plan.number})"
    return ""


def _trimmed(feature: Feature) -> bool:
    """Whether guide strips on the back face lead the bit."""
    return feature.tool == "flush trim" and feature.depth is None


def drilling_chapter(writer: Writer) -> Iterator[Block]:
    """Every bit once, with all holes it drills and the ends of all slots."""
    groups: dict[tuple[str, str], list[tuple[PartSheet, list[HoleRow]]]] = {}
    sizes: dict[tuple[str, str], float] = {}
    for sheet in writer.source.sheets:
        by_letter: dict[str, list[HoleRow]] = {}
        for row in sheet.hole_rows:
            if row.feature.tool not in ROUTED:
                by_letter.setdefault(row.letter, []).append(row)
        for rows in by_letter.values():
            bore = bored(rows[0].feature)
            key = (rows[0].feature.tool, writer.bit(bore))
            groups.setdefault(key, []).append((sheet, rows))
            sizes[key] = bore
    if not groups:
        return
    unit = writer.source.style.unit
    yield chapter(
        "Drilling by bit",
        "Places stand in the hole table of each piece's page. Through holes: backing board under the "
        "other face, clamped.",
        joins=any(
            row.feature.tool in ROUTED for sheet in writer.source.sheets for row in sheet.hole_rows
        ),
    )
    yield from opens_step(
        writer, lambda step: bool(step.setting and step.setting.machine == "drill")
    )
    yield writer.cautions("drill")
    table_rows: list[list[Cell] | str | Block] = []
    order = list(TOOLS)
    for tool, diameter in sorted(
        groups, key=lambda key: (order.index(key[0]) if key[0] in order else 99, sizes[key])
    ):
        entries = groups[tool, diameter]
        count = sum(_count(rows) * max(1, sheet.quantity) for sheet, rows in entries)
        holes = "hole" if count == 1 else "holes"
        sheet, rows = entries[0]
        place = opens_work(writer, sheet.piece, frozenset(row.feature.key for row in rows))
        words = f"⌀ {diameter} {unit}, {TOOLS.get(tool, tool)}: {count} {holes}"
        table_rows.append(grouped(words, place))
        for sheet, rows in entries:
            first = rows[0]
            tags = first.tag if len(rows) == 1 else f"{first.tag}–{rows[-1].tag}"
            table_rows.append(
                [
                    TICK,
                    sheet.label,
                    f"{sheet.face} face",
                    bold(tags),
                    str(_count(rows)),
                    first.depth if first.depth == "through" else bold(first.depth),
                    _slot_words(first.feature, writer)
                    + _purposes(rows, writer.labels[sheet.piece]),
                ]
            )
    yield table(
        [
            Column(""),
            Column("piece", 2),
            Column("from", 0),
            Column("holes", 0),
            Column("", 0, "right"),
            Column(f"stop, {writer.source.style.unit}", 0, "right"),
            Column("for", 2.2),
        ],
        table_rows,
        dense=True,
    )


def _count(rows: Sequence[HoleRow]) -> int:
    return sum(1 if isinstance(row.feature.shape, Circle) else 2 for row in rows)


def _slot_words(feature: Feature, writer: Writer) -> str:
    shape = feature.shape
    if not isinstance(shape, Rectangle):
        return ""
    long = writer.length(max(shape.width, shape.height))
    return f"slot {long} long, bore both ends and file out between: "


def _merged(jobs: list[tuple[PartSheet, HoleRow]]) -> list[tuple[PartSheet, HoleRow]]:
    """Equal features of one purpose as one line, its tag from the first to the last."""
    merged: dict[tuple[str, str, str, str], tuple[PartSheet, HoleRow]] = {}
    for sheet, row in jobs:
        key = (sheet.piece, sheet.face, row.letter, row.purpose)
        if key in merged:
            first = merged[key][1]
            tag = f"{first.tag.split('–')[0]}–{row.tag}"
            merged[key] = (sheet, replace(first, tag=tag))
        else:
            merged[key] = (sheet, row)
    return list(merged.values())


def _purposes(rows: Sequence[HoleRow], label: str) -> str:
    """What the holes of one letter are for, the first few by name."""
    names = list(dict.fromkeys(row.purpose.removeprefix(f"{label}: ") for row in rows))
    if len(names) > 3:
        return "; ".join([*names[:2], f"and {len(names) - 2} more"])
    return "; ".join(names)


def _radius(writer: Writer, feature: Feature) -> str:
    shape = feature.shape
    return (
        f"R {writer.figure(shape.radius)}" if isinstance(shape, Rectangle) and shape.radius else ""
    )


__all__ = [
    "drilling_chapter",
    "routing_chapter",
    "setups_chapter",
    "tilt_drawing",
]
