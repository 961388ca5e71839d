"""Kinds of bought part and the dimensions each is described by.

A kind says what to measure; a catalog type (a data file) gives usual values; a project overrides them with caliper
readings. All lengths are millimeters in the part's own frame: u to the right and v up as seen from the show face of
the panel it sits on, n toward the viewer; "behind" is along -n, from the face that the part is mounted on.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from casewright.basics.fields import (
    Amps,
    Angle,
    Count,
    Length,
    Mass,
    Money,
    Name,
    PositiveLength,
    Power,
    Share,
    SignedLength,
    Volts,
)

Terminal = Literal["tab 2.8", "tab 4.8", "tab 6.3", "screw", "solder", "plug"]
"""How wires are joined to a part."""

Side = Literal["left", "right", "up", "down", "behind"]
"""Where something leaves a part, as seen from the show face with the part not turned."""


Above = Annotated[float, Field(ge=0.001, le=100_000)]
"""A plain number above zero."""


class Kind(BaseModel):
    """What every bought part has."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    label: Name = Field("", description="What it is called in lists and drawings.")
    mass_kg: Mass | None = Field(None, description="Mass of one piece.")
    price: Money = Field(0.0, description="Price of one piece in the project's currency.")
    volts: Volts | None = Field(None, description="Rail it runs from.")
    typical_w: Power = Field(0.0, description="Power it usually draws.")
    peak_w: Power = Field(0.0, description="Most power it draws.")
    mains: bool = Field(False, description="It carries mains voltage.")
    terminal: Terminal | None = Field(
        None, description="How wires are joined to it; as is usual for its kind if not given."
    )


class Display(Kind):
    """A flat display with its housing."""

    kind: Literal["display"] = "display"
    lit_width: PositiveLength = Field(description="Lit area, width, measured with the screen on.")
    lit_height: PositiveLength = Field(description="Lit area, height, measured with the screen on.")
    housing_width: PositiveLength = Field(description="Outer case across, edge to edge.")
    housing_height: PositiveLength = Field(description="Outer case up, edge to edge.")
    housing_depth: PositiveLength = Field(description="From the front of the housing to its rear.")
    bezel_left: Length | None = Field(
        None,
        description="From the housing's left edge to the lit area; half the rest if not given.",
    )
    bezel_bottom: Length | None = Field(
        None,
        description="From the housing's lower edge to the lit area; half the rest if not given.",
    )
    glass_setback: Length = Field(
        0.0, description="From the front of the housing back to the glass."
    )
    glass: Length = Field(
        0.0,
        description="Thickness of clear glass over the picture, bonded or its own; 0: not reckoned.",
    )
    pattern_width: Length = Field(100.0, description="Rear mounting holes, distance across.")
    pattern_height: Length = Field(100.0, description="Rear mounting holes, distance up.")
    pattern_u: SignedLength = Field(
        0.0, description="Centre of the pattern right of the housing's middle."
    )
    pattern_v: SignedLength = Field(
        0.0, description="Centre of the pattern above the housing's middle."
    )
    pattern_screw: Name = Field("M4", description="Thread of the rear mounting holes.")
    pattern_thread_depth: Length = Field(8.0, description="Usable depth of the rear threads.")
    connector_side: Side = Field("down", description="Where the plugs leave.")
    connector_room: Length = Field(50.0, description="Room for plugs and the bend of their cables.")
    wakes_by_itself: bool | None = Field(
        None, description="Shows a picture by itself after a power cut; leave out if not tested."
    )


class PushButton(Kind):
    """A push button held by a nut behind the panel."""

    kind: Literal["button"] = "button"
    hole: PositiveLength = Field(description="Hole to drill in the panel.")
    bezel: PositiveLength = Field(description="Diameter of the rim on the show face.")
    nut: PositiveLength = Field(description="Nut behind the panel, across its corners.")
    nut_thickness: Length = Field(8.0, description="Thickness of the nut behind the panel.")
    grip_least: Length = Field(0.0, description="Thinnest panel that the thread holds.")
    grip_most: PositiveLength = Field(description="Thickest panel that the thread holds.")
    body: PositiveLength = Field(description="Diameter of the body behind the panel.")
    behind: PositiveLength = Field(
        description="Depth behind the panel's show face, terminals included."
    )
    height: Length = Field(8.0, description="Height over the show face.")
    lamp_volts: Volts | None = Field(None, description="Voltage of its lamp, if it has one.")
    lamp_amps: Amps = Field(0.0, description="Current of its lamp.")


