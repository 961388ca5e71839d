"""What is explored: a project, what is varied in it, what is to be shown of each variant."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path
from typing import Any, Final

from casewright import __version__
from casewright.basics.errors import CasewrightError, InputError, InputErrors
from casewright.basics.units import quoted
from casewright.planning.exploring import (
    FIGURES,
    MOST_VARIANTS,
    PLAN_KEYS,
    Aim,
    Figure,
    Space,
    Variation,
    aims_named,
    columns,
    space_of,
    variation_at,
    variation_of,
)
from casewright.session.exploring.trying import Base, edits_in
from casewright.workflow import (
    Opened,
    load_text,
    located,
    open_document,
    proposed_document,
    read_catalogs,
    read_text,
    work_out,
)

SUFFIX: Final = ".explore.yaml"
"""What the plan of an exploration beside a project file ends in."""
KEYS: Final = tuple(key.name for key in PLAN_KEYS)
"""Of a plan file."""
_TRIED: Final = 12
"""Choices of a variation that are read before anything is worked out."""


@dataclass(frozen=True)
class Wishes:
    """What is asked of an exploration."""

    variations: tuple[Variation, ...]
    shown: tuple[str, ...] = ()
    """Keys of further numbers, as `casewright why` takes them."""
    aims: tuple[Aim, ...] = ()
    sample: int | None = None
    """Tries so many of all variants, drawn evenly."""
    seed: int = 1


@dataclass(frozen=True)
class Job:
    """An exploration of a project."""

    base: Base
    space: Space
    wishes: Wishes

    @property
    def opened(self) -> Opened:
        """The project as it is."""
        return self.base.opened

    @cached_property
    def numbers(self) -> tuple[int, ...]:
        """Numbers of the variants that are tried, in order."""
        sample = self.wishes.sample
        if sample is None:
            return tuple(range(1, self.space.count + 1))
        return self.space.sample(sample, seed=self.wishes.seed)

    @cached_property
    def columns(self) -> tuple[Figure, ...]:
        """Columns of the table; numbers that are shown as well have the name and unit they have in the project."""
        every = columns(self.wishes.shown)
        own = set(self.wishes.shown)
        if not own:
            return every
        try:
            worked = work_out(self.opened)
        except InputErrors:  # it cannot be built as it is
            return every
        found = []
        for figure in every:
            number = None
            if figure.key in own and figure not in FIGURES:
                number = worked.numbers.get(figure.key) or worked.every_number.get(figure.key)
            found.append(
                replace(figure, label=number.label, unit=number.unit) if number else figure
            )
        return tuple(found)

    @cached_property
    def mark(self) -> str:
        """Tells rows of this project, program and list of numbers from all others."""
        told = json.dumps(
            [
                __version__,
                program_mark(),
                self.base.opened.document.data,
                self.base.catalogs,
                sorted(self.wishes.shown),
            ],
            sort_keys=True,
            ensure_ascii=False,
            default=str,
        )
        return hashlib.sha256(told.encode()).hexdigest()[:32]


def job_of(
    path: Path,
    *,
    vary: Sequence[str] = (),
    plan: Path | None = None,
    shown: Sequence[str] = (),
    aims: Sequence[str] = (),
    sample: int | None = None,
    seed: int | None = None,
    catalogs: Sequence[Path] = (),
) -> Job:
    """Return what is to be explored of a project file.

    Args:
        path: The project file.
        vary: Variations as the command line has them, `shape.width=660 to 740 by 20`. Without any those of the plan.
        plan: A plan file; the one beside the project, `NAME.explore.yaml`, where there is one and nothing is given.
        shown: Further numbers, added to the plan's.
        aims: What is to be low or high; the plan's, else the usual ones, where none is given.
        sample: Tries so many of all variants.
        seed: Draws another sample.
        catalogs: Catalog files of the maker's own.

    Raises:
        InputErrors: The project or the plan cannot be read.
        InputError: Something of it leads nowhere, or there is too much.
    """
    texts = [(str(one), _text_of(one)) for one in catalogs]
    base = Base.of(read_text(path), file=str(path), catalogs=texts, catalog=read_catalogs(catalogs))
    if plan is None and not vary and (beside := plan_beside(path)).exists():
        plan = beside
    planned = wishes_in(read_text(plan), base, file=str(plan)) if plan else None
    return job_with(base, planned, vary=vary, shown=shown, aims=aims, sample=sample, seed=seed)


def job_with(
    base: Base,
    planned: Wishes | None = None,
    *,
    vary: Sequence[str] = (),
    shown: Sequence[str] = (),
    aims: Sequence[str] = (),
    sample: int | None = None,
    seed: int | None = None,
) -> Job:
    """The same for a project that is read already; see `job_of`.

    Raises:
        InputError: Something of it leads nowhere, or there is too much.
    """
    data = base.opened.document.data
    varied = [variation_written(data, text) for text in vary]
    kept = (
        [v for v in planned.variations if v.label not in {o.label for o in varied}]
        if planned
        else []
    )
    variations = (*kept, *varied)
    every = tuple(dict.fromkeys((*(planned.shown if planned else ()), *shown)))
    wishes = Wishes(
        variations,
        every,
        aims_named(aims, every) if aims or not planned or not planned.aims else planned.aims,
        sample if sample is not None or planned is None else planned.sample,
        seed if seed is not None else planned.seed if planned else 1,
    )
    space = space_of(variations, where="--vary" if vary or planned is None else "vary")
    if wishes.sample is None and space.count > MOST_VARIANTS:
        raise InputError(
            "--sample",
            got=f"{space.count} variants",
            want=f"at most {MOST_VARIANTS}, or a sample of them",
            example="--sample 2000",
        )
    for variation in variations:
        _check_variation(base, variation)
    return Job(base, space, wishes)


def plan_beside(path: Path) -> Path:
    """The plan file that belongs to a project file."""
    name = path.name
    for ending in (".cabinet.yaml", ".yaml", ".yml"):
        if name.endswith(ending):
            name = name.removesuffix(ending)
            break
    return path.with_name(name + SUFFIX)


def variation_written(data: Mapping[str, Any], text: str) -> Variation:
    """A variation as the command line has it: `PLACE=RANGE` or `PLACE=VALUE, VALUE`.

    Raises:
        InputError: It is none.
    """
    field, sign, values = text.partition("=")
    if not sign or not field.strip() or not values.strip():
        raise InputError(
            "--vary",
            got=text,
            want="a place in the file and what it may be",
            example="shape.width=660 to 740 by 20",
        )
    written: object = values.strip()
    if " to " not in values:
        try:
            written = load_text(f"values: [{values}]\n", file="--vary").data["values"]
        except InputErrors as errors:
            raise InputError(
                "--vary", got=text, want="values with commas between them", example="a=1, 2"
            ) from errors
    return variation_at(data, field.strip(), written, where="--vary")


def wishes_in(text: str, base: Base, *, file: str) -> Wishes:
    """What a plan file asks for.

    Raises:
        InputErrors: All that is wrong with it, each with its line.
    """
    document = load_text(text, file=file)
    errors: list[InputError] = []
    data = document.data
    for key in data:
        if key not in KEYS:
            want = "one of " + ", ".join(KEYS)
            errors.append(InputError(key, got=key, want=want, example="vary"))
    variations: list[Variation] = []
    entries = data.get("vary")
    if not isinstance(entries, list) or not entries:
        want, example = "a list of what to vary", "[{at: shape.width, values: 660 to 740 by 20}]"
        errors.append(InputError("vary", got=quoted(entries), want=want, example=example))
    for index, entry in enumerate(entries if isinstance(entries, list) else ()):
        try:
            where = f"vary.{index}"
            variations.append(variation_of(base.opened.document.data, entry, where=where))
        except InputError as error:
            errors.append(error)
    shown = _names(data, "show", errors)
    aims: tuple[Aim, ...] = ()
    try:
        written = _names(data, "aims", errors)
        aims = aims_named(written, shown) if written else ()
        space_of(variations) if variations else None
    except InputError as error:
        errors.append(
            InputError(
                "aims" if error.field == "aim" else error.field,
                got=error.got,
                want=error.want,
                example=error.example,
            )
        )
    sample, seed = _count(data, "sample", errors), _count(data, "seed", errors)
    if errors:
        raise located(InputErrors(errors), document)
    return Wishes(tuple(variations), shown, aims, sample, 1 if seed is None else seed)


def _names(data: Mapping[str, Any], key: str, errors: list[InputError]) -> tuple[str, ...]:
    value = data.get(key, [])
    if isinstance(value, list) and all(isinstance(one, str) for one in value):
        return tuple(value)
    errors.append(InputError(key, got=quoted(value), want="a list of names", example="[cost]"))
    return ()


def _count(data: Mapping[str, Any], key: str, errors: list[InputError]) -> int | None:
    value = data.get(key)
    if value is None or (isinstance(value, int) and not isinstance(value, bool) and value > 0):
        return value
    errors.append(InputError(key, got=str(value), want="a whole number", example="1000"))
    return None


def _check_variation(base: Base, variation: Variation) -> None:
    """Refuse what no choice of can be read: a place that does not exist, rather than a table of failures."""
    first: CasewrightError | None = None
    for choice in variation.choices[:_TRIED]:
        try:
            edits = edits_in(base.opened.document.data, choice.edits)
            open_document(proposed_document(base.opened.document, edits), base.catalog)
            return
        except (InputError, InputErrors) as error:
            first = first or error
    if first is not None and len(variation.choices) <= _TRIED:
        one = first.errors[0] if isinstance(first, InputErrors) else first
        assert isinstance(one, InputError)
        raise InputError(
            one.field or variation.label,
            got=f"{one.got}, varying {variation.label}",
            want=one.want,
            example=one.example,
        )


def _text_of(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""  # `read_catalogs` says what is wrong


@cache
def program_mark() -> str:
    """Of the program's own code: rows of an earlier state of it do not count."""
    root = Path(__file__).resolve().parents[2]
    digest = hashlib.sha256()
    for file in sorted(root.rglob("*")):
        if file.suffix in (".py", ".toml", ".csv") and file.is_file():
            digest.update(file.relative_to(root).as_posix().encode())
            digest.update(file.read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()


__all__ = [
    "SUFFIX",
    "Job",
    "Wishes",
    "job_of",
    "job_with",
    "plan_beside",
    "program_mark",
    "variation_written",
    "wishes_in",
]
