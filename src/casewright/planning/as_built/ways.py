"""Ways on from what exists: keep the plan and work on the pieces, or let the plan follow them.

A way is a set of changed values of the project with an answer for every piece that exists. The plan follows by the
fewest and least changes of its free dimensions that leave the made pieces as they are, or that need no new wood.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Severity, mm
from casewright.basics.wording import capital, listed
from casewright.design.project import Project
from casewright.geometry.collisions import find_collisions
from casewright.geometry.model import (
    Cabinet,
    FaceShape,
    Feature,
    Piece,
    Point2,
    Polygon,
    Rectangle,
)
from casewright.planning.as_built.answers import Answer, answer_of
from casewright.planning.as_built.fits import HELD, SCREWED, Fit, fit_of
from casewright.planning.as_built.freedoms import Freedom, Path, freedoms_of, stepped, with_value
from casewright.planning.as_built.least_change import least_changes
from casewright.planning.as_built.made import MadePiece, edge_line, made_piece, middle_of, sizes
from casewright.planning.as_built.outline import openings_as_made, outline_as_made
from casewright.planning.as_built.seams import seam_ways

Rebuild = Callable[[Project], Cabinet]
"""The cabinet of a changed project."""
Judge = Callable[[Cabinet], frozenset[str]]
"""All that forbids building a cabinet, as messages."""
NEAR = 0.05
"""A size that changes by less is the same on paper. [mm]"""
SHOWN = 5
"""Ways that are offered: more would be no help."""
MORE_WORK = 15.0
"""A way is offered beside keeping the plan if it takes at most so many minutes more."""
CLOSED = 0.5
"""Share of what may be off to which a change has to close a gap: a loose piece has two ends."""
PER_HOLE = 4
"""Rows of a hole: off to the right and up, wider, higher."""
ELSEWHERE = ("moved", "larger", "smaller")
"""Changes of a hole that the plan may follow."""
EFFECT = 1e-9
"""A dimension that changes a gap by less does not change it."""
SHOWS = 15.0
"""A panel that leaves the sides' edges shows: it counts like so many minutes of work."""
SAVED = 0.98
"""A way saves wood if it takes less than this share of it."""
TRIED = 4
"""Sets of changes that are worked out in full, the least first."""


@dataclass(frozen=True)
class Way:
    """One way on."""

    key: str
    title: str
    changes: tuple[tuple[Path, object], ...]
    """(place in the project, new value): lengths in millimeters."""
    answers: tuple[Answer, ...]
    """Every piece that exists, and what is not cut yet but has a new size; the gravest first."""
    stops: tuple[str, ...] = ()
    """What forbids it and did not forbid the plan as it is."""

    @property
    def wood(self) -> float:
        """Board that pieces made anew take. [mm²]"""
        return sum(answer.wood for answer in self.answers if answer.verdict == "remake")

    @property
    def minutes(self) -> float:
        """Rough time of all that is to be done again."""
        return sum(answer.minutes for answer in self.answers)

    @property
    def touched(self) -> tuple[Answer, ...]:
        """Pieces that exist and are not left as they are."""
        return tuple(a for a in self.answers if a.verdict not in ("unchanged", "new size"))

    @property
    def order(self) -> tuple[float, ...]:
        """Least new wood first, then least work, then fewest changes of the plan and of other pieces."""
        new = sum(answer.verdict == "new size" for answer in self.answers)
        shows = sum(path[-1] == "reveal" for path, _ in self.changes)
        work = self.minutes + SHOWS * shows
        return (len(self.stops), round(self.wood), work, len(self.changes), new)


@dataclass(frozen=True)
class Replan:
    """What exists beside the plan, and the ways on."""

    kept: Way
    """The plan stays as it is."""
    ways: tuple[Way, ...]
    """All of them, `kept` too, the best first."""
    conflict: str = ""
    """What nothing can absorb without a new piece; empty where something can."""

    @property
    def settled(self) -> bool:
        """Whether every piece that exists serves the plan as it is."""
        return not self.kept.touched


def made_pieces(cabinet: Cabinet) -> dict[str, MadePiece]:
    """What exists of the plan's pieces, by key."""
    records = cabinet.project.as_built
    return {
        piece.key: made_piece(piece, records[piece.key])
        for piece in cabinet.pieces
        if piece.key in records and records[piece.key].reached("cut")
    }


def tolerances(project: Project) -> tuple[float, float]:
    """What seams and what holes may be off before anything is to be done. [mm]"""
    return project.accuracy.filled, project.accuracy.mark + project.accuracy.drill


