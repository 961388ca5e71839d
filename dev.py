"""Set-up and daily work: `python3 dev.py demo`, then `python3 dev.py test`.

Needs nothing but Python's own library, on Linux, macOS and Windows. Every command first brings `.venv` up to the pins
in `requirements/`; when they have not changed, that takes no time. Old Pythons must be able to read this file, so that
they can say which one is needed: no syntax newer than 3.6.
"""

import hashlib
import importlib.util
import os
import platform
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
OLDEST = (3, 11)
DEMO = "examples/library-duel.cabinet.yaml"
DEMO_OUT = "out/library-duel"
DEMO_COPY = "out/workbench/library-duel.cabinet.yaml"

USAGE = """\
python3 dev.py COMMAND

  demo          build the demo cabinet's bench book into {out}/
  open [ARGS]   show a copy of the demo in the workbench; ARGS go to casewright open, such as --no-browser
  test [ARGS]   check the code, then run the tests; ARGS go to pytest, such as -k seams
  check         check the code only: style, types, layers
  docs          write the pages of docs/reference/ anew, from the code
  bench [ARGS]  measure cutting layouts and speed; ARGS go to bench/run.py
  soak [ARGS]   try to break the program for some time; ARGS go to soak/run.py, such as cabinets --minutes 60

The first run makes .venv and installs what requirements/ lists (network needed); later runs start at once.""".format(
    out=DEMO_OUT
)

SIZES = {"core": "about 0.6 GB", "dev": "about 1.3 GB", "soak": "about 0.2 GB"}

AHEAD = """
import pytest
pytest.main(["--collect-only", "-q", "-n0", "-p", "no:cacheprovider"])
from casewright.planning.cutting.filling import ready_engine
ready_engine()
"""
"""Beside the checks of a first run, which keep one processor busy: what all processes of the tests need translated.

It is kept on the disk. Else each of them translates the tests for itself, and one the search for cutting layouts.
"""

NO_NETWORK = (
    "Failed to establish a new connection",
    "NewConnectionError",
    "Name or service not known",
    "Temporary failure in name resolution",
    "getaddrinfo failed",
    "nodename nor servname",
    "Network is unreachable",
    "Connection refused",
    "ConnectTimeout",
    "Read timed out",
    "Max retries exceeded",
)


class SetUpError(Exception):
    """Set-up cannot go on; the text is one line that says what to do."""


# ---- what can be in the way ------------------------------------------------------------------------------------


def python_trouble(version):
    # type: (tuple[int, ...]) -> str
    """Return what to do about a Python that is too old, or ""."""
    if tuple(version[:2]) >= OLDEST:
        return ""
    return (
        "casewright needs Python {}.{} or newer and this is {}.{}. "
        "Install a newer one and run it by its name, such as: python3.12 dev.py demo"
    ).format(*(OLDEST + tuple(version[:2])))


def venv_trouble(missing, system):
    # type: (list[str], str) -> str
    """Return what to do about parts missing from Python's library, or "".

    Args:
        missing: Those of `venv` and `ensurepip` that cannot be imported.
        system: As `platform.system()` says it.
    """
    if not missing:
        return ""
    remedy = {
        "Linux": "On Debian or Ubuntu: sudo apt install python3-venv",
        "Darwin": "Install Python from an installer that holds its whole library.",
    }.get(system, "Run Python's installer again with pip included.")
    return "This Python lacks {}, needed to make .venv. {}".format(" and ".join(missing), remedy)


def install_trouble(log, system, machine):
    # type: (str, str, str) -> str
    """Return what to do about a failed installation, from what pip printed."""
    if any(sign in log for sign in NO_NETWORK):
        return (
            "The package index cannot be reached. Connect to the network (or set pip up for your proxy) "
            "and run the same command again."
        )
    if system == "Windows" and machine == "ARM64":
        return "Some packages have no build for Windows on ARM. Install the x64 Python and run it instead."
    if "No space left" in log or "Errno 28" in log:
        return "The disk is full. About 1.4 GB is needed for everything, 0.6 GB for the demo alone."
    errors = [line.strip() for line in log.splitlines() if line.lower().startswith("error")]
    return "pip could not install the packages: {}".format(errors[0] if errors else "see the log.")


# ---- the .venv -------------------------------------------------------------------------------------------------


