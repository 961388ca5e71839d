"""A misspelled species is refused, with its line; what weighs a board is never guessed by its kind in silence."""

from __future__ import annotations

import pytest

from casewright.basics.errors import InputErrors
from casewright.catalog.load import load_catalog
from casewright.workflow import load_text, open_document, open_text, starter_text

TEXT = starter_text("box", name="a box")
OWN = '[species.ash]\nlabel = "Ash"\nkind = "solid wood"\ndensity = 680\nmodulus_mpa = 12000\ncolor = "#e0cfae"\n'


def refused(text: str) -> list[tuple[str, int, str]]:
    with pytest.raises(InputErrors) as caught:
        open_text(text)
    return [
        (error.field, error.spot.line if error.spot else 0, str(error))
        for error in caught.value.errors
        if error.field.endswith("species")
    ]


def box_of(board: str) -> str:
    shape = "{recipe: box, side: {material: board}, board: board, net_litres: 9}"
    return f"casewright: 1\nname: x\nmaterials:\n  board: {board}\nshape: {shape}\n"


@pytest.mark.parametrize("also", ["", "width: 3 kg"])
def test_an_unknown_species_is_told_with_the_nearest_and_with_all_other_errors(also: str) -> None:
    text = TEXT.replace("species: mdf", "species: mdff").replace(
        "species: plywood-birch", "species: plywood-burch"
    )
    text = text.replace("board: board", f"board: board\n  {also}") if also else text
    told = refused(text)
    assert told
    for field, line, words in told:
        assert field.startswith("materials.")
        assert "species:" in text.splitlines()[line - 1]
        assert "of the catalog" in words
    assert any("Example: plywood-birch" in words or "Example: mdf" in words for _, _, words in told)


def test_a_species_of_another_kind_is_told() -> None:
    text = box_of("{kind: acrylic, species: plywood-birch, nominal: 12}")
    told = refused(text)
    assert [(field, line) for field, line, _ in told] == [("materials.board.species", 4)]
    assert "acrylic-clear" in told[0][2]
    assert "kind: plywood" in told[0][2]


def test_the_makers_own_species_is_known() -> None:
    own = load_catalog([("own.toml", OWN)])
    text = box_of("{kind: solid wood, species: ash, nominal: 18}")
    assert open_document(load_text(text, file="x"), own).project.materials["board"].species == "ash"
    assert refused(text)
