"""The sides of whole cabinets in nests: held against their outlines by shapely, and the rectangles by the checker."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from functools import cache
from itertools import combinations

import ezdxf
import pytest
import shapely
from shapely import affinity
from tests.planning.cutting.conftest import load_checker

from casewright.design.cutting_wishes import CuttingWishes, Shapes
from casewright.design.project import Bit, Shop
from casewright.geometry.model import Piece
from casewright.outputs.drawings.nest_view import nest_files
from casewright.outputs.exports.tables import layout_json, pieces_csv
from casewright.planning.batch import Member, batch_of
from casewright.planning.blanks import plan_cutting
from casewright.planning.cutting import SheetLayout, on_sheet
from casewright.planning.nests import NO_GAIN, NO_SAW
from casewright.session.recording import marked
from casewright.workflow import Worked, open_text, starter_text, work_out

JIGSAW = Shop(jigsaw_kerf=2.0)
GAP = 2 * 2.5 + 2.0
"""Two lines, each left 2.5 mm on (common practice), and the jigsaw's cut."""


@cache
def worked(recipe: str, shapes: Shapes, shop: Shop = JIGSAW, width: float = 520.0) -> Worked:
    opened = open_text(starter_text(recipe, name="case", unit="mm", buttons=4, width=width))
    project = opened.project.model_copy(
        update={
            "shop": shop.model_copy(update={"kerf": opened.project.shop.kerf}),
            "cutting": CuttingWishes(shapes=shapes),
        }
    )
    return work_out(replace(opened, project=project))


def side_outline(piece: Piece, face: str) -> shapely.Polygon:
    """A piece as it lies with that face up: the back is the mirror image."""
    shape = shapely.union(shapely.Polygon(piece.show), shapely.Polygon(piece.back))
    return affinity.scale(shape, -1, 1, origin=(0, 0)) if face == "back" else shape


RECIPES = ("tabletop", "standing", "lap")
WISHES: tuple[Shapes, ...] = ("nested", "nested, either face up")


@pytest.mark.parametrize("recipe", RECIPES)
@pytest.mark.parametrize("shapes", WISHES)
def test_nested_sides_are_the_sides_and_lie_apart_in_the_trimmed_sheet(
    recipe: str, shapes: Shapes
) -> None:
    """Shapely: outlines from `cutting.json`, as any other program reads it, against those of the pieces."""
    done = worked(recipe, shapes)
    project = done.opened.project
    layout = json.loads(layout_json(done.cutting, kerf=project.shop.kerf))
    nested = [n for s in layout["sheets"] for p in s["placements"] for n in p.get("nested", ())]
    told = {finding.rule for finding in done.cutting.findings}
    assert bool(nested) != (NO_GAIN.id in told)
    for sheet in layout["sheets"]:
        trim = sheet["trim_mm"]
        room = shapely.box(trim, trim, sheet["width_mm"] - trim, sheet["height_mm"] - trim)
        solid = []
        for place in sheet["placements"]:
            shapes_here = [
                (one, shapely.Polygon(one["outline_mm"])) for one in place.get("nested", ())
            ]
            for one, there in shapes_here:
                assert there.difference(room.buffer(0.01)).area == 0
                piece = done.cabinet.piece_by_key[one["part"]]
                own = side_outline(piece, one["face_up"])
                # The blank's length lies along the grain: u, or v a quarter turn to the right.
                along_u = piece.grain == "u" or (
                    piece.grain == "none" and piece.width >= piece.height
                )
                turn = one["turned_deg"] - (
                    0 if along_u else 90 if one["face_up"] == "show" else -90
                )
                laid = affinity.rotate(own, turn, origin=(0, 0))
                laid = affinity.translate(
                    laid, there.bounds[0] - laid.bounds[0], there.bounds[1] - laid.bounds[1]
                )
                assert laid.hausdorff_distance(there) < 0.01  # written to the thousandth
                if piece.grain != "none":
                    assert one["turned_deg"] % 180 == 0
            for (_, a), (_, b) in combinations(shapes_here, 2):
                assert a.distance(b) >= GAP - 0.01
            corner, size = (place["x_mm"], place["y_mm"]), (place["width_mm"], place["height_mm"])
            solid.append(shapely.box(*corner, corner[0] + size[0], corner[1] + size[1]))
        for one, other in combinations(solid, 2):
            assert one.distance(other) >= project.shop.kerf - 0.01


