"""Steps after the machines: dry fit, glue, what comes off, paint; then `fitting` takes over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.findings import mm
from casewright.basics.wording import listed
from casewright.behavior.painting import Painting
from casewright.behavior.wiring import Wiring
from casewright.catalog.kinds import Grip
from casewright.geometry.captive import captive_boards
from casewright.geometry.hinges import hangings
from casewright.geometry.model import Cabinet, Fastening, Piece
from casewright.planning.work.fitting import fitting_steps
from casewright.planning.work.hanging import hanging_orders
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.painting import painting_steps
from casewright.planning.work.panel_order import panel_order
from casewright.planning.work.screw_words import driven, is_cleat, tips
from casewright.planning.work.step import GuardKey, Step, is_removable, labels_of, screws_of

CLAMPED = "30 to 60 min in clamps; the label goes first"
"""White wood glue. Common practice."""
CURED = "full strength after a night"


def assembly_steps(
    cabinet: Cabinet, made: Sequence[Step], painting: Painting, wiring: Wiring
) -> list[Step]:
    """Every step from the dry fit to the closed cabinet.

    Args:
        cabinet: The cabinet.
        made: The steps at the machines.
        painting: Its coats, and when each goes on.
        wiring: Its harness.
    """
    return _Assembly(cabinet, tuple(step.key for step in made), painting, wiring).steps()


class _Assembly:
    def __init__(
        self, cabinet: Cabinet, made: tuple[str, ...], painting: Painting, wiring: Wiring
    ) -> None:
        self.cabinet = cabinet
        self.wiring = wiring
        self.painting = painting
        self.painted = ""
        """Key of the last step of painting."""
        self.made = made
        self.labels = labels_of(cabinet)
        self.pieces = cabinet.piece_by_key
        self.sides = {piece.key for piece in cabinet.pieces if piece.kind == "side"}
        boards = [p for p in cabinet.pieces if p.kind in ("panel", "inner", "board")]
        self.captive = [p for p in captive_boards(cabinet) if not is_removable(p)]
        """They join the sides, all in one go."""
        held = {piece.key for piece in self.captive}
        self.glued = [p for p in boards if not is_removable(p) and p.key not in held]
        self.removable = [piece for piece in boards if is_removable(piece)]
        self.doors = [piece for piece in cabinet.pieces if piece.kind == "door"]

    def steps(self) -> list[Step]:
        steps = [self.dry_fit()]
        steps += self.cleats()
        steps += self.backing()
        steps += self.cups()
        steps += self.ducts()
        steps += self.joined()
        steps += self.panels()
        if self.removable or self.doors:
            steps.append(self.hang())
        glued = tuple(step.key for step in steps)
        steps += self.finish(glued)
        return [*steps, *fitting_steps(self.cabinet, self.painted, self.wiring)]

    def dry_fit(self) -> Step:
        boards = [p.key for p in self.cabinet.pieces if p.kind in ("side", "panel", "inner")]
        return Step(
            key="dry-fit",
            stage="dry fit",
            title="Fit it all together dry",
            orders=(
                "Mark every panel's footprint and every cleat on the inner faces of the sides, "
                "left and right as a mirrored pair.",
                "Stand the panels between the sides with clamps and no glue; every seam must "
                "close by hand.",
                "Measure both diagonals of every opening between the sides: equal is square.",
                "Hold the bought parts to their holes. Write what the tape says into the project "
                "before any glue.",
            ),
            pieces=tuple(boards),
            tool="Clamps, square, tape",
            cautions=("lifting",),
            needs=self.made,
            count=len(boards),
            job="dry fit",
            minutes=minutes_table().of("dry fit", len(boards)),
        )

    def cleats(self) -> Iterator[Step]:
        """Battens screwed to a side go on before any panel."""
        for side in sorted(self.sides):
            mine = [
                f for f in self.cabinet.fastenings if f.into == side and is_cleat(self.cabinet, f)
            ]
            keys = tuple(dict.fromkeys(f.through for f in mine))
            if not keys:
                continue
            yield Step(
                key=f"cleats.{side}",
                stage="glue",
                title=f"Glue the cleats to the {self.labels[side]}",
                orders=(
                    "Lay the cleats dry on their marks, screws started; hold each panel against its "
                    "cleats as the gauge.",
                    "Glue, press, drive the screws from the cleat's back; wipe off what squeezes "
                    "out.",
                    *tips(mine),
                    f"At hand: {listed(self.labels[key] for key in keys)}.",
                ),
                pieces=(side, *keys),
                tool="Screwdriver, clamps",
                face_up="inner face of the side up",
                face="back",
                screws=screws_of(mine),
                fastenings=tuple(f.key for f in mine),
                cautions=("glue",),
                guards=driven(mine),
                needs=("dry-fit",),
                dry=CLAMPED,
                dry_h=minutes_table().drying["clamped"],
                count=len(keys),
                job="cleats",
                minutes=minutes_table().of("cleats", len(keys)),
                rank=0,
            )

    def backing(self) -> Iterator[Step]:
        """Rails, strips and frames that are glued to a panel while it still lies flat."""
        hosts: dict[str, list[Piece]] = {}
        for piece in self.cabinet.pieces:
            if piece.kind in ("rail", "strip") and not is_removable(piece):
                hosts.setdefault(piece.panel, []).append(piece)
        for host, pieces in hosts.items():
            if host not in self.pieces:
                continue
            keys = tuple(piece.key for piece in pieces)
            screws = [f for f in self.cabinet.fastenings if f.through in keys and f.into == host]
            yield Step(
                key=f"backing.{host}",
                stage="glue",
                title=f"Glue the {listed(dict.fromkeys(f'{p.kind}s' for p in pieces))} to the inside of "
                f"the {self.labels[host]}",
                orders=(
                    "Lay the panel on its show face on a clean cloth; mark the places from the "
                    "datum corner.",
                    "Glue and clamp; keep glue off the openings' edges.",
                    *tips(screws),
                    f"At hand: {listed(piece.label for piece in pieces)}.",
                ),
                pieces=(host, *keys),
                tool="Clamps, screwdriver" if screws else "Clamps",
                face_up="back face",
                face="back",
                screws=screws_of(screws),
                fastenings=tuple(f.key for f in screws),
                cautions=("glue",),
                guards=driven(screws),
                needs=("dry-fit",),
                dry=CLAMPED,
                dry_h=minutes_table().drying["clamped"],
                count=len(keys),
                job="backing",
                minutes=minutes_table().of("backing", len(keys)),
                rank=5,
            )

    def cups(self) -> Iterator[Step]:
        """Blind cups behind hand holes, while their board still lies flat."""
        for placed in self.cabinet.placed:
            data = placed.part.data
            if isinstance(data, Grip) and data.style == "hand hole" and data.cup_depth > 0:
                host = self.labels[placed.piece]
                yield Step(
                    key=f"cup.{placed.key}",
                    stage="glue",
                    title=f"Glue the blind cup behind {self.labels[placed.key]}",
                    orders=(
                        f"Glue the cup up from thin board, walls {mm(data.cup_wall)} thick, {mm(data.cup_depth)} deep; "
                        "sand it inside, no finger reaches there later.",
                        f"Glue it round the hand hole on the back face of the {host}; clamp, wipe off what squeezes "
                        "out inside.",
                    ),
                    parts=(placed.key,),
                    tool="Clamps, sanding block",
                    face_up="back face",
                    cautions=("glue",),
                    needs=("dry-fit",),
                    dry=CLAMPED,
                    dry_h=minutes_table().drying["clamped"],
                    job="cup",
                    minutes=minutes_table().of("cup", 1),
                    rank=4,
                )

    def ducts(self) -> Iterator[Step]:
        """Ducts of slots, while their panel still lies flat."""
        for placed in self.cabinet.placed:
            walls = [
                p
                for p in self.cabinet.pieces
                if p.kind == "duct" and p.key.startswith(f"{placed.key}.")
            ]
            if not walls:
                continue
            host = self.labels[placed.piece]
            keys = tuple(piece.key for piece in walls)
            yield Step(
                key=f"duct.{placed.key}",
                stage="glue",
                title=f"Glue the duct of the {self.labels[placed.key]} to the {host}",
                orders=(
                    "Glue the four walls to a duct, the narrow ones between the wide ones, round a spacer as wide as "
                    "the mouth; wipe off what squeezes out inside.",
                    f"When it is dry, glue it round the mouth on the back face of the {host}, inner faces flush with "
                    "the mouth's edges: a leak there whistles.",
                    f"At hand: {listed(piece.label for piece in walls)}.",
                ),
                pieces=(placed.piece, *keys),
                parts=(placed.key,),
                tool="Clamps, square",
                face_up="back face",
                face="back",
                cautions=("glue",),
                needs=("dry-fit",),
                dry=CLAMPED,
                dry_h=minutes_table().drying["clamped"],
                count=len(keys),
                job="backing",
                minutes=minutes_table().of("backing", len(keys)),
                rank=5,
            )

    def joined(self) -> Iterator[Step]:
        """Both sides with all that stands in their grooves: none of it goes in once the sides are held apart."""
        if not self.captive:
            return
        keys = {piece.key for piece in self.captive}
        screws = [f for f in self.cabinet.fastenings for p in self.captive if self.holds(f, p)]
        behind = [p for key in sorted(keys) for p in self.behind(key)]
        names = listed(f"the {piece.label}" for piece in self.captive)
        first, *_ = sorted(self.sides)
        orders = [
            f"Lay the {self.labels[first]} on its show face, inner face up. Fit it dry first: {names} in the grooves, "
            "the other side on top.",
            f"Spread glue thinly in the grooves, stand {names} in them with the show face where the drawings have it, "
            "and set the other side on, every end in its groove, before the glue sets: now or never.",
            "Clamp across both sides; both diagonals alike is square. Stand it up when it holds.",
        ]
        guards: list[GuardKey] = [*driven(screws)]
        if behind:
            orders.insert(0, self.look_behind(behind))
            guards.append("closed too soon")
        if screws:
            orders += ["Drive the screws from the inside through the cleats.", *tips(screws)]
        yield Step(
            key=self.join_key,
            stage="glue",
            title=f"Glue the sides together over {names}",
            orders=tuple(orders),
            pieces=(first, *(piece.key for piece in self.captive)),
            tool="Clamps, square, screwdriver" if screws else "Clamps, square",
            face_up="inner face of the side up",
            screws=screws_of(screws),
            fastenings=tuple(f.key for f in screws),
            cautions=("glue",),
            guards=tuple(guards),
            needs=(*self.after_cleats(), *self.after_backing(behind)),
            dry=CLAMPED,
            dry_h=minutes_table().drying["clamped"],
            count=len(keys),
            job="glue panel",
            minutes=minutes_table().of("glue panel", len(keys)),
            rank=9,
        )

    @property
    def join_key(self) -> str:
        return f"panel.{self.captive[0].key}"

    def after_cleats(self) -> list[str]:
        return [f"cleats.{side}" for side in sorted(self.sides) if self.has_cleats(side)] or [
            "dry-fit"
        ]

    def behind(self, key: str) -> list[Piece]:
        """What is glued to a panel's back beforehand."""
        return [
            p
            for p in self.pieces.values()
            if p.panel == key and p.kind in ("rail", "strip", "duct") and not is_removable(p)
        ]

    def after_backing(self, behind: Sequence[Piece]) -> list[str]:
        steps = (
            f"duct.{p.key.rpartition('.')[0]}" if p.kind == "duct" else f"backing.{p.panel}"
            for p in behind
        )
        return list(dict.fromkeys(sorted(steps)))

    def look_behind(self, behind: Sequence[Piece]) -> str:
        return (
            f"Look that {listed(p.label for p in behind)} sit fast on its back: nobody comes near them easily once "
            "it stands."
        )

    def panels(self) -> Iterator[Step]:
        """Glued panels: the floor first, then what others lean on before what leans."""
        order = {run.panel: index for index, run in enumerate(self.cabinet.shape.runs)}
        before = panel_order(self.cabinet.corners, {piece.key for piece in self.glued})
        base = [self.join_key] if self.captive else self.after_cleats()

        def rank(piece: Piece) -> float:
            later = 1 + order.get(piece.key, len(order)) * -0.01
            return 10 + (0 if piece.role == "floor" else later)

        free = [piece for piece in self.glued if not before[piece.key]]
        first = min(free, key=rank, default=None)
        for piece in self.glued:
            screws = [f for f in self.cabinet.fastenings if self.holds(f, piece)]
            needs = [*base, *(f"panel.{key}" for key in sorted(before[piece.key]))]
            guards: list[GuardKey] = [*driven(screws)]
            behind = self.behind(piece.key)
            needs += self.after_backing(behind)
            loose = piece.kind == "board"
            floor = piece.role == "floor"
            orders = [
                f"Spread glue on {'its seat' if loose else 'the cleats and on the end grain'}; set "
                f"the {piece.label} on its marks, show face {'down' if floor else 'outward'}.",
                "Clamp with blocks that spare the edges; check that it stands square.",
            ]
            if piece is first and self.sides and not self.captive:
                orders.insert(0, "Stand both sides up, cleats facing each other, on a flat bench.")
            if behind:
                orders.insert(0, self.look_behind(behind))
                guards.append("closed too soon")
            if screws:
                orders.append("Drive the screws from the inside through the cleats.")
                orders += tips(screws)
            yield Step(
                key=f"panel.{piece.key}",
                stage="glue",
                title=f"Glue in the {piece.label}",
                orders=tuple(orders),
                pieces=(piece.key,),
                tool="Clamps, screwdriver" if screws else "Clamps",
                face_up="show face outward",
                screws=screws_of(screws),
                fastenings=tuple(f.key for f in screws),
                cautions=("glue",),
                guards=tuple(guards),
                needs=tuple(needs),
                dry=CLAMPED,
                dry_h=minutes_table().drying["clamped"],
                job="glue panel",
                minutes=minutes_table().of("glue panel", 1),
                rank=rank(piece),
            )

    def standing(self) -> tuple[str, ...]:
        """Steps after which all that is glued stands."""
        joined = (self.join_key,) if self.captive else ()
        return (*joined, *(f"panel.{piece.key}" for piece in self.glued))

    def hang(self) -> Step:
        names = listed(piece.label for piece in (*self.removable, *self.doors))
        hung = [
            order
            for hanging in hangings(self.cabinet)
            if hanging.trouble is None
            for order in hanging_orders(hanging, self.pieces[hanging.door].label)
        ]
        return Step(
            key="hang",
            stage="glue",
            title="Fit what comes off, and take it off again",
            orders=(
                f"Set in {names} without glue, with the gaps of the drawings.",
                *hung,
                "Drill the pilots of its screws in place, drive every screw once, mark each panel "
                "inside, take it off again.",
            ),
            pieces=tuple(piece.key for piece in (*self.removable, *self.doors)),
            tool="Drill, screwdriver",
            cautions=("drill",),
            needs=self.standing() or ("dry-fit",),
            dry=CURED,
            dry_h=minutes_table().drying["cured"],
            count=len(self.removable) + len(self.doors),
            job="hang",
            minutes=minutes_table().of("hang", len(self.removable) + len(self.doors)),
            rank=40,
        )

    def finish(self, glued: tuple[str, ...]) -> Iterator[Step]:
        wood = tuple(
            piece.key
            for piece in self.cabinet.pieces
            if piece.kind in ("side", "panel", "door", "board", "inner")
        )
        # What is glued later keeps a bare seat: overlays lie on paint, held by the parts that go through them.
        made = painting_steps(self.cabinet.project.finish, self.painting, wood, glued)
        self.painted = made[-1].key
        yield from made

    def has_cleats(self, side: str) -> bool:
        return any(f.into == side and is_cleat(self.cabinet, f) for f in self.cabinet.fastenings)

    def holds(self, fastening: Fastening, piece: Piece) -> bool:
        """Whether the screw holds this panel in the carcass: from a cleat, or straight into a neighbor."""
        if fastening.into == piece.key:
            return is_cleat(self.cabinet, fastening)
        return fastening.through == piece.key and fastening.into in self.pieces


__all__ = ["assembly_steps"]
