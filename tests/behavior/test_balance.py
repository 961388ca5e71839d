"""Mass and centre of gravity of cabinets that can be weighed in the head."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st
from tests.geometry.pieces_by_hand import (
    board,
    body,
    cabinet,
    frame,
    hole,
    placed,
    project,
    rectangle,
)

from casewright.behavior.balance import weigh
from casewright.catalog.kinds import Device, Grip, PushButton, Vent
from casewright.geometry.model import Box
from casewright.geometry.solids import solid_of
from casewright.workflow import open_text, work_out

SUPPLY = Device(role="supply", width=50, height=40, depth=30, mass_kg=1.5)


def test_a_litre_of_plywood_at_700_weighs_0_7_kg():
    plain = board("deck", rectangle(500, 200), thickness=10)  # 1 000 000 mm³
    balance = weigh(cabinet([plain]), {})
    assert balance.total_kg == pytest.approx(0.7)
    assert balance.centre == pytest.approx((250, 100, -5))
    assert balance.is_complete


def test_holes_take_their_weight_away():
    holed = board("deck", rectangle(500, 200), thickness=10, features=[hole("h", 100, 100, 60)])
    balance = weigh(cabinet([holed]), {})
    missing = math.pi * 900 * 10
    assert balance.total_kg == pytest.approx(0.7 * (1 - missing / 1e6))
    # The lever rule: what is left, and the plug at u = 100, balance at the whole board's middle.
    assert balance.centre[0] == pytest.approx((250e6 - 100 * missing) / (1e6 - missing))


def test_parts_weigh_where_their_bodies_are():
    supply = placed("supply", SUPPLY)
    bodies = [
        body("supply.body", Box(300, 50, 50, 40, 0, 30)),
        body("supply.plugs", Box(300, 150, 50, 40, 0, 30), kind="room"),
    ]
    plain = board("deck", rectangle(500, 200), thickness=10)
    balance = weigh(cabinet([plain], bodies, [supply]), {})
    assert balance.total_kg == pytest.approx(0.7 + 1.5)
    assert balance.centre == pytest.approx(
        ((0.7 * 250 + 1.5 * 300) / 2.2, (0.7 * 100 + 1.5 * 50) / 2.2, (0.7 * -5 + 1.5 * 15) / 2.2)
    )


def test_a_part_without_bodies_weighs_where_it_is_placed():
    supply = placed("supply", SUPPLY, at=frame((10, 20, 30)))
    assert weigh(cabinet(parts=[supply]), {}).centre == (10, 20, 30)


def test_densities_come_from_the_material_then_the_species_then_the_kind():
    goods = project(
        own={"kind": "mdf", "nominal": 10, "density": 800, "species": "fibre"},
        by_species={"kind": "mdf", "nominal": 10, "species": "fibre"},
        by_kind={"kind": "mdf", "nominal": 10, "species": "elsewhere"},
        unknown={"kind": "metal", "nominal": 10},
    )
    pieces = [
        board(name, rectangle(500, 200), thickness=10, material=name)
        for name in ("own", "by_species", "by_kind", "unknown", "batten")
    ]
    balance = weigh(cabinet(pieces, of=goods), {"fibre": 750, "mdf": 720})
    assert {w.key: w.mass_kg for w in balance.items} == pytest.approx(
        {"own": 0.8, "by_species": 0.75, "by_kind": 0.72, "batten": 0.5}
    )
    assert balance.missing == ("unknown",)
    assert not balance.is_complete


def test_what_weighs_nothing_or_stays_outside_is_not_missed():
    parts = [
        placed("air", Vent()),
        placed("hand", Grip(style="hand hole")),
        placed("brick", Device(role="supply", width=1, height=1, depth=1, mass_kg=2, outside=True)),
    ]
    balance = weigh(cabinet(parts=parts), {})
    assert (balance.total_kg, balance.missing, balance.items) == (0.0, (), ())


def test_a_part_never_weighed_is_named():
    button = PushButton(hole=28, bezel=33, nut=38, grip_most=12, body=24, behind=40)
    assert weigh(cabinet(parts=[placed("red", button)]), {}).missing == ("red",)


@given(st.floats(-500, 500), st.floats(-500, 500), st.floats(-90, 90))
def test_the_centre_moves_with_the_cabinet(dx, dz, slope):
    """Two boards moved together carry their centre along; their mass stays."""

    def at(x, z, turn):
        return [
            board("a", rectangle(300, 100), at=frame((x, 0, z), turn)),
            board("b", rectangle(100, 50, u=50), at=frame((x, 0, z), turn), thickness=20),
        ]

    here = weigh(cabinet(at(0, 0, slope)), {})
    there = weigh(cabinet(at(dx, dz, slope)), {})
    assert there.total_kg == pytest.approx(here.total_kg)
    x, y, z = here.centre
    assert there.centre == pytest.approx((x + dx, y, z + dz), abs=1e-6)


def test_the_total_is_the_sum_of_its_terms():
    supply = placed("supply", SUPPLY)
    number = weigh(cabinet([board("deck", rectangle(500, 200))], parts=[supply]), {}).number
    assert number.value == pytest.approx(sum(t.value * t.times for t in number.terms))
    assert [t.label for t in number.terms] == ["ply", "supply"]


def test_mass_and_centre_against_a_library_of_meshes():
    """trimesh: volume and centre of mass of the cut solids' triangles, times the densities; all boards of the kiosk."""
    path = Path(__file__).parents[2] / "examples" / "kiosk.cabinet.yaml"
    worked = work_out(open_text(path.read_text(encoding="utf-8")))
    boards = [item for item in worked.balance.items if item.kind == "piece"]
    assert len(boards) > 10
    mass, moment = 0.0, np.zeros(3)
    for item in boards:
        points, triangles = solid_of(worked.cabinet.piece_by_key[item.key]).mesh
        made = trimesh.Trimesh(points, triangles, process=False)
        assert made.is_watertight
        weight = made.volume * 1e-9 * item.density
        assert item.mass_kg == pytest.approx(weight, rel=2e-3)
        mass, moment = mass + weight, moment + weight * made.center_mass
    ours = math.fsum(item.mass_kg for item in boards)
    centre = [math.fsum(item.mass_kg * item.centre[i] for item in boards) / ours for i in range(3)]
    assert ours == pytest.approx(mass, rel=5e-4)
    assert centre == pytest.approx(moment / mass, abs=0.1)