class Lever(Kind):
    """A joystick whose plate is screwed to the back of the panel."""

    kind: Literal["lever"] = "lever"
    plate_width: PositiveLength = Field(description="Base plate across (left to right).")
    plate_height: PositiveLength = Field(description="Base plate front to back.")
    plate_thickness: Length = Field(1.5, description="Thickness of the base plate.")
    holes_width: PositiveLength = Field(description="Mounting holes, distance across.")
    holes_height: PositiveLength = Field(description="Mounting holes, distance front to back.")
    hole: PositiveLength = Field(4.5, description="Diameter of a mounting hole.")
    body_width: PositiveLength = Field(description="Body behind the panel, across.")
    body_height: PositiveLength = Field(description="Body behind the panel, up.")
    body_depth: PositiveLength = Field(description="Body below the plate's mounting face.")
    plug_room: Length = Field(15.0, description="Room for the plug beyond the body's rear edge.")
    pivot: PositiveLength = Field(description="Pivot below the plate's mounting face.")
    tilt_deg: Angle = Field(description="Full tilt from upright.")
    shaft: PositiveLength = Field(description="Diameter of the shaft.")
    washer: PositiveLength = Field(description="Diameter of the dust washer.")
    ball: PositiveLength = Field(35.0, description="Diameter of the ball or knob.")
    ball_height: PositiveLength = Field(
        description="Underside of the ball above the mounting face."
    )


class Dial(Kind):
    """A rotary control (potentiometer or encoder) with a bushing."""

    kind: Literal["dial"] = "dial"
    hole: PositiveLength = Field(7.0, description="Hole for the bushing.")
    thread: PositiveLength = Field(8.0, description="Length of the bushing's thread from its seat.")
    nut_thickness: Length = Field(2.5, description="Thickness of the nut behind the panel.")
    body_width: PositiveLength = Field(17.0, description="Body behind the panel, across.")
    body_height: PositiveLength = Field(17.0, description="Body behind the panel, up.")
    body_depth: PositiveLength = Field(
        20.0, description="Body behind the panel, from the face it is mounted on."
    )
    knob: PositiveLength = Field(25.0, description="Diameter of the knob.")
    knob_height: Length = Field(16.0, description="From the show face to the top of the knob.")


class Trackball(Kind):
    """A ball in a plate, fixed from behind."""

    kind: Literal["trackball"] = "trackball"
    hole: PositiveLength = Field(description="Opening in the panel.")
    plate_width: PositiveLength = Field(description="Plate across.")
    plate_height: PositiveLength = Field(description="Plate up.")
    holes_width: PositiveLength = Field(description="Screw holes, distance across.")
    holes_height: PositiveLength = Field(description="Screw holes, distance up.")
    screw_hole: PositiveLength = Field(4.5, description="Diameter of its screw holes.")
    body_depth: PositiveLength = Field(
        description="Body behind the panel, from the face it is mounted on."
    )
    plug_room: Length = Field(
        15.0, description="Room kept free for its plugs and the bend of their cables."
    )


class Speaker(Kind):
    """A loudspeaker."""

    kind: Literal["speaker"] = "speaker"
    cutout: PositiveLength = Field(description="Diameter of the hole in the panel.")
    frame: PositiveLength = Field(description="Diameter of the frame.")
    frame_thickness: Length = Field(4.0, description="Thickness of the rim on the panel.")
    depth: PositiveLength = Field(description="Behind the face it is mounted on.")
    magnet: PositiveLength | None = Field(None, description="Diameter of the magnet.")
    holes_square: Length = Field(
        0.0, description="Side of the square of its four screw holes; 0: none."
    )
    screw_hole: PositiveLength = Field(4.0, description="Diameter of its screw holes.")
    ohms: Above | None = Field(None, description="Impedance, as its label says it.")
    rated_w: Power = Field(0.0, description="Power that it takes for long.")
    free_air_hz: Above | None = Field(None, description="Resonance in free air (fs).")
    total_q: Above | None = Field(None, description="Total Q (Qts).")
    compliance_litres: Above | None = Field(None, description="Equivalent volume (Vas).")
    travel: Length = Field(
        0.0, description="Travel of the cone one way (Xmax); 0: not known, taken low."
    )


