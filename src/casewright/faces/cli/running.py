"""Runs a command and ends it well: exit codes 0 fine, 1 stops found, 2 bad input; no traceback."""

from __future__ import annotations

import errno
import os
import sys
import tempfile
import time
import traceback
from pathlib import Path
from types import TracebackType
from typing import cast

import typer

from casewright import __version__
from casewright.faces.cli.app import app
from casewright.faces.cli.exit_codes import BAD_INPUT, FINE, INTERRUPTED, OUR_FAULT, SAID

_WrongUsage = cast(type[Exception], typer.BadParameter.__base__)
"""Raised for an unknown command or option; typer does not name it in public."""


def main() -> int:
    """Run the command; its exit code. No traceback reaches the user."""
    from casewright.basics.collecting import collect_seldom
    from casewright.basics.errors import CasewrightError

    sys.excepthook = _report_our_fault
    collect_seldom()
    _open_streams()
    try:
        result = typer.main.get_command(app).main(standalone_mode=False)
        sys.stdout.flush()  # here, where a full disk can still be told
    except CasewrightError as error:
        from casewright.faces.cli.speaking import say_error

        return say_error(error)
    except _WrongUsage as error:
        show = getattr(error, "show", None)
        if callable(show):
            show()
        return BAD_INPUT
    except typer.Abort:
        return _end("Stopped.", INTERRUPTED)
    except KeyboardInterrupt:
        return _end("Stopped; nothing was changed.", INTERRUPTED)
    except BrokenPipeError:
        _let_go_of_output()
        return FINE
    except SystemExit as leaving:
        # Typer answers a reader that has left with 1, which says "stops found" here.
        if not isinstance(leaving.__context__, BrokenPipeError):
            raise
        _let_go_of_output()
        return FINE
    except OSError as error:
        if error.errno not in _CANNOT_WRITE or error.filename is not None:
            raise
        _let_go_of_output()
        return _end(f"The answer could not be written: {_CANNOT_WRITE[error.errno]}.", BAD_INPUT)
    if result == INTERRUPTED:  # so typer answers Ctrl-C within a command, without a word
        return _end("Stopped.", INTERRUPTED)
    return INTERRUPTED if result == SAID else int(result or FINE)


def _open_streams() -> None:
    """Where the caller closed them, what is said goes nowhere."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115


_CANNOT_WRITE = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk's quota is used up",
    errno.EIO: "the disk or terminal does not answer",
    errno.EFBIG: "the file would become too large",
}
"""What a write to the standard output fails with, in words."""


def _let_go_of_output() -> None:
    """What is still to be written goes nowhere, so that leaving does not fail too."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _end(text: str, code: int) -> int:
    print(text, file=sys.stderr)
    return code


def _report_our_fault(
    kind: type[BaseException], error: BaseException, trace: TracebackType | None
) -> None:
    """A fault of casewright's own: one line for the user, the details in a file."""
    path = Path(tempfile.gettempdir()) / f"casewright-fault-{int(time.time())}.txt"
    text = "".join(traceback.format_exception(kind, error, trace))
    try:
        path.write_text(f"casewright {__version__}\n{text}", encoding="utf-8")
        where = f" The details are in {path}; please send them along."
    except OSError:
        where = ""
    print(
        f"casewright met a fault of its own ({kind.__name__}); your files are as they were.{where}",
        file=sys.stderr,
    )
    raise SystemExit(OUR_FAULT)  # without it the code were 1, which says "stops found"


__all__ = ["main"]
