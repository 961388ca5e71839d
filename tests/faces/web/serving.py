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
from casewright.session import RecentFiles

HERE = Path(__file__).parent
ROOT = HERE.parents[2]


@contextmanager
def page_served(script: str, *arguments: str) -> Iterator[str]:
    """The address of a page that a script of this folder shows; the port is its last argument."""
    port = free_port()
    command = [sys.executable, str(HERE / script), *arguments, str(port)]
    environment = dict(os.environ, PYTHONPATH=str(ROOT / "src"))
    environment.pop("PYTEST_CURRENT_TEST", None)  # the page is no test
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True) as running:
        try:
            assert running.stdout is not None
            assert running.stdout.readline() == "ready\n"
            yield f"http://127.0.0.1:{port}/"
        finally:
            running.kill()


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
        return self.desk_of(self.file, view)

    def desk_of(self, file: Path, view: str = "") -> str:
        return f"{self.address}/desk/{key_of(file)}" + (f"?view={view}" if view else "")

    def take(self, file: Path) -> Opened:
        """Have another project at hand: the server opens it for an address, as one of the last ones."""
        RecentFiles(self.folder / "data").remember(file, file.name)
        return Opened(self, file)

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


class Opened:
    """A project of its own at a server that serves others as well."""

    def __init__(self, server: Server, file: Path) -> None:
        self.server, self.file = server, file
        self.folder = file.parent
        self.port = server.port

    def desk(self, view: str = "") -> str:
        return self.server.desk_of(self.file, view)


@contextmanager
def serving(folder: Path, file: Path | None = None) -> Iterator[Server]:
    server = Server(folder, file)
    try:
        yield server
    finally:
        server.stop()


__all__ = ["Opened", "Server", "page_served", "serving"]
