"""The local server: pages, files and limits; `serve` is what `casewright open` calls."""

from __future__ import annotations

import errno
import logging
import os
import socket
import sys
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path
from typing import Any

from casewright import __version__
from casewright.assets import font_folder
from casewright.basics.errors import InputError, OutputError
from casewright.faces.web.described import DeskKey, Word, add_description, page_told
from casewright.faces.web.desk import Desk
from casewright.faces.web.on_network import (
    EVERYWHERE,
    bench_address,
    bench_start,
    invitation,
    wished_port,
)
from casewright.faces.web.security import (
    LARGEST_MESSAGE,
    Gate,
    Guard,
    allowed_hosts,
    is_loopback,
    plain_record,
)
from casewright.session import RecentFiles

TITLE = "casewright"
THEME = "/theme"
FONTS = "/fonts"
SCRIPTS = ("theme", "keys", "focus")
"""What runs in every page."""
AWAY = 30.0
"""For how long a page may keep silent before it has to load itself anew: on a busy computer that takes long. [s]"""


def serve(
    path: Path | None = None,
    *,
    host: str | None = None,
    lan: bool = False,
    port: int = 0,
    open_browser: bool = True,
    catalogs: Sequence[Path] = (),
) -> None:
    """Show the workbench until it is stopped.

    Args:
        path: Project file to open; the start page is shown without one.
        host: Address to listen on; this computer only if not given. One that others can reach asks them for a one-time
            code.
        lan: Listen on the local network too, for phones at the bench, and tell their address. Browsers on this computer
            are not asked for a code.
        port: 0 takes a free one; on the network the usual one, if that is free.
        open_browser: Open the page in the browser.
        catalogs: The maker's own catalog files.

    Raises:
        InputErrors: The file cannot be read as text.
        OutputError: The port is taken.
    """
    from nicegui import app, ui

    desk = Desk(path.parent if path else Path.cwd(), recent=RecentFiles(), catalogs=catalogs)
    key = desk.open(path) if path else ""
    session = desk.find(key) if key else None
    project = session.opened.project if session and session.opened else None
    if host is None:
        host = EVERYWHERE if lan else "127.0.0.1"
    if lan and is_loopback(host):
        raise InputError(
            "--host", got=host, want="with --lan, an address that phones reach", example=EVERYWHERE
        )
    port = _network_port(host, wished_port(project)) if lan and not port else free_port(host, port)
    hosts = allowed_hosts(host, port)
    gate = None if is_loopback(host) else Gate(_announce)
    if lan:
        desk.bench_address = bench_address(project, host=host, port=port, hosts=hosts)
        invited = invitation(
            bench_start(desk.bench_address, project),
            encoding=sys.stderr.encoding or "ascii",
            colors=sys.stderr.isatty(),
        )
        app.on_startup(lambda: _say(invited))
    register(desk)
    app.add_middleware(Guard, hosts=hosts, gate=gate, asks_own=not lan)
    # Packing takes longer than the way within this computer.
    packed: dict[str, Any] = {} if gate else {"gzip_middleware_factory": None}
    app.on_shutdown(desk.close)
    shown = "127.0.0.1" if lan and host == EVERYWHERE else _shown_host(host)
    address = f"http://{shown}:{port}/" + (f"desk/{key}" if key else "")
    app.on_startup(lambda: _say(f"Workbench: {address}\nCtrl+C ends it; unsaved changes are kept."))
    ui.run(
        host=host,
        port=port,
        title=TITLE,
        favicon=_asset("mark.svg"),
        dark=False,
        reload=False,
        show=f"/desk/{key}" if open_browser and key else open_browser,
        show_welcome_message=False,
        endpoint_documentation="page",  # pages are described too, at an address of our own
        tailwind=False,
        language="en-US",
        reconnect_timeout=AWAY,
        ws_max_size=LARGEST_MESSAGE,
        server_header=False,
        uvicorn_logging_level="error",
        **packed,
    )


def register(desk: Desk) -> None:
    """Put the pages and files of the workbench on NiceGUI's server."""
    from nicegui import app, ui

    from casewright.faces.web.nothing import add_pages_for_nothing
    from casewright.faces.web.page import bench_page
    from casewright.faces.web.phone.page import add_phone_pages
    from casewright.faces.web.sending import add_downloads
    from casewright.faces.web.start import start_page
    from casewright.faces.web.stock_pages import add_stock_pages

    logging.getLogger("nicegui").addFilter(plain_record)
    app.add_static_files(FONTS, font_folder())
    app.add_static_files(THEME, Path(str(files("casewright.faces.web").joinpath("theme"))))
    add_downloads(desk)
    add_stock_pages(desk, head)
    add_description(app)
    add_pages_for_nothing(app)

    @ui.page("/", title=TITLE, **page_told("Where a project is begun or opened", names=False))
    def start() -> None:
        head()
        start_page(desk)

    @ui.page("/desk/{key}", title=TITLE, **page_told("The workbench, in one of its views"))
    async def bench(key: DeskKey, view: Word = "") -> None:
        head()
        session = desk.find(key)
        if session is None:
            start_page(desk, words="That project is not open any more. Open it from the list.")
            return
        bench_page(desk, session, key, view)

    add_phone_pages(desk, head)


def head() -> None:
    """What every page's head holds."""
    from nicegui import ui

    scripts = "".join(
        f'<script src="{THEME}/{name}.js?{__version__}"></script>' for name in SCRIPTS
    )
    sheet = f'<link rel="stylesheet" href="{THEME}/workbench.css?{__version__}">'
    ui.add_head_html(scripts + sheet)


def free_port(host: str, port: int) -> int:
    """The port wished for, or a free one for 0.

    Raises:
        OutputError: It is taken, or the address is not this computer's.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        if os.name != "nt":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except socket.gaierror:
            raise InputError(
                "--host", got=host, want="an address of this computer", example="127.0.0.1"
            ) from None
        except (OSError, OverflowError) as error:
            if getattr(error, "errno", 0) == errno.EADDRNOTAVAIL:
                raise InputError(
                    "--host", got=host, want="an address of this computer", example="127.0.0.1"
                ) from None
            raise OutputError(
                f"{host}:{port}",
                why="that port cannot be used",
                remedy="Choose another --port, or leave it out.",
            ) from None
        return int(probe.getsockname()[1])


def _network_port(host: str, wished: int) -> int:
    """The port wished for; where it is taken a free one, which is told."""
    try:
        return free_port(host, wished)
    except OutputError:
        port = free_port(host, 0)
        _say(
            f"Port {wished} is taken: this time it is {port}. Codes on printed pages lead to {wished}."
        )
        return port


def _asset(name: str) -> Path:
    return Path(str(files("casewright.faces.web").joinpath("theme", name)))


def _shown_host(host: str) -> str:
    if host in ("0.0.0.0", "::"):
        return socket.gethostname()
    return f"[{host}]" if ":" in host else host


def _announce(code: str) -> None:
    _say(f"Code for the next browser: {code[:4]} {code[4:]}")


def _say(text: str) -> None:
    print(text, file=sys.stderr, flush=True)


__all__ = ["free_port", "head", "register", "serve"]
