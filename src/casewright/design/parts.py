"""Bought parts in a project: which type, what was measured, where it sits."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from casewright.basics.fields import Angle, Key, Length, Money, Name, SignedLength
from casewright.catalog.kinds import PartKind
from casewright.design.base import Section


class Hold(Section):
    """How a display is held behind its opening."""

    style: Literal["rails and bar", "rails", "none"] = Field(
        "rails and bar", description="What holds the housing behind its opening."
    )
    gap: Length = Field(
        1.0, description="Between housing and rail, filled by shims after aligning."
    )
    rail_width: Length = Field(20.0, description="Width of the rails on the panel's back.")
    rail_height: Length = Field(20.0, description="Height of the rails over the panel's back.")
    bar_width: Length = Field(120.0, description="Width of the bar over the rear mounting holes.")
    bar_way: Literal["across", "up"] | None = Field(
        None, description="How the bar lies; across, unless plugs leave there, if not given."
    )
    bar_material: Key | None = Field(
        None, description="Board of the bar; the panel's own if not given."
    )


class Opening(Section):
    """Wishes for a display's opening."""

    margin: SignedLength = Field(0.0, description="Opening beyond the lit area, on every edge.")
    width: Length | None = Field(
        None, description="Opening's width, instead of the lit width plus margin."
    )
    height: Length | None = Field(
        None, description="Opening's height, instead of the lit height plus margin."
    )
    chamfer: Length = Field(
        0.0, description="Chamfer at 45° round the show face's edge, measured across."
    )
    corner_radius: Length | None = Field(
        None, description="Inside corner; the router bit's if not given."
    )


class Placement(Section):
    """Where one piece of a part sits.

    u and v are measured in the panel's frame: from its left inner edge to the right and from the lower (front) end of
    its run up, as seen from the show face, even for parts mounted on the back face.
    """

    key: Key = Field(description="Name of this piece, unique in the cabinet.")
    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    on: Key = Field(description="Panel it sits on.")
    u: SignedLength | None = Field(None, description="Centre, to the right; centred if not given.")
    v: SignedLength | None = Field(None, description="Centre, up; centred if not given.")
    like: Key | None = Field(
        None, description="Another piece whose place and turn this one follows."
    )
    du: SignedLength = Field(0.0, description="Shift to the right of the piece it is like.")
    dv: SignedLength = Field(0.0, description="Shift up from the piece it is like.")
    turn: Angle = Field(0.0, description="Turned counter-clockwise, as seen from the show face.")
    face: Literal["show", "back"] | None = Field(
        None, description="Face it is mounted on; the kind's usual one if not given."
    )
    player: int | None = Field(None, ge=1, le=16, description="Who uses it, for hands and elbows.")
    standoff: Length = Field(0.0, description="Kept off the face by this much (spacers).")
    recess: Length | None = Field(
        None, description="Depth of a pocket in the back face; worked out where the part needs one."
    )
    hold: Hold | None = Field(None, description="For a display.")
    opening: Opening | None = Field(None, description="For a display.")
    grille: Literal["open", "drilled", "none"] = Field("open", description="For a loudspeaker.")
    boxed: bool = Field(True, description="False: no frame and light board for a sign.")
    diffuser: Key | None = Field(
        None, description="For a sign: material its opal sheet is cut from; bought with it if none."
    )
    cover: Key | None = Field(
        None,
        description="For a sign: material its clear sheet is cut from; bought with it if none.",
    )


class Part(Section):
    """A bought part: catalog type, measured and assumed dimensions, and its pieces."""

    type: Key | None = Field(None, description="Catalog type that gives what is not said here.")
    kind: Key | None = Field(None, description="Kind of part, where no catalog type is used.")
    label: Name = Field(
        "", description="What it is called in lists and drawings; the key if not given."
    )
    measured: dict[str, object] = Field(
        default_factory=dict, description="Dimensions by caliper or from the part's own drawing."
    )
    assumed: dict[str, object] = Field(
        default_factory=dict, description="Dimensions still to be measured."
    )
    price: Money | None = Field(None, description="Price of one; the catalog's if not given.")
    quantity: int | None = Field(
        None, ge=0, le=10_000, description="Pieces to buy; the placed ones if not given."
    )
    have: int = Field(0, ge=0, le=10_000, description="Pieces the shop already has.")
    amount: float | None = Field(None, ge=0, description="Metres or boxes, for what is sold so.")
    fed_by: Key | None = Field(
        None,
        description="Supply, battery or converter that it hangs on; for a socket, gland or switch, the one it belongs "
        "to. By voltage, and by what each has left to give, if not given.",
    )
    placed: tuple[Placement, ...] = Field((), description="Each piece of it, and where it sits.")


class KnownPart(Section):
    """A part with every dimension settled, and where each came from."""

    key: Key
    label: Name
    data: PartKind
    origin: dict[str, Literal["measured", "assumed", "catalog", "default"]]

    def is_measured(self, field: str) -> bool:
        """True where a caliper or a drawing gave the number."""
        return self.origin.get(field) == "measured"


__all__ = ["Hold", "KnownPart", "Opening", "Part", "Placement"]
