"""Papers of a batch: its sheets with the order of cuts, and a label for each piece."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.outputs.documents.book import book_template, paged
from casewright.outputs.documents.book_blocks import (
    Block,
    BookSource,
    Cell,
    Column,
    Writer,
    bold,
    chapter,
    heading,
    listing,
    table,
)
from casewright.outputs.documents.book_cutting import cutting_chapter
from casewright.outputs.documents.labels import MOST, Label, label_script
from casewright.outputs.documents.tiles import Paper
from casewright.outputs.documents.typesetting import Script
from casewright.planning.batch import Batch
from casewright.planning.cutting import Blank


def batch_script(batch: Batch, source: BookSource, paper: Paper) -> Script:
    """The batch's cutting papers, before they are set.

    Args:
        batch: The projects put together.
        source: What a book tells, of the batch's cabinet and cutting.
        paper: The paper it is printed on.
    """
    writer = Writer(source, paper)
    blocks = [*_overview(writer, batch), *cutting_chapter(writer)]
    return Script(book_template(), paged(writer, "batch", {"blocks": blocks}), writer.pictures)


def _overview(writer: Writer, batch: Batch) -> Iterator[Block]:
    yield chapter(
        "A batch",
        "These projects are cut together. Every piece carries its project's letter and the number of its copy: "
        "“deck B3” is the deck of project B, copy 3. Mark it on the piece as soon as it is sawn.",
    )
    rows: list[list[Cell] | str] = []
    for letter, member in batch.letters.items():
        pieces = sum(owner.letter == letter for owner in batch.owners.values())
        rows.append([bold(letter), member.name, str(member.copies), str(pieces)])
    yield table(
        [
            Column(""),
            Column("project", 1),
            Column("copies", 0, "right"),
            Column("pieces", 0, "right"),
        ],
        rows,
    )
    sheets: list[list[Cell] | str] = []
    for plan in writer.source.cutting.plans:
        for stock in plan.stock:
            count = sum(sheet.stock == stock.key for sheet in plan.plan.sheets)
            if count:
                words = "the shop's own" if stock.offcut else "to buy"
                sheets.append(
                    [str(count), plan.label, writer.sizes(stock.length, stock.width), words]
                )
    yield heading("Sheets")
    yield table(
        [Column("", 0, "right"), Column("material", 1), Column("size", 1), Column("", 1)], sheets
    )
    if writer.source.findings:
        yield heading("What to look at")
        yield listing([writer.say(finding.message) for finding in writer.source.findings])


def piece_labels(batch: Batch, writer: Writer) -> list[Label]:
    """A label for each piece that is cut from a sheet, in the order of the sheets."""
    labels = []
    for plan in writer.source.cutting.plans:
        blanks = {blank.key: blank for blank in plan.blanks}
        thickness = writer.cabinet.project.materials[plan.material].thickness
        for sheet in plan.plan.sheets:
            for place in sheet.placements:
                for key, length, width in _laid(blanks[place.blank]):
                    owner = batch.owners[key]
                    labels.append(
                        Label(
                            mark=f"{owner.letter}{owner.copy}",
                            name=owner.label,
                            size=writer.sizes(length, width, thickness),
                            lines=(f"{owner.project}, copy {owner.copy}", plan.label),
                            holds=f"{owner.project}, copy {owner.copy}: {owner.label}",
                            sides=(length, width),
                            grain=blanks[place.blank].grain == "length",
                        )
                    )
    return labels


def _laid(blank: Blank) -> Iterator[tuple[str, float, float]]:
    """Pieces of a blank with the sides of the rectangle round each; of a nest several, as they lie in it."""
    if not blank.nested:
        yield blank.key, blank.length, blank.width
    for nested in blank.nested:
        xs, ys = zip(*nested.outline, strict=True)
        yield nested.key, max(xs) - min(xs), max(ys) - min(ys)


def label_scripts(batch: Batch, source: BookSource, paper: Paper) -> tuple[Script, ...]:
    """The labels, so many in one file as one file holds."""
    labels = piece_labels(batch, Writer(source, paper))
    return tuple(label_script(labels[at : at + MOST], paper) for at in range(0, len(labels), MOST))


__all__ = ["batch_script", "label_scripts", "piece_labels"]
