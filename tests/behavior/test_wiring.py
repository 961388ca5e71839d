"""Power and wiring: sums by hand, every run sized for its current, its fuse and its drop."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from tests.behavior.test_light import signed
from tests.behavior.test_routes import PLUG
from tests.checks.bench import box, button, device, found, lever, merged, subject_of

from casewright.behavior.harness import COLORS, cable_for, end_words, rail_color
from casewright.behavior.power import SUPPLIES
from casewright.behavior.wires import DROP, WIRES
from casewright.behavior.wiring import Wiring
from casewright.checks.rules import control_read
from casewright.planning.wire_buying import wire_purchases
from casewright.workflow import open_project, work_out

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.cabinet.yaml"))

SUPPLY = {
    "kind": "device",
    "label": "supply",
    "measured": {
        "role": "supply",
        "width": 150,
        "height": 60,
        "depth": 40,
        "volts": 12,
        "output_amps": 5,
        "outside": True,
        "mains": True,
    },
    "quantity": 1,
}


def electric(**parts: Any) -> dict[str, Any]:
    """A box with an inlet, an amplifier of 24 W, a computer of 15 W behind a converter, a controller, two buttons."""
    given = {
        "supply": SUPPLY,
        "plug": merged(PLUG, {"placed": [{"key": "plug", "on": "back", "u": 80, "v": 60}]}),
        "amp": device("amp", 100, 200, role="amplifier", volts=12, typical_w=5, peak_w=24),
        "converter": device(
            "converter", 240, 200, role="converter", volts=12, output_amps=5, efficiency=0.9
        ),
        "computer": device("computer", 380, 200, role="computer", volts=5, typical_w=6, peak_w=15),
        "controller": device("controller", 380, 80, role="controller", volts=5, peak_w=0.5),
        "button": button((100, 200), (300, 200)),
        "lever": lever(450, 150),
        **parts,
    }
    return box(parts=given)


def wiring(data: dict[str, Any]) -> Wiring:
    behavior = subject_of(data).behavior
    assert behavior is not None
    return behavior.wiring


def test_power_by_hand():
    """24 W, and 15 + 0.5 W over an efficiency of 0.9: 41.2 W; a quarter more is 51.5 W, 4.3 A at 12 V: sold as 5."""
    power = subject_of(electric()).behavior.power
    assert power.loads.peak_w == pytest.approx(24 + 15.5 / 0.9)
    assert power.loads.needed_w == pytest.approx(1.25 * (24 + 15.5 / 0.9))
    high, low = power.rails
    assert (high.volts, low.volts) == (12, 5)
    assert high.amps == pytest.approx(41.222 / 12, abs=1e-3)
    assert high.choice == 5.0
    assert low.amps == pytest.approx(3.1) and low.choice == 4.0
    assert {"power.peak", "power.usual", "power.needed"} <= {n.key for n in power.numbers}
    peak = next(n for n in power.numbers if n.key == "power.peak")
    assert math.fsum(t.value * t.times for t in peak.terms) == pytest.approx(power.loads.peak_w)


def test_a_supply_that_is_only_listed_counts_once():
    """As the shopping list does: no quantity and no place is one piece."""
    data = electric(supply={key: value for key, value in SUPPLY.items() if key != "quantity"})
    power = subject_of(data).behavior.power
    assert power.loads.supply_w == pytest.approx(60)
    assert wiring(data).runs == wiring(electric()).runs


def test_budget_of_a_worked_example():
    """Monitor 26 W, board 6.25 W, fan 1.56 W, 1.2 m of 4.8 W/m: 39.57 W in all; with a quarter more 49.46 W.

    Figures of makers' data sheets, summed by hand; at 80 % load a supply gives 39.57 ÷ 0.8 = 49.46 W.
    """
    data = signed(row_length=600, rows=2, opening_width=420)
    data["parts"]["strip"]["measured"] = {"volts": 12, "watts_per_m": 4.8}
    data["parts"] |= {
        "monitor": device("monitor", 100, volts=12, typical_w=26, peak_w=26),
        "board": device("board", 300, volts=12, typical_w=6.25, peak_w=6.25),
        "blower": device("blower", 450, volts=12, typical_w=1.56, peak_w=1.56),
    }
    loads = subject_of(data).behavior.power.loads
    assert loads.peak_w == pytest.approx(39.57)
    assert loads.needed_w == pytest.approx(49.46, abs=0.01)


def test_every_run_carries_its_fuse_and_loses_little():
    found = wiring(electric())
    assert found.too_thin == ()
    for run in found.runs:
        if run.wire is None:
            continue
        assert run.wire.carries >= run.amps - 1e-9
        if run.fuse:
            assert run.fuse >= 1.25 * run.amps - 1e-9
            assert run.wire.carries >= run.fuse
        if run.volts:
            assert run.drop <= DROP * run.volts + 1e-9


def test_what_is_joined_to_what():
    found = wiring(electric())
    by_kind = {
        kind: [(r.start, r.end) for r in found.runs if r.kind == kind]
        for kind in ("power", "signal", "ground", "cable")
    }
    assert set(by_kind["power"]) == {
        ("plug", "amp"),
        ("plug", "converter"),
        ("converter", "computer"),
    }
    assert set(by_kind["signal"]) == {
        ("controller", "b1"),
        ("controller", "b2"),
        ("controller", "lever1"),
    }
    # The ground goes from part to part: each has one wire in, and the chain starts at the board.
    ends = [end for _, end in by_kind["ground"]]
    assert sorted(ends) == ["b1", "b2", "lever1"]
    assert by_kind["ground"][0][0] == "controller"
    assert [start for start, _ in by_kind["ground"][1:]] == ends[:-1]
    assert ("computer", "controller") in by_kind["cable"]


def test_lengths_are_summed_by_size_and_color():
    found = wiring(electric())
    whole = math.fsum(len(r.cores) * r.length for r in found.runs if r.wire) / 1000
    assert math.fsum(found.metres.values()) == pytest.approx(whole)
    rows = wire_purchases(found)
    bought = math.fsum(row.quantity for row in rows if row.unit == "m")
    assert whole * 1.1 <= bought <= whole * 1.1 + len(found.metres)
    fuses = [row for row in rows if "fuse" in row.label]
    assert sum(row.quantity for row in fuses) == 2  # amplifier and converter


def test_a_longer_box_asks_for_more_wire_and_thicker():
    """More slack, more drop: never a thinner wire."""
    near, far = electric(), electric()
    far["wiring"] = {"slack": 1.0, "ends": 1500}
    for a, b in zip(wiring(near).runs, wiring(far).runs, strict=True):
        if a.wire and b.wire:
            assert b.length > a.length
            assert b.wire.area >= a.wire.area


def test_own_wires_take_the_place_of_ours():
    data = electric()
    data["wiring"] = {
        "wires": [
            {"start": "plug", "end": "amp", "cores": 4, "volts": 12, "amps": 2, "length": 700},
            {"start": "controller", "end": "b1", "cores": 0},
        ]
    }
    found = wiring(data)
    (own,) = [r for r in found.runs if {r.start, r.end} == {"plug", "amp"}]
    assert (len(own.cores), own.length) == (4, 700)
    assert not [r for r in found.runs if (r.start, r.end) == ("controller", "b1")]


def test_nothing_electric_no_wires():
    found = wiring(box())
    assert found.runs == () and found.numbers == ()
    assert subject_of(box()).behavior.power.numbers == ()


def test_inch_projects_buy_by_awg():
    data = electric()
    assert {r.wire.name for r in wiring(data).runs if r.wire} <= {w.name for w in WIRES["mm2"]}
    data["wiring"] = {"sizes": "awg"}
    assert {r.wire.name for r in wiring(data).runs if r.wire} <= {w.name for w in WIRES["awg"]}


def test_words_and_colors():
    thin, thick = WIRES["mm2"][1], WIRES["mm2"][5]
    assert end_words("tab 4.8", thin).endswith("red")
    assert end_words("tab 6.3", thick).endswith("blue")
    assert "GN" not in COLORS
    assert {rail_color(v) for v in (5, 12, 48)} <= set(COLORS)
    assert cable_for(501) == 1000 and cable_for(9000) == 9000
    assert list(SUPPLIES) == sorted(SUPPLIES)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.name.partition(".")[0])
def test_examples_are_wired_whole(path):
    """Every way is found, labels are one run's own, no wire is too thin."""
    worked = work_out(open_project(path))
    found = worked.behavior.wiring
    assert found.runs
    labels = [run.label for run in found.runs]
    assert len(set(labels)) == len(labels)
    assert all(math.isfinite(run.way) for run in found.runs)
    assert not [f for f in worked.findings if f.rule == "power.wire"]
    step = 12.7 if worked.opened.project.unit == "in" else 10.0
    for run in found.runs:
        if run.wire:
            assert run.length / step == pytest.approx(round(run.length / step))
            assert run.length > run.way
    assert f"wiring.{next(r.label for r in found.runs if r.wire).lower()}.length" in worked.numbers