def keep(cabinet: Cabinet) -> Way:
    """The plan as it is, with what that asks of each piece that exists."""
    return Way("keep", "Keep the plan", (), answers(cabinet, cabinet))


def stops_of(cabinet: Cabinet) -> frozenset[str]:
    """What geometry itself says against a cabinet: its own stops, and whatever meets."""
    said = {f.message for f in cabinet.findings if f.severity is Severity.STOP}
    met = {f"{c.first} meets {c.second}." for c in find_collisions(cabinet)}
    return frozenset(said | met)


def replan(cabinet: Cabinet, rebuild: Rebuild, judge: Judge = stops_of) -> Replan:
    """Every sensible way on.

    Args:
        cabinet: The plan with its records.
        rebuild: Works out a changed project; may raise `InputErrors` where it cannot be built.
        judge: Says what forbids building a cabinet; what it says of the plan already counts against no way.
    """
    kept = keep(cabinet)
    if not kept.touched:
        return Replan(kept, (kept,))
    planner = _Planner(cabinet, rebuild, judge)
    found = {kept.key: kept}
    for way in planner.following():
        found.setdefault(way.key, way)
    for way in planner.outline_kept():
        found.setdefault(way.key, way)
    for title, values in seam_ways(cabinet, made_pieces(cabinet)):
        changed = cabinet.project
        for path, value in values:
            changed = with_value(changed, path, value)
        met = planner.worked(changed, values, title)
        if met is not None:
            found.setdefault(met.key, met)
    ways = sorted(found.values(), key=lambda way: (way.order, way.key))
    best = [way for way in ways if way is kept or _is_worth(way, kept)][:SHOWN]
    best = best if kept in best else [*best[:-1], kept]
    conflict = ""
    if all(any(a.verdict == "remake" for a in way.answers) or way.stops for way in best):
        worst = [a for a in kept.answers if a.verdict == "remake"]
        told = " ".join(f"{a.label}: {a.reason}" for a in worst) or kept.touched[0].reason
        conflict = f"Nothing that may still change makes up for it. {told}"
        forbidden = [w for w in ways if w.stops and w.wood < kept.wood / 2]
        nearest = min(forbidden, key=lambda w: (round(w.wood), w.order), default=None)
        if nearest is not None:
            conflict += (
                f" Nearest comes this, which something forbids: {nearest.title}. {nearest.stops[0]}"
            )
    return Replan(kept, tuple(best), conflict)


def answers(before: Cabinet, after: Cabinet) -> tuple[Answer, ...]:
    """An answer for each piece that exists, and for each that is not cut and changes.

    Args:
        before: The plan by which the papers in hand were made.
        after: The plan as it is to be.
    """
    seam, hole = tolerances(after.project)
    made = made_pieces(after)
    found = []
    for piece in after.pieces:
        if piece.key in made:
            fit = fit_of(piece, made[piece.key], seam=seam, hole=hole)
            found.append(answer_of(after, piece, made[piece.key], fit, seam=seam))
        else:
            new = _new_size(before, after, piece)
            if new is not None:
                found.append(new)
    found = _swapped(after, made, found, seam=seam, hole=hole)
    known = after.piece_by_key
    for key, record in after.project.as_built.items():
        if key not in known and record.reached("cut"):
            reason = "The plan has no such piece any more."
            found.append(Answer(key, key, "needless", reason, ("Keep it as an offcut.",)))
    return tuple(sorted(found, key=lambda a: -a.trouble))


def _is_worth(way: Way, kept: Way) -> bool:
    """Whether a way can be built, takes hardly more work than keeping the plan, and saves some or spares a piece."""
    if way.stops or way.wood > kept.wood / SAVED + 1 or way.minutes > kept.minutes + MORE_WORK:
        return False
    saves = way.wood < SAVED * kept.wood or way.minutes < kept.minutes
    spared = {answer.piece for answer in kept.touched} - {answer.piece for answer in way.touched}
    return saves or bool(spared)


# ---- the plan follows the pieces ----


