"""Content: how large each display shows what it is bought for, and which of them fit this cabinet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from casewright.basics.customary import price_area
from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.basics.units import Unit
from casewright.catalog.display_size import parse_aspect
from casewright.catalog.kinds import Display
from casewright.catalog.load import Catalog
from casewright.design.looking import Content
from casewright.geometry.display_face import DisplayFace, display_face
from casewright.geometry.inside import clear_back, clear_inside
from casewright.geometry.model import Cabinet, Piece, Placed
from casewright.geometry.openings import Area
from casewright.geometry.picture import ContentFit, content_on_display

USUAL = (
    Content(label="wide", aspect="16:9"),
    Content(label="old and square", aspect="4:3"),
    Content(label="upright", aspect="3:4"),
)
"""Shapes of pictures where the project names none. Common practice."""


@dataclass(frozen=True)
class Room:
    """Clear back of the panel that a display sits behind. [mm]"""

    width: float
    height: float


@dataclass(frozen=True)
class Candidate:
    """One display, turned one way, with every content on it."""

    key: str
    """Of the catalog type, or of the placed display."""
    label: str
    data: Display
    face: DisplayFace
    """As it would stand."""
    price: float
    """Of one, 0 where none is known."""
    shown: tuple[ContentFit, ...]
    """One for each content, in order."""
    short: tuple[float, float]
    """What the room lacks for its housing, across and up; 0 where it fits. [mm]"""

    @property
    def fits(self) -> bool:
        """True where its housing goes in."""
        return max(self.short) <= 0

    @property
    def used(self) -> float:
        """Mean of the areas that the contents take. [mm²]"""
        return sum(fit.width * fit.height for fit in self.shown) / len(self.shown)

    def price_by_area(self, unit: Unit) -> float | None:
        """Price of each dm² (in inches: ft²) of the mean area used; None where no price is known."""
        return self.price / (self.used / price_area(unit)[1]) if self.price > 0 else None


@dataclass(frozen=True)
class Screen:
    """One display of the project among those that could take its place."""

    key: str
    label: str
    own: Candidate
    turned: Candidate
    """The same display turned by a quarter."""
    turn_deg: float
    """As it is placed."""
    candidates: tuple[Candidate, ...]
    """Every display of the catalog, turned as the project's own; by the diagonal of the lit area."""
    room: Room


@dataclass(frozen=True)
class Showing:
    """Contents on every display of the project."""

    contents: tuple[Content, ...] = ()
    stated: bool = False
    """True where the project names its contents."""
    screens: tuple[Screen, ...] = ()
    numbers: tuple[Reckoning, ...] = ()


def showing_of(cabinet: Cabinet, catalog: Catalog) -> Showing:
    """Put every content on every display that could be bought, for each display of the project."""
    contents = cabinet.project.contents or USUAL
    inside: tuple[tuple[float, float], ...] | None = None
    screens = []
    for placed in cabinet.placed:
        data = placed.part.data
        if not isinstance(data, Display):
            continue
        if inside is None:
            inside = clear_inside(tuple(cabinet.shape.corners.values()), cabinet.slabs)
        room = room_behind(cabinet, placed, inside)
        price = cabinet.project.parts[placed.part.key].price
        bought = price if price is not None else data.price
        turn = placed.turn_deg
        weighed = _weighed(cabinet, turn, contents, room)
        own = candidate(placed.key, placed.label, data, turn, contents, room, price=bought)
        screens.append(
            Screen(
                placed.key,
                placed.label,
                own,
                candidate(placed.key, placed.label, data, turn + 90, contents, room, price=bought),
                turn,
                (*weighed, *candidates(catalog, turn, contents, room)),
                room,
            )
        )
    found = Showing(tuple(contents), bool(cabinet.project.contents), tuple(screens))
    return replace(found, numbers=tuple(_numbers(found, cabinet.project.unit)))


def _weighed(
    cabinet: Cabinet, turn_deg: float, contents: Sequence[Content], room: Room
) -> list[Candidate]:
    """Displays that the project lists and nowhere places: those that may be bought instead."""
    placed = {one.part.key for one in cabinet.placed}
    return [
        candidate(
            key,
            part.label,
            part.data,
            turn_deg,
            contents,
            room,
            price=cabinet.project.parts[key].price,
        )
        for key, part in cabinet.parts.items()
        if isinstance(part.data, Display) and key not in placed
    ]


def candidates(
    catalog: Catalog, turn_deg: float, contents: Sequence[Content], room: Room | None
) -> tuple[Candidate, ...]:
    """Return every display of the catalog with all contents on it, by the diagonal of its lit area.

    Args:
        catalog: With its displays.
        turn_deg: How they would be turned, by quarters.
        contents: What they are to show; not empty.
        room: Where they would sit; None for no cabinet yet: all fit.
    """
    found = [
        candidate(key, entry.data.label or key, entry.data, turn_deg, contents, room)
        for key, entry in catalog.types.items()
        if isinstance(entry.data, Display)
    ]
    return tuple(sorted(found, key=lambda c: (c.data.lit_width**2 + c.data.lit_height**2, c.key)))


