"""`casewright build`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.text import Text

from casewright.basics.errors import CasewrightError
from casewright.faces.cli.checking import findings_data
from casewright.faces.cli.exit_codes import FINE, STOPS
from casewright.faces.cli.speaking import Working, console, print_json, say_error, say_findings
from casewright.workflow import (
    SUFFIX,
    bench_address_named,
    day_named,
    make_papers,
    open_project,
    paper_named,
    work_out,
    write_papers,
)


def build_project(
    file: Path,
    *,
    out: Path | None,
    paper: str | None,
    step: bool | None,
    start: str | None,
    bench: str | None,
    as_json: bool,
    catalogs: Sequence[Path],
) -> int:
    """Write all papers and say where they are; 1 if there are stops."""
    try:
        with Working(quiet=as_json) as progress:
            day = day_named(start) if start is not None else None
            address = bench_address_named(bench) if bench is not None else None
            opened = open_project(file, catalogs=catalogs)
            size = paper_named(paper or opened.project.shop.paper)
            worked = work_out(opened, progress=progress)
            progress("remedies")
            worked.try_remedies()
            files = make_papers(
                worked, paper=size, step=step, start=day, bench=address, progress=progress
            )
            folder = out or Path("out") / file.name.removesuffix(SUFFIX)
            progress("writing")
            written = write_papers(folder, files)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json({**findings_data(worked), "folder": str(folder), "files": sorted(files)})
        return STOPS if worked.stops else FINE
    say_findings(worked.advised, opened.write_length, notes=False)
    if worked.stops:
        console().print(Text("Stops first: do not cut before they are cured.", style="bold red"))
    console().print(
        Text(f"{len(written)} files in {folder}; begin with {folder / 'bench-book.pdf'}")
    )
    return STOPS if worked.stops else FINE


__all__ = ["build_project"]