def test_an_addressable_strip_gets_its_data():
    """Three wires lead to it (common practice): plus and ground of its rail, and the data of its controller."""
    pixels = {"kind": "strip", "measured": {"volts": 12, "addressable": True}, "amount": 0.8}
    boards = {
        "keys": device("keys", 240, 200, role="controller", volts=5),
        "driver": device("driver", 60, 200, role="controller", volts=12),
    }
    plain = merged(signed(), {"parts": {"supply": SUPPLY, **boards}})
    assert not any(core.carries == "data" for run in wiring(plain).runs for core in run.cores)
    data = merged(plain, {"parts": {"strip": pixels}})
    (run,) = [run for run in wiring(data).runs if run.kind == "signal"]
    assert (run.start, run.end) == ("driver", "marquee")
    assert run.wire == WIRES["mm2"][0]  # data carry next to nothing
    assert [core.carries for core in run.cores] == ["data"]
    del data["parts"]["driver"]
    (run,) = [run for run in wiring(data).runs if run.kind == "signal"]
    assert run.start == "keys"


def test_controls_that_nothing_reads_are_told():
    assert found(control_read, electric()) == []
    data = electric()
    del data["parts"]["controller"]
    (finding,) = found(control_read, data)
    assert finding.place.names == ("b1", "b2", "lever1")
    data["wiring"] = {"wires": [{"start": "computer", "end": key} for key in ("b1", "b2")]}
    (finding,) = found(control_read, data)
    assert finding.place.names == ("lever1",)
    assert found(control_read, box()) == []
