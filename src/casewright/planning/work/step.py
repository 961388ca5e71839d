"""One step of the work, and what it knows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from casewright.geometry.model import Cabinet, FaceName, Fastening, Piece
from casewright.planning.cautions import Hazard

Stage = Literal["cut", "bevel", "shape", "dry fit", "glue", "paint", "fit", "wire", "test", "close"]

STAGES: tuple[Stage, ...] = (
    "cut",
    "bevel",
    "shape",
    "dry fit",
    "glue",
    "paint",
    "fit",
    "wire",
    "test",
    "close",
)
MAKING: tuple[Stage, ...] = ("cut", "bevel", "shape")
"""Stages at the machines, whose order is free but for what needs what."""

Machine = Literal["table saw", "guide rail saw", "miter saw", "jigsaw", "router", "drill"]

ADJUSTED: dict[Machine, tuple[str, ...]] = {
    "table saw": ("tilt", "fence"),
    "guide rail saw": ("guide",),
    "miter saw": ("stop",),
    "jigsaw": ("blade",),
    "router": ("bit", "depth"),
    "drill": ("bit", "stop"),
}
"""What is set on each machine. The second is set anew whenever the first is."""

GuardKey = Literal[
    "two lefts",
    "marks on a show face",
    "template face",
    "through a show face",
    "screws through",
    "blow-out",
    "paint on a glue face",
    "closed too soon",
]


@dataclass(frozen=True)
class Setting:
    """How a machine stands."""

    machine: Machine
    values: tuple[str, ...]
    """One for each thing of `ADJUSTED`; "" where it is not used. Lengths are marked by `basics.findings.mm`."""
    stop: float | None = None
    """Depth stop of a drill, depth of a router, width of a chamfer. [mm]"""
    blade: str = ""
    """Another blade than the usual one: "plastics"."""

    def level(self, depth: int) -> tuple[str, ...]:
        """What must stand the same to share a setting of the thing at `depth`."""
        return (self.machine, *self.values[: depth + 1])


Part = Literal["whole", "start", "rough", "rim", "round"]


@dataclass(frozen=True)
class Work:
    """A feature that a step works on."""

    piece: str
    feature: str
    part: Part = "whole"
    """ "whole" finishes it; "start" bores where a saw enters; "rough" leaves a little; "rim" chamfers
    its edge, "round" rounds it over."""


@dataclass(frozen=True)
class Laid:
    """Something put on a piece for the time of the step."""

    what: Literal["guide strips", "template", "backing board", "other side"]
    piece: str
    face: FaceName
    held: Literal["clamps", "tape", "pins", "loose"]


@dataclass(frozen=True)
class Step:
    """One thing to do at the bench. Lengths inside texts are marked by `basics.findings.mm`."""

    key: str
    """ "panel.deck". Made of names, never of places in a list, so that it outlives edits of other things."""
    stage: Stage
    title: str
    orders: tuple[str, ...]
    """What to do, in the imperative, in order."""
    pieces: tuple[str, ...] = ()
    """Keys of the pieces at hand."""
    parts: tuple[str, ...] = ()
    """Keys of the placed parts at hand."""
    tool: str = ""
    face_up: str = ""
    screws: tuple[tuple[str, int], ...] = ()
    """Name as bought, count."""
    cautions: tuple[Hazard, ...] = ()
    needs: tuple[str, ...] = ()
    """Keys of the steps that must be done, and dry, before."""
    dry: str = ""
    """What must dry, and how long."""
    rank: float = 0.0
    """Earlier first, where nothing else decides."""
    number: int = 0
    """From 1, in the order of work; 0 until the order is settled."""
    setting: Setting | None = None
    """None: nothing is set for it."""
    face: FaceName | None = None
    """The face that lies up, where it matters."""
    works: tuple[Work, ...] = ()
    marks: tuple[tuple[str, FaceName], ...] = ()
    """Faces on which it marks what later steps work: key of the piece, face."""
    laid: tuple[Laid, ...] = ()
    fastenings: tuple[str, ...] = ()
    """Keys of the fastenings it drives."""
    masks: tuple[str, ...] = ()
    """Keys of the pieces whose seats and mating edges it keeps free of paint."""
    guards: tuple[GuardKey, ...] = ()
    """Mistakes that its orders warn of."""
    count: int = 1
    """So many cuts, holes, passes or things to handle."""
    job: str = ""
    """Line of the table of minutes."""
    minutes: float = 0.0
    """Of work, setting aside."""
    setup_minutes: float = 0.0
    """Of setting the machine before it; 0 where it stands right."""
    dry_h: float = 0.0
    """Hours until what needs it may begin."""
    sheet: tuple[str, int, int] | None = None
    """Of a saw cut: material, sheet and number of the cut in the cutting plan."""
    wires: tuple[str, ...] = ()
    """Labels of the runs of the harness that it lays and checks."""

    @property
    def busy_h(self) -> float:
        """Hours that it keeps a person busy."""
        return (self.minutes + self.setup_minutes) / 60


def screws_of(fastenings: Iterable[Fastening]) -> tuple[tuple[str, int], ...]:
    """Screws by name, with their count, in order of name."""
    counts: dict[str, int] = {}
    for fastening in fastenings:
        if fastening.name:
            counts[fastening.name] = counts.get(fastening.name, 0) + fastening.count
    return tuple(sorted(counts.items()))


def labels_of(cabinet: Cabinet) -> dict[str, str]:
    """What pieces and placed parts are called, by key; and parts of no place of their own that screws go through."""
    hardware = {f.through for f in cabinet.fastenings} & cabinet.parts.keys()
    return {
        **{key: cabinet.parts[key].label for key in sorted(hardware)},
        **{placed.key: placed.label or placed.part.label for placed in cabinet.placed},
        **{piece.key: piece.label or piece.key for piece in cabinet.pieces},
    }


def is_removable(piece: Piece) -> bool:
    """Whether it comes off for service."""
    return piece.fixing != "glued"


def other(face: FaceName) -> FaceName:
    """The opposite face."""
    return "back" if face == "show" else "show"


__all__ = [
    "ADJUSTED",
    "MAKING",
    "STAGES",
    "GuardKey",
    "Laid",
    "Machine",
    "Part",
    "Setting",
    "Stage",
    "Step",
    "Work",
    "is_removable",
    "labels_of",
    "other",
    "screws_of",
]
