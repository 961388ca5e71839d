"""Named versions beside the project."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.session.versions import keep_version, version_named, versions_of, versions_path


def test_versions_are_kept_in_order_and_found_by_name_or_number(tmp_path: Path) -> None:
    project = tmp_path / "radio.cabinet.yaml"
    assert versions_of(project) == ()
    clock = iter(datetime(2027, 3, day, 9, 30, tzinfo=UTC) for day in (5, 6))
    keep_version(project, "a: 1\n", "first", clock=lambda: next(clock))
    keep_version(project, "a: 2\n", "  before   the overlay ", clock=lambda: next(clock))
    assert [(v.name, v.text, v.when.day) for v in versions_of(project)] == [
        ("first", "a: 1\n", 5),
        ("before the overlay", "a: 2\n", 6),
    ]
    assert version_named(project, "2").name == "before the overlay"
    assert versions_path(project).name == "radio.versions.jsonl"


@pytest.mark.parametrize("name", ["", "   ", "x" * 81, "first", "a\x07b"])
def test_names_that_are_no_names_or_taken_are_told(tmp_path: Path, name: str) -> None:
    project = tmp_path / "radio.cabinet.yaml"
    keep_version(project, "a: 1\n", "first")
    with pytest.raises(InputError):
        keep_version(project, "a: 2\n", name)
    assert len(versions_of(project)) == 1
    with pytest.raises(InputError, match="first"):
        version_named(project, "second")


def test_a_line_that_is_spoilt_loses_only_itself(tmp_path: Path) -> None:
    project = tmp_path / "radio.cabinet.yaml"
    keep_version(project, "a: 1\n", "first")
    with versions_path(project).open("a", encoding="utf-8") as file:
        file.write('{"name": "torn", "when": "2027-0\n[1, 2]\nnull\n')
    keep_version(project, "a: 2\n", "second")
    assert [version.name for version in versions_of(project)] == ["first", "second"]


@settings(max_examples=40)
@given(st.text(max_size=300))
def test_any_text_comes_back(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    text = text.encode("utf-8", "replace").decode("utf-8")
    project = tmp_path_factory.mktemp("v") / "radio.cabinet.yaml"
    keep_version(project, text, "it")
    assert version_named(project, "it").text == text
