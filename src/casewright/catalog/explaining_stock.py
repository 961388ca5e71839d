"""Sheet goods, battens and screws told field by field, as plain data."""

from __future__ import annotations

from collections.abc import Callable

from casewright.basics.sources import source_line
from casewright.basics.units import Unit
from casewright.catalog.explaining import FieldRow, field_label
from casewright.catalog.stock import BattenStock, SheetSize, Species, Stock, Thickness, WoodScrew

_UNITS = {
    "density": "kg/m³",
    "modulus_mpa": "MPa",
    "modulus_across_mpa": "MPa",
    "strength_mpa": "MPa",
    "conductivity": "W/(m·K)",
    "expansion": "per K",
    "head_angle_deg": "°",
}
_PLAIN = ("key", "label", "sources")
_LENGTHS = ("width", "height", "diameter", "core", "head", "clearance", "pilot", "pilot_soft")


def explain_stock(
    stock: Stock, write_length: Callable[[float], str], unit: Unit = "mm"
) -> list[FieldRow]:
    """Return every property of a sheet material, a batten or a screw with its value and source.

    Args:
        stock: What is explained.
        write_length: Writes a length.
        unit: Of whoever asks: sheets and thicknesses are those sold where it is used.
    """
    rows = []
    for name, field in type(stock).model_fields.items():
        value = _offered(stock, name, unit)
        if name in _PLAIN or value is None or value == ():
            continue
        inch = f"{name}_inch"
        is_inch = unit == "in" and bool(getattr(stock, inch, ()))
        source = stock.source(inch if is_inch else name)
        rows.append(
            FieldRow(
                name,
                field_label(name),
                _text(name, value, write_length),
                source_line(source) if source else "usual value",
                field.description or "",
            )
        )
    return rows


def _offered(stock: Stock, name: str, unit: Unit) -> object:
    """A property's value; of sizes that are sold in two ways, the one way."""
    if isinstance(stock, Species):
        match name:
            case "thicknesses":
                return stock.thicknesses_in(unit)
            case "sheets":
                return stock.sheets_in(unit)
            case "thicknesses_inch" | "sheets_inch":
                return None
    return getattr(stock, name)


def kind_of_stock(stock: Stock) -> str:
    """What sort of stock it is, in a word or two."""
    match stock:
        case Species():
            return "sheet goods"
        case BattenStock():
            return "batten"
        case WoodScrew():
            return "screw"
    return "stock"


def _text(name: str, value: object, write_length: Callable[[float], str]) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(_item(one, write_length) for one in value)
    if isinstance(value, int | float):
        if name in _LENGTHS:
            return write_length(float(value)) if value else "none"
        unit = _UNITS.get(name, "")
        return f"{value:.6g}{'' if unit == '°' else ' '}{unit}".rstrip()
    return str(value)


def _item(one: object, write_length: Callable[[float], str]) -> str:
    match one:
        case Thickness(nominal=nominal, least=least, most=most):
            return f"{write_length(nominal)} (true {write_length(least)} to {write_length(most)})"
        case SheetSize(length=length, width=width):
            return f"{write_length(length)} × {write_length(width)}"
        case int() | float():
            return write_length(float(one))
    return str(one)


__all__ = ["explain_stock", "kind_of_stock"]
