"""Light on a diffuser against the textbook: one light, an endless row, and what is left of its dots."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate
from tests.checks.bench import box, subject_of

from casewright.behavior.light import SignLight
from casewright.behavior.light_box import (
    RIPPLE,
    LightBox,
    distance_for,
    evenness_of,
    light_box,
    lit,
    pitch_for,
    reflectance_for,
    ripples,
    row_length_for,
)
from casewright.behavior.light_field import illuminance, mirrored_lights
from casewright.catalog.kinds import Sign, Strip
from casewright.checks.rules import light_dots, light_drop, light_edges
from casewright.geometry.sign_rows import strip_rows
from casewright.outputs.topics.light import sheet as light_sheet
from casewright.outputs.topics.light_pictures import row_places

HERE = np.array([0.0])


def row_box(distance: float, *, pitch: float = 16.0, rows: int = 1, **more) -> LightBox:
    """A row far longer than its distance, so that its middle is that of an endless one."""
    data = {
        "width": 400.0,
        "height": 40.0,
        "distance": distance,
        "rows": strip_rows(4000, 16, rows=rows, pitch=32),
        "row_pitch": 32.0,
        "light_pitch": pitch,
        "wall_width": 4000.0,
        "wall_height": 60.0,
        "reflectance": 0.0,
        **more,
    }
    return LightBox(**data)


@pytest.mark.parametrize("angle", [0, 15, 30, 45, 60])
def test_one_light_by_the_fourth_power_of_the_cosine(angle):
    """Textbook of lighting: E = I₀ ÷ d² × cos⁴ of the angle, for a Lambertian light and a sheet parallel to it."""
    distance = 70.0
    x = distance * math.tan(math.radians(angle))
    found = illuminance(np.zeros((1, 2)), np.array([x]), HERE, distance, axial=900.0)[0, 0]
    assert found == pytest.approx(900.0 / distance**2 * math.cos(math.radians(angle)) ** 4)


def test_inverse_square():
    near, far = (illuminance(np.zeros((1, 2)), HERE, HERE, d)[0, 0] for d in (50.0, 150.0))
    assert near / far == pytest.approx(9.0)


def test_an_endless_row_falls_with_the_distance_not_its_square():
    """Line source: E = c × I' ÷ d. For Lambertian lights c = π ÷ 2, by integration (here with scipy)."""
    for distance in (40.0, 80.0):
        line = integrate.quad(lambda x, d=distance: d**2 / (d**2 + x**2) ** 2, -math.inf, math.inf)[
            0
        ]
        assert line == pytest.approx(math.pi / 2 / distance)
        box_ = row_box(distance)
        found = float(box_.at(HERE, HERE)[0, 0]) / distance**2
        assert found == pytest.approx(line / 16.0, rel=2e-3)


@pytest.mark.parametrize("times", [0.4, 0.6, 0.8, 1.0, 1.2])
def test_ripple_of_an_endless_row(times):
    """By Poisson's summation: the transform of 1 ÷ (h² + x²)² goes with (1 + ωh) e^(−ωh), ω = 2π ÷ pitch.

    The ripple is the first wave, 2 (1 + ωh) e^(−ωh), while the second is small.
    """
    wave = 2 * math.pi * times
    first = 2 * (1 + wave) * math.exp(-wave)
    second = 2 * (1 + 2 * wave) * math.exp(-2 * wave)
    dots, stripes = ripples(row_box(16.0 * times))
    assert dots == pytest.approx(first, abs=second + 1e-3)
    assert stripes == 0


def test_as_far_off_as_the_lights_are_apart():
    """Common practice among sign makers; by the formula above the ripple is then 2 (1 + 2π) e^(−2π) = 0.027."""
    assert ripples(row_box(16.0))[0] == pytest.approx(0.027, abs=0.001)
    assert 12.0 < distance_for(row_box(8.0)) < 16.0


def test_the_distance_that_passes_passes_and_less_does_not():
    near = row_box(6.0, rows=2)
    far = distance_for(near)
    assert max(ripples(replace(near, distance=far))) <= RIPPLE
    assert max(ripples(replace(near, distance=far * 0.99))) > RIPPLE


