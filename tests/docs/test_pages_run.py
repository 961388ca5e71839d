"""What the tutorial and the how-to pages tell their reader to type works, and prints what they say."""

from __future__ import annotations

import re
import shlex
import sys
from pathlib import Path

import pytest
import typer
from tests.docs.running import PageError, Reader, blocks, understood, unlike

from casewright.faces.cli import main
from casewright.workflow import build_up, open_project, open_text

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


# ---- what pages name beside their blocks ------------------------------------------------------------------------

WRONG_USAGE = typer.BadParameter.__base__
"""Raised for an unknown option; typer does not name it in public."""
NAMED = [ROOT / "README.md", ROOT / "docs/tutorial.md", *PAGES]


def named_commands(page: str) -> list[str]:
    """Commands in running text and in indented lines, each with its options; two may stand in a line."""
    spans = re.findall(r"`(casewright [^`\n]+)`", page)
    lines = re.findall(r"^(?:    )?(casewright [^`\n]+)$", page, re.MULTILINE)
    return [
        part.strip() for text in (*spans, *lines) for part in text.partition(" #")[0].split(";")
    ]


@pytest.mark.parametrize("page", NAMED, ids=lambda path: path.stem)
def test_commands_named_in_running_text_are_understood(page):
    wrong = []
    for command in named_commands(page.read_text(encoding="utf-8")):
        words = shlex.split(command)
        assert words[0] == "casewright"
        try:
            understood(words[1:])
        except WRONG_USAGE as error:
            if (
                type(error).__name__ != "MissingParameter"
            ):  # named without its file, as in a sentence
                wrong.append(f"{command}: {error}")
        except AssertionError as error:
            wrong.append(f"{command}: {error}")
    assert wrong == []


def test_commands_are_found_in_running_text():
    text = (
        "Run `casewright check a.cabinet.yaml` or\n\n    casewright steps a.yaml --day 2  # two\n"
    )
    assert named_commands(text) == [
        "casewright check a.cabinet.yaml",
        "casewright steps a.yaml --day 2",
    ]
    with pytest.raises(Exception, match="sideways"):
        understood(["stock", "list", "--sideways"])


def test_the_readmes_project_file_is_a_cabinet():
    """It is cut short for the page, so something may be missing in it; but it is read and worked out."""
    found = blocks((ROOT / "README.md").read_text(encoding="utf-8"))
    (block,) = [one for one in found if "\nname: Quiz box\n" in one.text]
    cabinet = build_up(open_text(block.text)).cabinet
    assert cabinet.project.name == "Quiz box"
    assert {"left", "right", "deck"} <= {piece.key for piece in cabinet.pieces}


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
