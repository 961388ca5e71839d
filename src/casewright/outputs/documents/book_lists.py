"""Chapters: what is looked at before glue and before the first use, and the service sheet for the years after."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import groupby

from casewright.outputs.documents.book_blocks import (
    BLANK,
    TICK,
    Block,
    Cell,
    Column,
    Writer,
    bold,
    chapter,
    facts,
    faint,
    heading,
    small,
    table,
    text,
)
from casewright.outputs.documents.book_codes import opens, opens_step
from casewright.planning.checklists import Item, commissioning_list, dry_fit_list
from casewright.planning.service import (
    fuse_rows,
    openings_of,
    screw_words,
    ways_out,
)


def dry_fit_chapter(writer: Writer) -> Iterator[Block]:
    """Everything that is looked at while it stands together dry."""
    items = dry_fit_list(writer.cabinet)
    yield chapter(
        "Dry-fit check list",
        "Everything together with clamps and no glue. What does not come out as expected is written here and into the "
        "project before any glue.",
    )
    yield from opens_step(writer, lambda step: step.stage == "dry fit")
    yield _table(writer, items, "measured")


def commissioning_chapter(writer: Writer) -> Iterator[Block]:
    """Everything that must work before the first use."""
    loads = writer.source.behavior.power.loads
    items = sorted_groups(commissioning_list(writer.cabinet, loads))
    yield chapter(
        "Commissioning check list",
        "After the last load is connected, as the steps of the order of work say. One line for each thing that "
        "is pressed, "
        "moved, seen or heard.",
    )
    yield from opens_step(writer, lambda step: step.stage == "test")
    if loads.rows:
        yield writer.cautions("mains", "low voltage")
    yield _table(writer, items, "found")


def sorted_groups(items: Sequence[Item]) -> list[Item]:
    """Items of one group together, groups in the order of their first item."""
    order = {group: n for n, group in enumerate(dict.fromkeys(item.group for item in items))}
    return sorted(items, key=lambda item: order[item.group])


def _table(writer: Writer, items: Sequence[Item], reading: str) -> Block:
    rows: list[list[Cell] | str] = []
    for group, mine in groupby(items, key=lambda item: item.group):
        rows.append(group)
        rows += [[TICK, writer.say(item.what), writer.say(item.expect), BLANK] for item in mine]
    return table(
        [Column(""), Column("what", 2.2), Column("as it should be", 3.2), Column(reading, 0.9)],
        rows,
        dense=True,
    )


def service_chapter(writer: Writer) -> Iterator[Block]:
    """What opens, with what, and how everything comes out."""
    cabinet, behavior = writer.cabinet, writer.source.behavior
    openings = openings_of(cabinet)
    yield chapter(
        "Service sheet",
        "Kept with the cabinet, inside a panel that opens. Pull the plug before anything is opened.",
    )
    yield from opens(writer, view="service")
    if behavior.wiring.runs:
        yield writer.cautions("mains", "low voltage")
    yield facts(_facts(writer))
    for supply in writer.source.behavior.power.loads.supplies:
        amps = f", {supply.watts / supply.volts:g} A" if supply.volts and supply.watts else ""
        yield text(
            f"Supply: {supply.label}; {supply.volts:g} V{amps} or more, the same plug and polarity."
        )
    yield heading("What opens, the quickest first")
    if openings:
        rows: list[list[Cell] | str] = [
            [
                str(number),
                bold(opens.label),
                opens.how,
                opens.tool,
                screw_words(opens.screws),
                " × ".join(writer.figure(x) for x in opens.lets_through)
                if opens.lets_through[1]
                else "",
            ]
            for number, opens in enumerate(openings, start=1)
        ]
        yield table(
            [
                Column(""),
                Column("piece", 1.4),
                Column("how", 1.6),
                Column("tool", 1),
                Column("screws", 1.2),
                Column("lets through", 0, "right"),
            ],
            rows,
            dense=True,
        )
        yield small(
            "Close in the reverse order; screws go back into their own holes by hand, turned backward until the "
            "thread falls in."
        )
    else:
        yield text("Nothing comes off: see the findings. What is glued is sawn open along a cleat.")
    fuses = fuse_rows(behavior.wiring)
    if fuses:
        yield heading("Fuses")
        yield table(
            [Column("run"), Column("fuse", 0, "right"), Column("feeds", 1)],
            [[label, bold(size), what] for label, size, what in fuses],
            dense=True,
            breaks=False,
        )
        yield small(
            "The same size again, never a larger one. A fuse that goes twice has a reason: look for it."
        )
    yield heading("The way out of each part")
    yield table(
        [
            Column("part", 1.5),
            Column("open first", 1.2),
            Column("then", 2.2),
            Column("tool", 1),
            Column("screws", 0.9),
            Column("wires", 0.8),
        ],
        [
            [
                way.label,
                way.opened,
                faint(way.how),
                way.tool,
                screw_words(way.screws),
                way.wires,
            ]
            for way in ways_out(cabinet, behavior.wiring)
        ],
        dense=True,
        narrow=True,
    )
    yield small(
        "Photograph the wires before the first plug is pulled; each run carries its label on both ends, and the "
        "wire list of "
        "the bench book tells where it goes."
    )


def _facts(writer: Writer) -> list[tuple[str, str]]:
    """Supply, main fuse, mark: what is asked for on the telephone."""
    loads, wiring = writer.source.behavior.power.loads, writer.source.behavior.wiring
    told = [
        ("mark of the papers", writer.fingerprint),
        ("mass", writer.mass(writer.source.balance.total_kg)),
    ]
    if loads.peak_w >= 1:
        told.append(("draws at most", f"{loads.peak_w:.0f} W"))
    main = [r for r in wiring.runs if r.what == "main lead" and 0 < r.fuse < math.inf]
    if main:
        told.append(("main fuse", f"{main[0].fuse:g} A, {main[0].label}"))
    return told


__all__ = ["commissioning_chapter", "dry_fit_chapter", "service_chapter", "sorted_groups"]
