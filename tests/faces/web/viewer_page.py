"""A page with nothing but the viewer, for tests in a browser: python viewer_page.py PROJECT PORT.

What the viewer says stands in the element `said`; the page's own event `act` does to the viewer what a view would.
"""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from nicegui import app, ui

from casewright.faces.web.components.viewer import Options, Viewer, finding_markers
from casewright.workflow import open_project, open_text, work_out

AT_FIRST: Options = {
    "theme": "light",
    "apart": 0.0,
    "section": None,
    "see_through": False,
    "bodies": True,
    "rooms": False,
    "edges": True,
    "hidden": [],
    "only": None,
    "work": "",
    "marked": [],
    "dots": True,
    "mode": "turn",
}
"""How a viewer is that was told nothing."""


def main(project: Path, port: int) -> None:
    worked = work_out(open_project(project))
    text = project.read_text(encoding="utf-8")

    @ui.page("/")
    def page() -> None:
        with ui.element("div").style("position: fixed; inset: 0"):
            viewer = Viewer(style=worked.opened.style, label="Test cabinet")
        said = ui.label().props("id=said").style("position: fixed; bottom: 0; font-size: 10px")
        viewer.picked.subscribe(lambda picked: said.set_text(f"picked {picked.key} {picked.point}"))
        viewer.measured.subscribe(lambda tape: said.set_text(f"measured {tape.distance:.4f}"))
        viewer.marker_pressed.subscribe(lambda number: said.set_text(f"marker {number}"))
        viewer.show(worked.cabinet)
        marks = finding_markers(worked.findings, worked.opened.write_length)

        def edit(old: str, new: str, followed: bool = False) -> None:
            assert old in text
            made = work_out(open_text(text.replace(old, new)))
            viewer.show(made.cabinet, followed=followed)

        def as_at_first() -> None:
            viewer.show(worked.cabinet)
            viewer.show_markers([])
            viewer.set_options(**AT_FIRST)
            viewer.look("cover")

        acts: dict[str, Callable[..., Any]] = {
            "edit": edit,
            "options": lambda options: viewer.set_options(**options),
            "look": viewer.look,
            "fit": viewer.fit,
            "markers": lambda: viewer.show_markers(marks),
            "as at first": as_at_first,
        }

        def act(number: int, name: str, *arguments: Any) -> None:
            acts[name](*arguments)
            ui.run_javascript(f"window.done = {number}")  # comes after what the act has sent

        ui.on("act", lambda event: act(*event.args))
        ui.add_body_html(f"<script>window.viewerId = {viewer.id}</script>")

    app.on_startup(lambda: print("ready", flush=True))
    # As in the workbench: no packing, no styles that nothing uses. And a browser that draws without a graphics card
    # keeps the page waiting for long: no reason to let go of it.
    ui.run(
        host="127.0.0.1",
        port=port,
        reload=False,
        show=False,
        show_welcome_message=False,
        tailwind=False,
        reconnect_timeout=120,
        gzip_middleware_factory=None,
    )


if __name__ in {"__main__", "__mp_main__"}:
    main(Path(sys.argv[1]), int(sys.argv[2]))
