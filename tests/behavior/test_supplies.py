"""Several supplies in one cabinet: each load on a rail of its own voltage, each rail wired from its own way in.

Watts over volts are amperes, worked by hand beside each figure. Least copper for a current: IEC 60335-1, table 11,
cords of appliances. Resistance of flexible copper: IEC 60228, class 5. Both are typed in from the tables here.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.behavior.test_routes import PLUG
from tests.behavior.test_sound import SMALL
from tests.behavior.test_wiring import SUPPLY, electric
from tests.checks.bench import box, button, device, found, merged, subject_of

from casewright.basics.findings import Severity
from casewright.behavior.harness import LEAD_SOCKET, Run, rail_colors
from casewright.behavior.loads import Loads
from casewright.behavior.supplying import Load, Source, hang
from casewright.behavior.whole import Behavior
from casewright.checks.rules import (
    power_entry,
    power_idle,
    power_plugs,
    power_rail,
    power_unfed,
    sound_driven,
)
from casewright.outputs.topics import power as power_topic
from casewright.planning.service import fuse_rows
from casewright.planning.wire_buying import wire_purchases
from casewright.planning.work.wiring import wiring_steps

LEAST_COPPER = ((3.0, 0.5), (6.0, 0.75), (10.0, 1.0), (16.0, 1.5), (25.0, 2.5))
OHMS_PER_KM = {0.25: 88.0, 0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95}


def supply(label: str, volts: float, amps: float) -> dict[str, Any]:
    return merged(SUPPLY, {"label": label, "measured": {"volts": volts, "output_amps": amps}})


def socket(key: str, u: float, fed_by: str, role: str = "socket") -> dict[str, Any]:
    place = [{"key": key, "on": "back", "u": u, "v": 60}]
    own = {"label": key, "fed_by": fed_by, "measured": {"role": role}, "placed": place}
    return merged(PLUG, own)


def brick() -> dict[str, Any]:
    """12 V for amplifier and fan; a desktop computer of 19 V 60 W beside it on its own brick."""
    return electric(
        brick=supply("brick", 19, 4),
        computer=device("computer", 380, 200, role="computer", volts=19, typical_w=20, peak_w=60),
        blower=device("blower", 480, 120, volts=12, typical_w=2, peak_w=3),
    )


def two_rails() -> dict[str, Any]:
    """24 V for a motor and a pump by a socket of its own; 12 V and 5 V as ever."""
    return electric(
        s24=supply("big", 24, 3),
        in24=socket("in24", 200, "s24"),
        motor=device("motor", 480, 100, volts=24, typical_w=20, peak_w=40),
        pump=device("pump", 480, 240, volts=24, peak_w=10),
    )


def voiced(**parts: Any) -> dict[str, Any]:
    """A computer of 12 V and a loudspeaker, no amplifier; a socket for the supply and a port for the network."""
    return box(
        parts={
            "supply": SUPPLY,
            "dc": merged(PLUG, {"measured": {"role": "socket"}, "placed": [SPOTS[0]]}),
            "net": merged(PLUG, {"measured": {"role": "port"}, "placed": [SPOTS[1]]}),
            "computer": device("computer", 380, 200, role="computer", volts=12, peak_w=20),
            "voice": SMALL,
            **parts,
        }
    )


SPOTS = [
    {"key": key, "on": "back", "u": u, "v": 60}
    for key, u in (("dc", 80), ("net", 200), ("cup", 320))
]


def chain() -> dict[str, Any]:
    """An enclosed 24 V unit inside, a converter to 12 V, and one from there to 5 V."""
    data = electric(
        supply=device(
            "supply", 60, 250, role="supply", volts=24, output_amps=4, mains=True, efficiency=0.9
        ),
        middle=device(
            "middle",
            160,
            80,
            role="converter",
            volts=24,
            output_volts=12,
            output_amps=6,
            efficiency=0.93,
        ),
    )
    data["parts"]["converter"]["measured"]["output_volts"] = 5
    del data["parts"]["plug"]
    return data


def battery() -> dict[str, Any]:
    """A battery of 5 V and 37 Wh inside, for a controller and four lit buttons."""
    lit = merged(button((100, 200), (160, 200), (220, 200)), {})
    lit["measured"] |= {"lamp_volts": 5, "lamp_amps": 0.02}
    data = electric(
        supply=device("cell", 60, 250, role="battery", volts=5, output_amps=3, watt_hours=37),
        button=lit,
    )
    for key in ("amp", "converter", "computer", "plug"):
        del data["parts"][key]
    return data


def twins() -> dict[str, Any]:
    """Two supplies of 12 V 60 W and two amplifiers of 45 W: one for each."""
    data = electric(
        amp=device("amp", 100, 200, role="amplifier", volts=12, peak_w=45),
        other=device("other", 480, 220, role="amplifier", volts=12, peak_w=45),
        second=supply("second", 12, 5),
        in2=socket("in2", 200, "second"),
    )
    for key in ("converter", "computer"):
        del data["parts"][key]
    data["parts"]["controller"]["measured"]["volts"] = 12
    return data


def television() -> dict[str, Any]:
    """A display with its mains supply inside, beside 12 V for the rest."""
    return electric(tv=device("tv", 480, 120, mains=True, typical_w=40, peak_w=90))


PROJECTS = (brick, two_rails, chain, battery, twins, television)


def behavior(data: dict[str, Any]) -> Behavior:
    made = subject_of(data).behavior
    assert made is not None
    return made


def into(runs: tuple[Run, ...], key: str) -> list[Run]:
    """Runs that bring power to a part."""
    return [run for run in runs if run.end == key and run.volts]


@pytest.mark.parametrize("project", PROJECTS, ids=lambda p: p.__name__)
def test_every_load_is_wired_from_its_own_supply_and_from_no_other(project):
    """Followed backward from each load, wires of one voltage lead to where that very supply comes in."""
    data = project()
    made = behavior(data)
    loads, wiring = made.power.loads, made.wiring
    placed = {p.key: p.part.key for p in subject_of(data).cabinet.placed}
    asks = {row.key: row for row in loads.rows if row.feeder}
    hooks = {source.name: source for source in loads.sources}
    assert loads.unfed == () and loads.astray == ()
    for key, part in placed.items():
        row = asks.get(part)
        if row is None:
            continue
        if key.startswith("b"):  # lit buttons: one chain
            assert len(into(wiring.runs, key)) == 1
        here, source = key, hooks[row.feeder]
        assert source.volts == row.volts
        for _ in range(len(wiring.runs)):
            before = into(wiring.runs, here)
            if here in wiring.feeds.hubs and here == wiring.feeds.hub(source.name):
                break
            (run,) = before
            assert run.volts == row.volts
            here = run.start
        assert here == wiring.feeds.hub(source.name)


@pytest.mark.parametrize("project", PROJECTS, ids=lambda p: p.__name__)
def test_copper_fuse_and_drop_of_every_rail_by_the_standards_tables(project):
    """IEC 60335-1 table 11 for the current, IEC 60228 class 5 for the drop, 3 % of the rail there and back."""
    made = behavior(project()).wiring
    assert made.too_thin == ()
    for run in (run for run in made.runs if run.kind == "power" and run.wire):
        area = float(run.wire.name.split()[0])
        least = next(copper for amps, copper in LEAST_COPPER if max(run.amps, run.fuse) <= amps)
        assert area >= least - 1e-9
        drop = 2 * run.length / 1e6 * run.amps * OHMS_PER_KM[area]
        assert drop == pytest.approx(run.drop, rel=0.01)
        assert drop <= 0.03 * run.volts
        assert not run.fuse or run.fuse >= 1.25 * run.amps - 1e-9
        assert math.isfinite(run.way) and run.length > run.way


@pytest.mark.parametrize("project", PROJECTS, ids=lambda p: p.__name__)
def test_book_steps_shopping_and_drawing_name_every_supply(project):
    data = project()
    subject = subject_of(data)
    made, cabinet = behavior(data), subject.cabinet
    sheet = power_topic.sheet(cabinet, made)
    assert sheet is not None
    told = [cell for rows in sheet.tables for row in rows.rows for cell in row]
    words = " ".join(
        mark.text for p in sheet.pictures for mark in p.drawing.marks if hasattr(mark, "text")
    )
    steps = " ".join(order for s in wiring_steps(cabinet, made.wiring, ()) for order in s.orders)
    for source in made.power.loads.sources:
        assert source.label in told
        if source in made.power.loads.supplies:
            assert f"the {source.label} by itself" in steps
    for run in made.wiring.runs:
        if run.kind == "power" and run.what != "lamps":
            assert run.label in words and run.label in told
    fuses = [row for row in wire_purchases(made.wiring) if "fuse" in row.label]
    assert sum(row.quantity for row in fuses) == len(fuse_rows(made.wiring))
    assert {run.label for run in made.wiring.fused} <= set(words.split())


def test_a_supply_of_its_own_plugs_straight_in():
    """60 W of the computer and 0.5 W of its controller by USB at 19 V: 3.18 A; the one socket is the 12 V supply's."""
    made = behavior(brick())
    by_volts = {rail.volts: rail for rail in made.power.rails}
    assert set(by_volts) == {19, 12}
    assert by_volts[19].amps == pytest.approx(60.5 / 19)
    assert by_volts[12].amps == pytest.approx((24 + 3) / 12)
    (lead,) = into(made.wiring.runs, "computer1") or into(made.wiring.runs, "computer")
    assert lead.own and lead.kind == "cable" and lead.volts == 19
    assert not [row for row in wire_purchases(made.wiring) if "own lead" in row.label]
    (note,) = found(power_entry, brick())
    assert note.severity is Severity.NOTE and "fed_by: brick" in note.remedies[0].text
    cured = brick()
    cured["parts"]["gland"] = socket("gland", 200, "brick", role="other")
    assert found(power_entry, cured) == []
    (lead,) = [run for run in behavior(cured).wiring.runs if run.own]
    assert (lead.start, lead.volts) == ("gland", 19)


