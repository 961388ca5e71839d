"""Any one thing that is off by up to 3 mm or 3°, on any cabinet: the plan follows, or the conflict is named."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon as Area
from tests.strategies import examples, known, projects

from casewright.basics.errors import InputErrors
from casewright.catalog.load import load_catalog
from casewright.design.built import BuiltFeature, BuiltPiece
from casewright.design.project import Project
from casewright.geometry.build import build_cabinet
from casewright.geometry.collisions import find_collisions
from casewright.geometry.fastening import screw_sizes
from casewright.geometry.model import Cabinet, Circle
from casewright.planning.as_built import Way, drawn_of, made_piece, replan
from casewright.planning.as_built.freedoms import with_value
from casewright.planning.as_built.ways import tolerances
from casewright.planning.setups import edge_names


@st.composite
def deviations(draw: st.DrawFn, cabinet: Cabinet) -> tuple[str, BuiltPiece]:
    """A piece of the cabinet and what the tape says of it."""
    pieces = [p for p in cabinet.pieces if p.kind in ("panel", "inner", "side")]
    piece = draw(st.sampled_from(pieces))
    off = draw(st.floats(0.6, 3.0)) * draw(st.sampled_from((-1, 1)))
    drawn = drawn_of(piece)
    kind = draw(st.sampled_from(("length", "width", "bevel", "hole")))
    holes = [f for f in piece.features if isinstance(f.shape, Circle)]
    if kind == "hole" and holes:
        hole = draw(st.sampled_from(holes))
        assert isinstance(hole.shape, Circle)
        told = {hole.key: BuiltFeature(u=hole.shape.u + off)}
        return piece.key, BuiltPiece(state="drilled", drawn=drawn, holes=told)
    if kind == "bevel" and piece.kind != "side":
        edge = draw(st.sampled_from(edge_names(piece.show)))
        return piece.key, BuiltPiece(state="cut", drawn=drawn, bevels={edge: abs(off)})
    long, short = max(piece.width, piece.height), min(piece.width, piece.height)
    along = piece.grain == "u" or (piece.grain == "none" and piece.width >= piece.height)
    first, second = (piece.width, piece.height) if along else (piece.height, piece.width)
    size = (first if kind == "length" else second) + off
    if size < 5 or short < 10 or long < 20:
        return piece.key, BuiltPiece(state="cut", drawn=drawn)
    if kind == "length":
        return piece.key, BuiltPiece(state="cut", drawn=drawn, length=size)
    return piece.key, BuiltPiece(state="cut", drawn=drawn, width=size)


def follow(project: Project, way: Way) -> Project:
    for path, value in way.changes:
        project = with_value(project, path, value)
    return project


@settings(max_examples=examples(25), suppress_health_check=list(HealthCheck), deadline=None)
@given(st.data())
def test_the_plan_follows_or_the_conflict_is_named(data: st.DataObject) -> None:
    project = data.draw(projects())
    parts = known(project)
    sizes = screw_sizes(load_catalog(()), project.unit)
    try:
        planned = build_cabinet(project, parts, sizes)
    except InputErrors:
        return
    key, record = data.draw(deviations(planned))
    others = data.draw(st.sets(st.sampled_from([p.key for p in planned.pieces]), max_size=3))
    records = {
        other: BuiltPiece(state="cut", drawn=drawn_of(planned.piece_by_key[other]))
        for other in others
    } | {key: record}
    built = project.model_copy(update={"as_built": records})

    def rebuild(changed: Project) -> Cabinet:
        return build_cabinet(changed, parts, sizes)

    cabinet = rebuild(built)
    plan = replan(cabinet, rebuild)
    seam, _ = tolerances(built)
    best = plan.ways[0]
    assert any(way.key == "keep" for way in plan.ways)
    needs_wood = {a.piece for a in best.answers if a.verdict == "remake"}
    if needs_wood or best.stops:
        assert plan.conflict and (best.stops or needs_wood <= set(records))
        return
    after = rebuild(follow(built, best))
    told = {a.piece: a for a in best.answers}
    for piece in after.pieces:
        if piece.key not in records:
            continue
        made, answer = made_piece(piece, records[piece.key]), told[piece.key]
        # shapely: whatever is left to saw or to fill, the answer says how much.
        for plan_face, made_face in ((piece.show, made.show), (piece.back, made.back)):
            best_off = min(
                _lacking(plan_face, made_face, du, dv)
                for du in {0.0, *_lags(plan_face, made_face, 0)}
                for dv in {0.0, *_lags(plan_face, made_face, 1)}
            )
            allowed = answer.by if answer.verdict == "shim" else seam
            assert best_off <= allowed + 0.01, (piece.key, answer.verdict)
    # What the way changes brings no new overlap between pieces.
    before = {(c.first, c.second) for c in find_collisions(cabinet)}
    new = {(c.first, c.second) for c in find_collisions(after)} - before
    pieces = set(after.piece_by_key)
    assert not [pair for pair in new if set(pair) <= pieces]


def _lags(
    plan: tuple[tuple[float, float], ...], made: tuple[tuple[float, float], ...], axis: int
) -> set[float]:
    a, b = [p[axis] for p in plan], [p[axis] for p in made]
    return {min(a) - min(b), max(a) - max(b)}


def _lacking(
    plan: tuple[tuple[float, float], ...],
    made: tuple[tuple[float, float], ...],
    du: float,
    dv: float,
) -> float:
    """How far the planned face reaches out of the made one. [mm]"""
    there = Area([(u + du, v + dv) for u, v in made])
    return float(max((there.distance(_point(p)) for p in plan), default=0.0))


def _point(p: tuple[float, float]) -> Area:
    from shapely.geometry import Point

    return Point(p)