class Port(Kind):
    """A pipe or slot that tunes a loudspeaker's box: glued in, its outer end flush with the show face."""

    kind: Literal["port"] = "port"
    shape: Literal["round", "slot"] = Field("round", description="Round pipe or slot.")
    width: PositiveLength = Field(
        description="Inner diameter of a round port, inner width of a slot."
    )
    height: PositiveLength = Field(20.0, description="Inner height of a slot.")
    wall: PositiveLength = Field(
        2.0, description="Wall of the pipe, or of the boards round a slot."
    )
    length: PositiveLength = Field(description="From the panel's show face to its inner end.")
    flange: Length = Field(
        0.0, description="Diameter of the rim on the show face of a round port; 0: none."
    )


class Device(Kind):
    """A box or board with no hole of its own: computer, amplifier, converter, supply, battery, blind cup."""

    kind: Literal["device"] = "device"
    role: Literal[
        "computer", "amplifier", "controller", "converter", "supply", "battery", "cup", "other"
    ] = Field("other", description="What it does in the cabinet; rules and papers follow it.")
    width: PositiveLength = Field(description="Its case, across.")
    height: PositiveLength = Field(description="Its case, up.")
    depth: PositiveLength = Field(description="Its case, from the face it is mounted on.")
    holes_width: Length = Field(
        0.0, description="Mounting holes, distance across; 0: strapped or clipped."
    )
    holes_height: Length = Field(0.0, description="Screw holes, distance up.")
    screw_hole: PositiveLength = Field(3.2, description="Diameter of its screw holes.")
    plug_side: Side = Field("up", description="Where its plugs leave.")
    plug_room: Length = Field(
        0.0, description="Room kept free for its plugs and the bend of their cables."
    )
    air_room: Length = Field(0.0, description="Room to keep free in front of it for air.")
    output_amps: Amps = Field(0.0, description="Most current of its output, where it is a supply.")
    output_volts: Volts | None = Field(
        None, description="Rail that a converter makes; the one that lacks a source if not given."
    )
    efficiency: Annotated[float, Field(gt=0, le=1)] = Field(
        1.0, description="Share of what it takes that it gives on."
    )
    watt_hours: float = Field(
        0.0, ge=0, le=100_000, description="Energy that a battery holds when full; 0: not known."
    )
    outside: bool = Field(False, description="It stays outside the cabinet.")


class Fitting(Kind):
    """A socket, switch, inlet or jack that sits in a hole of a panel."""

    kind: Literal["fitting"] = "fitting"
    role: Literal["port", "switch", "inlet", "jack", "socket", "terminals", "other"] = Field(
        "other", description="What it does in the cabinet; rules and papers follow it."
    )
    hole: Length = Field(0.0, description="Diameter of a round hole; 0 for a rectangular cut-out.")
    cutout_width: Length = Field(0.0, description="Cut-out in the panel, across.")
    cutout_height: Length = Field(0.0, description="Cut-out in the panel, up.")
    corner_radius: Length = Field(0.0, description="Radius of the inside corners.")
    flange_width: PositiveLength = Field(description="Flange on the show face, across.")
    flange_height: PositiveLength = Field(description="Flange on the show face, up.")
    screws_width: Length = Field(0.0, description="Screw holes, distance across; 0: none.")
    screws_height: Length = Field(0.0, description="Screw holes, distance up.")
    screws: Literal[0, 2, 4] = Field(0, description="Number of screws; two stand on a diagonal.")
    screw_hole: PositiveLength = Field(3.2, description="Diameter of its screw holes.")
    grip_least: Length = Field(0.0, description="Thinnest panel it is made for.")
    grip_most: PositiveLength = Field(50.0, description="Thickest panel it is made for.")
    behind: PositiveLength = Field(description="Depth behind the show face, terminals included.")
    plug_room: Length = Field(0.0, description="Room for the plug in front of the show face.")


