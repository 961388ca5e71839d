"""A catalog type told field by field, as plain data."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any, get_args

from pydantic.fields import FieldInfo

from casewright.basics import fields as door
from casewright.basics.sources import source_line
from casewright.catalog.kinds import KINDS
from casewright.catalog.load import CatalogType

_UNITS: tuple[tuple[Any, str], ...] = (
    (door.Length, "mm"),
    (door.PositiveLength, "mm"),
    (door.SignedLength, "mm"),
    (door.Kerf, "mm"),
    (door.Angle, "deg"),
    (door.SawTilt, "deg"),
    (door.SignedAngle, "deg"),
    (door.Mass, "kg"),
    (door.Power, "W"),
    (door.Volts, "V"),
    (door.Amps, "A"),
    (door.Money, "money"),
)

_PLAIN_UNITS = {
    "air_c": "°C",
    "compliance_litres": "L",
    "density": "kg/m³",
    "flow_m3h": "m³/h",
    "free_air_hz": "Hz",
    "lights_per_m": "1/m",
    "net_litres": "L",
    "noise_dba": "dB(A)",
    "ohms": "Ω",
    "ohms_per_m": "Ω/m",
    "pressure_pa": "Pa",
    "room_c": "°C",
    "watts_per_m": "W/m",
}
"""Of fields whose type does not tell it."""

_LABELS = {
    "air_c": "warmest air inside",
    "compliance_litres": "equivalent volume",
    "flow_m3h": "air flow",
    "free_air_hz": "resonance in free air",
    "lamp_amps": "lamp current",
    "lamp_volts": "lamp voltage",
    "lights_per_m": "lights per meter",
    "modulus_across_mpa": "modulus of elasticity across the grain",
    "modulus_mpa": "modulus of elasticity",
    "mass_kg": "mass",
    "noise_dba": "noise",
    "ohms": "impedance",
    "output_amps": "output current",
    "peak_w": "peak power",
    "pressure_pa": "most pressure",
    "rated_w": "rated power",
    "room_c": "air of the room",
    "strength_mpa": "strength",
    "tilt_deg": "tilt",
    "total_q": "total Q",
    "travel": "travel of the cone",
    "typical_w": "typical power",
    "volts": "voltage",
    "watts_per_m": "power per meter",
}
"""Of fields whose name is not their label."""


@dataclass(frozen=True)
class FieldRow:
    """One dimension of a type."""

    field: str
    """As a project writes it: "body_depth"."""
    label: str
    value: str
    source: str
    """In one line; "usual value" for a default of the kind."""
    meaning: str = ""
    """What to measure, where the name alone does not tell."""


def explain_type(type_: CatalogType, write_length: Callable[[float], str]) -> list[FieldRow]:
    """Return every dimension of a catalog type with its value and source, in the kind's order.

    Args:
        type_: The type.
        write_length: Writes a length [mm] in the reader's unit.

    A dimension that nothing is known of has the value "not known".
    """
    rows = []
    for name, field in type(type_.data).model_fields.items():
        if name in ("kind", "label"):
            continue
        value = getattr(type_.data, name)
        if name == "price" and not value:
            continue
        source = type_.source(name)
        rows.append(
            FieldRow(
                name,
                field_label(name),
                write_value(type_.kind, name, value, write_length),
                source_line(source) if source else "usual value",
                field.description or "",
            )
        )
    return rows


def field_label(name: str) -> str:
    """Return a field's name in words: `plate_width` is "plate width"."""
    return _LABELS.get(name, name.replace("_", " "))


@cache
def field_unit(kind: str, name: str) -> str:
    """Return the unit of a kind's field: "mm", "deg", "kg", "W", "V", "A", "money", or "" for none."""
    return unit_of(name, KINDS[kind].model_fields[name])


def unit_of(name: str, field: FieldInfo) -> str:
    """Return the unit of any model's field, as `field_unit` does."""
    if name in _PLAIN_UNITS:
        return _PLAIN_UNITS[name]
    # Each field type has a mark of its own, which pydantic keeps; an optional one lies one level down.
    marks = [*field.metadata, *(m for arg in get_args(field.annotation) for m in _marks(arg))]
    for alias, unit in _UNITS:
        if any(mark is own for mark in marks for own in _marks(alias)):
            return unit
    return ""


def _marks(annotation: Any) -> tuple[Any, ...]:
    return getattr(annotation, "__metadata__", ())


def write_value(kind: str, name: str, value: object, write_length: Callable[[float], str]) -> str:
    """Return a field's value as text with its unit; "not known" for None."""
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, (int, float)):
        return str(value)
    unit = field_unit(kind, name)
    if unit == "mm":
        return write_length(float(value))
    number = f"{value:.6g}"
    if unit in ("", "money"):
        return number
    return f"{number}°" if unit == "deg" else f"{number} {unit}"


__all__ = ["FieldRow", "explain_type", "field_label", "field_unit", "unit_of", "write_value"]
