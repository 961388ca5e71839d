"""Where each bought part sits: wishes of the project turned into places on panels."""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from casewright.basics.errors import InputError, InputErrors
from casewright.catalog.kinds import (
    Device,
    Dial,
    Display,
    Fan,
    Fitting,
    Foot,
    Grip,
    Hardware,
    Kind,
    Lever,
    Port,
    PushButton,
    Sign,
    Speaker,
    Strip,
    Trackball,
    Vent,
)
from casewright.design.parts import KnownPart, Part, Placement
from casewright.design.project import Project
from casewright.geometry.display_face import default_display_v, display_face, display_opening
from casewright.geometry.inside import clear_back
from casewright.geometry.lever_window import settle_lever
from casewright.geometry.model import (
    FaceName,
    Frame,
    Piece,
    Placed,
    Point2,
    Point3,
    Slab,
)
from casewright.geometry.thinning import seat_bushing, thin_for_grip

FACES: Mapping[type[Kind], tuple[FaceName, ...]] = {
    PushButton: ("show",),
    Fitting: ("show",),
    Vent: ("show",),
    Port: ("show",),
    Sign: ("show",),
    Grip: ("show", "back"),
    Foot: ("show", "back"),
    Lever: ("back",),
    Dial: ("back",),
    Trackball: ("back",),
    Display: ("back",),
    Speaker: ("back", "show"),
    Fan: ("back", "show"),
    Device: ("back", "show"),
    Strip: ("back", "show"),
    Hardware: ("back", "show"),
}
"""Faces that each kind can be mounted on, its usual one first."""

SIDES = "sides"
"""Word for both sides at once."""


@dataclass(frozen=True)
class _Wish:
    """A placement and where it stands in the project."""

    part: KnownPart
    wish: Placement
    field: str


@dataclass(frozen=True)
class _Spot:
    """A settled place in its panel's frame."""

    u: float
    v: float
    turn_deg: float


def place_parts(
    project: Project,
    parts: Mapping[str, KnownPart],
    pieces: Mapping[str, Piece],
    slabs: Mapping[str, Slab],
    known: Sequence[str] = (),
    inside: Sequence[Point2] = (),
) -> tuple[Placed, ...]:
    """Settle the place of every placed part.

    A placement `like` another takes its u, v and turn and adds its own shift and turn; a u or v of its own wins. What
    is not said is centred: u on the panel's show face, v on its slab's show face (a display by its housing, a display
    and a sign on the clear back).

    Args:
        project: Holds the placements.
        parts: The parts with every dimension settled.
        pieces: Boards, sides and doors by key, overlays by "<panel>.<layer>".
        slabs: Cross-sections of the panels on the outline.
        known: Keys that the project may name though they came to no piece; parts on these are left out.
        inside: Clear inside in the side view; a display and a sign are centred on what their panel has free of it.

    Returns:
        In the order of the project. A pair on both sides gives "<key>-left" and "<key>-right". `piece` is the key of
        the board that carries the part, whichever face it is on.

    Raises:
        InputErrors: unknown panels, unknown or circular `like`, keys used twice, faces or depths that cannot be.
    """
    errors: list[InputError] = []
    wishes: dict[str, _Wish] = {}
    for key, part in project.parts.items():
        if key not in parts:
            continue
        for index, wish in enumerate(part.placed):
            field = f"parts.{key}.placed.{index}"
            if wish.key in wishes:
                errors.append(
                    InputError(
                        f"{field}.key",
                        got=wish.key,
                        want=f"a name of its own; {wishes[wish.key].field} has this one",
                        example=f"{wish.key}-2",
                    )
                )
                continue
            if wish.key in pieces and wish.key != wish.on:
                errors.append(
                    InputError(
                        f"{field}.key",
                        got=f"{wish.key}, which names {pieces[wish.key].label} already",
                        want="a name of its own",
                        example=f"{key}-{wish.key}",
                    )
                )
            wishes[wish.key] = _Wish(parts[key], wish, field)

    hosts = _hosts(pieces)
    names = tuple(dict.fromkeys((*hosts, SIDES, *known)))
    places: list[Placed] = []
    for key, item in wishes.items():
        chain = _chain(wishes, key, errors)
        board = _board(item, hosts, names, errors)
        face = _face(item, errors)
        if chain is None or board is None or face is None:
            continue
        if (item.wish.recess or 0.0) >= board.thickness:
            errors.append(
                InputError(
                    f"{item.field}.recess",
                    got=f"{item.wish.recess:g} mm",
                    want=f"less than the board's {board.thickness:g} mm",
                )
            )
            continue
        if problem := _display_problem(item, chain):
            errors.append(problem)
            continue
        spot = _spot(chain, board, slabs.get(board.key), item.part.data, inside)
        stack = stack_on(board, pieces)
        places += _made(project, item, board, stack, face, spot, hosts)
    errors += _clashes(places, wishes)
    if errors:
        raise InputErrors(errors)
    return tuple(places)


