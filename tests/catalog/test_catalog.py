"""The package's own catalog: every number has a source, and those that a table prints agree with it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TypeVar

import pytest

from casewright.basics.sources import is_source, load_sources
from casewright.catalog.display_size import display_lit_area
from casewright.catalog.kinds import (
    KINDS,
    Device,
    Display,
    Fan,
    Fitting,
    Grip,
    Hardware,
    Kind,
    Lever,
    PushButton,
    Speaker,
    Strip,
)
from casewright.catalog.load import CatalogType, load_catalog
from casewright.catalog.stock import Stock, lead_hole
from casewright.catalog.threads import clearance_hole, thread_of, wood_screw_diameter

CATALOG = load_catalog()
INCH = 25.4
K = TypeVar("K", bound=Kind)


def of_kind(kind: type[K]) -> Iterator[tuple[str, K]]:
    """Every type of one kind, by key."""
    for key, type_ in CATALOG.types.items():
        if isinstance(type_.data, kind):
            yield key, type_.data


def part(key: str, kind: type[K]) -> K:
    data = CATALOG.types[key].data
    assert isinstance(data, kind)
    return data


# ---- sources ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("type_", CATALOG.types.values(), ids=list(CATALOG.types))
def test_every_value_of_a_type_has_a_source_that_exists(type_: CatalogType) -> None:
    for field in type_.given:
        if isinstance(getattr(type_.data, field), (bool, str)):
            continue
        assert type_.source(field), field
    for field, source in type_.sources.items():
        assert is_source(source), f"{field}: {source}"
    assert type_.sources.get("*", "common practice") == "common practice"


def stock() -> list[Stock]:
    return [*CATALOG.species.values(), *CATALOG.battens.values(), *CATALOG.screws.values()]


@pytest.mark.parametrize("entry", stock(), ids=lambda entry: entry.key)
def test_every_value_of_the_stock_has_a_source_that_exists(entry: Stock) -> None:
    assert entry.sources["*"] == "common practice"
    for field, source in entry.sources.items():
        assert is_source(source), f"{field}: {source}"
        assert field == "*" or field in type(entry).model_fields, field


def test_sources_name_fields_of_their_type() -> None:
    for key, type_ in CATALOG.types.items():
        fields = {"*", "diagonal", "lights_per_cut", *type(type_.data).model_fields}
        assert set(type_.sources) <= fields, key


# ---- every type is whole and possible --------------------------------------------------------------------------------


@pytest.mark.parametrize("type_", CATALOG.types.values(), ids=list(CATALOG.types))
def test_every_type_stands_the_checks_of_its_kind(type_: CatalogType) -> None:
    again = type(type_.data).model_validate(type_.data.model_dump())
    assert again == type_.data
    assert type_.data.label
    assert type_.data.price == 0.0, "prices differ by shop and year; they belong in a project"
    assert type_.data.peak_w >= type_.data.typical_w


def test_there_is_a_type_of_every_kind_but_the_made_sign() -> None:
    assert {type_.kind for type_ in CATALOG.types.values()} == KINDS.keys() - {"sign"}


def test_labels_tell_types_apart() -> None:
    labels = [type_.data.label for type_ in CATALOG.types.values()]
    assert sorted(labels) == sorted(set(labels))


def test_plain_geometry_of_buttons() -> None:
    for key, button in of_kind(PushButton):
        assert button.bezel > button.hole, key
        assert button.nut > button.hole, key
        assert button.grip_least < button.grip_most < button.behind, key


def test_plain_geometry_of_levers() -> None:
    for key, lever in of_kind(Lever):
        assert lever.holes_width + lever.hole < lever.plate_width, key
        assert lever.holes_height + lever.hole < lever.plate_height, key
        # Common practice: dust washers 32 to 45 mm, tilt 10 to 15 degrees.
        assert 32 <= lever.washer <= 45, key
        assert 10 <= lever.tilt_deg <= 15, key


def test_plain_geometry_of_fittings() -> None:
    for key, fitting in of_kind(Fitting):
        wide = max(fitting.hole, fitting.cutout_width)
        high = max(fitting.hole, fitting.cutout_height)
        assert wide > 0 and high > 0, key
        assert fitting.flange_width > wide and fitting.flange_height > high, key
        assert fitting.grip_least < fitting.grip_most, key
        if fitting.screws:
            assert fitting.screws_width + fitting.screw_hole < fitting.flange_width, key
            assert fitting.screws_height + fitting.screw_hole < fitting.flange_height, key


def test_screws_of_loudspeakers_pass_between_cut_out_and_rim() -> None:
    for key, speaker in of_kind(Speaker):
        circle = speaker.holes_square * math.sqrt(2)
        assert speaker.cutout + speaker.screw_hole < circle, key
        assert circle < speaker.frame - speaker.screw_hole, key
        assert speaker.magnet is not None and speaker.magnet < speaker.cutout, key


def test_whatever_carries_mains_is_an_inlet_a_display_or_stays_outside() -> None:
    for key, type_ in CATALOG.types.items():
        data = type_.data
        if data.mains:
            outside = isinstance(data, Device) and data.outside
            inlet = isinstance(data, Fitting) and data.role == "inlet"
            assert outside or inlet or isinstance(data, Display), key
    for key, device in of_kind(Device):
        assert device.outside == (device.role == "supply"), key


# ---- against print ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "width", "height"),
    [
        # Diagonal to sides by w = d a / sqrt(a^2 + b^2), worked by hand to 0.01 mm.
        ("display-15-4x3", 304.80, 228.60),
        ("display-15-6", 345.35, 194.26),
        ("display-17-5x4", 337.18, 269.74),
        ("display-18-5", 409.55, 230.37),
        ("display-19-5x4", 376.85, 301.48),
        ("display-19-16x10", 409.24, 255.78),
        ("display-20-4x3", 408.43, 306.32),
        ("display-21-5", 475.97, 267.73),
        ("display-23-8", 526.88, 296.37),
        ("display-24-16x10", 516.94, 323.09),
        ("display-27", 597.73, 336.22),
        ("display-29-21x9", 677.04, 290.16),
        ("display-34-21x9", 793.77, 340.19),
    ],
)
def test_lit_areas(key: str, width: float, height: float) -> None:
    display = part(key, Display)
    assert (display.lit_width, display.lit_height) == pytest.approx((width, height), abs=0.006)
    assert display.bezel_left is not None
    assert display.housing_width == pytest.approx(width + 2 * display.bezel_left, abs=0.01)


def test_display_patterns_are_those_of_fdmi() -> None:
    """VESA FDMI: MIS-D 75 × 75 or 100 × 100 mm with M4; MIS-F 200 × 200 mm and more with M6 or M8."""
    for key, display in of_kind(Display):
        assert display.pattern_width == display.pattern_height, key
        assert display.pattern_width in {75, 100, 200}, key
        assert (display.pattern_screw == "M6") == (display.pattern_width == 200), key
        thread_of(display.pattern_screw)


@pytest.mark.parametrize(
    ("key", "pitch"),
    # Public drawings of square fans, two or more agreeing; 92 mm: a maker's data sheet.
    [
        ("fan-40", 32),
        ("fan-50", 40),
        ("fan-60", 50),
        ("fan-80", 71.5),
        ("fan-92", 82.5),
        ("fan-120", 105),
    ],
)
def test_fan_pitches(key: str, pitch: float) -> None:
    fan = part(key, Fan)
    assert fan.pitch == pitch
    assert fan.opening < fan.size == float(key.removeprefix("fan-"))
    # The opening and the screw holes leave wood between them.
    assert math.dist((0, 0), (pitch, pitch)) / 2 - fan.opening / 2 - fan.screw_hole / 2 > 0.5


def test_slow_80_mm_fan() -> None:
    """Maker's data sheet, slowest of three speeds: 0.13 A at 12 V, 23.7 cubic feet per minute."""
    fan = part("fan-80", Fan)
    assert fan.typical_w == pytest.approx(0.13 * 12, abs=0.005)
    assert fan.flow_m3h == pytest.approx(23.7 * 0.3048**3 * 60, abs=0.1)


