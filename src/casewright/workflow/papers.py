"""The files of a build: made in memory, written whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import TypeAdapter, ValidationError

from casewright.basics.errors import InputError
from casewright.basics.fields import Day, read_address
from casewright.workflow.working_out import Progress, Worked, silent

if TYPE_CHECKING:
    from casewright.outputs.documents.tiles import Paper


def make_papers(
    worked: Worked,
    *,
    paper: Paper,
    step: bool | None = None,
    start: str | None = None,
    bench: str | None = None,
    progress: Progress = silent,
) -> dict[str, bytes]:
    """Make every file of a build, in memory.

    Args:
        worked: The cabinet, worked out.
        paper: For book and templates.
        step: Write STEP; None: where the kernel is installed.
        start: Day on which painting begins, "2027-03-05"; the project's own if not given. Without either there is no
            calendar.
        bench: Address that the book's codes lead to, "http://192.168.1.5:8080"; the project's own if not given.
            Without either they hold plain words.
        progress: Told of each stage.

    Returns:
        Content by name relative to the folder of the build. The same input gives the same bytes.

    Raises:
        CasewrightError: STEP is wanted and its kernel is not installed.
    """
    # Writers are imported here: check and why must start without them.
    from concurrent.futures import ThreadPoolExecutor

    from casewright.outputs.bench_links import STEP_LIST, bench_link
    from casewright.outputs.documents.bench_drawings import drawings_script, service_script
    from casewright.outputs.documents.book import BookSource, book_script, part_room
    from casewright.outputs.documents.book_built import sheets_left
    from casewright.outputs.documents.templates import template_script
    from casewright.outputs.drawings.nest_view import nest_files
    from casewright.outputs.drawings.part_files import dxf_files, svg_files, template_sheets
    from casewright.outputs.drawings.part_view import part_drawings
    from casewright.outputs.exports.adjusting_picture import adjusting_pictures
    from casewright.outputs.exports.calendar import write_calendar
    from casewright.outputs.exports.glb import write_glb
    from casewright.outputs.exports.results import results_of, write_results
    from casewright.outputs.exports.step import has_cad, write_step
    from casewright.outputs.exports.tables import battens_csv, layout_json, pieces_csv, shopping_csv
    from casewright.outputs.exports.work_steps import steps_csv
    from casewright.outputs.fingerprint import fingerprint

    opened, cabinet = worked.opened, worked.cabinet
    project, style = opened.project, opened.style
    mark = fingerprint(project)
    address = bench or project.shop.bench_address or ""

    def link(piece: str = "", view: str = "") -> str:
        return bench_link(address, project.name, piece=piece, view=view, of=mark) if address else ""

    files: dict[str, bytes] = {}
    # The typesetter runs beside Python, one document after the other: two would take turns with Python where there are
    # two cores. What needs the sheets of pieces alone goes first, and is set while the rest of the book is drawn; the
    # book, which takes it longest, is set while the rest is written.
    with ThreadPoolExecutor(1) as typesetter:
        progress("templates")
        sheets = part_drawings(cabinet, style, room=part_room(paper))
        left = sheets_left(sheets, cabinet, worked.made, opened.write_length)
        script = template_script(
            template_sheets(cabinet, style, sheets=left, link=link),
            paper,
            project=project.name,
            fingerprint=mark,
            code=link(view=STEP_LIST),
        )
        templates = typesetter.submit(script.pdf)
        pictures = typesetter.submit(adjusting_pictures, cabinet)
        progress("bench book")
        source = BookSource(
            cabinet=cabinet,
            findings=worked.advised,
            cutting=worked.cutting,
            shopping=worked.shopping,
            behavior=worked.behavior,
            work=worked.work,
            sheets=left,
            style=style,
            made=worked.made,
            bench=address,
        )
        service = typesetter.submit(service_script(source, paper).pdf)
        drawn = typesetter.submit(drawings_script(source, paper).pdf)
        script = book_script(
            source, paper, begin=lambda measuring: typesetter.submit(measuring).result
        )
        book = typesetter.submit(script.pdf)
        progress("drawings")
        files |= {f"drawings/{name}": data for name, data in svg_files(sheets).items()}
        files |= {f"drawings/{name}": data for name, data in dxf_files(sheets).items()}
        files |= {
            f"drawings/{name}": data for name, data in nest_files(worked.cutting, style).items()
        }
        progress("tables")
        results = results_of(
            cabinet,
            fingerprint=mark,
            findings=worked.advised,
            balance=worked.balance,
            shopping=worked.shopping,
            numbers=worked.every_number,
            work=worked.work,
            write_length=opened.write_length,
        )
        files["cabinet.json"] = write_results(results)
        files["cutting.json"] = layout_json(worked.cutting, kerf=project.shop.kerf)
        files["parts.csv"] = pieces_csv(cabinet, worked.cutting, opened.write_length)
        files["battens.csv"] = battens_csv(worked.cutting, opened.write_length)
        files["shopping.csv"] = shopping_csv(worked.shopping, currency=project.currency)
        files["steps.csv"] = steps_csv(cabinet, worked.work, opened.write_length)
        first, painting = start or project.finish.start, worked.behavior.painting
        if first and painting.sittings:
            files["calendar.ics"] = write_calendar(
                painting, start=first, name=project.name, fingerprint=mark
            )
        progress("solids")
        files["cabinet.glb"] = write_glb(cabinet)
        if step or (step is None and has_cad()):
            progress("STEP")
            files["cabinet.step"] = write_step(cabinet)
        progress("typesetting")
        files |= pictures.result()
        files["bench-book.pdf"] = book.result()
        files["bench-drawings.pdf"] = drawn.result()
        files["service-sheet.pdf"] = service.result()
        files[f"templates-{paper.name}.pdf"] = templates.result()
    return files


def write_papers(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write a build's files, whole or not at all.

    Raises:
        OutputError: The folder cannot be written; what stood there before still does.
    """
    from casewright.outputs.writing import write_folder

    return write_folder(folder, files)


def paper_named(name: str) -> Paper:
    """The paper of that name.

    Raises:
        InputError: There is none; the known ones are named.
    """
    from casewright.outputs.documents.tiles import PAPERS

    for key, paper in PAPERS.items():
        if key.lower() == name.lower():
            return paper
    raise InputError("--paper", got=name, want="one of " + ", ".join(PAPERS), example="A4")


def day_named(text: str) -> str:
    """A day from the command line, as "2027-03-05".

    Raises:
        InputError: It is none.
    """
    try:
        return TypeAdapter(Day).validate_python(text)
    except ValidationError:
        raise InputError(
            "--start", got=text, want="a day as year-month-day", example="2027-03-05"
        ) from None


def bench_address_named(text: str) -> str:
    """The address of the server that phones at the bench find, from the command line.

    Raises:
        InputError: It is none.
    """
    try:
        return read_address(text)
    except InputError as error:
        raise InputError(
            "--bench-address", got=error.got, want=error.want, example=error.example
        ) from None


__all__ = [
    "bench_address_named",
    "day_named",
    "make_papers",
    "paper_named",
    "write_papers",
]
