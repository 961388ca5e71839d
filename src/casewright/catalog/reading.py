"""Reading a part's dimensions as somebody wrote them, one field at a time, with every problem told.

Some dimensions may be given another way than the kind holds them; these short forms are fields to the writer:

- display: `diagonal` and `aspect` give the lit area; `bezel_right` and `bezel_top` complete the housing.
- strip: `lights_per_cut` gives the cut unit.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any

from pydantic import Field, TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from casewright.basics.errors import InputError
from casewright.basics.fields import INPUT_ERROR, Length, PositiveLength
from casewright.basics.units import Unit, quoted
from casewright.catalog.kinds import KINDS, Kind

SHORT_FORMS: Mapping[str, Mapping[str, Any]] = MappingProxyType(
    {
        "display": {
            "diagonal": PositiveLength,
            "aspect": str,
            "bezel_right": Length,
            "bezel_top": Length,
        },
        "strip": {"lights_per_cut": Annotated[int, Field(ge=1, le=1000)]},
    }
)
"""Short forms by kind, with their types."""


def field_names(kind: str) -> tuple[str, ...]:
    """Names that may be written for a part of that kind, in the kind's order, short forms last."""
    fields = (name for name in KINDS[kind].model_fields if name != "kind")
    return (*fields, *SHORT_FORMS.get(kind, ()))


def read_fields(
    kind: str,
    written: Mapping[str, object],
    *,
    unit: Unit = "mm",
    prefix: str = "",
    also: Sequence[str] = (),
) -> tuple[dict[str, Any], list[InputError]]:
    """Return the values that can be read, lengths in mm, and a problem for each that cannot.

    Args:
        kind: Key of `KINDS`.
        written: Values by field name.
        unit: What lengths without a unit are in.
        prefix: Dotted path of the group, for the problems.
        also: Names that would have been right in the file, to be suggested too.

    Example:
        >>> read_fields("dial", {"hole": '1/4"', "knob": 1}, unit="in")
        ({'hole': 6.35, 'knob': 25.4}, [])
    """
    names = field_names(kind)
    values: dict[str, Any] = {}
    problems: list[InputError] = []
    for name, value in written.items():
        path = f"{prefix}.{name}" if prefix else str(name)
        if name not in names:
            problems.append(_unknown_dimension(kind, path, str(name), (*names, *also)))
            continue
        try:
            values[name] = _adapter(kind, name).validate_python(value, context={"unit": unit})
        except ValidationError as error:
            problems += [problem_of(detail, prefix=path) for detail in error.errors()]
    return values, problems


def make_part(kind: str, values: Mapping[str, Any]) -> Kind:
    """Return a part of a kind from values already read, in mm; the kind's defaults fill the rest."""
    given = {"kind": kind, **values}
    return KINDS[kind].model_construct(_fields_set=set(given), **given)


def missing_fields(kind: str, values: Mapping[str, Any], *, prefix: str) -> list[InputError]:
    """A problem for each dimension that the kind cannot do without and that nobody gave."""
    problems = []
    for name, described in KINDS[kind].model_fields.items():
        if described.is_required() and name not in values:
            meaning = (described.description or name.replace("_", " ")).rstrip(".")
            want = f"a measured or assumed value: {meaning[:1].lower()}{meaning[1:]}"
            problems.append(InputError(f"{prefix}.{name}", got="nothing", want=want))
    return problems


def _unknown_dimension(kind: str, path: str, name: str, names: Sequence[str]) -> InputError:
    """A dimension by a name that is not known: the nearest, those whose meaning has its words, or the kind's own."""
    fields = KINDS[kind].model_fields
    own = [name for name in names if name in KINDS[kind].__annotations__]
    known = [*own, *(name for name in names if name not in own)]
    said = _words(name)
    told = [one for one in known if one in fields and said & _words(fields[one].description or "")]
    return unknown_name(path, name, known, f"a dimension of a {kind}", first=told)


def _words(text: str) -> set[str]:
    return {word for word in re.split(r"[^a-z0-9]+", text.lower()) if len(word) > 1}


def unknown_name(
    path: str, name: str, known: Iterable[str], what: str, *, first: Sequence[str] = ()
) -> InputError:
    """The problem of a name that is not known, with the nearest ones: misspelled, `first`, or of the same words."""
    known = list(known)
    words = {word for word in name.split("-") if len(word) > 2}
    alike = [other for other in known if words & set(other.split("-"))]
    alike.sort(key=lambda other: -len(words & set(other.split("-"))))  # else as they stand
    misspelled = difflib.get_close_matches(name, known, n=3, cutoff=0.75)
    near = list(dict.fromkeys([*misspelled, *first, *alike]))[:3]
    near = near or difflib.get_close_matches(name, known, n=3, cutoff=0.5)
    some = near or known[:12]
    choice = f"{what}, such as " + ", ".join(some)
    return InputError(path, got=quoted(name), want=choice, example=near[0] if near else "")


def problem_of(detail: ErrorDetails, *, prefix: str = "", known: Iterable[str] = ()) -> InputError:
    """One of pydantic's problems as ours; `known` are the names that would be right."""
    context = detail.get("ctx", {})
    path = ".".join(str(part) for part in (prefix, *detail["loc"]) if part != "")
    if detail["type"] == INPUT_ERROR:
        inner = context["field"]
        return InputError(
            ".".join(part for part in (path, inner) if part),
            got=context["got"],
            want=context["want"],
            example=context["example"],
        )
    got = quoted(detail["input"])
    match detail["type"]:
        case "missing":
            return InputError(path, got="nothing", want="a value")
        case "extra_forbidden":
            return unknown_name(path, str(detail["loc"][-1]), known, "a known name")
        case "literal_error":
            return InputError(path, got=got, want=f"one of {context['expected']}")
        case "greater_than":
            return InputError(path, got=got, want=f"a number of more than {context['gt']:g}")
        case "greater_than_equal":
            return InputError(path, got=got, want=f"a number of at least {context['ge']:g}")
        case "less_than_equal":
            return InputError(path, got=got, want=f"a number of at most {context['le']:g}")
        case "bool_type" | "bool_parsing":
            return InputError(path, got=got, want="true or false", example="true")
        case "float_type" | "float_parsing" | "int_type" | "int_parsing" | "int_from_float":
            return InputError(path, got=got, want="a number", example="4")
        case _:
            text = detail["msg"]
            return InputError(path, got=got, want=text[:1].lower() + text[1:])


@cache
def _adapter(kind: str, name: str) -> TypeAdapter[Any]:
    """Reads one field. Of a kind's field, with the limits that the kind sets."""
    short = SHORT_FORMS.get(kind, {})
    if name in short:
        return TypeAdapter(short[name])
    field = KINDS[kind].model_fields[name]
    annotation: Any = field.annotation
    return _adapter_of(annotation, *field.metadata)


@cache
def _adapter_of(annotation: Any, *limits: Any) -> TypeAdapter[Any]:
    """Reads values of a type within limits; making one takes longer than reading a hundred values."""
    return TypeAdapter(Annotated[(annotation, *limits)] if limits else annotation)


__all__ = [
    "SHORT_FORMS",
    "field_names",
    "make_part",
    "missing_fields",
    "problem_of",
    "read_fields",
    "unknown_name",
]
