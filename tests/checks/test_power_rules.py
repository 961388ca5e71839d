"""Rails against what feeds them, and wires. The figures are worked by hand: watts over volts are amperes."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.behavior.test_wiring import SUPPLY, electric
from tests.checks.bench import device, merged, subject_of
from tests.checks.bench import found as bench_found

from casewright.basics.findings import Severity
from casewright.checks.rules import power_rail, power_unfed, power_wire
from casewright.projectfile.editing import changed_text
from casewright.workflow import open_project, open_text, work_out

DEMO = Path(__file__).resolve().parents[2] / "examples" / "library-duel.cabinet.yaml"


def found(**measured):
    """Findings about power with some of the demo's own data written anew: part__field=value."""
    opened = open_project(DEMO)
    changes = {}
    for name, value in measured.items():
        part, field = name.split("__")
        changes["parts", part, "measured", field] = value
    text = changed_text(opened.document, changes) if changes else None
    worked = work_out(open_text(text) if text else opened)
    return tuple(f for f in worked.findings if f.rule == "power.rail")


def test_the_demos_converter_is_short_of_a_tenth_of_an_ampere():
    """25 W of the computer and 0.5 W of the controller at 5 V: 25.5 / 5 = 5.1 A; it gives 5 A, 25 W."""
    (finding,) = found()
    assert finding.severity is Severity.CAUTION
    assert finding.place.names == ("converter-board",)
    assert "25.0 W (5.00 A at 5 V)" in finding.message
    assert "25.5 W (5.10 A at 5 V)" in finding.message
    # 5.1 × 1.25 = 6.375 A, the next tenth is 6.4 A
    assert "at least 25.5 W (5.10 A at 5 V)" in finding.remedies[0].text
    assert "32.0 W (6.40 A at 5 V)" in finding.remedies[0].text


@pytest.mark.parametrize(("amps", "count"), [(5.09, 1), (5.1, 0), (6.4, 0), (0, 0)])
def test_a_converter_on_the_limit_carries_its_rail(amps, count):
    """Exactly the sum of the peaks is enough; nothing is said of an output that is not known."""
    assert len(found(converter__output_amps=amps)) == count


def test_a_supply_that_is_too_small_is_found_too():
    short = found(converter__output_amps=6, supply__output_amps=1)
    (finding,) = short
    assert "desktop supply" in finding.message
    assert "gives 12.0 W (1.00 A at 12 V)" in finding.message
    least = float(finding.remedies[0].text.split("at least ")[1].split("(")[1].split(" A")[0])
    assert found(converter__output_amps=6, supply__output_amps=least) == ()
    assert len(found(converter__output_amps=6, supply__output_amps=least - 0.11)) == 1


def test_a_voltage_that_nothing_makes():
    """A 19 V computer on a 12 V supply; a converter to 5 V does not help it."""
    data = electric(mini=device("mini", 480, 220, volts=19, typical_w=20, peak_w=60))
    data["parts"]["converter"]["measured"]["output_volts"] = 5
    (finding,) = bench_found(power_unfed, data)
    assert "19 V" in finding.message
    # 60 W × 1.25 ÷ 19 V = 3.95 A
    assert "4.0 A" in finding.remedies[0].text
    assert "supply-19-120w" in finding.remedies[0].text  # 6.3 A; the next smaller gives 3.4 A
    assert bench_found(power_unfed, electric()) == []


def test_a_current_that_no_wire_carries():
    data = electric(lamp=device("lamp", 480, 220, volts=12, typical_w=600, peak_w=600))
    (finding,) = bench_found(power_wire, data)
    assert "50.0 A" in finding.message
    assert "Split" in finding.remedies[0].text
    assert bench_found(power_wire, electric()) == []


def test_a_wire_of_ones_own_that_leads_nowhere():
    data = electric()
    data["wiring"] = {"wires": [{"start": "plug", "end": "nobody"}]}
    (finding,) = bench_found(power_wire, data)
    assert "nobody" in finding.message


def test_a_converter_makes_one_rail_only():
    """Two rails lack a source, 19 V and 5 V; the converter from 12 V that does not say its output steps down to 5."""
    data = electric(mini=device("mini", 480, 220, volts=19, typical_w=20, peak_w=60))
    (finding,) = bench_found(power_unfed, data)
    assert "19 V" in finding.message
    loads = subject_of(data).behavior.power.loads
    assert {row.label: row.through for row in loads.rows if row.volts == 5} == {
        "computer": "converter",
        "controller": "converter",
    }
    # 24 W on the supply's own rail, 15.5 W behind an efficiency of 0.9
    assert loads.drawn(12) == pytest.approx(24 + 15.5 / 0.9)


@pytest.mark.parametrize(("amps", "count"), [(3.1, 1), (3.2, 0)])
def test_each_supply_carries_its_own_voltage(amps, count):
    """60 W at 19 V are 3.16 A: what the 12 V supply has to spare does not help."""
    data = electric(
        mini=device("mini", 480, 220, volts=19, typical_w=20, peak_w=60),
        second=merged(SUPPLY, {"label": "second", "measured": {"volts": 19, "output_amps": amps}}),
    )
    assert bench_found(power_unfed, data) == []
    assert subject_of(data).behavior.power.loads.main_volts == 19  # 60 W against 41.2 W at 12 V
    findings = bench_found(power_rail, data)
    assert len(findings) == count
    if count:
        assert "3.16 A at 19 V" in findings[0].message
        assert "at least 60.8 W (3.20 A at 19 V)" in findings[0].remedies[0].text


def test_what_runs_from_mains_asks_nothing_of_the_supply():
    """A display with its own mains supply inside, 90 W: the 12 V supply still carries 41.2 W."""
    data = electric(
        tv=device("tv", 480, 220, role="other", mains=True, typical_w=40, peak_w=90),
    )
    loads = subject_of(data).behavior.power.loads
    assert loads.peak_w == pytest.approx(24 + 15.5 / 0.9)
    assert [row.label for row in loads.mains] == ["tv"]
    assert bench_found(power_rail, data) == []


def test_spares_draw_nothing_and_what_is_placed_draws_though_none_is_bought():
    """One amplifier of 24 W is placed: with two spare ones, or with none to buy, it stays 24 W."""
    for quantity in (0, 3):
        amp = device("amp", 100, 200, role="amplifier", volts=12, typical_w=5, peak_w=24)
        loads = subject_of(electric(amp={**amp, "quantity": quantity})).behavior.power.loads
        assert loads.peak_of(12) == pytest.approx(24)
