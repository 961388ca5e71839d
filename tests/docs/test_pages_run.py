"""What the tutorial and the how-to pages tell their reader to type works, and prints what they say."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from tests.docs.running import PageError, Reader, blocks, unlike

from casewright.faces.cli import main
from casewright.workflow import open_project

ROOT = Path(__file__).resolve().parents[2]
PAGES = sorted((ROOT / "docs").glob("how-to/*.md"))


@pytest.fixture
def reader(tmp_path, monkeypatch, capsys) -> Reader:
    """Runs commands in this process, in a folder of its own, with a stock of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CASEWRIGHT_STOCK", str(tmp_path / "stock.sqlite"))
    monkeypatch.setenv("COLUMNS", "120")

    def run(*words: str) -> tuple[int, str]:
        monkeypatch.setattr(sys, "argv", ["casewright", *words])
        monkeypatch.setattr(sys, "excepthook", sys.excepthook)
        code = main()
        told = capsys.readouterr()
        return code, told.out + told.err

    return Reader(tmp_path, run)


@pytest.mark.parametrize("page", PAGES, ids=lambda path: path.stem)
def test_page_can_be_followed(page, reader):
    reader.follow(page.read_text(encoding="utf-8"))
    assert blocks(page.read_text(encoding="utf-8"))


def test_pages_are_there():
    assert len(PAGES) >= 7


# ---- the reader himself ----------------------------------------------------------------------------------------

START = "<!-- project: examples/speaker-case.cabinet.yaml as box.cabinet.yaml -->\n"


@pytest.mark.parametrize(
    ("page", "complaint"),
    [
        ("```console\n$ casewright checkk box.cabinet.yaml\n```\n", "exit code 2"),
        ("```console\n$ casewright check box.cabinet.yaml\n9 stops\n```\n", "9 stops"),
        ("```console\n$ casewright open box.cabinet.yaml --sideways\n```\n", "sideways"),
        ("```yaml\nshape: {widht: 3}\n```\n", "widht"),
        ("```python\nassert 1 == 2\n```\n", "AssertionError"),
        ("```bash\nls\n```\n", "bash"),
    ],
)
def test_what_does_not_work_is_found(page, complaint, reader):
    with pytest.raises(PageError, match=complaint):
        reader.follow(START + page)


def test_a_change_is_laid_over_the_project(reader):
    reader.follow(START + "```yaml\nlimits: {mass_kg: 3}\n```\n")
    text = (reader.folder / "box.cabinet.yaml").read_text(encoding="utf-8")
    assert "mass_kg: 3" in text
    assert "recipe: box" in text


def test_blocks_and_output():
    (one,) = blocks("Text\n\n```yaml\na: 1\n```\n")
    assert (one.language, one.text, one.line) == ("yaml", "a: 1\n", 3)
    assert unlike("a  b\n...\nd\n", "a b\nc\nd\n") == ""
    assert unlike("b\n...\n", "a b\n") == "b"
    assert unlike("a\n", "a b\n") == "a"


# ---- the tutorial ----------------------------------------------------------------------------------------------


def test_the_tutorial_ends_with_the_example(reader):
    """Followed from its first line to its last, it makes the cabinet that it says it makes."""
    reader.follow((ROOT / "docs/tutorial.md").read_text(encoding="utf-8"))
    made = open_project(reader.folder / "pad.cabinet.yaml").project
    assert made == open_project(ROOT / "examples/lap-controller.cabinet.yaml").project
    assert reader.did > 10
