"""How much material must be left between holes, and to the edges of a piece."""

from __future__ import annotations

from casewright.design.project import Project
from casewright.geometry.model import Piece

WEB_LEAST = {
    "plywood": 8.0,
    "solid wood": 8.0,
    "mdf": 10.0,
    "acrylic": 6.0,
    "polycarbonate": 6.0,
    "metal": 2.0,
    "print": 0.0,
}
"""Least material between two holes that go through, and to an edge. Source: common practice. [mm]"""

WALL_LEAST = 3.0
"""Least wall of a pocket or counterbore, and between a screw and a hole. Source: common practice. [mm]"""


def web_least(project: Project, piece: Piece) -> float:
    """Return the least web of a piece's material; the project's own limit goes before. [mm]"""
    if project.limits.web is not None:
        return project.limits.web
    material = project.materials.get(piece.material)
    return WEB_LEAST[material.kind] if material is not None else WALL_LEAST


__all__ = ["WALL_LEAST", "WEB_LEAST", "web_least"]
