"""The whole walk: project file → design → geometry → behavior → checks → planning → outputs.

The only module that knows every stage. Faces call it; tests call it; it holds no arithmetic of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from pydantic import TypeAdapter, ValidationError

from casewright.basics.errors import CasewrightError, InputError, InputErrors, OutputError
from casewright.basics.fields import Day, Key, read_address
from casewright.basics.findings import Finding, Severity
from casewright.basics.reckoning import Reckoning
from casewright.basics.units import LengthStyle, Unit, format_length
from casewright.behavior.balance import Balance, weigh
from casewright.behavior.whole import Behavior, behavior_of
from casewright.catalog.load import Catalog, load_catalog
from casewright.checks import Subject, run_checks
from casewright.design.known import know_part
from casewright.design.panels import Feature
from casewright.design.parts import KnownPart, Part
from casewright.design.project import Project
from casewright.design.shape import OutlineShape
from casewright.design.species import species_errors
from casewright.design.writing import length_style
from casewright.geometry.build import build_cabinet
from casewright.geometry.collisions import Collision, find_collisions
from casewright.geometry.fastening import screw_sizes
from casewright.geometry.model import Cabinet
from casewright.geometry.naming import material_errors, names_in_data, place_errors
from casewright.geometry.outline import outline_errors, solve_outline
from casewright.geometry.own_features import feature_error, feature_errors
from casewright.geometry.place_numbers import place_numbers
from casewright.geometry.placing import wish_errors
from casewright.geometry.recipes import solve_shape
from casewright.planning.as_built import Replan, Way, record_errors, record_findings
from casewright.planning.as_built import keep as keep_plan
from casewright.planning.as_built import replan as ways_on
from casewright.planning.blanks import Cutting, plan_cutting, stock_errors, strip_errors
from casewright.planning.buying import Shopping, list_purchases
from casewright.planning.work import WorkPlan, is_shut, plan_work
from casewright.projectfile.editing import (
    REMOVE,
    Removal,
    Value,
    changed_document,
    proposed_document,
)
from casewright.projectfile.reading import read_model
from casewright.projectfile.report import report_text
from casewright.projectfile.saving import save_bytes, save_text
from casewright.projectfile.schema import project_schema
from casewright.projectfile.starting import LEAST_LITRES, LITRES, MOST_LITRES, RECIPES
from casewright.projectfile.starting import starter_text as starter_on_base
from casewright.projectfile.yamltext import (
    LARGEST_BYTES,
    KeyPath,
    LoadedDocument,
    load_file,
    load_text,
    read_text,
)

if TYPE_CHECKING:
    from casewright.outputs.documents.tiles import Paper

SUFFIX = ".cabinet.yaml"

_FEATURE: TypeAdapter[Feature] = TypeAdapter(Feature)
_KEY: TypeAdapter[str] = TypeAdapter(Key)

Progress = Callable[[str], None]
"""Called with the name of the stage that begins."""


def _silent(stage: str) -> None:
    """Say nothing."""


def _always() -> bool:
    return True


@dataclass(frozen=True)
class Opened:
    """A project file as read."""

    document: LoadedDocument
    project: Project
    parts: Mapping[str, KnownPart]
    catalog: Catalog

    @property
    def style(self) -> LengthStyle:
        """How lengths are written for this project's user."""
        return length_style(self.project)

    def write_length(self, length: float) -> str:
        """A length in the user's unit."""
        return format_length(length, self.style)


@dataclass(frozen=True)
class Built:
    """A project's cabinet in space, before anything is judged or planned."""

    opened: Opened
    cabinet: Cabinet
    collisions: tuple[Collision, ...]

    @property
    def numbers(self) -> Mapping[str, Reckoning]:
        """Those of its geometry."""
        return self.cabinet.numbers


class Superseded(Exception):
    """Working out was given up, since nobody wants the result any more."""


@dataclass(frozen=True)
class Worked:
    """Everything worked out from a project."""

    opened: Opened
    cabinet: Cabinet
    collisions: tuple[Collision, ...]
    behavior: Behavior
    findings: tuple[Finding, ...]
    cutting: Cutting
    shopping: Shopping
    numbers: Mapping[str, Reckoning] = field(default_factory=dict)
    made: Way | None = None
    """What exists, held against the plan as it is; None where nothing does."""

    def of(self, opened: Opened) -> Worked:
        """The same, said of an equal project; what was found when it was first asked for is not found again."""
        same = replace(self, opened=opened)
        for name in ("work", "every_number"):
            if name in vars(self):
                vars(same)[name] = vars(self)[name]
        return same

    @property
    def again(self) -> frozenset[str]:
        """Keys of the pieces that exist but have to be made anew."""
        return _made_anew(self.made)

    @property
    def balance(self) -> Balance:
        """Mass and centre of gravity."""
        return self.behavior.balance

    @cached_property
    def work(self) -> WorkPlan:
        """The order of work; found when it is first asked for."""
        behavior = self.behavior
        return plan_work(self.cabinet, self.cutting, behavior.painting, self.again, behavior.wiring)

    @cached_property
    def every_number(self) -> Mapping[str, Reckoning]:
        """All numbers by key, those of the order of work and the places of parts too."""
        more = (*self.work.numbers, *place_numbers(self.cabinet))
        return {**self.numbers, **{number.key: number for number in more}}

    @cached_property
    def stops(self) -> tuple[Finding, ...]:
        """Findings that forbid cutting."""
        return tuple(f for f in self.findings if f.severity is Severity.STOP)


