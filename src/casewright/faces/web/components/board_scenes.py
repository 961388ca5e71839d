"""What the board shows of a panel, as plain JSON: read from the cabinet, nothing is worked out here.

The form of a scene is described atop `board.js`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding, Severity, worded
from casewright.basics.units import LengthStyle, format_length
from casewright.basics.wording import counted
from casewright.behavior.abreast import CONTROLS
from casewright.catalog.load import load_catalog
from casewright.checks.flat import edges_of, flat_of
from casewright.checks.rules.palm_room import PALM
from casewright.checks.subject import Subject
from casewright.checks.webs import THROUGH, web_least
from casewright.faces.web.components.board_flats import (
    Flattened,
    Json,
    body_sort,
    feature_depths,
    feature_sort,
    flat_json,
    flatten_body,
    flatten_piece,
    pitches,
    spacing_rules,
    swallowed,
)
from casewright.faces.web.components.board_marks import (
    dimension_mark,
    fine,
    grid_step,
    line_mark,
    shape_mark,
    writing,
)
from casewright.geometry.inside import clear_back, clear_inside
from casewright.geometry.model import Body, Cabinet, Circle, FaceShape, Piece, Placed, Rectangle
from casewright.geometry.placing import stack_on

LONGEST = 28
"""Letters of a panel's name below its drawing, as of a part's name in it."""
FLUSH = 0.05
"""What reaches out over the show face by more than this is seen. [mm]"""
SMALL = 6.0
"""Holes below this are screw holes; behind the panel they are not worth a line. [mm]"""
ALIKE = 2.0
"""Of two outlines over one another nearer than this one is drawn. [mm]"""
ROOM = 0.06
"""Shown round the panel, as a share of its larger side."""
_LAYERS = ("side", "panel", "inner", "board", "door", "light board")


def board_panels(cabinet: Cabinet) -> tuple[Piece, ...]:
    """Boards that a scene can be made of, in the cabinet's order."""
    return tuple(piece for piece in cabinet.pieces if piece.kind in _LAYERS)


def panel_scene(cabinet: Cabinet, panel: str, style: LengthStyle) -> Json:
    """A panel from its show face with all that sits on it.

    Args:
        cabinet: The cabinet.
        panel: Key of the board; see `board_panels`.
        style: The user's unit.

    Raises:
        InputError: There is no such board.
    """
    board = cabinet.piece_by_key.get(panel)
    if board is None or board.kind not in _LAYERS:
        known = ", ".join(piece.key for piece in board_panels(cabinet))
        raise InputError("panel", got=panel, want=f"one of {known}")
    stack = stack_on(board, cabinet.piece_by_key)
    outer = stack[0]
    placed = [p for p in cabinet.placed if p.piece == panel]
    subject = Subject(cabinet, load_catalog())
    u0, v0, u1, v1 = outer.extent
    spare = ROOM * max(u1 - u0, v1 - v0)
    whose = _Owned(cabinet, stack, {p.key for p in placed})
    items = [_item(subject, p, stack, whose) for p in placed]
    size = partial(format_length, style=style, with_unit=False, glyphs="typeset")
    return {
        "id": f"panel/{panel}",
        "kind": "panel",
        "title": f"{board.label}, show face",
        "caption": f"{_short(board.label)}, show face",
        "about": f"{board.label} from its show face, {format_length(outer.width, style)} wide, "
        f"{format_length(outer.height, style)} high, {counted(len(items), 'part')}. u goes right, v up.",
        "axes": ["u", "v"],
        "writing": writing(style),
        "grid": grid_step(style),
        "extent": [u0 - spare, v0 - spare, u1 + spare, v1 + spare],
        "outlines": _outlines(cabinet, board, stack),
        "rules": spacing_rules(cabinet.project, stack),
        "guides": _guides(outer, board, placed),
        "links": _links(placed),
        "obstacles": list(whose.obstacles()),
        "layers": [
            {"key": "face", "marks": _face(outer)},
            {"key": "worked", "marks": list(_own_features(outer, whose))},
            {"key": "behind", "marks": list(whose.behind())},
            {
                "key": "size",
                "marks": [
                    dimension_mark((u1, v0), (u0, v0), size(u1 - u0), off=44),
                    dimension_mark((u1, v1), (u1, v0), size(v1 - v0), off=36),
                ],
            },
        ],
        "items": items,
    }


