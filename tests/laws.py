"""What always holds, as functions of a project's data: each returns, or an assertion says what does not hold.

What is measured here is measured on the solids, by `measuring.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import pytest
import shapely
from tests.measuring import (
    CLOSED,
    OPEN_ENDED,
    blank_points,
    cross_sections,
    forget,
    overlaps,
    prism_volume,
    seam_errors,
    shape_of,
    sticks_out,
)
from tests.strategies import as_project, known

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Severity
from casewright.behavior.balance import weigh
from casewright.behavior.whole import behavior_of
from casewright.catalog.load import load_catalog
from casewright.checks import Subject, run_checks
from casewright.design.project import Project
from casewright.geometry.build import build_cabinet
from casewright.geometry.collisions import find_collisions
from casewright.geometry.model import Cabinet, Feature, Piece
from casewright.geometry.solids import solid_of
from casewright.workflow import densities, screw_sizes

CATALOG = load_catalog()


def build(project: Project) -> Cabinet | None:
    """The cabinet; None where the project is refused in words."""
    try:
        return build_cabinet(project, known(project), screw_sizes(CATALOG, project.unit))
    except InputErrors as errors:
        assert all(error.field and error.want for error in errors.errors)
        return None


def findings_of(cabinet: Cabinet):
    behavior = behavior_of(cabinet, weigh(cabinet, densities(CATALOG)), CATALOG)
    return run_checks(Subject(cabinet, CATALOG, find_collisions(cabinet), behavior))


SAID_BETTER = ("display.housing-room", "display.opening-room", "sign.board-room")
"""Geometry's own stops, which name the part that has no room instead of all that its rails run into."""


def is_told(cabinet: Cabinet, findings, a: Piece, b: Piece) -> bool:
    """Whether a stop names both pieces, or what they belong to: a door's strip, a display's rail."""
    stops = [f for f in findings if f.severity is Severity.STOP]
    owned = {*cabinet.placed_by_key, *cabinet.project.doors}
    parties = [{p.key, *({p.key.partition(".")[0]} & owned)} for p in (a, b)]
    return any(
        all(party & set(f.place.names) for party in parties)
        or (f.rule in SAID_BETTER and any(party & set(f.place.names) for party in parties))
        for f in stops
    )


def is_complete(cabinet: Cabinet, panel: str) -> bool:
    """Whether a panel is there with all its layers; those that came to nothing are told."""
    layers = cabinet.shape.panels[panel].layers
    return all(
        key in cabinet.piece_by_key for key in (panel, *(f"{panel}.{x.key}" for x in layers))
    )


def what_always_holds(data: Mapping[str, Any]) -> None:
    """Each law on the same cabinet, since building it is most of the work."""
    cabinet = build(as_project(data))
    if cabinet is None:
        return
    every_seam_is_closed_and_every_gap_is_its_gap(cabinet)
    a_blank_is_the_extent_of_its_solid_and_volumes_add_up(cabinet)
    doubtful = list(overlaps(cabinet.pieces))
    cleats_go_round_everything(doubtful)
    outside = list(features_outside(cabinet))
    if doubtful or outside:
        findings = findings_of(cabinet)
        for a, b, shared in doubtful:
            assert is_told(cabinet, findings, a, b), (a.key, b.key, shared)
        for piece, feature in outside:
            about = {piece.key, feature.owner}
            told = [f for f in findings if about & set(f.place.names)]
            assert any(f.severity is not Severity.NOTE for f in told), (piece.key, feature.key)


def every_seam_is_closed_and_every_gap_is_its_gap(cabinet: Cabinet) -> None:
    whole = {slab.panel for slab in cabinet.slabs if is_complete(cabinet, slab.panel)}
    for corner in cabinet.corners:
        if corner.first in whole and corner.second in whole:
            assert seam_errors(cabinet, corner) == [], corner


def cleats_go_round_everything(shared: list[tuple[Piece, Piece, float]]) -> None:
    """The only pieces that are placed by nobody: they never run into anything, whatever else is wrong."""
    told = [{a.kind, b.kind} for a, b, _ in shared if "cleat" in (a.kind, b.kind)]
    assert told == []