@pytest.mark.parametrize("recipe", RECIPES)
@pytest.mark.parametrize("shapes", WISHES)
def test_a_nest_never_makes_the_layout_worse(recipe: str, shapes: Shapes) -> None:
    """The usual order of aims: sheets, then the largest offcut, within the hundredths that count as equal."""
    plain, nested = worked(recipe, "blanks").cutting, worked(recipe, shapes).cutting
    for before, after in zip(plain.plans, nested.plans, strict=True):
        assert len(after.plan.unplaced) <= len(before.plan.unplaced)
        assert after.plan.bought <= before.plan.bought
        if after.plan.bought == before.plan.bought:
            areas = [
                p.plan.largest_offcut.area if p.plan.largest_offcut else 0 for p in (after, before)
            ]
            assert areas[0] >= 0.98 * areas[1]
        if not any(blank.nested for blank in after.blanks):
            assert after == before


def test_two_sides_of_a_standing_cabinet_save_a_sheet() -> None:
    """Plain geometry: two blanks of 1445 × 1125 do not fit a sheet of 2440 × 1220; turned into each other they do."""
    plain, nested = worked("standing", "blanks").cutting, worked("standing", "nested").cutting
    sheets = [sum(plan.plan.bought for plan in one.plans) for one in (plain, nested)]
    assert sheets[1] == sheets[0] - 1


def test_without_the_wish_nothing_is_nested() -> None:
    assert not any(b.nested for p in worked("standing", "blanks").cutting.plans for b in p.blanks)