def wish_errors(parts: Mapping[str, Part], known: Mapping[str, KnownPart]) -> list[InputError]:
    """What is wrong with wishes by themselves, whatever board they are for: faces, turns and openings of displays.

    Args:
        parts: Parts as the project has them; may be some of them only.
        known: The same with every dimension settled; those that are missing are left out.
    """
    wishes: dict[str, _Wish] = {}
    for key in parts:
        if key in known:
            for index, wish in enumerate(parts[key].placed):
                item = _Wish(known[key], wish, f"parts.{key}.placed.{index}")
                wishes.setdefault(wish.key, item)
    errors: list[InputError] = []
    for key, item in wishes.items():
        _face(item, errors)
        chain = _chain(wishes, key, [])
        if chain is not None and (problem := _display_problem(item, chain)):
            errors.append(problem)
    return errors


def stack_on(board: Piece, pieces: Mapping[str, Piece]) -> tuple[Piece, ...]:
    """A board with the overlays on its show face, outermost first, the board last."""
    layers = [p for p in pieces.values() if p.kind == "overlay" and p.panel == board.key]
    layers.sort(key=lambda p: -board.frame.local(p.frame.origin)[2])
    return (*layers, board)


def mounted_frame(
    board: Piece, stack: Sequence[Piece], face: FaceName, spot: Point2, turn_deg: float
) -> Frame:
    """Frame of a part: origin on its mounting face, axes the board's, turned; n toward the viewer."""
    u, v = spot
    back = board.frame.point(u, v, -board.thickness)
    origin = stack[0].frame.point(u, v) if face == "show" else back
    # Exact for quarter turns, so that boxes keep square to the panel.
    quarter = turn_deg / 90
    if quarter == round(quarter):
        cos, sin = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarter) % 4]
    else:
        cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    a, b = board.frame.u, board.frame.v
    return Frame(origin, _mixed(a, b, cos, sin), _mixed(a, b, -sin, cos), board.frame.n)


def _mixed(a: Point3, b: Point3, x: float, y: float) -> Point3:
    return (a[0] * x + b[0] * y, a[1] * x + b[1] * y, a[2] * x + b[2] * y)


def _hosts(pieces: Mapping[str, Piece]) -> dict[str, Piece]:
    """Pieces that a part may sit on."""
    carried = ("side", "panel", "inner", "board", "door", "light board")
    return {key: piece for key, piece in pieces.items() if piece.kind in carried}


def _chain(
    wishes: Mapping[str, _Wish], key: str, errors: list[InputError]
) -> tuple[Placement, ...] | None:
    """The placement and those it is like, one after another; None where that leads nowhere."""
    chain = [wishes[key].wish]
    seen = [key]
    while chain[-1].like is not None:
        name = chain[-1].like
        if name in seen:
            # Named once, at each member of the ring, not at those that only lead into it.
            if name == key:
                ring = " → ".join((*seen, name))
                errors.append(
                    InputError(
                        f"{wishes[key].field}.like",
                        got=f"a ring: {ring}",
                        want="a chain that ends at a piece with a place of its own",
                    )
                )
            return None
        if name not in wishes:
            if len(chain) == 1:
                errors.append(
                    InputError(
                        f"{wishes[key].field}.like",
                        got=name,
                        want="the name of a placed piece" + _nearest(name, tuple(wishes)),
                    )
                )
            return None
        seen.append(name)
        chain.append(wishes[name].wish)
    return tuple(chain)


def _nearest(name: str, names: Sequence[str]) -> str:
    near = difflib.get_close_matches(name, names, n=1, cutoff=0.5)
    if near:
        return f"; the nearest is {near[0]}"
    return f": {', '.join(names)}" if names else ""


def _board(
    item: _Wish, hosts: Mapping[str, Piece], names: Sequence[str], errors: list[InputError]
) -> Piece | None:
    name = item.wish.on
    if name == SIDES:
        return hosts.get("right")
    if name in hosts:
        return hosts[name]
    if name not in names:
        errors.append(
            InputError(
                f"{item.field}.on",
                got=name,
                want="a panel, board or side of this cabinet" + _nearest(name, names),
            )
        )
    return None


def _face(item: _Wish, errors: list[InputError]) -> FaceName | None:
    possible = FACES[type(item.part.data)]
    face = item.wish.face or possible[0]
    if face in possible:
        return face
    errors.append(
        InputError(
            f"{item.field}.face",
            got=face,
            want=f"'{possible[0]}': a {item.part.data.kind} is made for that face",
            example=possible[0],
        )
    )
    return None


