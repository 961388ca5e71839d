"""Steps at router, jigsaw and drill: profiles, marking out, and every group of features that share a setting."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from casewright.basics.findings import mm
from casewright.basics.wording import counted, listed
from casewright.geometry.model import Cabinet, Circle, FaceName, Feature, Piece, Point2, Rectangle
from casewright.planning.cautions import Hazard
from casewright.planning.setups import is_rectangle
from casewright.planning.work.holes import (
    Way,
    bored,
    chamfer_passes,
    feature_needs,
    passes,
    start_diameter,
    unknotted,
    way_of,
)
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.sawing import PLASTICS
from casewright.planning.work.step import (
    GuardKey,
    Laid,
    Setting,
    Step,
    Work,
    labels_of,
    other,
)

TEMPLATED = ("side", "panel", "overlay", "inner", "board", "door")
"""Kinds of pieces that get a template; the others are marked out with rule and square."""
LEFT_ON = 2.5
"""Left inside the line when sawing out. [mm] Common practice."""
CENTRE_BIT = 3.0
"""Bores the common centres of an overlay's and its board's holes. [mm] Common practice."""
BIG = 12.0
"""A larger hole takes longer. [mm]"""

_FLUSH = 0.05


@dataclass
class _Op:
    """A group of features of one piece that share a setting."""

    key: str
    piece: Piece
    way: Way
    features: tuple[Feature, ...]
    needs: set[str] = field(default_factory=set)
    joined: tuple[tuple[Piece, Feature], ...] = ()
    """Features of another piece, clamped to this one, that the same pass makes."""


def shaping_steps(cabinet: Cabinet, sawn: Mapping[str, Sequence[str]]) -> list[Step]:
    """Every step at router, jigsaw and drill, and the marking out before them.

    Args:
        cabinet: The cabinet.
        sawn: Keys of the saw steps that make each piece.
    """
    return _Shaping(cabinet, sawn).steps()


class _Shaping:
    def __init__(self, cabinet: Cabinet, sawn: Mapping[str, Sequence[str]]) -> None:
        self.cabinet = cabinet
        self.shop = cabinet.project.shop
        self.pieces = cabinet.piece_by_key
        self.labels = labels_of(cabinet)
        self.ready = {piece.key: tuple(sawn.get(piece.key, ())) for piece in cabinet.pieces}
        """What must be done before a piece is marked out."""
        self.rank = {piece.key: float(index) for index, piece in enumerate(cabinet.pieces)}
        self.sides = [piece for piece in cabinet.pieces if piece.kind == "side"]
        self.pair: str = ""
        """Key of the step that marks left and right."""

    def steps(self) -> list[Step]:
        made = [*self.profiles()]
        shared = self.shared()
        centred = {key for pairs in shared.values() for pair in pairs for key in pair}
        ops = [op for piece in self.cabinet.pieces for op in self.ops(piece)]
        ops = self.joined(ops, shared)
        made += self.marking(ops, centred)
        made += self.centres(shared)
        slots = [op for op in ops if op.way.bit == "slot cutter" and op.piece.kind == "side"]
        made += self.slots(slots)
        for op in ops:
            if op not in slots:
                made += self.worked(op, shared)
        return made

    # ---- outlines ----

    def profiles(self) -> Iterator[Step]:
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
        both = (left.key, right.key)
        needs = (*self.ready[left.key], *self.ready[right.key])
        around = _around(left.show) / 1000
        yield Step(
            key="sides.stack",
            stage="shape",
            title="Fix the two sides on each other, back faces together",
            orders=(
                "Fix the two blanks on each other with double-sided tape, back faces together and show faces outward: "
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
            needs=("sides.saw",),
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
        around = _around(piece.show) / 1000
        key = f"profile.{piece.key}"
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
            setting=Setting("jigsaw", (self.blade(piece),)),
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
            needs=(f"{key}.saw",),
            job="profile trim",
            minutes=minutes_table().of("profile trim", around),
            rank=self.rank[piece.key],
        )
        self.ready[piece.key] = (*self.ready[piece.key], f"{key}.trim")

    def blade(self, piece: Piece) -> str:
        return "for plastics" if self.is_plastic(piece) else "for wood"

    def is_plastic(self, piece: Piece) -> bool:
        material = self.cabinet.project.materials.get(piece.material)
        return material is not None and material.kind in PLASTICS

    # ---- groups of features ----

    def ops(self, piece: Piece) -> Iterator[_Op]:
        """Features of a piece by face, machine, bit and stop; parted where needs go round in a ring."""
        if not piece.features:
            return
        by_key = {feature.key: feature for feature in piece.features}
        groups: dict[tuple[object, ...], list[str]] = {}
        ways: dict[str, Way] = {}
        for feature in piece.features:
            way = way_of(feature, piece, self.shop)
            way = replace(
                way,
                diameter=round(way.diameter, 2),
                stop=None if way.stop is None else round(way.stop, 1),
            )
            ways[feature.key] = way
            groups.setdefault((way, feature.tool), []).append(feature.key)
        needs = feature_needs(piece.features)
        home: dict[str, str] = {}
        made: list[tuple[str, tuple[str, ...]]] = []
        used: set[str] = set()
        for keys, turn in unknotted(list(groups.values()), needs):
            key = _op_key(piece, ways[keys[0]], turn)
            while key in used:
                key += "'"
            used.add(key)
            made.append((key, keys))
            home |= dict.fromkeys(keys, key)
        for key, keys in made:
            earlier = {home[need] for name in keys for need in needs[name]} - {key}
            yield _Op(key, piece, ways[keys[0]], tuple(by_key[k] for k in keys), earlier)

    # ---- overlays ----

    def shared(self) -> dict[str, list[tuple[tuple[str, str], tuple[str, str]]]]:
        """Round holes that go through an overlay and its board: (piece, feature) of both, by the overlay's key."""
        found: dict[str, list[tuple[tuple[str, str], tuple[str, str]]]] = {}
        for piece in self.cabinet.pieces:
            board = self.pieces.get(piece.panel)
            if piece.kind != "overlay" or board is None or board is piece:
                continue
            for upper in piece.features:
                for lower in board.features:
                    if _meet(piece, upper, board, lower):
                        pair = ((piece.key, upper.key), (board.key, lower.key))
                        found.setdefault(piece.key, []).append(pair)
                        break
        return found

    def joined(
        self,
        ops: list[_Op],
        shared: Mapping[str, Sequence[tuple[tuple[str, str], tuple[str, str]]]],
    ) -> list[_Op]:
        """Holes of one diameter through overlay and board become one pass through both."""
        home = {(op.piece.key, f.key): op for op in ops for f in op.features}
        gone: dict[str, set[str]] = {}
        tops: dict[str, set[str]] = {}
        for pairs in shared.values():
            for upper, lower in pairs:
                top, bottom = home[upper], home[lower]
                if top.way != bottom.way or bottom.needs:
                    continue
                feature = next(f for f in bottom.features if f.key == lower[1])
                top.joined = (*top.joined, (bottom.piece, feature))
                gone.setdefault(bottom.key, set()).add(feature.key)
                tops.setdefault(bottom.key, set()).add(top.key)
        for op in ops:
            op.features = tuple(f for f in op.features if f.key not in gone.get(op.key, set()))
        empty = {op.key for op in ops if not op.features}
        for op in ops:
            for key in op.needs & set(tops):
                op.needs = op.needs - ({key} & empty) | tops[key]
        return [op for op in ops if op.features]

    def centres(
        self, shared: Mapping[str, Sequence[tuple[tuple[str, str], tuple[str, str]]]]
    ) -> Iterator[Step]:
        """Common centres of overlay and board, bored through both at once."""
        for key, pairs in shared.items():
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

    # ---- marking out ----

    def marking(self, ops: Sequence[_Op], centred: set[tuple[str, str]]) -> Iterator[Step]:
        """Templates and marks, one step a face; small pieces with rule and square."""
        places: dict[tuple[str, FaceName], int] = {}
        for op in ops:
            for feature in op.features:
                spot = (op.piece.key, feature.key)
                if spot in centred and op.piece.kind != "overlay":
                    continue  # its centre is bored through the overlay's
                face = op.way.face
                places[op.piece.key, face] = places.get((op.piece.key, face), 0) + 1
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

    # ---- working ----

    def slots(self, ops: Sequence[_Op]) -> Iterator[Step]:
        """The slot for edge trim, in both sides with one setting."""
        if not ops:
            return
        first = ops[0]
        feature = first.features[0]
        keys = tuple(op.piece.key for op in ops)
        needs = dict.fromkeys(need for key in keys for need in self.ready[key])
        yield Step(
            key="sides.slot",
            stage="shape",
            title=f"Rout the slot for the edge trim into the {listed(self.labels[key] for key in keys)}",
            orders=(
                f"Rout the {feature.label or 'slot'}, {mm(feature.depth or 0.0)} wide and "
                f"{mm(first.way.stop or 0.0)} deep, in the middle of the edges: set the cutter on scrap of the same "
                "board until the slot stays where it is when the scrap is turned over.",
            ),
            pieces=keys,
            tool="Router, slot cutter",
            face_up=f"{first.way.face} face",
            face=first.way.face,
            cautions=("router", "dust"),
            needs=tuple(needs),
            setting=self.setting(first.way, first.piece),
            works=tuple(Work(op.piece.key, f.key) for op in ops for f in op.features),
            count=len(keys),
            job="slot",
            minutes=minutes_table().of("slot", len(keys)),
            rank=50,
        )

    def setting(self, way: Way, piece: Piece) -> Setting:
        if way.machine == "jigsaw":
            return Setting("jigsaw", (self.blade(piece),))
        depth = "" if way.stop is None else mm(way.stop)
        if way.machine == "router" and way.stop is None:
            depth = "right through"
        return Setting(way.machine, (f"{way.bit} {mm(way.diameter)}", depth), stop=way.stop)

    def worked(
        self,
        op: _Op,
        shared: Mapping[str, Sequence[tuple[tuple[str, str], tuple[str, str]]]],
    ) -> Iterator[Step]:
        """The steps of one group: start holes, sawing out, the work itself, the rims."""
        piece, way = op.piece, op.way
        marked = self.marked_by(op, shared)
        needs = tuple(dict.fromkeys([*self.ready[piece.key], *marked, *sorted(op.needs)]))
        for joined, _ in op.joined:
            needs = tuple(dict.fromkeys([*needs, *self.ready[joined.key]]))
        if way.starts:
            entries = list(self.start_holes(op, needs))
            yield from entries
            needs = (*needs, *(step.key for step in entries))
        if way.strips:
            sawn = self.sawn_out(op, needs)
            yield sawn
            yield self.trimmed(op, (*needs, sawn.key))
        elif way.machine == "drill":
            yield self.drilled(op, needs)
        else:
            yield self.routed(op, needs)
        yield from self.rims(op)

    def marked_by(
        self,
        op: _Op,
        shared: Mapping[str, Sequence[tuple[tuple[str, str], tuple[str, str]]]],
    ) -> list[str]:
        """Steps that mark what the group works."""
        mine = {(op.piece.key, f.key) for f in op.features}
        mine |= {(piece.key, f.key) for piece, f in op.joined}
        keys = []
        centred: set[tuple[str, str]] = set()
        for overlay, pairs in shared.items():
            here = {place for pair in pairs for place in pair} & mine
            if here:
                keys.append(f"centres.{overlay}")
                centred |= here
        rest = {
            place
            for place in mine
            if place not in centred or self.pieces[place[0]].kind == "overlay"
        }
        if any(key == op.piece.key for key, _ in rest):
            keys.append(f"mark.{op.piece.key}.{op.way.face}")
        return keys

    def start_holes(self, op: _Op, needs: tuple[str, ...]) -> Iterator[Step]:
        by_size: dict[float, list[Feature]] = {}
        for feature in op.features:
            by_size.setdefault(round(start_diameter(feature), 2), []).append(feature)
        for size, features in by_size.items():
            count = sum(2 if _is_slim(feature, size) else 1 for feature in features)
            yield Step(
                key=f"start.{op.key}.{size:g}",
                stage="shape",
                title=f"{op.piece.label}: bore {counted(count, 'start hole')} for the saw",
                orders=(
                    f"Bore {mm(size)} through the waste, clear of the line; a slot that is no wider at both its ends. "
                    f"Backing board under the {other(op.way.face)} face, clamped.",
                ),
                pieces=(op.piece.key,),
                parts=self.owners(features),
                tool=f"Drill, brad-point bit {mm(size)}",
                face_up=f"{op.way.face} face",
                face=op.way.face,
                cautions=self.hazards(op.piece, "drill"),
                needs=needs,
                setting=Setting("drill", (f"brad {mm(size)}", "")),
                works=tuple(Work(op.piece.key, f.key, "start") for f in features),
                laid=(Laid("backing board", op.piece.key, other(op.way.face), "clamps"),),
                guards=("blow-out",),
                count=count,
                job="start holes",
                minutes=minutes_table().of("start holes", count),
                rank=self.rank[op.piece.key],
            )

    def sawn_out(self, op: _Op, needs: tuple[str, ...]) -> Step:
        names = listed(_name(feature) for feature in op.features)
        return Step(
            key=f"rough.{op.key}",
            stage="shape",
            title=f"{op.piece.label}: saw out {names} roughly",
            orders=(
                f"Saw {mm(LEFT_ON)} inside the line; the show face lies down, where the saw tears least.",
            ),
            pieces=(op.piece.key,),
            parts=self.owners(op.features),
            tool="Jigsaw",
            face_up=f"{op.way.face} face",
            face=op.way.face,
            cautions=self.hazards(op.piece, "saw"),
            needs=needs,
            setting=Setting("jigsaw", (self.blade(op.piece),)),
            works=tuple(Work(op.piece.key, f.key, "rough") for f in op.features),
            count=len(op.features),
            job="saw out",
            minutes=minutes_table().of("saw out", len(op.features)),
            rank=self.rank[op.piece.key],
        )

    def trimmed(self, op: _Op, needs: tuple[str, ...]) -> Step:
        piece = op.piece
        held: GuardKey = "marks on a show face"
        names = listed(_name(feature) for feature in op.features)
        return Step(
            key=op.key,
            stage="shape",
            title=f"{piece.label}: trim {names} along guide strips",
            orders=(
                "Fix the guide strips on the back face along the lines, with "
                + ("double-sided tape" if self.is_plastic(piece) else "tape or short pins")
                + "; never on the show face.",
                *(f"Trim{_size(f)}, right through: {_whole_name(f)}." for f in op.features),
                "Clockwise round the inside; take the strips off at once.",
            ),
            pieces=(piece.key,),
            parts=self.owners(op.features),
            tool=f"Router, flush-trim bit {mm(op.way.diameter)}",
            face_up="back face",
            face="back",
            cautions=self.hazards(piece, "router"),
            needs=needs,
            setting=self.setting(op.way, piece),
            works=tuple(Work(piece.key, f.key) for f in op.features),
            laid=(
                Laid(
                    "guide strips", piece.key, "back", "tape" if self.is_plastic(piece) else "pins"
                ),
            ),
            guards=(held,),
            count=len(op.features),
            job="guide strips",
            minutes=minutes_table().of("guide strips", len(op.features)),
            rank=self.rank[piece.key],
        )

    def routed(self, op: _Op, needs: tuple[str, ...]) -> Step:
        piece, way = op.piece, op.way
        is_saw = way.machine == "jigsaw"
        through = way.stop is None
        count = sum(passes(f, self.shop, piece.thickness) for f in op.features)
        verb = "Saw" if is_saw else "Rout"
        lines: dict[str, int] = {}
        for feature in op.features:
            deep = "right through" if feature.depth is None else f"{mm(feature.depth)} deep"
            line = (
                f"{verb}{_size(feature)}, {deep}, from the {way.face} face: {_whole_name(feature)}."
            )
            lines[line] = lines.get(line, 0) + 1
        orders = [f"{line} {n} alike." if n > 1 else line for line, n in lines.items()]
        guards: list[GuardKey] = []
        laid: tuple[Laid, ...] = ()
        if through and not is_saw:
            orders.append(
                f"Backing board under the {other(way.face)} face, clamped; the last pass into it."
            )
            laid = (Laid("backing board", piece.key, other(way.face), "clamps"),)
            guards.append("blow-out")
        elif not through:
            orders.append(
                f"Depth {mm(way.stop or 0.0)}, tried on scrap: {mm(piece.thickness - (way.stop or 0.0))} stay under "
                "it."
            )
            guards.append("through a show face")
        job = "saw out" if is_saw else "rout"
        many = len(op.features) if is_saw else count
        names = listed(_name(feature) for feature in op.features)
        return Step(
            key=op.key,
            stage="shape",
            title=f"{piece.label}: {verb.lower()} {names}",
            orders=tuple(orders),
            pieces=(piece.key,),
            parts=self.owners(op.features),
            tool="Jigsaw" if is_saw else f"Router, {way.bit} bit {mm(way.diameter)}",
            face_up=f"{way.face} face",
            face=way.face,
            cautions=self.hazards(piece, "saw" if is_saw else "router"),
            needs=needs,
            setting=self.setting(way, piece),
            works=tuple(Work(piece.key, f.key) for f in op.features),
            laid=laid,
            guards=tuple(guards),
            count=many,
            job=job,
            minutes=minutes_table().of(job, many),
            rank=self.rank[piece.key],
        )

    def drilled(self, op: _Op, needs: tuple[str, ...]) -> Step:
        piece, way = op.piece, op.way
        features = [*op.features, *(f for _, f in op.joined)]
        count = sum(1 if isinstance(f.shape, Circle) else 2 for f in op.features)
        kinds = listed(dict.fromkeys(_kind_words(f) for f in op.features))
        through = way.stop is None
        under = other(way.face)
        lowest = op.joined[0][0] if op.joined else piece
        if through:
            orders = [
                f"Bore {counted(count, 'hole')} {mm(way.diameter)} from the {way.face} face. Backing board under the "
                f"{under} face, clamped: without it the far face blows out."
            ]
            if op.joined:
                orders.insert(
                    0, f"The {lowest.label} stays clamped under it; one pass through both."
                )
        else:
            stop = way.stop or 0.0
            orders = [
                f"Set the depth stop to {mm(stop)}: {mm(piece.thickness - stop)} stay before the {under} face. Try it "
                "on scrap.",
                f"Bore {counted(count, 'hole')} {mm(way.diameter)} from the {way.face} face, not through.",
            ]
        if any(not isinstance(f.shape, Circle) for f in op.features):
            orders.append("Slots: bore both ends, file out between.")
        job = "bore" if way.diameter > BIG else "drill"
        return Step(
            key=op.key,
            stage="shape",
            title=f"{piece.label}{f' and {lowest.label}' if op.joined else ''}: {kinds}",
            orders=tuple(orders),
            pieces=tuple(dict.fromkeys([piece.key, *(p.key for p, _ in op.joined)])),
            parts=self.owners(features),
            tool=f"Drill, {_bit_words(way.bit)} {mm(way.diameter)}",
            face_up=f"{way.face} face",
            face=way.face,
            cautions=self.hazards(piece, "drill"),
            needs=needs,
            setting=self.setting(way, piece),
            works=(
                *(Work(piece.key, f.key) for f in op.features),
                *(Work(p.key, f.key) for p, f in op.joined),
            ),
            laid=(Laid("backing board", lowest.key, under, "clamps"),) if through else (),
            guards=("blow-out",) if through else ("through a show face",),
            count=count,
            job=job,
            minutes=minutes_table().of(job, count),
            rank=self.rank[piece.key],
        )

    def rims(self, op: _Op) -> Iterator[Step]:
        """Chamfers, after what they go round."""
        piece = op.piece
        widths: dict[tuple[float, FaceName], list[Feature]] = {}
        for feature in op.features:
            if feature.chamfer:
                widths.setdefault((round(feature.chamfer, 2), feature.face), []).append(feature)
        for (width, face), features in widths.items():
            count = chamfer_passes(width) * len(features)
            stem = op.key.partition(".")[2]
            yield Step(
                key=f"rim.{stem}.{width:g}",
                stage="shape",
                title=f"{piece.label}: chamfer the rim of {listed(_name(f) for f in features)}, {mm(width)} wide",
                orders=(
                    f"Chamfer at 45°, {mm(width)} across the {face} face, in {counted(count, 'pass', 'passes')}; the "
                    "bearing runs on the trimmed edge.",
                ),
                pieces=(piece.key,),
                parts=self.owners(features),
                tool="Router, chamfer bit",
                face_up=f"{face} face",
                face=face,
                cautions=self.hazards(piece, "router"),
                needs=(op.key,),
                setting=Setting("router", ("chamfer 45°", mm(width)), stop=width),
                works=tuple(Work(piece.key, f.key, "rim") for f in features),
                count=count,
                job="chamfer",
                minutes=minutes_table().of("chamfer", count),
                rank=self.rank[piece.key],
            )

    def owners(self, features: Sequence[Feature]) -> tuple[str, ...]:
        """Placed parts that the features are for."""
        placed = self.cabinet.placed_by_key
        return tuple(dict.fromkeys(f.owner for f in features if f.owner in placed))

    def hazards(self, piece: Piece, machine: Hazard) -> tuple[Hazard, ...]:
        return (machine, "plastics", "dust") if self.is_plastic(piece) else (machine, "dust")


