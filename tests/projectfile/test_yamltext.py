"""YAML text: what is read, what is refused, and how fast."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode
from tests.pace import within

from casewright.basics.errors import InputError, InputErrors
from casewright.projectfile.yamltext import (
    LARGEST_BYTES,
    load_bytes,
    load_file,
    load_text,
    plain_scalar,
)

EXAMPLES = Path(__file__).parents[2] / "examples"


def refusal(text: str) -> InputError:
    """The first error of a text that must be refused, found within some hundred runs of the reference: a second."""
    refused: list[InputErrors] = []

    def read() -> None:
        with pytest.raises(InputErrors) as caught:
            load_text(text, file="x.yaml")
        refused.append(caught.value)

    assert within(100, read)
    error = refused[0].errors[0]
    assert error.spot is not None
    assert error.want
    assert len(str(error)) < 600
    return error


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("null", None),
        ("~", None),
        ("", None),
        ("true", True),
        ("FALSE", False),
        ("yes", "yes"),
        ("on", "on"),
        ("0", 0),
        ("0o14", 12),
        ("0x3A", 58),
        ("-19", -19),
        ("012", 12),
        ("0.", 0.0),
        ("-0.0", 0.0),
        (".5", 0.5),
        ("+12e03", 12000.0),
        ("-2E+05", -200000.0),
        ("2001-12-14", "2001-12-14"),
        ("1_000", "1_000"),
        ('3/4"', '3/4"'),
        ("1' 6 1/4\"", "1' 6 1/4\""),
        ("9" * 40, "9" * 40),
    ],
)
def test_plain_text_follows_the_core_schema(text: str, value: object) -> None:
    """YAML 1.2.2, section 10.3.2 (table and example 10.3)."""
    read = plain_scalar(text)
    assert read == value
    assert type(read) is type(value)
    assert load_text(f"a: {text}", file="x").data == {"a": value}


def test_what_is_not_finite() -> None:
    """YAML 1.2.2, example 10.9."""
    assert plain_scalar(".inf") == float("inf")
    assert plain_scalar("-.Inf") == float("-inf")
    assert str(plain_scalar(".NAN")) == "nan"


TREE = """\
# top
name: Radio  # end
sizes:
  - 18 mm
  - {width: 3/4", 'odd key': "x\\ty"}
text: |
  two
  lines
none:
1: one
anchor: &size 12 mm
again: [*size, *size]
"""


def test_values_and_places() -> None:
    document = load_text(TREE, file="x.yaml")
    assert document.data == {
        "name": "Radio",
        "sizes": ["18 mm", {"width": '3/4"', "odd key": "x\ty"}],
        "text": "two\nlines\n",
        "none": None,
        "1": "one",
        "anchor": "12 mm",
        "again": ["12 mm", "12 mm"],
    }
    spot = document.spot(("sizes", 1, "odd key"))
    assert (spot.line, spot.column) == (5, 30)
    assert spot.text == """  - {width: 3/4", 'odd key': "x\\ty"}"""
    key = document.spot(("sizes", 1, "odd key"), at_key=True)
    assert (key.line, key.column) == (5, 19)
    assert document.spot(("none",)).line == 9
    assert document.spot(("again", 1)).column == 16
    assert document.spot(("sizes", 7, "x")).line == 3  # not there: the list's own key
    assert document.path("sizes.1.odd key") == ("sizes", 1, "odd key")
    assert document.path("1") == ("1",)


@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
def test_lines_are_counted_as_an_editor_counts_them(newline: str) -> None:
    document = load_text(TREE.replace("\n", newline), file="x.yaml")
    assert document.spot(("anchor",)).line == 11
    assert document.spot(("again", 0)).text == "again: [*size, *size]"


def test_a_plain_reader_of_yaml_agrees() -> None:
    """ruamel.yaml's own safe reader, on text without dates, digits with _ and repeated keys."""
    expected = YAML(typ="safe", pure=True).load(TREE.replace("1: one", "'1': one"))
    assert load_text(TREE, file="x").data == expected


def as_another_reads_it(text: str) -> object:
    """The text by ruamel.yaml, a parser in plain Python for YAML 1.2; only what it makes of unquoted words is ours."""

    def value(node: Node | None) -> object:
        if isinstance(node, MappingNode):
            return {str(key.value): value(inner) for key, inner in node.value}
        if isinstance(node, SequenceNode):
            return [value(inner) for inner in node.value]
        assert isinstance(node, ScalarNode)
        return node.value if node.style else plain_scalar(node.value)

    return value(YAML(typ="safe", pure=True).compose(text))


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.yaml")), ids=lambda path: path.name)
def test_another_parser_reads_the_examples_alike(path: Path) -> None:
    assert load_file(path).data == as_another_reads_it(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ("", 1, 1),
        ("# only a comment\n", 1, 1),
        ("- 1", 1, 1),
        ("just text", 1, 1),
        ("a: 1\na: 2", 2, 1),
        ("a: {b: 1, b: 2}", 1, 11),
        ("1: a\n'1': b", 2, 1),
        ("a: [1", 1, 6),
        ("a: b: c", 1, 5),
        ("a: 1\n\tb: 2", 2, 1),
        ("a:\n\t- 1", 2, 1),
        ("a: 'x", 1, 6),
        ('a: "\\q"', 1, 5),
        ('a: "3/4" in', 1, 10),
        ("a:\n  b: 1\n c: 2", 3, 2),
        ("a: @x", 1, 4),
        ("a: 1\n---\nb: 2", 2, 1),
        ("%YAML 1.1\n---\na: yes", 1, 1),
        ("%TAG ! tag:x,2000:\n---\na: !y 1", 1, 1),
        ("a: !!python/object/apply:os.system [ls]", 1, 4),
        ("a: !!str 1", 1, 4),
        ("a: ! 1", 1, 4),
        ("a: !!binary zzz", 1, 4),
        ("a: *nope", 1, 4),
        ("a: &x [*x]", 1, 8),
        ("a: &x {b: *x}", 1, 11),
        ("a: &x {b: 1}\n<<: *x", 2, 1),
        ("? [x]\n: 1", 1, 3),
        ("? {x: 1}\n: 1", 1, 3),
        ("a: &x 1\n*x : 2", 2, 1),
        ("true: 1", 1, 1),
        ("~: 1", 1, 1),
        ("1.5: 1", 1, 1),
        ("a: \x07", 1, 4),
        ("a: \x00", 1, 4),
        ('a: "\\0"', 1, 4),
        ('a: "\\uD800"', 1, 5),
        ("a: 'x\u2028y'", 1, 6),
        ("a:\n  - 1\n  b: 2", 3, 3),
        ("a:\n  b: 1\n  - 2", 3, 3),
        ("a: 1\n...\nb", 3, 1),
        ('a: "\\UFFFFFFFF"', 1, 5),
        ("a: \ud800", 1, 4),
        ("a: &b", 1, 0),
    ],
)
def test_what_is_refused_and_where(text: str, line: int, column: int) -> None:
    if column == 0:  # an anchor on nothing is fine
        assert load_text(text, file="x").data == {"a": None}
        return
    spot = refusal(text).spot
    assert spot is not None
    assert (spot.line, spot.column) == (line, column)


def test_all_duplicate_keys_are_told() -> None:
    with pytest.raises(InputErrors) as caught:
        load_text("a: 1\na: 2\nb: {c: 1, c: 2}\n", file="x")
    assert [error.field for error in caught.value.errors] == ["a", "b.c"]
    assert "line 1" in caught.value.errors[0].want


def test_a_hundred_doubled_keys_are_enough_to_tell() -> None:
    with pytest.raises(InputErrors) as caught:
        load_text("a: 1\n" * 300, file="x")
    places = [error.spot for error in caught.value.errors]
    assert [place.line for place in places if place] == [*range(2, 102)]


def test_a_tab_is_called_a_tab() -> None:
    assert refusal("a:\n\tb: 1").got == "a tab"


BOMB = "a: &a [x,x,x,x,x,x,x,x,x,x]\n" + "".join(
    f"{name}: &{name} [{','.join(['*' + before] * 5)}]\n"
    for before, name in zip("abcdefgh", "bcdefghi", strict=True)
)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(BOMB, id="aliases of aliases"),
        pytest.param("a: &a x\nb: [" + "*a, " * 51 + "]", id="51 aliases"),
        pytest.param("- a\n" * 125_000, id="long list"),
        pytest.param("a: [" + "{}," * 160_000, id="long line"),
        pytest.param("a: [" + "{},\n" * 120_000, id="many groups"),
        pytest.param("a: [" + ("{}, " * 50 + "\n") * 1_000, id="many groups in few lines"),
        pytest.param("a:\n" + " - [b, c]\n" * 11_000, id="long list in enough lines"),
        pytest.param("a: " + "[" * 5_000, id="deep brackets"),
        pytest.param("a: " + "{a: " * 2_000, id="deep braces"),
        pytest.param("- " * 4_000, id="deep dashes"),
        pytest.param("? " * 4_000, id="deep keys"),
        pytest.param("".join(" " * i + f"k{i}:\n" for i in range(900)), id="deep block"),
        pytest.param("a: " + "!" * 400_000, id="long tag"),
        pytest.param("&a " * 3_000, id="anchors"),
        pytest.param("a: 'x" + "\n x" * 150_000, id="open quote"),
        pytest.param("\n" * 499_000, id="empty lines"),
        pytest.param("#x\n" * 166_000, id="comments"),
        pytest.param("--- \n" * 90_000, id="documents"),
        pytest.param("a: 1\n" * 90_000, id="one key over and over"),
        pytest.param("x" * (LARGEST_BYTES + 1), id="large"),
    ],
)
def test_what_would_take_long_is_refused_soon(text: str) -> None:
    refusal(text)


