"""Every command, icon, suffix and color has its origin; what others have words for is told from plain English."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from making.commands_page import all_commands
from making.voice_page import (
    OURS,
    colors,
    icons,
    labels,
    options,
    origin_of,
    origins,
    suffixes,
    trade_terms,
)

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize(
    ("section", "found"),
    [
        ("commands", lambda: [name for name, _ in all_commands()]),
        ("colors", colors),
        ("icons", icons),
        ("suffixes", suffixes),
    ],
)
def test_each_has_its_origin(section, found):
    """If not: say in docs/making/origins.toml where the new one is from."""
    there = list(found())
    assert len(there) > 8
    assert [one for one in there if one not in origins()[section]] == []


def test_an_origin_is_one_of_three():
    for section in ("commands", "suffixes", "icons", "signs", "colors", "other-colors"):
        for name, said in origins()[section].items():
            assert re.match(r"(trade|open standard|open format|ours)\b", said), (section, name)


@pytest.mark.parametrize("section", ["commands", "colors", "icons"])
def test_no_origin_is_left_of_what_is_gone(section):
    there = {"commands": [name for name, _ in all_commands()], "colors": colors(), "icons": icons()}
    assert [name for name in origins()[section] if name not in there[section]] == []


def test_files_that_a_build_writes_have_known_suffixes():
    """Names as the README lists them."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    table = readme.partition("## What a build writes")[2].partition("##")[0]
    first = re.findall(r"^\| ([^|]+) \|", table, re.MULTILINE)
    written = {end for cell in first for end in re.findall(r"`[\w*/-]*(\.\w+)`", cell)}
    assert len(written) > 6
    assert written <= set(origins()["suffixes"])


def test_labels_are_found():
    """Of different kinds: a step, a button, a heading, one put together, one in a list, a title."""
    found = set(labels())
    assert {"Side view", "Make the papers", "Deck and every panel", "Take out …"} <= found
    assert {"An offcut of mine", "Panel shown", "Where it is cut"} <= found
    assert not {"DeskKey", "ShopStock", "What the tape says of the "} & found
    assert "--json" in options()


def test_terms_are_told_from_plain_words():
    """A term of the glossary, one beside it, a standard's name, and neither."""
    assert {"kerf", "saw"} <= set(trade_terms())
    assert origin_of("Kerf of the saw") == "trade: kerf, saw"
    assert origin_of("Read a CSV file").startswith("open standard")
    assert origin_of("Begin") == OURS
    assert origin_of("The deckchair") == OURS  # a word inside another is none
