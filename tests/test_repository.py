"""Guards over the whole tree: what no single module can see."""

from __future__ import annotations

import ast
import re
import subprocess
import tomllib
from pathlib import Path

import pytest

import casewright

ROOT = Path(__file__).resolve().parents[1]
PYPROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def tracked(*patterns: str) -> list[Path]:
    """Files that git knows, by its own patterns."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--", *patterns], cwd=ROOT, capture_output=True, check=True
    ).stdout.decode()
    return [ROOT / name for name in listed.split("\0") if name and (ROOT / name).is_file()]


def lines_with(pattern: str, *patterns: str) -> list[str]:
    """Lines of tracked text files in which the expression is found, as file:line: text."""
    found = []
    for path in tracked(*patterns):
        data = path.read_bytes()
        if b"\0" in data:
            continue
        for number, line in enumerate(data.decode("utf-8").splitlines(), start=1):
            if re.search(pattern, line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {line.strip()[:100]}")
    return found


def either(*words: str) -> str:
    """An expression for any of the words, which are spelled in pieces so that this file does not hold them."""
    return "|".join(words)


def test_no_machine_paths():
    folders = either("work", "root", "home", "tmp", "Users")
    assert lines_with(rf"(^|[^\w./<>-])/({folders})/") == []


def test_no_addresses_of_package_indexes():
    hosts = either(
        r"pypi\.(org|io)", "python" + "hosted", "npm" + r"js\.(org|com)", "deb" + r"\.debian"
    )
    options = either("--extra-" + "index-url", "--find" + "-links", r"^--index" + "-url")
    assert lines_with(either(hosts, options)) == []


def test_no_unfinished_marks():
    marks = either("TO" + "DO", "FIX" + "ME", "XX" + "X", "NotImplemented" + "Error")
    skips = r"pytest\.mark\.(skip|xfail)\b"
    assert lines_with(either(rf"\b({marks})\b", skips), "*.py", "*.js", "*.toml", "*.yaml") == []


def test_guards_find_what_they_look_for(tmp_path, monkeypatch):
    """The three guards above, on a file that holds it all."""
    bad = tmp_path / "bad.py"
    bad.write_text("x = '/" + "work/main'\n# TO" + "DO\n# py" + "pi.org\n", encoding="utf-8")
    monkeypatch.setattr(f"{__name__}.tracked", lambda *patterns: [bad])
    monkeypatch.setattr(f"{__name__}.ROOT", tmp_path)
    for guard in (
        test_no_machine_paths,
        test_no_addresses_of_package_indexes,
        test_no_unfinished_marks,
    ):
        with pytest.raises(AssertionError, match=r"bad\.py"):
            guard()


# ---- modules ---------------------------------------------------------------------------------------------------

MODULES = [
    path
    for path in tracked("src/casewright/*.py")
    if path.name != "__main__.py" and path.read_text(encoding="utf-8").strip()
]


def public_names(tree: ast.Module) -> set[str]:
    """Classes and functions that a module makes and does not mark as its own by an underscore."""
    made = (ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    names = {node.name for node in tree.body if isinstance(node, made)}
    return {name for name in names if not name.startswith("_")}


@pytest.mark.parametrize(
    "path", MODULES, ids=lambda path: path.relative_to(ROOT / "src").as_posix()
)
def test_module_says_what_it_is_and_what_it_offers(path):
    """Order and spelling of `__all__` are ruff's to check (RUF022, F822)."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree), "no docstring"
    if path == ROOT / "src/casewright/__init__.py":
        return
    lists = [
        node.value
        for node in tree.body
        if isinstance(node, ast.Assign)
        and [t.id for t in node.targets if isinstance(t, ast.Name)] == ["__all__"]
    ]
    assert len(lists) == 1, "one __all__, please"
    offered = ast.literal_eval(lists[0])
    assert public_names(tree) <= set(offered), "public, but not in __all__"


# ---- the package and its pins ----------------------------------------------------------------------------------


def pins(name: str) -> dict[str, str]:
    """Package name to version, of a pins file."""
    text = (ROOT / "requirements" / name).read_text(encoding="utf-8")
    return dict(re.findall(r"^([\w.-]+)==([\w.]+)", text, re.MULTILINE))


def plain(requirement: str) -> str:
    """The name of a requirement as pins write it."""
    return re.sub(r"[-_.]+", "-", re.split(r"[<>=~! ;\[]", requirement)[0]).lower()


def test_version_has_one_value():
    assert casewright.__version__ == PYPROJECT["project"]["version"]


def test_every_dependency_is_pinned():
    extras = PYPROJECT["project"]["optional-dependencies"]
    needed = {plain(r) for r in PYPROJECT["project"]["dependencies"]}
    assert needed <= pins("core.txt").keys()
    assert needed | {plain(r) for r in extras["dev"] + extras["cad"]} <= pins("dev.txt").keys()


def test_pins_of_dev_hold_those_of_core():
    core, dev = pins("core.txt"), pins("dev.txt")
    assert {name: dev.get(name) for name in core} == core


@pytest.mark.parametrize("name", ["core.txt", "dev.txt"])
def test_every_pin_has_a_hash_and_no_address(name):
    text = (ROOT / "requirements" / name).read_text(encoding="utf-8")
    blocks = re.split(r"^(?=[\w.-]+==)", text, flags=re.MULTILINE)[1:]
    assert len(blocks) == len(pins(name)) > 20
    assert [block.split()[0] for block in blocks if "--hash=sha256:" not in block] == []
    assert "://" not in text


def test_ci_script_can_be_run():
    mode = subprocess.run(
        ["git", "ls-files", "--stage", ".ci/run"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split()[0]
    assert mode == "100755"


# ---- docs ------------------------------------------------------------------------------------------------------


def test_words_are_in_order_and_stand_once():
    rows = re.findall(
        r"^\| \*\*(.+?)\*\*", (ROOT / "docs/words.md").read_text(encoding="utf-8"), re.MULTILINE
    )
    assert len(rows) > 30
    assert rows == sorted(set(rows), key=str.lower)


def test_decisions_are_numbered_dated_and_whole():
    pages = sorted((ROOT / "docs/decisions").glob("[0-9]*.md"))
    assert [int(page.name[:4]) for page in pages] == list(range(len(pages)))
    for page in pages:
        text = page.read_text(encoding="utf-8")
        assert re.search(r"^(Date: \d{4}-\d\d-\d\d|Date: YYYY-MM-DD)$", text, re.MULTILINE), (
            page.name
        )
        for heading in ("## What", "## Why", "## What else was weighed"):
            assert heading in text, f"{page.name} lacks {heading!r}"


@pytest.mark.parametrize(
    "path", tracked("*.md"), ids=lambda path: path.relative_to(ROOT).as_posix()
)
def test_links_in_pages_lead_somewhere(path):
    for target in re.findall(r"\]\(([^)#]+?)(?:#[^)]*)?\)", path.read_text(encoding="utf-8")):
        if "://" not in target:
            assert (path.parent / target).exists(), f"{target} is not there"