def _spot(
    chain: Sequence[Placement],
    board: Piece,
    slab: Slab | None,
    data: Kind,
    inside: Sequence[Point2],
) -> _Spot:
    turn = sum(wish.turn for wish in chain)
    # From the far end of the chain to this piece: each adds its shift, and its own u or v starts anew.
    u: float | None = None
    v: float | None = None
    du = dv = 0.0
    for wish in reversed(chain):
        if wish.u is not None:
            u, du = wish.u, 0.0
        if wish.v is not None:
            v, dv = wish.v, 0.0
        du += wish.du
        dv += wish.dv
    if u is None:
        u = _middle(board.show, 0)
    if v is None:
        middle = _middle(board.show, 1)
        clear = clear_back(board, inside if board.kind == "panel" else None, middle)
        if isinstance(data, Display):
            v = default_display_v(data, turn, clear)
        elif isinstance(data, Sign):
            v = (clear.bottom + clear.top) / 2
        else:
            v = _slab_middle(slab) if slab is not None else _middle(board.show, 1)
    return _Spot(u + du, v + dv, turn % 360)


def _display_problem(item: _Wish, chain: Sequence[Placement]) -> InputError | None:
    """What makes a display's front view impossible: a slanting turn, an opening of nothing."""
    if not isinstance(item.part.data, Display):
        return None
    try:
        face = display_face(item.part.data, sum(wish.turn for wish in chain))
        display_opening(item.wish.opening, face)
    except InputError as error:
        return error.inside(item.field)
    return None


def _middle(points: Sequence[Point2], axis: int) -> float:
    values = [point[axis] for point in points]
    return (min(values) + max(values)) / 2


def _slab_middle(slab: Slab) -> float:
    """V of the middle of a slab's show face. [mm]"""
    run = slab.run
    ey, ez = run.direction
    y = (slab.show_start[0] + slab.show_end[0]) / 2
    z = (slab.show_start[1] + slab.show_end[1]) / 2
    along = (y - run.p[0]) * ey + (z - run.p[1]) * ez
    return along if run.climbs else run.length - along


def _made(
    project: Project,
    item: _Wish,
    board: Piece,
    stack: Sequence[Piece],
    face: FaceName,
    spot: _Spot,
    hosts: Mapping[str, Piece],
) -> list[Placed]:
    wish = item.wish
    label = wish.label or item.part.label or wish.key
    recess = _recess(project, item, board, stack)

    def placed(key: str, name: str, on: Piece, layers: Sequence[Piece], at: _Spot) -> Placed:
        frame = mounted_frame(on, layers, face, (at.u, at.v), at.turn_deg)
        return Placed(
            key, name, item.part, wish, on.key, at.u, at.v, at.turn_deg, face, frame, recess
        )

    if wish.on != SIDES:
        return [placed(wish.key, label, board, stack, spot)]
    made = []
    left = hosts.get("left")
    if left is not None:
        u, v, _ = left.frame.local(board.frame.point(spot.u, spot.v))
        mirrored = _Spot(u, v, -spot.turn_deg % 360)
        made.append(placed(f"{wish.key}-left", f"{label}, left", left, (left,), mirrored))
    made.append(placed(f"{wish.key}-right", f"{label}, right", board, stack, spot))
    return made


def _recess(project: Project, item: _Wish, board: Piece, stack: Sequence[Piece]) -> float:
    """Depth of the pocket that the part sits in, as the fitting of its kind will make it. [mm]"""
    data, wished = item.part.data, item.wish.recess
    thickness = sum(piece.thickness for piece in stack)
    if isinstance(data, Lever):
        return settle_lever(
            pivot=data.pivot,
            thickness=thickness,
            board=board.thickness,
            tilt_deg=data.tilt_deg,
            shaft=data.shaft,
            washer=data.washer,
            bits=project.shop.bits,
            recess=wished,
        ).recess
    if isinstance(data, PushButton | Fitting):
        return thin_for_grip(
            thickness=thickness,
            board=board.thickness,
            grip_least=data.grip_least,
            grip_most=data.grip_most,
            recess=wished,
        ).recess
    if isinstance(data, Dial):
        return seat_bushing(
            thickness=thickness,
            board=board.thickness,
            hole=data.hole,
            thread=data.thread,
            nut=data.nut_thickness,
            knob=data.knob,
            recess=wished,
        ).thin.recess
    return wished or 0.0


def _clashes(places: Sequence[Placed], wishes: Mapping[str, _Wish]) -> list[InputError]:
    """Keys that a mirrored pair makes and another piece has already."""
    seen: set[str] = set()
    errors = []
    for placed in places:
        if placed.key in seen:
            errors.append(
                InputError(
                    f"{wishes[placed.wish.key].field}.key",
                    got=placed.key,
                    want="a name that no piece of a pair on the sides has",
                    example=f"{placed.wish.key}-2",
                )
            )
        seen.add(placed.key)
    return errors


__all__ = ["FACES", "SIDES", "mounted_frame", "place_parts", "stack_on", "wish_errors"]
