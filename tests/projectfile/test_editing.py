"""Changing a project file while the maker's comments stay."""

from __future__ import annotations

from copy import deepcopy
from difflib import unified_diff
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.projectfile.editing import REMOVE, changed_text
from casewright.projectfile.yamltext import KeyPath, load_text
from casewright.projectfile.yamlwriting import scalar_text

FILE = """\
# A cabinet.

name: Radio   # as on the label
width: 470 mm # over both sides

boards:
  # measured in March
  side: {thickness: 18 mm, label: 'Side board'}
  deck:
    thickness: "17.4 mm"    # with calipers
    label: Deck


# corners, floor first
corners:
    A: [0, 0]
    B: [ 400 mm,  0 ]   # odd spacing stays
seams:
- between: [side, deck]
  gap: 1 mm
# the second
- between: [deck, side]
notes: |
  Two lines
  of text.
12: twelve
empty:
# the end
"""


def change(path: KeyPath, value: Any, text: str = FILE) -> tuple[list[str], list[str]]:
    """Lines that went and lines that came."""
    new = changed_text(load_text(text, file="x"), {path: value})
    lines = list(unified_diff(text.split("\n"), new.split("\n"), lineterm="", n=0))[2:]
    gone = [line[1:] for line in lines if line.startswith("-")]
    return gone, [line[1:] for line in lines if line.startswith("+")]


@pytest.mark.parametrize(
    ("path", "value", "gone", "came"),
    [
        (
            ("width",),
            "480 mm",
            "width: 470 mm # over both sides",
            "width: 480 mm # over both sides",
        ),
        (
            ("boards", "deck", "thickness"),
            "17 mm",
            '    thickness: "17.4 mm"    # with calipers',
            '    thickness: "17 mm"    # with calipers',
        ),
        (
            ("boards", "side", "label"),
            "Maker's, left",
            "  side: {thickness: 18 mm, label: 'Side board'}",
            "  side: {thickness: 18 mm, label: 'Maker''s, left'}",
        ),
        (
            ("boards", "side", "thickness"),
            "3/4 in, or so",
            "  side: {thickness: 18 mm, label: 'Side board'}",
            "  side: {thickness: '3/4 in, or so', label: 'Side board'}",
        ),
        (
            ("corners", "B", 0),
            395.0,
            "    B: [ 400 mm,  0 ]   # odd spacing stays",
            "    B: [ 395,  0 ]   # odd spacing stays",
        ),
        (("12",), "dozen", "12: twelve", "12: dozen"),
        (("name",), "12", "name: Radio   # as on the label", "name: '12'   # as on the label"),
        (("seams", 0, "gap"), None, "  gap: 1 mm", "  gap: null"),
    ],
)
def test_one_value_changes_and_nothing_else_moves(
    path: KeyPath, value: Any, gone: str, came: str
) -> None:
    assert change(path, value) == ([gone], [came])


def test_new_keys_and_items_stand_after_the_last() -> None:
    assert change(("boards", "deck", "grain"), "across") == ([], ["    grain: across"])
    assert change(("corners", "C"), [1.5, "a, b"]) == ([], ["    C: [1.5, 'a, b']"])
    assert change(("seams", 2), {"between": ["a", "b"], "gap": 2}) == (
        [],
        ["- between: [a, b]", "  gap: 2"],
    )
    assert change(("boards", "top"), {"thickness": 18.0, "layers": [{"a": 1}]}) == (
        [],
        ["  top:", "    thickness: 18", "    layers:", "      - a: 1"],
    )


def test_removals_take_their_lines_and_leave_the_comments() -> None:
    assert change(("boards", "deck", "label"), REMOVE) == (["    label: Deck"], [])
    assert change(("seams", 0), REMOVE) == (["- between: [side, deck]", "  gap: 1 mm"], [])
    assert change(("notes",), REMOVE) == (["notes: |", "  Two lines", "  of text."], [])


@pytest.mark.parametrize(
    "path", [("seams", 5), ("seams", -1), ("nope", "x"), ("name", "x"), (), ("corners", "A", "x")]
)
def test_a_path_to_nowhere_is_refused(path: KeyPath) -> None:
    with pytest.raises(InputError):
        changed_text(load_text(FILE, file="x"), {path: 1})
    with pytest.raises(InputError):
        changed_text(load_text(FILE, file="x"), {path: REMOVE})


