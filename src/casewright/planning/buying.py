"""What to buy and what it costs, with what the shop already has taken off."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.basics.customary import liquid_words
from casewright.basics.findings import Finding
from casewright.basics.reckoning import Reckoning, Term, total
from casewright.basics.units import Unit
from casewright.behavior.painting import Painting
from casewright.behavior.wiring import Wiring
from casewright.catalog.kinds import Hardware, PartKind
from casewright.design.project import Project
from casewright.geometry.edge_trim import TRIM_LENGTH
from casewright.geometry.hinges import hangings, hinges_asked
from casewright.geometry.model import Cabinet
from casewright.planning.blanks import REST, Cutting, batten_metres
from casewright.planning.cutting import Stock
from casewright.planning.purchase import SLUGS, Group, Purchase
from casewright.planning.savings import over_budget
from casewright.planning.sold_lengths import sold, sticks_for
from casewright.planning.stock_marks import mark_of
from casewright.planning.wire_buying import wire_purchases

SPARE = 1.1
"""A tenth more screws than are driven. Common practice."""


_HARDWARE = ("hinge", "latch", "magnet", "insert", "screw")


@dataclass(frozen=True)
class Shopping:
    """The whole list."""

    rows: tuple[Purchase, ...]
    cost: Reckoning
    groups: Mapping[Group, Reckoning]
    """What each group still costs, in the order of the rows."""
    worth: Reckoning
    """All of it, that which the shop has included."""
    had: Reckoning
    """What the shop has already."""
    findings: tuple[Finding, ...]

    def worth_of(self, group: Group) -> float:
        """What all of a group is worth, that which the shop has included."""
        return math.fsum(row.worth for row in self.rows if row.group == group)

    @property
    def numbers(self) -> tuple[Reckoning, ...]:
        """Every sum with its terms."""
        return (self.cost, *self.groups.values(), self.worth, self.had)


def list_purchases(
    cabinet: Cabinet, cutting: Cutting, painting: Painting, wiring: Wiring
) -> Shopping:
    """Sheets, battens, parts, screws, wire, paint and the other costs of a project."""
    project = cabinet.project
    rows = [
        *_sheets(cabinet, cutting),
        *_battens(cabinet, cutting),
        *_parts(cabinet),
        *_screws(cabinet),
        *wire_purchases(wiring, project.wiring, unit=project.unit),
        *_paint(painting, project.unit),
    ]
    rows += [
        Purchase("other", name, name, 1, "sum", price) for name, price in project.extras.items()
    ]
    groups = _group_numbers(rows, project.currency)
    cost = total(
        "cost",
        "cost of all that is still to be bought",
        [Term(group, number.value, key=number.key) for group, number in groups.items()],
        unit=project.currency,
        source="Project setting",
    )
    worth = total(
        "cost.worth",
        "cost of all of it, if the shop had nothing",
        [Term(row.label, row.price, row.quantity) for row in rows if row.worth],
        unit=project.currency,
        source="Project setting",
    )
    had = total(
        "cost.had",
        "worth of what the shop has already",
        [
            Term(row.label, row.price, row.quantity - row.to_buy)
            for row in rows
            if row.price and row.quantity > row.to_buy
        ],
        unit=project.currency,
        source="Project setting",
    )
    findings = over_budget(cabinet, cutting, rows, cost)
    return Shopping(tuple(rows), cost, groups, worth, had, findings)


def _group_numbers(rows: Sequence[Purchase], currency: str) -> dict[Group, Reckoning]:
    groups: dict[Group, list[Purchase]] = defaultdict(list)
    for row in rows:
        groups[row.group].append(row)
    return {
        group: total(
            f"cost.{SLUGS[group]}",
            f"{group} still to be bought",
            [Term(row.label, row.price, row.to_buy) for row in mine if row.cost],
            unit=currency,
            source="Project setting",
        )
        for group, mine in groups.items()
    }


def _sheets(cabinet: Cabinet, cutting: Cutting) -> list[Purchase]:
    rows = []
    for plan in cutting.plans:
        material = cabinet.project.materials[plan.material]
        used: dict[str, int] = defaultdict(int)
        for sheet in plan.plan.sheets:
            used[sheet.stock] += 1
        for stock in plan.stock:
            if not used[stock.key]:
                continue
            rows.append(
                Purchase(
                    "boards and sheets",
                    plan.material,
                    plan.label,
                    used[stock.key],
                    "sheet",
                    stock.price,
                    have=used[stock.key] if stock.offcut else 0,
                    size=(stock.length, stock.width, material.nominal),
                    note=_whose(cabinet.project, plan.material, stock),
                )
            )
    return rows


def _whose(project: Project, material: str, stock: Stock) -> str:
    """Where a sheet that is not bought comes from."""
    if stock.key.startswith(REST):
        return "left of a sheet"
    mark = mark_of(project, material, stock.key)
    if mark:
        return f"{mark} of the shop's stock"
    return "from the shop's offcuts" if stock.offcut else ""


def _battens(cabinet: Cabinet, cutting: Cutting) -> list[Purchase]:
    if not cutting.battens:
        return []
    batten = cabinet.project.batten
    unit, kerf = cabinet.project.unit, cabinet.project.shop.kerf
    lengths = [cut.length for cut in cutting.battens]
    note = f"{len(lengths)} length{'s' if len(lengths) > 1 else ''}"
    sticks = sticks_for(lengths, unit, kerf=kerf, stick=batten.stick)
    if sticks is not None:
        bought = sold(sticks.count * sticks.length / 1000, unit, step=0.001)
        note = f"{note}, out of {sticks.words(unit)}"
    else:
        bought = sold(batten_metres(cutting.battens, kerf=kerf), unit, step=0.5)
    return [
        Purchase(
            "boards and sheets",
            "batten",
            batten.label or "batten",
            bought.quantity,
            bought.unit,
            batten.price_per_m * bought.of_a_metre,
            have=batten.have_m / bought.of_a_metre,
            note=note,
        )
    ]


def _parts(cabinet: Cabinet) -> list[Purchase]:
    rows = []
    project = cabinet.project
    hinges = hinges_asked(hangings(cabinet))
    for key, part in project.parts.items():
        known = cabinet.parts[key]
        if known.data.kind in ("vent",) or (known.data.kind == "grip" and not known.data.price):
            continue  # made in the panel itself
        if known.data.kind == "port" and known.data.shape == "slot" and not known.data.price:
            continue  # its duct is cut from the boards
        if part.quantity == 0:
            continue  # in the shop already, or only weighed against others
        placed = sum(2 if wish.on == "sides" else 1 for wish in part.placed)
        quantity = float(placed if part.quantity is None else part.quantity)
        unit: Literal["piece", "m", "ft"] = "piece"
        price, have = known.data.price, float(part.have)
        run: float | None = None
        if part.amount is not None:
            quantity, unit = part.amount, "m"
        elif key in hinges and getattr(known.data, "sold_by", "piece") == "metre":
            run = hinges[key] * 1000
        elif key in hinges and part.quantity is None:
            quantity = hinges[key]
        elif key == project.shape.side.edge_trim and TRIM_LENGTH in cabinet.numbers:
            run = cabinet.numbers[TRIM_LENGTH].value
        if run is not None:
            bought = sold(run * SPARE / 1000, project.unit, step=0.5)
            quantity, unit = bought.quantity, bought.unit
            price, have = price * bought.of_a_metre, have / bought.of_a_metre
        if known.data.kind == "sign" and not known.data.price:
            continue  # its sheets stand with the materials, its print with the other costs
        rows.append(
            Purchase(
                "screws and hardware" if _is_hardware(known.data) else "bought parts",
                key,
                known.label,
                quantity or 1.0,
                unit,
                price,
                have=have,
            )
        )
    return rows


def _is_hardware(data: PartKind) -> bool:
    """Hinges, latches, inserts and the like, which stand with the screws in the shop."""
    return isinstance(data, Hardware) and data.role in _HARDWARE


def _screws(cabinet: Cabinet) -> list[Purchase]:
    counts: dict[str, int] = defaultdict(int)
    for fastening in cabinet.fastenings:
        counts[fastening.name] += fastening.count
        for name, each in fastening.also:
            counts[name] += each * fastening.count
    wishes = cabinet.project.fixings
    lump = wishes.together is not None
    rows = [
        Purchase(
            "screws and hardware",
            name,
            f"screws {name}" if "×" in name and "screw" not in name else name,
            math.ceil(count * SPARE),
            "piece",
            0.0 if lump else wishes.prices.get(name, wishes.price_each),
            have=wishes.have.get(name, 0),
            note=f"{count} needed, a tenth spare",
        )
        for name, count in sorted(counts.items())
        if name
    ]
    if wishes.together:
        label = "all screws together"
        rows.append(Purchase("screws and hardware", label, label, 1, "sum", wishes.together))
    return rows


def _paint(painting: Painting, unit: Unit) -> list[Purchase]:
    return [
        Purchase(
            "paint",
            product.coat.kind,
            f"{product.coat.name}, can of {liquid_words(product.coat.can, unit)}",
            product.cans,
            "piece",
            product.coat.price,
            have=product.coat.have,
            note=f"{liquid_words(product.litres, unit)} needed",
        )
        for product in painting.products
        if product.cans
    ]


__all__ = ["SPARE", "Shopping", "list_purchases"]