def test_long_barrel_button_is_an_inch_and_an_eighth() -> None:
    """1 1/8 in = 28.575 mm, an inch being exactly 25.4 mm."""
    assert part("button-28-long", PushButton).hole == pytest.approx(28.575)


def test_16_mm_switch() -> None:
    """Maker's data sheet: cut-out 16 mm, +0.2/0."""
    assert part("button-metal-16", PushButton).hole == 16.0


def test_mains_inlet_c14() -> None:
    """Makers' drawings: cut-out 27 to 28 × 19.3 to 20 mm, screws 40 mm apart; M3 screws pass."""
    inlet = part("inlet-c14", Fitting)
    assert 27 <= inlet.cutout_width <= 28
    assert 19.3 <= inlet.cutout_height <= 20
    assert inlet.screws_width == 40
    assert inlet.screw_hole == clearance_hole("M3")


@pytest.mark.parametrize("key", ["port-usb-d", "port-hdmi-d", "port-network-d", "port-audio-d"])
def test_d_shape_ports(key: str) -> None:
    """Public drawing: two screws 19 × 24 mm apart; hole 24 and flange 26 × 31 mm from memory."""
    port = part(key, Fitting)
    assert (port.screws_width, port.screws_height, port.screws) == (19, 24, 2)
    assert (port.hole, port.flange_width, port.flange_height) == (24, 26, 31)


