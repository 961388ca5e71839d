"""A server with something at each of its addresses: a project, its papers, a stock. Run by `soak.described`.

python3 -m soak.shown PORT FOLDER    prints a line of JSON, the values that its addresses know, and then serves
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from tests.session.projects import small_in
from tests.stock.pieces import board

from casewright.faces.web.app import serve
from casewright.faces.web.desk import key_of
from casewright.faces.web.sending import keep
from casewright.session.stocking import open_stock
from casewright.workflow import make_papers, open_project, paper_named, work_out


def main(port: int, folder: Path) -> None:
    """Make everything, tell it, serve it. Everything lies in the folder, the stock too (CASEWRIGHT_DATA)."""
    path = small_in(folder)
    worked = work_out(open_project(path))
    papers = make_papers(worked, paper=paper_named("A4"), step=False, start="2027-03-05")
    held = open_stock().add(board("C1"))
    known = {
        "key": [key_of(path)],
        "name": [keep(papers)],
        "file": ["all.zip", *sorted(papers)],
        "mark": [held.mark],
        "project": ["small-box"],
        "piece": ["front"],
        "step": ["panel.front"],
        "view": ["steps", "panels", "findings"],
        "reading": ["findings", "shopping", "service"],
        "path": ["workbench.css", "DejaVuSansCondensed.ttf"],
    }
    print(json.dumps(known), flush=True)
    serve(path, port=port, open_browser=False)


if __name__ == "__main__":
    main(int(sys.argv[1]), Path(sys.argv[2]))
