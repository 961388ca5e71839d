"""Which errors add up where: a chain for every place where hand tools may spoil the fit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations
from typing import Literal

from casewright.catalog.kinds import Display, Lever
from casewright.design.accuracy import Accuracy
from casewright.design.panels import Inner, Panel
from casewright.geometry.display_face import display_face, opening_area
from casewright.geometry.model import Cabinet, Circle, Corner, Piece, Placed, Point3
from casewright.geometry.openings import wish_field

Kind = Literal["display's edge", "panel's fit", "seam", "holes"]

GIVE = 0.3
"""A wood screw bends and bites so far beside its pilot hole. Common practice. [mm]"""

PUSHED = 0.2
"""A panel so much too long goes in with a push: the sides spring. Common practice. [mm]"""

COAT = 0.03
"""Thickness of one dry coat. Source: mdf-paint-sheet. [mm]"""


@dataclass(frozen=True)
class Error:
    """One error that adds to a chain."""

    label: str
    limit: float
    """To either side. [mm]"""
    field: str = ""
    """Its name in the project's accuracy, where it is that figure itself."""
    care: str = ""
    """How to make it smaller."""


@dataclass(frozen=True)
class Chain:
    """Errors that add up in one place, and what they may come to."""

    key: str
    kind: Kind
    label: str
    says: str
    """What goes wrong: "the picture's edge is seen beside the opening of display"."""
    errors: tuple[Error, ...]
    rows: tuple[tuple[float, ...], ...]
    """By how much each error counts, for every way in which it can go wrong."""
    margins: tuple[float, ...]
    """Most that each way bears. [mm]"""
    names: tuple[str, ...]
    """Keys of pieces and parts."""
    point: Point3 | None = None
    room_field: str = ""
    """Dotted path of the value that widens all margins."""
    room: float = 0.0
    """That value now. [mm]"""
    room_counts: float = 1.0
    """Margin won for each millimeter of it."""
    room_order: str = ""


def chains_of(cabinet: Cabinet) -> tuple[Chain, ...]:
    """Every chain of a cabinet.

    Source:
        Plain geometry of the places; limits of `design.accuracy`.
    """
    made = [*_displays(cabinet), *_doors(cabinet), *_panels(cabinet), *_seams(cabinet)]
    return (*made, *_patterns(cabinet))


def mark_error(accuracy: Accuracy, what: str) -> Error:
    """A mark, made the way the project says."""
    field = accuracy.marking
    care = "Prick marks with a scriber" if field == "template" else "Measure twice from one corner"
    return Error(f"mark of {what}", accuracy.mark, field, f"{care}, within")


def _routed(accuracy: Accuracy, what: str) -> Error:
    return Error(
        what, accuracy.router, "router", "Clamp guide strips and test them on scrap, within"
    )


def _sawn(accuracy: Accuracy, what: str) -> Error:
    return Error(
        what, accuracy.repeat, "repeat", "Saw boards of one length against one stop, within"
    )


# ---- display ----


def _displays(cabinet: Cabinet) -> Iterator[Chain]:
    """Picture against opening, edge by edge: too far out and the bezel shows, too far in and the picture hides."""
    accuracy = cabinet.project.accuracy
    for placed in cabinet.placed:
        data = placed.part.data
        if not isinstance(data, Display):
            continue
        face = display_face(data, placed.turn_deg)
        opening = opening_area(placed, face)
        lit = face.lit
        # By design the opening's edges lie so far outside the lit area; negative: over it.
        wish = placed.wish.opening
        sized = wish is not None and (wish.width is not None or wish.height is not None)
        wide, high = (opening.width - lit.width) / 2, (opening.height - lit.height) / 2
        outside = (wide, wide, high, high)
        errors = (
            Error(
                "display across",
                accuracy.align,
                "align",
                "Align the display by the alignment sheet, within",
            ),
            Error(
                "display up",
                accuracy.align,
                "align",
                "Align the display by the alignment sheet, within",
            ),
            *(mark_error(accuracy, f"{edge} edge") for edge in ("left", "right", "lower", "upper")),
            *(
                _routed(accuracy, f"routed {edge} edge")
                for edge in ("left", "right", "lower", "upper")
            ),
        )
        shifts = ((1, 0), (-1, 0), (0, 1), (0, -1))
        rows = []
        for edge, shift in enumerate(shifts):
            own = tuple(1.0 if i == edge else 0.0 for i in range(4))
            rows.append((float(shift[0]), float(shift[1]), *own, *own))
        shows = tuple(accuracy.notice - min(m, 0.0) for m in outside)
        hides = tuple(accuracy.notice + max(m, 0.0) for m in outside)
        place = partial(
            Chain, errors=errors, names=(placed.key, placed.piece), point=placed.frame.origin
        )
        yield place(
            f"{placed.key}.shows",
            "display's edge",
            placed.label,
            f"more of the edge of {placed.label} shows than was drawn",
            rows=tuple(rows),
            margins=shows,
        )
        yield place(
            f"{placed.key}.hides",
            "display's edge",
            placed.label,
            f"more of the picture of {placed.label} is hidden than was drawn",
            rows=tuple(tuple(-c for c in row) for row in rows),
            margins=hides,
            room_field="" if sized else wish_field(placed, cabinet.project, "opening.margin"),
            room=wide,
            room_order="Widen the opening beyond the lit area, on every edge, to",
        )


