"""A project file and a catalog, read; every error of a file with its line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from casewright.basics.errors import CasewrightError, InputError, InputErrors
from casewright.basics.fields import Key
from casewright.basics.units import LengthStyle, Unit, format_length
from casewright.catalog.load import Catalog, load_catalog
from casewright.design.known import know_part
from casewright.design.panels import Feature
from casewright.design.parts import KnownPart, Part
from casewright.design.project import Project
from casewright.design.shape import OutlineShape
from casewright.design.species import species_errors
from casewright.design.writing import length_style
from casewright.geometry.naming import material_errors, names_in_data, place_errors
from casewright.geometry.outline import outline_errors, solve_outline
from casewright.geometry.own_features import feature_error, feature_errors
from casewright.geometry.placing import wish_errors
from casewright.planning.blanks import stock_errors
from casewright.projectfile.reading import read_model
from casewright.projectfile.report import report_text
from casewright.projectfile.yamltext import (
    LoadedDocument,
    load_file,
    load_text,
)

_FEATURE: TypeAdapter[Feature] = TypeAdapter(Feature)
_KEY: TypeAdapter[str] = TypeAdapter(Key)


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


def open_project(path: Path, *, catalogs: Sequence[Path] = ()) -> Opened:
    """Read a project file.

    Raises:
        InputErrors: All that is wrong with it, each with its line.
    """
    return _opened(load_file(path), read_catalogs(catalogs))


def open_text(text: str, *, file: str = "project", catalogs: Sequence[Path] = ()) -> Opened:
    """Read a project from text; `file` is for messages only."""
    return _opened(load_text(text, file=file), read_catalogs(catalogs))


def open_document(document: LoadedDocument, catalog: Catalog) -> Opened:
    """Read a project from a document and a catalog that are read already.

    Raises:
        InputErrors: All that is wrong with it, each with its line.
    """
    return _opened(document, catalog)


def read_catalogs(paths: Sequence[Path] = ()) -> Catalog:
    """The catalog, with the maker's own files laid over it.

    Raises:
        InputError: One of them cannot be read.
    """
    texts = []
    for path in paths:
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


def located(errors: InputErrors, document: LoadedDocument) -> InputErrors:
    """The same errors with their lines in the file, in its order."""
    placed = [
        error if error.spot else error.at(document.spot(document.path(error.field)))
        for error in errors.errors
    ]
    return InputErrors(
        sorted(placed, key=lambda e: (e.spot.line, e.spot.column) if e.spot else (0, 0))
    )


def describe_errors(error: CasewrightError) -> str:
    """An error as text, each line of a file shown with a caret."""
    return report_text(error) if isinstance(error, InputError | InputErrors) else str(error)


def _opened(document: LoadedDocument, catalog: Catalog) -> Opened:
    data = document.data
    _refuse_later_form(document)
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


def _refuse_later_form(document: LoadedDocument) -> None:
    """Say of a file in a later form nothing but that: what else does not suit may well be right there."""
    form, known = document.data.get("casewright"), Project.model_fields["casewright"].default
    if isinstance(form, int) and form > known:
        error = InputError(
            "casewright",
            got=f"{form}, a later form of project files",
            want=f"{known}, which this casewright reads; a newer one reads the file as it is",
            example=str(known),
        )
        raise located(InputErrors([error]), document)


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


__all__ = [
    "Opened",
    "describe_errors",
    "located",
    "open_document",
    "open_project",
    "open_text",
    "read_catalogs",
]
