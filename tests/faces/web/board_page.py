"""A page with nothing but the board, for tests in a browser: python board_page.py PORT.

It shows /?project=FILE&scene=SCENE; a scene is a panel's key or "side". What the board says stands in the element
`said`; moves are kept as edits of the project, and the board is shown what comes of them, as a view does it.
"""

import json
import sys
from pathlib import Path
from typing import Any

from nicegui import app, ui

from casewright.faces.web.components.board import Board, CornerMove, Moves
from casewright.faces.web.components.board_scenes import panel_scene
from casewright.faces.web.components.board_side import side_scene
from casewright.session import Session
from casewright.session.arranging import placed_at


def main(port: int) -> None:
    @ui.page("/")
    def page(project: str, scene: str) -> None:
        session = Session.open(Path(project))
        with ui.element("div").style("position: fixed; inset: 0"):
            board = Board()
        said = ui.label().props("id=said").style("display: none")

        def show() -> None:
            worked = session.worked
            assert worked is not None
            style = worked.opened.style
            board.unit = style.unit
            cabinet = worked.cabinet
            board.show(
                side_scene(cabinet, style)
                if scene == "side"
                else panel_scene(cabinet, scene, style)
            )
            board.show_findings(worked.findings, cabinet, style)

        def say(what: str, value: Any) -> None:
            said.set_text(json.dumps([what, value]))

        def moved(moves: Moves) -> None:
            assert session.worked is not None
            session.edit(placed_at(session.worked, moves.places), "move")  # type: ignore[arg-type]
            show()
            say("moved", {"places": moves.places, "by": moves.by})

        def corner(move: CornerMove) -> None:
            for axis, value in move.at.items():
                place = ("shape", "corners", move.key, "yz".index(axis))
                session.edit({place: round(value, 4)}, "corner")
            show()
            say("corner_moved", {"key": move.key, "at": dict(move.at), "by": move.by})

        board.moved.subscribe(moved)
        board.corner_moved.subscribe(corner)
        board.selected.subscribe(lambda keys: say("select", keys))
        board.remove_asked.subscribe(lambda keys: say("remove", keys))
        board.seam_picked.subscribe(lambda seam: say("seam_picked", [seam.corner, *seam.panels]))
        board.finding_asked.subscribe(lambda number: say("finding", number))
        show()
        ui.on("theme", lambda event: board.set_options(theme=event.args))
        ui.add_body_html(f"<script>window.boardId = {board.id}</script>")

    app.on_startup(lambda: print("ready", flush=True))
    # As in the workbench: no packing, no styles that nothing uses; and a busy computer is slow, not gone.
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
    main(int(sys.argv[1]))