# ---- fits ----


def _doors(cabinet: Cabinet) -> Iterator[Chain]:
    """A door in its opening: both edges of the opening, the door's own width, and the paint on all of them."""
    accuracy, finish = cabinet.project.accuracy, cabinet.project.finish
    # Two edges of the door and two of the opening are painted; half of that thickness is in doubt.
    paint = 4 * COAT * sum(p.coats for p in finish.products if p.on != "faces")
    for key, door in cabinet.project.doors.items():
        if key not in cabinet.piece_by_key:
            continue
        piece = cabinet.piece_by_key[key]
        errors = (
            mark_error(accuracy, "one edge of the opening"),
            mark_error(accuracy, "the other edge"),
            _routed(accuracy, "one routed edge"),
            _routed(accuracy, "the other routed edge"),
            Error("door's width", accuracy.fence, "fence", "Set the fence by a test cut, within"),
            Error("coats of paint", paint / 2),
        )
        yield Chain(
            f"{key}.binds",
            "panel's fit",
            piece.label,
            f"{piece.label} binds in its opening",
            errors,
            rows=((1.0,) * 6,),
            margins=(2 * door.gap - paint,),
            names=(key,),
            point=_middle(cabinet, key),
            room_field=f"doors.{key}.gap",
            room=door.gap,
            room_counts=2.0,
            room_order=f"Make the gap round {piece.label}",
        )


def _panels(cabinet: Cabinet) -> Iterator[Chain]:
    """What comes off again, between the sides that other boards hold apart; and boards in grooves."""
    accuracy, project = cabinet.project.accuracy, cabinet.project
    boards: list[tuple[str, str, Panel | Inner]] = [
        *(("panels", key, panel) for key, panel in cabinet.shape.panels.items()),
        *(("inner", key, inner) for key, inner in project.inner.items()),
    ]
    for section, key, wish in boards:
        piece = cabinet.piece_by_key.get(key)
        if piece is None:
            continue
        errors: tuple[Error, ...]
        if wish.joint == "groove":
            errors = (
                Error(
                    "thickness of the sheet",
                    accuracy.sheet,
                    "sheet",
                    "Choose boards of one thickness, within",
                ),
                _routed(accuracy, "width of the groove"),
            )
            yield Chain(
                f"{key}.groove",
                "panel's fit",
                piece.label,
                f"{piece.label} does not go into its grooves",
                errors,
                ((1.0, 1.0),),
                (wish.groove_play,),
                (key,),
                _middle(cabinet, key),
                f"{section}.{key}.groove_play",
                wish.groove_play,
                1.0,
                f"Make the play of its grooves ({piece.label})",
            )
        elif piece.fixing != "glued":
            errors = (
                _sawn(accuracy, f"length of {piece.label}"),
                _sawn(accuracy, "length of the boards that hold the sides"),
                *_growth(cabinet, key),
            )
            yield Chain(
                f"{key}.binds",
                "panel's fit",
                piece.label,
                f"{piece.label} binds between the sides",
                errors,
                (tuple([1.0] * len(errors)),),
                (PUSHED + 2 * wish.clearance,),
                (key,),
                _middle(cabinet, key),
                f"{section}.{key}.clearance",
                wish.clearance,
                2.0,
                f"Give {piece.label} at each end a clearance of",
            )


def _growth(cabinet: Cabinet, key: str) -> list[Error]:
    """Growth by damp air, where a board is of another kind than the shape's own, which holds the sides."""
    project = cabinet.project
    piece = cabinet.piece_by_key[key]
    kinds = [
        project.materials[m].kind
        for m in (piece.material, project.shape.board)
        if m in project.materials
    ]
    if len(set(kinds)) < 2:
        return []
    return [Error("growth by damp air", project.accuracy.swell * piece.width)]


# ---- seams ----