InSpace: TypeAlias = Built | Worked
"""A project with its cabinet, whether or not the rest is worked out yet."""


def open_project(path: Path, *, catalogs: Sequence[Path] = ()) -> Opened:
    """Read a project file.

    Raises:
        InputErrors: All that is wrong with it, each with its line.
    """
    return _opened(load_file(path), _catalog(catalogs))


def open_text(text: str, *, file: str = "project", catalogs: Sequence[Path] = ()) -> Opened:
    """Read a project from text; `file` is for messages only."""
    return _opened(load_text(text, file=file), _catalog(catalogs))


def open_document(document: LoadedDocument, catalog: Catalog) -> Opened:
    """Read a project from a document and a catalog that are read already.

    Raises:
        InputErrors: All that is wrong with it, each with its line.
    """
    return _opened(document, catalog)


def build_up(opened: Opened, *, progress: Progress = _silent) -> Built:
    """Work out the cabinet in space, and what collides in it.

    Raises:
        InputErrors: Names that lead nowhere, each with its line.
    """
    progress("geometry")
    try:
        cabinet = build_cabinet(
            opened.project, opened.parts, screw_sizes(opened.catalog, opened.project.unit)
        )
        wrong = record_errors(cabinet) if opened.project.as_built else []
        if wrong := [*wrong, *strip_errors(cabinet)]:
            raise InputErrors(wrong)
    except InputErrors as errors:
        raise located(errors, opened.document) from None
    progress("collisions")
    return Built(opened, cabinet, find_collisions(cabinet))


def work_out(
    opened: Opened,
    *,
    built: Built | None = None,
    progress: Progress = _silent,
    wanted: Callable[[], bool] = _always,
    remedies: bool = True,
) -> Worked:
    """Work out the whole cabinet.

    Args:
        opened: The project.
        built: What `build_up` made of it, where that is at hand.
        progress: Told of each stage.
        wanted: Asked between stages whether the result is still wanted.
        remedies: False leaves those of checks unsaid that take long to find. Every figure is the same then, and as many
            findings are there as with them; nobody may read their remedies.

    Raises:
        InputErrors: Names that lead nowhere, each with its line.
        Superseded: It is wanted no more.
    """

    def begin(stage: str) -> None:
        if not wanted():
            raise Superseded
        progress(stage)

    if built is None:
        built = build_up(opened, progress=progress)
    cabinet, collisions = built.cabinet, built.collisions
    begin("behavior")
    behavior = behavior_of(cabinet, weigh(cabinet, densities(opened.catalog)), opened.catalog)
    begin("checks")
    subject = Subject(cabinet, opened.catalog, collisions, behavior, is_counted=not remedies)
    findings = run_checks(subject)
    begin("cutting")
    kept = keep_plan(cabinet) if opened.project.as_built else None
    again = _made_anew(kept)
    cutting = plan_cutting(cabinet, again=again)
    shopping = list_purchases(cabinet, cutting, behavior.painting, behavior.wiring)
    # Only where nothing comes off can the order of work lock a part in; elsewhere it is worked out when asked for.
    shut = (
        plan_work(cabinet, cutting, behavior.painting, again, behavior.wiring).findings
        if is_shut(cabinet)
        else ()
    )
    everything = sorted(
        {
            *findings,
            *cutting.findings,
            *shopping.findings,
            *shut,
            *(record_findings(cabinet, kept) if kept else ()),
        },
        key=lambda finding: finding.order,
    )
    numbers = {**cabinet.numbers, **behavior.numbers, **{n.key: n for n in shopping.numbers}}
    return Worked(
        opened, cabinet, collisions, behavior, tuple(everything), cutting, shopping, numbers, kept
    )


def _made_anew(kept: Way | None) -> frozenset[str]:
    return (
        frozenset(a.piece for a in kept.answers if a.verdict == "remake") if kept else frozenset()
    )


