"""Set-up: what dev.py says when something is in the way, and when it installs again."""

from __future__ import annotations

import ast
import importlib.util
import os
import re
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[1]
SCRIPT = ROOT / "dev.py"


@pytest.fixture
def dev() -> ModuleType:
    spec = importlib.util.spec_from_file_location("casewright_dev", SCRIPT)
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """The files that set-up depends on, with no packages to fetch."""
    (tmp_path / "requirements").mkdir()
    for name in ("core", "dev"):
        (tmp_path / "requirements" / f"{name}.txt").write_text(f"# {name}\n", encoding="utf-8")
    (tmp_path / "pyproject.toml").write_text("[project]\n", encoding="utf-8")
    return tmp_path


def stamped(dev: ModuleType, tree: Path, pins: str) -> object:
    """A .venv that says it holds `pins`."""
    venv = dev.Venv(tree, windows=False)
    venv.python.parent.mkdir(parents=True)
    venv.python.touch()
    venv.stamp.write_text(f"{pins}={venv.pins_hash(pins)}\n", encoding="utf-8")
    return venv


def test_old_pythons_can_read_it():
    ast.parse(
        SCRIPT.read_text(encoding="utf-8"), feature_version=(3, 7)
    )  # the oldest that ast knows


def test_it_needs_only_pythons_own_library():
    tree = ast.parse(SCRIPT.read_text(encoding="utf-8"))
    names = {a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names}
    names |= {n.module or "" for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)}
    assert {name.partition(".")[0] for name in names} <= sys.stdlib_module_names


def test_oldest_python_is_the_one_the_package_asks_for(dev):
    pyproject = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    asked = re.search(r'requires-python = ">=(\d+)\.(\d+)"', pyproject)
    assert asked and tuple(map(int, asked.groups())) == dev.OLDEST


@pytest.mark.parametrize("version", [(3, 6), (3, 10)])
def test_old_python_is_one_plain_line(dev, capsys, version):
    assert dev.main(["demo"], version=version) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.count("\n") == 1
    assert "3.11 or newer" in printed.err
    assert f"{version[0]}.{version[1]}." in printed.err


@pytest.mark.parametrize("version", [(3, 11), (3, 14), (4, 0)])
def test_new_python_is_no_trouble(dev, version):
    assert dev.python_trouble(version) == ""


@pytest.mark.parametrize(
    ("system", "remedy"),
    [("Linux", "sudo apt install python3-venv"), ("Darwin", "installer"), ("Windows", "installer")],
)
def test_missing_venv_module_is_one_plain_line(dev, system, remedy):
    trouble = dev.venv_trouble(["ensurepip"], system)
    assert "ensurepip" in trouble
    assert remedy in trouble
    assert "\n" not in trouble
    assert dev.venv_trouble([], system) == ""


def test_python_without_ensurepip_stops_before_anything_is_made(dev, tree, monkeypatch, capsys):
    """As Debian's python3 is without its python3-venv package."""
    real = importlib.util.find_spec

    def without_ensurepip(name: str) -> object:
        return None if name == "ensurepip" else real(name)

    monkeypatch.setattr(dev.importlib.util, "find_spec", without_ensurepip)
    monkeypatch.setattr(dev, "ROOT", tree)
    assert dev.main(["check"]) == 2
    printed = capsys.readouterr()
    assert "ensurepip" in printed.err
    assert printed.err.count("\n") == 1
    assert not (tree / ".venv").exists()


def test_no_network_is_said_in_pips_own_case(dev, tmp_path):
    """pip itself, sent to a port where nobody listens, gives the log that is read."""
    environment = {k: v for k, v in os.environ.items() if not k.upper().startswith("PIP_")}
    nobody = "http://127.0.0.1:9/nothing.tar.gz"
    command = [
        sys.executable,
        "-m",
        "pip",
        "--isolated",
        "install",
        "--retries",
        "1",
        "--no-cache-dir",
    ]
    command += ["--disable-pip-version-check", "--target", str(tmp_path)]
    asked = subprocess.run(
        [*command, "--no-index", nobody],
        capture_output=True,
        text=True,
        env=environment,
        check=False,
        timeout=60,
    )
    assert asked.returncode != 0
    trouble = dev.install_trouble(asked.stdout + asked.stderr, "Linux", "x86_64")
    assert "cannot be reached" in trouble
    assert "\n" not in trouble


@pytest.mark.parametrize(
    ("log", "system", "machine", "said"),
    [
        ("ERROR: No matching distribution found for typst", "Windows", "ARM64", "x64 Python"),
        ("OSError: [Errno 28] No space left on device", "Linux", "x86_64", "disk is full"),
        ("x\nERROR: THESE PACKAGES DO NOT MATCH\n", "Linux", "x86_64", "DO NOT MATCH"),
        ("", "Linux", "x86_64", "see the log"),
    ],
)
def test_failed_installation_says_what_to_do(dev, log, system, machine, said):
    trouble = dev.install_trouble(log, system, machine)
    assert said in trouble
    assert "\n" not in trouble


