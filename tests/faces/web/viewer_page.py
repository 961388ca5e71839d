"""A page with nothing but the viewer, for tests in a browser: python viewer_page.py PROJECT PORT.

What the viewer says is written to the page's own log element as lines, so that a test can read it.
"""

import sys
from pathlib import Path

from nicegui import app, ui

from casewright.faces.web.components.viewer import Viewer, finding_markers
from casewright.workflow import Worked, open_project, open_text, work_out


def main(project: Path, port: int) -> None:
    worked = work_out(open_project(project))
    text = project.read_text(encoding="utf-8")

    @ui.page("/")
    def page() -> None:
        ui.query(".nicegui-content").style("padding: 0")
        with ui.element("div").style("position: fixed; inset: 0"):
            viewer = Viewer(style=worked.opened.style, label="Test cabinet")
        viewer.mark("viewer")
        said = ui.label().props("id=said").style("position: fixed; bottom: 0; font-size: 10px")
        viewer.picked.subscribe(lambda picked: said.set_text(f"picked {picked.key}"))
        viewer.measured.subscribe(lambda tape: said.set_text(f"measured {tape.distance:.3f}"))
        viewer.marker_pressed.subscribe(lambda number: said.set_text(f"marker {number}"))
        viewer.show(worked.cabinet)
        page_viewers[viewer.client.id] = viewer

        def edit(old: str, new: str) -> None:
            changed: Worked = work_out(open_text(text.replace(old, new)))
            viewer.show(changed.cabinet)

        def act(event: dict) -> None:
            name, *arguments = event
            if name == "edit":
                edit(*arguments)
            elif name == "options":
                viewer.set_options(**arguments[0])
            elif name == "look":
                viewer.look(arguments[0])
            elif name == "markers":
                viewer.show_markers(finding_markers(worked.findings, worked.opened.write_length))

        ui.on("act", lambda event: act(event.args))
        ui.add_body_html(f"<script>window.viewerId = {viewer.id}</script>")

    page_viewers: dict[str, Viewer] = {}
    app.on_startup(lambda: print("ready", flush=True))
    ui.run(host="127.0.0.1", port=port, reload=False, show=False, show_welcome_message=False)


if __name__ in {"__main__", "__mp_main__"}:
    main(Path(sys.argv[1]), int(sys.argv[2]))