def replan(worked: Worked) -> Replan:
    """The ways on from the pieces that exist: what to do with each, and how the plan may follow them."""
    opened = worked.opened
    sizes = screw_sizes(opened.catalog, opened.project.unit)

    def rebuilt(project: Project) -> Cabinet:
        return build_cabinet(project, opened.parts, sizes)

    def judged(cabinet: Cabinet) -> frozenset[str]:
        collisions = find_collisions(cabinet)
        balance = weigh(cabinet, densities(opened.catalog))
        behavior = behavior_of(cabinet, balance, opened.catalog)
        findings = run_checks(Subject(cabinet, opened.catalog, collisions, behavior))
        return frozenset(f.message for f in findings if f.severity is Severity.STOP)

    return ways_on(worked.cabinet, rebuilt, judged)


def explain(worked: Worked, key: str) -> Reckoning:
    """The reckoning of one number.

    Raises:
        InputError: There is no such number; the nearest ones are named.
    """
    if key in worked.numbers:
        return worked.numbers[key]
    numbers = worked.every_number
    if key in numbers:
        return numbers[key]
    near = get_close_matches(key, list(numbers), 3, 0.3)
    raise InputError(
        "number",
        got=key,
        want="the name of a number, such as " + ", ".join(near or sorted(numbers)[:3]),
        example=near[0] if near else "",
    )


def describe_errors(error: CasewrightError) -> str:
    """An error as text, each line of a file shown with a caret."""
    return report_text(error) if isinstance(error, InputError | InputErrors) else str(error)


def schema_of_projects() -> dict[str, object]:
    """The JSON Schema of the project file."""
    return project_schema(Project)


def write_new(path: Path, text: str, *, overwrite: bool = False) -> None:
    """Write a new project file, whole or not at all.

    Raises:
        OutputError: It exists already, or cannot be written.
    """
    if path.exists() and not overwrite:
        raise OutputError(
            str(path), why="it exists already", remedy="Choose another name, or add --force."
        )
    save_text(path, text)


def read_catalogs(paths: Sequence[Path] = ()) -> Catalog:
    """The catalog, with the maker's own files laid over it."""
    return _catalog(paths)


def starter_text(
    recipe: str,
    *,
    name: str,
    unit: Unit = "mm",
    display: str | None = None,
    players: int = 1,
    buttons: int = 6,
    width: float | None = None,
    litres: float | None = None,
) -> str:
    """Return the text of a new project file, its feet where the solved base asks for them.

    See `casewright.projectfile.starting.starter_text`.
    """

    def written(base: float | None) -> str:
        return starter_on_base(
            recipe,
            name=name,
            unit=unit,
            display=display,
            players=players,
            buttons=buttons,
            width=width,
            litres=litres,
            base=base,
        )

    text = written(None)
    opened = open_text(text)
    try:
        shape = solve_shape(opened.project, opened.parts)
    except InputErrors:  # a width that the recipe cannot have; the file says so where it is opened
        return text
    return written(next((run.length for run in shape.runs if run.panel == "base"), None))


def schema_of_results() -> dict[str, object]:
    """The JSON Schema of `cabinet.json`."""
    from casewright.outputs.exports.results import results_schema

    return results_schema()


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


