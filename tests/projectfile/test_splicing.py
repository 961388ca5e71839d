"""The quick way to change a plain value gives what reading the changed text gives."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.projectfile.splicing import spliced_document
from casewright.projectfile.yamltext import KeyPath, LoadedDocument, load_file, load_text

EXAMPLES = Path(__file__).parents[2] / "examples"
DEMO = load_file(EXAMPLES / "library-duel.cabinet.yaml")
ODD = load_text(
    'a: "12 mm"   # quoted\r\nb: [1,2, \'x\' , {c: 3,d: four}]\r\ne:\r\nf: |\r\n  text\r\n"g h": {"i":7}\r\n'
    "j: two words\r\nk:\r\n- 5\r\n-   six # end",
    file="odd",
)
VALUES = st.one_of(
    st.integers(-(10**6), 10**6),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from(
        ["434 mm", "17 1/16 in", "null", "12", "true", "a b", "1e5", "x-1", "0x1f", "."]
    ),
    st.text(max_size=8),
)


def same(a: LoadedDocument, b: LoadedDocument) -> bool:
    return (a.text, a.data, dict(a.places)) == (b.text, b.data, dict(b.places)) and str(
        a.data
    ) == str(b.data)


@given(data=st.data(), document=st.sampled_from([DEMO, ODD]))
def test_a_spliced_document_is_the_one_read_from_its_text(
    data: st.DataObject, document: LoadedDocument
) -> None:
    paths: list[KeyPath] = [path for path in document.places if path]
    changes = data.draw(st.dictionaries(st.sampled_from(paths), VALUES, min_size=1, max_size=4))
    spliced = spliced_document(document, changes)
    if spliced is not None:
        assert same(spliced, load_text(spliced.text, file=document.file))


def test_a_moved_control_is_spliced() -> None:
    """The case it is for: two numbers of one placement."""
    path: KeyPath = ("parts", "lever", "placed", 0)
    spliced = spliced_document(DEMO, {(*path, "u"): 71.25, (*path, "v"): "12 1/2 in"})
    assert spliced is not None
    assert spliced.data["parts"]["lever"]["placed"][0]["u"] == 71.25
    assert DEMO.data["parts"]["lever"]["placed"][0]["u"] == 70.0
    assert same(spliced, load_text(spliced.text, file=DEMO.file))


@pytest.mark.parametrize("text", ["a: &x {b: 1}\nc: *x\n", "a: {b: &x 1, c: *x}\n"])
def test_what_has_an_alias_is_left_to_the_slow_way(text: str) -> None:
    document = load_text(text, file="x")
    assert spliced_document(document, {("a", "b"): 2}) is None
