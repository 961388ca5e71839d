"""`cabinet.json`: everything worked out, as plain data for other programs, with its published schema.

All lengths are millimeters and all angles degrees, whatever the project's unit; findings hold texts in the user's unit.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Literal

from pydantic import Field

from casewright.basics.findings import Finding
from casewright.basics.reckoning import Reckoning
from casewright.behavior.balance import Balance
from casewright.geometry.model import Cabinet, Circle, Feature, Piece, Polygon, Rectangle
from casewright.outputs.exports.plain import Data
from casewright.outputs.exports.work_steps import WorkData, work_data
from casewright.planning.buying import Shopping
from casewright.planning.work import WorkPlan

Point = tuple[float, float]
Space = tuple[float, float, float]


class FeatureData(Data):
    """Something worked into a piece, in its (u, v)."""

    key: str
    kind: str
    face: Literal["show", "back"]
    depth: float | None = Field(description="mm; none if right through")
    shape: Literal["circle", "rectangle", "polygon"]
    centre: Point | None = None
    diameter: float | None = None
    size: Point | None = None
    radius: float | None = None
    turn_deg: float | None = None
    points: tuple[Point, ...] | None = None
    chamfer: float = 0.0
    tool: str
    owner: str
    label: str


class PieceData(Data):
    """One thing to cut; its show face is n = 0, its back face n = -thickness."""

    key: str
    label: str
    kind: str
    role: str
    material: str
    thickness: float
    blank: Point = Field(description="Extent along u and v over both faces, mm")
    origin: Space
    u: Space
    v: Space
    n: Space
    show: tuple[Point, ...]
    back: tuple[Point, ...]
    grain: str
    fixing: str
    features: tuple[FeatureData, ...]


class CornerData(Data):
    """A seam of the outline."""

    name: str
    at: Point = Field(description="(y, z), mm")
    first: str
    second: str
    rule: str
    over: str
    inside_deg: float
    first_tilt_deg: float
    second_tilt_deg: float


class PlacedData(Data):
    """A bought part in its place."""

    key: str
    label: str
    kind: str
    on: str
    face: str
    u: float
    v: float
    turn_deg: float
    at: Space
    recess: float


class FasteningData(Data):
    """Screws of one kind."""

    key: str
    name: str
    count: int
    through: str
    into: str
    pilot: float
    clearance: float
    counterbore: float
    bite: float


class TermData(Data):
    """A term of a number."""

    label: str
    value: float
    times: float


class NumberData(Data):
    """A number that can say why."""

    label: str
    value: float
    unit: str
    formula: str
    terms: tuple[TermData, ...]
    rule: str
    source: str


class AlsoData(Data):
    """A further value that a remedy writes."""

    field: str
    value: float | str


class RemedyData(Data):
    """An order that cures a finding."""

    text: str
    field: str | None
    value: float | str | None
    also: tuple[AlsoData, ...]
    brings: str | None
    """What it would bring elsewhere."""


class FindingData(Data):
    """Something to look at."""

    rule: str
    severity: Literal["stop", "caution", "note"]
    message: str
    why: str
    remedies: tuple[RemedyData, ...]
    names: tuple[str, ...]
    point: Space | None
    missing: str | None


class PurchaseData(Data):
    """A line of the shopping list."""

    group: str
    key: str
    label: str
    quantity: float
    unit: str
    price: float
    have: float
    cost: float


class Results(Data):
    """Everything worked out from one project."""

    casewright: Literal[1] = 1
    name: str
    fingerprint: str
    unit: Literal["mm"] = "mm"
    width: float
    corners: dict[str, Point]
    seams: tuple[CornerData, ...]
    pieces: tuple[PieceData, ...]
    placed: tuple[PlacedData, ...]
    fastenings: tuple[FasteningData, ...]
    mass_kg: float
    centre_of_gravity: Space
    mass_missing: tuple[str, ...]
    findings: tuple[FindingData, ...]
    shopping: tuple[PurchaseData, ...]
    cost: float
    currency: str
    numbers: dict[str, NumberData]
    work: WorkData


def results_of(
    cabinet: Cabinet,
    *,
    fingerprint: str,
    findings: Sequence[Finding],
    balance: Balance,
    shopping: Shopping,
    numbers: Mapping[str, Reckoning],
    work: WorkPlan,
    write_length: Callable[[float], str],
) -> Results:
    """Gather the results."""
    return Results(
        name=cabinet.project.name,
        fingerprint=fingerprint,
        width=_r(cabinet.shape.width),
        corners={key: _pair(p) for key, p in cabinet.shape.corners.items()},
        seams=tuple(
            CornerData(
                name=c.name,
                at=_pair(c.point),
                first=c.first,
                second=c.second,
                rule=c.rule,
                over=c.over,
                inside_deg=_r(c.inside_deg),
                first_tilt_deg=_r(c.first_tilt_deg),
                second_tilt_deg=_r(c.second_tilt_deg),
            )
            for c in cabinet.corners
        ),
        pieces=tuple(_piece(piece) for piece in cabinet.pieces),
        placed=tuple(
            PlacedData(
                key=p.key,
                label=p.label,
                kind=p.part.data.kind,
                on=p.piece,
                face=p.face,
                u=_r(p.u),
                v=_r(p.v),
                turn_deg=_r(p.turn_deg),
                at=_space(p.frame.origin),
                recess=_r(p.recess),
            )
            for p in cabinet.placed
        ),
        fastenings=tuple(
            FasteningData(
                key=f.key,
                name=f.name,
                count=f.count,
                through=f.through,
                into=f.into,
                pilot=_r(f.pilot),
                clearance=_r(f.clearance),
                counterbore=_r(f.counterbore),
                bite=_r(f.bite),
            )
            for f in cabinet.fastenings
        ),
        mass_kg=_r(balance.total_kg),
        centre_of_gravity=_space(balance.centre),
        mass_missing=balance.missing,
        findings=tuple(FindingData.model_validate(f.as_json(write_length)) for f in findings),
        shopping=tuple(
            PurchaseData(
                group=row.group,
                key=row.key,
                label=row.label,
                quantity=_r(row.quantity),
                unit=row.unit,
                price=_r(row.price),
                have=_r(row.have),
                cost=_r(row.cost),
            )
            for row in shopping.rows
        ),
        cost=_r(shopping.cost.value),
        currency=cabinet.project.currency,
        numbers={key: _number(number) for key, number in numbers.items()},
        work=work_data(work, write_length),
    )


def write_results(results: Results) -> bytes:
    """As JSON text; the same results give the same bytes."""
    text = results.model_dump_json(indent=1).encode() + b"\n"
    assert not _NO_NUMBER.search(text), "JSON knows neither infinity nor what is no number"
    return text


_NO_NUMBER = re.compile(rb'(?:": |^ *)-?(?:NaN|Infinity),?$', re.MULTILINE)


def results_schema() -> dict[str, object]:
    """JSON Schema of `cabinet.json`."""
    schema = Results.model_json_schema(mode="serialization")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": "casewright results",
    }


def _piece(piece: Piece) -> PieceData:
    frame = piece.frame
    return PieceData(
        key=piece.key,
        label=piece.label,
        kind=piece.kind,
        role=piece.role,
        material=piece.material,
        thickness=_r(piece.thickness),
        blank=(_r(piece.width), _r(piece.height)),
        origin=_space(frame.origin),
        u=_space(frame.u, 9),
        v=_space(frame.v, 9),
        n=_space(frame.n, 9),
        show=tuple(_pair(p) for p in piece.show),
        back=tuple(_pair(p) for p in piece.back),
        grain=piece.grain,
        fixing=piece.fixing,
        features=tuple(_feature(feature) for feature in piece.features),
    )


def _feature(feature: Feature) -> FeatureData:
    common = {
        "key": feature.key,
        "kind": feature.kind,
        "face": feature.face,
        "depth": None if feature.depth is None else _r(feature.depth),
        "chamfer": _r(feature.chamfer),
        "tool": feature.tool,
        "owner": feature.owner,
        "label": feature.label,
    }
    match feature.shape:
        case Circle(u, v, diameter):
            own = {"shape": "circle", "centre": (_r(u), _r(v)), "diameter": _r(diameter)}
        case Rectangle(u, v, width, height, radius, turn):
            own = {
                "shape": "rectangle",
                "centre": (_r(u), _r(v)),
                "size": (_r(width), _r(height)),
                "radius": _r(radius),
                "turn_deg": _r(turn),
            }
        case Polygon(points):
            own = {"shape": "polygon", "points": tuple(_pair(p) for p in points)}
    return FeatureData.model_validate({**common, **own})


def _number(number: Reckoning) -> NumberData:
    return NumberData(
        label=number.label,
        value=_r(number.value),
        unit=number.unit,
        formula=number.formula,
        terms=tuple(
            TermData(label=t.label, value=_r(t.value), times=t.times) for t in number.terms
        ),
        rule=number.rule,
        source=number.source,
    )


def _r(value: float, places: int = 4) -> float:
    """Rounded for the file: a tenth of a micrometer; no negative zero."""
    return round(value, places) + 0.0


def _pair(point: Point) -> Point:
    return (_r(point[0]), _r(point[1]))


def _space(point: Space, places: int = 4) -> Space:
    return (_r(point[0], places), _r(point[1], places), _r(point[2], places))


__all__ = [
    "AlsoData",
    "CornerData",
    "Data",
    "FasteningData",
    "FeatureData",
    "FindingData",
    "NumberData",
    "PieceData",
    "PlacedData",
    "PurchaseData",
    "RemedyData",
    "Results",
    "TermData",
    "results_of",
    "results_schema",
    "write_results",
]
