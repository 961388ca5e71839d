"""Steps after painting: overlays, edge trim, bought parts, wires, test, closing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.wording import listed
from casewright.behavior.wiring import Wiring
from casewright.geometry.hinges import is_of_hinge
from casewright.geometry.model import Cabinet, Fastening, Placed
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.part_orders import fit_order
from casewright.planning.work.screw_words import driven, is_cleat, tips
from casewright.planning.work.step import Step, is_removable, labels_of, screws_of
from casewright.planning.work.wiring import wiring_steps

MADE_IN_PANEL = ("vent", "grip")
"""Parts that are cut into a panel: nothing to fit, unless screws hold them."""


def fitting_steps(cabinet: Cabinet, painted: str, wiring: Wiring) -> list[Step]:
    """Every step from the hard paint to the closed cabinet.

    Args:
        cabinet: The cabinet.
        painted: Key of the last step of painting.
        wiring: Its harness.
    """
    return _Fitting(cabinet, painted, wiring).steps()


class _Fitting:
    def __init__(self, cabinet: Cabinet, painted: str, wiring: Wiring) -> None:
        self.cabinet = cabinet
        self.wiring = wiring
        self.painted = painted
        self.labels = labels_of(cabinet)
        self.pieces = cabinet.piece_by_key
        self.sides = {piece.key for piece in cabinet.pieces if piece.kind == "side"}
        boards = [p for p in cabinet.pieces if p.kind in ("panel", "inner", "board")]
        self.removable = [piece for piece in boards if is_removable(piece)]
        self.doors = [piece for piece in cabinet.pieces if piece.kind == "door"]

    def steps(self) -> list[Step]:
        steps = [*self.overlays(), *self.edge_trim(), *self.fits()]
        last = (self.painted, *(step.key for step in steps))
        wired = wiring_steps(self.cabinet, self.wiring, last)
        if wired:
            steps += wired
            last = ("test",)
        return [*steps, *self.close(last)]

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
        orders += tips(screws)
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
            guards=driven(screws),
            needs=needs,
            count=len(placed),
            job=job,
            minutes=minutes_table().of(job, len(placed)),
            rank=rank,
        )

    def close(self, needs: tuple[str, ...]) -> Iterator[Step]:
        pieces = (*self.removable, *self.doors)
        if not pieces:
            return
        keys = {piece.key for piece in pieces}
        screws = [
            f
            for f in self.cabinet.fastenings
            if (f.into in keys and is_cleat(self.cabinet, f))
            or f.through in keys
            or any(is_of_hinge(f, piece.key) for piece in self.doors)
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
                *tips(screws),
                "Lift it by its grips once, near the floor, before carrying it.",
            ),
            pieces=tuple(piece.key for piece in pieces),
            tool="Screwdriver",
            screws=screws_of(screws),
            fastenings=tuple(f.key for f in screws),
            cautions=("lifting",),
            guards=("closed too soon", *driven(screws)),
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


__all__ = ["MADE_IN_PANEL", "fitting_steps"]