@pytest.mark.parametrize("recipe", RECIPES)
def test_the_rectangles_pass_the_separate_checker(
    recipe: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """`check_layout.py`: a nest is one rectangle to it."""
    checker = load_checker()
    if checker is None:
        pytest.skip("check_layout.py is not at ../shared/tools")
    done = worked(recipe, "nested, either face up")
    folder = tmp_path_factory.mktemp("nests")
    for plan in done.cutting.plans:
        only = replace(done.cutting, plans=(plan,))
        (folder / "parts.csv").write_bytes(pieces_csv(done.cabinet, only, str))
        layout = json.loads(layout_json(only, kerf=done.opened.project.shop.kerf))
        violations, _ = checker.check(layout, checker.read_parts(str(folder / "parts.csv")), None)
        assert not violations


def nested_case() -> Worked:
    done = worked("standing", "nested, either face up")
    assert any(blank.nested for plan in done.cutting.plans for blank in plan.blanks)
    return done


def test_the_nest_is_cut_off_then_sawn_apart_then_trimmed_as_a_pair() -> None:
    done = nested_case()
    steps = {step.key: step for step in done.work.steps}
    apart = steps["nest.left.right.apart"]
    assert apart.pieces == ("left", "right")
    (before,) = (steps[key] for key in apart.needs)
    assert before.sheet == apart.sheet and "nest of" in " ".join(before.orders)
    assert before.number < apart.number < steps["sides.stack"].number < steps["sides.trim"].number
    assert "sides.saw" not in steps
    assert apart.setting is not None and apart.setting.machine == "jigsaw"
    assert not done.work.findings
    # Every piece comes off exactly one cut.
    cut = [piece for step in done.work.steps if step.stage == "cut" for piece in step.pieces]
    assert sorted(cut) == sorted(set(cut))
    assert {"left", "right"} <= set(cut)


def test_without_jigsaw_or_straight_bit_it_says_so_and_keeps_the_blanks() -> None:
    shop = Shop(bits=(Bit(kind="straight", sizes=(8.0,), length=6.0),))
    done = worked("standing", "nested", shop)
    told = [finding for finding in done.cutting.findings if finding.rule == NO_SAW.id]
    assert told and told[0].remedies[0].field == "shop.jigsaw_kerf"
    assert not any(blank.nested for plan in done.cutting.plans for blank in plan.blanks)
    assert not any(finding.rule == NO_SAW.id for finding in nested_case().cutting.findings)


def test_the_router_leaves_as_much_as_its_bit_is_wide() -> None:
    """Plain geometry: a bit that runs on both lines is as wide as they are apart."""
    shop = Shop(bits=(Bit(kind="straight", sizes=(12.7, 8.0), length=50.0),))
    done = worked("standing", "nested, either face up", shop)
    nests = [b for p in done.cutting.plans for b in p.blanks if b.nested]
    for nest in nests:
        one, other = (shapely.Polygon(n.outline) for n in nest.nested)
        assert 8.0 - 1e-4 <= one.distance(other) < GAP + 2
    assert nests
    step = done.work.step("nest.left.right.apart")
    assert step.setting is not None and step.setting.machine == "router"


def test_a_nest_with_one_piece_recorded_is_off_its_sheet() -> None:
    """What the record says is left of the sheet holds no part of the nest."""
    done = nested_case()
    edits = marked(done, ("left",), "cut")
    record = edits[("as built", "left")]
    (plan,) = (p for p in done.cutting.plans if any(b.nested for b in p.blanks))
    (nest,) = (b for b in plan.blanks if b.nested)
    (sheet,) = (s for s in plan.plan.sheets if any(p.blank == nest.key for p in s.placements))
    assert record["sheet"] == sheet.stock  # type: ignore[index]
    project = done.opened.project
    records = type(project).model_validate(
        {**project.model_dump(by_alias=True), "as built": {"left": record}},
        context={"unit": "mm"},
    )
    again = plan_cutting(replace(done.cabinet, project=records))
    left = next(p for p in again.plans if p.material == plan.material)
    assert {b.key for b in left.blanks} >= {"right"}
    assert not any(b.nested for b in left.blanks)


def test_the_drawing_of_the_nest_reads_back_with_its_outlines() -> None:
    """ezdxf: closed lines on layers of cuts at true size, as the plan has them."""
    done = nested_case()
    files = nest_files(done.cutting, done.opened.style)
    assert set(files) == {"nest-left-right.svg", "nest-left-right.dxf"}
    drawing = ezdxf.read(io.StringIO(files["nest-left-right.dxf"].decode()))
    assert not drawing.audit().has_errors and drawing.units == ezdxf.units.MM
    lines = [
        shapely.Polygon(line.get_points("xy"))
        for line in drawing.modelspace().query("LWPOLYLINE")
        if line.dxf.layer.startswith("CUT")
    ]
    (nest,) = (b for p in done.cutting.plans for b in p.blanks if b.nested)
    for nested, line in zip(nest.nested, lines, strict=True):
        assert shapely.Polygon(nested.outline).symmetric_difference(line).area < 0.1


def test_three_cabinets_cut_together_lie_three_and_three_and_leave_a_larger_offcut() -> None:
    """Shapely: the six sides, each once, in the sheet and apart. Two by two none was better than its own blank."""
    one = worked("tabletop", "nested").cabinet
    plain = worked("tabletop", "blanks").cabinet
    nested, blanks = (plan_cutting(batch_of([Member("a", c, 3)]).cabinet) for c in (one, plain))
    before = {plan.material: plan.plan for plan in blanks.plans}
    (plan,) = (p for p in nested.plans if any(b.nested for b in p.blanks))
    assert [len(blank.nested) for blank in plan.blanks] == [3, 3]
    parts = [part for blank in plan.blanks for part in blank.parts]
    assert sorted(parts) == sorted(p for sheet in before[plan.material].sheets for p in laid(sheet))
    assert plan.plan.bought == before[plan.material].bought
    offcuts = [p.largest_offcut for p in (plan.plan, before[plan.material])]
    assert offcuts[0] is not None and offcuts[1] is not None
    assert offcuts[0].area > 1.2 * offcuts[1].area
    by_key = {blank.key: blank for blank in plan.blanks}
    for sheet in plan.plan.sheets:
        for place in sheet.placements:
            shapes = [shapely.Polygon(line) for _, line in on_sheet(by_key[place.blank], place)]
            room = shapely.box(
                place.x, place.y, place.x + place.length, place.y + place.width
            ).buffer(0.01)
            assert all(room.covers(shape) for shape in shapes)
            assert all(a.distance(b) >= GAP - 0.01 for a, b in combinations(shapes, 2))


def laid(sheet: SheetLayout) -> list[str]:
    return [place.blank for place in sheet.placements]
