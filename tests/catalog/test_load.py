"""A maker's own catalog file: what it adds, what it replaces, and what is said of its faults."""

from __future__ import annotations

import textwrap

import pytest
from tests.pace import times_reference

from casewright.basics.errors import InputErrors
from casewright.catalog.kinds import Display, PushButton, Strip
from casewright.catalog.load import load_catalog, read_catalog
from casewright.catalog.reading import read_fields


def load(text: str) -> object:
    return load_catalog([("own.toml", textwrap.dedent(text))])


def faults(text: str) -> dict[str, int]:
    """Line of each fault by its field."""
    with pytest.raises(InputErrors) as caught:
        load(text)
    errors = caught.value.errors
    assert all(error.spot and error.spot.file == "own.toml" for error in errors)
    return {error.field: error.spot.line for error in errors if error.spot}


PALM = """
unit = "in"

[types.palm]
kind = "button"
label = "Palm button"
explains = "Large and soft."
hole = "30 mm"
bezel = 2.5
nut = "1 1/2"
grip_most = 1
body = 1.25
behind = 3
sources = { "*" = "common practice", hole = "caliper" }
"""


def test_a_type_is_added_with_its_unit_and_sources() -> None:
    catalog = load_catalog([("own.toml", PALM)])
    palm = catalog.types["palm"]
    assert isinstance(palm.data, PushButton)
    assert palm.data.hole == 30
    assert palm.data.bezel == pytest.approx(63.5)
    assert palm.data.nut == pytest.approx(38.1)
    assert palm.source("hole") == "caliper"
    assert palm.source("nut") == "common practice"
    assert palm.source("height") == ""  # the kind's usual value
    assert palm.explains == "Large and soft."
    assert catalog.types.keys() > load_catalog().types.keys()


def test_the_packaged_catalog_stays_as_it_is() -> None:
    load_catalog([("own.toml", PALM)])
    assert "palm" not in load_catalog().types
    with pytest.raises(TypeError):
        load_catalog().types["palm"] = load_catalog().types["lever-ball"]  # type: ignore[index]


def test_like_fills_the_gaps_and_the_same_key_replaces() -> None:
    catalog = load_catalog(
        [
            (
                "own.toml",
                """
                [types.button-30-screw]
                like = "button-30-screw"
                grip_most = 15
                sources = { grip_most = "caliper" }
                """,
            )
        ]
    )
    button, packaged = (c.types["button-30-screw"] for c in (catalog, load_catalog()))
    assert isinstance(button.data, PushButton) and isinstance(packaged.data, PushButton)
    assert button.data.grip_most == 15
    assert button.data.hole == packaged.data.hole
    assert button.source("grip_most") == "caliper"
    assert list(catalog.types) == list(load_catalog().types)


def test_a_display_by_diagonal_and_bezels() -> None:
    catalog = read_catalog(
        "own.toml",
        """
        [types.d]
        kind = "display"
        diagonal = 500
        aspect = "4:3"
        bezel_left = 10
        bezel_right = 20
        bezel_bottom = 5
        bezel_top = 7
        housing_depth = 30
        """,
    )
    display = catalog.types["d"].data
    assert isinstance(display, Display)
    # A 3-4-5 triangle: 500 gives 400 × 300.
    assert (display.lit_width, display.lit_height) == pytest.approx((400, 300))
    assert (display.housing_width, display.housing_height) == pytest.approx((430, 312))
    assert catalog.types["d"].source("lit_width") == "plain geometry"


def test_a_strip_by_lights_in_a_cut() -> None:
    strip = read_catalog(
        "own.toml", '[types.s]\nkind = "strip"\nlights_per_m = 144\nlights_per_cut = 6\n'
    ).types["s"]
    assert isinstance(strip.data, Strip)
    assert strip.data.cut_unit == pytest.approx(1000 * 6 / 144)


def test_stock_of_ones_own() -> None:
    catalog = read_catalog(
        "own.toml",
        """
        unit = "in"
        [species.ash]
        label = "Ash"
        kind = "solid wood"
        density = 680
        modulus_mpa = 12000
        color = "#d0c0a0"
        thicknesses = [{ nominal = "3/4", least = 0.74, most = 0.76 }]
        [battens.ash-1]
        label = "Ash batten"
        width = 1
        height = 1
        density = 680
        """,
    )
    assert catalog.battens["ash-1"].width == pytest.approx(25.4)
    assert catalog.species["ash"].thicknesses[0].expected == pytest.approx(19.05)


def test_all_faults_are_told_at_once_with_their_lines() -> None:
    found = faults(
        """\
        [types.one]
        kind = "buton"
        [types.two]
        kind = "dial"
        hole = "seven"
        thred = 8
        [types.three]
        like = "lever-bal"
        [types.four]
        kind = "fan"
        size = 60
        [species.five]
        label = "Five"
        kind = "plywood"
        density = -1
        modulus_mpa = 5000
        color = "brown"
        [tipes.six]
        """
    )
    assert found == {
        "tipes": 18,
        "types.one.kind": 2,
        "types.two.hole": 5,
        "types.two.thred": 6,
        "types.three.like": 8,
        "types.four.thickness": 9,
        "types.four.opening": 9,
        "types.four.pitch": 9,
        "species.five.density": 15,
        "species.five.color": 17,
    }


