"""Who plays at which controls, and so who looks from where along the front."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from casewright.catalog.kinds import Dial, Lever, PushButton, Trackball
from casewright.geometry.model import Cabinet, Placed
from casewright.geometry.viewers import Viewer, usual_adult, viewers

CONTROLS = (Dial, Lever, PushButton, Trackball)
"""Kinds of part that hands work."""


def everybody_at(cabinet: Cabinet) -> tuple[Viewer, ...]:
    """Everybody the project names, each who plays before the own controls unless `aside` says where.

    Where nobody is named and several sets of controls stand side by side, a usual adult stands at each. Where those
    who play are more or fewer than the sets of controls, they take turns: whoever is not said to be aside looks from
    the cabinet's middle.

    Source:
        Plain geometry: an eye is over the middle between its outermost controls.
    """
    by_player = controls_by_player(cabinet)
    project, width = cabinet.project, cabinet.shape.width
    if not project.people and len(by_player) > 1:
        stand_ins = tuple(usual_adult(project, f"player {number}") for number in by_player)
        project = project.model_copy(update={"people": stand_ins})
    everybody = viewers(project, cabinet.parts, width=width)
    return tuple(_before(viewer, by_player) for viewer in _matched(everybody, by_player))


def controls_by_player(cabinet: Cabinet) -> Mapping[int, tuple[Placed, ...]]:
    """Controls of each player who has some, by number."""
    found: dict[int, list[Placed]] = {}
    for placed in cabinet.placed:
        if isinstance(placed.part.data, CONTROLS) and placed.wish.player is not None:
            found.setdefault(placed.wish.player, []).append(placed)
    return {number: tuple(found[number]) for number in sorted(found)}


def person_at(everybody: Sequence[Viewer]) -> Mapping[int, Viewer]:
    """Who plays by which number; empty where there are not as many people as sets of controls."""
    return {viewer.player: viewer for viewer in everybody if viewer.player is not None}


def middle_x(controls: Sequence[Placed]) -> float:
    """The middle between the outermost controls, x in the cabinet frame. [mm]"""
    xs = [placed.frame.origin[0] for placed in controls]
    return (min(xs) + max(xs)) / 2


def _matched(
    everybody: Sequence[Viewer], by_player: Mapping[int, Sequence[Placed]]
) -> Sequence[Viewer]:
    """With their players' numbers: from left to right both, if there are as many of each."""
    people = sorted((v for v in everybody if v.plays), key=lambda v: v.eye[0])
    numbers = sorted(by_player, key=lambda n: middle_x(by_player[n]))
    if len(people) != len(numbers):
        return everybody
    whose = {id(viewer): number for viewer, number in zip(people, numbers, strict=True)}
    return [replace(v, player=whose.get(id(v))) for v in everybody]


def _before(viewer: Viewer, by_player: Mapping[int, Sequence[Placed]]) -> Viewer:
    if viewer.player is None or viewer.person.aside is not None:
        return viewer
    return replace(viewer, eye=(middle_x(by_player[viewer.player]), *viewer.eye[1:]))


__all__ = ["CONTROLS", "controls_by_player", "everybody_at", "middle_x", "person_at"]