@pytest.mark.parametrize(
    ("key", "short", "long"),
    # A switch maker's table of mounting holes.
    [
        ("rocker-small", 12.9, 19.2),
        ("rocker-miniature", 13.97, 28.57),
        ("rocker-double", 22.0, 30.0),
        ("rocker-full", 21.08, 36.83),
    ],
)
def test_rocker_cut_outs(key: str, short: float, long: float) -> None:
    rocker = part(key, Fitting)
    assert (rocker.cutout_height, rocker.cutout_width) == (short, long)


@pytest.mark.parametrize(
    ("key", "adjacent", "opposite"),
    # A loudspeaker maker's page: distances of adjacent and of opposite screw holes, rounded to 5 mm.
    [("speaker-4", 80, 115), ("speaker-5-25", 95, 135), ("speaker-6-5", 110, 155)],
)
def test_loudspeaker_screws(key: str, adjacent: float, opposite: float) -> None:
    speaker = part(key, Speaker)
    assert speaker.holes_square == adjacent
    assert speaker.holes_square * math.sqrt(2) == pytest.approx(opposite, abs=2.5)


@pytest.mark.parametrize(
    ("key", "least", "most"),
    # Cut-outs that the trade takes as typical. Common practice.
    [
        ("speaker-3", 72, 76),
        ("speaker-4", 92, 97),
        ("speaker-5-25", 116, 120),
        ("speaker-6-5", 142, 148),
        ("speaker-8", 182, 186),
    ],
)
def test_loudspeaker_cut_outs(key: str, least: float, most: float) -> None:
    assert least <= part(key, Speaker).cutout <= most


@pytest.mark.parametrize(
    ("key", "unit", "watts"),
    [
        # Strip maker's article: 3 lights a cut at 12 V, 6 at 24 V; 60 per metre of the small kind 4.8 W/m, of the
        # large kind 14.4 W/m. Pixels: 0.06 A each at 5 V.
        ("strip-white-12v-low", 50.0, 4.8),
        ("strip-color-12v", 50.0, 14.4),
        ("strip-white-12v-120", 25.0, None),
        ("strip-white-24v", 100.0, None),
        ("strip-white-24v-120", 50.0, None),
        ("strip-pixel-5v-30", 1000 / 30, 30 * 0.06 * 5),
        ("strip-pixel-5v-60", 1000 / 60, 60 * 0.06 * 5),
        ("strip-pixel-5v-144", 1000 / 144, 144 * 0.06 * 5),
        ("strip-pixel-12v-60", 50.0, None),
    ],
)
def test_strips(key: str, unit: float, watts: float | None) -> None:
    strip = part(key, Strip)
    assert strip.cut_unit == pytest.approx(unit)
    assert watts is None or strip.watts_per_m == pytest.approx(watts)


def test_hand_hole_and_handle() -> None:
    """Revised NIOSH lifting equation, good couplings: hand-hold 38 high, 115 long; 50 free; handle 19 to 38 thick."""
    hole = part("hand-hole", Grip)
    assert hole.height >= 38 and hole.width >= 115
    assert part("hand-hole-cup", Grip).cup_depth >= 50
    handle = part("handle-bar", Grip)
    assert 19 <= handle.height <= 38
    assert handle.projection >= 50


