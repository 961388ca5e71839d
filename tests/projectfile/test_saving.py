"""Files appear whole or not at all."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import Any

import pytest

from casewright.basics.errors import OutputError
from casewright.projectfile.saving import save_bytes, save_text


def test_a_file_is_written_and_replaced(tmp_path: Path) -> None:
    target = tmp_path / "radio.yaml"
    save_text(target, "width: ½ in\n")
    assert target.read_bytes() == "width: ½ in\n".encode()
    save_bytes(target, b"new\r\n")
    assert target.read_bytes() == b"new\r\n"
    assert os.listdir(tmp_path) == ["radio.yaml"]


@pytest.mark.skipif(os.name != "posix", reason="permissions as POSIX has them")
def test_permissions_stay(tmp_path: Path) -> None:
    target = tmp_path / "radio.yaml"
    save_text(target, "a")
    mask = os.umask(0)
    os.umask(mask)
    assert stat.S_IMODE(target.stat().st_mode) == 0o666 & ~mask
    target.chmod(0o640)
    save_text(target, "b")
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


@pytest.mark.skipif(os.name != "posix", reason="links need rights elsewhere")
def test_a_link_stays_a_link(tmp_path: Path) -> None:
    target = tmp_path / "real.yaml"
    target.write_text("old")
    link = tmp_path / "link.yaml"
    link.symlink_to(target)
    save_text(link, "new")
    assert link.is_symlink()
    assert target.read_text() == "new"


@pytest.mark.parametrize("step", ["write", "fsync", "replace", "chmod"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EIO])
def test_trouble_at_any_step_leaves_the_old_file(
    step: str, number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "radio.yaml"
    target.write_text("old")

    def fail(*_: Any, **__: Any) -> None:
        raise OSError(number, os.strerror(number))

    if step == "write":
        real = os.fdopen

        def broken(handle: int, mode: str) -> Any:
            os.close(handle)
            return real(os.open(target, os.O_RDONLY), mode="wb")  # cannot be written to

        monkeypatch.setattr(os, "fdopen", broken)
    else:
        monkeypatch.setattr(os, step, fail)
    with pytest.raises(OutputError) as caught:
        save_text(target, "new and longer")
    monkeypatch.undo()
    assert target.read_text() == "old"
    assert os.listdir(tmp_path) == ["radio.yaml"]
    assert caught.value.path == str(target)
    assert caught.value.remedy


@pytest.mark.skipif(os.name != "posix", reason="the full device is POSIX's")
def test_a_crash_while_saving_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "radio.yaml"
    target.write_text("old")

    class PowerCutError(BaseException):
        pass

    def cut(*_: Any) -> None:
        raise PowerCutError

    monkeypatch.setattr(os, "replace", cut)
    with pytest.raises(PowerCutError):
        save_text(target, "new")
    assert target.read_text() == "old"


def test_places_that_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "file").write_text("x")
    for path in (tmp_path / "none" / "x", tmp_path / "file" / "x", tmp_path / "folder"):
        with pytest.raises(OutputError) as caught:
            save_text(path, "x")
        assert caught.value.why
        assert caught.value.remedy
    assert sorted(os.listdir(tmp_path)) == ["file", "folder"]
