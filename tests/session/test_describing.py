"""What can be set in a project file, read from the models; the expected values are read off the design's own text."""

from __future__ import annotations

import pytest
from pydantic import WithJsonSchema, create_model

from casewright.basics import fields as door
from casewright.basics.errors import InputErrors
from casewright.design.base import Section
from casewright.design.materials import Material, StockSheet
from casewright.design.panels import GrooveFeature, HoleFeature, Inner, Panel, Seam
from casewright.design.parts import Part, Placement
from casewright.design.project import Bit, Limits, Person, Project, Shop, Site, Writing
from casewright.design.shape import BoxShape, OutlineShape
from casewright.session.describing import (
    PLAIN,
    Field,
    fields_of,
    is_given,
    model_with,
    tag_of,
    value_at,
)
from casewright.session.reshaping import SHAPES, freed, recipes, with_recipe
from casewright.workflow import (
    RECIPES,
    Worked,
    changed_document,
    open_document,
    open_text,
    read_catalogs,
    starter_text,
    with_groups,
    work_out,
)


def test_every_sort_of_length_and_angle_at_the_door_is_known_with_its_unit() -> None:
    """By what each says of itself in the schema: "A length", "An angle", "tilt in degrees"."""
    seen = set()
    for name, kind in vars(door).items():
        marks = [m for m in getattr(kind, "__metadata__", ()) if isinstance(m, WithJsonSchema)]
        words = str((marks[0].json_schema or {}).get("description", "")) if marks else ""
        wanted = "mm" if words.startswith("A length") else "deg" if " degrees" in words else ""
        if wanted:
            model = create_model(name, __base__=Section, value=(kind, ...))
            (one,) = fields_of(model)
            assert (one.unit, one.sort == "length") == (wanted, wanted == "mm"), name
            seen.add(name)
    assert {"Length", "PositiveLength", "SignedLength", "Kerf", "Angle", "SawTilt"} <= seen


def field(model: type[Section], name: str) -> Field:
    return next(one for one in fields_of(model) if one.name == name)


@pytest.mark.parametrize(
    ("model", "name", "sort", "unit"),
    [
        (Person, "distance", "length", "mm"),
        (Person, "child", "yes or no", ""),
        (Person, "posture", "choice", ""),
        (Site, "height", "length", "mm"),
        (Shop, "kerf", "length", "mm"),
        (Shop, "tilt_most", "number", "deg"),
        (Limits, "mass_kg", "number", "kg"),
        (Limits, "budget", "number", "money"),
        (Limits, "passages", "list", ""),
        (Bit, "sizes", "several", "mm"),
        (Writing, "denominator", "choice", ""),
        (Material, "species", "key", ""),
        (Material, "density", "number", "kg/m³"),
        (StockSheet, "offcut", "yes or no", ""),
        (Panel, "cleats", "group", ""),
        (Panel, "label", "name", ""),
        (Seam, "between", "pair", ""),
        (Seam, "tilt", "by name", "deg"),
        (Seam, "setback", "by name", "mm"),
        (Inner, "start", "place", "mm"),
        (Placement, "turn", "number", "deg"),
        (Part, "measured", "open", ""),
        (BoxShape, "net_litres", "number", "L"),
        (Project, "doors", "named", ""),
        (Project, "notes", "text", ""),
        (Project, "extras", "by name", "money"),
    ],
)
def test_each_field_says_how_it_is_filled_in(
    model: type[Section], name: str, sort: str, unit: str
) -> None:
    one = field(model, name)
    assert (one.sort, one.unit) == (sort, unit)


def test_every_field_of_every_section_is_of_a_known_sort() -> None:
    """So that no form passes over a field in silence; "open": the parts' measures, the outline, kept layouts."""
    seen: set[type[Section]] = set()
    opens: set[str] = set()
    todo: list[type[Section]] = [Project]
    while todo:
        model = todo.pop()
        if model in seen:
            continue
        seen.add(model)
        for one in fields_of(model):
            todo += one.models
            if one.sort == "open":
                opens.add(one.name)
            assert one.models or one.sort in (*PLAIN, "by name", "pair", "open")
    assert len(seen) > 25
    assert opens == {"measured", "assumed", "corners", "kept"}


