"""Marking out: templates, rule and square, and the centres that overlay and board share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from casewright.basics.findings import mm
from casewright.basics.wording import counted
from casewright.geometry.model import Cabinet, FaceName
from casewright.planning.work.groups import Group, Shared, Spot
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.step import Laid, Setting, Step, Work

TEMPLATED = ("side", "panel", "overlay", "inner", "board", "door")
"""Kinds of pieces that get a template; the others are marked out with rule and square."""
CENTRE_BIT = 3.0
"""Bores the common centres of an overlay's and its board's holes. [mm] Common practice."""


class Marking:
    """Steps that mark out what later ones work.

    Args:
        cabinet: The cabinet.
        groups: All that is to be worked.
        shared: As `shared_holes` gives it.
        ready: Keys of the steps that make each piece so far.
    """

    def __init__(
        self,
        cabinet: Cabinet,
        groups: Sequence[Group],
        shared: Shared,
        ready: Mapping[str, tuple[str, ...]],
    ) -> None:
        self.groups = groups
        self.shared = shared
        self.ready = ready
        self.pieces = cabinet.piece_by_key
        self.rank = {piece.key: float(index) for index, piece in enumerate(cabinet.pieces)}

    def steps(self) -> Iterator[Step]:
        """Faces, then common centres."""
        yield from self.faces()
        yield from self.centres()

    def faces(self) -> Iterator[Step]:
        """Templates and marks, one step a face; small pieces with rule and square."""
        centred = {spot for pairs in self.shared.values() for pair in pairs for spot in pair}
        places: dict[tuple[str, FaceName], int] = {}
        for group in self.groups:
            for feature in group.features:
                spot = (group.piece.key, feature.key)
                if spot in centred and group.piece.kind != "overlay":
                    continue  # its centre is bored through the overlay's
                face = group.way.face
                places[group.piece.key, face] = places.get((group.piece.key, face), 0) + 1
        for (key, face), count in places.items():
            piece = self.pieces[key]
            templated = piece.kind in TEMPLATED
            read = (
                "its words can be read, its arrow points up"
                if face == "show"
                else "it is the sheet for the back face, a mirror image; its arrow points up"
            )
            orders = (
                (
                    f"Lay the template on the {face} face of the {piece.label}: {read}. Datum corners together; hold "
                    "it with tape or clamps.",
                    f"Prick {counted(count, 'centre')} and corners through. Two distances to the edges, by the tape, "
                    "before it comes off.",
                )
                if templated
                else (
                    f"Mark {counted(count, 'place')} on its {face} face with rule and square, all from the datum "
                    "corner, by its drawing.",
                )
            )
            job = "template" if templated else "mark out"
            yield Step(
                key=f"mark.{key}.{face}",
                stage="shape",
                title=f"{'Lay the template on' if templated else 'Mark out'} the {face} face of the {piece.label}",
                orders=orders,
                pieces=(key,),
                tool="Template, tape, awl" if templated else "Rule, square, awl",
                face_up=f"{face} face",
                face=face,
                needs=self.ready[key],
                laid=(Laid("template", key, face, "tape"),) if templated else (),
                marks=((key, face),),
                guards=("template face",) if templated else (),
                count=count,
                job=job,
                minutes=minutes_table().of(job, count),
                rank=self.rank[key],
            )

    def centres(self) -> Iterator[Step]:
        """Common centres of overlay and board, bored through both at once."""
        for key, pairs in self.shared.items():
            overlay, board = self.pieces[key], self.pieces[pairs[0][1][0]]
            yield Step(
                key=f"centres.{key}",
                stage="shape",
                title=f"Bore the centres of {counted(len(pairs), 'hole')} through {overlay.label} and {board.label} "
                "at once",
                orders=(
                    f"Clamp the {overlay.label} onto the {board.label}, film on, edges flush with the datum corner, "
                    "show faces up.",
                    f"Bore every centre with {mm(CENTRE_BIT)} through both, on a backing board: so they agree "
                    "whatever the size of each hole.",
                ),
                pieces=(key, board.key),
                tool=f"Drill, bit for plastics {mm(CENTRE_BIT)}",
                face_up="show face",
                face="show",
                cautions=("drill", "plastics"),
                needs=(*self.ready[board.key], f"mark.{key}.show"),
                setting=Setting("drill", (f"brad {mm(CENTRE_BIT)}", "")),
                laid=(Laid("backing board", board.key, "back", "clamps"),),
                marks=((key, "show"), (board.key, "show")),
                works=tuple(Work(*place, "start") for pair in pairs for place in pair),
                guards=("blow-out",),
                count=len(pairs),
                job="centres",
                minutes=minutes_table().of("centres", len(pairs)),
                rank=self.rank[key],
            )

    def marks_for(self, group: Group) -> list[str]:
        """Steps that mark what the group works."""
        mine = {(group.piece.key, f.key) for f in group.features}
        mine |= {(piece.key, f.key) for piece, f in group.joined}
        keys = []
        centred: set[Spot] = set()
        for overlay, pairs in self.shared.items():
            here = {place for pair in pairs for place in pair} & mine
            if here:
                keys.append(f"centres.{overlay}")
                centred |= here
        rest = {
            place
            for place in mine
            if place not in centred or self.pieces[place[0]].kind == "overlay"
        }
        if any(key == group.piece.key for key, _ in rest):
            keys.append(f"mark.{group.piece.key}.{group.way.face}")
        return keys


__all__ = ["CENTRE_BIT", "TEMPLATED", "Marking"]
