"""The real command with its server, in a process of its own: for tests and for figures."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.faces.web.chromium import free_port

from casewright.faces.web.desk import key_of

ROOT = Path(__file__).parents[3]


class Server:
    """`casewright open` in a folder of its own."""

    def __init__(self, folder: Path, file: Path | None = None) -> None:
        self.folder, self.file = folder, file
        self.port = free_port()
        self.process = self._start()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def desk(self, view: str = "") -> str:
        assert self.file is not None
        return f"{self.address}/desk/{key_of(self.file)}" + (f"?view={view}" if view else "")

    def _start(self) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", "casewright", "open", "--no-browser"]
        command += ["--port", str(self.port), *([str(self.file)] if self.file else [])]
        environment = {
            **os.environ,
            "PYTHONPATH": str(ROOT / "src"),
            "CASEWRIGHT_DATA": str(self.folder / "data"),
        }
        for name in [name for name in environment if name.startswith(("NICEGUI", "PYTEST"))]:
            del environment[name]
        process = subprocess.Popen(command, cwd=self.folder, env=environment)
        for _ in range(600):
            try:
                urllib.request.urlopen(self.address, timeout=2).close()
                return process
            except (urllib.error.URLError, TimeoutError):
                assert process.poll() is None, "the server ended"
                time.sleep(0.1)
        process.kill()
        process.wait()
        raise AssertionError("the server did not come up")

    def kill(self) -> None:
        """As by a power cut."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def again(self) -> None:
        self.process = self._start()

    def stop(self) -> None:
        self.process.terminate()
        try:
            self.process.wait(5)
        except subprocess.TimeoutExpired:
            self.kill()


@contextmanager
def serving(folder: Path, file: Path | None = None) -> Iterator[Server]:
    server = Server(folder, file)
    try:
        yield server
    finally:
        server.stop()


__all__ = ["Server", "serving"]
