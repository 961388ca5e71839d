"""Pulling at a recipe's corners: the corner ends where it was pulled, by the wish that a maker would name."""

from __future__ import annotations

import math
from functools import cache

import pytest

from casewright.design.project import Project
from casewright.session.grips import grip_of
from casewright.session.pulling import (
    Pull,
    Way,
    eye_edits,
    eye_sizes,
    movable_corners,
    pulled,
    ways_of,
    wish_edits,
)
from casewright.workflow import (
    Worked,
    changed_document,
    open_document,
    open_text,
    read_catalogs,
    starter_text,
    work_out,
)

REACHED = 1.5
"""Wishes rest on whole millimeters and tenths of a degree: the corner may end so far off. [mm]"""


@cache
def started(recipe: str) -> tuple[Worked, tuple[Way, ...]]:
    worked = work_out(open_text(starter_text(recipe, name="Start", unit="mm")))
    return worked, ways_of(worked)


def pull(recipe: str, corner: str, dy: float, dz: float) -> Pull | None:
    worked, ways = started(recipe)
    y, z = worked.cabinet.shape.corners[corner]
    return pulled(worked, ways, corner, (y + dy, z + dz))


@pytest.mark.parametrize(
    ("recipe", "corner", "way", "wishes"),
    [
        # The names of the corners stand in the drawing atop geometry/recipes/console.py; which dimension a maker would
        # change to move one is common practice.
        ("tabletop", "H", (0, 20), {"lip_height"}),
        ("tabletop", "G", (20, 3), {"deck_depth"}),
        ("tabletop", "G", (0, 20), {"deck_slope_deg"}),
        ("tabletop", "F", (20, -5), {"screen_tilt_deg"}),
        ("tabletop", "F", (0, 20), {"screen_length"}),
        ("tabletop", "E", (-20, 5), {"header_overhang"}),
        ("tabletop", "D", (4, 20), {"header_height"}),
        ("tabletop", "C", (0, -20), {"height"}),
        ("tabletop", "B", (25, 0), {"depth"}),
        ("tabletop", "C", (20, 20), {"depth", "height"}),
        ("standing", "F", (0, 30), {"deck_height"}),
        ("standing", "A", (40, 0), {"knee_room"}),
        ("lap", "D", (0, 15), {"front_height"}),
        ("lap", "C", (0, 10), {"slope_deg"}),
        ("box", "D", (0, 20), {"height"}),
        ("box", "D", (20, 0), {"front_tilt_deg"}),
    ],
)
def test_a_pull_sets_the_wish_that_governs_the_corner(
    recipe: str, corner: str, way: tuple[float, float], wishes: set[str]
) -> None:
    found = pull(recipe, corner, *way)
    assert found is not None and set(found.wishes) == wishes and not found.is_at_end


@pytest.mark.parametrize(
    ("recipe", "run", "far", "wishes"),
    [
        # As above: back, top, lip, header and underside of a tabletop, with how far they go outward.
        ("tabletop", "B-C", 25, {"depth"}),
        ("tabletop", "C-D", -20, {"height"}),
        ("tabletop", "D-E", 15, {"header_overhang"}),
        ("standing", "B-C", 30, {"depth"}),
        ("lap", "B-C", 20, {"depth"}),
        ("box", "B-C", 30, {"depth"}),
        ("box", "C-D", 30, {"height"}),
    ],
)
def test_a_pulled_edge_sets_the_wish_that_moves_all_of_it(
    recipe: str, run: str, far: float, wishes: set[str]
) -> None:
    worked, ways = started(recipe)
    corners = worked.cabinet.shape.corners
    grip = grip_of(corners, f"run:{run}")
    assert grip is not None and grip.normal is not None
    to = (grip.home[0] + far * grip.normal[0], grip.home[1] + far * grip.normal[1])
    found = pulled(worked, ways, f"run:{run}", to)
    assert found is not None and set(found.wishes) == wishes and not found.is_at_end
    end = grip.at(found.corners)
    assert end is not None and math.dist(end, to) < REACHED


