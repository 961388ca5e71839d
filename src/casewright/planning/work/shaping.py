"""Steps at router, jigsaw and drill: every group of features that share a piece, a face and a setting."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from casewright.basics.findings import mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import counted, listed
from casewright.catalog.kinds import Grip
from casewright.geometry.devices.grip import ROUNDING
from casewright.geometry.model import Cabinet, Circle, FaceName, Feature, Piece
from casewright.planning.cautions import Hazard
from casewright.planning.work.feature_words import (
    bit_words,
    kind_words,
    short_name,
    size_words,
    whole_name,
)
from casewright.planning.work.groups import Group, groups_of, joined, shared_holes
from casewright.planning.work.holes import Way, bored, chamfer_passes, passes, start_diameter
from casewright.planning.work.marking import Marking
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.profiles import LEFT_ON, Profiles
from casewright.planning.work.routing import plan_numbers
from casewright.planning.work.sawing import blade_for, is_plastic
from casewright.planning.work.step import (
    GuardKey,
    Laid,
    Setting,
    Step,
    Work,
    labels_of,
    other,
)

BIG = 12.0
"""A larger hole takes longer. [mm]"""
_FLUSH = 0.05


def shaping_steps(
    cabinet: Cabinet, sawn: Mapping[str, Sequence[str]], nested: Collection[str] = ()
) -> list[Step]:
    """Every step at router, jigsaw and drill, and the marking out before them.

    Args:
        cabinet: The cabinet.
        sawn: Keys of the saw steps that make each piece.
        nested: Keys of the pieces that come sawn out of a nest.
    """
    return _Shaping(cabinet, sawn, nested).steps()


class _Shaping:
    def __init__(
        self, cabinet: Cabinet, sawn: Mapping[str, Sequence[str]], nested: Collection[str]
    ) -> None:
        self.cabinet = cabinet
        self.nested = nested
        self.shop = cabinet.project.shop
        self.labels = labels_of(cabinet)
        self.plans = plan_numbers(cabinet)
        self.ready = {piece.key: tuple(sawn.get(piece.key, ())) for piece in cabinet.pieces}
        """What must be done before a piece is marked out."""
        self.rank = {piece.key: float(index) for index, piece in enumerate(cabinet.pieces)}

    def steps(self) -> list[Step]:
        made = [*Profiles(self.cabinet, self.ready, self.nested).steps()]
        shared = shared_holes(self.cabinet)
        each = [group for piece in self.cabinet.pieces for group in groups_of(piece, self.shop)]
        groups = joined(each, shared)
        marking = Marking(self.cabinet, groups, shared, self.ready)
        made += marking.steps()
        slots = [g for g in groups if g.way.bit == "slot cutter" and g.piece.kind == "side"]
        made += self.slots(slots)
        for group in groups:
            if group not in slots:
                made += self.worked(group, marking.marks_for(group))
        return made

    def slots(self, groups: Sequence[Group]) -> Iterator[Step]:
        """The slot for edge trim, in both sides with one setting."""
        if not groups:
            return
        first = groups[0]
        feature = first.features[0]
        keys = tuple(group.piece.key for group in groups)
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
            works=tuple(Work(group.piece.key, f.key) for group in groups for f in group.features),
            count=len(keys),
            job="slot",
            minutes=minutes_table().of("slot", len(keys)),
            rank=50,
        )

    def setting(self, way: Way, piece: Piece) -> Setting:
        if way.machine == "jigsaw":
            return Setting("jigsaw", (blade_for(self.cabinet, piece),))
        depth = "" if way.stop is None else mm(way.stop)
        if way.machine == "router" and way.stop is None:
            depth = "right through"
        return Setting(way.machine, (f"{way.bit} {mm(way.diameter)}", depth), stop=way.stop)

    def worked(self, group: Group, marked: Sequence[str]) -> Iterator[Step]:
        """The steps of one group: start holes, sawing out, the work itself, the rims."""
        piece, way = group.piece, group.way
        needs = tuple(dict.fromkeys([*self.ready[piece.key], *marked, *sorted(group.needs)]))
        for lower, _ in group.joined:
            needs = tuple(dict.fromkeys([*needs, *self.ready[lower.key]]))
        if way.starts:
            entries = list(self.start_holes(group, needs))
            yield from entries
            needs = (*needs, *(step.key for step in entries))
        if way.strips:
            sawn = self.sawn_out(group, needs)
            yield sawn
            yield self.trimmed(group, (*needs, sawn.key))
        elif way.machine == "drill":
            yield self.drilled(group, needs)
        else:
            yield self.routed(group, needs)
        yield from self.rims(group)
        yield from self.rounded(group)

    def start_holes(self, group: Group, needs: tuple[str, ...]) -> Iterator[Step]:
        by_size: dict[float, list[Feature]] = {}
        for feature in group.features:
            by_size.setdefault(round(start_diameter(feature), 2), []).append(feature)
        for size, features in by_size.items():
            count = sum(2 if _is_slim(feature, size) else 1 for feature in features)
            yield Step(
                key=f"start.{group.key}.{size:g}",
                stage="shape",
                title=f"{group.piece.label}: bore {counted(count, 'start hole')} for the saw",
                orders=(
                    f"Bore {mm(size)} through the waste, clear of the line; a slot that is no wider at both its ends. "
                    f"Backing board under the {other(group.way.face)} face, clamped.",
                ),
                pieces=(group.piece.key,),
                parts=self.owners(features),
                tool=f"Drill, brad-point bit {mm(size)}",
                face_up=f"{group.way.face} face",
                face=group.way.face,
                cautions=self.hazards(group.piece, "drill"),
                needs=needs,
                setting=Setting("drill", (f"brad {mm(size)}", "")),
                works=tuple(Work(group.piece.key, f.key, "start") for f in features),
                laid=(Laid("backing board", group.piece.key, other(group.way.face), "clamps"),),
                guards=("blow-out",),
                count=count,
                job="start holes",
                minutes=minutes_table().of("start holes", count),
                rank=self.rank[group.piece.key],
            )

    def sawn_out(self, group: Group, needs: tuple[str, ...]) -> Step:
        names = listed(short_name(feature) for feature in group.features)
        return Step(
            key=f"rough.{group.key}",
            stage="shape",
            title=f"{group.piece.label}: saw out {names} roughly",
            orders=(
                f"Saw {mm(LEFT_ON)} inside the line; the show face lies down, where the saw tears least.",
            ),
            pieces=(group.piece.key,),
            parts=self.owners(group.features),
            tool="Jigsaw",
            face_up=f"{group.way.face} face",
            face=group.way.face,
            cautions=self.hazards(group.piece, "saw"),
            needs=needs,
            setting=Setting("jigsaw", (blade_for(self.cabinet, group.piece),)),
            works=tuple(Work(group.piece.key, f.key, "rough") for f in group.features),
            count=len(group.features),
            job="saw out",
            minutes=minutes_table().of("saw out", len(group.features)),
            rank=self.rank[group.piece.key],
        )

    def trimmed(self, group: Group, needs: tuple[str, ...]) -> Step:
        piece = group.piece
        held: GuardKey = "marks on a show face"
        names = listed(short_name(feature) for feature in group.features)
        return Step(
            key=group.key,
            stage="shape",
            title=f"{piece.label}: trim {names} along guide strips",
            orders=(
                "Fix the guide strips on the back face along the lines, with "
                + ("double-sided tape" if is_plastic(self.cabinet, piece) else "tape or short pins")
                + "; never on the show face.",
                *(f"Trim{size_words(f)}, right through: {whole_name(f)}." for f in group.features),
                "Clockwise round the inside; take the strips off at once.",
                *self.drawn(group),
            ),
            pieces=(piece.key,),
            parts=self.owners(group.features),
            tool=f"Router, flush-trim bit {mm(group.way.diameter)}",
            face_up="back face",
            face="back",
            cautions=self.hazards(piece, "router"),
            needs=needs,
            setting=self.setting(group.way, piece),
            works=tuple(Work(piece.key, f.key) for f in group.features),
            laid=(
                Laid(
                    "guide strips",
                    piece.key,
                    "back",
                    "tape" if is_plastic(self.cabinet, piece) else "pins",
                ),
            ),
            guards=(held,),
            count=len(group.features),
            job="guide strips",
            minutes=minutes_table().of("guide strips", len(group.features)),
            rank=self.rank[piece.key],
        )

    def routed(self, group: Group, needs: tuple[str, ...]) -> Step:
        piece, way = group.piece, group.way
        is_saw = way.machine == "jigsaw"
        through = way.stop is None
        count = sum(passes(f, self.shop, piece.thickness) for f in group.features)
        verb = "Saw" if is_saw else "Rout"
        lines: dict[str, int] = {}
        for feature in group.features:
            deep = "right through" if feature.depth is None else f"{mm(feature.depth)} deep"
            line = f"{verb}{size_words(feature)}, {deep}, from the {way.face} face: {whole_name(feature)}."
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
        orders += self.drawn(group)
        job = "saw out" if is_saw else "rout"
        many = len(group.features) if is_saw else count
        names = listed(short_name(feature) for feature in group.features)
        return Step(
            key=group.key,
            stage="shape",
            title=f"{piece.label}: {verb.lower()} {names}",
            orders=tuple(orders),
            pieces=(piece.key,),
            parts=self.owners(group.features),
            tool="Jigsaw" if is_saw else f"Router, {way.bit} bit {mm(way.diameter)}",
            face_up=f"{way.face} face",
            face=way.face,
            cautions=self.hazards(piece, "saw" if is_saw else "router"),
            needs=needs,
            setting=self.setting(way, piece),
            works=tuple(Work(piece.key, f.key) for f in group.features),
            laid=laid,
            guards=tuple(guards),
            count=many,
            job=job,
            minutes=minutes_table().of(job, many),
            rank=self.rank[piece.key],
        )

    def drawn(self, group: Group) -> tuple[str, ...]:
        """Where the routing plans of what is worked are found."""
        numbers = sorted(
            {
                self.plans[group.piece.key, feature.key]
                for feature in group.features
                if (group.piece.key, feature.key) in self.plans
            }
        )
        if not numbers:
            return ()
        plans = "plan" if len(numbers) == 1 else "plans"
        return (f"Routing {plans} {listed(str(n) for n in numbers)}, bench-drawings.pdf.",)

    def drilled(self, group: Group, needs: tuple[str, ...]) -> Step:
        piece, way = group.piece, group.way
        features = [*group.features, *(f for _, f in group.joined)]
        count = sum(1 if isinstance(f.shape, Circle) else 2 for f in group.features)
        kinds = listed(dict.fromkeys(kind_words(f) for f in group.features))
        through = way.stop is None
        under = other(way.face)
        lowest = group.joined[0][0] if group.joined else piece
        if through:
            orders = [
                f"Bore {counted(count, 'hole')} {mm(way.diameter)} from the {way.face} face. Backing board under the "
                f"{under} face, clamped: without it the far face blows out."
            ]
            if group.joined:
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
        if any(not isinstance(f.shape, Circle) for f in group.features):
            orders.append("Slots: bore both ends, file out between.")
        job = "bore" if way.diameter > BIG else "drill"
        return Step(
            key=group.key,
            stage="shape",
            title=f"{piece.label}{f' and {lowest.label}' if group.joined else ''}: {kinds}",
            orders=tuple(orders),
            pieces=tuple(dict.fromkeys([piece.key, *(p.key for p, _ in group.joined)])),
            parts=self.owners(features),
            tool=f"Drill, {bit_words(way.bit)} {mm(way.diameter)}",
            face_up=f"{way.face} face",
            face=way.face,
            cautions=self.hazards(piece, "drill"),
            needs=needs,
            setting=self.setting(way, piece),
            works=(
                *(Work(piece.key, f.key) for f in group.features),
                *(Work(p.key, f.key) for p, f in group.joined),
            ),
            laid=(Laid("backing board", lowest.key, under, "clamps"),) if through else (),
            guards=("blow-out",) if through else ("through a show face",),
            count=count,
            job=job,
            minutes=minutes_table().of(job, count),
            rank=self.rank[piece.key],
        )

    def rims(self, group: Group) -> Iterator[Step]:
        """Chamfers, after what they go round."""
        piece = group.piece
        widths: dict[tuple[float, FaceName], list[Feature]] = {}
        for feature in group.features:
            if feature.chamfer:
                widths.setdefault((round(feature.chamfer, 2), feature.face), []).append(feature)
        for (width, face), features in widths.items():
            count = chamfer_passes(width) * len(features)
            stem = group.key.partition(".")[2]
            runs_on = width > piece.thickness - 10 * TOUCHING  # widths alike to a hundredth are one
            bearing = (
                "clamped to its board, since it runs on into that: the bearing runs on the board's opening."
                if runs_on
                else "the bearing runs on the trimmed edge."
            )
            yield Step(
                key=f"rim.{stem}.{width:g}",
                stage="shape",
                title=f"{piece.label}: chamfer the rim of {listed(short_name(f) for f in features)}, {mm(width)} wide",
                orders=(
                    f"Chamfer at 45°, {mm(width)} across the {face} face, in {counted(count, 'pass', 'passes')}; "
                    f"{bearing}",
                ),
                pieces=(piece.key,),
                parts=self.owners(features),
                tool="Router, chamfer bit",
                face_up=f"{face} face",
                face=face,
                cautions=self.hazards(piece, "router"),
                needs=(group.key,),
                setting=Setting("router", ("chamfer 45°", mm(width)), stop=width),
                works=tuple(Work(piece.key, f.key, "rim") for f in features),
                count=count,
                job="chamfer",
                minutes=minutes_table().of("chamfer", count),
                rank=self.rank[piece.key],
            )

    def rounded(self, group: Group) -> Iterator[Step]:
        """Hand holes get their edges rounded over on both faces, the back first."""
        features = [f for f in group.features if self.is_hand_hole(f)]
        if not features:
            return
        piece = group.piece
        stem = group.key.partition(".")[2]
        earlier = group.key
        faces: tuple[FaceName, ...] = ("back", "show")
        for face in faces:
            key = f"round.{face}.{stem}"
            yield Step(
                key=key,
                stage="shape",
                title=f"{piece.label}: round over the {face} edge of {listed(short_name(f) for f in features)}",
                orders=(
                    f"Round over with {mm(ROUNDING)} on the {face} face; the bearing runs on the trimmed edge.",
                ),
                pieces=(piece.key,),
                parts=self.owners(features),
                tool=f"Router, round-over bit {mm(ROUNDING)}",
                face_up=f"{face} face",
                face=face,
                cautions=self.hazards(piece, "router"),
                needs=(earlier,),
                setting=Setting(
                    "router", (f"round over {mm(ROUNDING)}", mm(ROUNDING)), stop=ROUNDING
                ),
                works=tuple(Work(piece.key, f.key, "round") for f in features),
                count=len(features),
                job="chamfer",
                minutes=minutes_table().of("chamfer", len(features)),
                rank=self.rank[piece.key],
            )
            earlier = key

    def is_hand_hole(self, feature: Feature) -> bool:
        placed = self.cabinet.placed_by_key.get(feature.owner)
        data = placed.part.data if placed else None
        return isinstance(data, Grip) and data.style == "hand hole" and feature.depth is None

    def owners(self, features: Sequence[Feature]) -> tuple[str, ...]:
        """Placed parts that the features are for."""
        placed = self.cabinet.placed_by_key
        return tuple(dict.fromkeys(f.owner for f in features if f.owner in placed))

    def hazards(self, piece: Piece, machine: Hazard) -> tuple[Hazard, ...]:
        return (
            (machine, "plastics", "dust") if is_plastic(self.cabinet, piece) else (machine, "dust")
        )


def _is_slim(feature: Feature, size: float) -> bool:
    """A slot as wide as the bit."""
    return bored(feature) <= size + _FLUSH


__all__ = ["shaping_steps"]
