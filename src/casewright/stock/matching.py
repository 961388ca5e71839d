"""Which pieces of the stock can stand in for a project's material, and why others cannot."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from casewright.basics.findings import mm
from casewright.basics.units import TOUCHING
from casewright.design.materials import Material
from casewright.stock.records import BoardRecord, Held

SAME_THICKNESS = 0.2
"""Boards that differ by no more are cut and joined as one thickness. [mm] Common practice: what calipers find from one
corner of a sheet to the other."""


@dataclass(frozen=True)
class Match:
    """A piece of the stock held against a material."""

    held: Held
    why_not: str = ""
    """Why it cannot stand in; "" where it can. Lengths are marked by `findings.mm`."""
    caution: str = ""
    """What to look at before it is cut."""


def matches_of(material: Material, stock: Iterable[Held]) -> tuple[Match, ...]:
    """Hold every board of the stock that is of the material's kind against it.

    A piece fits if it is of the same species (of the same label, where one of the two names none) and color, of the
    same thickness as measured, and if the way of its grain is known where the material asks for it. Where one of the
    two is not measured, thicknesses by name are compared.

    Returns:
        Pieces that fit, the largest first; then those that do not, each with why.
    """
    found = [
        _matched(material, held)
        for held in stock
        if isinstance(held.record, BoardRecord)
        and held.record.material == material.kind
        and held.count
    ]

    def order(match: Match) -> tuple[bool, float, str]:
        record = match.held.record
        assert isinstance(record, BoardRecord)
        return bool(match.why_not), -record.length * record.width, match.held.mark

    return tuple(sorted(found, key=order))


def _matched(material: Material, held: Held) -> Match:
    record = held.record
    assert isinstance(record, BoardRecord)
    return Match(
        held,
        _of_another_wood(material, record)
        or _of_another_thickness(material, record)
        or _without_grain(material, record),
        "measure it first: only its thickness by name is known" if record.measured is None else "",
    )


def _of_another_wood(material: Material, record: BoardRecord) -> str:
    same_label = bool(record.label) and record.label.casefold() == material.label.casefold()
    if material.species and record.species:
        if material.species != record.species:
            return f"it is {record.species}, not {material.species}"
    elif (material.species or record.species) and not same_label:
        whose = "the stock" if material.species else "the project"
        return f"{whose} does not say which species it is; say it, or give both the same label"
    if material.color and record.color and material.color.casefold() != record.color.casefold():
        return f"its color is {record.color}, not {material.color}"
    return ""


def _of_another_thickness(material: Material, record: BoardRecord) -> str:
    if material.measured is not None and record.measured is not None:
        if abs(material.measured - record.measured) <= SAME_THICKNESS + TOUCHING:
            return ""
        return f"it measures {mm(record.measured)}, not {mm(material.measured)}"
    if record.nominal is not None:
        if abs(record.nominal - material.nominal) <= SAME_THICKNESS + TOUCHING:
            return ""
        return f"it is sold as {mm(record.nominal)}, not {mm(material.nominal)}"
    assert record.measured is not None
    # It was measured and not named; the project's sheet was named and not measured.
    if abs(record.measured - material.nominal) <= SAME_THICKNESS + TOUCHING:
        return ""
    return f"it measures {mm(record.measured)}; the project's is {mm(material.nominal)} by name"


def _without_grain(material: Material, record: BoardRecord) -> str:
    if material.grain == "length" and record.grain == "none":
        return "which way its grain runs is not known"
    return ""


__all__ = ["SAME_THICKNESS", "Match", "matches_of"]
