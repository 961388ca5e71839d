"""Panels, seams, cleats, inner boards and features that no part brings."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from casewright.basics.fields import (
    Angle,
    Key,
    Length,
    Mass,
    Name,
    PositiveLength,
    SignedAngle,
    SignedLength,
)
from casewright.design.base import Section

Role = Literal[
    "floor",
    "riser",
    "deck",
    "screen",
    "header underside",
    "header face",
    "top",
    "back",
    "door",
    "front",
    "baffle",
    "shelf",
    "light board",
    "open",
    "other",
]
Face = Literal["show", "back"]
DoorEdge = Literal["left", "right", "top", "bottom"]
PointYZ = tuple[SignedLength, SignedLength]


class Layer(Section):
    """A sheet laid over a panel's board on its show face."""

    key: Key = Field(
        description="What the layer is called: its piece gets the panel's key, a dot, and this."
    )
    material: Key = Field(description="Key of the material it is cut from.")
    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    inset: Length = Field(0.0, description="Its edges kept back from the board's, left and right.")


class Cleats(Section):
    """Battens behind a panel along both sides."""

    along: Literal["sides", "none"] = Field(
        "sides", description="Where cleats run: along both sides, or nowhere."
    )
    counterbore: Length = Field(0.0, description="Depth of the screw head's bore in the cleat.")
    screw: Name = Field(
        "", description="Screw wished, such as '4.0 x 25'; worked out if not given."
    )
    start: Length = Field(
        0.0, description="Kept back from the run's start, beyond what the seam asks."
    )
    end: Length = Field(0.0, description="Kept back from the run's end, beyond what the seam asks.")


class Panel(Section):
    """A panel on one run of the outline."""

    run: Name = Field(
        "", description="Two corners of the outline, such as 'G-H'. Recipes fill it in."
    )
    role: Role = Field(
        "other", description="What the panel does; recipes say it, an outline of your own needs it."
    )
    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    material: Key | None = Field(None, description="Board; the shape's own if not given.")
    layers: tuple[Layer, ...] = Field((), description="Overlays on the show face, outermost first.")
    reveal: SignedLength = Field(
        0.0,
        ge=-10,
        description="Show face set back from the side's edge; below 0 it stands proud of it.",
    )
    joint: Literal["butt", "groove"] = Field("butt", description="How it meets the sides.")
    groove_depth: Length = Field(6.0, description="Depth of the grooves in the sides.")
    groove_play: Length = Field(0.2, description="Groove wider than the panel by this.")
    clearance: Length = Field(0.0, description="Kept free at each end, left and right.")
    fixing: Literal["glued", "screwed", "magnets", "locks"] = Field(
        "glued",
        description="Everything but 'glued' can be taken off for service. Set back and in grooves of both sides, it "
        "cannot be unscrewed.",
    )
    cleats: Cleats | None = Field(
        None, description="Battens behind it; the fixing decides if not given."
    )
    grain: Literal["across", "up", "none"] | None = Field(
        None,
        description="Grain from side to side, or up the run; the material decides if not given.",
    )


class Seam(Section):
    """How two panels meet at a corner of the outline."""

    between: tuple[Key, Key] = Field(description="Keys of the two panels.")
    rule: Literal["miter", "cover", "gap", "free"] = Field(
        "cover",
        description=(
            "Both end on one plane (miter), one covers the other (cover), it keeps a gap, or "
            "it ends free."
        ),
    )
    over: Key | None = Field(
        None, description="For 'cover' and 'gap': the panel that runs past the other."
    )
    gap: Length = Field(
        0.0,
        description="For 'gap': kept open between the two; where the outline turns less than 45°, between two ends "
        "cut alike.",
    )
    tilt: dict[Key, SignedAngle] = Field(
        default_factory=dict,
        description="For 'free': saw tilt of each panel's end, positive where the show face is the longer.",
    )
    setback: dict[Key, SignedLength] = Field(
        default_factory=dict,
        description="For 'free': end on the show face, kept back from the corner.",
    )
    cleat: bool = Field(False, description="A batten behind the seam, from side to side.")


class Inner(Section):
    """A board inside the cabinet that runs from side to side, on a line in the side view."""

    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    role: Role = Field("shelf", description="What the board does.")
    material: Key = Field(description="Key of the material it is cut from.")
    start: PointYZ = Field(description="(y, z); the show face lies on the line from start to end.")
    end: PointYZ = Field(
        description="The board lies to the left of the way from start to end, seen from the right."
    )
    until: Literal["given", "panels"] = Field(
        "given", description="'panels': lengthened or shortened to meet the panels at both ends."
    )
    joint: Literal["butt", "groove"] = Field(
        "butt", description="Whether it ends on the sides or in grooves."
    )
    groove_depth: Length = Field(6.0, description="Depth of the grooves in the sides.")
    groove_play: Length = Field(0.2, description="Room in the groove beyond the board's thickness.")
    clearance: Length = Field(
        0.0, description="Kept free between its ends and the sides, at each end."
    )
    left: SignedLength | None = Field(
        None, description="x of its left end, where it does not reach the side."
    )
    right: SignedLength | None = Field(
        None,
        description="Where its right end stops, as for 'left'; at the right side if not given.",
    )
    load_kg: Mass | None = Field(
        None, description="What is to stand on it; as a shelf of light things if not given."
    )
    cleats: bool = Field(
        True,
        description="Battens along the sides, behind it: below a shelf whose start is farther back than its end.",
    )
    fixing: Literal["glued", "screwed", "magnets", "locks"] = Field(
        "screwed",
        description="What holds it. In grooves of both sides it goes in with them, and is not unscrewed.",
    )


