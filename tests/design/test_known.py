"""Parts with every dimension settled: what goes over what, where it came from, and what is said of faults."""

from __future__ import annotations

from typing import Any

import pytest

from casewright.basics.errors import InputErrors
from casewright.catalog.explaining import field_unit
from casewright.catalog.kinds import Device, Display, Lever, PushButton, Strip
from casewright.catalog.load import load_catalog
from casewright.design.known import know_parts
from casewright.design.parts import KnownPart
from casewright.design.project import Project

CATALOG = load_catalog()


def project(parts: dict[str, Any], unit: str = "mm") -> Project:
    return Project.model_validate(
        {
            "name": "Trial",
            "unit": unit,
            "materials": {"ply": {"kind": "plywood", "nominal": "12 mm"}},
            "shape": {"recipe": "box", "side": {"material": "ply"}, "board": "ply"},
            "parts": parts,
        },
        context={"unit": unit},
    )


def known(part: dict[str, Any], unit: str = "mm") -> KnownPart:
    return know_parts(project({"it": part}, unit), CATALOG)["it"]


def faults(part: dict[str, Any], unit: str = "mm") -> dict[str, str]:
    """What is wanted for each field at fault."""
    with pytest.raises(InputErrors) as caught:
        known(part, unit)
    return {error.field: error.want for error in caught.value.errors}


def test_measured_goes_over_assumed_over_catalog_over_default() -> None:
    lever = known(
        {
            "type": "lever-ball",
            "measured": {"pivot": 6.4, "washer": "1 1/2 in"},
            "assumed": {"tilt_deg": 13},
        }
    )
    assert isinstance(lever.data, Lever)
    assert (lever.data.pivot, lever.data.tilt_deg) == (6.4, 13)
    assert lever.data.washer == pytest.approx(38.1)
    assert lever.data.plate_width == 53
    assert {
        name: lever.origin[name] for name in ("pivot", "tilt_deg", "plate_width", "peak_w")
    } == {
        "pivot": "measured",
        "tilt_deg": "assumed",
        "plate_width": "catalog",
        "peak_w": "default",
    }
    assert lever.is_measured("pivot")
    assert not lever.is_measured("tilt_deg")


def test_every_field_has_an_origin() -> None:
    lever = known({"type": "lever-ball"})
    assert lever.origin.keys() == Lever.model_fields.keys() - {"kind", "label"}


def test_lengths_of_the_maker_are_in_his_unit_and_those_of_the_catalog_are_not() -> None:
    button = known({"type": "button-30-screw", "measured": {"behind": 2, "nut": "36.5 mm"}}, "in")
    assert isinstance(button.data, PushButton)
    assert button.data.behind == pytest.approx(50.8)
    assert button.data.nut == 36.5
    assert button.data.hole == 30


def test_a_part_without_a_type_needs_all_that_its_kind_has_no_usual_value_for() -> None:
    button = known(
        {
            "kind": "button",
            "measured": {"hole": 30, "bezel": 33, "nut": 36, "grip_most": 12},
            "assumed": {"body": 29, "behind": 40},
        }
    )
    assert button.origin["height"] == "default"
    missing = faults({"kind": "button", "measured": {"hole": 30, "bezel": 33, "nut": 36}})
    assert missing.keys() == {
        "parts.it.measured.grip_most",
        "parts.it.measured.body",
        "parts.it.measured.behind",
    }
    assert "thickest panel that the thread holds" in missing["parts.it.measured.grip_most"]


@pytest.mark.parametrize(
    ("part", "label"),
    [
        ({"type": "lever-ball", "label": "Left lever"}, "Left lever"),
        ({"type": "lever-ball"}, "Ball-top lever"),
        ({"kind": "vent"}, "it"),
    ],
)
def test_a_label_is_always_found(part: dict[str, Any], label: str) -> None:
    made = known(part)
    assert made.label == made.data.label == label


def test_a_key_stands_in_for_a_label_with_its_dashes_opened() -> None:
    made = know_parts(project({"rear-vent": {"kind": "vent"}}), CATALOG)
    assert made["rear-vent"].label == "rear vent"