class Venv:
    """The project's own Python, with a stamp that tells which pins it holds."""

    def __init__(self, root, windows=os.name == "nt", name=".venv"):
        # type: (Path, bool, str) -> None
        self.root = root
        self.folder = root / name
        self.python = self.folder / ("Scripts/python.exe" if windows else "bin/python")
        self.stamp = self.folder / "casewright-pins.txt"
        self.log = self.folder / "casewright-set-up.log"

    def pins_hash(self, pins):
        # type: (str) -> str
        """Return what the stamp must say for a set of pins: a hash of all that the installation depends on."""
        digest = hashlib.sha256()
        for name in ("requirements/" + pins + ".txt", "pyproject.toml"):
            # Line ends may differ from one checkout to the next.
            digest.update((self.root / name).read_bytes().replace(b"\r\n", b"\n"))
        digest.update(
            str(self.root).encode("utf-8")
        )  # a moved folder needs its package linked again
        return digest.hexdigest()

    def holds(self, pins):
        # type: (str) -> bool
        """Tell whether the pins are installed as they are now. The set `dev` holds all of `core`."""
        if not self.python.exists() or not self.stamp.exists():
            return False
        stamped = self.stamp.read_text(encoding="utf-8").split()
        enough = ("core", "dev") if pins == "core" else (pins,)
        return any(name + "=" + self.pins_hash(name) in stamped for name in enough)

    def usable(self):
        # type: () -> bool
        """Tell whether its Python runs, is new enough and has pip."""
        if not self.python.exists():
            return False
        ask = "import sys, pip; sys.exit(sys.version_info[:2] < {!r})".format(OLDEST)
        try:
            return subprocess.call([str(self.python), "-c", ask], stderr=subprocess.DEVNULL) == 0
        except OSError:
            return False

    def make(self):
        # type: () -> None
        """Make it, in place of one that does not run.

        Raises:
            SetUpError: Python's library is not whole, or the folder cannot be written.
        """
        missing = [n for n in ("venv", "ensurepip") if importlib.util.find_spec(n) is None]
        trouble = venv_trouble(missing, platform.system())
        if trouble:
            raise SetUpError(trouble)
        say("Making {} ...".format(self.folder.name))
        done = subprocess.run(
            [sys.executable, "-m", "venv", "--clear", str(self.folder)],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
        )
        if done.returncode != 0:
            printed = done.stdout.decode("utf-8", "replace").strip().splitlines()
            raise SetUpError(
                "Python could not make {}: {}".format(
                    self.folder, printed[-1] if printed else "no reason given"
                )
            )

    def install(self, pins):
        # type: (str) -> None
        """Install a set of pins and the package itself, then stamp it.

        Raises:
            SetUpError: pip failed.
        """
        if self.stamp.exists():
            self.stamp.unlink()
        say(
            "Installing the pinned packages into {} ({}, once) ...".format(
                self.folder.name, SIZES[pins]
            )
        )
        self.log.write_bytes(b"")
        self.pip(
            "--only-binary", ":all:", "--require-hashes", "-r", "requirements/" + pins + ".txt"
        )
        if pins != "soak":  # those tools look at the program from outside
            self.pip("--no-deps", "--no-build-isolation", "-e", ".")
        self.stamp.write_text(pins + "=" + self.pins_hash(pins) + "\n", encoding="utf-8")

    def pip(self, *arguments):
        # type: (str) -> None
        """Run `pip install`, with what it prints added to the log.

        Raises:
            SetUpError: pip failed.
        """
        command = [str(self.python), "-m", "pip", "install", "--no-input", "--retries", "2"]
        command += ["--disable-pip-version-check", "--progress-bar", "off", *arguments]
        with self.log.open("ab") as log:
            code = subprocess.call(command, cwd=str(self.root), stdout=log, stderr=log)
        if code != 0:
            printed = self.log.read_text(encoding="utf-8", errors="replace")
            trouble = install_trouble(printed, platform.system(), platform.machine())
            raise SetUpError("{} (log: {})".format(trouble, self.log))

    def ready(self, pins):
        # type: (str) -> None
        """Bring it up to the pins, if it is not.

        Raises:
            SetUpError: With the remedy.
        """
        if self.holds(pins):
            return
        if not self.usable():
            self.make()
        self.install(pins)

    def run(self, *arguments):
        # type: (str) -> int
        """Run its Python in the project's folder and return the exit code."""
        sys.stdout.flush()
        command = [str(self.python), *arguments]
        return subprocess.call(command, cwd=str(self.root), env=self.environment())

    def start(self, *arguments):
        # type: (str) -> subprocess.Popen[bytes]
        """Run its Python in silence, beside whatever comes next."""
        silent = subprocess.DEVNULL
        command = [str(self.python), *arguments]
        return subprocess.Popen(
            command,
            cwd=str(self.root),
            env=self.environment(),
            stdin=silent,
            stdout=silent,
            stderr=silent,
        )

    def environment(self):
        # type: () -> dict[str, str]
        """Return what its processes know of the computer."""
        known = dict(os.environ, PYTHONUTF8="1")
        # Compiled code is kept: hundreds of processes start in one run of the tests, and each would compile it anew.
        known.pop("PYTHONDONTWRITEBYTECODE", None)
        return known


