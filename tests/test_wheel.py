"""The wheel that users install holds what the package needs at run time."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import sysconfig
import tarfile
import time
import urllib.error
import urllib.request
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Built as for a release, but with the build tool that is already installed, so without a network."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder)]
    built = subprocess.run([*command, str(ROOT)], capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stdout + built.stderr
    (file,) = folder.glob("*.whl")
    return file


def shipped() -> set[str]:
    """Every file below src/casewright, as the wheel must name it."""
    files = (path for path in (SOURCE / "casewright").rglob("*") if path.is_file())
    return {
        path.relative_to(SOURCE).as_posix()
        for path in files
        if "__pycache__" not in path.parts and path.suffix != ".pyc"
    }


def test_wheel_holds_every_file_of_the_package(wheel):
    names = {n for n in zipfile.ZipFile(wheel).namelist() if n.startswith("casewright/")}
    expected = shipped()
    assert any(name.endswith(".ttf") for name in expected)  # the comparison is not of nothing
    assert names == expected


def test_wheel_holds_the_files_as_they_are(wheel):
    with zipfile.ZipFile(wheel) as archive:
        for name in archive.namelist():
            if name.startswith("casewright/"):
                assert archive.read(name) == (SOURCE / name).read_bytes(), name


def test_wheel_names_the_command_and_carries_the_licences(wheel):
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
        (entries,) = (n for n in names if n.endswith(".dist-info/entry_points.txt"))
        assert "casewright = casewright.faces.cli:main" in archive.read(entries).decode()
    licences = {Path(n).name for n in names if ".dist-info/licenses/" in n}
    assert licences == {"LICENSE", "LICENSE-DejaVu.txt", "NOTICE"}


def test_unpacked_wheel_finds_its_font(wheel, tmp_path):
    zipfile.ZipFile(wheel).extractall(tmp_path)
    ask = (
        "import sys; sys.path.insert(0, sys.argv[1]); import casewright.assets as a; "
        "print(a.__file__); print(len(list(a.font_folder().glob('*.ttf'))))"
    )
    told = subprocess.run(
        [sys.executable, "-I", "-c", ask, str(tmp_path)], capture_output=True, text=True, check=True
    ).stdout.splitlines()
    assert Path(told[0]).is_relative_to(tmp_path)  # not the source tree's
    assert told[1] == "2"


# ---- the source distribution, and what is installed from it -----------------------------------------------------


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The source distribution, unpacked, and the wheel that is built from it and from nothing else."""
    folder = tmp_path_factory.mktemp("both")
    command = [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(folder)]
    built = subprocess.run([*command, str(ROOT)], capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stdout + built.stderr
    (packed,) = folder.glob("*.tar.gz")
    with tarfile.open(packed) as archive:
        archive.extractall(folder / "unpacked", filter="data")
    (unpacked,) = (folder / "unpacked").iterdir()
    (made,) = folder.glob("*.whl")
    return unpacked, made


def test_sdist_holds_every_file_that_is_kept(both):
    """All that git knows, except what serves only the place where it is kept."""
    unpacked, _ = both
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True
    ).stdout.decode()
    kept = {name for name in listed.split("\0") if name and (ROOT / name).is_file()}
    kept = {name for name in kept if not name.startswith((".ci/", ".git"))}
    there = {
        path.relative_to(unpacked).as_posix() for path in unpacked.rglob("*") if path.is_file()
    }
    assert len(kept) > 500
    assert kept - there == set()
    assert not [name for name in there if "__pycache__" in name or name.startswith("out/")]


def test_the_wheel_of_the_sdist_is_the_wheel(wheel, both):
    _, again = both
    with zipfile.ZipFile(wheel) as first, zipfile.ZipFile(again) as second:
        assert first.namelist() == second.namelist()
        for name in first.namelist():
            assert first.read(name) == second.read(name), name


@pytest.fixture(scope="module")
def installed(both, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of commands of a new environment, into which pip put the wheel; nothing of the source tree is there.

    What the wheel needs is lent by the environment of the tests, so that no network is asked: a `.pth` file adds its
    folder, and files of that kind inside a folder so added are not read, the one that leads to the source tree among
    them.
    """
    folder = tmp_path_factory.mktemp("empty")
    venv.create(folder, with_pip=False)
    commands = folder / ("Scripts" if os.name == "nt" else "bin")
    told = "import sysconfig; print(sysconfig.get_path('purelib'))"
    python = str(next(commands.glob("python*")))
    inside = Path(
        subprocess.run(
            [python, "-c", told], capture_output=True, text=True, check=True
        ).stdout.strip()
    )
    pip = [sys.executable, "-m", "pip", "--python", python, "install", "--no-index", "--no-deps"]
    done = subprocess.run([*pip, str(both[1])], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    lent = sysconfig.get_path("purelib")
    (inside / "lent.pth").write_text(lent + "\n", encoding="utf-8")
    return commands


def run_installed(commands: Path, folder: Path, *words: str) -> str:
    """What the installed command prints, run in an empty folder."""
    done = subprocess.run(
        [str(commands / "casewright"), *words],
        cwd=folder,
        env=plain_environment(folder),
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def plain_environment(folder: Path) -> dict[str, str]:
    """Without what leads to the source tree or makes a server think it is tested."""
    kept = {
        k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "PYTEST", "NICEGUI"))
    }
    return kept | {"CASEWRIGHT_DATA": str(folder / "data"), "PYTHONIOENCODING": "utf-8"}


def test_installed_command_checks_the_demo_and_builds(installed, both, tmp_path):
    where = "import casewright; print(casewright.__file__)"
    python = str(next(installed.glob("python*")))
    found = subprocess.run(
        [python, "-c", where],
        cwd=tmp_path,
        env=plain_environment(tmp_path),
        capture_output=True,
        text=True,
    ).stdout
    assert Path(found.strip()).is_relative_to(installed.parent)  # not the source tree's
    demo = both[0] / "examples" / "library-duel.cabinet.yaml"
    assert "0 stops" in run_installed(installed, tmp_path, "check", str(demo))
    run_installed(
        installed,
        tmp_path,
        "new",
        "box.cabinet.yaml",
        "--recipe",
        "box",
        "--name",
        "Box",
        "--unit",
        "mm",
    )
    run_installed(installed, tmp_path, "build", "box.cabinet.yaml", "--no-step")
    book = tmp_path / "out" / "box" / "bench-book.pdf"
    assert book.read_bytes().startswith(b"%PDF-")


def test_installed_command_opens_the_page(installed, tmp_path):
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port = found.getsockname()[1]
    command = [str(installed / "casewright"), "open", "--no-browser", "--port", str(port)]
    with subprocess.Popen(command, cwd=tmp_path, env=plain_environment(tmp_path)) as server:
        try:
            for _ in range(600):
                try:
                    with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=5) as answer:
                        page = answer.read().decode("utf-8")
                    break
                except (urllib.error.URLError, TimeoutError):
                    assert server.poll() is None, "the server ended"
                    time.sleep(0.1)
            assert "casewright" in page
        finally:
            server.terminate()
