"""Outlines that the table saw does not make: the sides as a pair, other pieces one by one."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence

from casewright.basics.findings import mm
from casewright.geometry.model import Cabinet, Piece, Point2
from casewright.planning.nests import LEFT_ON
from casewright.planning.setups import is_rectangle
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.sawing import blade_for
from casewright.planning.work.step import Laid, Setting, Step


class Profiles:
    """Steps of the outlines; `ready` grows by them.

    Args:
        cabinet: The cabinet.
        ready: Keys of the steps that make each piece so far.
        nested: Keys of the pieces that come sawn out of a nest.
    """

    def __init__(
        self,
        cabinet: Cabinet,
        ready: dict[str, tuple[str, ...]],
        nested: Collection[str] = (),
    ) -> None:
        self.cabinet = cabinet
        self.nested = nested
        self.ready = ready
        """What must be done before a piece is marked out."""
        self.rank = {piece.key: float(index) for index, piece in enumerate(cabinet.pieces)}
        self.sides = [piece for piece in cabinet.pieces if piece.kind == "side"]

    def steps(self) -> Iterator[Step]:
        """Outlines that the table saw does not make; the sides as a pair."""
        sides = self.sides
        if len(sides) == 2 and all(not is_rectangle(side) for side in sides) and _mirrored(*sides):
            yield from self.pair_profile(*sides)
        else:
            for piece in sides:
                if not is_rectangle(piece):
                    yield from self.single_profile(piece)
        if sides:
            yield self.told_apart()
        for piece in self.cabinet.pieces:
            if piece.kind != "side" and not is_rectangle(piece):
                yield from self.single_profile(piece)

    def pair_profile(self, left: Piece, right: Piece) -> Iterator[Step]:
        """Both sides on each other, sawn and trimmed at once."""
        both = (left.key, right.key)
        sawn = set(both) <= set(self.nested)
        what = "sides, sawn out of their nest," if sawn else "blanks"
        needs = (*self.ready[left.key], *self.ready[right.key])
        around = _around(left.show) / 1000
        yield Step(
            key="sides.stack",
            stage="shape",
            title="Fix the two sides on each other, back faces together",
            orders=(
                f"Fix the two {what} on each other with double-sided tape, back faces together and show faces outward: "
                "so they come out as a left and a right, not as two lefts.",
                "Hold the profile template with clamps on the show face that lies up, words to be read; no nails.",
            ),
            pieces=both,
            tool="Double-sided tape, clamps",
            face_up="show face",
            face="show",
            needs=needs,
            laid=(
                Laid("other side", left.key, "back", "tape"),
                Laid("other side", right.key, "back", "tape"),
                Laid("template", left.key, "show", "clamps"),
            ),
            marks=((left.key, "show"),),
            guards=("two lefts", "marks on a show face"),
            count=2,
            job="stack",
            minutes=minutes_table().of("stack", 2),
            rank=-5,
        )
        if not sawn:
            yield Step(
                key="sides.saw",
                stage="shape",
                title="Saw the profile of both sides",
                orders=(
                    f"Saw with the jigsaw {mm(LEFT_ON)} outside the line, both at once; cuts run out over waste.",
                ),
                pieces=both,
                tool="Jigsaw, long fine blade",
                face_up="show face",
                face="show",
                cautions=("saw", "dust"),
                needs=("sides.stack",),
                setting=Setting("jigsaw", ("for wood",)),
                job="profile saw",
                minutes=minutes_table().of("profile saw", around),
                rank=-4,
            )
        yield Step(
            key="sides.trim",
            stage="shape",
            title="Trim both sides to the line",
            orders=(
                "Plane or sand both to the line as a pair, square to the face, along a straightedge held by clamps.",
            ),
            pieces=both,
            tool="Plane, sanding block, square",
            face_up="show face",
            face="show",
            cautions=("dust",),
            needs=("sides.stack",) if sawn else ("sides.saw",),
            job="profile trim",
            minutes=minutes_table().of("profile trim", around),
            rank=-3,
        )
        for key in both:
            self.ready[key] = (*self.ready[key], "sides.trim")

    def told_apart(self) -> Step:
        """Left and right are marked before anything is worked into one face."""
        keys = tuple(side.key for side in self.sides)
        needs = tuple(dict.fromkeys(need for key in keys for need in self.ready[key]))
        for key in keys:
            self.ready[key] = (*self.ready[key], "sides.mark")
        return Step(
            key="sides.mark",
            stage="shape",
            title="Take the sides apart, mark LEFT and RIGHT",
            orders=(
                "Stand them up as in the cabinet, inner faces to each other: their fronts must both point to you. Two "
                "lefts show now, not at the assembly.",
                "Draw the cabinetmaker's triangle over both, write LEFT and RIGHT on the inner faces.",
            ),
            pieces=keys,
            tool="Pencil",
            face_up="inner faces to each other",
            needs=needs,
            guards=("two lefts",),
            job="mark pair",
            minutes=minutes_table().of("mark pair", 1),
            rank=-2,
        )

    def single_profile(self, piece: Piece) -> Iterator[Step]:
        """A piece by itself, from its back face."""
        around = _around(piece.show) / 1000
        key = f"profile.{piece.key}"
        sawn = piece.key in self.nested
        if not sawn:
            yield Step(
                key=f"{key}.saw",
                stage="shape",
                title=f"Saw the outline of the {piece.label}",
                orders=(
                    "Mark it on the back face with its template, mirrored as the sheet for the back face shows it.",
                    f"Saw {mm(LEFT_ON)} outside the line; its show face lies down.",
                ),
                pieces=(piece.key,),
                tool="Jigsaw",
                face_up="back face",
                face="back",
                cautions=("saw", "dust"),
                needs=self.ready[piece.key],
                setting=Setting("jigsaw", (blade_for(self.cabinet, piece),)),
                laid=(Laid("template", piece.key, "back", "clamps"),),
                marks=((piece.key, "back"),),
                guards=("template face",),
                job="profile saw",
                minutes=minutes_table().of("profile saw", around),
                rank=self.rank[piece.key],
            )
        yield Step(
            key=f"{key}.trim",
            stage="shape",
            title=f"Trim the {piece.label} to the line",
            orders=("Plane or sand to the line, square to the face.",),
            pieces=(piece.key,),
            tool="Plane, sanding block, square",
            face_up="back face",
            face="back",
            cautions=("dust",),
            needs=self.ready[piece.key] if sawn else (f"{key}.saw",),
            job="profile trim",
            minutes=minutes_table().of("profile trim", around),
            rank=self.rank[piece.key],
        )
        self.ready[piece.key] = (*self.ready[piece.key], f"{key}.trim")


def _mirrored(left: Piece, right: Piece) -> bool:
    """Whether the two outlines are mirror images: only then can they be sawn as a pair."""

    def around(points: Sequence[Point2], sign: int) -> list[tuple[float, float]]:
        moved = [(sign * u, v) for u, v in points]
        low_u, low_v = min(p[0] for p in moved), min(p[1] for p in moved)
        return sorted((round(u - low_u, 2), round(v - low_v, 2)) for u, v in moved)

    ours, theirs = around(left.show, 1), around(right.show, -1)
    return len(ours) == len(theirs) and all(
        math.dist(a, b) < 0.05 for a, b in zip(ours, theirs, strict=True)
    )


def _around(points: Sequence[Point2]) -> float:
    return sum(math.dist(p, q) for p, q in zip(points, [*points[1:], points[0]], strict=True))


__all__ = ["LEFT_ON", "Profiles"]