class _Planner:
    """Finds ways; works each project out once."""

    def __init__(self, cabinet: Cabinet, rebuild: Rebuild, judge: Judge) -> None:
        self.cabinet = cabinet
        self.rebuild = rebuild
        self.judge = judge
        self.said = judge(cabinet)

    def following(self) -> list[Way]:
        """Ways by changed dimensions, for each way of saying what has to stay as it is.

        All that is made; each piece that is off for itself, the others may be sawn; or only nothing may lack.
        """
        cabinet, project = self.cabinet, self.cabinet.project
        made = made_pieces(cabinet)
        seam, hole = tolerances(project)
        fits = {
            key: fit_of(cabinet.piece_by_key[key], made[key], seam=seam, hole=hole) for key in made
        }
        off = [
            key for key, fit in fits.items() if fit.short > seam or fit.spare > seam or _moved(fit)
        ]
        if not off:
            return []
        panels = {cabinet.piece_by_key[key].panel or key for key in off}
        parts = [
            change.planned.owner
            for key in off
            for change in fits[key].features
            if change.change in ELSEWHERE and change.planned is not None
        ]
        gaps = _Gaps(cabinet, made, seam=seam, hole=hole)
        columns, usable = [], []
        for freedom in freedoms_of(cabinet, panels, parts):
            try:
                after, _ = stepped(project, {freedom: 1.0})
                column = gaps.of(self.rebuild(after)) - gaps.now
            except InputErrors:
                continue
            if np.isfinite(column).all():
                columns.append(column)
                usable.append(freedom)
        if not usable:
            return []
        effect = np.column_stack([*columns, *gaps.shifts])
        # What nothing changes is told by its answer and must not keep the rest from being closed.
        rows = (np.abs(effect).max(axis=1) > EFFECT) | (np.abs(gaps.now) <= 1.0)
        ways: dict[tuple[tuple[Path, object], ...], Way] = {}
        stays = [
            gaps.one_way(()),
            gaps.one_way(tuple(made)),
            *(gaps.one_way((key,)) for key in off),
        ]
        for one_way in stays:
            changes = least_changes(
                effect[rows],
                gaps.now[rows],
                [*(freedom.weight for freedom in usable), *(0.0 for _ in gaps.shifts)],
                tolerance=CLOSED,
                largest=[*(freedom.largest for freedom in usable), *(1e9 for _ in gaps.shifts)],
                at_least=one_way[rows],
            )
            for change in changes[:TRIED]:
                steps = {
                    usable[j]: round(s, 2)
                    for j, s in zip(change.columns, change.steps, strict=True)
                }
                after, values = stepped(project, steps)
                found = tuple(values.items())
                if found in ways:
                    continue
                way = self.worked(after, found, _title(steps))
                if way is not None:
                    ways[found] = way
        return list(ways.values())

    def outline_kept(self) -> list[Way]:
        """The outline as the sides were made, where the recipe works out another one now; and ways on from there."""
        made = made_pieces(self.cabinet)
        pinned = outline_as_made(self.cabinet, made) or {}
        title = "The outline as the sides were made" if pinned else "The opening as it was made"
        pinned = {**pinned, **openings_as_made(self.cabinet, made)}
        if not pinned:
            return []
        project = self.cabinet.project
        for path, pin in pinned.items():
            project = with_value(project, path, pin)
        first = self.worked(project, tuple(pinned.items()), title)
        if first is None or not first.touched:
            return [first] if first is not None else []
        ways = [first]
        there = _Planner(self.rebuild(project), self.rebuild, self.judge)
        for way in there.following():
            after = project
            for path, value in way.changes:
                after = with_value(after, path, value)
            changes = tuple({**pinned, **dict(way.changes)}.items())
            more = self.worked(after, changes, f"{title}; {way.title[:1].lower()}{way.title[1:]}")
            if more is not None:
                ways.append(more)
        return ways

    def worked(
        self, project: Project, values: Sequence[tuple[Path, object]], title: str
    ) -> Way | None:
        """A way with all that it brings; None where its project cannot be built."""
        try:
            after = self.rebuild(project)
        except InputErrors:
            return None
        stops = tuple(sorted(self.judge(after) - self.said))
        key = " + ".join(f"{'.'.join(map(str, path))} = {value}" for path, value in values)
        return Way(key, title, tuple(values), answers(self.cabinet, after), stops)


def _title(steps: Mapping[Freedom, float]) -> str:
    text = listed(freedom.words(step) for freedom, step in steps.items())
    return capital(text)


def _moved(fit: Fit) -> bool:
    return any(change.change in ELSEWHERE for change in fit.features)


