"""New projects: every one builds as it is, in either unit."""

from __future__ import annotations

import re

import pytest

from casewright.basics.errors import InputError, InputErrors
from casewright.behavior.loads import power_loads
from casewright.catalog.kinds import Display
from casewright.catalog.load import load_catalog
from casewright.geometry.build import build_cabinet
from casewright.workflow import (
    RECIPES,
    Worked,
    open_text,
    screw_sizes,
    starter_text,
    work_out,
)


def worked(text: str) -> Worked:
    return work_out(open_text(text))


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("recipe", RECIPES)
def test_every_starter_builds_without_a_stop(recipe, unit):
    done = worked(starter_text(recipe, name="New one", unit=unit))
    assert done.stops == ()
    assert done.opened.project.unit == unit
    assert done.opened.project.shape.recipe == recipe
    assert done.opened.project.name == "New one"
    assert done.cabinet.placed


@pytest.mark.parametrize(
    ("recipe", "options"),
    [
        ("tabletop", {"display": "display-10-16x10", "players": 1, "buttons": 0}),
        ("tabletop", {"display": "display-34-21x9", "players": 4, "buttons": 8}),
        ("tabletop", {"players": 2, "width": 720.0}),
        ("standing", {"display": "display-43", "players": 1, "buttons": 1}),
        ("standing", {"display": "display-15-4x3", "players": 2, "buttons": 5}),
        ("lap", {"players": 3, "buttons": 8}),
        ("box", {"width": 300.0}),
        ("box", {"litres": 1.0}),
        ("box", {"litres": 500.0}),
    ],
)
def test_options_build_without_a_stop(recipe, options):
    assert worked(starter_text(recipe, name="x", **options)).stops == ()


@pytest.mark.parametrize("display", ["display-10-16x10", "display-27", "display-34-21x9"])
def test_the_feet_stand_near_the_ends_of_the_base(display):
    """However deep the display makes it: 50 mm from the front and from the back, and it does not tip."""
    done = worked(starter_text("tabletop", name="x", display=display))
    depth = next(run.length for run in done.cabinet.shape.runs if run.panel == "base")
    feet = {p.key: p.v for p in done.cabinet.placed if p.key.startswith("foot")}
    assert feet["foot-rear-left"] == pytest.approx(depth - 50, abs=1)
    assert feet["foot-front-left"] == pytest.approx(50, abs=1)
    assert not [f for f in done.findings if f.rule == "stand.slope"]


def test_options_are_followed():
    done = worked(
        starter_text(
            "tabletop", name="x", display="display-19-5x4", players=2, buttons=3, width=700
        )
    )
    keys = [placed.key for placed in done.cabinet.placed]
    assert {"p1-lever", "p2-lever", "p1-b3", "p2-b3"} <= set(keys)
    assert "p1-b4" not in keys
    assert "p3-lever" not in keys
    assert done.cabinet.shape.width == 700
    assert done.opened.project.parts["display"].type == "display-19-5x4"


def test_a_box_holds_the_litres_that_are_wished_for():
    """From its inner sizes: width, height and depth between the boards, as a prism."""
    cabinet = worked(starter_text("box", name="x", litres=20)).cabinet
    panels = {piece.key: piece for piece in cabinet.pieces}
    inside = [
        panels[one].frame.point(0, 0, -panels[one].thickness)
        for one in ("base", "top", "front", "back")
    ]
    (_, _, low), (_, _, high), (_, near, _), (_, far, _) = inside
    wide = cabinet.shape.width - sum(panels[side].thickness for side in ("left", "right"))
    assert wide * abs(high - low) * abs(far - near) == pytest.approx(20e6, rel=1e-3)


def test_players_stand_a_pitch_apart():
    """Two players on 700: centres 350 apart."""
    done = worked(starter_text("tabletop", name="x", players=2, width=700))
    first, second = (done.cabinet.placed_by_key[f"p{i}-lever"] for i in (1, 2))
    assert second.u - first.u == pytest.approx(350)
    assert second.v == first.v


