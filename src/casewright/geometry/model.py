"""What geometry makes of a project: an immutable cabinet of pieces, features and bodies.

Frames: the cabinet frame is x right, y back, z up (the user faces the front). A piece has its own frame (u, v, n): its
show face seen from outside, u right, v up, n toward the viewer; the show face is n = 0, the back face n = -thickness.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from casewright.basics.findings import Finding
from casewright.basics.reckoning import Reckoning
from casewright.design.panels import Panel, Role, Seam
from casewright.design.parts import KnownPart, Placement
from casewright.design.project import Project

Point2 = tuple[float, float]
Point3 = tuple[float, float, float]
FaceName = Literal["show", "back"]


@dataclass(frozen=True)
class Frame:
    """Axes of a piece in the cabinet frame; u, v, n are unit vectors, right-handed."""

    origin: Point3
    u: Point3
    v: Point3
    n: Point3

    def point(self, u: float, v: float, n: float = 0.0) -> Point3:
        """A point given in this frame, in the cabinet frame. [mm]"""
        o, a, b, c = self.origin, self.u, self.v, self.n
        return (
            o[0] + u * a[0] + v * b[0] + n * c[0],
            o[1] + u * a[1] + v * b[1] + n * c[1],
            o[2] + u * a[2] + v * b[2] + n * c[2],
        )

    def local(self, point: Point3) -> Point3:
        """(u, v, n) of a point given in the cabinet frame. [mm]"""
        o, a, b, c = self.origin, self.u, self.v, self.n
        x, y, z = point[0] - o[0], point[1] - o[1], point[2] - o[2]
        return (
            a[0] * x + a[1] * y + a[2] * z,
            b[0] * x + b[1] * y + b[2] * z,
            c[0] * x + c[1] * y + c[2] * z,
        )


# ---- shapes in a face ----


@dataclass(frozen=True)
class Circle:
    """A round hole."""

    u: float
    v: float
    diameter: float


@dataclass(frozen=True)
class Rectangle:
    """A rectangle round its centre, corners rounded, turned counter-clockwise as seen from the show face."""

    u: float
    v: float
    width: float
    height: float
    radius: float = 0.0
    turn_deg: float = 0.0


@dataclass(frozen=True)
class Polygon:
    """Straight closed outline, counter-clockwise as seen from the show face."""

    points: tuple[Point2, ...]


FaceShape = Circle | Rectangle | Polygon
"""A slot is a `Rectangle` whose radius is half its height."""

FeatureKind = Literal[
    "hole",  # round, through: for a part, a cable, a bolt
    "opening",  # any other through cut-out
    "pocket",  # flat-bottomed, from `face`
    "groove",  # for a board's edge
    "notch",  # cut out of the piece's edge, through
    "pilot",  # for a screw's thread
    "clearance",  # for a screw's shank, through
    "counterbore",
    "countersink",
    "slot",  # in an edge, for trim
]


@dataclass(frozen=True)
class Feature:
    """Something worked into a piece."""

    key: str
    """Unique in the piece: "lever1.hole"."""
    kind: FeatureKind
    shape: FaceShape
    face: FaceName
    """Face it is worked from."""
    depth: float | None
    """None: right through. Of a slot: its width, in the middle of the thickness; its polygon starts along the edge."""
    tool: str
    """Kind of bit: "brad", "forstner", "hole saw", "flush trim", "straight", "slot cutter", "jigsaw", "saw"..."""
    owner: str = ""
    """Key of the placed part, cleat or piece it is for."""
    label: str = ""
    chamfer: float = 0.0
    """Chamfer at 45° round its rim on `face`, measured across the face."""


# ---- pieces ----

PieceKind = Literal[
    "side",
    "panel",
    "overlay",
    "inner",
    "board",
    "door",
    "cleat",
    "rail",
    "bar",
    "frame",
    "light board",
    "artwork",
    "strip",
    "duct",
]


@dataclass(frozen=True)
class Piece:
    """One thing to cut out of wood or plastic.

    `show` and `back` are its outlines on the two faces, counter-clockwise as seen from the show face, with vertices in
    the same order; they differ where edges are bevelled. The solid is the straight ruled body between them, less the
    features.
    """

    key: str
    label: str
    kind: PieceKind
    role: Role
    material: str
    """Key into the project's materials; "batten" for strip wood."""
    thickness: float
    frame: Frame
    show: tuple[Point2, ...]
    back: tuple[Point2, ...]
    features: tuple[Feature, ...] = ()
    panel: str = ""
    """Key of the panel it belongs to: its own key for a board, the board's for an overlay or cleat."""
    grain: Literal["u", "v", "none"] = "none"
    fixing: Literal["glued", "screwed", "magnets", "locks", "hinges", "bolted", "shims"] = "glued"

    @cached_property
    def extent(self) -> tuple[float, float, float, float]:
        """Least u, least v, most u, most v over both faces: the blank. [mm]"""
        points = (*self.show, *self.back)
        us, vs = [p[0] for p in points], [p[1] for p in points]
        return (min(us), min(vs), max(us), max(vs))

    @property
    def width(self) -> float:
        """Blank's extent along u. [mm]"""
        return self.extent[2] - self.extent[0]

    @property
    def height(self) -> float:
        """Blank's extent along v. [mm]"""
        return self.extent[3] - self.extent[1]

    def feature(self, key: str) -> Feature:
        """The feature of that key."""
        return next(f for f in self.features if f.key == key)