class _Gaps:
    """All that made pieces are off by, as one row of numbers; 1 is as much as is allowed.

    Edges: material beyond the plan's edge at each end and face. Holes: made middle from planned middle, each way.
    """

    def __init__(
        self, cabinet: Cabinet, made: Mapping[str, MadePiece], *, seam: float, hole: float
    ) -> None:
        self.made = made
        self.seam, self.hole = seam, hole
        self.keys = {
            key: [f for f, there in made[key].features.items() if _counts(there.kind)]
            for key in made
        }
        self.now = self.of(cabinet)
        self.shifts = self._shifts(cabinet)

    def of(self, cabinet: Cabinet) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        """The row for a plan; infinite where a piece or hole is not there any more."""
        rows: list[float] = []
        for key, made in self.made.items():
            piece = cabinet.piece_by_key.get(key)
            if piece is None or len(piece.show) != len(made.show):
                rows += [math.inf] * (4 * len(made.show) + PER_HOLE * len(self.keys[key]))
                continue
            rows += [value / self.seam for value in _edge_row(piece, made)]
            planned = {feature.key: feature for feature in piece.features}
            lag = _lag(made.show, piece.show) if piece.kind not in HELD else (0.0, 0.0)
            for name in self.keys[key]:
                if name not in planned:
                    rows += [0.0] * PER_HOLE
                    continue
                (u, v), (mu, mv) = middle_of(planned[name]), middle_of(made.features[name])
                off = (
                    mu + lag[0] - u,
                    mv + lag[1] - v,
                    *_grown(planned[name], made.features[name]),
                )
                rows += [value / self.hole for value in off]
        return np.array(rows, dtype=float)

    def one_way(self, stay: tuple[str, ...]) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Which gaps may grow: edges of all pieces but those that stay as they are may be sawn off."""
        rows: list[bool] = []
        for key, made in self.made.items():
            rows += [key not in stay] * (4 * len(made.show)) + [False] * (
                PER_HOLE * len(self.keys[key])
            )
        return np.array(rows, dtype=bool)

    def _shifts(self, cabinet: Cabinet) -> list[np.ndarray[tuple[int], np.dtype[np.float64]]]:
        """What a piece without holes does to its own gaps when it is laid elsewhere, u and v."""
        columns = []
        for key, made in self.made.items():
            if made.features and cabinet.piece_by_key[key].kind in HELD:
                continue
            for du, dv in ((1.0, 0.0), (0.0, 1.0)):
                rows: list[float] = []
                for other, there in self.made.items():
                    piece = cabinet.piece_by_key[other]
                    size = 4 * len(there.show) + PER_HOLE * len(self.keys[other])
                    if other != key or len(piece.show) != len(there.show):
                        rows += [0.0] * size
                        continue
                    for index in range(len(there.show)):
                        for points in (there.show, there.back):
                            nx, ny = edge_line(points, index).left
                            rows += [-(nx * du + ny * dv) / self.seam] * 2
                    rows += [0.0] * (PER_HOLE * len(self.keys[other]))
                columns.append(np.array(rows, dtype=float))
        return columns


def _grown(planned: Feature, made: Feature) -> tuple[float, float]:
    """How much wider and higher a hole is made than planned. [mm]"""
    (w, h), (mw, mh) = _extent(planned), _extent(made)
    return mw - w, mh - h


def _extent(feature: Feature) -> tuple[float, float]:
    shape = feature.shape
    if isinstance(shape, Polygon):
        return sizes(shape.points)
    if isinstance(shape, Rectangle):
        return shape.width, shape.height
    return shape.diameter, shape.diameter


def _edge_row(piece: Piece, made: MadePiece) -> list[float]:
    row = []
    for index in range(len(piece.show)):
        after = (index + 1) % len(piece.show)
        for plan, there in ((piece.show, made.show), (piece.back, made.back)):
            line = edge_line(there, index)
            row += [line.offset(plan[corner]) for corner in (index, after)]
    return row


def _counts(kind: str) -> bool:
    """Holes that show; a screw's hole is simply bored anew."""
    return kind not in SCREWED


UNREAD = 0.05
"""Sizes nearer to each other read alike: half of the tenth that lengths are written to. [mm]"""

# ---- new sizes, and sides that are each other's mirror image ----


def _new_size(before: Cabinet, after: Cabinet, piece: Piece) -> Answer | None:
    """An answer for a piece that is not cut yet, if its papers in hand are out of date."""
    record = after.project.as_built.get(piece.key)
    old: tuple[tuple[Point2, ...], tuple[Point2, ...]] | None = None
    holes: tuple[Feature, ...] | None = None
    if record is not None and record.drawn is not None:
        old = record.drawn.faces
    elif piece.key in before.piece_by_key:
        was = before.piece_by_key[piece.key]
        old, holes = (was.show, was.back), was.features
    if old is None:
        return Answer(piece.key, piece.label, "new size", "It is new in the plan.")
    by = _lag(old[0], piece.show) if piece.kind not in HELD else (0.0, 0.0)
    if _alike(old[0], piece.show, by) and _alike(old[1], piece.back, by):
        if holes is None or _same_holes(holes, piece, by):
            return None
        return Answer(piece.key, piece.label, "new size", "Its holes move; it is not cut yet.")
    now, then = sorted(sizes(piece.show, piece.back)), sorted(sizes(*old))
    said = [f"{mm(size[1])} × {mm(size[0])}" for size in (now, then)]
    if all(abs(a - b) <= UNREAD for a, b in zip(now, then, strict=True)):
        reason = f"It is not cut yet: its blank stays {said[0]}, its edges run otherwise."
    else:
        reason = f"It is not cut yet: {said[0]} instead of {said[1]}."
    return Answer(piece.key, piece.label, "new size", reason)


