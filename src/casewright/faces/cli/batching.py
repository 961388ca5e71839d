"""`casewright batch`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich import box
from rich.table import Table
from rich.text import Text

from casewright.basics.errors import CasewrightError, InputError
from casewright.basics.findings import worded
from casewright.basics.wording import counted
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.faces.cli.stock_projects import layout_data
from casewright.outputs.exports.batch_tables import batch_data
from casewright.session.batching import Batched, batch_files, batched_files
from casewright.session.stocking import open_stock
from casewright.stock.words import layout_words
from casewright.workflow import write_papers


def cut_batch(
    files: Sequence[Path],
    *,
    copies: Sequence[int],
    steps: int | None,
    seconds: float | None,
    boards: bool,
    accept: bool,
    place: str,
    again: bool,
    address: str | None,
    who: str,
    out: Path | None,
    paper: str | None,
    as_json: bool,
    catalogs: Sequence[Path],
) -> int:
    """Lay several projects or copies out together and write the papers."""
    try:
        stock = open_stock(address, who=who) if boards or accept else None
        made = batched_files(
            list(zip(files, counts(files, copies), strict=True)),
            catalogs=catalogs,
            stock=stock if boards else None,
            steps=steps,
            seconds=seconds,
        )
        done = None
        if accept:
            assert stock is not None
            done = stock.accept(made.taking, place=place, again=again)
        folder = out or Path("out") / "batch"
        write_papers(folder, batch_files(made, paper=paper))
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        told = {"accepted": layout_data(done)} if done else {}
        print_json({**batch_data(made.batch, made.cutting), **told})
        return FINE
    _say(made)
    if done is not None:
        console().print(Text(f"Layout {done.number} accepted: {layout_words(done)}."))
    console().print(Text(f"Sheets, cuts and a label for each piece: {folder / 'batch.pdf'}"))
    return FINE


def counts(files: Sequence[Path], copies: Sequence[int]) -> tuple[int, ...]:
    """Copies of each project: one number for all, or one for each.

    Raises:
        InputError: There are more or fewer of them than projects.
    """
    if len(copies) in (0, 1):
        return (copies[0] if copies else 1,) * len(files)
    if len(copies) != len(files):
        raise InputError(
            "--copies",
            got=f"{len(copies)} numbers for {len(files)} projects",
            want="one number for all, or one for each in their order",
            example="--copies 12",
        )
    return tuple(copies)


def _say(made: Batched) -> None:
    out, write = console(), made.first.opened.write_length
    for letter, member in made.batch.letters.items():
        out.print(Text(f"{letter}  {member.copies} × {member.name}"))
    table = Table(box=box.SIMPLE_HEAD)
    for head in ("material", "pieces", "sheets", "to buy", "fewer possible", "fence settings"):
        table.add_column(head, justify="left" if head == "material" else "right")
    for one in made.cutting.plans:
        table.add_row(
            one.label,
            str(len(one.pieces)),
            str(len(one.plan.sheets)),
            str(one.plan.bought),
            "no" if one.plan.proven else f"at least {one.plan.lower_bound}",
            str(one.plan.fence_settings),
        )
    out.print(table)
    words = f"{counted(made.bought, 'sheet')} to buy; cut one by one, {made.bought_apart}."
    out.print(Text(words))
    for finding in made.findings:
        if finding.severity.rank < 2:  # notes stand in the papers
            out.print(Text(f"{finding.severity.value}: {worded(finding.message, write)}"))


__all__ = ["counts", "cut_batch"]