def test_a_large_honest_file_is_read() -> None:
    part = "  p{0}:\n    kind: button\n    hole: 30 mm  # measured\n    at: [{0}, 20 mm]\n"
    text = "parts:\n" + "".join(part.format(i) for i in range(1_000))
    assert len(load_text(text, file="x").data["parts"]) == 1_000


@pytest.mark.parametrize(
    "data",
    [
        "a: ä".encode("latin-1"),
        "a: 1".encode("utf-16"),
        "a: 1".encode("utf-16-le"),
        "a: 1".encode("utf-32"),
        b"a: \xff\xfe",
        b"\x00\x00\x00",
        b"a: \xed\xa0\x80",
        b"#" * (LARGEST_BYTES + 1),
    ],
    ids=range(8),
)
def test_bytes_that_are_no_utf8(data: bytes) -> None:
    with pytest.raises(InputErrors) as caught:
        load_bytes(data, file="x")
    assert caught.value.errors[0].spot is not None


def test_a_byte_order_mark_is_dropped() -> None:
    document = load_bytes("\ufeffa: 1\n".encode(), file="x")
    assert document.data == {"a": 1}
    assert document.spot(("a",)).column == 4


def test_files(tmp_path: Path) -> None:
    good = tmp_path / "good.yaml"
    good.write_text("a: ½\n", encoding="utf-8")
    assert load_file(good).data == {"a": "½"}
    for unreadable in (tmp_path / "none.yaml", tmp_path):
        with pytest.raises(InputErrors) as caught:
            load_file(unreadable)
        assert caught.value.errors[0].field == "file"
        assert str(unreadable) in caught.value.errors[0].got