def test_wires_behind_a_lead_that_is_not_cut():
    """Two loads at 24 V and no socket: the supply's lead meets the wires in a line socket, bought once."""
    data = two_rails()
    del data["parts"]["in24"]
    data["parts"]["plug"]["fed_by"] = "supply"
    (caution,) = found(power_entry, data)
    assert caution.severity is Severity.CAUTION
    assert "2.1 A" in caution.remedies[0].text  # 50 W ÷ 24 V = 2.08 A
    made = behavior(data).wiring
    runs = [run for run in made.runs if run.volts == 24]
    assert {run.end for run in runs} == {"motor", "pump"}
    assert all(run.ends[0] == LEAD_SOCKET for run in runs)
    (row,) = [row for row in wire_purchases(made) if row.label == LEAD_SOCKET]
    assert row.quantity == 1
    assert found(power_entry, two_rails()) == []


def test_losses_add_up_along_a_chain_of_converters():
    """15.5 W ÷ 0.9 + 24 W = 41.22 W at 12 V; ÷ 0.93 = 44.33 W at 24 V: 1.85 A."""
    made = behavior(chain())
    assert made.power.loads.hung("converter") == pytest.approx(15.5)
    assert made.power.loads.hung("middle") == pytest.approx(15.5 / 0.9 + 24)
    assert made.power.loads.peak_w == pytest.approx((15.5 / 0.9 + 24) / 0.93)
    amps = {rail.volts: rail.amps for rail in made.power.rails}
    assert amps[24] == pytest.approx(44.325 / 24, abs=1e-3)
    # 12.22 W usually at 12 V are 13.14 W at 24 V; the unit inside loses 13.14 × (1 ÷ 0.9 − 1) = 1.46 W as heat.
    lost = {source.key: source.watts for source in made.heat.sources}
    assert lost["supply"] == pytest.approx(13.142 * (1 / 0.9 - 1), abs=2e-3)


