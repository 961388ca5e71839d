"""The wheel that users install holds what the package needs at run time."""

from __future__ import annotations

import subprocess
import sys
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
