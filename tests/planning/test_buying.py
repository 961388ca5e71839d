"""What it costs: a bill added by hand, decimal arithmetic beside it, and savings that bring the sum back."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from pathlib import Path

import pytest

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Remedy
from casewright.design.wiring import WiringWishes
from casewright.outputs.topics.cost import sheet as cost_sheet
from casewright.planning.savings import OVER_BUDGET
from casewright.planning.wire_buying import wire_price
from casewright.workflow import Worked, open_text, work_out

DUEL = Path(__file__).parents[2] / "examples" / "library-duel.cabinet.yaml"
MILL = Path(__file__).parents[2] / "examples" / "mill-console.cabinet.yaml"

BOX = """
casewright: 1
name: Bill
materials:
  ply: {{kind: plywood, nominal: 12, sheets: [{{length: 1220, width: 610, price: 20{stock}}}]}}
shape:
  recipe: outline
  width: 300
  side: {{material: ply}}
  board: ply
  corners: {{A: [0, 0], B: [200, 0], C: [200, 100], D: [0, 100]}}
panels:
  base: {{run: A-B, role: floor}}
  top: {{run: C-D, role: top}}
parts:
  supply:
    kind: device
    label: supply
    measured: {{role: supply, width: 40, height: 30, depth: 20, outside: true}}
    quantity: 3
    have: 1
    price: 8
finish:
  sealer: {{price: 5, have: {cans}}}
  primer: {{coats: 0}}
  color: {{price: 7.5}}
