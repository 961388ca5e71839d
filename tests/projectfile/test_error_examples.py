"""What an error gives as an example for a list or a group can be read where it belongs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

import pytest
from pydantic import BaseModel, TypeAdapter
from ruamel.yaml import YAML

from casewright.basics.errors import InputErrors
from casewright.design.project import Project
from casewright.projectfile.examples import example_of
from casewright.workflow import open_text


def models_below(kind: Any, seen: set[type[BaseModel]]) -> Iterator[type[BaseModel]]:
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        if kind in seen:
            return
        seen.add(kind)
        yield kind
        for field in kind.model_fields.values():
            yield from models_below(field.annotation, seen)
    for inner in get_args(kind):
        yield from models_below(inner, seen)


FIELDS = [
    (model, name)
    for model in models_below(Project, set())
    for name, field in model.model_fields.items()
]


def test_every_example_can_be_read_where_it_belongs() -> None:
    assert len(FIELDS) > 200
    some = 0
    for model, name in FIELDS:
        field = model.model_fields[name]
        example = example_of([field.annotation], name, of=model.__name__)
        if not example or not example.startswith(("[", "{")):
            continue
        some += 1
        value = YAML(typ="safe").load(example)
        adapter: TypeAdapter[Any] = TypeAdapter(field.annotation)
        adapter.validate_python(value, context={"unit": "mm"})
    assert some > 40


GOOD = """\
casewright: 1
name: Box
unit: mm
materials: {ply: {kind: plywood, nominal: 12}}
shape: {recipe: box, width: 300, height: 200, depth: 200, side: {material: ply}, board: ply}
"""


@pytest.mark.parametrize(
    ("wrong", "field", "example"),
    [
        ("people: {label: Ada}", "people", "[{label: visitor}]"),
        ("site: table", "site", "{on: table}"),
        ("shop: {bits: {kind: brad}}", "shop.bits", "[{kind: brad, sizes: [6, 8, 10]}]"),
        ("seams: [{between: [front]}]", "seams.0.between.1", "[deck, lip]"),
        ("seams: [{between: [front, back, top]}]", "seams.0.between", "[deck, lip]"),
        ("fixings: {prices: [1]}", "fixings.prices", "{4.0 × 30: 0.05}"),
        ("features: [{on: front, u: 1, v: 2}]", "features.0.shape", "shape: hole"),
        (
            "parts: {b: {type: button-30-screw, placed: [{on: front}]}}",
            "parts.b.placed.0.key",
            "key: button1",
        ),
        ("boards: {board: 3}", "boards.board", ""),
    ],
)
def test_the_example_is_of_what_belongs_there(wrong: str, field: str, example: str) -> None:
    with pytest.raises(InputErrors) as caught:
        open_text(GOOD + wrong + "\n")
    (error,) = caught.value.errors
    assert error.field == field
    if example:
        assert error.example == example
    else:  # a name by the maker is no key of ours: the example is a board's, not a material's name
        assert error.example.startswith("{material: ")


def test_names_of_materials_are_not_judged_where_there_is_no_group_of_them() -> None:
    with pytest.raises(InputErrors) as caught:
        open_text(GOOD.replace("{ply: {kind: plywood, nominal: 12}}", "[ply]"))
    assert [error.field for error in caught.value.errors] == ["materials"]