def _lag(a: Sequence[Point2], b: Sequence[Point2]) -> Point2:
    """From the lower left corner of one outline to that of another."""
    return (
        min(p[0] for p in b) - min(p[0] for p in a),
        min(p[1] for p in b) - min(p[1] for p in a),
    )


def _alike(a: Sequence[Point2], b: Sequence[Point2], by: Point2) -> bool:
    return len(a) == len(b) and all(
        math.dist((p[0] + by[0], p[1] + by[1]), q) < NEAR for p, q in zip(a, b, strict=True)
    )


def _same_holes(holes: Sequence[Feature], piece: Piece, by: Point2) -> bool:
    """Whether every hole is where it was in the piece, and as large."""
    now = {feature.key: feature for feature in piece.features}
    if set(now) != {feature.key for feature in holes}:
        return False
    for was in holes:
        is_now = now[was.key]
        (u, v), (nu, nv) = middle_of(was), middle_of(is_now)
        if math.dist((u + by[0], v + by[1]), (nu, nv)) > NEAR or was.depth != is_now.depth:
            return False
        if _size(was) != _size(is_now):
            return False
    return True


def _size(feature: Feature) -> tuple[float, ...]:
    shape = feature.shape
    if isinstance(shape, Polygon):
        return tuple(round(value, 2) for value in sizes(shape.points))
    if isinstance(shape, Rectangle):
        return (round(shape.width, 2), round(shape.height, 2), round(shape.turn_deg, 2))
    return (round(shape.diameter, 2),)


def _swapped(
    cabinet: Cabinet,
    made: Mapping[str, MadePiece],
    found: Sequence[Answer],
    *,
    seam: float,
    hole: float,
) -> list[Answer]:
    """A side that is worked as its mirror image serves as the other one, where that one is not made yet."""
    result = list(found)
    for key, other in (("left", "right"), ("right", "left")):
        mine = next((a for a in result if a.piece == key), None)
        if (
            mine is None
            or key not in made
            or other in made
            or mine.verdict not in ("plug", "remake")
        ):
            continue
        place = cabinet.piece_by_key.get(other)
        if place is None:
            continue
        turned = turned_over(made[key], cabinet.piece_by_key[key].width, other)
        fit = fit_of(place, turned, seam=seam, hole=hole)
        answer = answer_of(cabinet, place, turned, fit, seam=seam)
        if answer.verdict == "unchanged":
            swapped = replace(
                mine,
                verdict="other place",
                reason=f"{mine.reason} Turned over it is the {place.label}, which is not cut yet.",
                orders=(
                    f"Mark it anew as the {place.label}; cut the {mine.label} as its mirror image.",
                ),
                wood=0.0,
            )
            result[result.index(mine)] = swapped
    return result


def turned_over(made: MadePiece, width: float, key: str) -> MadePiece:
    """A made piece laid on its other face, left and right exchanged."""

    def mirrored(points: Sequence[Point2]) -> tuple[Point2, ...]:
        turned = [(width - u, v) for u, v in points]
        return tuple(reversed(turned))

    features = {}
    for name, feature in made.features.items():
        shape: FaceShape = feature.shape
        if isinstance(shape, Polygon):
            shape = Polygon(mirrored(shape.points))
        elif isinstance(shape, Rectangle):
            shape = replace(shape, u=width - shape.u, turn_deg=-shape.turn_deg % 360)
        else:
            shape = replace(shape, u=width - shape.u)
        twin = (
            name.replace("-left", "-right")
            if made.key == "left"
            else name.replace("-right", "-left")
        )
        face = (
            feature.face
            if feature.depth is None
            else ("back" if feature.face == "show" else "show")
        )
        features[twin] = replace(feature, key=twin, shape=shape, face=face)
    return MadePiece(key, made.record, mirrored(made.back), mirrored(made.show), features)


__all__ = [
    "Replan",
    "Way",
    "answers",
    "keep",
    "made_pieces",
    "replan",
    "stops_of",
    "tolerances",
    "turned_over",
]
