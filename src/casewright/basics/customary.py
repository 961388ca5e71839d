"""Amounts as people say them: metric, and beside it the units of those who measure in inches.

Lengths have their own way (`basics.units`); everything else is metric inside and on paper, as its standards are.
"""

from __future__ import annotations

import math

from casewright.basics.units import MM_PER_INCH, Unit

POUND_KG = 0.45359237
"""Exact. Source: international yard and pound agreement, 1959."""

FLUID_OUNCE_L = 0.0295735295625
"""U.S. fluid ounce, exact: a 128th of a gallon of 231 in³. A quart is 32 of them. Source: NIST SP 811, B.8."""

CFM_M3H = 0.3048**3 * 60
"""One cubic foot per minute. [m³/h] Exact."""

NEWTON_KG = 1 / 9.80665
"""Mass that weighs a newton. Source: iso-80000-3, standard gravity."""

FEET_PER_GALLON = (1 / 0.3048**2) * 128 * FLUID_OUNCE_L
"""ft² a gallon covers for each m² that a litre does. Exact."""

METRES_PER_FOOT = 0.3048
"""Exact. Source: international yard and pound agreement, 1959."""

SQUARE_FOOT_MM2 = 92903.04
"""304.8 mm squared, exact."""

_QUARTS_FROM = 0.9  # of a quart


def mass_words(kg: float, unit: Unit) -> str:
    """A mass: "34.2 kg", in an inch project "34.2 kg (75 lb)".

    Example:
        >>> mass_words(34.2, "in"), mass_words(0.04, "in")
        ('34.2 kg (75 lb)', '0.04 kg (0.1 lb)')
    """
    return f"{kg:.{1 if kg >= 1 else 2}f} kg{_pounds(kg, unit)}"


def scale_words(kg: float, unit: Unit) -> str:
    """What a kitchen scale shows of a part: "0.045 kg", in an inch project ounces, from a pound on pounds.

    Example:
        >>> scale_words(0.0453592, "mm"), scale_words(0.0453592, "in"), scale_words(1.2, "in")
        ('0.0454 kg', '1.6 oz', '2.6 lb')
    """
    if unit != "in":
        return f"{kg:.3g} kg"
    pounds = kg / POUND_KG
    return f"{pounds:.1f} lb" if pounds >= 1 else f"{pounds * 16:.1f} oz"


def force_words(newtons: float, unit: Unit) -> str:
    """A force and the mass that weighs it: "100 N (10.2 kg)"; in an inch project pounds instead.

    Example:
        >>> force_words(100, "mm"), force_words(100, "in")
        ('100 N (10.2 kg)', '100 N (22 lb)')
    """
    kg = newtons * NEWTON_KG
    return f"{newtons:.0f} N" + (_pounds(kg, unit) or f" ({kg:.1f} kg)")


def degree_words(celsius: float, unit: Unit) -> str:
    """A temperature: "31 °C", in an inch project "31 °C (88 °F)".

    Example:
        >>> degree_words(100, "in")
        '100 °C (212 °F)'
    """
    return f"{celsius:.0f} °C" + (f" ({celsius * 1.8 + 32:.0f} °F)" if unit == "in" else "")


def air_words(m3h: float, unit: Unit) -> str:
    """A flow of air: "12.6 m³/h", in an inch project "12.6 m³/h (7.4 cfm)".

    Example:
        >>> air_words(34, "in")
        '34.0 m³/h (20 cfm)'
    """
    return f"{m3h:.1f} m³/h{_beside(m3h / CFM_M3H, 'cfm', unit)}"


def area_words(mm2: float, unit: Unit) -> str:
    """An opening for air: "399 cm²", in an inch project "399 cm² (61.8 in²)".

    Example:
        >>> area_words(64516, "in"), area_words(64516, "mm")
        ('645 cm² (100 in²)', '645 cm²')
    """
    inches = _beside(mm2 / MM_PER_INCH**2, "in²", unit, whole_from=100)
    return f"{mm2 / 100:.0f} cm²{inches}"


def price_area(unit: Unit) -> tuple[str, float]:
    """The area that prices are compared by, and its size in mm²: a dm², in an inch project a square foot.

    Example:
        >>> price_area("mm"), price_area("in")
        (('dm²', 10000.0), ('ft²', 92903.04))
    """
    return ("ft²", SQUARE_FOOT_MM2) if unit == "in" else ("dm²", 1e4)


def run_words(metres: float, unit: Unit) -> str:
    """A stretch of wire or strip: "12.4 m", in an inch project feet and inches, a whole inch up.

    Example:
        >>> run_words(1.4, "mm"), run_words(1.4, "in"), run_words(12.43, "in"), run_words(0.1, "in")
        ('1.4 m', '4 ft 8 in', '40 ft 10 in', '4 in')
    """
    if unit != "in":
        return f"{round(metres, 2):g} m"
    feet, inches = divmod(math.ceil(metres * 1000 / MM_PER_INCH - 1e-6), 12)
    return " ".join(f"{n} {word}" for n, word in ((feet, "ft"), (inches, "in")) if n) or "0 in"


def stick_words(length: float, unit: Unit) -> str:
    """A length as things are sold in it: "0.5 m", in an inch project "1.5 ft". [mm]

    Example:
        >>> stick_words(457.2, "in"), stick_words(2400, "mm"), stick_words(152.4, "in")
        ('1.5 ft', '2.4 m', '0.5 ft')
    """
    metres = length / 1000
    return f"{round(metres / METRES_PER_FOOT, 2):g} ft" if unit == "in" else f"{metres:g} m"


def liquid_words(litres: float, unit: Unit) -> str:
    """A volume of paint: "1.14 l", in an inch project "1.14 l (1.2 qt)", under a quart fluid ounces.

    Example:
        >>> liquid_words(0.946352946, "in"), liquid_words(0.4, "in")
        ('0.95 l (1 qt)', '0.4 l (13.5 fl oz)')
    """
    metric = f"{round(litres, 2):g} l"
    if unit != "in":
        return metric
    ounces = litres / FLUID_OUNCE_L
    if ounces >= 32 * _QUARTS_FROM:
        return f"{metric} ({round(ounces / 32, 1):g} qt)"
    return f"{metric} ({round(ounces, 1):g} fl oz)"


def _pounds(kg: float, unit: Unit) -> str:
    return _beside(kg / POUND_KG, "lb", unit)


def _beside(amount: float, name: str, unit: Unit, *, whole_from: float = 10.0) -> str:
    """What an inch project says in parentheses: with one decimal below some amount."""
    if unit != "in":
        return ""
    return f" ({amount:.{0 if amount >= whole_from else 1}f} {name})"


__all__ = [
    "CFM_M3H",
    "FEET_PER_GALLON",
    "FLUID_OUNCE_L",
    "METRES_PER_FOOT",
    "NEWTON_KG",
    "POUND_KG",
    "SQUARE_FOOT_MM2",
    "air_words",
    "area_words",
    "degree_words",
    "force_words",
    "liquid_words",
    "mass_words",
    "price_area",
    "run_words",
    "scale_words",
    "stick_words",
]