def test_choices_needs_and_usual_values() -> None:
    assert field(Person, "posture").choices == ("seated", "standing", "wheelchair")
    assert field(Writing, "denominator").choices == (16, 32, 64)
    assert field(Person, "label").is_needed and not field(Person, "eye").is_needed
    assert field(Person, "aside").may_be_left and not field(Person, "child").may_be_left
    assert field(Limits, "mass_kg").label == "mass"
    assert field(Inner, "start").letters == ("y", "z")


def test_what_tells_models_apart() -> None:
    assert tag_of((HoleFeature, GrooveFeature)) == "shape" and tag_of(SHAPES) == "recipe"
    assert model_with((HoleFeature, GrooveFeature), "groove") is GrooveFeature
    assert model_with(SHAPES, "outline") is OutlineShape
    assert tag_of((Person,)) == ""
    assert set(recipes()) == {"outline", *RECIPES}


def test_values_by_place_and_whether_they_are_given() -> None:
    project = open_text(starter_text("tabletop", name="Start", unit="mm")).project
    assert value_at(project, ("shop", "cut_depth")) == 75.0
    assert value_at(project, ("people", 99, "eye")) is None
    assert value_at(project, ("materials", "nothing", "kind")) is None
    assert is_given(project, ("name",)) and not is_given(project, ("shape", "depth"))
    assert not is_given(project, ("people", 99)) and not is_given(project, ("as built",))


# ---- another shape ----


def after(worked: Worked, edits: object) -> Worked:
    old = worked.opened.document
    document = changed_document(old, with_groups(old.data, edits))  # type: ignore[arg-type]
    return work_out(open_document(document, read_catalogs()))


@pytest.mark.parametrize("recipe", [name for name in RECIPES if name != "outline"])
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_freed_outline_is_the_same_cabinet(recipe: str, unit: str) -> None:
    worked = work_out(open_text(starter_text(recipe, name="Start", unit=unit)))  # type: ignore[arg-type]
    free = after(worked, freed(worked))
    assert free.opened.project.shape.recipe == "outline"
    for name, at in worked.cabinet.shape.corners.items():
        assert free.cabinet.shape.corners[name] == pytest.approx(at, abs=1e-3)
    before = {piece.key: piece for piece in worked.cabinet.pieces}
    assert {piece.key for piece in free.cabinet.pieces} == set(before)
    for piece in free.cabinet.pieces:
        assert piece.extent == pytest.approx(before[piece.key].extent, abs=0.01), piece.key
        assert piece.label == before[piece.key].label
    assert [c.rule for c in free.cabinet.corners] == [c.rule for c in worked.cabinet.corners]


def test_a_corner_can_be_put_elsewhere_at_once() -> None:
    worked = work_out(open_text(starter_text("box", name="Start", unit="mm")))
    y, z = worked.cabinet.shape.corners["C"]
    free = after(worked, freed(worked, {"C": (y + 7.5, z - 3)}))
    assert free.cabinet.shape.corners["C"] == pytest.approx((y + 7.5, z - 3))


def test_another_recipe_keeps_the_wishes_that_both_have() -> None:
    """A table cabinet's wishes for its screen are a standing one's too; the lip is not."""
    text = starter_text("tabletop", name="Start", unit="mm")
    worked = work_out(open_text(text))
    wishes = {("shape", "screen_tilt_deg"): 21, ("shape", "lip_height"): 130}
    worked = after(worked, wishes)
    edits = with_recipe(worked, "standing")
    (shape,) = edits.values()
    assert isinstance(shape, dict)
    assert shape["recipe"] == "standing" and shape["screen_tilt_deg"] == 21
    assert "lip_height" not in shape and shape["board"] == worked.opened.project.shape.board
    assert with_recipe(worked, "tabletop") == {}
    with pytest.raises(InputErrors):  # the deck's controls have nowhere to sit in a box
        after(worked, with_recipe(worked, "box"))
