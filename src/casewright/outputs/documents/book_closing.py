"""Chapters at the end: wiring, safety and the words used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from casewright.behavior.loads import MARGIN, Load, Loads, Source
from casewright.geometry.model import Cabinet
from casewright.outputs.bench_links import STEP_LIST
from casewright.outputs.documents.book_blocks import (
    TICK,
    Block,
    Cell,
    Column,
    Writer,
    bold,
    chapter,
    small,
    table,
    text,
)
from casewright.outputs.documents.book_codes import opens, opens_step
from casewright.outputs.documents.book_topics import topic_section
from casewright.outputs.topics.power import sheet as power_sheet
from casewright.planning.cautions import CAUTIONS, Hazard

WORDS: tuple[tuple[str, str], ...] = (
    ("back face", "the face that looks into the cabinet"),
    ("batten", "strip wood, bought by the metre"),
    ("bevel", "an edge cut at a tilt, along its whole length"),
    ("blank", "the rectangle a piece is cut from, bevels included"),
    ("chamfer", "an edge broken at 45°, measured across the face"),
    ("clearance hole", "lets a screw's shank pass"),
    ("cleat", "a batten behind a panel, screwed to the side"),
    ("counterbore", "a flat hole that sinks a screw's head"),
    ("datum corner", "the one corner that all sizes are measured from"),
    ("fence", "the saw's guide; its setting is the width of the piece against it"),
    ("kerf", "the slot that the blade turns to dust"),
    ("long point", "the outermost line of a bevelled edge"),
    ("miter", "two bevels that meet in one line"),
    ("offcut", "left over and worth keeping"),
    ("overlay", "a sheet over a panel's show face"),
    ("pilot hole", "guides a screw's thread"),
    ("pocket", "a flat-bottomed recess"),
    ("reveal", "a panel set back from the edge of the side"),
    ("show face", "the face that is seen"),
    ("web", "wood left between two holes, or to an edge"),
)


def wiring_chapter(writer: Writer) -> Iterator[Block]:
    """Loads by rail, and whether the supply carries them."""
    behavior = writer.source.behavior
    loads = behavior.power.loads
    wiring = power_sheet(writer.cabinet, behavior)
    if wiring is None:
        return
    yield chapter("Wiring and power", "What draws from which rail, and what must carry it.")
    yield from opens_step(writer, lambda step: step.stage == "wire")
    if loads.rows or loads.supplies:
        yield writer.cautions("mains", "low voltage", "heat")
        yield from _loads(writer, loads)
        wiring = replace(wiring, tables=wiring.tables[1:])  # the loads are told already
    else:
        yield writer.cautions("low voltage", "heat")
    yield from topic_section(writer, replace(wiring, title="Wires", hazards=()))
    yield small(
        "What is measured before and after the first switching on stands in the steps of the order of work and in the "
        "commissioning check list of bench-drawings.pdf."
    )


def _loads(writer: Writer, loads: Loads) -> Iterator[Block]:
    """Loads by rail, and whether what feeds them carries them."""
    rows: list[list[Cell] | str] = []
    seen: tuple[float, str] | None = None
    for row in sorted(loads.rows, key=lambda row: (-row.volts, _maker(loads, row))):
        volts, maker = row.volts, _maker(loads, row)
        if (volts, maker) != seen:
            seen = (volts, maker)
            mine = [r for r in loads.rows if (r.volts, _maker(loads, r)) == seen]
            peak = sum(r.peak_w for r in mine)
            amps = f", {peak / volts:.2f} A" if volts else ""
            rail = f"{volts:g} V rail" if volts else "Rail not known"
            rows.append(f"{rail}{maker}: at most {peak:.1f} W{amps}")
        rows.append(
            [
                TICK,
                row.label,
                f"{row.count:g}",
                f"{row.typical_w:.1f}",
                f"{row.peak_w:.1f}",
                f"{row.peak_w / row.volts:.2f}" if row.volts else "",
            ]
        )
    for row in loads.mains:
        rows.append(f"Mains, by its own supply inside: at most {row.peak_w:.1f} W")
        figures = [f"{row.count:g}", f"{row.typical_w:.1f}", f"{row.peak_w:.1f}", ""]
        rows.append([TICK, row.label, *figures])
    rows.append(
        [
            "",
            bold("At the supply" if len(loads.supplies) < 2 else "At the supplies"),
            "",
            bold(f"{loads.typical_w:.1f}"),
            bold(f"{loads.peak_w:.1f}"),
            "",
        ]
    )
    yield table(
        [
            Column(""),
            Column("load", 3),
            Column("", 0, "right"),
            Column("usual, W", 0, "right"),
            Column("most, W", 0, "right"),
            Column("most, A", 0, "right"),
        ],
        rows,
    )
    yield text(supply_sentence(loads))
    for converter in loads.converters:
        yield text(converter_sentence(loads, converter))
    if loads.unknown:
        yield text(
            f"Power not known yet: {', '.join(loads.unknown)}. Measure it before choosing a supply."
        )


def _maker(loads: Loads, row: Load) -> str:
    """What makes a load's rail, as it goes on after the rail's name; of the only supply nothing is said."""
    if row.through:
        return f", through {row.through}"
    supplies = {supply.name: supply.label for supply in loads.supplies}
    return f", from {supplies[row.feeder]}" if len(supplies) > 1 and row.feeder in supplies else ""


def supply_sentence(loads: Loads) -> str:
    """Whether each voltage's supply carries what hangs on it, with the margin."""
    if not loads.supplies:
        return f"No supply is chosen yet: it must carry {_need(loads.peak_w)}."
    order = sorted(loads.supplies, key=lambda supply: -supply.volts)
    return " ".join(_carried(loads, supply) for supply in order)