def _op_key(piece: Piece, way: Way, turn: int) -> str:
    verb = {"jigsaw": "saw", "router": "rout", "drill": "drill"}[way.machine]
    bit = way.bit.replace(" ", "-")
    size = f"-{way.diameter:g}" if way.diameter else ""
    stop = "through" if way.stop is None else f"{way.stop:g}"
    again = f".{turn + 1}" if turn else ""
    return f"{verb}.{piece.key}.{way.face}.{bit}{size}.{stop}{again}"


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


def _meet(upper: Piece, a: Feature, lower: Piece, b: Feature) -> bool:
    """Whether two round holes are one hole through both boards."""
    if not (isinstance(a.shape, Circle) and isinstance(b.shape, Circle)):
        return False
    if a.depth is not None or b.depth is not None or a.owner != b.owner:
        return False
    if a.face != "show" or b.face != "show":
        return False
    point = lower.frame.local(upper.frame.point(a.shape.u, a.shape.v))
    return math.dist(point[:2], (b.shape.u, b.shape.v)) < 0.5


def _around(points: Sequence[Point2]) -> float:
    return sum(math.dist(p, q) for p, q in zip(points, [*points[1:], points[0]], strict=True))


def _name(feature: Feature) -> str:
    """What it is, in few words."""
    return re.split("[:;]", feature.label or feature.kind)[0]


def _whole_name(feature: Feature) -> str:
    """What it is, with all that its label says."""
    return feature.label or feature.kind


def _size(feature: Feature) -> str:
    shape = feature.shape
    if isinstance(shape, Rectangle):
        return f" {mm(shape.width)} × {mm(shape.height)}"
    return f" {mm(shape.diameter)} across" if isinstance(shape, Circle) else ""


def _is_slim(feature: Feature, size: float) -> bool:
    """A slot as wide as the bit."""
    return bored(feature) <= size + _FLUSH


def _kind_words(feature: Feature) -> str:
    words = {"clearance": "screw holes", "pilot": "pilots", "counterbore": "counterbores"}
    return words.get(feature.kind, _name(feature) if feature.label else f"{feature.kind}s")


def _bit_words(kind: str) -> str:
    return {"brad": "brad-point bit", "forstner": "forstner bit", "hole saw": "hole saw"}.get(
        kind, f"{kind} bit"
    )


__all__ = ["CENTRE_BIT", "LEFT_ON", "shaping_steps"]
