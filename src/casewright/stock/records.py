"""What one entry of the stock holds, validated; its lengths are kept as they were written, each with its unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from types import MappingProxyType
from typing import Any, ClassVar, Literal, Self

from pydantic import Field, ValidationError, model_validator
from pydantic_core import ErrorDetails

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.fields import (
    INPUT_ERROR,
    Kerf,
    Key,
    Length,
    Money,
    Name,
    PositiveLength,
    SawTilt,
    Title,
    as_pydantic,
)
from casewright.basics.units import Unit, parse_length, quoted
from casewright.design.base import Section
from casewright.design.materials import MaterialKind

Kind = Literal["sheet", "offcut", "length", "hardware", "paint", "tool"]
ToolKind = Literal[
    "saw",
    "brad",
    "twist",
    "spade",
    "forstner",
    "hole saw",
    "straight",
    "flush trim",
    "chamfer",
    "round over",
]
"""The saw, or a bit as `design.project.Bit` names it."""

MOST = 10_000
"""Of one entry."""


class Record(Section):
    """Common to all entries."""

    kind: Kind
    label: Name = ""
    place: Name = Field("", description="Where it lies.")
    price: Money = Field(0.0, description="Of one.")
    note: Name = ""

    lengths: ClassVar[tuple[str, ...]] = ()
    """Fields that are lengths."""

    @property
    def name(self) -> str:
        """What lists call it."""
        return self.label or self.kind


class BoardRecord(Record):
    """Sheet goods; lengths as in a project's materials."""

    material: MaterialKind
    species: Key | None = Field(None, description="Catalog key, such as 'plywood-birch'.")
    nominal: PositiveLength | None = Field(None, description="Thickness in the name it is sold by.")
    measured: PositiveLength | None = Field(None, description="Thickness by calipers.")
    length: PositiveLength = Field(description="Along the grain.")
    width: PositiveLength = Field(description="Across the grain.")
    grain: Literal["length", "none"] = Field(
        "length", description="'none': it has no grain, or nobody can tell which way it runs."
    )
    color: Name = ""

    lengths: ClassVar[tuple[str, ...]] = ("nominal", "measured", "length", "width")

    @model_validator(mode="after")
    def _has_thickness(self) -> Self:
        if self.nominal is None and self.measured is None:
            want = "its thickness: nominal, measured, or both"
            raise as_pydantic(InputError("measured", got="nothing", want=want, example="11.8 mm"))
        return self

    @property
    def thickness(self) -> float:
        """As measured, else as named. [mm]"""
        return self.nominal or 0.0 if self.measured is None else self.measured

    @property
    def name(self) -> str:
        """What lists call it."""
        return self.label or (self.species or self.material).replace("-", " ")


class SheetRecord(BoardRecord):
    """A sheet as it was bought, its factory edges still on."""

    kind: Literal["sheet"] = "sheet"


class OffcutRecord(BoardRecord):
    """A piece left over, sawn on all edges."""

    kind: Literal["offcut"] = "offcut"


class LengthRecord(Record):
    """Strip wood or a profile that is bought by the length."""

    kind: Literal["length"] = "length"
    label: Title
    length: PositiveLength = Field(description="Of one piece.")
    width: PositiveLength | None = None
    height: PositiveLength | None = None
    type: Key | None = Field(None, description="Catalog key, such as that of an edge trim.")

    lengths: ClassVar[tuple[str, ...]] = ("length", "width", "height")


class HardwareRecord(Record):
    """Screws, handles, buttons, wire: what is counted."""

    kind: Literal["hardware"] = "hardware"
    label: Title
    type: Key | None = Field(None, description="Catalog key, such as 'button-30'.")


class PaintRecord(Record):
    """Full cans of one product."""

    kind: Literal["paint"] = "paint"
    label: Title
    coat: Literal["sealer", "primer", "color", "clear"]
    can: float | None = Field(None, gt=0, le=50, description="Litres in one can.")


class ToolRecord(Record):
    """The saw with its limits, or a bit."""

    kind: Literal["tool"] = "tool"
    tool: ToolKind
    kerf: Kerf | None = Field(None, description="Of the saw.")
    tilt_most: SawTilt | None = Field(None, description="Of the saw's blade.")
    diameter: PositiveLength | None = Field(None, description="Of the bit.")
    cutting_length: Length | None = Field(None, description="Of a router bit.")
    bearing: Length | None = Field(None, description="Diameter of a router bit's bearing.")

    lengths: ClassVar[tuple[str, ...]] = ("kerf", "diameter", "cutting_length", "bearing")

    @model_validator(mode="after")
    def _has_size(self) -> Self:
        if self.tool == "saw" and self.kerf is None:
            raise as_pydantic(
                InputError("kerf", got="nothing", want="the saw's kerf", example="3.2 mm")
            )
        if self.tool != "saw" and self.diameter is None:
            raise as_pydantic(
                InputError("diameter", got="nothing", want="the bit's diameter", example="12.7 mm")
            )
        return self

    @property
    def name(self) -> str:
        """What lists call it."""
        return self.label or (self.tool if self.tool in ("saw", "hole saw") else f"{self.tool} bit")


KINDS: Mapping[str, type[Record]] = MappingProxyType(
    {
        "sheet": SheetRecord,
        "offcut": OffcutRecord,
        "length": LengthRecord,
        "hardware": HardwareRecord,
        "paint": PaintRecord,
        "tool": ToolRecord,
    }
)
"""Records by kind, in the order of lists."""

