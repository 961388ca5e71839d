"""Remedies for cleats without room cure when they are carried out; screws at inward corners find the panel."""

from __future__ import annotations

from pathlib import Path

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from tests.measuring import sticks_out
from tests.strategies import Sixteenths, as_project, examples, known, project_data
from tests.wild import wild_data

from casewright.basics.errors import InputErrors
from casewright.catalog.load import load_catalog
from casewright.design.project import Project
from casewright.geometry.build import build_cabinet
from casewright.geometry.cleats import NO_ROOM
from casewright.geometry.model import Cabinet
from casewright.workflow import open_project, screw_sizes

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.cabinet.yaml"))
CATALOG = load_catalog()
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


def build(project: Project) -> Cabinet | None:
    try:
        return build_cabinet(project, known(project), screw_sizes(CATALOG, project.unit))
    except InputErrors:
        return None


def sixteenths(values):
    """Whole numbers as sixteenths of an inch."""
    return {key: Sixteenths(value) for key, value in values.items()}


PLY = {"kind": "plywood", "grain": "length", "nominal": Sixteenths(6)}
SHORTER_WITH_ITS_BATTENS = {
    "name": "shorter with its battens",
    "materials": {"board": PLY, "side": PLY},
    "site": {"on": "table"},
    "shape": {
        "recipe": "tabletop",
        "side": {"material": "side"},
        "board": "board",
        "deck_slope_deg": 0,
        "screen_tilt_deg": 2,
        "header": False,
        **sixteenths({"screen_margin": 4, "width": 378, "deck_depth": 80, "depth": 189}),
    },
    "parts": {
        "display": {
            "kind": "display",
            "measured": sixteenths(
                {
                    "lit_width": 95,
                    "lit_height": 63,
                    "housing_width": 99,
                    "housing_height": 67,
                    "housing_depth": 7,
                    "bezel_left": 2,
                    "bezel_bottom": 2,
                }
            ),
            "placed": [
                {"key": "display", "on": "screen", "turn": 90, "hold": {"style": "rails and bar"}}
            ],
        }
    },
    "inner": {
        "shelf": {
            "role": "shelf",
            "material": "board",
            "start": (Sixteenths(173), Sixteenths(164)),
            "end": (Sixteenths(167), Sixteenths(240)),
        }
    },
    "batten": sixteenths({"width": 2, "height": 48}),
}
"""Its screen is as long as display and rails ask for: other battens, another shape, less room at the shelf."""


@settings(max_examples=examples(80), suppress_health_check=SLOW)
@given(data=st.one_of(project_data(), wild_data()))
@example(data=SHORTER_WITH_ITS_BATTENS)
def test_a_batten_that_is_proposed_has_room(data):
    cabinet = build(as_project(data))
    if cabinet is None:
        return
    for finding in cabinet.findings:
        if finding.rule != NO_ROOM.id:
            continue
        for remedy in finding.remedies:
            section, _, field = remedy.field.partition(".")
            if section != "batten":
                continue
            project = cabinet.project
            batten = project.batten.model_copy(update={field: remedy.value})
            again = build(project.model_copy(update={"batten": batten}))
            assert again is not None
            told = [f.message for f in again.findings if f.rule == NO_ROOM.id]
            start = finding.message.partition(":")[0]
            assert not any(message.startswith(start) for message in told), remedy.text


def test_pilots_of_cleats_stay_in_their_panels():
    """Behind an inward corner half of the batten lies on the panel: the screw goes through that half."""
    seen = 0
    for path in EXAMPLES:
        opened = open_project(path)
        for width in (15.0, 18.0, 20.0, 25.0):
            batten = opened.project.batten.model_copy(update={"width": width, "height": width})
            cabinet = build_cabinet(
                opened.project.model_copy(update={"batten": batten}),
                opened.parts,
                screw_sizes(opened.catalog, opened.project.unit),
            )
            inward = {f"{c.first}-{c.second}.cleat" for c in cabinet.corners if c.inside_deg > 180}
            for piece in cabinet.pieces:
                for feature in piece.features:
                    if feature.kind == "pilot" and ".cleat" in feature.key:
                        assert sticks_out(piece, feature) == 0.0, (path.name, width, feature.key)
                        seen += any(feature.key.startswith(name) for name in inward)
    assert seen > 0
