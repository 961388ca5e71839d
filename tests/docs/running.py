"""Runs what a page tells its reader to type: commands, pieces of project files, catalog files and Python.

What is fenced as `console` holds commands after `$ ` and, where it matters, what they print: spaces count as one, and
`...` stands for anything. What is fenced as `yaml` changes the page's project as its reader would: the sections in it
are laid over the file, lists replace lists; with `# NAME` as its first line it is a whole file of that name, as is a
`toml` block. `python` is run. A page names a project to begin with in a comment that is not shown:
`<!-- project: examples/it.cabinet.yaml as it.cabinet.yaml -->`.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any

import typer
from ruamel.yaml import YAML

from casewright.faces.cli.app import app
from casewright.workflow import open_text

ROOT = Path(__file__).resolve().parents[2]
SHOWN = ("text", "svg")
"""Fences that are only to be read."""


UNRUN = ("open", "build", "explore")
"""`open` stays until it is stopped; papers of the same projects are made in tests/test_papers.py, variants of others in
tests/session/exploring: both take long."""


class PageError(AssertionError):
    """What a page says is not so."""


@dataclass(frozen=True)
class Block:
    """A fenced block: its language, its text, and the line of the page that it begins on."""

    language: str
    text: str
    line: int


def blocks(page: str) -> list[Block]:
    """Every fenced block of a page, in order."""
    return [
        Block(found[1], found[2], page.count("\n", 0, found.start()) + 1)
        for found in re.finditer(r"^```(\w*)\n(.*?)^```$", page, re.MULTILINE | re.DOTALL)
    ]


def commands(block: Block) -> Iterator[tuple[str, str]]:
    """Every command of a console block with what it is said to print."""
    for part in re.split(r"^\$ ", block.text, flags=re.MULTILINE)[1:]:
        command, _, printed = part.partition("\n")
        yield command.strip(), printed


class Reader:
    """Somebody who follows a page in a folder of his own."""

    def __init__(
        self, folder: Path, run: Callable[..., tuple[int, str]], *, unrun: tuple[str, ...] = UNRUN
    ) -> None:
        """Follow pages in a folder.

        Args:
            folder: Where the files are, and where commands run.
            run: Takes the words of a command and returns its exit code and all that it printed.
            unrun: Commands of which only the words are read, as typer reads them.
        """
        self.folder = folder
        self.run = run
        self.unrun = unrun
        self.project: Path | None = None
        self.did = 0
        """Commands that really ran."""

    def follow(self, page: str) -> None:
        """Do what the page says, in order.

        Raises:
            PageError: Something of it does not work, or prints something else.
        """
        for source, name in re.findall(r"<!-- project: (\S+) as (\S+) -->", page):
            self._write(name, (ROOT / source).read_text(encoding="utf-8"))
        for block in blocks(page):
            try:
                self._play(block)
            except Exception as error:
                raise PageError(f"line {block.line}: {type(error).__name__}: {error}") from error

    def _play(self, block: Block) -> None:
        if block.language == "console":
            for command, printed in commands(block):
                self._type(command, printed)
        elif block.language in ("yaml", "toml"):
            named = re.match(r"# (\S+\.(?:yaml|toml))\n", block.text)
            if named:
                self._write(named[1], block.text)
            else:
                assert block.language == "yaml", "a toml block begins with its file's name"
                self._change(block.text)
        elif block.language == "python":
            exec(compile(block.text, "page", "exec"), {"__name__": "page"})
        else:
            assert block.language in SHOWN, f"nobody knows how to run {block.language!r}"

    def _write(self, name: str, text: str) -> None:
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        if name.endswith(".cabinet.yaml"):
            self.project = path

    def _change(self, text: str) -> None:
        assert self.project, "no project yet"
        file = YAML()
        whole = file.load(self.project.read_text(encoding="utf-8"))
        laid_over(whole, file.load(text))
        written = StringIO()
        file.dump(whole, written)
        open_text(written.getvalue(), file=self.project.name)  # says what is wrong with it
        self.project.write_text(written.getvalue(), encoding="utf-8")

    def _type(self, command: str, printed: str) -> None:
        words = shlex.split(command, comments=True)
        assert words[0] == "casewright", f"no command of ours: {command}"
        if words[1] in self.unrun:
            understood(words[1:])
            assert not printed.strip(), f"{command}: it is not run, so nobody knows what it prints"
            return
        code, out = self.run(*words[1:])
        self.did += 1
        for new in [Path(word) for word in words if word.endswith(".cabinet.yaml")]:
            self.project = self.folder / new
        assert code in (0, 1), f"{command}: exit code {code}: {out}"
        if printed.strip():
            missing = unlike(printed, out)
            assert not missing, f"{command}: {missing!r} is not in what it prints:\n{out}"


def laid_over(whole: Any, over: Any) -> None:
    """Put every key of a section into another, section by section; lists and values are replaced."""
    for key, value in over.items():
        if isinstance(value, dict) and isinstance(whole.get(key), dict):
            laid_over(whole[key], value)
        else:
            whole[key] = value


def understood(words: list[str]) -> None:
    """Read a command's words as typer does, without running it.

    Raises:
        Exception: typer's own, where it does not know a word of it.
    """
    command: Any = typer.main.get_command(app)
    name = ""
    while words and hasattr(command, "commands"):
        name, *words = words
        assert name in command.commands, f"no command {name!r}"
        command = command.commands[name]
    if not hasattr(command, "commands"):  # a group alone says what is in it
        command.make_context(name, words)


def unlike(printed: str, out: str) -> str:
    """The first of the expected stretches that the output has not in this order; "" where it has all."""
    whole, at = " ".join(out.split()), 0
    stretches = printed.split("...")
    for number, stretch in enumerate(stretches):
        wanted = " ".join(stretch.split())
        found = whole.find(wanted, at)
        if found < 0 or (number == 0 and found > 0):
            return wanted
        at = found + len(wanted)
    last = " ".join(stretches[-1].split())
    return last if last and not whole.endswith(last) else ""


__all__ = [
    "UNRUN",
    "Block",
    "PageError",
    "Reader",
    "blocks",
    "commands",
    "laid_over",
    "understood",
    "unlike",
]