WORDS: Mapping[str, str] = MappingProxyType(
    {
        "sheet": "sheets",
        "offcut": "offcuts",
        "length": "lengths",
        "hardware": "hardware",
        "paint": "paint",
        "tool": "tools",
    }
)
"""The kinds as headings."""


@dataclass(frozen=True)
class Held:
    """One entry of the stock as it stands."""

    mark: str
    """Written on the piece."""
    count: int
    record: Record
    written: Mapping[str, str]
    """What the record was read from: every length with its unit."""
    revision: int = 1
    """Grows with each change."""
    origin: str = ""
    """Where a booked offcut came from."""

    @property
    def value(self) -> tuple[str, int, Mapping[str, Any]]:
        """What it is, whatever happened to it in between."""
        return self.mark, self.count, dict(self.written)


def fields_of_kind(kind: str) -> tuple[str, ...]:
    """Fields of a kind of entry, in order, without the kind itself."""
    return tuple(name for name in KINDS[kind].model_fields if name != "kind")


def read_record(data: Mapping[str, Any], *, unit: Unit = "mm") -> tuple[Record, Mapping[str, str]]:
    """Return an entry's record, and what is kept of it as it was written.

    Args:
        data: Values by field; those that are None or "" count as not given.
        unit: Of lengths that name none.

    Returns:
        The record, with lengths in millimeters; and the values as written, each length with its unit.

    Raises:
        InputErrors: All that cannot be used, each by its field.

    Example:
        >>> record, written = read_record(
        ...     {"kind": "offcut", "material": "plywood", "nominal": "1/2", "length": "24 1/2", "width": "11 in"},
        ...     unit="in",
        ... )
        >>> record.length, written["length"], written["width"]
        (622.3, '24 1/2 in', '11 in')
    """
    given = {name: value for name, value in data.items() if value is not None and value != ""}
    kind = given.get("kind")
    model = KINDS.get(kind) if isinstance(kind, str) else None
    if model is None:
        want = "one of " + ", ".join(KINDS)
        got = "nothing" if kind is None else quoted(kind)
        raise InputErrors([InputError("kind", got=got, want=want, example="offcut")])
    try:
        record = model.model_validate(given, context={"unit": unit})
    except ValidationError as error:
        raise InputErrors(
            _plain(model, detail) for detail in error.errors(include_url=False)
        ) from None
    written = {
        name: with_unit(given[name], unit) if name in model.lengths else _as_text(given[name])
        for name in model.model_fields
        if name in given
    }
    return record, MappingProxyType(written)


def with_unit(value: Any, unit: Unit) -> str:
    """A length that can be read, as text with its unit.

    Example:
        >>> with_unit("3/4", "in"), with_unit(600, "mm"), with_unit('3/4"', "mm")
        ('3/4 in', '600 mm', '3/4"')
    """
    text = " ".join(str(value).split())
    other: Unit = "in" if unit != "in" else "mm"
    bare = parse_length(value, unit=unit) != parse_length(value, unit=other)
    return f"{text} {unit}" if bare else text


def _as_text(value: Any) -> str:
    """Any other value as text; whole numbers without a point."""
    return f"{value:.15g}" if isinstance(value, float) else str(value).strip()


def _plain(model: type[Record], detail: ErrorDetails) -> InputError:
    """One of pydantic's errors in our words."""
    field = ".".join(str(step) for step in detail["loc"])
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == INPUT_ERROR:
        inner = ".".join(part for part in (field, str(context["field"])) if part)
        return InputError(
            inner, got=context["got"], want=context["want"], example=str(context["example"])
        )
    if kind == "missing":
        return InputError(field, got="nothing", want=_meaning(model, field))
    if kind == "extra_forbidden":
        known = [name for name in model.model_fields if name != "kind"]
        near = get_close_matches(field, known, n=1)
        word = model.model_fields["kind"].default
        return InputError(
            field,
            got="a value that it does not have",
            want=f"for the kind {word} one of {', '.join(known)}",
            example=near[0] if near else "",
        )
    got = quoted(detail["input"])
    if kind == "literal_error":
        want = str(context["expected"]).replace("'", "").replace(" or ", ", ")
        return InputError(field, got=got, want=f"one of {want}", example=want.partition(",")[0])
    limits = {"greater_than": "more than", "less_than_equal": "at most"}
    if kind in limits:
        bound = context.get("gt", context.get("le"))
        return InputError(field, got=got, want=f"{limits[kind]} {bound:g}")
    return InputError(field, got=got, want="a number", example="2.5")


def _meaning(model: type[Record], field: str) -> str:
    """What a field that is missing should hold."""
    found = model.model_fields.get(field)
    meaning = (found.description or "") if found else ""
    return f"a value: {meaning[:1].lower()}{meaning[1:].rstrip('.')}" if meaning else "a value"


__all__ = [
    "KINDS",
    "MOST",
    "WORDS",
    "BoardRecord",
    "HardwareRecord",
    "Held",
    "Kind",
    "LengthRecord",
    "OffcutRecord",
    "PaintRecord",
    "Record",
    "SheetRecord",
    "ToolKind",
    "ToolRecord",
    "fields_of_kind",
    "read_record",
    "with_unit",
]
