"""Steps after the machines: dry fit, glue, paint, parts, wires, test, closing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.findings import mm
from casewright.basics.wording import listed
from casewright.behavior.painting import Painting
from casewright.geometry.model import Cabinet, Fastening, Piece, Placed
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.painting import painting_steps
from casewright.planning.work.panel_order import panel_order
from casewright.planning.work.part_orders import fit_order, is_electric
from casewright.planning.work.step import GuardKey, Step, is_removable, labels_of, screws_of

CLAMPED = "30 to 60 min in clamps; the label goes first"
"""White wood glue. Common practice."""
CURED = "full strength after a night"
MADE_IN_PANEL = ("vent", "grip")
"""Parts that are cut into a panel: nothing to fit, unless screws hold them."""


def assembly_steps(cabinet: Cabinet, made: Sequence[Step], painting: Painting) -> list[Step]:
    """Every step from the dry fit to the closed cabinet.

    Args:
        cabinet: The cabinet.
        made: The steps at the machines.
        painting: Its coats, and when each goes on.
    """
    return _Assembly(cabinet, tuple(step.key for step in made), painting).steps()


class _Assembly:
    def __init__(self, cabinet: Cabinet, made: tuple[str, ...], painting: Painting) -> None:
        self.cabinet = cabinet
        self.painting = painting
        self.painted = ""
        """Key of the last step of painting."""
        self.made = made
        self.labels = labels_of(cabinet)
        self.pieces = cabinet.piece_by_key
        self.sides = {piece.key for piece in cabinet.pieces if piece.kind == "side"}
        boards = [p for p in cabinet.pieces if p.kind in ("panel", "inner", "board")]
        self.glued = [piece for piece in boards if not is_removable(piece)]
        self.removable = [piece for piece in boards if is_removable(piece)]
        self.doors = [piece for piece in cabinet.pieces if piece.kind == "door"]

    def steps(self) -> list[Step]:
        steps = [self.dry_fit()]
        steps += self.cleats()
        steps += self.backing()
        steps += self.panels()
        if self.removable or self.doors:
            steps.append(self.hang())
        glued = tuple(step.key for step in steps)
        steps += self.finish(glued)
        steps += self.overlays()
        steps += self.edge_trim()
        fits = list(self.fits())
        steps += fits
        last = tuple(step.key for step in steps if step.stage in ("paint", "fit"))
        if any(is_electric(placed) for placed in self.cabinet.placed):
            steps += self.wire_and_test(last)
            last = ("test",)
        return [*steps, *self.close(last)]

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
            mine = [f for f in self.cabinet.fastenings if f.into == side and self.is_cleat(f)]
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
                    *_tips(mine),
                    f"At hand: {listed(self.labels[key] for key in keys)}.",
                ),
                pieces=(side, *keys),
                tool="Screwdriver, clamps",
                face_up="inner face of the side up",
                face="back",
                screws=screws_of(mine),
                fastenings=tuple(f.key for f in mine),
                cautions=("glue",),
                guards=_driven(mine),
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
                    *_tips(screws),
                    f"At hand: {listed(piece.label for piece in pieces)}.",
                ),
                pieces=(host, *keys),
                tool="Clamps, screwdriver" if screws else "Clamps",
                face_up="back face",
                face="back",
                screws=screws_of(screws),
                fastenings=tuple(f.key for f in screws),
                cautions=("glue",),
                guards=_driven(screws),
                needs=("dry-fit",),
                dry=CLAMPED,
                dry_h=minutes_table().drying["clamped"],
                count=len(keys),
                job="backing",
                minutes=minutes_table().of("backing", len(keys)),
                rank=5,
            )

    def panels(self) -> Iterator[Step]:
        """Glued panels: the floor first, then what others lean on before what leans."""
        order = {run.panel: index for index, run in enumerate(self.cabinet.shape.runs)}
        before = panel_order(self.cabinet.corners, {piece.key for piece in self.glued})
        base = tuple(
            [f"cleats.{side}" for side in sorted(self.sides) if self.has_cleats(side)]
            or ["dry-fit"]
        )

        def rank(piece: Piece) -> float:
            later = 1 + order.get(piece.key, len(order)) * -0.01
            return 10 + (0 if piece.role == "floor" else later)

        free = [piece for piece in self.glued if not before[piece.key]]
        first = min(free, key=rank, default=None)
        for piece in self.glued:
            screws = [f for f in self.cabinet.fastenings if self.holds(f, piece)]
            needs = [*base, *(f"panel.{key}" for key in sorted(before[piece.key]))]
            guards: list[GuardKey] = [*_driven(screws)]
            behind = [
                p
                for p in self.pieces.values()
                if p.panel == piece.key and p.kind in ("rail", "strip") and not is_removable(p)
            ]
            if behind:
                needs.append(f"backing.{piece.key}")
            loose = piece.kind == "board"
            floor = piece.role == "floor"
            orders = [
                f"Spread glue on {'its seat' if loose else 'the cleats and on the end grain'}; set "
                f"the {piece.label} on its marks, show face {'down' if floor else 'outward'}.",
                "Clamp with blocks that spare the edges; check that it stands square.",
            ]
            if piece is first and self.sides:
                orders.insert(0, "Stand both sides up, cleats facing each other, on a flat bench.")
            if behind:
                orders.insert(
                    0,
                    f"Look that {listed(p.label for p in behind)} sit fast on its back: nobody comes near them "
                    "easily once it stands.",
                )
                guards.append("closed too soon")
            if screws:
                orders.append("Drive the screws from the inside through the cleats.")
                orders += _tips(screws)
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

    def hang(self) -> Step:
        names = listed(piece.label for piece in (*self.removable, *self.doors))
        return Step(
            key="hang",
            stage="glue",
            title="Fit what comes off, and take it off again",
            orders=(
                f"Set in {names} without glue, with the gaps of the drawings.",
                "Drill the pilots of its screws in place, drive every screw once, mark each panel "
                "inside, take it off again.",
            ),
            pieces=tuple(piece.key for piece in (*self.removable, *self.doors)),
            tool="Drill, screwdriver",
            cautions=("drill",),
            needs=tuple(f"panel.{piece.key}" for piece in self.glued) or ("dry-fit",),
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

    def overlays(self) -> Iterator[Step]:
        for piece in self.cabinet.pieces:
            if piece.kind == "overlay":
                host = self.labels.get(piece.panel, piece.panel)
                yield Step(
                    key=f"overlay.{piece.key}",
                    stage="fit",
                    title=f"Lay the {piece.label} on the {host}",
                    orders=(
                        "Peel the film just before; wipe with water and a soft cloth, no spirits.",
                        "Lay it flush with the datum corner; the parts fitted through it hold it.",
                    ),
                    pieces=(piece.key, piece.panel),
                    face_up="show face",
                    face="show",
                    needs=(self.painted,),
                    job="overlay",
                    minutes=minutes_table().of("overlay", 1),
                    rank=0,
                )

    def edge_trim(self) -> Iterator[Step]:
        key = self.cabinet.project.shape.side.edge_trim
        if key is None:
            return
        yield Step(
            key="trim",
            stage="fit",
            title=f"Drive the {self.cabinet.parts[key].label} into the sides' edges",
            orders=(
                "Clear the slot of paint. Start at the back, below; leave a finger's breadth over.",
                "Notch the spline with cutters where it turns a corner; tap it home with a soft "
                "mallet over a scrap of wood.",
                "Trim what stands over with a sharp blade, cutting away from the hand.",
            ),
            pieces=tuple(sorted(self.sides)),
            tool="Soft mallet, cutters, knife",
            needs=(self.painted,),
            count=len(self.sides),
            job="edge trim",
            minutes=minutes_table().of("edge trim", len(self.sides)),
            rank=0.5,
        )

    def fits(self) -> Iterator[Step]:
        """Bought parts, panel by panel; displays last, so that nothing can fall on them."""
        groups: dict[str, list[Placed]] = {}
        shows: list[Placed] = []
        for placed in self.cabinet.placed:
            kind = placed.part.data.kind
            if kind == "display":
                shows.append(placed)
            elif kind not in MADE_IN_PANEL or self.screws(placed):
                groups.setdefault(self.pieces[placed.piece].panel or placed.piece, []).append(
                    placed
                )
        overlays = tuple(
            f"overlay.{piece.key}" for piece in self.pieces.values() if piece.kind == "overlay"
        )
        for rank, (host, placed_here) in enumerate(groups.items(), start=1):
            yield self.fit(f"fit.{host}", host, placed_here, (self.painted, *overlays), rank)
        earlier = tuple(f"fit.{host}" for host in groups)
        for rank, placed in enumerate(shows, start=1):
            host = self.pieces[placed.piece].panel or placed.piece
            yield self.fit(
                f"fit.{placed.key}", host, [placed], (self.painted, *overlays, *earlier), 100 + rank
            )

    def fit(
        self, key: str, host: str, placed: Sequence[Placed], needs: tuple[str, ...], rank: float
    ) -> Step:
        names = listed(item.label or item.part.label for item in placed)
        screws = [f for item in placed for f in self.screws(item)]
        extra = tuple(
            piece.key
            for piece in self.cabinet.pieces
            if piece.kind in ("artwork", "bar", "frame", "light board", "board")
            and any(piece.key.startswith(f"{item.key}.") for item in placed)
        )
        orders = [fit_order(item, self.labels) for item in placed]
        orders += [
            f"Fix the {self.labels[key]}." for key in extra if self.pieces[key].kind != "artwork"
        ]
        if any(item.part.data.kind == "display" for item in placed):
            orders += [
                "Switch it on with a full white picture, shim until the lit area stands even in "
                "the opening, then tighten.",
            ]
        orders += _tips(screws)
        job = "fit display" if any(p.part.data.kind == "display" for p in placed) else "fit"
        return Step(
            key=key,
            stage="fit",
            title=f"Fit to the {self.labels.get(host, host)}: {names}",
            orders=tuple(dict.fromkeys(orders)),
            pieces=(host, *extra),
            parts=tuple(item.key for item in placed),
            tool="Screwdriver" if screws else "By hand",
            screws=screws_of(screws),
            fastenings=tuple(f.key for f in screws),
            guards=_driven(screws),
            needs=needs,
            count=len(placed),
            job=job,
            minutes=minutes_table().of(job, len(placed)),
            rank=rank,
        )

    def wire_and_test(self, needs: tuple[str, ...]) -> Iterator[Step]:
        electric = tuple(p.key for p in self.cabinet.placed if is_electric(p))
        yield Step(
            key="wire",
            stage="wire",
            title="Wire it",
            orders=(
                "Work with the supply unplugged. Label both ends of every wire before it goes in.",
                "Run power first, then signals; keep wires off moving levers and fan blades, and "
                "tie them down away from edges.",
                "Leave enough loop that every part can be taken out.",
            ),
            parts=electric,
            tool="Soldering iron, crimp tool, stripper",
            cautions=("mains", "low voltage", "heat"),
            needs=needs,
            count=len(electric),
            job="wire",
            minutes=minutes_table().of("wire", len(electric)),
        )
        yield Step(
            key="test",
            stage="test",
            title="Test before the first use",
            orders=(
                "With the supply unplugged, measure from each rail to ground: no short circuit.",
                "Plug in with the loads unplugged: each rail must show its voltage.",
                "Connect one load after the other. Press every button, move every lever, hear "
                "every speaker.",
                "Let it run for an hour, closed; feel for heat and look at the fan.",
            ),
            tool="Meter",
            cautions=("mains", "low voltage"),
            needs=("wire",),
            count=len(electric),
            job="test",
            minutes=minutes_table().of("test", len(electric)),
        )

    def close(self, needs: tuple[str, ...]) -> Iterator[Step]:
        pieces = (*self.removable, *self.doors)
        if not pieces:
            return
        keys = {piece.key for piece in pieces}
        screws = [
            f
            for f in self.cabinet.fastenings
            if (f.into in keys and self.is_cleat(f)) or f.through in keys
        ]
        how = {"magnets": "set on its magnets", "locks": "lock", "hinges": "hang on its hinges"}
        orders = [
            f"{how.get(piece.fixing, 'screw' if piece.fixing == 'screwed' else 'bolt').capitalize()}"
            f": {piece.label}."
            for piece in pieces
        ]
        yield Step(
            key="close",
            stage="close",
            title="Close the cabinet",
            orders=(
                "First look inside: every line of the screw map is ticked, every plug is in, nothing lies loose.",
                *orders,
                *_tips(screws),
                "Lift it by its grips once, near the floor, before carrying it.",
            ),
            pieces=tuple(piece.key for piece in pieces),
            tool="Screwdriver",
            screws=screws_of(screws),
            fastenings=tuple(f.key for f in screws),
            cautions=("lifting",),
            guards=("closed too soon", *_driven(screws)),
            needs=needs,
            count=len(pieces),
            job="close",
            minutes=minutes_table().of("close", len(pieces)),
        )

    def screws(self, placed: Placed) -> list[Fastening]:
        own = f"{placed.key}."
        backing = {
            piece.key
            for piece in self.cabinet.pieces
            if piece.kind in ("rail", "strip") and not is_removable(piece)
        }
        return [
            f
            for f in self.cabinet.fastenings
            if (f.key.startswith(own) or f.through == placed.key) and f.through not in backing
        ]

    def is_cleat(self, fastening: Fastening) -> bool:
        piece = self.pieces.get(fastening.through)
        return piece is not None and piece.kind == "cleat"

    def has_cleats(self, side: str) -> bool:
        return any(f.into == side and self.is_cleat(f) for f in self.cabinet.fastenings)

    def holds(self, fastening: Fastening, piece: Piece) -> bool:
        """Whether the screw holds this panel in the carcass: from a cleat, or straight into a neighbor."""
        if fastening.into == piece.key:
            return self.is_cleat(fastening)
        return fastening.through == piece.key and fastening.into in self.pieces


def _tips(fastenings: Sequence[Fastening]) -> list[str]:
    """How far the tips of the screws stay inside, the nearest to a far face."""
    named = [f for f in fastenings if f.name]
    if not named:
        return []
    nearest = min(named, key=lambda f: f.left)
    return [
        f"Only these screws, one size to a box: the tip of {nearest.name} stays {mm(nearest.left)} before the far face."
    ]


def _driven(fastenings: Sequence[Fastening]) -> tuple[GuardKey, ...]:
    return ("screws through",) if any(f.name for f in fastenings) else ()


__all__ = ["MADE_IN_PANEL", "assembly_steps"]
