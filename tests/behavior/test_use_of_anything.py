"""Heat, stiffness and sound of projects that no maker would draw: nothing crashes, what comes out is a number."""

from __future__ import annotations

import math
import re

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.strategies import as_project, examples, known
from tests.wild import extreme_data, wild_data

from casewright.basics.errors import InputError, InputErrors
from casewright.behavior.balance import weigh
from casewright.behavior.whole import behavior_of
from casewright.catalog.load import load_catalog
from casewright.checks import Subject
from casewright.checks.rules import (
    hand_slope,
    hand_wheelchair,
    heat_air,
    heat_vent,
    sound_box,
    sound_driven,
    sound_grille,
    sound_leak,
    sound_port,
    stiff_board,
)
from casewright.geometry.build import build_cabinet
from casewright.outputs.drawings.svg import write_svg
from casewright.outputs.topics import hands, heat, sound, stiffness
from casewright.workflow import densities, screw_sizes

CATALOG = load_catalog()
RULES = (
    heat_air,
    heat_vent,
    stiff_board,
    sound_box,
    sound_driven,
    sound_leak,
    sound_port,
    sound_grille,
    hand_slope,
    hand_wheelchair,
)

WARM = {
    "device": {
        "kind": "device",
        "measured": {"width": 60, "height": 40, "depth": 20, "typical_w": 300, "mass_kg": 3},
        "placed": [{"key": "warm", "on": "base"}],
    },
    "air": {
        "kind": "vent",
        "placed": [{"key": "air1", "on": "base"}, {"key": "air2", "on": "back"}],
    },
    "wind": {
        "kind": "fan",
        "measured": {"size": 40, "thickness": 10, "opening": 38, "pitch": 32, "flow_m3h": 9},
        "placed": [{"key": "wind1", "on": "back"}],
    },
    "voice": {
        "kind": "speaker",
        "measured": {
            "cutout": 60,
            "frame": 74,
            "depth": 34,
            "free_air_hz": 120,
            "total_q": 0.6,
            "compliance_litres": 1,
        },
        "placed": [{"key": "voice1", "on": "back", "grille": "drilled"}],
    },
    "tube": {
        "kind": "port",
        "measured": {"width": 30, "wall": 2, "length": 90},
        "placed": [{"key": "tube1", "on": "back"}],
    },
    "slot": {
        "kind": "port",
        "measured": {"shape": "slot", "width": 60, "height": 12, "wall": 4, "length": 700},
        "placed": [{"key": "slot1", "on": "base"}],
    },
}
NO_FIGURE = re.compile("(?<![a-z])nan")
"""How Python writes what is no number, with or without a unit after it; "resonance" is a word."""
CHAIR = {"label": "chair", "posture": "wheelchair"}


@settings(max_examples=examples(40), suppress_health_check=list(HealthCheck), deadline=None)
@given(
    data=st.one_of(wild_data(), extreme_data()),
    more=st.lists(st.sampled_from(sorted(WARM)), unique=True),
    room=st.floats(-20, 50),
    limit=st.floats(0, 90),
    chair=st.booleans(),
)
def test_nothing_crashes_and_figures_are_figures(data, more, room, limit, chair):
    data = {**data, "parts": {**data.get("parts", {}), **{key: WARM[key] for key in more}}}
    data["site"] = {**data.get("site", {}), "room_c": room}
    data["limits"] = {**data.get("limits", {}), "air_c": limit}
    if chair:
        data["people"] = [*data.get("people", []), CHAIR]
    try:
        project = as_project(data)
        parts = known(project)
        cabinet = build_cabinet(project, parts, screw_sizes(CATALOG, project.unit))
    except (InputError, InputErrors):
        return
    behavior = behavior_of(cabinet, weigh(cabinet, densities(CATALOG)), CATALOG)
    for number in (
        *behavior.heat.numbers,
        *behavior.stiffness.numbers,
        *behavior.sound.numbers,
        *behavior.playing.numbers,
    ):
        assert not math.isnan(number.value), number.key
    assert behavior.heat.air_c >= room
    assert behavior.heat.air_c <= behavior.heat.closed_c + 1e-6
    subject = Subject(cabinet, CATALOG, (), behavior)
    for rule in RULES:
        for finding in rule.find(subject):
            for text in (finding.message, *(remedy.text for remedy in finding.remedies)):
                assert not NO_FIGURE.search(text), text
    for topic in (heat, stiffness, sound, hands):
        sheet = topic.sheet(cabinet, behavior)
        for picture in sheet.pictures if sheet else ():
            assert "<svg" in write_svg(picture.drawing)
