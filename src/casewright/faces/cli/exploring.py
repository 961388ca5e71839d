"""`casewright explore`."""

from __future__ import annotations

import shlex
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.text import Text

from casewright.basics.errors import CasewrightError, InputError
from casewright.basics.wording import counted
from casewright.faces.cli.exit_codes import FINE, INTERRUPTED
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.faces.cli.variant_table import VariantLine, variant_lines
from casewright.outputs.exploring import aims_words, rows_data
from casewright.planning.exploring import Figure, Row
from casewright.session import Session
from casewright.session.exploring import Explored, Job, KeptRows, explore, job_of
from casewright.session.exploring.picking import pick_edits, write_pick
from casewright.session.exploring.writing import KEPT_NAME, explored_files, folder_of
from casewright.workflow import write_papers

MOST_SHOWN: Final = 20
"""Rows on the terminal."""
SHOWN: Final = ("cost", "sheets", "mass", "sight", "stops", "cautions")


def explore_project(
    file: Path,
    *,
    vary: Sequence[str],
    plan: Path | None,
    shown: Sequence[str],
    aims: Sequence[str],
    sample: int | None,
    seed: int | None,
    workers: int | None,
    cluster: str | None,
    out: Path | None,
    keep: Path | None,
    pick: int | None,
    to: Path | None,
    as_json: bool,
    catalogs: Sequence[Path],
) -> int:
    """Try variants, write their table and plot; or make one of them the project."""
    try:
        job = job_of(
            file,
            vary=vary,
            plan=plan,
            shown=shown,
            aims=aims,
            sample=sample,
            seed=seed,
            catalogs=catalogs,
        )
        if pick is not None:
            return _pick(file, job, pick, to, catalogs, as_json=as_json)
        if to is not None:
            raise InputError(
                "--to", got=str(to), want="a variant to write there", example="--pick 17"
            )
        folder = out or folder_of(file)
        kept = KeptRows(keep or folder / KEPT_NAME)
        explored = _explored(job, kept, workers, cluster, quiet=as_json)
        command = _command(file, vary, plan, sample, seed, catalogs)
        write_papers(folder, explored_files(explored, command=command))
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        every = job.columns
        print_json(rows_data(explored.rows, job.space, every, explored.best, job.wishes.aims))
    else:
        _say(explored, folder)
    return FINE if explored.is_whole else INTERRUPTED


def _explored(
    job: Job, kept: KeptRows, workers: int | None, cluster: str | None, *, quiet: bool
) -> Explored:
    if cluster is not None and workers is not None:
        raise InputError("--cluster", got="with --workers", want="one of the two")
    elsewhere = None
    if cluster is not None:
        from casewright.session.exploring.cluster import rows_from_cluster

        elsewhere = rows_from_cluster(job, cluster)
    out = console(error=True)
    with Progress(
        TextColumn("variants"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        console=out,
        disable=quiet or not out.is_terminal,
    ) as bar:
        task = bar.add_task("variants", total=len(job.numbers))
        return explore(
            job,
            kept=kept,
            workers=workers,
            elsewhere=elsewhere,
            progress=lambda done, _: bar.update(task, completed=done),
        )


def _pick(
    file: Path,
    job: Job,
    number: int,
    to: Path | None,
    catalogs: Sequence[Path],
    *,
    as_json: bool,
) -> int:
    """Make a variant the project, comments kept; or write it to another file."""
    edits = pick_edits(job, number)
    if to is None:
        session = Session.open(file, catalogs=catalogs)
        try:
            session.edit(edits, f"take variant {number}")
            session.save()
        finally:
            session.close(discard=True)
    else:
        write_pick(job, number, to)
    choices = job.space.variant(number).choices
    if as_json:
        print_json({"variant": number, "file": str(to or file), "choices": dict(choices)})
        return FINE
    words = ", ".join(f"{label} {choice}" for label, choice in choices.items())
    console().print(Text(f"Variant {number} written to {to or file}: {words}."))
    return FINE


def _say(explored: Explored, folder: Path) -> None:
    out, job = console(), explored.job
    every = {figure.key: figure for figure in job.columns}
    keys = tuple(dict.fromkeys((*SHOWN, *(a.key for a in job.wishes.aims), *job.wishes.shown)))
    best = explored.best
    rows = [row for row in explored.rows if row.number in best]
    lines = variant_lines(
        [".".join(one.label.split(".")[-2:]) for one in job.space.variations],
        [every[key].label for key in keys],
        [
            VariantLine(
                str(row.number),
                [row.choices[one.label] for one in job.space.variations],
                [_cell(job, every[key], row) for key in keys],
            )
            for row in rows[:MOST_SHOWN]
        ],
        width=out.width,
    )
    if rows:
        for line in lines:
            out.print(Text(line), soft_wrap=True)
        out.print()
    words = f"{counted(len(explored.rows), 'variant')}"
    if explored.taken_over:
        words += f", {explored.taken_over} of them worked out before"
    aims = aims_words(job.wishes.aims, {key: figure.label for key, figure in every.items()})
    words += f"; {len(best)} not beaten by any other one in {aims}."
    if len(rows) > MOST_SHOWN:
        words += f" Above the first {MOST_SHOWN} of them by number."
    out.print(Text(words))
    failed = [row for row in explored.rows if not row.is_built]
    if failed:
        out.print(Text(f"{len(failed)} cannot be built:"))
        for reason, count in Counter(row.reason for row in failed).most_common(3):
            out.print(Text(f"  {count} ×  {reason}"))
    if not explored.is_whole:
        left = len(job.numbers) - len(explored.rows)
        out.print(
            Text(
                f"Stopped with {left} to go; the same command goes on where it stopped.",
                style="bold",
            )
        )
    out.print(Text(f"Plot and tables: {folder / 'explored.html'}"))


def _cell(job: Job, figure: Figure, row: Row) -> str:
    value = row.figures.get(figure.key)
    if value is None:
        return "–"
    if figure.unit == "mm":
        return job.opened.write_length(value)
    if figure.unit == "currency":
        return f"{value:.0f} {job.opened.project.currency}"
    if figure.unit == "deg":
        return f"{value:.1f}°"
    if figure.unit in ("kg", "%", "m²", "°C", "W"):
        return f"{value:.{2 if figure.unit in ('kg', 'm²') else 1}f} {figure.unit}"
    return f"{value:g}" if value == int(value) else f"{value:.3f}"


def _command(
    file: Path,
    vary: Sequence[str],
    plan: Path | None,
    sample: int | None,
    seed: int | None,
    catalogs: Sequence[Path],
) -> str:
    """What to type to pick one of these variants, without its number."""
    words = ["casewright", "explore", str(file)]
    for text in vary:
        words += ["--vary", text]
    for name, value in (("--plan", plan), ("--sample", sample), ("--seed", seed)):
        words += [] if value is None else [name, str(value)]
    for catalog in catalogs:
        words += ["--catalog", str(catalog)]
    return shlex.join([*words, "--pick"])


__all__ = ["explore_project"]
