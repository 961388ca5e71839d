"""The whole of what the maker wants: one frozen value, read from one project file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field, model_validator

from casewright.basics.fields import (
    BenchAddress,
    Kerf,
    Key,
    Length,
    Mass,
    Moment,
    Money,
    Name,
    PieceKey,
    PositiveLength,
    SawTilt,
    SignedLength,
    StepKey,
)
from casewright.basics.units import Unit
from casewright.design.accuracy import Accuracy
from casewright.design.base import Section
from casewright.design.built import BuiltPiece
from casewright.design.cutting_wishes import CuttingWishes
from casewright.design.finish import Finish
from casewright.design.fixings import Fixings
from casewright.design.looking import Content, Lamp
from casewright.design.materials import INCH_BATTEN, Batten, Material
from casewright.design.panels import Board, Door, Feature, Inner, Panel, Seam
from casewright.design.parts import Part
from casewright.design.shape import Shape
from casewright.design.wiring import WiringWishes


class Person(Section):
    """Somebody who uses or sees the cabinet."""

    label: Name = Field(description="What to call them.")
    posture: Literal["seated", "standing", "wheelchair"] = Field(
        "seated", description="How they sit or stand."
    )
    child: bool = Field(False, description="A child of about seven; an adult if not.")
    eye: PositiveLength | None = Field(None, description="Eye over the floor.")
    elbow: PositiveLength | None = Field(None, description="Elbow over the floor.")
    distance: PositiveLength | None = Field(
        None, description="Eye in front of the cabinet's front edge."
    )
    aside: SignedLength | None = Field(
        None,
        description="Eye right of the cabinet's middle; before the own controls if not given.",
    )
    hand: Literal["small", "middle", "large"] = Field("middle", description="Size of the hand.")
    plays: bool = Field(True, description="No for somebody who only looks on.")


class Site(Section):
    """Where it stands."""

    on: Literal["table", "floor", "lap", "wall"] = Field(
        "table", description="What the cabinet stands on."
    )
    height: Length = Field(0.0, description="Table's top over the floor.")
    depth: Length | None = Field(None, description="Depth the cabinet may take.")
    width: Length | None = Field(None, description="Width the cabinet may take.")
    lamps: tuple[Lamp, ...] = Field((), description="What may shine on a display.")
    room_c: float = Field(
        25.0, ge=-20, le=50, description="Air of the room on a warm day, in degrees Celsius."
    )


class Passage(Section):
    """A door or boot that it must go through, or a box that it must fit in."""

    label: Name = Field(description="What to call it.")
    width: PositiveLength = Field(description="Clear width.")
    height: PositiveLength = Field(description="Clear height.")
    depth: PositiveLength | None = Field(
        None, description="Clear depth, where it is a box and no door."
    )


class Limits(Section):
    """Constraints."""

    passages: tuple[Passage, ...] = Field(
        (), description="Doors, hatches, boots and shelves that it must pass."
    )
    mass_kg: Mass | None = Field(None, description="Most it may weigh.")
    heavy_kg: Mass | None = Field(None, description="From here on, say so.")
    lean_n: float = Field(
        100.0,
        ge=0,
        le=2000,
        description="Weight leaned on the front edge, in newtons; it must not tip.",
    )
    air_c: float = Field(
        45.0,
        ge=0,
        le=90,
        description="Warmest that the air inside may get, in degrees Celsius; boards and displays "
        "name theirs in their data sheets.",
    )
    hidden: Length = Field(
        1.0,
        description="Of a picture's edge, what its opening may hide from somebody who plays.",
    )
    budget: Money | None = Field(None, description="Most that all of it may cost.")
    web: PositiveLength | None = Field(
        None, description="Least material between holes; by material if not given."
    )


class Bit(Section):
    """A drill or router bit."""

    kind: Literal[
        "brad",
        "twist",
        "spade",
        "forstner",
        "hole saw",
        "straight",
        "flush trim",
        "chamfer",
        "round over",
    ] = Field(description="What sort of drill or router bit.")
    sizes: tuple[PositiveLength, ...] = Field(min_length=1, description="Diameters at hand.")
    length: Length = Field(0.0, description="Cutting length, for router bits.")


class Shop(Section):
    """Saw, bits and paper."""

    kerf: Kerf = Field(3.2, description="Width of the saw's cut.")
    tilt_most: SawTilt = Field(45.0, description="Most the saw's blade tilts.")
    fence_reach: PositiveLength | None = Field(
        None, description="Widest that fits between blade and fence."
    )
    edge_fence_most: PositiveLength = Field(
        600.0, description="Longest piece sawn standing on its end against a tall fence."
    )
    cut_depth: PositiveLength = Field(75.0, description="Thickest that the saw cuts, upright.")
    carry_most: PositiveLength | None = Field(None, description="Longest piece one person handles.")
    edge_trim: Length = Field(5.0, description="Cut off each edge of a new sheet.")
    jigsaw_kerf: Kerf | None = Field(
        None,
        description="Width of the jigsaw's cut, about 2 mm; given, pieces may be nested for it.",
    )
    bits: tuple[Bit, ...] = Field(
        (),
        description="Drills and router bits at hand; usual drills are taken where none is named.",
    )
    router_base: PositiveLength | None = Field(
        None, description="Across the router's base; 150 mm if not given."
    )
    hours: float | None = Field(
        None,
        ge=2,
        le=11,
        description="Hours of a shop day, from nine in the morning; 6 if not given.",
    )
    pace: float = Field(
        1.0, ge=0.2, le=10, description="Stretches every estimate of time; 2 takes twice as long."
    )
    paper: Literal["A4", "Letter", "A3", "Tabloid"] = Field(
        "A4", description="For the book and the templates."
    )
    bench_address: BenchAddress | None = Field(
        None,
        description="Where `casewright open --lan` is found from a phone; codes on the papers lead there.",
    )


class Writing(Section):
    """How numbers are written on the papers."""

    unit: Unit | None = Field(None, description="The project's unit if not given.")
    decimals: int = Field(1, ge=0, le=2, description="Of a millimeter.")
    denominator: Literal[16, 32, 64] = Field(32, description="Finest parts of an inch.")


class Project(Section):
    """A project file."""

    casewright: Literal[1] = Field(1, description="Version of the file's form.")
    name: Name = Field(description="What the cabinet is called on every paper.")
    unit: Unit = Field("mm", description="Of every length that names no unit of its own.")
    currency: Name = Field("cu", description="Word or sign that prices are written with.")
    notes: str = Field("", max_length=5000, description="Anything worth keeping with the project.")
    writing: Writing = Field(
        default_factory=Writing, description="How numbers are written on the papers."
    )
    people: tuple[Person, ...] = Field((), description="Who uses it and who looks on.")
    site: Site = Field(default_factory=Site, description="Where it stands.")
    contents: tuple[Content, ...] = Field(
        (), description="What the display is to show; the usual shapes if nothing is named."
    )
    limits: Limits = Field(default_factory=Limits, description="What it must not exceed.")
    shop: Shop = Field(default_factory=Shop, description="The saw, the bits, the paper.")
    materials: dict[Key, Material] = Field(
        min_length=1, description="Boards, sheets and plates, by a key of your choice."
    )
    batten: Batten = Field(
        default_factory=Batten,
        description="Strip wood for cleats and rails; 20 mm square if not given, 3/4 in in an inch project.",
    )
    finish: Finish = Field(
        default_factory=Finish, description="Paint: sealer, primer, color, clear coat."
    )
    accuracy: Accuracy = Field(
        default_factory=Accuracy, description="How exactly the shop marks, drills and saws."
    )
    shape: Shape = Field(description="The side profile: a recipe, or corners of your own.")
    panels: dict[Key, Panel] = Field(
        default_factory=dict, description="What differs from the recipe's panels, by their keys."
    )
    seams: tuple[Seam, ...] = Field(
        (), description="Which piece ends on which, where two panels meet."
    )
    inner: dict[Key, Inner] = Field(
        default_factory=dict, description="Boards inside, from side to side: shelves, dividers."
    )
    boards: dict[Key, Board] = Field(default_factory=dict, description="Loose boards at any place.")
    doors: dict[Key, Door] = Field(default_factory=dict, description="Doors and flaps in panels.")
    parts: dict[Key, Part] = Field(
        default_factory=dict, description="Bought parts: type, what was measured, where they sit."
    )
    features: tuple[Feature, ...] = Field(
        (), description="Holes, openings and grooves of your own."
    )
    wiring: WiringWishes = Field(
        default_factory=WiringWishes, description="Wishes for wires: slack, ends, sizes, prices."
    )
    cutting: CuttingWishes = Field(
        default_factory=CuttingWishes, description="What counts when sheets are laid out."
    )
    fixings: Fixings = Field(default_factory=Fixings, description="What screws cost.")
    extras: dict[Name, Money] = Field(
        default_factory=dict, description="Other costs by name, such as paint or prints."
    )
    as_built: dict[PieceKey, BuiltPiece] = Field(
        default_factory=dict, alias="as built", description="Pieces that exist already, by key."
    )
    steps_done: dict[StepKey, Moment] = Field(
        default_factory=dict,
        alias="steps done",
        description="Steps of the order of work that are ticked, by key, and when.",
    )

    @model_validator(mode="before")
    @classmethod
    def _usual_batten(cls, data: Any) -> Any:
        """Strip wood of which an inch project says nothing is as usual there."""
        # Not a default that looks at the unit: it would be an error of its own wherever anything else is wrong.
        if isinstance(data, Mapping) and data.get("unit") == "in" and "batten" not in data:
            return {**data, "batten": INCH_BATTEN}
        return data

    @property
    def unticked(self) -> Project:
        """The same without what is ticked, which changes nothing of the cabinet."""
        return self.model_copy(update={"steps_done": {}}) if self.steps_done else self

    def thickness(self, piece: str, material: str) -> float:
        """Thickness of a piece: its own if it was measured, else that of its material. [mm]"""
        built = self.as_built.get(piece)
        if built is not None and built.thickness is not None and built.reached("cut"):
            return built.thickness
        return self.materials[material].thickness

    @property
    def side_thicknesses(self) -> tuple[float, float]:
        """Of the left and the right side. [mm]"""
        material = self.shape.side.material
        return self.thickness("left", material), self.thickness("right", material)


__all__ = [
    "Bit",
    "Limits",
    "Passage",
    "Person",
    "Project",
    "Shop",
    "Site",
    "Writing",
]
