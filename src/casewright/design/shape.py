"""The shape: a recipe with wishes, or an outline of points."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from casewright.basics.fields import Angle, Key, Length, PositiveLength
from casewright.design.base import Section
from casewright.design.panels import PointYZ


class SideBoard(Section):
    """The two sides, a mirrored pair."""

    material: Key
    edge_trim: Key | None = Field(None, description="Part whose slot runs round the sides' edges.")


class AnyShape(Section):
    """Common to all shapes."""

    width: PositiveLength | None = Field(
        None, description="Over both sides; worked out by recipes if not given."
    )
    side: SideBoard
    board: Key = Field(description="Material of every panel that names no other.")


class OutlineShape(AnyShape):
    """A free outline: the side profile, counter-clockwise as seen from the right."""

    recipe: Literal["outline"] = "outline"
    width: PositiveLength
    corners: Annotated[dict[Key, PointYZ], Field(min_length=3, max_length=60)]


class TabletopShape(AnyShape):
    """Deck, sloped screen, lit header, on a table. What is not given is worked out from the parts."""

    recipe: Literal["tabletop"]
    deck_slope_deg: Angle = Field(8.0)
    deck_depth: PositiveLength | None = None
    palm_room: Length = Field(75.0, description="From the front edge to the nearest control's rim.")
    lip_height: PositiveLength | None = None
    screen_tilt_deg: Angle | None = Field(
        None, description="Laid back from vertical; from eyes if not given."
    )
    screen_margin: Length = Field(12.0, description="Panel kept above and below the housing.")
    screen_length: PositiveLength | None = Field(
        None, description="Screen panel from the deck to its top; housing and margins if not given."
    )
    header: bool = True
    header_height: PositiveLength | None = None
    header_overhang: PositiveLength | None = Field(
        None, description="Header's underside, from its front edge to the screen."
    )
    header_tilt_deg: Angle = Field(15.0, description="Header face laid back from vertical.")
    depth: PositiveLength | None = None
    height: PositiveLength | None = None


class StandingShape(AnyShape):
    """A console or kiosk on the floor."""

    recipe: Literal["standing"]
    deck_height: PositiveLength | None = Field(
        None, description="Front edge of the deck over the floor."
    )
    deck_slope_deg: Angle = 10.0
    deck_depth: PositiveLength | None = None
    palm_room: Length = 75.0
    screen_tilt_deg: Angle | None = None
    screen_margin: Length = 12.0
    screen_length: PositiveLength | None = Field(
        None, description="Screen panel from the deck to its top; housing and margins if not given."
    )
    header: bool = False
    header_height: PositiveLength | None = None
    header_overhang: PositiveLength | None = None
    header_tilt_deg: Angle = 15.0
    knee_room: Length = Field(
        0.0, description="Depth of the room for knees and toes below the deck."
    )
    depth: PositiveLength | None = None
    height: PositiveLength | None = None


class LapShape(AnyShape):
    """Controls only: a wedge for the lap or a table."""

    recipe: Literal["lap"]
    front_height: PositiveLength | None = None
    slope_deg: Angle = 6.0
    depth: PositiveLength | None = None
    palm_room: Length = 75.0


class BoxShape(AnyShape):
    """A square box: a loudspeaker or equipment case."""

    recipe: Literal["box"]
    height: PositiveLength | None = None
    depth: PositiveLength | None = None
    front_tilt_deg: Angle = Field(0.0, description="Front leaning back.")
    net_litres: float | None = Field(None, gt=0, le=1000, description="Wished volume inside.")


Shape = Annotated[
    OutlineShape | TabletopShape | StandingShape | LapShape | BoxShape,
    Field(discriminator="recipe"),
]

__all__ = [
    "AnyShape",
    "BoxShape",
    "LapShape",
    "OutlineShape",
    "Shape",
    "SideBoard",
    "StandingShape",
    "TabletopShape",
]