def _need(peak: float) -> str:
    margin = f"{(MARGIN - 1) * 100:.0f} %"
    return f"{peak:.1f} W at most, {peak * MARGIN:.1f} W with {margin} to spare"


def _carried(loads: Loads, supply: Source) -> str:
    gives, drawn = supply.watts, loads.hung(supply.name)
    names, need = supply.label, _need(drawn)
    if gives <= 0:
        return f"Output of {names} is not known; it must carry {need}."
    if gives + 1e-6 >= drawn * MARGIN:
        return f"{names} gives {gives:.0f} W: enough for {need}."
    choose = f"Choose one of at least {drawn * MARGIN:.0f} W."
    if gives + 1e-6 >= drawn:
        return f"{names} gives {gives:.0f} W: it carries the loads but without the usual margin ({need}). {choose}"
    return f"{names} gives only {gives:.0f} W, too little for {need}. {choose}"


def converter_sentence(loads: Loads, converter: Source) -> str:
    """Whether a converter carries its rail."""
    watts = loads.hung(converter.name)
    if not converter.watts:
        return f"{converter.label} feeds {watts:.1f} W at most; its output is not known."
    verdict = "enough" if watts <= converter.watts + 1e-6 else "too little"
    return f"{converter.label} gives {converter.watts:.1f} W: {verdict} for the {watts:.1f} W at most behind it."


def safety_chapter(writer: Writer) -> Iterator[Block]:
    """All cautions in one place; each stands at its step as well."""
    used = used_hazards(writer.cabinet)
    yield chapter(
        "Safety",
        "The usual cautions once more. The makers' instructions, local codes and licensed practice go "
        "before every one of them.",
    )
    yield from opens(writer, view=STEP_LIST)
    yield writer.cautions(*(hazard for hazard in CAUTIONS if hazard in used))


def used_hazards(cabinet: Cabinet) -> set[Hazard]:
    """Hazards that this cabinet's making meets."""
    used: set[Hazard] = {"saw", "router", "drill", "dust", "glue", "fumes", "lifting"}
    if any(m.kind in ("acrylic", "polycarbonate") for m in cabinet.project.materials.values()):
        used.add("plastics")
    if cabinet.placed:
        used |= {"heat", "mains", "low voltage"}
    return used


def words_chapter(writer: Writer) -> Iterator[Block]:
    """A short glossary."""
    yield chapter("Words used", joins=True)
    yield from opens(writer, view=STEP_LIST)
    rows: list[list[Cell] | str] = [[bold(word), meaning] for word, meaning in WORDS]
    yield table([Column("word", 1), Column("meaning", 4)], rows, dense=True)


__all__ = [
    "converter_sentence",
    "safety_chapter",
    "supply_sentence",
    "used_hazards",
    "wiring_chapter",
    "words_chapter",
]