def a_blank_is_the_extent_of_its_solid_and_volumes_add_up(cabinet: Cabinet) -> None:
    for piece in cabinet.pieces:
        points = blank_points(piece)
        width, height, depth = points.max(axis=0) - points.min(axis=0)
        assert width == pytest.approx(piece.width, abs=1e-6)
        assert height == pytest.approx(piece.height, abs=1e-6)
        assert depth == pytest.approx(piece.thickness, abs=1e-6)
        bare = solid_of(replace(piece, features=()))
        assert bare.volume == pytest.approx(prism_volume(piece), rel=1e-7)


def features_outside(cabinet: Cabinet) -> Iterator[tuple[Piece, Feature]]:
    """Those that do not lie inside their piece."""
    for piece in cabinet.pieces:
        for feature in piece.features:
            if feature.kind in OPEN_ENDED:  # made to run out of the edge, but not to miss the piece
                if not shape_of(feature).intersects(shapely.Polygon(piece.show)):
                    yield piece, feature
            elif sticks_out(piece, feature) > CLOSED:
                yield piece, feature


def what_always_holds_of_whole_cabinets(data: Mapping[str, Any]) -> None:
    """Laws of cabinets of which nothing has gone too far: units, mirror, volumes, the same twice."""
    project = as_project(data)
    cabinet, inches = build(project), build(as_project(data, "in"))
    assert (cabinet is None) == (inches is None)
    if cabinet is None or inches is None:
        return
    assert repr(build(project)) == repr(cabinet)
    inches_and_millimeters_give_the_same_cabinet(cabinet, inches)
    the_sides_are_a_mirrored_pair(cabinet)
    volumes_of_the_pieces_sum_to_the_volume_of_their_union(cabinet)


def inches_and_millimeters_give_the_same_cabinet(one: Cabinet, two: Cabinet) -> None:
    assert [p.key for p in one.pieces] == [p.key for p in two.pieces]
    for a, b in zip(one.pieces, two.pieces, strict=True):
        assert a.frame.origin == pytest.approx(b.frame.origin, abs=1e-6)
        for p, q in zip((*a.show, *a.back), (*b.show, *b.back), strict=True):
            assert p == pytest.approx(q, abs=1e-6)


def the_sides_are_a_mirrored_pair(cabinet: Cabinet) -> None:
    left, right = cabinet.piece_by_key["left"], cabinet.piece_by_key["right"]
    depth = max(y for y, _ in cabinet.shape.corners.values())
    turned = sorted((round(depth - u, 6), round(v, 6)) for u, v in left.show)
    assert turned == sorted((round(u, 6), round(v, 6)) for u, v in right.show)
    kinds = [sorted(f.kind for f in side.features if f.kind == "groove") for side in (left, right)]
    assert kinds[0] == kinds[1]


def volumes_of_the_pieces_sum_to_the_volume_of_their_union(cabinet: Cabinet) -> None:
    """Section by section, which is the same (Cavalieri); the union is another library's than the solids."""
    if any(True for _ in overlaps(cabinet.pieces)):
        return  # the law of overlaps has its own test
    for sections in cross_sections(cabinet.pieces):
        total = sum(section.area for section in sections)
        assert shapely.union_all(sections).area == pytest.approx(total, rel=1e-6, abs=0.01)


def nothing_that_the_file_allows_crashes(data: Mapping[str, Any]) -> None:
    """Whatever the file says: a cabinet with findings and with pieces that are not turned inside out, or a refusal."""
    cabinet = build(as_project(data))
    if cabinet is None:
        return
    for finding in findings_of(cabinet):
        assert finding.message
    for piece in cabinet.pieces:
        assert piece.thickness > 0
        for face in (piece.show, piece.back):  # turned inside out is less than nothing
            assert shapely.LinearRing(face).is_ccw, piece.key
            assert shapely.Polygon(face).area > 0, piece.key


def what_is_remembered_changes_nothing(data: Mapping[str, Any], step: float) -> None:
    """A moved width, built with everything remembered, equals the same built from nothing."""
    project = as_project(data)
    if project.shape.width is None:
        return
    wider = project.shape.model_copy(update={"width": project.shape.width + step})
    changed = project.model_copy(update={"shape": wider})
    build(project)
    warm = build(changed)
    forget()
    cold = build(changed)
    assert repr(warm) == repr(cold)
    if cold is not None and warm is not None:
        assert find_collisions(warm) == find_collisions(cold)
