"""Every label, command, option, key, file suffix, color and icon, with where it comes from."""

from __future__ import annotations

import ast
import mimetypes
import re
import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from casewright.catalog.kinds import KINDS
from casewright.faces.web.controls import ICONS
from casewright.faces.web.keys import KEYS
from casewright.faces.web.page import STEPS
from casewright.session.exploring.job import SUFFIX as PLAN_SUFFIX
from casewright.workflow import SUFFIX
from making.commands_page import all_commands
from making.markdown import code, head, page, table
from making.project_page import all_keys

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "casewright"
ORIGINS = Path(__file__).with_name("origins.toml")
OURS = "ours"
"""Plain English put together here."""
INTRODUCTION = (
    "Where the words, signs and colors come from: a term of the trade, an open standard, or our own choice. Trade "
    "terms are those of [words](../words.md) and the plain names of tools and sizes; what has no such term in it is "
    "plain English, put together from the job. Nothing is taken from a program for this job.",
)
NO_FILES = frozenset({".bar", ".box", ".fits", ".held", ".key", ".py"})
"""Ends of dotted names in the code that are no file's."""
_FIELDS = ("input", "select", "number", "checkbox", "switch", "textarea", "toggle", "dialog")
"""Of NiceGUI and of our own controls; their first text is a label."""
_PRESSED = ("press", "order", "heading")
_HEADS = ("h1", "h2", "h3", "h4", "th", "summary", "legend", "dt", "b")
_NAMED = ("label", "title", "hint")
_WORDY = re.compile(r"[A-Za-z]{3}")
_TITLE = re.compile(r"(?!\w*[a-z][A-Z])[A-Z][a-z][\w ,&()’'-]*(?: …)?")
"""A text of the code that begins as a label does and is no sentence."""
MOST = 48
"""Letters of a label; what is longer is a sentence."""


def voice_page() -> str:
    """The page."""
    given = origins()
    lines = head("Own voice", *INTRODUCTION)
    lines += ["## Commands", ""]
    names = [name for name, _ in all_commands()]
    lines += table(("command", "origin"), [(code(n), given["commands"].get(n, "")) for n in names])
    lines += ["## Options", ""]
    lines += _grouped((code(option), _words_of(option)) for option in options())
    lines += ["## Labels of the pages", ""]
    lines += _grouped((label, label) for label in labels())
    lines += ["## Keys of the project file and of parts", ""]
    lines += _grouped((code(key), key.replace("_", " ")) for key in file_keys())
    lines += ["## Keys of the keyboard", ""]
    lines += ["All as on any desktop (common practice), or ours:", ""]
    lines += [f"- {key}: {words}" for key, words in KEYS]
    for title, section, wrap in (
        ("File suffixes", "suffixes", code),
        ("Icons", "icons", code),
        ("Signs of drawings and cautions", "signs", str),
        ("Colors", "colors", code),
        ("Colors beside them", "other-colors", str),
    ):
        lines += ["", f"## {title}", ""]
        lines += table(
            ("which", "origin"), [(wrap(name), said) for name, said in given[section].items()]
        )
    return page(lines)


@cache
def origins() -> Mapping[str, Mapping[str, Any]]:
    """The list of origins."""
    return tomllib.loads(ORIGINS.read_text(encoding="utf-8"))


def origin_of(text: str) -> str:
    """Where a text's words are from: "trade: ...", "open standard: ...", or ours.

    Example:
        >>> origin_of("Kerf of the saw"), origin_of("As SVG"), origin_of("Begin")
        ('trade: kerf, saw', 'open standard: W3C SVG', 'ours')
    """
    words = set(re.findall(r"[A-Za-z0-9]+", text))
    standards = {said for term, said in origins()["standards"].items() if term in words}
    if standards:
        return "open standard: " + ", ".join(sorted(standards))
    low = text.lower()
    terms = [term for term in trade_terms() if re.search(rf"(?<!\w){re.escape(term)}s?(?!\w)", low)]
    found = [one for one in terms if not any(one != two and one in two for two in terms)]
    return "trade: " + ", ".join(found) if found else OURS


@cache
def trade_terms() -> tuple[str, ...]:
    """Terms of docs/words.md, as far as they are the trade's, and those listed beside them."""
    rows = re.findall(
        r"^\| \*\*(.+?)\*\* \| (.*)$", (ROOT / "docs/words.md").read_text(encoding="utf-8"), re.M
    )
    glossary = {re.sub(r" \(.*\)", "", term) for term, told in rows if not told.startswith("*Here")}
    return tuple(sorted(glossary | set(origins()["trade"]["words"])))