@pytest.mark.parametrize(
    ("key", "thread"),
    [(f"{kind}-m{size}", f"M{size}") for kind in ("insert", "t-nut") for size in (4, 5, 6, 8)],
)
def test_inserts_are_wider_than_their_thread(key: str, thread: str) -> None:
    hole = part(key, Hardware).hole
    assert 1.2 <= hole / thread_of(thread).diameter <= 1.55


def test_a_birch_sheet_weighs_what_its_data_sheet_says() -> None:
    """Birch plywood maker's data sheet: 2440 × 1220 × 12 mm 24.8 kg, 18 mm 36.7 kg, by nominal thickness."""
    density = CATALOG.species["plywood-birch"].density
    for nominal, mass in ((12, 24.8), (18, 36.7)):
        assert 2.44 * 1.22 * nominal / 1000 * density == pytest.approx(mass, rel=0.01)


@pytest.mark.parametrize(
    ("nominal", "usual", "least", "most"),
    # The same data sheet: average, minimum and maximum.
    [(9, 9.2, 8.8, 9.5), (12, 12.0, 11.5, 12.5), (15, 14.9, 14.3, 15.3), (18, 17.7, 17.1, 18.1)],
)
def test_birch_thicknesses(nominal: float, usual: float, least: float, most: float) -> None:
    found = CATALOG.species["plywood-birch"].thickness(nominal)
    assert found is not None
    assert (found.expected, found.least, found.most) == (usual, least, most)


def test_three_quarter_plywood() -> None:
    """PS 1, performance category 3/4: 0.719 to 0.781 in, labelled 0.734 in."""
    found = CATALOG.species["plywood-softwood"].thickness(0.75 * INCH)
    assert found is not None
    assert found.least == pytest.approx(0.719 * INCH, abs=0.02)
    assert found.most == pytest.approx(0.781 * INCH, abs=0.02)
    assert found.expected == pytest.approx(0.734 * INCH)


@pytest.mark.parametrize(
    ("key", "density", "modulus"),
    [
        # Wood handbook FPL-GTR-190, table 12-1: specific gravity and modulus; wood at 12 % moisture weighs 1.12 times.
        ("mdf", (700, 900), (2100, 3590)),  # its lower end: EN 622-5, 2100 to 2200 over 12 mm
        ("hardboard", (900, 1000), (3100, 5520)),
        ("plywood-softwood", (400, 672), (6960, 8550)),
        ("oak-white", (755, 765), (12270, 12270)),
        ("maple-red", (600, 610), (11310, 11310)),
        ("pine", (420, 430), (10070, 10070)),
        # Extruded acrylic sheet data: 1.19; tensile 2800, flexural 3300 MPa.
        ("acrylic-clear", (1190, 1190), (2800, 3300)),
        # Handbook values, from memory.
        ("polycarbonate", (1190, 1210), (2300, 2400)),
        ("aluminium", (2690, 2710), (69000, 71000)),
        ("steel", (7800, 7900), (200000, 210000)),
    ],
)
def test_sheet_goods(key: str, density: tuple[float, float], modulus: tuple[float, float]) -> None:
    species = CATALOG.species[key]
    assert density[0] <= species.density <= density[1]
    assert modulus[0] <= species.modulus_mpa <= modulus[1]
    assert species.modulus_across_mpa is None or species.modulus_across_mpa < species.modulus_mpa


def test_sheets_lie_along_their_grain_and_thicknesses_in_their_range() -> None:
    for species in CATALOG.species.values():
        sheets = (*species.sheets, *species.sheets_inch)
        assert all(sheet.length >= sheet.width for sheet in sheets), species.key
        for thickness in (*species.thicknesses, *species.thicknesses_inch):
            assert thickness.least < thickness.expected < thickness.most, species.key