class Fan(Kind):
    """A square fan on the back of a panel."""

    kind: Literal["fan"] = "fan"
    size: PositiveLength = Field(description="Across the frame.")
    thickness: PositiveLength = Field(description="Depth of the frame.")
    opening: PositiveLength = Field(description="Diameter of the air opening.")
    pitch: PositiveLength = Field(description="Distance between mounting holes.")
    screw_hole: PositiveLength = Field(4.5, description="Diameter of its screw holes.")
    flow_m3h: float = Field(0.0, ge=0, le=100_000, description="Free air flow.")
    pressure_pa: float = Field(
        0.0, ge=0, le=2000, description="Most pressure it makes; 0: not known, taken low."
    )
    noise_dba: float | None = Field(None, description="Noise at one meter, by its data sheet.")


class Vent(Kind):
    """Slots or holes for air, made in the panel itself."""

    kind: Literal["vent"] = "vent"
    slot_length: PositiveLength = Field(60.0, description="Length of one slot.")
    slot_width: PositiveLength = Field(6.0, description="Width of one slot.")
    count: int = Field(5, ge=1, le=200, description="How many slots.")
    pitch: PositiveLength = Field(14.0, description="From slot to slot.")


class Grip(Kind):
    """A hand hole with rounded ends, or a screwed-on handle."""

    kind: Literal["grip"] = "grip"
    style: Literal["hand hole", "handle"] = Field(
        "hand hole", description="A hole for the hand, or a handle on the face."
    )
    width: PositiveLength = Field(100.0, description="Across.")
    height: PositiveLength = Field(36.0, description="Up.")
    cup_depth: Length = Field(0.0, description="Depth of a blind cup behind a hand hole; 0: none.")
    cup_wall: Length = Field(6.0, description="Wall of the cup, all round.")
    screw_spacing: Length = Field(0.0, description="Distance of its two screws.")
    screw_hole: PositiveLength = Field(5.5, description="Diameter of its screw holes.")
    projection: Length = Field(0.0, description="How far it stands off the face.")


class Strip(Kind):
    """Light strip, sold by the metre."""

    kind: Literal["strip"] = "strip"
    lights_per_m: Above = Field(60, description="Lights on one meter.")
    cut_unit: PositiveLength = Field(50.0, description="Length between two cut marks.")
    watts_per_m: Power = Field(9.6, description="Power of one meter.")
    width: PositiveLength = Field(10.0, description="Across the strip.")
    addressable: bool = Field(False, description="Every light can be set by itself.")
    ohms_per_m: Annotated[float, Field(ge=0)] | None = Field(
        None,
        description="Resistance of both rails together, one metre; from the width if not given.",
    )


class Sign(Kind):
    """Lit artwork behind an opening: diffuser, print, cover."""

    kind: Literal["sign"] = "sign"
    opening_width: PositiveLength = Field(description="Opening in the panel, across.")
    opening_height: PositiveLength = Field(description="Opening in the panel, up.")
    corner_radius: Length = Field(4.0, description="Radius of the inside corners.")
    overlap: PositiveLength = Field(10.0, description="Artwork beyond the opening, on every edge.")
    diffuser: Length = Field(3.0, description="Thickness of the opal sheet.")
    cover: Length = Field(2.0, description="Thickness of the clear sheet.")
    frame_width: PositiveLength = Field(
        15.0, description="Width of the frame that holds the artwork."
    )
    frame_thickness: PositiveLength = Field(8.8, description="Thickness of the frame's board.")
    frame_lip: PositiveLength = Field(
        6.0, description="How far the frame's lip covers the artwork's edges."
    )
    board_distance: PositiveLength = Field(65.0, description="Light board behind the diffuser.")
    board_thickness: PositiveLength = Field(8.8, description="Thickness of the light board.")
    board_length: PositiveLength | None = Field(
        None, description="Light board along the rows; a little over opening and rows if not given."
    )
    board_height: PositiveLength | None = Field(
        None,
        description="Light board across the rows; a little over opening and rows if not given.",
    )
    rows: int = Field(2, ge=1, le=20, description="Rows of light strip.")
    row_pitch: PositiveLength = Field(32.0, description="Distance from row to row.")
    row_length: PositiveLength | None = Field(
        None, description="Length of one row; whole cut units."
    )
    feed: Literal["one end", "both ends", "middle"] = Field(
        "one end", description="Where the supply is joined to the chain of rows."
    )
    wall_reflectance: Share = Field(
        0.0,
        description="Share of the light that side walls round the light board throw back; 0: no walls. "
        "Matt white paint or card gives 0.8.",
    )