def test_hours_of_a_battery():
    """Three lamps of 5 V × 20 mA and 0.5 W: 0.8 W; four fifths of 37 Wh are 29.6 Wh: 37 h."""
    made = behavior(battery())
    (rail,) = made.power.rails
    assert rail.typical_w == pytest.approx(0.8)
    assert rail.runs_h == pytest.approx(37.0)
    assert any(n.key == "power.hours-supply" and n.unit == "h" for n in made.power.numbers)
    cabinet = subject_of(battery()).cabinet
    steps = wiring_steps(cabinet, made.wiring, ())
    assert all("Battery taken off" in s.orders[0] for s in steps if s.key.startswith("wire.power"))
    sheet = power_topic.sheet(cabinet, made)
    assert sheet is not None and any("37.0 hours" in note for note in sheet.notes)


def test_supplies_of_one_voltage_are_never_joined():
    """45 W on each of two supplies of 60 W; both on one are 90 W, and the cure puts one back."""
    made = behavior(twins())
    assert {
        row.feeder for row in made.power.loads.rows if "amp" in row.label or row.key == "other"
    } == {
        "supply",
        "second",
    }
    assert found(power_rail, twins()) == []
    worse = twins()
    worse["parts"]["amp"]["fed_by"] = worse["parts"]["other"]["fed_by"] = "second"
    (finding,) = found(power_rail, worse)
    assert "90.0 W" in finding.message
    cure = next(remedy for remedy in finding.remedies if remedy.field)
    assert cure.field.endswith(".fed_by") and cure.value == "supply"
    worse["parts"][cure.field.split(".")[1]]["fed_by"] = cure.value
    assert found(power_rail, worse) == []


