"""Papers made aside, in a process of their own: the page stays at hand meanwhile, and Stop ends the work at once.

Drawing, typesetting and the solids' kernel run for seconds within calls that nothing can interrupt from inside; a
process can be ended at any moment. It writes no files: papers come back whole, or nothing does.
"""

from __future__ import annotations

import copyreg
import io
import pickle
import signal
from collections.abc import Callable, Mapping
from contextlib import suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection
from threading import Lock
from types import MappingProxyType
from typing import Any, Final

from casewright.basics.collecting import collect_seldom
from casewright.basics.errors import OutputError
from casewright.workflow import Worked, make_papers, paper_named

PATIENCE: Final = 0.3
"""How long the process may take to end when it is told to, before it is ended by force. [s]"""

_STAGE, _DONE, _PROBLEM = "stage", "done", "problem"


class StoppedError(Exception):
    """The making was stopped; nothing was made."""


class Making:
    """One making of all papers.

    Args:
        worked: The cabinet, worked out.
        paper: Name of the paper for book and templates.
        step: Write STEP; None: where its kernel is installed.
        bench: Address that the book's codes lead to; the project's own if not given.
    """

    def __init__(
        self, worked: Worked, *, paper: str, step: bool | None = None, bench: str | None = None
    ) -> None:
        self._packed = packed(worked)
        self._paper, self._step, self._bench = paper, step, bench
        self._lock = Lock()
        self._process: Any = None
        self._is_stopped = False

    def run(self, progress: Callable[[str], None] = lambda stage: None) -> dict[str, bytes]:
        """Make them, and wait for them.

        Args:
            progress: Told of each stage as it begins, by the thread that runs this.

        Returns:
            Content by name, as `make_papers` returns it.

        Raises:
            StoppedError: `stop` was called.
            OutputError: They cannot be made.
        """
        context = get_context(
            "spawn"
        )  # threads are running: a plain copy of this process could hang
        ours, theirs = context.Pipe()
        with ours:
            with theirs, self._lock:
                if self._is_stopped:
                    raise StoppedError
                # The cabinet goes after: as an argument, it would be waited for forever should the process end before.
                arguments = (theirs, self._paper, self._step, self._bench)
                self._process = context.Process(target=_work, args=arguments, daemon=True)
                self._process.start()
            try:
                return self._followed(ours, progress)
            finally:
                self._end()

    def stop(self) -> None:
        """End it at once, from any thread; `run` then raises."""
        with self._lock:
            self._is_stopped = True
            if self._process is not None and self._process.is_alive():
                self._process.terminate()

    def _followed(self, ours: Connection, progress: Callable[[str], None]) -> dict[str, bytes]:
        with suppress(OSError):  # should it be gone already, that is found below
            ours.send_bytes(self._packed)
        while True:
            try:
                kind, told = ours.recv()
            except (EOFError, OSError, pickle.UnpicklingError):
                # It ended, perhaps in the middle of a message.
                if self._is_stopped:
                    raise StoppedError from None
                raise OutputError(
                    "the papers",
                    why="the process that made them ended too soon",
                    remedy="Make them again; the terminal shows what happened.",
                ) from None
            if self._is_stopped:
                raise StoppedError
            if kind == _STAGE:
                progress(told)
            elif kind == _PROBLEM:
                path, why, remedy = told
                raise OutputError(path, why=why, remedy=remedy)
            else:
                papers: dict[str, bytes] = told
                return papers

    def _end(self) -> None:
        with self._lock:
            process = self._process
            process.join(PATIENCE)
            if process.is_alive():
                process.terminate()
                process.join(PATIENCE)
            if process.is_alive():
                process.kill()
                process.join()


def _work(theirs: Connection, paper: str, step: bool | None, bench: str | None) -> None:
    """What the process does."""
    signal.signal(
        signal.SIGINT, signal.SIG_IGN
    )  # Ctrl+C in the terminal is for the server, which ends this
    collect_seldom()
    try:
        worked: Worked = pickle.loads(theirs.recv_bytes())
        papers = make_papers(
            worked,
            paper=paper_named(paper),
            step=step,
            bench=bench,
            progress=lambda stage: theirs.send((_STAGE, stage)),
        )
    except OutputError as error:
        theirs.send((_PROBLEM, (error.path, error.why, error.remedy)))
        return
    except (BrokenPipeError, ConnectionResetError, EOFError):
        return  # the server is gone
    theirs.send((_DONE, papers))


def packed(worked: Worked) -> bytes:
    """What was worked out as bytes, for `pickle.loads` in another process."""
    out = io.BytesIO()
    pickler = pickle.Pickler(out, protocol=5)
    pickler.dispatch_table = copyreg.dispatch_table.copy()
    pickler.dispatch_table[MappingProxyType] = _unchangeable  # which are not packed by themselves
    pickler.dump(worked)
    return out.getvalue()


def _unchangeable(mapping: Mapping[Any, Any]) -> tuple[Callable[..., Any], tuple[dict[Any, Any]]]:
    return _proxy, (dict(mapping),)


def _proxy(mapping: dict[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(mapping)


__all__ = ["PATIENCE", "Making", "StoppedError", "packed"]