def test_the_nearest_name_is_offered() -> None:
    with pytest.raises(InputErrors) as caught:
        load('[types.x]\nlike = "lever-bal"\n[types.y]\nkind = "dial"\nknobb = 3')
    assert [error.example for error in caught.value.errors] == ["lever-ball", "knob"]


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ('unit = "ell"', "unit"),
        ("types = 3", "types"),
        ("[types]\nx = 3", "types.x"),
        ('[types."a b"]\nkind = "dial"', "types.a b"),
        ('[types.x]\nlike = "dial-7"\nkind = "fan"', "types.x.kind"),
        ("[types.x]\nkind.kind = 1", "types.x.kind"),
        ("[types.x]\nkind = [1]", "types.x.kind"),
        ('[types.x]\nkind = "dial"\nexplains = 3', "types.x.explains"),
        ('[types.x]\nkind = "dial"\nsources = "mine"', "types.x.sources"),
        ('[types.x]\nlike = "display-27"\nhousing_width = 500', "types.x.housing_width"),
        ('[types.x]\nlike = "display-27"\naspect = "16:9"', "types.x.diagonal"),
        (
            '[types.x]\nlike = "strip-white-12v"\ncut_unit = 9\nlights_per_cut = 3',
            "types.x.lights_per_cut",
        ),
        ("[types.x]\nkind = 'strip'\nlights_per_m = 0", "types.x.lights_per_m"),
        ("[types.x]\nkind = 'strip'\naddressable = 'perhaps'", "types.x.addressable"),
        ("[types.x]\nkind = 'display'\nconnector_side = 'front'", "types.x.connector_side"),
        ("[screws.x]\nname = '3'", "screws.x.lengths"),
    ],
)
def test_faults(text: str, field: str) -> None:
    assert field in faults(text)


@pytest.mark.parametrize(
    ("text", "line"), [("[types.x\nkind = 1", 1), ("a = 1\na = 2", 2), ("a = 'b", 1)]
)
def test_text_that_is_no_toml(text: str, line: int) -> None:
    assert faults(text) == {"": line}


def test_the_packaged_catalog_is_read_once() -> None:
    assert load_catalog() is load_catalog()


def test_a_file_is_read_fast() -> None:
    """Within a loose bound, so that a quadratic step would show: a hundred types take twice the reference."""
    text = "\n".join(
        f'[types.b{n}]\nlike = "button-30-screw"\nhole = {20 + n / 10}' for n in range(100)
    )
    assert times_reference(lambda: load(text)) < 60


@pytest.mark.parametrize(
    ("table", "wrong", "right"),
    [
        (
            '[types.b]\nkind = "button"\nhole = 30\nbezel = 33\nsource = "caliper"',
            "source",
            "sources",
        ),
        ('[types.b]\nkind = "button"\nhole = 30\nbezel = 33\nexplain = "x"', "explain", "explains"),
        ('[species.elm]\nlabel = "Elm"\nkind = "solid wood"\ndensty = 600', "densty", "density"),
    ],
)
def test_a_slip_in_an_own_file_gets_the_nearest_name(table, wrong, right):
    with pytest.raises(InputErrors) as caught:
        load_catalog([("mine.toml", table)])
    error = next(e for e in caught.value.errors if e.field.endswith(f".{wrong}"))
    assert error.example == right


def test_values_of_an_own_file_say_so_and_those_taken_over_keep_their_source():
    text = '[types.mine]\nkind = "button"\nlike = "button-28-long"\nhole = 29\nnut = 40\nsources = {nut = "caliper"}'
    made = load_catalog([("folder/mine.toml", text)]).types["mine"]
    assert made.source("hole") == "own catalog file mine.toml"
    assert made.source("nut") == "caliper"
    assert made.source("bezel") == load_catalog().types["button-28-long"].source("bezel")


def test_every_packaged_type_is_explained():
    assert [key for key, made in load_catalog().types.items() if not made.explains] == []


@pytest.mark.parametrize(
    ("name", "nearest"),
    [
        ("single-board-computer", "computer-board-tiny"),  # the same words
        ("buton-30-screw", "button-30-screw"),  # a slip
        ("big-fan", "fan-40"),
    ],
)
def test_a_type_by_another_name_gets_the_nearest_ones(name, nearest):
    with pytest.raises(InputErrors) as caught:
        load_catalog([("mine.toml", f'[types.x]\nlike = "{name}"')])
    (error,) = caught.value.errors
    assert error.example == nearest


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("fs_hz", "free_air_hz"),
        ("qts", "total_q"),
        ("vas_l", "compliance_litres"),
        ("impedance", "ohms"),
        ("resonance", "free_air_hz"),
        ("cutot", "cutout"),
    ],
)
def test_a_dimension_by_the_name_that_data_sheets_use(written, meant):
    """The letters of the data sheet, IEC 60268-22 from memory: fs, Qts, Vas; they stand in what the fields mean."""
    _, (problem,) = read_fields("speaker", {written: 1})
    assert problem.example == meant


def test_of_a_name_like_no_other_the_kinds_own_dimensions_are_told():
    _, (problem,) = read_fields("speaker", {"zzzzzz": 1})
    assert "cutout" in problem.want
    assert "mass_kg" not in problem.want