# ---- bodies of bought parts ----


@dataclass(frozen=True)
class Box:
    """A box in a body's frame: centre in u and v, extent along n."""

    u: float
    v: float
    width: float
    height: float
    n_low: float
    n_high: float


@dataclass(frozen=True)
class Cylinder:
    """A cylinder (or cone frustum) along n in a body's frame; diameter at n_low, and at n_high."""

    u: float
    v: float
    diameter: float
    n_low: float
    n_high: float
    top_diameter: float | None = None


@dataclass(frozen=True)
class Body:
    """Space that a part takes ("solid") or needs kept free ("room": plugs, nuts, cable bends, air, fingers)."""

    key: str
    """Unique: "lever1.body"."""
    owner: str
    """Key of the placed part."""
    kind: Literal["solid", "room"]
    frame: Frame
    shape: Box | Cylinder
    label: str = ""
    look: Literal["metal", "plastic", "glass", "rubber", "board", "lit", "air"] = "plastic"
    color: str = ""
    """#rrggbb where the part has a color of its own."""
    may_touch: tuple[str, ...] = ()
    """Keys of pieces or parts that it is meant to sit in or on."""


@dataclass(frozen=True)
class Placed:
    """A part in its place."""

    key: str
    label: str
    part: KnownPart
    wish: Placement
    piece: str
    """Key of the piece it is mounted on."""
    u: float
    v: float
    turn_deg: float
    face: FaceName
    """Face it is mounted on."""
    frame: Frame
    """Origin at its centre on the face it is mounted on, axes of the piece turned by `turn_deg` (n as the piece's)."""
    recess: float = 0.0
    """Depth of the pocket it sits in, from the back face."""


# ---- shape, slabs, seams ----


@dataclass(frozen=True)
class Run:
    """One edge of the outline, in (y, z)."""

    start: str
    end: str
    p: Point2
    q: Point2
    panel: str
    """Key of the panel on it; "" where it is open."""
    role: Role

    @property
    def length(self) -> float:
        """[mm]"""
        return math.dist(self.p, self.q)

    @property
    def direction(self) -> Point2:
        """Unit vector along the run."""
        return ((self.q[0] - self.p[0]) / self.length, (self.q[1] - self.p[1]) / self.length)

    @property
    def normal(self) -> Point2:
        """Outward unit normal (ez, −ey)."""
        ey, ez = self.direction
        return (ez, -ey)

    @property
    def climbs(self) -> bool:
        """True for floors and backs, where v runs along the run and u to −x; else v runs against it."""
        ey, ez = self.direction
        return ez > 1e-9 or (abs(ez) <= 1e-9 and ey > 0)

    @property
    def name(self) -> str:
        """As the project writes it."""
        return f"{self.start}-{self.end}"


@dataclass(frozen=True)
class SolvedShape:
    """The outline with all wishes settled."""

    width: float
    corners: Mapping[str, Point2]
    runs: tuple[Run, ...]
    """In order, counter-clockwise as seen from the right."""
    panels: Mapping[str, Panel]
    """Every panel that stands on a run: the recipe's, with the project's own words over them."""
    seams: tuple[Seam, ...]
    """The project's first, then the recipe's."""
    numbers: tuple[Reckoning, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True)