def test_failed_pip_is_one_line_and_leaves_no_stamp(dev, tree, monkeypatch, capsys):
    """A pin that no hash fits, in a .venv that has pip: this Python's own folder stands in for it."""
    venv = stamped(dev, tree, "core")
    venv.python.unlink()
    venv.python.symlink_to(sys.executable)
    (tree / "requirements" / "core.txt").write_text(
        "numpy\n", encoding="utf-8"
    )  # no hash, no version
    monkeypatch.setattr(dev, "ROOT", tree)
    monkeypatch.setattr(dev, "Venv", lambda root: venv)
    assert dev.main(["demo"]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert not venv.stamp.exists()
    assert venv.log.stat().st_size > 0


def test_stamp_says_when_nothing_is_to_be_done(dev, tree):
    venv = stamped(dev, tree, "core")
    assert venv.holds("core")
    assert not venv.holds("dev")
    for name in ("requirements/core.txt", "pyproject.toml"):
        file = tree / name
        was = file.read_bytes()
        file.write_bytes(was + b"more\n")
        assert not venv.holds("core"), name
        file.write_bytes(was.replace(b"\n", b"\r\n"))
        assert venv.holds("core"), f"{name}: line ends must not matter"
        file.write_bytes(was)


def test_stamp_of_dev_holds_for_core_too(dev, tree):
    venv = stamped(dev, tree, "dev")
    assert venv.holds("dev")
    assert venv.holds("core")


def test_the_soaks_tools_have_an_environment_of_their_own(dev, tree, monkeypatch):
    """Neither asks for the other's pins, and the program is not installed beside the tools."""
    (tree / "requirements" / "soak.txt").write_text("# soak\n", encoding="utf-8")
    tools = dev.Venv(tree, windows=False, name=".venv-soak")
    assert tools.folder == tree / ".venv-soak"
    ran = []
    monkeypatch.setattr(tools, "pip", lambda *arguments: ran.append(arguments))
    tools.python.parent.mkdir(parents=True)
    tools.python.touch()
    tools.install("soak")
    (pinned,) = ran
    assert "--require-hashes" in pinned and "requirements/soak.txt" in pinned
    assert tools.holds("soak") and not tools.holds("dev") and not tools.holds("core")
    assert not stamped(dev, tree, "dev").holds("soak")


def test_commands_that_the_pages_name_are_there(dev, capsys):
    """Every `python3 dev.py ...` of README, CONTRIBUTING and docs; of the soak its parts and options too."""
    from soak.run import PARTS

    assert dev.main(["--help"]) == 0
    known = re.findall(r"^  (\w+) ", capsys.readouterr().out, re.MULTILINE)
    pages = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *(ROOT / "docs").rglob("*.md")]
    text = "\n".join(page.read_text(encoding="utf-8") for page in pages)
    named = re.findall(r"(?:python3|py) dev\.py ([a-z][^`\n#]*)", text)
    assert len(named) > 8
    for command in named:
        word, *rest = command.split()
        assert word.strip(".,;:)") in known, command
        if word == "soak" and rest and rest[0].isalpha() and "`" not in command:
            options = [one for one in rest if one.startswith("--")]
            if options:
                assert rest[0] in PARTS, command
                assert set(options) <= {"--minutes", "--most", "--seed", "--workers"}, command


def test_venv_made_by_hand_is_installed_over(dev, tree):
    venv = stamped(dev, tree, "core")
    venv.stamp.unlink()
    assert not venv.holds("core")


def test_venv_whose_python_is_gone_is_not_usable(dev, tree):
    venv = stamped(dev, tree, "core")
    venv.python.unlink()
    assert not venv.usable()
    venv.python.symlink_to(tree / "gone")
    assert not venv.usable()
    assert not venv.holds("core")


@pytest.mark.parametrize("arguments", [[], ["wish"], ["demo", "more"], ["check", "more"]])
def test_what_it_does_not_know_gives_the_commands(dev, capsys, arguments):
    assert dev.main(arguments) == 2
    assert "demo" in capsys.readouterr().err


def test_help_is_no_error(dev, capsys):
    assert dev.main(["--help"]) == 0
    listed = re.findall(r"^  (\w+) ", capsys.readouterr().out, re.MULTILINE)
    assert listed == ["demo", "open", "test", "check", "docs", "bench", "soak"]


@pytest.mark.parametrize("is_first", [True, False])
def test_the_tests_are_translated_beside_the_checks_of_a_first_run(dev, tree, is_first):
    """Pytest keeps what it knows of earlier runs in .pytest_cache; all of it is waited for before the tests."""
    did = []

    class Recorded:
        root = tree

        def ready(self, pins):
            did.append(("ready", pins))

        def start(self, *arguments):
            compile(arguments[1], "AHEAD", "exec")
            did.append(("start", arguments[0]))
            return self

        def wait(self):
            did.append(("wait",))

        def run(self, *arguments):
            did.append(("run", arguments[1]))
            return 0

    if not is_first:
        (tree / ".pytest_cache").mkdir()
    assert dev.test(Recorded(), ["-k", "seams"]) == 0
    kinds = [entry[0] for entry in did]
    assert did[-1] == ("run", "pytest")
    if is_first:
        assert kinds.index("start") < kinds.index("run") < kinds.index("wait") == len(kinds) - 2
    else:
        assert "start" not in kinds and "wait" not in kinds
