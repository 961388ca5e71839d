"""From YAML text to a model, or to all that is wrong, each at its line."""

from __future__ import annotations

import json
from typing import Annotated, Any, Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field, model_validator

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.fields import Key, Length, Name, PositiveLength, SignedLength, as_pydantic
from casewright.basics.units import Unit
from casewright.projectfile.reading import MOST_ERRORS, read_model
from casewright.projectfile.report import report_json, report_text
from casewright.projectfile.schema import project_schema
from casewright.projectfile.yamltext import load_text


class Section(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


class Button(Section):
    kind: Literal["button"]
    hole: PositiveLength


class Lamp(Section):
    kind: Literal["lamp"]
    width: Length = 0.0
    side: Literal["button", "up"] = "up"  # a choice named like the other member's tag


Part = Annotated[Button | Lamp, Field(discriminator="kind")]


class Seam(Section):
    between: tuple[Key, Key]
    gap: Length = 0.0
    tilt: dict[Key, float] = Field(default_factory=dict)

    @model_validator(mode="after")
    def two(self) -> Seam:
        if self.between[0] == self.between[1]:
            error = InputError("between.1", got=self.between[1], want="another panel")
            raise as_pydantic(error)
        return self


class Board(Section):
    thickness: PositiveLength
    label: Name = ""


class Toy(Section):
    name: Name
    unit: Unit = "mm"
    width: Length
    count: int = Field(1, ge=1, le=9)
    lit: bool = False
    boards: dict[Key, Board] = Field(default_factory=dict)
    seams: tuple[Seam, ...] = ()
    corners: dict[Key, tuple[SignedLength, SignedLength]] = Field(default_factory=dict)
    parts: dict[Key, Part] = Field(default_factory=dict)
    spare: Part | None = None
    as_built: dict[Key, Board] = Field(default_factory=dict, alias="as built")
    either: Button | Lamp | None = None


GOOD = """\
# The toy project.
name: Toy  # as on the label
unit: in
width: 19 1/2   # over both sides

boards:
  # measured in March
  side: {thickness: 18 mm, label: 'Side board'}
  deck:
    thickness: "0.70"
    label: Deck

# corners, floor first
corners:
  A: [0, 0]
  B: [ 400 mm,  0 ]
seams:
  - between: [side, deck]
    gap: 1 mm
  - between: [deck, side]  # the other
parts:
  fire:
    kind: button
    hole: 30 mm
  display:
    kind: lamp
    width: 2 in
"""


def read(text: str, unit: str = "in") -> Toy:
    return read_model(load_text(text, file="toy.yaml"), Toy, context={"unit": unit})


def errors_of(text: str) -> list[tuple[int, int, str]]:
    with pytest.raises(InputErrors) as caught:
        read(text)
    places = []
    for error in caught.value.errors:
        assert error.spot is not None
        assert error.spot.text == text.split("\n")[error.spot.line - 1]
        assert error.want
        places.append((error.spot.line, error.spot.column, error.field))
    assert places == sorted(places)
    return places


def test_a_good_file_is_read_in_its_unit() -> None:
    toy = read(GOOD)
    assert toy.width == 495.3
    assert toy.boards["side"].thickness == 18.0
    assert toy.boards["deck"].thickness == pytest.approx(17.78)  # 0.70 in
    assert toy.corners["B"] == (400.0, 0.0)
    assert isinstance(toy.parts["display"], Lamp)
    assert toy.parts["display"].width == 50.8
    assert read(GOOD.replace("19 1/2 ", "19 1/2 in"), unit="mm").width == 495.3


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ("width: 19 1/2 ", "width: minus three", (4, 8, "width")),
        ("width: 19 1/2 ", "width:", (4, 1, "width")),
        ("thickness: 18 mm", "thickness: 18 kg", (8, 21, "boards.side.thickness")),
        ("thickness: 18 mm", "thicknes: 18 mm", (8, 10, "boards.side.thicknes")),
        ("thickness: 18 mm, ", "", (8, 3, "boards.side.thickness")),
        ("name: Toy", "nam: Toy", (2, 1, "nam")),
        ("[ 400 mm,  0 ]", "[ 400 mm,  x ]", (16, 17, "corners.B.1")),
        ("[ 400 mm,  0 ]", "[ 400 mm ]", (16, 3, "corners.B.1")),
        ("[ 400 mm,  0 ]", "400", (16, 6, "corners.B")),
        ("  B: [", "  'B b': [", (16, 3, "corners.B b")),
        ("[deck, side]", "[deck, deck]", (20, 21, "seams.1.between.1")),
        ("gap: 1 mm", "gap: -1 mm", (19, 10, "seams.0.gap")),
        ("gap: 1 mm", "tilt: {side: much}", (19, 18, "seams.0.tilt.side")),
        ("hole: 30 mm", "hole: 0", (24, 11, "parts.fire.hole")),
        ("    hole: 30 mm\n", "", (22, 3, "parts.fire.hole")),
        ("kind: button", "kind: buton", (23, 11, "parts.fire.kind")),
        ("    kind: lamp\n", "", (25, 3, "parts.display.kind")),
        ("width: 2 in", "width: 2 ins", (27, 12, "parts.display.width")),
        ("width: 2 in", "side: left", (27, 11, "parts.display.side")),
        ("width: 2 in", "hole: 2 in", (27, 5, "parts.display.hole")),
        ("unit: in", "unit: yd", (3, 7, "unit")),
        ("unit: in", "count: 10", (3, 8, "count")),
        ("unit: in", "count: 1.5", (3, 8, "count")),
        ("unit: in", "lit: 2", (3, 6, "lit")),
        ("unit: in", "boards2: 2", (3, 1, "boards2")),
        ("unit: in", "spare: {kind: lamp, width: x}", (3, 28, "spare.width")),
        ("unit: in", "as_built: {x: {thickness: 0}}", (3, 27, "as_built.x.thickness")),
        ("unit: in", "as built: {x: {thickness: 0}}", (3, 27, "as built.x.thickness")),
        ("unit: in", "seams2: {x: 1}", (3, 1, "seams2")),
    ],
)
def test_each_error_is_at_its_place(old: str, new: str, place: tuple[int, int, str]) -> None:
    assert GOOD.count(old) >= 1
    line, column, field = place
    assert errors_of(GOOD.replace(old, new, 1)) == [(line, column, field)]


