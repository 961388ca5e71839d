"""The shape: a recipe with wishes, or an outline of points."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from casewright.basics.fields import Angle, Key, Length, PositiveLength
from casewright.design.base import Section
from casewright.design.panels import PointYZ


class SideBoard(Section):
    """The two sides, a mirrored pair."""

    material: Key = Field(description="Key of the material of both sides.")
    edge_trim: Key | None = Field(None, description="Part whose slot runs round the sides' edges.")


class AnyShape(Section):
    """Common to all shapes."""

    width: PositiveLength | None = Field(
        None, description="Over both sides; worked out by recipes if not given."
    )
    side: SideBoard = Field(description="The two sides: their board and edge trim.")
    board: Key = Field(description="Material of every panel that names no other.")


class OutlineShape(AnyShape):
    """A free outline: the side profile, counter-clockwise as seen from the right."""

    recipe: Literal["outline"] = Field("outline", description="Says which of the shapes this is.")
    width: PositiveLength = Field(description="Over both sides.")
    corners: Annotated[dict[Key, PointYZ], Field(min_length=3, max_length=60)] = Field(
        description=(
            "Corners of the side profile as [y, z]: y from the front edge back, z up; "
            "counter-clockwise from the right."
        )
    )


class TabletopShape(AnyShape):
    """Deck, sloped screen, lit header, on a table. What is not given is worked out from the parts."""

    recipe: Literal["tabletop"] = Field(description="Says which of the shapes this is.")
    deck_slope_deg: Angle = Field(8.0, description="How far the deck falls toward the hands.")
    deck_depth: PositiveLength | None = Field(
        None, description="Length of the deck from front to back, on its show face."
    )
    palm_room: Length = Field(75.0, description="From the front edge to the nearest control's rim.")
    lip_height: PositiveLength | None = Field(None, description="Height of the front lip.")
    screen_tilt_deg: Angle | None = Field(
        None, description="Laid back from vertical; from eyes if not given."
    )
    screen_margin: Length = Field(12.0, description="Panel kept above and below the housing.")
    screen_length: PositiveLength | None = Field(
        None, description="Screen panel from the deck to its top; housing and margins if not given."
    )
    header: bool = Field(True, description="Whether there is a header over the screen.")
    header_height: PositiveLength | None = Field(None, description="Height of the header's face.")
    header_overhang: PositiveLength | None = Field(
        None, description="Header's underside, from its front edge to the screen."
    )
    header_tilt_deg: Angle = Field(15.0, description="Header face laid back from vertical.")
    depth: PositiveLength | None = Field(None, description="Over all, from front to back.")
    height: PositiveLength | None = Field(
        None, description="Over all, from the underside to the top."
    )


class StandingShape(AnyShape):
    """A console or kiosk on the floor."""

    recipe: Literal["standing"] = Field(description="Says which of the shapes this is.")
    deck_height: PositiveLength | None = Field(
        None, description="Front edge of the deck over the floor."
    )
    deck_slope_deg: Angle = Field(10.0, description="How far the deck falls toward the hands.")
    deck_depth: PositiveLength | None = Field(
        None, description="Length of the deck from front to back, on its show face."
    )
    palm_room: Length = Field(75.0, description="From the front edge to the nearest control's rim.")
    screen_tilt_deg: Angle | None = Field(
        None, description="Screen laid back from vertical; from eyes if not given."
    )
    screen_margin: Length = Field(12.0, description="Panel kept above and below the housing.")
    screen_length: PositiveLength | None = Field(
        None, description="Screen panel from the deck to its top; housing and margins if not given."
    )
    header: bool = Field(False, description="Whether there is a header over the screen.")
    header_height: PositiveLength | None = Field(None, description="Height of the header's face.")
    header_overhang: PositiveLength | None = Field(
        None, description="Header's underside, from its front edge to the screen."
    )
    header_tilt_deg: Angle = Field(15.0, description="Header face laid back from vertical.")
    knee_room: Length = Field(
        0.0, description="Depth of the room for knees and toes below the deck."
    )
    depth: PositiveLength | None = Field(None, description="Over all, from front to back.")
    height: PositiveLength | None = Field(
        None, description="Over all, from the underside to the top."
    )


class LapShape(AnyShape):
    """Controls only: a wedge for the lap or a table."""

    recipe: Literal["lap"] = Field(description="Says which of the shapes this is.")
    front_height: PositiveLength | None = Field(None, description="Height of the front lip.")
    slope_deg: Angle = Field(6.0, description="How far the deck falls toward the hands.")
    depth: PositiveLength | None = Field(None, description="Over all, from front to back.")
    palm_room: Length = Field(75.0, description="From the front edge to the nearest control's rim.")


class BoxShape(AnyShape):
    """A square box: a loudspeaker or equipment case."""

    recipe: Literal["box"] = Field(description="Says which of the shapes this is.")
    height: PositiveLength | None = Field(
        None, description="Over all, from the underside to the top."
    )
    depth: PositiveLength | None = Field(None, description="Over all, from front to back.")
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