def options() -> list[str]:
    """Every option of every command, once."""
    return sorted(
        {
            flag
            for _, command in all_commands()
            for one in command.params
            if one.param_type_name == "option" and one.name != "help"
            for flag in (*one.opts, *one.secondary_opts)
        }
    )


def file_keys() -> list[str]:
    """Every key that a project file or a part may have, once."""
    project = {field.name for _, _, field, _ in all_keys()}
    return sorted(project | {name for kind in KINDS.values() for name in kind.model_fields})


@cache
def labels() -> tuple[str, ...]:
    """Every label that the pages' code has as text: steps, headings, what is pressed and what is filled in.

    What is put together from a key or a name has "…" in its place.
    """
    found = {name for _, name, _ in STEPS}
    for folder in ("faces/web", "outputs/topics"):
        for path in sorted((SOURCE / folder).rglob("*.py")):
            tree = ast.parse(path.read_text(encoding="utf-8"))
            told = {id(inner) for node in ast.walk(tree) for inner in _no_labels(node)}
            for node in ast.walk(tree):
                if isinstance(node, ast.Call):
                    found |= {text for text in _labels_in(node) if _WORDY.search(text)}
                elif isinstance(node, ast.Constant) and id(node) not in told:
                    text = node.value
                    if isinstance(text, str) and len(text) <= MOST and _TITLE.fullmatch(text):
                        found.add(text)
    return tuple(sorted(found, key=lambda text: (text.lower(), text)))


def _labels_in(node: ast.Call) -> Iterable[str]:
    called = getattr(node.func, "id", "") or getattr(node.func, "attr", "")
    texts = [text for text in map(_text_of, node.args) if text]
    if texts and called in (*_PRESSED, *_FIELDS):
        yield texts[0]
    if called == "said" and texts[1:] and texts[1] in _HEADS:
        yield texts[0]
    for word in node.keywords:
        text = _text_of(word.value) if word.arg in _NAMED else ""
        if 0 < len(text) <= MOST:
            yield text


def _no_labels(node: ast.AST) -> Iterable[ast.AST]:
    """Docstrings, halves of texts that are put together, names that a module gives away, types."""
    if isinstance(node, ast.Expr):
        yield node.value
    elif isinstance(node, ast.JoinedStr):
        yield from node.values
    elif isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "__all__":
        yield from ast.walk(node.value)
    elif isinstance(node, ast.Call) and getattr(node.func, "id", "") == "cast":
        yield node.args[0]


def _text_of(node: ast.expr) -> str:
    """A text as the code has it; what is filled in is left open."""
    if isinstance(node, ast.JoinedStr):
        return "".join(
            str(one.value) if isinstance(one, ast.Constant) else "…" for one in node.values
        )
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


@cache
def suffixes() -> frozenset[str]:
    """Endings of file names that the code has as text, as far as Python's own list of file types knows them."""
    known = (
        mimetypes.types_map.keys() | mimetypes.common_types.keys() | mimetypes.encodings_map.keys()
    )
    found = set()
    for path in SOURCE.rglob("*.py"):
        endings = re.findall(
            r"""["'][\w{}/-]*(\.[a-z]{2,6})["']""", path.read_text(encoding="utf-8")
        )
        found |= {one for one in endings if one in known}
    return frozenset(found - NO_FILES | {SUFFIX, PLAN_SUFFIX})


def colors() -> list[str]:
    """Names of the page's colors, in the order of its style."""
    style = (SOURCE / "faces/web/theme/workbench.css").read_text(encoding="utf-8")
    return list(dict.fromkeys(re.findall(r"--([a-z-]+): *#[0-9a-f]{3,8}", style)))


def icons() -> list[str]:
    """Names of the page's icons."""
    return list(ICONS)


def _words_of(option: str) -> str:
    """An option's words; an open standard by its name in capitals, so that STEP is no step."""
    words = option.strip("-").split("-")
    return " ".join(one.upper() if one.upper() in origins()["standards"] else one for one in words)


def _grouped(rows: Iterable[tuple[str, str]]) -> list[str]:
    """Texts by their origin, those with one of their own first."""
    by: dict[str, list[str]] = {}
    for shown, text in rows:
        by.setdefault(origin_of(text), []).append(shown)
    lines = table(
        ("which", "origin"),
        [(", ".join(by[origin]), origin) for origin in sorted(by) if origin != OURS],
    )
    return [*lines, "Ours: " + ", ".join(by.get(OURS, [])) + ".", ""]


__all__ = [
    "NO_FILES",
    "OURS",
    "colors",
    "file_keys",
    "icons",
    "labels",
    "options",
    "origin_of",
    "origins",
    "suffixes",
    "trade_terms",
    "voice_page",
]