@pytest.mark.parametrize(
    ("key", "first"),
    # Common practice: 4 × 8 ft; boards of fibers and particles an inch more each way; birch plywood 5 × 5 ft.
    [
        ("plywood-softwood", (96, 48)),
        ("plywood-hardwood", (96, 48)),
        ("plywood-birch", (60, 60)),
        ("mdf", (97, 49)),
        ("particleboard", (97, 49)),
        ("hardboard", (96, 48)),
        ("acrylic-clear", (96, 48)),
        ("polycarbonate", (96, 48)),
    ],
)
def test_sheets_sold_in_inches(key: str, first: tuple[float, float]) -> None:
    """Whole inches, so that no size reads 120 3/32; in millimeters the metric ones are offered."""
    species = CATALOG.species[key]
    sheets = species.sheets_in("in")
    assert (sheets[0].length, sheets[0].width) == pytest.approx([x * INCH for x in first])
    for sheet in sheets:
        assert sheet.length / INCH == pytest.approx(round(sheet.length / INCH), abs=1e-9)
    assert species.sheets_in("mm") == species.sheets
    for thickness in species.thicknesses_in(
        "in"
    ):  # an even part of an inch, as it is called in the shop
        assert thickness.nominal / INCH * 16 % 1 == pytest.approx(0, abs=1e-9)
        assert species.thickness(thickness.nominal) is not None


@pytest.mark.parametrize(
    ("number", "head"),
    # ASME B18.6.1, flat head, largest diameter in inches, from two trade tables.
    [(4, 0.225), (5, 0.252), (6, 0.279), (7, 0.305), (8, 0.332), (9, 0.358), (10, 0.385)],
)
def test_inch_wood_screws(number: int, head: float) -> None:
    screw = CATALOG.screws[f"wood-no-{number}"]
    assert screw.diameter == pytest.approx(wood_screw_diameter(number), abs=0.0005 * INCH)
    assert screw.head == pytest.approx(head * INCH)


@pytest.mark.parametrize(
    ("key", "least", "most"),
    # GB/T 922-1986, equal to DIN 7998: least and most core diameter.
    [
        ("wood-3-0", 1.85, 2.1),
        ("wood-3-5", 2.1, 2.5),
        ("wood-4-0", 2.4, 2.8),
        ("wood-4-5", 2.72, 3.2),
        ("wood-5-0", 3.02, 3.5),
        ("wood-6-0", 3.72, 4.2),
    ],
)
def test_metric_wood_screws(key: str, least: float, most: float) -> None:
    screw = CATALOG.screws[key]
    assert least <= screw.core <= most


def test_every_screw_passes_its_clearance_hole_and_bites_its_pilot() -> None:
    for key, screw in CATALOG.screws.items():
        assert screw.pilot_soft < screw.pilot < screw.core + 0.02 < screw.diameter, key
        assert screw.diameter < screw.clearance < screw.head, key
        assert list(screw.lengths) == sorted(screw.lengths), key
        # Within the next drill of the lead hole that the Wood handbook gives: 90 % of the root, or 70 %.
        assert screw.pilot == pytest.approx(lead_hole(screw.core, "hard"), abs=0.35), key
        assert screw.pilot_soft == pytest.approx(lead_hole(screw.core, "soft"), abs=0.4), key


def test_a_countersunk_head_is_as_deep_as_its_cone() -> None:
    """A 90° cone is as deep as it is wide to one side: (8.0 - 2.8) / 2."""
    assert CATALOG.screws["wood-4-0"].head_height == pytest.approx(2.6)


@pytest.mark.parametrize(
    ("most", "length"), [(29.0, 25), (30.0, 30), (15.9, None), (1000, 70), (30 - 1e-9, 30)]
)
def test_longest_screw_that_does_not_come_through(most: float, length: float | None) -> None:
    assert CATALOG.screws["wood-4-0"].longest_up_to(most) == length


def test_no_source_is_listed_for_nothing_in_the_catalog_of_screws_and_sheets() -> None:
    used = {source for entry in stock() for source in entry.sources.values()}
    assert {"birch-plywood-data", "ps-1", "en-622-5", "asme-b18-6-1", "din-7998"} <= used
    assert used - {"common practice"} <= load_sources().keys()


def test_diagonal_of_each_display_key_is_its_class() -> None:
    for key, display in of_kind(Display):
        diagonal = math.hypot(display.lit_width, display.lit_height) / INCH
        again = display_lit_area(diagonal * INCH, (display.lit_width, display.lit_height))
        assert again == pytest.approx((display.lit_width, display.lit_height))
        assert abs(diagonal - float(key.split("-")[1])) < 1, key