class Board(Section):
    """A loose rectangular board placed anywhere: a leg, a stretcher, a divider."""

    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    material: Key = Field(description="Key of the material it is cut from.")
    plane: Literal["side", "front", "level"] = Field(
        description="Which way its faces look: to the side (x), to the front (y), up and down (z)."
    )
    at: tuple[SignedLength, SignedLength, SignedLength] = Field(
        description="Its least x, y and z in the cabinet frame."
    )
    size: tuple[PositiveLength, PositiveLength] = Field(
        description="For 'side': along y and z; 'front': along x and z; 'level': along x and y."
    )
    grain: Literal["first", "second", "none"] = Field(
        "none", description="Which of its sizes the grain runs along."
    )
    fixing: Literal["glued", "screwed", "bolted"] = Field("screwed", description="What holds it.")


class Door(Section):
    """A lift-out or hinged piece that fills an opening of a panel, in the panel's own plane."""

    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    on: Key = Field(description="Key of the panel it is cut into.")
    u: SignedLength | None = Field(
        None, description="Centre, to the right; in the panel's middle if not given."
    )
    v: SignedLength | None = Field(
        None, description="Centre, up; in the panel's middle if not given."
    )
    width: PositiveLength = Field(description="From its left to its right edge.")
    height: PositiveLength = Field(description="From its lower to its upper edge.")
    gap: Length = Field(1.5, description="Round its edges, paint included.")
    material: Key | None = Field(
        None, description="Key of its material; the panel's own if not given."
    )
    fixing: Literal["magnets", "locks", "hinges", "screwed"] = Field(
        "magnets", description="What holds it."
    )
    hinged: DoorEdge | None = Field(
        None,
        description="Edge it hangs on, where hinges hold it, as seen from its show face; if not given the left "
        "one, or the top one of a door that is wider than high.",
    )
    opens_deg: float = Field(
        90.0, ge=30, le=180, description="How far it is to swing open, in degrees, outward."
    )
    bevel_deg: float = Field(
        0.0,
        ge=0,
        le=30,
        description="Bevel of a hinged door's free edge, in degrees, its back the shorter.",
    )
    lip: Length = Field(
        12.0, description="Width of the strips behind the opening's edge that stop it."
    )


class Frame(Section):
    """Common to features said by hand."""

    on: Key = Field(description="Key of the panel it is in.")
    face: Face = Field("show", description="Face it is worked from.")
    u: SignedLength = Field(description="Centre, to the right from the panel's left inner edge.")
    v: SignedLength = Field(description="Centre, up from the panel's lower or front edge.")
    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )


class HoleFeature(Frame):
    """A round hole."""

    shape: Literal["hole"] = Field(description="Says which sort of feature this is.")
    diameter: PositiveLength = Field(description="Across the hole.")
    depth: Length = Field(0.0, description="0: right through.")


class RectangleFeature(Frame):
    """A rectangular opening or pocket."""

    shape: Literal["rectangle"] = Field(description="Says which sort of feature this is.")
    width: PositiveLength = Field(description="From its left to its right edge.")
    height: PositiveLength = Field(description="From its lower to its upper edge.")
    radius: Length | None = Field(None, description="Inside corner; the bit's if not given.")
    depth: Length = Field(0.0, description="0: right through.")
    chamfer: Length = Field(0.0, description="Chamfer at 45° along the front edge; 0: none.")
    turn: Angle = Field(0.0, description="Turned counter-clockwise, as seen from the show face.")


class SlotFeature(Frame):
    """A slot with round ends."""

    shape: Literal["slot"] = Field(description="Says which sort of feature this is.")
    length: PositiveLength = Field(description="From end to end, round ends included.")
    width: PositiveLength = Field(description="Across the slot.")
    depth: Length = Field(
        0.0, description="How deep it goes from the face it is worked on; 0: right through."
    )
    turn: Angle = Field(0.0, description="Turned counter-clockwise, as seen from the show face.")


class OutlineFeature(Frame):
    """A closed outline of straight lines."""

    shape: Literal["outline"] = Field(description="Says which sort of feature this is.")
    points: Annotated[
        tuple[tuple[SignedLength, SignedLength], ...], Field(min_length=3, max_length=400)
    ] = Field(description="Corners as [u, v] from its own place.")
    depth: Length = Field(
        0.0, description="How deep it goes from the face it is worked on; 0: right through."
    )


class GrooveFeature(Frame):
    """A groove or rabbet along a straight line from (u, v)."""

    shape: Literal["groove"] = Field(description="Says which sort of feature this is.")
    to: tuple[SignedLength, SignedLength] = Field(description="Where it ends, as [u, v].")
    width: PositiveLength = Field(description="Across the groove.")
    depth: PositiveLength = Field(description="How deep it goes from the face it is worked on.")


Feature = Annotated[
    HoleFeature | RectangleFeature | SlotFeature | OutlineFeature | GrooveFeature,
    Field(discriminator="shape"),
]

__all__ = [
    "Board",
    "Cleats",
    "Door",
    "DoorEdge",
    "Face",
    "Feature",
    "Frame",
    "GrooveFeature",
    "HoleFeature",
    "Inner",
    "Layer",
    "OutlineFeature",
    "Panel",
    "PointYZ",
    "RectangleFeature",
    "Role",
    "Seam",
    "SlotFeature",
]