def test_the_price_is_the_parts_own() -> None:
    made = known({"type": "lever-ball", "price": "14.50"})
    assert made.data.price == 14.5
    assert made.origin["price"] == "measured"
    assert known({"type": "lever-ball"}).origin["price"] == "default"


def test_the_library_duels_display() -> None:
    """A generic 23.8 in display by caliper: bezels left and right 7.0, top 6.5, bottom 20.0 round 527.0 × 296.5."""
    made = known(
        {
            "type": "display-23-8",
            "measured": {
                "lit_width": 527.0,
                "lit_height": 296.5,
                "housing_width": 541.0,
                "housing_height": 323.0,
                "bezel_left": 7.0,
                "bezel_right": 7.0,
                "bezel_bottom": 20.0,
                "bezel_top": 6.5,
                "wakes_by_itself": True,
            },
        }
    )
    assert isinstance(made.data, Display)
    assert made.data.wakes_by_itself is True
    assert "bezel_top" not in made.origin


def test_a_display_by_its_diagonal() -> None:
    """A 3-4-5 triangle: a diagonal of 500 gives 400 × 300."""
    made = known(
        {
            "kind": "display",
            "measured": {"diagonal": 500, "bezel_left": 9, "bezel_right": 11},
            "assumed": {
                "aspect": "4:3",
                "housing_depth": 40,
                "bezel_bottom": 20,
                "housing_height": 330,
            },
        }
    )
    assert isinstance(made.data, Display)
    assert (made.data.lit_width, made.data.lit_height) == pytest.approx((400, 300))
    assert made.data.housing_width == pytest.approx(420)
    # They rest on an assumed aspect.
    assert made.origin["lit_width"] == made.origin["housing_width"] == "assumed"


def test_a_diagonal_alone_keeps_the_catalogs_aspect() -> None:
    made = known({"type": "display-23-8", "measured": {"diagonal": "23.6 in"}})
    assert isinstance(made.data, Display)
    assert made.data.lit_width / made.data.lit_height == pytest.approx(16 / 9)
    assert made.data.lit_width < 526
    assert made.is_measured("lit_width")


def test_far_bezels_place_the_picture_in_a_measured_housing() -> None:
    made = known(
        {
            "type": "display-23-8",
            "measured": {"lit_width": 527, "housing_width": 541, "bezel_right": 6},
        }
    )
    assert isinstance(made.data, Display)
    assert made.data.bezel_left == pytest.approx(8)
    assert made.origin["bezel_left"] == "measured"


def test_a_strip_by_lights_in_a_cut() -> None:
    made = known(
        {"type": "strip-white-12v", "measured": {"lights_per_m": 120, "lights_per_cut": 6}}
    )
    assert isinstance(made.data, Strip)
    assert made.data.cut_unit == pytest.approx(50)


def test_quantities_other_than_lengths_take_their_own_units() -> None:
    made = known({"type": "mini-pc", "measured": {"mass_kg": "650 g", "peak_w": "48 W"}}, "in")
    assert isinstance(made.data, Device)
    assert (made.data.mass_kg, made.data.peak_w) == (0.65, 48)


@pytest.mark.parametrize(
    ("part", "field", "near"),
    [
        ({"type": "lever-bal"}, "parts.it.type", "lever-ball"),
        ({"kind": "dail"}, "parts.it.kind", "dial"),
        (
            {"type": "lever-ball", "measured": {"plate_widht": 53}},
            "parts.it.measured.plate_widht",
            "plate_width",
        ),
        (
            {"type": "display-27", "assumed": {"diagnoal": 690}},
            "parts.it.assumed.diagnoal",
            "diagonal",
        ),
    ],
)
def test_the_nearest_name_is_offered(part: dict[str, Any], field: str, near: str) -> None:
    with pytest.raises(InputErrors) as caught:
        known(part)
    (error,) = caught.value.errors
    assert (error.field, error.example) == (field, near)