def finding_marks(
    findings: Sequence[Finding], cabinet: Cabinet, scene: Json, style: LengthStyle
) -> list[Json]:
    """The findings that have something to point at in a scene, numbered as in the list from 1."""
    write = partial(format_length, style=style, glyphs="typeset")
    keys = {entry["key"] for name in ("items", "seams") for entry in scene.get(name, ())}
    panels = {key: seam["key"] for seam in scene.get("seams", ()) for key in seam["panels"]}
    frame = None
    if scene["kind"] == "panel":
        frame = cabinet.piece_by_key[scene["id"].partition("/")[2]].frame
    marks: list[Json] = []
    for number, finding in enumerate(findings, start=1):
        names = [name for name in finding.place.names if name in keys]
        at = None
        if finding.place.point is not None and frame is None and scene["kind"] == "side":
            at = fine(finding.place.point[1:])
        if not names:
            is_grave = finding.severity is not Severity.NOTE
            if at is None or not is_grave or not panels.keys() & set(finding.place.names):
                continue
        marks.append(
            {
                "number": number,
                "severity": finding.severity.value,
                "names": names,
                "at": at,
                "words": worded(finding.message, write),
            }
        )
    return marks


def arranged(scene: Json, command: Mapping[str, object]) -> dict[str, dict[str, float]]:
    """Where an "align" or a "spread" of the board puts its parts: new coordinates by key and axis. [mm]

    Align brings the named edges, or the centres, to those of the first part named; spread spaces the centres evenly
    between the outer two, which stay.
    """
    items = {item["key"]: item for item in scene["items"]}
    chosen = [items[key] for key in _strings(command["keys"]) if key in items]
    axis = str(command["axis"])
    index = scene["axes"].index(axis)
    if command["name"] == "align":
        edge = {"low": 0, "middle": None, "high": 2}[str(command["to"])]

        def reach(item: Json) -> float:
            return 0.0 if edge is None else float(item["reach"][edge + index])

        to = chosen[0]["at"][index] + reach(chosen[0])
        return {item["key"]: {axis: to - reach(item)} for item in chosen[1:]}
    chosen.sort(key=lambda item: (item["at"][index], item["key"]))
    low, high = chosen[0]["at"][index], chosen[-1]["at"][index]
    step = (high - low) / max(len(chosen) - 1, 1)
    return {
        item["key"]: {axis: low + number * step}
        for number, item in enumerate(chosen[1:-1], start=1)
    }


# ---- the panel itself ------------------------------------------------------------------------------------------------


def _face(outer: Piece) -> list[Json]:
    see_through = outer.kind == "overlay"
    marks = [line_mark(outer.show, "visible", fill="acrylic" if see_through else "face")]
    if outer.back != outer.show:
        marks.append(line_mark(outer.back, "hidden"))
    return marks


def _outlines(cabinet: Cabinet, board: Piece, stack: Sequence[Piece]) -> list[Json]:
    """Edges that outlines must stay inside of, and which outlines these are."""
    found: list[Json] = []
    for layer, piece in enumerate(stack):
        for edge in edges_of(piece):
            found.append(
                {
                    "points": [fine(p) for p in edge],
                    "sorts": [f"hole.{layer}"],
                    "least": web_least(cabinet.project, piece),
                    "words": f"{{gap}} to the edge of {piece.label}, {{asked}} is asked",
                    "meets": f"{{gap}} over the edge of {piece.label}",
                }
            )
    if board.kind == "panel":
        inside = clear_inside(tuple(cabinet.shape.corners.values()), cabinet.slabs)
        middle = sum(v for _, v in board.back) / len(board.back)
        clear = clear_back(board, inside, middle)
        found.append(
            {
                "points": [fine(p) for p in clear.outline],
                "sorts": ["solid"],
                "below": -sum(piece.thickness for piece in stack) + FLUSH,
                "least": 0.0,
                "words": "{gap} to the panels behind",
                "meets": "{gap} into the panels behind",
            }
        )
    return found