def candidate(
    key: str,
    label: str,
    data: Display,
    turn_deg: float,
    contents: Sequence[Content],
    room: Room | None,
    *,
    price: float | None = None,
) -> Candidate:
    """Return one display turned one way, with all contents on it.

    Source:
        Plain geometry, see `casewright.geometry.picture`.
    """
    face = display_face(data, turn_deg)
    shown = tuple(
        content_on_display(content.ratio, face.lit.width, face.lit.height) for content in contents
    )
    short = (0.0, 0.0)
    if room is not None:
        short = (
            max(face.housing_width - room.width, 0.0),
            max(face.housing_height - room.height, 0.0),
        )
    return Candidate(key, label, data, face, data.price if price is None else price, shown, short)


def room_behind(
    cabinet: Cabinet, placed: Placed, inside: Sequence[tuple[float, float]] | None = None
) -> Room:
    """Return the clear back of a display's panel: what other panels and the cleats along its edges leave.

    Args:
        cabinet: The cabinet.
        placed: The display.
        inside: The clear inside in the side view, where it is known already.
    """
    board = cabinet.piece_by_key[placed.piece]
    if inside is None:
        inside = clear_inside(tuple(cabinet.shape.corners.values()), cabinet.slabs)
    area = clear_back(board, inside, placed.v)
    for piece in cabinet.pieces:
        if piece.kind == "cleat" and piece.panel == board.key:
            area = _less(area, _footprint(piece, board))
    return Room(max(area.width, 0.0), max(area.height, 0.0))


def _footprint(piece: Piece, board: Piece) -> Area:
    """Extent of a piece in a board's (u, v)."""
    points = [piece.frame.point(u, v) for u, v in piece.show]
    points += [piece.frame.point(u, v, -piece.thickness) for u, v in piece.back]
    return Area.of([board.frame.local(point)[:2] for point in points])


def _less(area: Area, cleat: Area) -> Area:
    """An area without a strip along one of its edges."""
    middle = area.centre
    if not area.meets(cleat):
        return area
    if cleat.height > cleat.width:
        if cleat.centre[0] < middle[0]:
            return replace(area, left=max(area.left, cleat.right))
        return replace(area, right=min(area.right, cleat.left))
    if cleat.centre[1] < middle[1]:
        return replace(area, bottom=max(area.bottom, cleat.top))
    return replace(area, top=min(area.top, cleat.bottom))


def content_key(content: Content) -> str:
    """What a content is called in the keys of numbers: "16-9"."""
    across, up = parse_aspect(content.aspect)
    return f"{across:g}-{up:g}"


def _numbers(found: Showing, unit: Unit) -> list[Reckoning]:
    made: dict[str, Reckoning] = {}
    for screen in found.screens:
        start, lit = f"content.{screen.key}", screen.own.face.lit
        for content, fit in zip(found.contents, screen.own.shown, strict=True):
            key = f"{start}.{content_key(content)}"
            name = f"{content.label} {content.aspect}".strip()
            sizes = [
                Term("picture width", fit.width),
                Term("picture height", fit.height),
            ]
            made[f"{key}.share"] = derived(
                f"{key}.share",
                f"{name}: share of the lit area that it fills",
                fit.share,
                "picture width × picture height ÷ (lit width × lit height)",
                [*sizes, Term("lit width", lit.width), Term("lit height", lit.height)],
                unit="",
                rule="Shown as large as it goes, its shape kept.",
            )
            made[f"{key}.diagonal"] = derived(
                f"{key}.diagonal",
                f"{name}: diagonal of the picture",
                fit.diagonal,
                "√(picture width² + picture height²)",
                sizes,
                rule="A display of the picture's own shape and this diagonal shows it as large.",
            )
            beside = fit.side_bar > fit.level_bar
            whole, taken = (lit.width, fit.width) if beside else (lit.height, fit.height)
            across = "width" if beside else "height"
            made[f"{key}.bar"] = total(
                f"{key}.bar",
                f"{name}: dark bar {'at each side' if beside else 'above and below'}",
                [Term(f"lit {across}", whole, 0.5), Term(f"picture {across}", taken, -0.5)],
            )
        if (price := screen.own.price_by_area(unit)) is not None:
            area, size = price_area(unit)
            made[f"{start}.price_by_area"] = derived(
                f"{start}.price_by_area",
                f"{screen.label}: price by the area used, per {area}",
                price,
                "price ÷ mean area used",
                [
                    Term("price", screen.own.price, unit="cu"),
                    Term("mean area used", screen.own.used / size, unit=area),
                ],
                unit="cu",
                rule="Mean of all contents, each counted once.",
            )
        for name, room, size in (
            ("width", screen.room.width, screen.own.face.housing_width),
            ("height", screen.room.height, screen.own.face.housing_height),
        ):
            made[f"{start}.room_{name}"] = total(
                f"{start}.room_{name}",
                f"{screen.label}: room left {'beside' if name == 'width' else 'above and below'} its housing",
                [Term(f"clear {name} behind the panel", room), Term(f"housing {name}", size, -1)],
            )
    return list(made.values())


__all__ = [
    "USUAL",
    "Candidate",
    "Room",
    "Screen",
    "Showing",
    "candidate",
    "candidates",
    "content_key",
    "room_behind",
    "showing_of",
]