@pytest.mark.parametrize("recipe", RECIPES)
def test_inches_are_fractions_of_a_tape(recipe):
    """No length is a converted decimal; the strip's row is metric because its cut units are."""
    text = starter_text(recipe, name="x", unit="in", players=2)
    lines = [line.partition("#")[0] for line in text.splitlines() if not line.startswith("#")]
    assert not re.search(r"\d\.\d", "\n".join(lines))
    metric = [line for line in lines if " mm" in line]
    assert all("row_length" in line for line in metric)


def test_a_name_with_signs_of_its_own_is_kept():
    for name in ("Quiz: two #1", "- 'x' \"y\"", "42", "yes"):
        assert open_text(starter_text("lap", name=name)).project.name == name


@pytest.mark.parametrize(
    ("recipe", "options", "field"),
    [
        ("table-top", {}, "recipe"),
        ("tabletop", {"display": "display-23"}, "display"),
        ("tabletop", {"display": "lever-ball"}, "display"),
        ("tabletop", {"players": 0}, "players"),
        ("tabletop", {"players": 5}, "players"),
        ("tabletop", {"buttons": 9}, "buttons"),
        ("tabletop", {"unit": "ell"}, "unit"),
        ("box", {"litres": 0.9}, "litres"),
        ("box", {"litres": 501.0}, "litres"),
        ("box", {"litres": float("nan")}, "litres"),
    ],
)
def test_what_cannot_be_started_is_said(recipe, options, field):
    with pytest.raises(InputError) as caught:
        starter_text(recipe, name="x", **options)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("right", "wrong", "nearest"),
    [("recipe: lap", "recipe: lapp", "lap"), ("posture: seated", "posture: seeted", "seated")],
)
def test_a_misspelled_choice_is_told_the_nearest(right, wrong, nearest):
    text = starter_text("lap", name="x")
    assert right in text
    with pytest.raises(InputErrors) as caught:
        open_text(text.replace(right, wrong))
    assert nearest in caught.value.errors[0].example.split()


SHOWN = [key for key, entry in load_catalog().types.items() if isinstance(entry.data, Display)]


@pytest.mark.parametrize("recipe", ["tabletop", "standing"])
@pytest.mark.parametrize("display", SHOWN)
def test_whatever_display_is_chosen_its_supply_fits(recipe, display):
    """Its own voltage, and a quarter more than it and all else on that supply draw; a mains display asks for none.

    Of every display of the catalog; only what feeds it is worked out, a small part of the whole. The quarter is common
    practice.
    """
    opened = open_text(starter_text(recipe, name="x", display=display, players=2))
    loads = power_loads(
        build_cabinet(opened.project, opened.parts, screw_sizes(opened.catalog, "mm"))
    )
    data = opened.parts["display"].data
    row = next(row for row in (*loads.rows, *loads.mains) if row.key == "display")
    assert loads.unfed == () and loads.astray == ()
    assert (row in loads.mains) == data.mains
    for supply in loads.supplies:
        assert supply.watts >= 1.25 * loads.hung(supply.name) > 0
    if not data.mains:
        (fed,) = [supply for supply in loads.supplies if supply.name == row.feeder]
        assert fed.volts == data.volts and fed.watts >= 1.25 * data.peak_w


@pytest.mark.parametrize(
    ("display", "players", "unit"),
    [("display-27", 1, "in"), ("display-43", 1, "mm"), ("display-29-21x9", 4, "mm")],
)
def test_a_new_project_with_a_large_display_has_nothing_to_mend_in_its_power(
    display, players, unit
):
    done = worked(starter_text("tabletop", name="x", display=display, players=players, unit=unit))
    assert done.stops == ()
    assert [f for f in done.findings if f.rule in ("light.drop", "power.wire", "power.entry")] == []
    assert [
        f for f in done.findings if f.rule in ("power.rail", "power.unfed", "power.plugs")
    ] == []
