"""Where phones on the local network find the server, and how the terminal tells it."""

from __future__ import annotations

import io
from typing import Final
from urllib.parse import urlsplit

import segno

from casewright.basics.errors import OutputError
from casewright.design.project import Project
from casewright.faces.web.security import lan_address
from casewright.outputs.bench_links import BENCH, project_slug

PORT: Final = 8080
"""Where nothing else is said: always the same, so that codes on printed pages stay good."""
EVERYWHERE: Final = "0.0.0.0"


def wished_port(project: Project | None) -> int:
    """The port that codes on this project's pages name already, else the usual one."""
    address = project.shop.bench_address if project else None
    return (urlsplit(address).port or 80) if address else PORT


def bench_address(project: Project | None, *, host: str, port: int, hosts: frozenset[str]) -> str:
    """The address for phones: the project's own where this server answers to it, else that of the network.

    Raises:
        OutputError: This computer is on no network.
    """
    own = project.shop.bench_address if project else None
    if own and urlsplit(own).netloc in hosts and (urlsplit(own).port or 80) == port:
        return own
    name = lan_address() if host in (EVERYWHERE, "::") else host
    if not name:
        raise OutputError(
            "the local network",
            why="this computer is on no network",
            remedy="Join the network that the phones are in, then open it again.",
        )
    name = f"[{name}]" if ":" in name else name
    return f"http://{name}" + (f":{port}" if port != 80 else "")


def bench_start(address: str, project: Project | None) -> str:
    """What a phone opens first."""
    return f"{address}{BENCH}/{project_slug(project.name)}" if project else address


def invitation(start: str, *, encoding: str, colors: bool = False) -> str:
    """The address as text and as a code to point a phone at, for the terminal.

    Args:
        start: The address.
        encoding: Of the terminal; one that has no block signs gets the text only.
        colors: Whether it shows colors: the code is then white on black also where the terminal is not.
    """
    words = f"At the bench, on a phone in the same network: {start}"
    out = io.StringIO()
    segno.make(start, error="m", micro=False).terminal(out, border=2, compact=True)
    code = out.getvalue().rstrip()
    try:
        code.encode(encoding)
    except (LookupError, UnicodeEncodeError):
        return words
    if colors:
        code = "\n".join(f"\x1b[97;40m{line}\x1b[0m" for line in code.splitlines())
    return f"{words}\n{code}"


__all__ = ["EVERYWHERE", "PORT", "bench_address", "bench_start", "invitation", "wished_port"]