class Slab:
    """A panel's cross-section in (y, z): the strip between two end planes."""

    panel: str
    run: Run
    reveal: float
    thickness: float
    show_start: Point2
    show_end: Point2
    back_end: Point2
    back_start: Point2
    start_tilt_deg: float
    """Saw tilt at the run's start, signed: positive where the show face is the longer there."""
    end_tilt_deg: float

    @property
    def polygon(self) -> tuple[Point2, ...]:
        """Show start, show end, back end, back start."""
        return (self.show_start, self.show_end, self.back_end, self.back_start)

    @property
    def show_length(self) -> float:
        """Along the run on the show face, negative if the ends cross. [mm]"""
        return self._along(self.show_end) - self._along(self.show_start)

    @property
    def back_length(self) -> float:
        """Along the run on the back face, negative if the ends cross. [mm]"""
        return self._along(self.back_end) - self._along(self.back_start)

    def _along(self, point: Point2) -> float:
        ey, ez = self.run.direction
        return (point[0] - self.run.p[0]) * ey + (point[1] - self.run.p[1]) * ez


@dataclass(frozen=True)
class Corner:
    """A seam as made: where two slabs meet."""

    name: str
    """The outline's corner."""
    point: Point2
    first: str
    """Panel of the run that ends here; "" if open."""
    second: str
    """Panel of the run that starts here."""
    rule: Literal["miter", "cover", "gap", "free"]
    over: str
    """The covering panel, for cover and gap."""
    gap: float
    inside_deg: float
    """Angle inside the material, 0 to 360; over 180 is a reflex corner."""
    first_tilt_deg: float
    second_tilt_deg: float
    wished: bool
    """False where casewright chose the rule."""
    cleat: bool = False


@dataclass(frozen=True)
class Fastening:
    """Screws of one kind that hold one piece to another."""

    key: str
    through: str
    """Piece (or part) under the screw's head."""
    into: str
    """Piece the thread bites in."""
    diameter: float
    length: float
    count: int
    head_stack: float
    """Thickness under the head, counterbore taken off. [mm]"""
    bite: float
    """Thread inside the last member. [mm]"""
    left: float
    """From the screw's tip to the last member's far face. [mm]"""
    pilot: float
    clearance: float
    counterbore: float = 0.0
    name: str = ""
    """As bought: "4.0 × 30"."""
    also: tuple[tuple[str, int], ...] = ()
    """What is bought with each, and how many: ("M4 nut", 1), ("M4 washer", 2)."""


@dataclass(frozen=True)
class Cabinet:
    """Everything worked out from one project; never changed, only made anew."""

    project: Project
    parts: Mapping[str, KnownPart]
    shape: SolvedShape
    slabs: tuple[Slab, ...]
    corners: tuple[Corner, ...]
    pieces: tuple[Piece, ...]
    placed: tuple[Placed, ...]
    bodies: tuple[Body, ...]
    fastenings: tuple[Fastening, ...] = ()
    numbers: Mapping[str, Reckoning] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    """What geometry itself has to say; checks add theirs."""

    @cached_property
    def piece_by_key(self) -> Mapping[str, Piece]:
        """Pieces by key."""
        return {piece.key: piece for piece in self.pieces}

    @cached_property
    def placed_by_key(self) -> Mapping[str, Placed]:
        """Placed parts by key."""
        return {placed.key: placed for placed in self.placed}

    @cached_property
    def slab_by_panel(self) -> Mapping[str, Slab]:
        """Slabs by panel key."""
        return {slab.panel: slab for slab in self.slabs}


__all__ = [
    "Body",
    "Box",
    "Cabinet",
    "Circle",
    "Corner",
    "Cylinder",
    "FaceName",
    "FaceShape",
    "Fastening",
    "Feature",
    "FeatureKind",
    "Frame",
    "Piece",
    "PieceKind",
    "Placed",
    "Point2",
    "Point3",
    "Polygon",
    "Rectangle",
    "Run",
    "Slab",
    "SolvedShape",
]