def say(text):
    # type: (str) -> None
    """Print a line at once."""
    print(text, flush=True)


# ---- the commands ----------------------------------------------------------------------------------------------


def demo(venv):
    # type: (Venv) -> int
    """Build the demo cabinet. The exit code is the builder's: 1 when findings say stop."""
    venv.ready("core")
    book = venv.root / DEMO_OUT / "bench-book.pdf"
    before = book.stat().st_mtime_ns if book.exists() else None
    say("Building {} into {}/ ...".format(DEMO, DEMO_OUT))
    code = venv.run("-m", "casewright", "build", DEMO, "--out", DEMO_OUT)
    if book.exists() and book.stat().st_mtime_ns != before:
        say("Bench book: {}".format(book))
    return code


def open_demo(venv, arguments):
    # type: (Venv, list[str]) -> int
    """Show the workbench on a copy of the demo, so that edits leave the example as it is."""
    venv.ready("core")
    copy = venv.root / DEMO_COPY
    if not copy.exists():
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes((venv.root / DEMO).read_bytes())
    say("Opening {} ...".format(DEMO_COPY))
    return venv.run("-m", "casewright", "open", DEMO_COPY, *arguments)


def check(venv):
    # type: (Venv) -> int
    """Check style, types and layers; every check runs, whatever the others say."""
    venv.ready("dev")
    tools = (
        ("ruff check", ("-m", "ruff", "check")),
        ("ruff format --check", ("-m", "ruff", "format", "--check")),
        ("mypy", ("-m", "mypy")),
        ("lint-imports", ("-c", "from importlinter.cli import lint_imports_command as run; run()")),
    )
    failed = []
    for name, arguments in tools:
        say("\n== " + name)
        if venv.run(*arguments) != 0:
            failed.append(name)
    if failed:
        say("\nTo mend: " + ", ".join(failed))
    return 1 if failed else 0


def test(venv, arguments):
    # type: (Venv, list[str]) -> int
    """Check, then run the tests. The last line is pytest's own."""
    venv.ready("dev")
    is_first = not (venv.root / ".pytest_cache").exists()
    ahead = [venv.start("-c", AHEAD)] if is_first else []
    checked = check(venv)
    for running in ahead:
        running.wait()
    say("\n== pytest")
    # Three on two cores: in a browser, and at servers that start, tests wait much.
    tested = venv.run("-m", "pytest", "-n", "3", "--dist", "worksteal", *arguments)
    return tested or checked


def bench(venv, arguments):
    # type: (Venv, list[str]) -> int
    """Measure; see bench/run.py."""
    venv.ready("dev")
    return venv.run("bench/run.py", *arguments)


def docs(venv):
    # type: (Venv) -> int
    """Write the reference pages from the code."""
    venv.ready("dev")
    return venv.run("docs/make_reference.py")


def soak(venv, arguments):
    # type: (Venv, list[str]) -> int
    """Try to break the program; see soak/run.py. Its tools have an environment of their own."""
    venv.ready("dev")
    if not {"-h", "--help"} & set(arguments):
        Venv(venv.root, name=".venv-soak").ready("soak")
    return venv.run("soak/run.py", *arguments)


def main(arguments, version=sys.version_info[:2]):
    # type: (list[str], tuple[int, ...]) -> int
    """Run one command and return the exit code: the tool's own, or 2 when it cannot start."""
    trouble = python_trouble(version)
    if trouble:
        print(trouble, file=sys.stderr)
        return 2
    command, rest = (arguments[0], arguments[1:]) if arguments else ("", [])
    if command in ("-h", "--help"):
        print(USAGE)
        return 0
    takes_more = command in ("open", "test", "bench", "soak")
    if not (takes_more or (command in ("demo", "check", "docs") and not rest)):
        print(USAGE, file=sys.stderr)
        return 2
    venv = Venv(ROOT)
    try:
        if command == "demo":
            return demo(venv)
        if command == "open":
            return open_demo(venv, rest)
        if command == "check":
            return check(venv)
        if command == "docs":
            return docs(venv)
        if command == "test":
            return test(venv, rest)
        return bench(venv, rest) if command == "bench" else soak(venv, rest)
    except SetUpError as error:
        print(error, file=sys.stderr)
        return 2
    except OSError as error:  # a folder that cannot be written, a program that is not there
        print("{}: {}".format(error.filename or "dev.py", error.strerror), file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