@pytest.mark.parametrize("recipe", ["tabletop", "standing", "lap", "box"])
def test_what_a_pull_promises_is_what_the_project_then_gives(recipe: str) -> None:
    """The edits, put into the file and worked out anew by the whole walk, give the corners that were shown."""
    worked, ways = started(recipe)
    corner = sorted(movable_corners(ways))[-1]
    found = pull(recipe, corner, 0, 12)
    assert found is not None and found.wishes
    document = changed_document(worked.opened.document, wish_edits(worked, found))
    after = work_out(open_document(document, read_catalogs())).cabinet.shape.corners
    for name, at in found.corners.items():
        assert after[name] == pytest.approx(at, abs=1e-6), name
    start, end = worked.cabinet.shape.corners[corner], after[corner]
    assert math.dist(end, (start[0], start[1] + 12)) < 12 * math.sin(math.radians(30)) + 2


def test_two_wishes_reach_a_place_that_one_cannot() -> None:
    worked, ways = started("tabletop")
    y, z = worked.cabinet.shape.corners["C"]
    found = pulled(worked, ways, "C", (y + 17, z + 23))
    assert found is not None and set(found.wishes) == {"depth", "height"}
    assert math.dist(found.corners["C"], (y + 17, z + 23)) < REACHED
    assert found.wishes["depth"] - found.before["depth"] == pytest.approx(17, abs=0.51)


def test_corners_that_no_wish_moves_say_so() -> None:
    """The front of the base is where the cabinet's frame begins: it is always at (0, 0)."""
    assert "A" not in movable_corners(started("tabletop")[1])
    assert pull("tabletop", "A", 20, 0) is None
    assert pull("tabletop", "H", 30, 0) is None  # the front edge stands over it


def test_a_wish_at_its_end_goes_no_further() -> None:
    """A lap's slope is 6°: pulled down by far more than that, the deck lies level and no lower."""
    found = pull("lap", "C", 0, -120)
    assert found is not None and found.is_at_end
    for name in ("slope_deg", "front_height"):
        assert found.wishes.get(name, 1.0) >= 0


def test_a_free_outline_has_no_wishes_to_pull_at() -> None:
    assert started("outline")[1] == ()


def test_a_pull_of_nothing_sets_nothing() -> None:
    found = pull("tabletop", "C", 0, 0)
    assert found is not None and not found.wishes


def test_inches_rest_on_sixteenths_and_are_written_so() -> None:
    worked = work_out(open_text(starter_text("lap", name="Start", unit="in")))
    y, z = worked.cabinet.shape.corners["D"]
    found = pulled(worked, ways_of(worked), "D", (y, z + 11), grid=25.4 / 16)
    assert found is not None
    (edit,) = wish_edits(worked, found).values()
    sixteenths = found.wishes["front_height"] / 25.4 * 16
    assert sixteenths == pytest.approx(round(sixteenths), abs=1e-6)
    assert isinstance(edit, int | float) or str(edit).endswith("in")


# ---- eyes ----


def people_of(worked: Worked, edits: object) -> Project:
    document = changed_document(worked.opened.document, edits)  # type: ignore[arg-type]
    return open_document(document, read_catalogs()).project


def test_an_eye_is_in_front_of_the_edge_and_over_the_floor() -> None:
    """No feet, a table at 720: an eye 500 over the underside is 1220 over the floor."""
    started_ = open_text(starter_text("lap", name="Start", unit="mm"))
    site = {("site",): {"on": "table", "height": 720}}
    worked = work_out(open_document(changed_document(started_.document, site), read_catalogs()))
    assert eye_sizes(worked, {"y": -420.0, "z": 500.0}) == (420.0, 1220.0)
    assert eye_sizes(worked, {"z": 500.0}) == (None, 1220.0)


def test_an_eye_that_is_moved_is_its_persons() -> None:
    text = starter_text("tabletop", name="Start", unit="mm")
    worked = work_out(open_text(text))
    made = people_of(worked, eye_edits(worked, 0, {"y": -512.5, "z": 400.0}))
    assert made.people[0].distance == 512.5
    assert made.people[0].eye == pytest.approx(eye_sizes(worked, {"z": 400.0})[1])


def test_the_usual_adult_becomes_a_person_when_moved() -> None:
    document = open_text(starter_text("box", name="Start", unit="mm"))
    worked = work_out(document)
    if worked.opened.project.people:
        bare = changed_document(worked.opened.document, {("people",): []})
        worked = work_out(open_document(bare, read_catalogs()))
    made = people_of(worked, eye_edits(worked, 0, {"y": -600.0}))
    assert [person.distance for person in made.people] == [600.0]
    assert made.people[0].label