def test_a_larger_supply_of_the_catalog_cures():
    """72 W at 12 V on a supply of 5 A: with a quarter more 90 W, the next of the catalog is 10 A."""
    data = electric(
        supply={"type": "supply-12-5", "quantity": 1},
        lamp=device("lamp", 480, 220, volts=12, peak_w=72 - 41.2),
    )
    (finding,) = found(power_rail, data)
    cure = next(remedy for remedy in finding.remedies if remedy.field)
    assert (cure.field, cure.value) == ("parts.supply.type", "supply-12-10")
    data["parts"]["supply"]["type"] = cure.value
    assert found(power_rail, data) == []


def test_fed_by_what_makes_no_such_voltage():
    data = two_rails()
    data["parts"]["motor"]["fed_by"] = "supply"
    (finding,) = found(power_unfed, data)
    cure = finding.remedies[0]
    assert (cure.field, cure.value) == ("parts.motor.fed_by", "s24")
    data["parts"]["motor"]["fed_by"] = cure.value
    assert found(power_unfed, data) == []


def test_plugs_that_could_be_swapped():
    data = two_rails()
    data["parts"]["plug"] = {
        "type": "socket-dc-8",
        "placed": [{"key": "plug", "on": "back", "u": 80, "v": 60}],
    }
    data["parts"]["in24"] = {
        "type": "socket-dc-11",
        "fed_by": "s24",
        "placed": [{"key": "in24", "on": "back", "u": 200, "v": 60}],
    }
    (finding,) = found(power_plugs, data)
    assert "24 V" in finding.message and "12 V" in finding.message
    cure = finding.remedies[0]
    part = cure.field.split(".")[1]
    data["parts"][part]["type"] = cure.value
    assert found(power_plugs, data) == []


def test_no_two_rails_share_a_color():
    colors = rail_colors([3.3, 5, 9, 12, 15, 19, 24])
    assert len(set(colors.values())) == 7
    assert colors[12] == "YE" and colors[5] == "RD"


def test_mains_leads_come_with_their_part():
    made = behavior(television()).wiring
    (lead,) = [run for run in made.runs if run.own]
    assert lead.what == "its own mains lead" and lead.end == "tv" and not lead.cores
    assert lead.start_label.startswith("outside, beside")  # never through the low-voltage socket
    assert not [row for row in wire_purchases(made) if "mains" in row.label]


def test_wishes_are_hung_first():
    """50 W ask for the first of two supplies of 60 W; the other 55 W, though more, find the second."""
    data = twins()
    data["parts"]["amp"]["measured"]["peak_w"] = 55
    data["parts"]["other"]["measured"]["peak_w"] = 50
    data["parts"]["other"]["fed_by"] = "supply"
    hung = {row.key: row.feeder for row in behavior(data).power.loads.rows if row.feeder}
    assert (hung["other"], hung["amp"]) == ("supply", "second")
    assert found(power_rail, data) == []


def test_mains_by_an_inlet_is_an_electricians():
    """From the inlet to the enclosed unit inside: listed with its way, but no step and no purchase of the maker's."""
    data = chain()
    inlet = socket("inlet", 300, "", role="inlet")
    inlet["measured"]["mains"] = True
    del inlet["fed_by"]
    data["parts"]["inlet"] = inlet
    made = behavior(data)
    (run,) = [run for run in made.wiring.runs if run.start == "inlet"]
    assert run.end == "supply" and "electrician" in run.what and run.way > 0 and not run.cores
    assert not [row for row in wire_purchases(made.wiring) if "electrician" in row.label]
    steps = wiring_steps(subject_of(data).cabinet, made.wiring, ())
    assert not [s for s in steps if run.label in s.wires]
    assert any(s.key == "wire.earth" for s in steps)


