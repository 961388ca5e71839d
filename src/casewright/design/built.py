"""What exists already: pieces that are cut, with what the tape says of them."""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from pydantic import Field

from casewright.basics.fields import Angle, Name, PieceKey, PositiveLength, SignedLength
from casewright.design.base import Section

State = Literal["drawn", "cut", "shaped", "drilled", "painted", "fitted"]
"""How far a piece has come: its papers are printed; its outline and bevels are sawn; profile, openings, pockets and
grooves are made; every hole is drilled; it is painted; it is in its place."""

STATES: tuple[State, ...] = get_args(State)

Edge = Literal["left", "right", "lower", "upper"]
"""An edge as seen on the show face."""

PointUV = tuple[SignedLength, SignedLength]


class BuiltFeature(Section):
    """A hole, opening, pocket or groove as it is; what is not said is as drawn."""

    u: SignedLength | None = Field(None, description="Its middle, in the panel's frame.")
    v: SignedLength | None = Field(None, description="Where its centre really is, up.")
    diameter: PositiveLength | None = Field(None, description="Its diameter by the caliper.")
    width: PositiveLength | None = Field(None, description="Its width by the tape.")
    height: PositiveLength | None = Field(None, description="Its height by the tape.")
    radius: SignedLength | None = Field(None, description="Its corner radius, as made.")
    turn: Angle | None = Field(None, description="How far it is turned, as made.")
    points: Annotated[tuple[PointUV, ...], Field(max_length=400)] = Field(
        (), description="Its outline, where it is neither round nor a rectangle."
    )
    depth: PositiveLength | None = Field(None, description="Right through if not drawn with one.")
    face: Literal["show", "back"] | None = Field(None, description="Face it was made from.")


class Drawn(Section):
    """A piece as the papers showed it when it was made; written by casewright."""

    show: Annotated[tuple[PointUV, ...], Field(min_length=2, max_length=400)] = Field(
        description="Outline of the show face; two opposite corners of a rectangle are enough."
    )
    back: Annotated[tuple[PointUV, ...], Field(max_length=400)] = Field(
        (), description="Outline of the back face; as the show face's if not given."
    )
    thickness: PositiveLength | None = Field(
        None, description="Of its sheet as it was known then; as it is known now if not given."
    )
    features: dict[PieceKey, BuiltFeature] = Field(
        default_factory=dict, description="Its holes and openings, as they were drawn."
    )

    @property
    def faces(self) -> tuple[tuple[PointUV, ...], tuple[PointUV, ...]]:
        """Outlines of the show and the back face, counter-clockwise."""
        show = _corners(self.show)
        return show, _corners(self.back) if self.back else show


def _corners(points: tuple[PointUV, ...]) -> tuple[PointUV, ...]:
    if len(points) != 2:
        return points
    (u0, v0), (u1, v1) = points
    return ((u0, v0), (u1, v0), (u1, v1), (u0, v1))


def shortened(points: tuple[PointUV, ...]) -> tuple[PointUV, ...]:
    """An outline as `Drawn` keeps it: a rectangle by two opposite corners."""
    short = (points[0], points[2]) if len(points) == 4 else points
    return short if _corners(short) == points else points


class Rest(Section):
    """A rectangle that is left of a sheet."""

    length: PositiveLength = Field(description="Along the grain.")
    width: PositiveLength = Field(description="Across the grain.")


class BuiltPiece(Section):
    """A piece that is made, or whose papers are printed."""

    state: State = Field("cut", description="How far it is made.")
    length: PositiveLength | None = Field(
        None, description="By the tape, the way the list of pieces gives its length."
    )
    width: PositiveLength | None = Field(None, description="Its width by the tape.")
    thickness: PositiveLength | None = Field(
        None, description="By the caliper, where it is not its sheet's."
    )
    bevels: dict[Edge, Angle] = Field(
        default_factory=dict, description="Tilts that were sawn, by edge of the show face."
    )
    holes: dict[PieceKey, BuiltFeature] = Field(
        default_factory=dict,
        description="Holes, openings and grooves that are not where or as they were drawn, by name.",
    )
    note: Name = Field("", description="Anything worth keeping.")
    sheet: Name = Field("", description="What it was sawn from, by the cutting plan's name for it.")
    rests: Annotated[tuple[Rest, ...], Field(max_length=60)] = Field(
        (), description="What was left of that sheet once it was off; other pieces are cut from it."
    )
    drawn: Drawn | None = Field(
        None, description="As the papers showed it; as the plan has it now if not given."
    )

    def reached(self, state: State) -> bool:
        """Whether it has come as far as this state."""
        return STATES.index(self.state) >= STATES.index(state)


__all__ = [
    "STATES",
    "BuiltFeature",
    "BuiltPiece",
    "Drawn",
    "Edge",
    "PointUV",
    "Rest",
    "State",
    "shortened",
]