class Foot(Kind):
    """A foot screwed under the base."""

    kind: Literal["foot"] = "foot"
    diameter: PositiveLength = Field(30.0, description="Across the foot.")
    height: PositiveLength = Field(12.0, description="How far it lifts the cabinet.")
    screw_hole: PositiveLength = Field(4.5, description="Diameter of its screw holes.")


class Hardware(Kind):
    """Hinges, latches, magnets, edge trim, inserts, wire: counted, carried by no hole of their own."""

    kind: Literal["hardware"] = "hardware"
    role: Literal[
        "hinge",
        "latch",
        "magnet",
        "trim",
        "insert",
        "screw",
        "wire",
        "finish",
        "board",
        "wall tie",
        "other",
    ] = Field("other", description="What it does in the cabinet; rules and papers follow it.")
    sold_by: Literal["piece", "metre", "box"] = Field(
        "piece", description="What one of it is, as it is sold."
    )
    hole: Length = Field(0.0, description="Hole it needs, if it is placed on a panel.")
    hole_depth: Length = Field(0.0, description="Depth of that hole; 0: through.")
    slot_width: Length = Field(0.0, description="Slot of an edge trim.")
    trim_width: Length = Field(
        0.0, description="Width of an edge trim, over the edge that it covers; 0: not known."
    )
    slot_depth: Length = Field(
        0.0, description="Depth of the slot that its spline is pressed into."
    )
    leaf: Length = Field(
        0.0, description="Of a hinge: its length along the edge; 0: cut to the door's edge."
    )
    leaf_width: Length = Field(
        0.0,
        description="Of a hinge: from its pin to a leaf's outer edge; 0: it has no leaves.",
    )
    leaf_thickness: Length = Field(0.0, description="Of a hinge: thickness of a leaf.")
    knuckle: Length = Field(0.0, description="Of a hinge: across the knuckle round its pin.")
    leaf_screw: Length = Field(0.0, description="Of a hinge: screws that its holes are made for.")
    leaf_screws: Count = Field(
        0, description="Of a hinge: screws in a leaf; of one that is cut, in each 100 mm of it."
    )


PartKind = Annotated[
    Display
    | PushButton
    | Lever
    | Dial
    | Trackball
    | Speaker
    | Port
    | Device
    | Fitting
    | Fan
    | Vent
    | Grip
    | Strip
    | Sign
    | Foot
    | Hardware,
    Field(discriminator="kind"),
]
"""Any bought part."""

KINDS: dict[str, type[Kind]] = {
    "button": PushButton,
    "device": Device,
    "dial": Dial,
    "display": Display,
    "fan": Fan,
    "fitting": Fitting,
    "foot": Foot,
    "grip": Grip,
    "hardware": Hardware,
    "lever": Lever,
    "port": Port,
    "sign": Sign,
    "speaker": Speaker,
    "strip": Strip,
    "trackball": Trackball,
    "vent": Vent,
}

__all__ = [
    "KINDS",
    "Device",
    "Dial",
    "Display",
    "Fan",
    "Fitting",
    "Foot",
    "Grip",
    "Hardware",
    "Kind",
    "Lever",
    "PartKind",
    "Port",
    "PushButton",
    "Side",
    "Sign",
    "Speaker",
    "Strip",
    "Terminal",
    "Trackball",
    "Vent",
]
