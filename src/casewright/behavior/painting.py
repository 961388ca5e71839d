"""How much paint it takes, how many cans, and what dries when."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.behavior.surfaces import Surface, surfaces
from casewright.design.finish import Coat, Finish
from casewright.geometry.model import Cabinet

SQUARE_METER = 1e6
"""mm²"""

FIRST_HOUR, LAST_HOUR = 9, 20
"""Between these hours somebody stands in the shop. Common practice. [hours of the day]"""

COATING_H = 1.0
"""One coat on all of it, with the sanding before it. Common practice. [hours]"""


@dataclass(frozen=True)
class Product:
    """One product of the finish on this cabinet."""

    coat: Coat
    face_m2: float
    """Faces, once."""
    edge_m2: float
    """Edges, once."""
    thirst: float
    """Factor of the edges' first coats; 1 where something has closed them already."""
    litres: float
    cans: int
    """Whole cans, before those that the shop has are taken off."""

    @property
    def area_m2(self) -> float:
        """What one coat covers."""
        return self.face_m2 + self.edge_m2


@dataclass(frozen=True)
class Sitting:
    """One hour in the shop: one coat, or the end of the wait."""

    label: str
    kind: str
    """Product's kind; "harden" for the last wait."""
    start_h: float
    """Hours after midnight of the first day."""
    end_h: float
    """It is dry then."""
    grit: int = 0
    """Sanded with before; 0: not."""

    @property
    def day(self) -> int:
        """Day of the work it falls on, from 1."""
        return int(self.start_h // 24) + 1


@dataclass(frozen=True)
class Painting:
    """The whole finish."""

    surfaces: tuple[Surface, ...] = ()
    face_m2: float = 0.0
    edge_m2: float = 0.0
    products: tuple[Product, ...] = ()
    sittings: tuple[Sitting, ...] = ()
    numbers: tuple[Reckoning, ...] = ()

    @property
    def days(self) -> int:
        """Days from the first hour to the last hard coat, both counted."""
        return math.ceil(max((s.end_h for s in self.sittings), default=0.0) / 24)


def painting_of(cabinet: Cabinet) -> Painting:
    """Areas, litres, cans and the days of painting; empty where no product goes on or nothing is painted.

    Source:
        Litres = area × coats ÷ (covers × (1 − loss)). Coverage: the can's own, else that of `design.finish`.
    """
    finish = cabinet.project.finish
    found = surfaces(cabinet)
    if not found or not finish.products:
        return Painting(surfaces=found)
    faces = _area_number(
        "paint.faces",
        "faces to paint",
        found,
        ("to_paint", "to_paint_inside"),
        finish.inside,
        rule="What another piece's edge is glued to is left bare.",
    )
    edges = _area_number(
        "paint.edges",
        "cut edges and rims to paint",
        found,
        ("edges", "edges_inside"),
        finish.inside,
        rule="Edges against another piece are left bare for the glue.",
    )
    products: list[Product] = []
    numbers = [faces, edges]
    raw = True
    for coat in finish.products:
        product, number = _product(coat, faces, edges, finish.thirst if raw else 1.0)
        raw = raw and coat.on == "faces"
        products.append(product)
        numbers += [number, _can_number(product, number)]
    return Painting(
        surfaces=found,
        face_m2=faces.value,
        edge_m2=edges.value,
        products=tuple(products),
        sittings=tuple(_sittings(finish)),
        numbers=tuple(numbers),
    )


def _area_number(
    key: str,
    label: str,
    found: Sequence[Surface],
    fields: tuple[str, str],
    inside: bool,
    *,
    rule: str = "",
) -> Reckoning:
    """Sum over pieces of the outer field, and of the inner one where the inside is painted. [m²]"""
    outer, inner = fields
    terms = [Term(s.label, getattr(s, outer) / SQUARE_METER, unit="m²") for s in found]
    if inside:
        terms += [
            Term(f"{s.label}, inside", getattr(s, inner) / SQUARE_METER, unit="m²") for s in found
        ]
    return total(key, label, [t for t in terms if t.value], unit="m²", rule=rule)


def _product(
    coat: Coat, faces: Reckoning, edges: Reckoning, thirst: float
) -> tuple[Product, Reckoning]:
    """One product on this cabinet, and its litres."""
    on_faces = faces.value if coat.on != "edges" else 0.0
    on_edges = edges.value if coat.on != "faces" else 0.0
    thirst = thirst if on_edges else 1.0
    litres = litres_of(coat, face_m2=on_faces, edge_m2=on_edges, thirst=thirst)
    number = derived(
        f"paint.{coat.kind}.litres",
        f"{coat.name} it takes",
        litres,
        "(faces + thirst × edges) × coats ÷ (covers × (1 − loss))",
        [
            Term("faces", on_faces, key="paint.faces", unit="m²"),
            Term("thirst", thirst, unit=""),
            Term("edges", on_edges, key="paint.edges", unit="m²"),
            Term("coats", coat.coats, unit=""),
            Term("covers", coat.covers, unit="m²/l"),
            Term("loss", coat.loss, unit=""),
        ],
        unit="l",
        rule="Raw edges drink more in the first product that goes on them.",
        source="paint-guide",
    )
    cans = math.ceil(litres / coat.can - 1e-9) if math.isfinite(litres) else 0
    return Product(coat, on_faces, on_edges, thirst, litres, cans), number


def litres_of(coat: Coat, *, face_m2: float, edge_m2: float, thirst: float) -> float:
    """Litres that all coats of a product take; infinite where all of it misses the work.

    Args:
        coat: The product.
        face_m2: Faces it goes on.
        edge_m2: Edges it goes on.
        thirst: So many times the paint of a face goes into an edge.

    Source:
        paint-guide: area × coats ÷ coverage; what is sprayed past is lost besides.

    Example:
        >>> wall = Coat(coats=2, covers=8)
        >>> litres_of(wall, face_m2=30, edge_m2=0, thirst=1)
        7.5
    """
    reach = coat.covers * (1 - coat.loss)
    return (face_m2 + thirst * edge_m2) * coat.coats / reach if reach > 0 else math.inf


def _can_number(product: Product, litres: Reckoning) -> Reckoning:
    coat = product.coat
    return derived(
        f"paint.{coat.kind}.cans",
        f"cans of {coat.name}",
        float(product.cans),
        "litres ÷ can, rounded up",
        [
            Term("litres", litres.value, key=litres.key, unit="l"),
            Term("can", coat.can, unit="l"),
        ],
        unit="",
        rule="Whole cans are sold.",
    )


def _sittings(finish: Finish) -> list[Sitting]:
    """Coats one after the other: each as soon as the one before is dry and somebody is in the shop."""
    now = float(FIRST_HOUR)
    made = []
    for coat in finish.products:
        for count in range(1, coat.coats + 1):
            now = _open_hour(now)
            label = coat.name if coat.coats == 1 else f"{coat.name}, coat {count} of {coat.coats}"
            dry = now + COATING_H + coat.dry_h
            made.append(Sitting(label, coat.kind, now, dry, coat.grit))
            now = dry
    last = made[-1].start_h + COATING_H
    made.append(Sitting("hardening", "harden", last, last + 24.0 * finish.harden_days))
    return made


def _open_hour(hour: float) -> float:
    """The same hour, or the next morning's first where a coat would end too late.

    Example:
        >>> _open_hour(14.0), _open_hour(19.5), _open_hour(27.0)
        (14.0, 33.0, 33.0)
    """
    day, of_day = divmod(hour, 24)
    if of_day < FIRST_HOUR:
        return day * 24 + FIRST_HOUR
    if of_day + COATING_H > LAST_HOUR:
        return (day + 1) * 24 + FIRST_HOUR
    return hour


__all__ = [
    "COATING_H",
    "FIRST_HOUR",
    "LAST_HOUR",
    "Painting",
    "Product",
    "Sitting",
    "litres_of",
    "painting_of",
]
