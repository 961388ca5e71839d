"""The list of sources."""

from __future__ import annotations

import pytest

from casewright.basics.sources import PLAIN_SOURCES, is_source, load_sources, source_line


def test_every_source_says_what_it_is_and_how_it_was_checked() -> None:
    for source in load_sources().values():
        assert source.title
        assert source.where, source.key
        assert source.checked, source.key


def test_sources_are_sorted_so_that_one_is_found_and_added_easily() -> None:
    assert list(load_sources()) == sorted(load_sources())


def test_line_names_title_edition_and_place() -> None:
    line = source_line("iso-273")
    assert "ISO 273" in line
    assert "1979" in line
    assert "table" in line


@pytest.mark.parametrize("plain", PLAIN_SOURCES)
def test_plain_sources_speak_for_themselves(plain: str) -> None:
    assert is_source(plain)
    assert is_source(plain.capitalize())
    assert source_line(plain) == plain


def test_a_key_that_nobody_entered_is_no_source() -> None:
    assert not is_source("iso-1")
