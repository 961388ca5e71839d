"""The cabinet as a STEP file with exact solids, for CAD programs. Needs the optional extra `cad`.

Source:
    ISO 10303-21 (the file's form) and ISO 10303-214 (its content), as written by the geometry kernel.
"""

from __future__ import annotations

from importlib.util import find_spec

from casewright.basics.errors import OutputError
from casewright.geometry.model import Body, Cabinet, Piece
from casewright.geometry.solids import local_solid
from casewright.outputs.exports.appearance import body_appearance, piece_appearance
from casewright.outputs.exports.step_text import FILE_NAME, finished


def has_cad() -> bool:
    """Whether the extra that STEP files need is installed."""
    return find_spec("OCP") is not None


def write_step(cabinet: Cabinet) -> bytes:
    """The cabinet as an assembly of its pieces and the solid bodies of its parts, named by key and colored.

    Returns:
        The file: millimeters, z up, planes, cylinders and cones exact. Same cabinet, same bytes.

    Raises:
        OutputError: The extra `cad` is not installed.
    """
    if not has_cad():
        raise OutputError(
            FILE_NAME,
            why="exact solids need an extra that is not installed",
            remedy='Install it by: pip install "casewright[cad]"',
        )
    # Imported late, since the extra may be missing and takes half a second to load.
    from casewright.outputs.exports.step_document import step_text

    solids = [body for body in cabinet.bodies if body.kind == "solid"]
    things: list[Piece | Body] = [*cabinet.pieces, *solids]
    things = [thing for thing in things if local_solid(thing).volume > 0]
    looks = [
        piece_appearance(thing, cabinet.project)
        if isinstance(thing, Piece)
        else body_appearance(thing)
        for thing in things
    ]
    return finished(step_text(cabinet.project.name, things), looks).encode("ascii")


__all__ = ["has_cad", "write_step"]
