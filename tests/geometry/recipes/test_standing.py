"""What the standing recipe says of its panels beyond their outline."""

from __future__ import annotations

import pytest

from casewright.workflow import open_text, work_out


@pytest.mark.parametrize(("grain", "up", "long"), [("none", "none", "none"), ("length", "v", "u")])
def test_a_grain_is_asked_for_only_where_the_board_has_one(grain, up, long):
    """Riser and back stand with the grain up, a sign's boards have it along: of MDF, however they go on the sheet."""
    text = f"""\
casewright: 1
name: Post
materials:
  board: {{kind: mdf, nominal: 12, measured: 12, grain: {grain}}}
shape: {{recipe: standing, side: {{material: board}}, board: board, header: true, screen_length: 300, width: 600}}
parts:
  button: {{type: button-24-screw, placed: [{{key: b, on: deck, player: 1}}]}}
  sign:
    kind: sign
    measured: {{opening_width: 400, opening_height: 60, board_distance: 60}}
    placed: [{{key: marquee, on: header}}]
"""
    pieces = work_out(open_text(text)).cabinet.piece_by_key
    assert {pieces[key].grain for key in ("riser", "back")} == {up}
    assert {pieces[key].grain for key in ("marquee.frame", "marquee.light-board", "base")} == {long}
    asked = work_out(open_text(f"{text}panels: {{riser: {{grain: up}}}}\n")).cabinet.piece_by_key
    assert asked["riser"].grain == "v"