@pytest.mark.parametrize(
    "value", [float("nan"), float("inf"), "a\x00b", "\ud800", object(), {1: 2}, {"true": 1}, b"x"]
)
def test_what_no_project_file_can_hold_is_refused(value: Any) -> None:
    for new in (value, [value], {"x": value}):
        with pytest.raises(InputError):
            changed_text(load_text(FILE, file="x"), {("width",): new})


def test_line_ends_of_the_file_stay() -> None:
    text = FILE.replace("\n", "\r\n")
    document = load_text(text, file="x")
    for changes in ({("width",): "1 m"}, {("seams", 2): "x"}, {("boards", "side", "x"): 1}):
        new = changed_text(document, changes)
        assert new.count("\r\n") == new.count("\n") == new.count("\r")


def comments(text: str) -> list[str]:
    return [line.split("#", 1)[1].strip() for line in text.split("\n") if "#" in line]


def comments_outside(path: KeyPath) -> set[str]:
    """The comments that stand neither inside a value nor behind its last line."""
    document = load_text(FILE, file="x")
    places = [document.spot(p, at_key=True).line for p in document.places if p[: len(path)] == path]
    inside = range(min(places), max(places) + 1) if path in document.places else range(0)
    lines = [line for n, line in enumerate(FILE.split("\n"), 1) if n not in inside]
    return set(comments("\n".join(lines)))


texts = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cn"]), max_size=12)
scalars = (
    st.none()
    | st.booleans()
    | st.integers(-(10**12), 10**12)
    | st.floats(allow_nan=False, allow_infinity=False)
    | texts
    | st.sampled_from(
        ["yes", "1e3", "2020-01-01", "- x", "a: b", "a #b", "[x", "#", "'", '"', "0x1"]
    )
    | st.sampled_from(
        ["two\nlines", "\ttab", " x ", "&a", "*a", "!x", "%", "@", "|", "", "~", "1' 6\""]
    )
)
keys = st.from_regex(r"[a-z][a-z0-9_-]{0,5}", fullmatch=True).filter(
    lambda k: k not in ("true", "null")
)
values = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=3),
    max_leaves=6,
)
ALL_PATHS = [path for path in load_text(FILE, file="x").places if path]
NEW_PATHS: list[KeyPath] = [
    ("new",),
    ("boards", "new"),
    ("boards", "side", "new"),
    ("boards", "deck", "new"),
    ("seams", 2),
    ("seams", 1, "new"),
    ("corners", "A", 2),
]


@given(path=st.sampled_from(ALL_PATHS + NEW_PATHS), value=values)
def test_any_value_at_any_place_reads_back(path: KeyPath, value: Any) -> None:
    text = changed_text(load_text(FILE, file="x"), {path: value})
    wanted: Any = deepcopy(load_text(FILE, file="x").data)
    here = wanted
    for step in path[:-1]:
        here = here[step]
    if path in NEW_PATHS and isinstance(here, list):
        here.append(value)
    else:
        here[path[-1]] = value
    assert load_text(text, file="x").data == wanted
    assert comments_outside(path) <= set(comments(text))


@given(path=st.sampled_from(ALL_PATHS))
def test_anything_can_be_removed(path: KeyPath) -> None:
    text = changed_text(load_text(FILE, file="x"), {path: REMOVE})
    wanted: Any = deepcopy(load_text(FILE, file="x").data)
    here = wanted
    for step in path[:-1]:
        here = here[step]
    del here[path[-1]]
    assert load_text(text, file="x").data == wanted
    assert comments_outside(path) <= set(comments(text))


def test_several_changes_at_once() -> None:
    text = changed_text(
        load_text(FILE, file="x"),
        {("seams", 0): REMOVE, ("width",): "1 m", ("seams", 1, "gap"): 3, ("empty",): "full"},
    )
    data = load_text(text, file="x").data
    assert data["seams"] == [{"between": ["deck", "side"], "gap": 3}]
    assert data["width"] == "1 m"
    assert data["empty"] == "full"
    assert comments(text) == comments(FILE)


@given(value=scalars, in_flow=st.booleans())
def test_a_scalar_reads_back_as_itself(value: Any, in_flow: bool) -> None:
    written = scalar_text(value, in_flow=in_flow)
    text = f"a: [{written}, 1]" if in_flow else f"a: {written}"
    read = load_text(text, file="x").data["a"]
    assert (read[0] if in_flow else read) == value
