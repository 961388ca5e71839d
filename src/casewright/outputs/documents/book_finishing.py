"""Chapter: painting, coat by coat."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.wording import capital
from casewright.behavior.masking import masking
from casewright.behavior.painting import Painting
from casewright.outputs.documents.book_blocks import (
    BLANK,
    TICK,
    Block,
    Cell,
    Column,
    Writer,
    chapter,
    facts,
    heading,
    small,
    table,
    ticks,
)
from casewright.outputs.documents.book_codes import opens_step

_WHERE = {"edges": "cut edges and rims", "faces": "faces", "all": "faces and edges"}


def finishing_chapter(writer: Writer) -> Iterator[Block]:
    """Areas, coats, what to mask, and what dries when."""
    painting = writer.source.behavior.painting
    if not painting.products:
        return
    yield chapter(
        "Finishing",
        "Edges drink more than faces: seal them first. The label's times go before those given here.",
    )
    yield from opens_step(writer, lambda step: step.stage == "paint")
    yield writer.cautions("dust", "fumes")
    yield facts(
        [
            ("faces", writer.area(painting.face_m2 * 1e6)),
            ("cut edges and rims", writer.area(painting.edge_m2 * 1e6)),
            ("cans", str(sum(product.cans for product in painting.products))),
            ("days until it is hard", str(painting.days)),
        ]
    )
    masks = masking(writer.cabinet, painting.surfaces)
    yield heading("Mask before painting")
    yield ticks([f"{capital(m.what)}: {m.where}. {m.why}" for m in masks])
    yield heading("Coats in order")
    yield table(
        [
            Column(""),
            Column("day", 0, "right"),
            Column("coat", 1.8),
            Column("where", 1.4),
            Column("wait before the next", 2.2),
            Column("done on", 1),
        ],
        list(_coats(painting)),
        breaks=False,
    )
    yield small(
        "Fill screw holes and voids of the cut edges first, and sand when it turns to powder."
    )
    yield from _areas(writer, painting)


def _coats(painting: Painting) -> Iterator[list[Cell]]:
    by_kind = {product.coat.kind: product.coat for product in painting.products}
    for sitting in painting.sittings:
        coat = by_kind.get(sitting.kind)
        if coat is None:
            days = round((sitting.end_h - sitting.start_h) / 24)
            wait = f"{days} days before screws and parts bear on it"
            yield [TICK, str(sitting.day), sitting.label, "everything", wait, BLANK]
            continue
        name = f"{sitting.label}, by {coat.how}" if coat.how != "spray" else sitting.label
        first = f"sand {coat.grit} first; " if coat.grit else ""
        wait = f"{first}{coat.dry_h:g} h dry"
        yield [TICK, str(sitting.day), name, _WHERE[coat.on], wait, BLANK]


def _areas(writer: Writer, painting: Painting) -> Iterator[Block]:
    yield heading("Areas by piece")
    inside = writer.cabinet.project.finish.inside
    cells: list[list[Cell]] = [
        [
            area.label,
            writer.area(area.to_paint + inside * area.to_paint_inside, decimals=3),
            writer.area(area.edges + inside * area.edges_inside, decimals=3),
        ]
        for area in painting.surfaces
    ]
    if len(cells) % 2:
        cells.append(["", "", ""])
    half = len(cells) // 2
    yield table(
        [Column("piece", 2), Column("faces", 0, "right"), Column("edges", 0, "right")] * 2,
        [[*cells[line], *cells[line + half]] for line in range(half)],
        dense=True,
    )


__all__ = ["finishing_chapter"]
