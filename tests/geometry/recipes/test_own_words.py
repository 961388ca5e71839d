"""What a project says of a recipe's panel counts, also where a panel that nothing is said of would be the same."""

from __future__ import annotations

import pytest

from casewright.workflow import open_text, work_out

LAP = """\
casewright: 1
name: Wedge
materials: {{ply: {{kind: plywood, nominal: 12}}}}
shape: {{recipe: lap, width: 400, depth: 200, front_height: 60, side: {{material: ply}}, board: ply}}
panels: {{back: {{label: rear{more}}}}}
"""


@pytest.mark.parametrize("order", [("", ", fixing: glued"), (", fixing: glued", "")])
def test_glue_said_and_not_said_are_told_apart_one_after_the_other(order):
    """A panel of nobody's recipe is glued, the wedge's back screwed (so its words say); both files are read in turn."""
    fixings = {}
    for more in order:
        cabinet = work_out(open_text(LAP.format(more=more))).cabinet
        fixings[more] = next(p.fixing for p in cabinet.pieces if p.key == "back")
    assert fixings == {"": "screwed", ", fixing: glued": "glued"}