def _seams(cabinet: Cabinet) -> Iterator[Chain]:
    """A seam opens by a short board, a line marked off its place, and the blade's tilt across the thickness."""
    accuracy = cabinet.project.accuracy
    lean = math.tan(math.radians(accuracy.tilt_deg))
    for corner in cabinet.corners:
        if corner.rule not in ("miter", "cover"):
            continue
        first, second = (cabinet.piece_by_key.get(k) for k in (corner.first, corner.second))
        if first is None or second is None or not first.fixing == second.fixing == "glued":
            continue  # what comes off is not glued shut
        ended = (first, second) if corner.rule == "miter" else (_covered(corner, cabinet),)
        names = " and ".join(piece.label for piece in (first, second))
        errors = (
            Error(
                "length of the board",
                accuracy.fence,
                "fence",
                "Set the fence by a test cut, within",
            ),
            mark_error(accuracy, "the board's line"),
            *(Error(f"tilt of the saw at {p.label}", p.thickness * lean) for p in ended),
        )
        x, (y, z) = cabinet.shape.width / 2, corner.point
        yield Chain(
            f"seam-{corner.name}",
            "seam",
            names,
            f"the seam of {names} stays open",
            errors,
            ((1.0,) * len(errors),),
            (accuracy.filled,),
            (first.key, second.key),
            (x, y, z),
        )


def _covered(corner: Corner, cabinet: Cabinet) -> Piece:
    return cabinet.piece_by_key[corner.first if corner.over == corner.second else corner.second]


# ---- holes ----


def _patterns(cabinet: Cabinet) -> Iterator[Chain]:
    """Pilot holes against the part's own screw holes, and a lever's hole against its screws."""
    accuracy = cabinet.project.accuracy
    drill = Error(
        "drilled hole", accuracy.drill, "drill", "Drill with a brad point on a pricked mark, within"
    )
    own = [mark_error(accuracy, "a hole")] if accuracy.marking == "tape" else []
    # On one template all holes of a part keep their places to each other.
    errors: tuple[Error, ...] = (drill, drill, *own, *own)
    for placed in cabinet.placed:
        spots = _pilots(cabinet, placed)
        screw = next((f.diameter for f in cabinet.fastenings if f.through == placed.key), None)
        hole = getattr(placed.part.data, "screw_hole", None)
        if isinstance(placed.part.data, Lever):
            hole = placed.part.data.hole
        place = partial(
            Chain,
            errors=errors,
            names=(placed.key, placed.piece),
            point=placed.frame.origin,
        )
        ways = tuple(tuple(s * c for c in ((1.0, -1.0) * (len(errors) // 2))) for s in (1.0, -1.0))
        if screw is not None and hole is not None and _apart(spots) > 0:
            margin = 2 * (max(hole - screw, 0.0) / 2 + GIVE)
            yield place(
                f"{placed.key}.pattern",
                "holes",
                placed.label,
                f"screws of {placed.label} miss their holes",
                rows=ways,
                margins=(margin, margin),
            )
        if isinstance(placed.part.data, Lever):
            numbers = [
                cabinet.numbers.get(f"{placed.key}.{n}")
                for n in ("hole_least", "hole", "hole_most")
            ]
            if any(n is None for n in numbers):
                continue
            least, made, most = (n.value for n in numbers if n is not None)
            margin = max(min(made - least, most - made) / 2, 0.0)
            yield place(
                f"{placed.key}.shaft",
                "holes",
                placed.label,
                f"the shaft of {placed.label} touches its hole, or the hole shows beside the washer",
                rows=ways,
                margins=(margin, margin),
            )


def _pilots(cabinet: Cabinet, placed: Placed) -> list[tuple[float, float]]:
    piece = cabinet.piece_by_key.get(placed.piece)
    return [
        (f.shape.u, f.shape.v)
        for f in (piece.features if piece else ())
        if f.owner == placed.key
        and f.kind in ("pilot", "clearance")
        and isinstance(f.shape, Circle)
    ]


def _apart(spots: Sequence[tuple[float, float]]) -> float:
    """Distance of the two holes farthest apart; 0 for fewer than two. [mm]"""
    return max((math.dist(a, b) for a, b in combinations(spots, 2)), default=0.0)


def _middle(cabinet: Cabinet, key: str) -> Point3:
    piece = cabinet.piece_by_key[key]
    u0, v0, u1, v1 = piece.extent
    return piece.frame.point((u0 + u1) / 2, (v0 + v1) / 2)


__all__ = ["COAT", "GIVE", "PUSHED", "Chain", "Error", "Kind", "chains_of", "mark_error"]