VOLTS = st.sampled_from([5.0, 12.0, 19.0, 24.0])


@settings(max_examples=60, deadline=None)
@given(
    loads=st.lists(st.tuples(VOLTS, st.floats(0.1, 90)), min_size=1, max_size=7),
    supplies=st.lists(st.tuples(VOLTS, st.floats(0, 200)), min_size=1, max_size=3),
    converters=st.lists(st.tuples(VOLTS, VOLTS, st.floats(0.5, 1)), max_size=4),
)
def test_power_in_is_power_out_and_losses(loads, supplies, converters):
    """Conservation: what the supplies give is every load over the efficiencies on its way; nothing feeds itself."""
    rows = [Load(f"l{n}", f"l{n}", v, 1, w, w) for n, (v, w) in enumerate(loads)]
    given_ = [Source(f"s{n}", f"s{n}", v, w, name=f"s{n}") for n, (v, w) in enumerate(supplies)]
    made = [
        Source(f"c{n}", f"c{n}", out, 100.0, came, share, f"c{n}")
        for n, (came, out, share) in enumerate(converters)
    ]
    hung = hang(rows, given_, made, {})
    found = Loads(hung.rows, tuple(given_), hung.converters, 0.0, 0.0, ())
    by_name = {source.name: source for source in found.sources}
    whole = 0.0
    for row in hung.rows:
        watts, name, seen = row.peak_w, row.feeder, set()
        while name in by_name and name not in seen:
            seen.add(name)
            source = by_name[name]
            if source in given_:
                assert name[0] == "s"
                whole += watts
                break
            watts, name = watts / source.efficiency, source.feeder
        assert not row.feeder or by_name[row.feeder].volts == row.volts
        assert row.feeder or row.volts not in {source.volts for source in given_}
    assert math.fsum(found.hung(supply.name) for supply in given_) == pytest.approx(whole)


def test_a_supply_that_does_not_tell_its_voltage():
    data = electric()
    del data["parts"]["supply"]["measured"]["volts"]
    (finding,) = found(power_unfed, data)
    assert "not known" in finding.message and " 0 V" not in finding.message


def test_a_converter_does_not_feed_itself():
    data = electric()
    data["parts"]["converter"]["fed_by"] = "converter"
    (finding,) = found(power_unfed, data)
    cure = finding.remedies[0]
    assert (cure.field, cure.value) == ("parts.converter.fed_by", "supply")
    assert behavior(data).power.loads.unfed == ()


def test_a_converter_that_feeds_nothing_is_told():
    """The computer has gone to 19 V and feeds its controller by USB: nothing is left behind the converter to 5 V."""
    (note,) = found(power_idle, brick())
    assert note.severity is Severity.NOTE and note.place.names == ("converter",)
    data = brick()
    data["parts"]["controller"]["fed_by"] = "converter"  # as the remedy says
    assert found(power_idle, data) == []
    assert found(power_idle, two_rails()) == found(power_idle, chain()) == []


def test_power_comes_in_by_the_supply_s_socket_beside_a_loudspeaker_without_an_amplifier():
    """A socket takes the supply's plug; it drives no loudspeaker, and a network port carries no supply."""
    behavior = subject_of(voiced()).behavior
    assert behavior is not None
    ends = {(run.kind, run.start, run.end) for run in behavior.wiring.runs}
    assert ("power", "dc", "computer") in ends
    assert not any("voice" in run for run in ends)
    (finding,) = found(sound_driven, voiced())
    assert finding.place.names == ("voice",)


def test_terminals_drive_a_loudspeaker_and_take_no_supply():
    cup = merged(PLUG, {"measured": {"role": "terminals"}, "placed": [SPOTS[2]]})
    behavior = subject_of(voiced(cup=cup)).behavior
    assert behavior is not None
    ends = {(run.kind, run.start, run.end) for run in behavior.wiring.runs}
    assert {("power", "dc", "computer"), ("speaker", "cup", "voice")} <= ends
    assert found(sound_driven, voiced(cup=cup)) == []


def test_an_amplifier_or_a_wire_of_one_s_own_drives_a_loudspeaker():
    amp = device("amp", 100, 200, role="amplifier", volts=12, peak_w=10)
    assert found(sound_driven, voiced(amp=amp)) == []
    wired = {**voiced(), "wiring": {"wires": [{"start": "computer", "end": "voice"}]}}
    assert found(sound_driven, wired) == []
