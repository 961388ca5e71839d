"""Projects for the tests of sessions."""

from __future__ import annotations

from pathlib import Path

DEMO = Path(__file__).parents[2] / "examples" / "library-duel.cabinet.yaml"

SMALL = """\
# A small box with one button.
casewright: 1
name: Small box   # the name
unit: mm
materials:
  ply:
    kind: plywood
    nominal: 12
    measured: 11.8   # by calipers
    sheets: [{length: 1220, width: 610}]
shape:
  recipe: outline
  width: 300   # over both sides
  side: {material: ply}
  board: ply
  corners: {A: [0, 0], B: [200, 0], C: [200, 150], D: [0, 150]}
panels:
  base: {run: A-B, role: floor}
  back: {run: B-C, role: back}
  top: {run: C-D, role: top}
  front: {run: D-A, role: front}
seams:
  - {between: [top, front], rule: cover, over: top}
parts:
  button:
    type: button-28-long-lit
    measured: {hole: 28.6, bezel: 33.3}
    placed:
      - {key: go, on: front, u: 100, v: 60}   # for the thumb
"""

V = ("parts", "button", "placed", 0, "v")
U = ("parts", "button", "placed", 0, "u")


def small_in(folder: Path, text: str = SMALL) -> Path:
    """The small project as a file. Bytes, so that line ends stay as they are."""
    path = folder / "small.cabinet.yaml"
    path.write_bytes(text.encode("utf-8"))
    return path