@given(data=st.binary(max_size=200))
def test_byte_soup_is_read_or_refused(data: bytes) -> None:
    try:
        document = load_bytes(data, file="soup")
    except InputErrors as refused:
        assert all(error.spot and error.want for error in refused.errors)
    else:
        assert isinstance(document.data, dict)


SIGNS = "abx019 \n\t:-?[]{},#&*!|>'\"%@`\\~<=."
WORDS = """\
a: ⏎- ⏎? ⏎&a ⏎*a⏎<<: ⏎---
⏎...
⏎\\U⏎FFFFFFFF⏎!!str ⏎'x'⏎|
⏎>-
⏎\r\n⏎\ufeff⏎\u2028⏎½⏎%YAML 1.2
⏎
  """
pieces = st.sampled_from([*SIGNS, *WORDS.split("⏎")])


@given(text=st.lists(pieces, max_size=40).map("".join))
def test_yaml_soup_is_read_or_refused(text: str) -> None:
    for soup in (text, "a: " + text, "a:\n  - " + text):
        try:
            document = load_text(soup, file="soup")
        except InputErrors as refused:
            for error in refused.errors:
                assert error.spot is not None
                assert error.spot.line <= soup.count("\n") + soup.count("\r") + 1
        else:
            for path in document.places:
                assert document.spot(path).line >= 1


@given(text=st.lists(pieces, max_size=40).map("".join))
def test_another_parser_reads_soup_alike(text: str) -> None:
    """Where both read it. Not asked: tabs, anchors and blocks of text, which ruamel.yaml takes otherwise."""
    assume(not set(text) & set("\t&*|>"))
    for soup in ("a: " + text, "a:\n  - " + text, "a: [" + text + "]"):
        try:
            data = load_text(soup, file="soup").data
            expected = as_another_reads_it(soup)
        except (InputErrors, MarkedYAMLError):
            continue
        assert repr(data) == repr(expected)