@pytest.mark.parametrize(
    ("part", "fields"),
    [
        ({}, {"parts.it"}),
        ({"type": "lever-ball", "kind": "dial"}, {"parts.it.kind"}),
        (
            {"type": "lever-ball", "measured": {"pivot": 6}, "assumed": {"pivot": 7}},
            {"parts.it.assumed.pivot"},
        ),
        ({"type": "lever-ball", "measured": {"pivot": 0}}, {"parts.it.measured.pivot"}),
        ({"type": "lever-ball", "measured": {"pivot": None}}, {"parts.it.measured.pivot"}),
        ({"type": "lever-ball", "assumed": {"kind": "dial"}}, {"parts.it.assumed.kind"}),
        ({"type": "rocker-small", "measured": {"screws": 3}}, {"parts.it.measured.screws"}),
        (
            {"type": "lever-ball", "measured": {"shaft": "fat", "ball": "round"}},
            {"parts.it.measured.shaft", "parts.it.measured.ball"},
        ),
        # A picture larger than its housing, or a bezel that pushes it out.
        (
            {"type": "display-23-8", "measured": {"housing_width": 500}},
            {"parts.it.measured.housing_width"},
        ),
        (
            {"type": "display-23-8", "assumed": {"bezel_left": 15}},
            {"parts.it.assumed.bezel_left"},
        ),
        # Bezels and picture that do not make up the housing.
        (
            {
                "kind": "display",
                "measured": {
                    "lit_width": 527,
                    "lit_height": 296,
                    "housing_width": 541,
                    "housing_height": 323,
                    "housing_depth": 45,
                    "bezel_left": 7,
                    "bezel_right": 9,
                },
            },
            {"parts.it.measured.bezel_right"},
        ),
        ({"type": "display-27", "measured": {"aspect": "16:9"}}, {"parts.it.measured.diagonal"}),
        (
            {"type": "display-27", "measured": {"diagonal": 690, "lit_width": 598}},
            {"parts.it.measured.diagonal"},
        ),
        ({"kind": "display", "measured": {"diagonal": 690}}, {"parts.it.measured.aspect"}),
        ({"type": "display-27", "measured": {"bezel_top": 8}}, {"parts.it.measured.bezel_bottom"}),
    ],
)
def test_faults_name_their_field(part: dict[str, Any], fields: set[str]) -> None:
    assert faults(part).keys() == fields


def test_faults_of_all_parts_are_told_at_once_in_the_order_of_the_file() -> None:
    parts = {
        "b": {"type": "lever-ball", "measured": {"ball": "x", "pivot": "y"}},
        "a": {"type": "nothing-like-it"},
    }
    with pytest.raises(InputErrors) as caught:
        know_parts(project(parts), CATALOG)
    assert [error.field for error in caught.value.errors] == [
        "parts.b.measured.ball",
        "parts.b.measured.pivot",
        "parts.a.type",
    ]


@pytest.mark.parametrize("key", CATALOG.types)
def test_every_type_can_be_used_as_it_is(key: str) -> None:
    made = known({"type": key})
    assert made.data == CATALOG.types[key].data
    assert set(made.origin.values()) <= {"catalog", "default"}


@pytest.mark.parametrize("key", ["lever-ball", "display-23-8", "button-28-long", "fan-80"])
def test_the_same_part_in_inches_and_millimeters_is_the_same(key: str) -> None:
    type_ = CATALOG.types[key]
    lengths = {
        name: getattr(type_.data, name)
        for name in type_.given
        if name != "label" and field_unit(type_.kind, name) == "mm"
    }
    assert lengths
    angle = {"tilt_deg": 14} if key == "lever-ball" else {}
    inches = {name: value / 25.4 for name, value in lengths.items()} | angle
    other = {name: value + 1 for name, value in lengths.items()} | angle
    same = known({"kind": type_.kind, "measured": inches}, "in").data.model_dump()
    grown = known({"kind": type_.kind, "measured": other}).data.model_dump()
    for name, value in lengths.items():
        assert same[name] == pytest.approx(value), name
        assert grown[name] == pytest.approx(value + 1), name
