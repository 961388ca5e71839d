"""A type told field by field."""

from __future__ import annotations

import pytest

from casewright.basics.units import LengthStyle, format_length
from casewright.catalog.explaining import FieldRow, explain_type, field_unit
from casewright.catalog.kinds import KINDS
from casewright.catalog.load import load_catalog


def rows(key: str, style: LengthStyle | None = None) -> dict[str, FieldRow]:
    shown = style or LengthStyle("mm")
    told = explain_type(load_catalog().types[key], lambda x: format_length(x, shown))
    return {row.field: row for row in told}


def test_values_are_written_with_their_units_and_sources() -> None:
    lever = rows("lever-ball")
    assert lever["tilt_deg"].value == "14°"
    assert lever["tilt_deg"].label == "tilt"
    assert lever["plate_width"].value == "53.0 mm"
    assert lever["plate_width"].meaning.startswith("Base plate across")
    assert lever["mass_kg"].value == "0.25 kg"
    assert lever["mains"].value == "no"
    assert rows("fan-92")["pitch"].source.startswith("Axial fan 92 mm")
    assert rows("fan-92")["flow_m3h"].value == "55 m³/h"
    assert rows("strip-white-12v")["watts_per_m"].value == "9.6 W/m"


def test_lengths_are_written_in_the_readers_unit() -> None:
    assert rows("button-28-long", LengthStyle("in"))["hole"].value == "1 1/8 in"


def test_defaults_and_gaps_are_told_as_such() -> None:
    display = rows("display-23-8")
    assert display["pattern_screw"].source == "usual value"
    assert display["wakes_by_itself"].value == "not known"
    assert "price" not in display
    assert "kind" not in display


@pytest.mark.parametrize(
    ("kind", "field", "unit"),
    [
        ("display", "bezel_left", "mm"),  # may be left out
        ("display", "pattern_u", "mm"),  # may be negative
        ("lever", "tilt_deg", "deg"),
        ("button", "lamp_volts", "V"),
        ("button", "lamp_amps", "A"),
        ("device", "peak_w", "W"),
        ("device", "mass_kg", "kg"),
        ("device", "price", "money"),
        ("device", "efficiency", ""),
        ("device", "outside", ""),
        ("vent", "count", ""),
    ],
)
def test_units_of_fields(kind: str, field: str, unit: str) -> None:
    assert field_unit(kind, field) == unit


def test_whatever_a_caliper_measures_is_told_as_a_length() -> None:
    for kind, model in KINDS.items():
        for name in model.model_fields:
            if name.endswith(("width", "height", "depth", "hole", "thickness", "room")):
                assert field_unit(kind, name) == "mm", (kind, name)