def test_all_errors_come_at_once_in_the_order_of_the_file() -> None:
    text = GOOD.replace("hole: 30 mm", "hole: 30 kg").replace("19 1/2 ", "x") + "more: 1\n"
    assert [field for _, _, field in errors_of(text)] == ["width", "parts.fire.hole", "more"]


def test_a_misspelled_key_is_told_the_nearest() -> None:
    with pytest.raises(InputErrors) as caught:
        read(GOOD.replace("thickness: 18 mm", "thicknes: 18 mm"))
    (error,) = caught.value.errors  # and not a second time as a missing key
    assert "“thicknes”" in error.got
    assert error.example == "thickness"


def test_a_decimal_comma_within_braces_is_told_as_one() -> None:
    """In a group in one line, 17,4 is 17 and a key of its own that is named 4."""
    with pytest.raises(InputErrors) as caught:
        read(GOOD.replace("{thickness: 18 mm,", "{thickness: 17,4,"))
    (error,) = caught.value.errors
    assert (error.field, error.example) == ("boards.side.4", "thickness: 17.4")
    assert "point for the decimals" in error.want
    with pytest.raises(InputErrors) as caught:  # a key that is a number, but after no number
        read(GOOD.replace("{thickness: 18 mm,", "{thickness: 18 mm, 4,"))
    (error,) = caught.value.errors
    assert "thickness" in error.want and "point" not in error.want


@pytest.mark.parametrize(
    ("old", "new", "example"),
    [
        ("unit: in", "unit: in\ncount: two", "2"),
        ("B: [ 400 mm,  0 ]", "B: [400]", "[120, 40]"),
        ("{thickness: 18 mm, label: 'Side board'}", "thick", "{thickness: 18}"),
    ],
)
def test_what_is_of_another_sort_has_an_example(old: str, new: str, example: str) -> None:
    assert old in GOOD
    with pytest.raises(InputErrors) as caught:
        read(GOOD.replace(old, new))
    assert [error.example for error in caught.value.errors] == [example]


def test_the_nearest_key_is_sought_in_the_member_that_was_meant() -> None:
    with pytest.raises(InputErrors) as caught:
        read(GOOD.replace("width: 2 in", "widht: 2 in"))
    assert caught.value.errors[0].example == "width"
    with pytest.raises(InputErrors) as caught:
        read(GOOD.replace("    hole: 30 mm", "    hole: 30 mm\n    widht: 2 in"))
    assert caught.value.errors[0].example == ""  # a button has no width


def test_alternatives_at_one_place_become_one_error() -> None:
    text = GOOD + "either: 3\n"
    assert len(errors_of(text)) == 1