extras: {{wire: 4.25}}
"""


def bill(stock: str = "", cans: int = 0) -> Worked:
    return work_out(open_text(BOX.format(stock=stock, cans=cans)))


def test_a_bill_added_by_hand():
    """One sheet 20, two of three supplies at 8, a can of sealer 5, a can of color 7.50, wire 4.25: 52.75 in all."""
    worked = bill()
    assert worked.shopping.cost.value == pytest.approx(52.75)
    sums = {group: number.value for group, number in worked.shopping.groups.items() if number.value}
    assert sums == {"boards and sheets": 20, "bought parts": 16, "paint": 12.5, "other": 4.25}
    assert worked.shopping.worth.value == pytest.approx(60.75)
    assert worked.shopping.had.value == pytest.approx(8)


def test_offcuts_and_cans_of_the_shop_are_taken_off():
    worked = bill(stock=", offcut: true, quantity: 2", cans=1)
    assert worked.shopping.cost.value == pytest.approx(52.75 - 20 - 5)
    assert worked.shopping.worth.value == pytest.approx(60.75)


def test_wire_at_its_price_is_in_the_sum():
    """Metres, ends, fuses and cables of the wire list, a tenth more and to the next whole one, added by hand.

    A metre costs more with more copper: 0.4 + 0.8 for each mm², beside 1 for 0.75 mm².
    """
    text = DUEL.read_text(encoding="utf-8")
    plain = work_out(open_text(text))
    prices = "wiring: {price_per_m: 0.5, end_price: 0.08, fuse_price: 1.5, cable_price: 4}\n"
    assert "\nwiring:" not in text
    priced = work_out(open_text(text + prices))
    wiring = priced.behavior.wiring
    ends = [n for end, n in wiring.ends.items() if end.startswith(("receptacle", "ferrule"))]
    by_hand = (
        sum(
            math.ceil(1.1 * m) * 0.5 * (0.4 + 0.8 * float(size.split()[0]))
            for (size, _), m in wiring.metres.items()
        )
        + 0.08 * sum(math.ceil(1.1 * n) for n in ends)
        + 1.5 * sum(wiring.fuses.values())
        + 4 * sum(wiring.cables.values())
    )
    assert by_hand > 0
    more = priced.shopping.cost.value - plain.shopping.cost.value
    assert more == pytest.approx(by_hand)
    assert priced.shopping.groups["wiring"].value == pytest.approx(by_hand)
    # The duel has a sum for wire under "extras": counted twice, and told.
    told = cost_sheet(priced.cabinet, priced.shopping)
    assert told is not None and any("keep one of the two" in note for note in told.notes)


@pytest.mark.parametrize(
    ("size", "listed"),
    [
        ("0.5 mm²", 0.25),
        ("1 mm²", 0.36),
        ("1.5 mm²", 0.47),
        ("2.5 mm²", 0.72),
        ("4 mm²", 1.08),
        ("6 mm²", 1.6),
    ],
)
def test_wire_by_size_costs_as_in_the_shops(size, listed):
    """Metres of single flexible wire beside 0.30 for 0.75 mm², retail lists, from memory: within an eighth."""
    wishes = WiringWishes(price_per_m=0.3)
    assert wire_price("0.75 mm²", wishes) == pytest.approx(0.3)
    assert wire_price(size, wishes) == pytest.approx(listed, rel=0.125)
    # AWG 18 is 0.823 mm² (ASTM B258), so a little more than 0.75 mm².
    assert 0.3 < wire_price("18 AWG", wishes) < 0.33


def test_the_makers_own_price_of_a_size_wins():
    text = DUEL.read_text(encoding="utf-8")
    priced = work_out(
        open_text(text + 'wiring: {price_per_m: 0.5, prices: {"0.5": 0.11, "1.5mm2": 9}}\n')
    )
    rows = [row for row in priced.shopping.rows if row.label.startswith("wire ")]
    by_size = {row.label.split(",")[0].removeprefix("wire "): row.price for row in rows}
    assert by_size["0.5 mm²"] == 0.11
    assert all(by_size[size] == 9 for size in by_size if size == "1.5 mm²")
    with pytest.raises(InputErrors) as told:
        open_text(text + "wiring: {prices: {thick: 1}}\n")
    assert "size of wire" in str(told.value)


def test_screws_cost_each_their_own_or_all_together():
    """Counted by hand from the list: own price of one size, one price for the rest; a sum takes the place of both."""
    text = DUEL.read_text(encoding="utf-8")
    together = "fixings: {together: 15}"
    plain = work_out(open_text(text))
    assert plain.shopping.groups["screws and hardware"].value == pytest.approx(15)
    counts = {
        row.key: row.quantity
        for row in plain.shopping.rows
        if row.group == "screws and hardware" and "spare" in row.note
    }
    name = next(iter(counts))
    mine = f'fixings: {{price_each: 0.04, prices: {{"{name}": 0.1}}}}'
    priced = work_out(open_text(text.replace(together, mine)))
    by_hand = 0.04 * sum(n for key, n in counts.items() if key != name) + 0.1 * counts[name]
    hardware = [
        row.cost
        for row in priced.shopping.rows
        if row.group == "screws and hardware" and row.key in counts
    ]
    assert sum(hardware) == pytest.approx(by_hand)
    told = cost_sheet(plain.cabinet, plain.shopping)
    assert told is not None and not any("Screws without" in note for note in told.notes)
    bare = work_out(open_text(text.replace(together + "\n", "")))
    told = cost_sheet(bare.cabinet, bare.shopping)
    assert told is not None and any("Screws without" in note for note in told.notes)


@pytest.mark.parametrize("path", [DUEL, MILL], ids=["duel", "mill"])
def test_sums_agree_with_decimal_arithmetic(path):
    """Python's decimal numbers, exact in base ten, add the rows up apart from ours."""
    shopping = work_out(open_text(path.read_text(encoding="utf-8"))).shopping
    rows = [Decimal(repr(row.to_buy)) * Decimal(repr(row.price)) for row in shopping.rows]
    assert float(sum(rows)) == pytest.approx(shopping.cost.value)
    for number in (shopping.cost, shopping.worth, shopping.had, *shopping.groups.values()):
        terms = [Decimal(repr(t.value)) * Decimal(repr(float(t.times))) for t in number.terms]
        assert float(sum(terms)) == pytest.approx(number.value)
    assert sum(n.value for n in shopping.groups.values()) == pytest.approx(shopping.cost.value)


