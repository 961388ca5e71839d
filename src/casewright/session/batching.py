"""Several projects, or several copies, cut together: laid out, accepted from the stock, written."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding
from casewright.design.materials import StockSheet
from casewright.planning.batch import Batch, Member, batch_of
from casewright.planning.blanks import Cutting, plan_cutting
from casewright.stock.layout_taking import taking_of
from casewright.stock.offering import offer_of
from casewright.stock.taking import Taking
from casewright.workflow import Worked, open_project, paper_named, work_out

if TYPE_CHECKING:
    from casewright.stock.shop import ShopStock


@dataclass(frozen=True)
class Batched:
    """A batch with its layouts."""

    batch: Batch
    first: Worked
    """The first project, whose saw, unit and paper count."""
    cutting: Cutting
    bought_apart: int
    """Sheets to buy if every copy were cut by itself."""

    @property
    def bought(self) -> int:
        """Sheets to buy."""
        return sum(plan.plan.bought for plan in self.cutting.plans)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What to look at before cutting."""
        return (*self.batch.findings, *self.cutting.findings)

    @property
    def taking(self) -> Taking:
        """What accepting these layouts takes of the stock and leaves for it.

        Raises:
            RefusedError: There is nothing to cut, or pieces have no place on any sheet.
        """
        return taking_of(self.batch.cabinet.project, self.cutting)


def batched(
    projects: Sequence[tuple[Worked, int]],
    *,
    stock: ShopStock | None = None,
    steps: int | None = None,
    seconds: float | None = None,
    tell: Callable[[str], None] = lambda label: None,
) -> Batched:
    """Lay projects out together.

    Args:
        projects: Each with its number of copies; the first one's saw and wishes count for all.
        stock: Whose boards are taken where they save something; those that the projects name are used anyway.
        steps: Of the search, instead of the projects' own.
        seconds: Look so long for fewer sheets of each material instead.
        tell: Told the label of each material as it is begun. What it raises ends the work.

    Raises:
        InputError: There is no project, or too much of it.
        OutputError: The stock cannot be reached.
    """
    if steps is not None and seconds is not None:
        raise InputError(
            "--seconds", got="with --steps", want="one of the two", example="--seconds 10"
        )
    batch = batch_of(
        [
            Member(worked.opened.project.name, worked.cabinet, copies, worked.again)
            for worked, copies in projects
        ]
    )
    if stock is not None:
        batch = with_stock(batch, stock)
    cutting = plan_cutting(
        batch.cabinet, effort=steps, seconds=seconds, clock=time.perf_counter, tell=tell
    )
    apart = sum(
        copies * plan.plan.bought for worked, copies in projects for plan in worked.cutting.plans
    )
    return Batched(batch, projects[0][0], cutting, apart)


def batched_files(
    files: Sequence[tuple[Path, int]],
    *,
    catalogs: Sequence[Path] = (),
    stock: ShopStock | None = None,
    steps: int | None = None,
    seconds: float | None = None,
) -> Batched:
    """The same for project files.

    Raises:
        InputErrors: One of them has something wrong with it.
    """
    projects = [(work_out(open_project(file, catalogs=catalogs)), copies) for file, copies in files]
    return batched(projects, stock=stock, steps=steps, seconds=seconds)


def with_stock(batch: Batch, stock: ShopStock) -> Batch:
    """The batch with the boards of the stock that save something."""
    project = batch.cabinet.project
    materials = dict(project.materials)
    for board in offer_of(batch.cabinet, stock.entries()).boards:
        material = materials[board.material]
        kept = tuple(sheet for sheet in material.sheets if sheet.mark is None)
        taken = tuple(StockSheet.model_validate(dict(sheet)) for sheet in board.sheets)
        materials[board.material] = material.model_copy(update={"sheets": (*kept, *taken)})
    cabinet = replace(batch.cabinet, project=project.model_copy(update={"materials": materials}))
    return replace(batch, cabinet=cabinet)


def batch_files(made: Batched, *, paper: str | None = None) -> dict[str, bytes]:
    """The papers and tables of a batch, by name. The same batch, the same bytes.

    Raises:
        InputError: There is no such paper.
    """
    from casewright.outputs.documents.batch import batch_script, label_scripts
    from casewright.outputs.documents.book_blocks import BookSource
    from casewright.outputs.exports.batch_tables import batch_json, batch_pieces_csv
    from casewright.outputs.exports.tables import battens_csv, layout_json

    first, cutting = made.first, made.cutting
    project, write = first.opened.project, first.opened.write_length
    sheet = paper_named(paper or project.shop.paper)
    source = BookSource(
        cabinet=made.batch.cabinet,
        findings=made.findings,
        cutting=cutting,
        shopping=first.shopping,
        behavior=first.behavior,
        work=first.work,
        sheets=(),
        style=first.opened.style,
    )
    files = {
        "batch.pdf": batch_script(made.batch, source, sheet).pdf(),
        "batch.json": batch_json(made.batch, cutting),
        "cutting.json": layout_json(cutting, kerf=project.shop.kerf),
        "parts.csv": batch_pieces_csv(made.batch, cutting, write),
        "battens.csv": battens_csv(cutting, write),
    }
    for number, script in enumerate(label_scripts(made.batch, source, sheet), start=1):
        files["part-labels.pdf" if number == 1 else f"part-labels-{number}.pdf"] = script.pdf()
    return files


__all__ = ["Batched", "batch_files", "batched", "batched_files", "with_stock"]