def test_there_is_an_end_to_errors() -> None:
    text = GOOD + "".join(f"more{i}: 1\n" for i in range(1000))
    assert len(errors_of(text)) == MOST_ERRORS


class Bare(Section):
    size: Length

    @model_validator(mode="after")
    def small(self) -> Bare:
        if self.size > 10:
            raise InputError("size", got=self.size, want="at most 10 mm", example="10")
        return self


def test_an_input_error_raised_bare_finds_its_place_too() -> None:
    with pytest.raises(InputErrors) as caught:
        read_model(load_text("# x\nsize: 11\n", file="b.yaml"), Bare)
    (error,) = caught.value.errors
    assert error.spot is not None
    assert (error.spot.line, error.spot.column) == (2, 7)


def test_the_report_shows_line_and_caret() -> None:
    with pytest.raises(InputErrors) as caught:
        read(GOOD.replace("hole: 30 mm", "hole: 30 kg"))
    first, line, caret = report_text(caught.value).split("\n")
    assert first.startswith("toy.yaml:24:11: parts.fire.hole: found “30 kg”; expected ")
    assert "Example: " in first
    assert line.strip() == "hole: 30 kg"
    assert caret.index("^") == line.index("30 kg")


def test_the_caret_stands_right_in_long_and_wide_lines() -> None:
    text = GOOD.replace("unit: in", "as built: {" + "x: {thickness: 1}, y: {thickness: 0}}")
    long = text.replace("{x:", "{" + "".join(f"a{i}: {{thickness: 1}}, " for i in range(20)) + "x:")
    for spoiled in (text, long):
        with pytest.raises(InputErrors) as caught:
            read(spoiled)
        _, line, caret = report_text(caught.value).split("\n")
        assert len(line) < 120
        assert line[caret.index("^")] == "0"
    wide = InputError("a", got="1", want="2").at(load_text("a: [日本, 1]", file="w").spot(("a", 1)))
    _, line, caret = report_text(wide).split("\n")
    assert caret.index("^") == line.index("1") + 2  # two signs, each two columns wide


def test_the_report_as_data_is_json() -> None:
    with pytest.raises(InputErrors) as caught:
        read(GOOD.replace("hole: 30 mm", "hole: 30 kg"))
    (entry,) = json.loads(json.dumps(report_json(caught.value)))["errors"]
    assert (entry["file"], entry["line"], entry["column"]) == ("toy.yaml", 24, 11)
    assert entry["field"] == "parts.fire.hole"


def test_the_schema_names_its_dialect_and_every_key() -> None:
    """JSON Schema 2020-12, core, sections 8.1.1 and 8.2.1: $schema and $id."""
    schema = project_schema(Toy, title="Toy project")
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"].startswith("urn:")
    assert schema["title"] == "Toy project"
    assert set(schema["properties"]) == {f.alias or n for n, f in Toy.model_fields.items()}
    assert schema["additionalProperties"] is False
    json.dumps(schema)


def test_the_schema_takes_what_the_reader_takes() -> None:
    jsonschema = pytest.importorskip("jsonschema")
    checker = jsonschema.Draft202012Validator(project_schema(Toy))
    checker.check_schema(project_schema(Toy))
    data: Any = load_text(GOOD, file="toy.yaml").data
    assert list(checker.iter_errors(data)) == []
    assert list(checker.iter_errors(data | {"nam": 1})) != []
    assert list(checker.iter_errors(data | {"width": -1})) != []


class Few(Section):
    pair: tuple[Length, Length] = (0.0, 0.0)
    bits: tuple[Length, ...] = Field((), min_length=1)
    boards: dict[Key, Board] = Field(default_factory=dict, min_length=1)


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("pair: [1, 2, 3]", "a list of 2 at most"),
        ("pair: {y: 1}", "a list: values in [ ]"),
        ("bits: []", "a list of 1 or more"),
        ("boards: {}", "a group of 1 or more keys"),
    ],
)
def test_lists_and_groups_of_the_wrong_size(text, want):
    with pytest.raises(InputErrors) as caught:
        read_model(load_text(text, file="few"), Few)
    (error,) = caught.value.errors
    assert error.want.startswith(want)


@pytest.mark.parametrize(("text", "field"), [("bits: [x]", "bits.0"), ("bits: [x, 3]", "bits.0")])
def test_a_list_is_not_too_short_by_what_is_refused_in_it(text, field):
    with pytest.raises(InputErrors) as caught:
        read_model(load_text(text, file="few"), Few)
    assert [error.field for error in caught.value.errors] == [field]