# ---- over the budget ----


def duel(budget: float, *changes: tuple[str, str]) -> Worked:
    text = DUEL.read_text(encoding="utf-8").replace("budget: 560", f"budget: {budget}")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return work_out(open_text(text))


def over(worked: Worked) -> tuple[Remedy, ...]:
    return next((f.remedies for f in worked.findings if f.rule == OVER_BUDGET.id), ())


def test_exactly_the_budget_is_inside_it():
    cost = duel(560).shopping.cost.value
    assert over(duel(round(cost, 6))) == ()
    assert over(duel(round(cost - 0.01, 6)))


def test_a_cheaper_part_is_named_with_the_price_that_would_do():
    cheaper = next(r for r in over(duel(540)) if r.field == "parts.screen-display.price")
    assert isinstance(cheaper.value, float)
    assert over(duel(540, ("price: 95", f"price: {cheaper.value}"))) == ()
    assert over(duel(540, ("price: 95", f"price: {cheaper.value + 0.02}")))


def test_a_coat_less_is_offered_where_its_cans_are_enough():
    """Three cans of color at 9 for two coats: one coat takes two, which saves 9."""
    fewer = next(r for r in over(duel(550)) if r.field == "finish.color.coats")
    assert fewer.value == 1
    assert over(duel(550, ("color: {price: 9}", "color: {price: 9, coats: 1}"))) == ()
    assert not any(r.field == "finish.color.coats" for r in over(duel(540)))


def test_the_budget_that_would_do_stands_last():
    *_, last = over(duel(60))
    assert last.field == "limits.budget"
    assert isinstance(last.value, int) and over(duel(last.value)) == ()


def test_nobody_finds_a_part_for_half_its_price():
    """Far over the budget no part is named with a price; where most of the money goes is said instead."""
    remedies = over(duel(60))
    assert not any(re.match(r"parts\.", r.field) for r in remedies)
    assert any("display 23.8 in 95.00" in r.text for r in remedies)


HUNG = """
casewright: 1
name: Hung
materials:
  ply: {{kind: plywood, nominal: 18, measured: 18, sheets: [{{length: 1220, width: 610, price: 20}}]}}
shape: {{recipe: box, width: 500, height: 600, depth: 300, side: {{material: ply}}, board: ply}}
doors:
  hatch: {{on: front, width: 340, height: 440, gap: 2, fixing: hinges, hinged: right}}
parts:
  hinge: {hinge}
"""


@pytest.mark.parametrize(
    ("hinge", "pieces", "unit", "screws", "said"),
    [
        # two hinges with two leaves of three screws each
        ("{type: hinge-butt-50}", 2, "piece", 12, "middles ⟦75.0000⟧ and ⟦365.0000⟧"),
        # 440 long: two screws in each 100 begun, both leaves; 0.44 m and a tenth, to half a metre
        ("{type: hinge-piano}", 0.5, "m", 20, "cut it ⟦440.0000⟧ long"),
    ],
)
def test_hinges_are_bought_screwed_on_and_told(hinge, pieces, unit, screws, said):
    """Counted by hand; a hinge's own length from the door's ends (common practice)."""
    worked = work_out(open_text(HUNG.format(hinge=hinge)))
    rows = {row.key: row for row in worked.shopping.rows}
    assert (rows["hinge"].quantity, rows["hinge"].unit) == (pieces, unit)
    assert rows["3.0 × 20"].quantity == math.ceil(screws * 1.1)
    hang = next(step for step in worked.work.steps if step.key == "hang")
    assert any(said in order for order in hang.orders)
    close = next(step for step in worked.work.steps if step.key == "close")
    assert ("3.0 × 20", screws) in close.screws
    assert not [f for f in worked.findings if f.rule.startswith("door.")]
    knuckles = [b for b in worked.cabinet.bodies if b.owner == "hatch"]
    assert len(knuckles) == (2 if unit == "piece" else 1)
    assert not [c for c in worked.collisions if "hatch" in (c.first, c.second)]