def _guides(outer: Piece, board: Piece, placed: Sequence[Placed]) -> list[Json]:
    u0, v0, u1, v1 = outer.extent
    guides: list[Json] = [
        {"axis": "u", "at": (u0 + u1) / 2, "words": "middle"},
        {"axis": "v", "at": (v0 + v1) / 2, "words": "middle"},
    ]
    if board.role == "deck" and any(isinstance(p.part.data, CONTROLS) for p in placed):
        front = min(v for _, v in board.show)
        guides.append(
            {
                "axis": "v",
                "at": front + PALM[0],
                "words": "palms rest below",
                "edge": "low",
                "for": [p.key for p in placed if isinstance(p.part.data, CONTROLS)],
            }
        )
    return guides


def _links(placed: Sequence[Placed]) -> list[Json]:
    """Who follows whom, and along which axes; a coordinate of its own is not carried along."""
    keys = {p.key for p in placed}
    return [
        {
            "from": p.wish.like,
            "to": p.key,
            "by": [float(p.wish.u is None), 0.0, 0.0, float(p.wish.v is None)],
        }
        for p in placed
        if p.wish.like in keys
    ]


# ---- what is worked into it and stands behind it ---------------------------------------------------------------------


class _Owned:
    """Bodies, pieces and features, sorted by the part they belong to."""

    def __init__(self, cabinet: Cabinet, stack: Sequence[Piece], keys: set[str]) -> None:
        self.outer = stack[0]
        self.keys = keys
        self.depth = sum(piece.thickness for piece in stack)
        self.bodies: dict[str, list[tuple[Body, Flattened]]] = {}
        for body in cabinet.bodies:
            flat = flatten_body(body, self.outer) if body.owner in keys else None
            if flat is not None:
                self.bodies.setdefault(body.owner, []).append((body, flat))
        mine = {piece.key for piece in stack}
        self.pieces: list[tuple[str, Piece, Flattened]] = []
        for piece in cabinet.pieces:
            if piece.panel != stack[-1].key or piece.key in mine or piece.kind == "overlay":
                continue
            flat = flatten_piece(piece, self.outer)
            if flat is not None:
                owner = piece.key.partition(".")[0]
                self.pieces.append((owner if owner in keys else "", piece, flat))

    def obstacles(self) -> Iterator[Json]:
        """What stands behind the panel and stays where it is."""
        for owner, piece, flat in self.pieces:
            if not owner:
                yield {
                    "key": piece.key,
                    "label": piece.label,
                    "flats": [
                        flat_json(
                            flat.shape, (0.0, 0.0), sort="solid", depths=(flat.low, flat.high)
                        )
                    ],
                }

    def behind(self) -> Iterator[Json]:
        """The same, to be drawn."""
        for owner, _, flat in self.pieces:
            if not owner:
                yield shape_mark(flat.shape, "hidden")


def _own_features(outer: Piece, whose: _Owned) -> Iterator[Json]:
    for feature in outer.features:
        if feature.owner in whose.keys:
            continue
        if feature.face == "show" or feature.depth is None:
            fill = "hole" if feature.depth is None else "pocket"
            yield shape_mark(feature.shape, "thin", fill=fill)
        elif _span(feature.shape) >= SMALL:
            yield shape_mark(feature.shape, "hidden")


# ---- parts -----------------------------------------------------------------------------------------------------------


def _short(label: str) -> str:
    """A name that leaves the drawing its room; all of it is read out."""
    return label if len(label) <= LONGEST else f"{label[: LONGEST - 1]}…"