def make_papers(
    worked: Worked,
    *,
    paper: Paper,
    step: bool | None = None,
    start: str | None = None,
    bench: str | None = None,
    progress: Progress = _silent,
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
            findings=worked.findings,
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
            findings=worked.findings,
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


def write_papers(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write a build's files, whole or not at all.

    Raises:
        OutputError: The folder cannot be written; what stood there before still does.
    """
    from casewright.outputs.writing import write_folder

    return write_folder(folder, files)


def located(errors: InputErrors, document: LoadedDocument) -> InputErrors:
    """The same errors with their lines in the file, in its order."""
    placed = [
        error if error.spot else error.at(document.spot(document.path(error.field)))
        for error in errors.errors
    ]
    return InputErrors(
        sorted(placed, key=lambda e: (e.spot.line, e.spot.column) if e.spot else (0, 0))
    )


def densities(catalog: Catalog) -> dict[str, float]:
    """Density by species, and by kind of material where no species is named: the kind's first. [kg/m³]"""
    by_kind: dict[str, float] = {
        species.kind: species.density for species in reversed(tuple(catalog.species.values()))
    }
    return {**by_kind, **{key: species.density for key, species in catalog.species.items()}}


def _catalog(catalogs: Sequence[Path]) -> Catalog:
    texts = []
    for path in catalogs:
        try:
            texts.append((str(path), path.read_text(encoding="utf-8")))
        except (OSError, UnicodeDecodeError) as error:
            reason = error.strerror if isinstance(error, OSError) else "it is not UTF-8 text"
            raise InputError(
                "--catalog",
                got=f"{path} ({reason})",
                want="a catalog file that can be read",
                example="my-parts.toml",
            ) from None
    return load_catalog(texts)


def _with_part_errors(
    errors: InputErrors, document: LoadedDocument, catalog: Catalog, unit: Unit
) -> InputErrors:
    """The errors of a file, and those inside its parts' dimensions, which are read by their kinds."""
    found = list(errors.errors)
    entries = document.data.get("parts")
    read: dict[str, Part] = {}
    settled: dict[str, KnownPart] = {}
    for key, entry in entries.items() if isinstance(entries, dict) else ():
        try:
            _KEY.validate_python(key)
        except ValidationError:
            continue  # said already; what has no name has no places either
        try:
            read[str(key)] = part = Part.model_validate(entry, context={"unit": unit})
            known, wrong = know_part(str(key), part, catalog, unit=unit)
            if known is not None:
                settled[str(key)] = known
        except ValidationError:
            wrong = _readable_part_errors(str(key), entry, document, catalog, unit)
        found += wrong
    found += wish_errors(read, settled)
    wishes = document.data.get("features")
    for number, wish in enumerate(wishes if isinstance(wishes, list) else ()):
        try:
            feature = _FEATURE.validate_python(wish, context={"unit": unit})
        except ValidationError:
            continue  # said already
        found += feature_error(number, feature)
    try:
        shape = OutlineShape.model_validate(document.data.get("shape"), context={"unit": unit})
        found += outline_errors(shape.corners)
    except ValidationError:
        pass  # said already, or a recipe
    materials = document.data.get("materials")
    made_of = [
        (str(key), str(entry["kind"]), str(entry["species"]))
        for key, entry in (materials.items() if isinstance(materials, dict) else ())
        if isinstance(entry, dict)
        and all(isinstance(entry.get(name), str) for name in ("kind", "species"))
    ]
    said = {error.field for error in found}
    found += [error for error in species_errors(made_of, catalog) if error.field not in said]
    found += [error for error in names_in_data(document.data) if error.field not in said]
    return InputErrors(found)


def _readable_part_errors(
    key: str, entry: object, document: LoadedDocument, catalog: Catalog, unit: Unit
) -> list[InputError]:
    """What is wrong with the type and the dimensions of a part that is wrong elsewhere too."""
    kept = ("type", "kind", "measured", "assumed")
    if not isinstance(entry, dict):
        return []
    try:
        part = Part.model_validate({name: entry[name] for name in kept if name in entry})
    except ValidationError:
        return []  # said already
    wrong = know_part(key, part, catalog, unit=unit)[1]
    return [error for error in wrong if document.path(error.field) in document.places]


def _opened(document: LoadedDocument, catalog: Catalog) -> Opened:
    data = document.data
    unit: Unit = "mm"
    if data.get("unit") in ("mm", "cm", "m", "in"):
        unit = data["unit"]
    try:
        project = read_model(document, Project, context={"unit": unit})
    except InputErrors as errors:
        raise located(_with_part_errors(errors, document, catalog, unit), document) from None
    made_of = [(key, m.kind, m.species) for key, m in project.materials.items() if m.species]
    wrong = [*stock_errors(project), *species_errors(made_of, catalog)]
    parts: dict[str, KnownPart] = {}
    for key, part in project.parts.items():
        known, errors_of_part = know_part(key, part, catalog, unit=project.unit)
        wrong += errors_of_part
        if known is not None:
            parts[key] = known
    if wrong:
        wrong += [
            *material_errors(project),
            *feature_errors(project),
            *place_errors(project),
            *wish_errors(project.parts, parts),
        ]
        if isinstance(project.shape, OutlineShape):
            try:
                solve_outline(project, project.shape)
            except InputErrors as more:
                wrong += more.errors
        raise located(InputErrors(wrong), document)
    return Opened(document, project, parts, catalog)


__all__ = [
    "LARGEST_BYTES",
    "LEAST_LITRES",
    "LITRES",
    "MOST_LITRES",
    "RECIPES",
    "REMOVE",
    "SUFFIX",
    "Built",
    "InSpace",
    "KeyPath",
    "LoadedDocument",
    "Opened",
    "Progress",
    "Removal",
    "Superseded",
    "Value",
    "Worked",
    "bench_address_named",
    "build_up",
    "changed_document",
    "day_named",
    "densities",
    "describe_errors",
    "explain",
    "load_text",
    "located",
    "make_papers",
    "open_document",
    "open_project",
    "open_text",
    "paper_named",
    "proposed_document",
    "read_catalogs",
    "read_text",
    "replan",
    "save_bytes",
    "save_text",
    "schema_of_projects",
    "schema_of_results",
    "screw_sizes",
    "starter_text",
    "work_out",
    "write_new",
    "write_papers",
]
