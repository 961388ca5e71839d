"""Sheets on heat, stiffness and sound: what their pictures and tables say is what was reckoned."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from tests.behavior.test_hanging import carried
from tests.behavior.test_heat import FAN, VENTS, warm
from tests.behavior.test_sound import DRIVER
from tests.checks.bench import box, device, merged, subject_of

from casewright.basics.findings import worded
from casewright.outputs.drawings.marks import Line, Polyline, Text, simple
from casewright.outputs.topics import TopicSheet, carrying, heat, power, sound, stiffness


def sheet_of(topic, data) -> TopicSheet | None:
    subject = subject_of(data)
    assert subject.behavior is not None
    return topic.sheet(subject.cabinet, subject.behavior)


def marks_of(sheet: TopicSheet, kind):
    drawing = sheet.pictures[0].drawing
    return [m for m in simple(drawing.marks, drawing.scale) if isinstance(m, kind)]


def words(sheet: TopicSheet) -> str:
    return " ".join(mark.text for mark in marks_of(sheet, Text))


def test_air_goes_in_below_and_out_above():
    """Both vents are in the back; the low one's arrow flies in, to smaller y, the high one's out."""
    sheet = sheet_of(heat, warm(60, parts={"vents": VENTS}))
    assert sheet is not None
    arrows = [m for m in marks_of(sheet, Line) if m.pen == "accent"]
    low, high = sorted(arrows, key=lambda a: a.start[1])
    assert low.end[0] < low.start[0]
    assert high.end[0] > high.start[0]
    assert words(sheet).count("m³/h") == 2


def test_heat_table_adds_up_and_tells_of_the_fan():
    sheet = sheet_of(heat, warm(60, parts={"vents": VENTS, "fan": FAN}))
    assert sheet is not None
    *parts, whole = sheet.tables[0].rows
    assert sum(float(row[1]) for row in parts) == pytest.approx(float(whole[1]), abs=0.1)
    assert [row[0] for row in sheet.tables[1].rows] == ["as built", "fan stopped", "all vents shut"]


def test_no_power_no_sheet_of_heat():
    assert sheet_of(heat, box()) is None


def test_words_in_the_picture_stay_inside():
    sheet = sheet_of(heat, warm(60))
    assert sheet is not None
    scale = sheet.pictures[0].drawing.scale
    for mark in marks_of(sheet, Text):
        if "inside" in mark.text:
            around = mark.box(scale)
            assert around.left >= 12 and around.right <= 288
            assert around.bottom >= 12 and around.top <= 188


def test_the_deepest_line_is_the_board_nearest_to_its_limit():
    sheet = sheet_of(stiffness, box(parts={}))
    assert sheet is not None
    lines = [m for m in marks_of(sheet, Polyline) if m.pen == "accent"]
    depths = [max(y for _, y in line.points) - min(y for _, y in line.points) for line in lines]
    assert depths == sorted(depths, reverse=True)
    first = sheet.tables[0].rows[0]
    assert first[3] in sheet.answer or first[4] in sheet.answer


def test_the_curve_passes_3_db_where_the_table_says():
    sheet = sheet_of(sound, box(parts={"driver": DRIVER}))
    assert sheet is not None
    closed = next(m for m in marks_of(sheet, Polyline) if m.pen == "accent" and not m.closed)
    level = sound.HEIGHT * (-3.0103 - sound.LOW_DB) / (sound.HIGH_DB - sound.LOW_DB)
    a, b = next(
        (p, q)
        for p, q in zip(closed.points, closed.points[1:], strict=False)
        if p[1] <= level <= q[1]
    )
    x = a[0] + (level - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    hertz = sound.LOW_HZ * math.exp(x / sound.WIDTH * math.log(sound.HIGH_HZ / sound.LOW_HZ))
    table = next(t for t in sheet.tables if t.title == "Boxes for it")
    assert hertz == pytest.approx(float(table.rows[0][1]), abs=1.0)


def test_missing_data_of_a_shut_loudspeaker_are_asked_for():
    data = box(parts={"driver": merged(DRIVER, {})})
    del data["parts"]["driver"]["measured"]["compliance_litres"]
    sheet = sheet_of(sound, data)
    assert sheet is not None
    assert not sheet.pictures
    assert any("Vas" in worded(note, str) for note in sheet.notes)


def test_no_loudspeaker_no_sheet_of_sound():
    assert sheet_of(sound, box()) is None


def test_a_door_too_small_is_told_in_the_sheet_of_carrying():
    """The box stands 600 × 300 × 200, so a hatch of 310 × 210 passes it lengthwise and one of 290 × 210 does not."""
    hatches = [
        {"label": "hatch", "width": 310, "height": 210},
        {"label": "slot", "width": 290, "height": 190},
    ]
    made = sheet_of(carrying, box(limits={"passages": hatches}))
    assert made is not None
    (table,) = (t for t in made.tables if "go through" in t.title)
    told = {row[0]: row[2] for row in table.rows}
    assert "10.0000" in told["hatch"] and "to spare" in told["hatch"]
    assert "too large" in told["slot"]
    assert "slot" in made.answer and "hatch" not in made.answer


def test_an_overloaded_converter_is_told_with_the_supply():
    """5 V, 25.5 W on a converter of 25 W: 12 V supply of 120 W has room all the same."""
    supply = device("supply", 150, role="supply", volts=12, output_amps=10)
    converter = device(
        "step", 300, role="converter", volts=12, output_volts=5, output_amps=5, efficiency=0.9
    )
    load = device("computer", 450, volts=5, typical_w=10, peak_w=25.5)
    told = sheet_of(power, box(parts={"supply": supply, "step": converter, "computer": load}))
    assert told is not None
    assert "25.0 W" in told.answer and "25.5 W" in told.answer


def test_each_voltage_is_told_against_its_own_supply_and_mains_apart():
    """30 W of 36 W at 12 V are 83 %, 40 W of 50 W at 20 V are 80 %; a quarter to spare asks 37.5 and 50 W."""
    low = device("low", 150, role="supply", volts=12, output_amps=3)
    high = device("high", 250, role="supply", volts=20, output_amps=2.5)
    parts = {
        "low": low,
        "high": high,
        "lamp": device("lamp", 350, volts=12, typical_w=10, peak_w=30),
        "mini": device("mini", 450, volts=20, typical_w=20, peak_w=40),
        "tv": device("tv", 550, mains=True, typical_w=50, peak_w=90),
    }
    told = sheet_of(power, box(parts=parts))
    assert told is not None
    assert "83 % of the 36 W" in told.answer and "choose one of 38 W" in told.answer
    assert "80 % of the 50 W" in told.answer and "choose one of 50 W" not in told.answer
    wires = next(rows for rows in told.tables if rows.title.startswith("Wire list: power"))
    runs = {row[1]: row[2] for row in wires.rows}  # of both rails, each from its own supply
    assert set(runs) == {"low to lamp", "high to mini"}
    assert "+12 V" in runs["low to lamp"] and "+20 V" in runs["high to mini"]
    assert any("tv, with a mains supply inside" in note for note in told.notes)


@pytest.mark.parametrize(("u", "v"), [(60.0, 180.0), (240.0, 170.0)])
def test_it_hangs_in_the_picture_as_statics_has_it(u, v):
    """Statics: the centre of gravity straight below the hands, as far as before; no side of the cabinet changes."""
    data = carried(u, v)
    sheet = sheet_of(carrying, data)
    assert sheet is not None
    subject = subject_of(data)
    (hanging,) = subject.behavior.hangings
    line = next(
        m for m in sheet.pictures[0].drawing.marks if isinstance(m, Line) and m.pen == "accent"
    )
    (y0, z0), (y1, z1) = line.start, line.end
    assert y1 == pytest.approx(y0, abs=1e-6)
    assert z0 - z1 == pytest.approx(math.hypot(hanging.behind, hanging.under))
    stands, hangs = (
        next(m for m in sheet.pictures[0].drawing.marks if isinstance(m, Polyline) and m.pen == pen)
        for pen in ("hidden", "visible")
    )
    sides = [[math.dist(a, b) for a, b in pairwise(m.points)] for m in (stands, hangs)]
    assert sides[0] == pytest.approx(sides[1])
    assert f"{hanging.tilt_deg:.0f}° out of level" in words(sheet)