def test_rows_closer_together_stop_showing():
    striped = row_box(20.0, rows=2)
    assert ripples(striped)[1] > RIPPLE > ripples(striped)[0]
    pitch = pitch_for(striped)
    closer = replace(striped, row_pitch=pitch, rows=strip_rows(4000, 16, rows=2, pitch=pitch))
    assert ripples(closer)[1] == pytest.approx(RIPPLE, abs=2e-3)


def test_a_full_mirror_makes_a_short_row_endless():
    """A light between two mirrors has endless images: the middle of 160 mm is lit as that of 4 m."""
    short = row_box(30.0, rows=1, wall_width=160.0, wall_height=1e6, reflectance=1.0)
    short = replace(short, rows=strip_rows(160, 16, rows=1, pitch=32))
    endless = row_box(30.0)
    assert float(short.at(HERE, HERE)[0, 0]) == pytest.approx(
        float(endless.at(HERE, HERE)[0, 0]), rel=0.02
    )


def test_images_stand_behind_the_walls():
    groups = mirrored_lights(np.array([[10.0, 5.0]]), (100.0, 40.0), 0.5, reach=(1, 1))
    found = {tuple(lights[0]): share for share, lights in groups}
    assert found[10.0, 5.0] == 1.0
    assert found[90.0, 5.0] == 0.5  # 40 from the wall at 50, on the other side
    assert found[10.0, 35.0] == 0.5
    assert found[-110.0, -45.0] == 0.25


def test_white_walls_lift_the_edges_and_further_off_evens_dots():
    strip, sign = Strip(cut_unit=50), Sign(opening_width=600, opening_height=60, row_length=550)
    base = light_box(sign, strip)
    least = [lit(replace(base, reflectance=r)).least for r in (0.0, 0.3, 0.6, 0.9)]
    assert least == sorted(least) and least[0] < least[-1]
    dots = [ripples(replace(base, distance=d))[0] for d in (6.0, 10.0, 16.0, 30.0)]
    assert dots == sorted(dots, reverse=True)


def test_mean_is_one_and_least_below_most():
    base = light_box(Sign(opening_width=600, opening_height=60), Strip())
    found, xs, ys, field = evenness_of(base)
    mean = np.trapezoid(np.trapezoid(field, xs), ys) / (xs[-1] * ys[-1])
    assert mean == pytest.approx(1.0)
    assert found.least < 1.0 < found.most
    # Everywhere by adding up light after light, at a corner and in the middle.
    for column, row in ((0, 0), (len(xs) - 1, len(ys) - 1)):
        by_hand = sum(
            base.distance**4 / (base.distance**2 + (xs[column] - x) ** 2 + (ys[row] - y) ** 2) ** 2
            for x, y in base.lights
        )
        raw = base.at(xs, ys)
        assert raw[row, column] == pytest.approx(by_hand)


def test_remedies_of_the_edges():
    base = light_box(
        Sign(opening_width=600, opening_height=60, row_length=550, board_distance=70), Strip()
    )
    assert lit(base).least < 0.4
    share = reflectance_for(base)
    assert lit(replace(base, reflectance=share)).least >= 0.4
    assert lit(replace(base, reflectance=share - 0.05)).least < 0.4
    assert math.isinf(row_length_for(base, 50, 599))
    length = row_length_for(base, 50, 700)
    assert length in (600, 650, 700)


def signed(**sign) -> dict:
    """The bench's box with a sign on its front."""
    measured = {
        "opening_width": 400,
        "opening_height": 40,
        "board_distance": 60,
        "row_length": 350,
        "row_pitch": 20,
        **sign,
    }
    return box(
        parts={
            "sign": {
                "kind": "sign",
                "label": "sign",
                "measured": measured,
                "placed": [{"key": "marquee", "on": "front"}],
            },
            "strip": {"kind": "strip", "measured": {"volts": 12}, "amount": 0.8},
        }
    )


def lit_sign(data: dict) -> SignLight:
    behavior = subject_of(data).behavior
    assert behavior is not None
    (sign,) = behavior.light.signs
    return sign