def _item(subject: Subject, placed: Placed, stack: Sequence[Piece], whose: _Owned) -> Json:
    at = (placed.u, placed.v)
    outer = stack[0]
    bodies = whose.bodies.get(placed.key, [])
    rails = [(piece, flat) for owner, piece, flat in whose.pieces if owner == placed.key]
    front = {
        b.key: f.shape for b, f in bodies if b.kind == "solid" and f.high > FLUSH and f.low > -1.0
    }
    behind = {b.key: f.shape for b, f in bodies if b.kind == "solid" and b.key not in front}
    behind |= {piece.key: flat.shape for piece, flat in rails}
    lit = {b.key for b, _ in bodies if b.look == "lit"}
    own = [f for f in outer.features if f.owner == placed.key]
    marks: list[Json] = []
    hidden = {key: shape for key, shape in behind.items() if key not in lit}
    gone = set(swallowed(hidden))
    marks += [shape_mark(s, "hidden", at=at) for key, s in hidden.items() if key not in gone]
    under = set(swallowed({**{f.key: f.shape for f in own}, **front}))
    for feature in own:
        if feature.kind in THROUGH and feature.key not in under:
            if feature.chamfer > 0:
                marks.append(
                    shape_mark(_grown(feature.shape, feature.chamfer), "thin", fill="pocket", at=at)
                )
            marks.append(shape_mark(feature.shape, "visible", fill="hole", at=at))
        elif feature.face == "show" and feature.key not in under and _span(feature.shape) < SMALL:
            marks.append(shape_mark(feature.shape, "thin", fill="hole", at=at))
    marks += [shape_mark(behind[key], "none", fill="lit", at=at) for key in lit if key in behind]
    drawn: list[Sequence[float]] = []
    for body, flat in sorted(bodies, key=lambda pair: pair[1].high):
        box = flat_of(flat.shape).box
        if body.key in front and not any(_are_alike(box, other) for other in drawn):
            drawn.append(box)
            marks.append(shape_mark(flat.shape, "visible", fill="part", color=body.color, at=at))
    shown = (
        list(front.values()) or [f.shape for f in own if f.kind in THROUGH] or list(behind.values())
    )
    return {
        "key": placed.key,
        "label": placed.label,
        "kind": placed.part.data.kind,
        "at": [placed.u, placed.v],
        "says": _origin(placed),
        "marks": marks,
        "reach": _reach(shown, at),
        "flats": [*_feature_flats(placed, stack), *_body_flats(placed, bodies, rails)],
        "pitch": pitches(subject, placed),
    }


def _feature_flats(placed: Placed, stack: Sequence[Piece]) -> Iterator[Json]:
    for layer, piece in enumerate(stack):
        for feature in piece.features:
            sort = feature_sort(feature, layer) if feature.owner == placed.key else None
            if sort is not None:
                depths = feature_depths(feature, piece, stack[0])
                yield flat_json(feature.shape, (placed.u, placed.v), sort=sort, depths=depths)


def _body_flats(
    placed: Placed,
    bodies: Sequence[tuple[Body, Flattened]],
    rails: Sequence[tuple[Piece, Flattened]],
) -> Iterator[Json]:
    at = (placed.u, placed.v)
    for body, flat in bodies:
        name = body.key.partition(".")[2]
        depths = (flat.low, flat.high)
        yield flat_json(
            flat.shape, at, sort=body_sort(body), depths=depths, name=name, touch=body.may_touch
        )
    for piece, flat in rails:
        name = piece.key.partition(".")[2]
        yield flat_json(flat.shape, at, sort="rail", depths=(flat.low, flat.high), name=name)


def _origin(placed: Placed) -> str:
    """Where its place comes from, in words."""
    wish = placed.wish
    if wish.like is not None:
        return f"follows {wish.like}"
    free = [axis for axis, value in (("u", wish.u), ("v", wish.v)) if value is None]
    return f"{' and '.join(free)} centred" if free else ""


def _reach(shapes: Sequence[FaceShape], at: tuple[float, float]) -> list[float]:
    """The box round what is seen of a part, relative to its place."""
    boxes = [flat_of(shape).box for shape in shapes] or [(*at, *at)]
    u, v = at
    return [
        round(min(b[0] for b in boxes) - u, 4),
        round(min(b[1] for b in boxes) - v, 4),
        round(max(b[2] for b in boxes) - u, 4),
        round(max(b[3] for b in boxes) - v, 4),
    ]


def _grown(shape: FaceShape, by: float) -> FaceShape:
    """The rim of a chamfer round a shape; of a free outline none is drawn."""
    if isinstance(shape, Circle):
        return replace(shape, diameter=shape.diameter + 2 * by)
    if isinstance(shape, Rectangle):
        width, height = shape.width + 2 * by, shape.height + 2 * by
        return replace(shape, width=width, height=height, radius=shape.radius + by)
    return shape


def _are_alike(a: Sequence[float], b: Sequence[float]) -> bool:
    return all(abs(x - y) < ALIKE for x, y in zip(a, b, strict=True))


def _span(shape: FaceShape) -> float:
    box = flat_of(shape).box
    return min(box[2] - box[0], box[3] - box[1])


def _strings(value: object) -> list[str]:
    return [str(item) for item in value] if isinstance(value, list | tuple) else []


__all__ = ["arranged", "board_panels", "finding_marks", "panel_scene"]
