"""Steps of the wiring, held against the harness itself."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from tests.outputs.drawings.sheets_bench import EXAMPLES, example

from casewright.planning.work import plan_work
from casewright.workflow import open_text, work_out

NAMES = tuple(sorted(path.name.split(".")[0] for path in EXAMPLES.glob("*.cabinet.yaml")))


@pytest.fixture(scope="module", params=NAMES)
def worked(request):
    return example(request.param)


def test_every_wire_is_laid_and_checked_once_before_power(worked):
    """Each run of the harness in one step, whose orders name it once as laid, and in a check. No step after it."""
    runs = {run.label: run for run in worked.behavior.wiring.runs}
    steps = worked.work.steps
    laid = Counter(label for step in steps for label in step.wires)
    assert laid == dict.fromkeys(runs, 1)
    cold = next(step.number for step in steps if step.key == "test.cold")
    for step in steps:
        if not step.wires:
            continue
        assert step.stage == "wire" and step.number < cold
        checks = " ".join(order for order in step.orders if order.startswith("Check: "))
        for label in step.wires:
            laid_by = [
                order
                for order in step.orders
                if order[0] == "W" and label in spelled(order.split(":")[0])
            ]
            assert len(laid_by) == 1
            assert label in spelled(checks)


def spelled(text: str) -> set[str]:
    """Labels that a text names, spans spelled out: "W2 to W4" is W2, W3 and W4."""
    words = text.replace(",", " ").replace(":", " ").split()
    found: set[str] = set()
    for index, word in enumerate(words):
        if word[0] == "W" and word[1:].isdigit():
            found.add(word)
            if words[index + 1 : index + 2] == ["to"] and words[index + 2][1:].isdigit():
                span = range(int(word[1:]), int(words[index + 2][1:]) + 1)
                found |= {f"W{number}" for number in span}
    return found


def test_power_comes_after_all_that_is_cold_and_loads_after_no_load(worked):
    number = {step.key: step.number for step in worked.work.steps}
    last = max(step.number for step in worked.work.steps if step.stage == "wire")
    order = [key for key in ("test.cold", "test.no-load", "test.loads", "test") if key in number]
    numbers = [number[key] for key in order]
    assert numbers == sorted(numbers) and last < numbers[0]
    powered = bool(worked.behavior.power.loads.supplies)
    assert ("test.no-load" in number) == powered
    if "close" in number:
        assert number["close"] > number["test"]


def test_fuses_go_in_one_by_one_with_no_load(worked):
    """As many as are bought, each by its own size."""
    steps = {step.key: step for step in worked.work.steps}
    if "test.no-load" not in steps:
        return
    put = Counter(
        float(order.split(" A")[0].split()[-1])
        for order in steps["test.no-load"].orders
        if order.startswith("Put in the ")
    )
    assert put == Counter(worked.behavior.wiring.fuses)


def test_rails_are_asked_within_five_percent():
    """By hand: 12 V is 11.4 to 12.6, 5 V is 4.75 to 5.25. Common practice for small electronics."""
    steps = {step.key: step for step in example("library-duel").work.steps}
    said = " ".join(steps["test.no-load"].orders)
    assert "11.4 to 12.6 V" in said and "4.75 to 5.25 V" in said


def test_the_ground_chain_lies_before_the_signals_that_are_checked_against_it(worked):
    number = {step.key: step.number for step in worked.work.steps}
    for key in number:
        if key.startswith("wire.signal."):
            assert number[f"wire.ground.{key.removeprefix('wire.signal.')}"] < number[key]


def test_mains_inside_is_a_licensed_electricians_and_earth_is_measured():
    text = (EXAMPLES / "kiosk.cabinet.yaml").read_text(encoding="utf-8")
    plain = work_out(open_text(text))
    assert not any(step.key == "wire.earth" for step in plain.work.steps)
    parts = dict(plain.cabinet.parts)
    key = next(placed.part.key for placed in plain.cabinet.placed if placed.key == "display")
    data = parts[key].data.model_copy(update={"mains": True})
    live = parts[key].model_copy(update={"data": data})
    placed = tuple(replace(p, part=live) if p.part.key == key else p for p in plain.cabinet.placed)
    cabinet = replace(plain.cabinet, placed=placed, parts={**parts, key: live})
    steps = {step.key: step for step in plan_work(cabinet, plain.cutting).steps}
    earth = steps["wire.earth"]
    assert "licensed electrician" in earth.title
    assert any(o.startswith("Check: ") and "Ω" in o for o in earth.orders)
    assert any("earth once more" in order for order in steps["test.cold"].orders)