def test_a_sign_in_a_cabinet():
    """Two rows of 7 units: 0.7 m of 9.6 W/m at 12 V draw 0.56 A."""
    sign = lit_sign(signed())
    assert sign.metres == pytest.approx(0.7)
    assert sign.amps == pytest.approx(0.56)
    assert sign.fuse == 1.0
    assert sign.lost == pytest.approx((sign.drop + sign.lead_drop) / 12)
    assert sign.joints == 6
    numbers = {number.key: number for number in sign.numbers}
    assert numbers["light.marquee.joints"].value == 6
    assert numbers["light.marquee.drop"].value == pytest.approx(0.281 * 0.7 * 0.56 / 2, rel=1e-2)


def test_joints_are_told_alike_by_solids_and_by_light():
    for feed, joints in (("one end", 6), ("both ends", 8), ("middle", 6)):
        subject = subject_of(signed(feed=feed))
        sign = subject.behavior.light.signs[0]
        assert sign.joints == subject.cabinet.numbers["marquee.joints"].value == joints


def test_rows_lie_where_the_solids_are():
    """Places for the tape measure against the bodies that geometry made."""
    subject = subject_of(signed())
    sign = subject.behavior.light.signs[0]
    board = subject.cabinet.piece_by_key["marquee.light-board"]
    left, bottom, _, _ = board.extent
    for place in row_places(subject.cabinet, sign):
        body = next(b for b in subject.cabinet.bodies if b.key == f"marquee.row-{place.number}")
        u, v, _ = board.frame.local(body.frame.point(body.shape.u, body.shape.v))
        assert u - body.shape.width / 2 - left == pytest.approx(place.start)
        assert v - bottom == pytest.approx(place.middle)
        assert place.length == body.shape.width
    assert [place.turned for place in row_places(subject.cabinet, sign)] == [False, True]


def test_no_sign_no_strip_no_light():
    assert subject_of(box()).behavior.light.signs == ()
    data = signed()
    del data["parts"]["strip"]
    assert subject_of(data).behavior.light.signs == ()


def test_inches_give_the_same_light():
    millimeters = lit_sign(signed())
    data = signed()
    data["unit"] = "in"
    data["wiring"] = {"sizes": "mm2"}
    sizes = data["parts"]["sign"]["measured"]
    data["parts"]["sign"]["measured"] = {
        key: f"{value} mm" if key not in ("rows",) else value for key, value in sizes.items()
    }
    inches = lit_sign(data)
    assert inches.evenness == millimeters.evenness
    assert inches.wire == millimeters.wire


@pytest.mark.parametrize(
    ("sign", "strip"),
    [
        ({"board_distance": 0.5}, {}),
        ({"row_length": 51, "rows": 1}, {}),
        ({"rows": 20, "row_pitch": 1}, {"lights_per_m": 100_000}),
        ({}, {"watts_per_m": 5000, "volts": 3}),
        ({}, {"watts_per_m": 0}),
        ({"wall_reflectance": 1}, {"width": 0.5}),
    ],
)
def test_anything_the_file_allows_gives_figures(sign, strip):
    """Nothing there, next to nothing, far too much: numbers that are numbers, and sheets that can be drawn."""
    data = signed(**sign)
    data["parts"]["strip"]["measured"] |= strip
    subject = subject_of(data)
    found = subject.behavior.light.signs[0]
    for number in (*found.numbers, *subject.behavior.wiring.numbers):
        assert math.isfinite(number.value), number.key
    shown = light_sheet(subject.cabinet, subject.behavior)
    assert shown is not None
    assert all("inf" not in cell for rows in shown.tables for row in rows.rows for cell in row)
    assert all(picture.drawing.marks for picture in shown.pictures)
    for rule in (light_dots, light_drop, light_edges):
        for finding in rule.find(subject):
            assert finding.remedies and "inf" not in finding.message


def test_many_lights_in_blocks_are_the_sum_of_all():
    lights = np.column_stack([np.linspace(-300, 300, 5000), np.zeros(5000)])
    xs, ys = np.linspace(0, 300, 60), np.linspace(0, 30, 6)
    whole = illuminance(lights, xs, ys, 40.0)
    parts = illuminance(lights[:2500], xs, ys, 40.0) + illuminance(lights[2500:], xs, ys, 40.0)
    assert np.allclose(whole, parts)
