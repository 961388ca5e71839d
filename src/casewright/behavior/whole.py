"""How the cabinet behaves once it stands there: every topic, worked out together.

A topic is one module of this folder. It takes the cabinet and gives a frozen result with its figures and `numbers`, the
reckonings that say why. A rule of `checks` judges it, a sheet of `outputs.topics` shows it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from casewright.basics.reckoning import Reckoning
from casewright.behavior.balance import Balance
from casewright.behavior.content import Showing, showing_of
from casewright.behavior.hanging import Hanging, hangings_of
from casewright.behavior.heat import Heat, heat_of
from casewright.behavior.lifting import Lifting, lifting_of
from casewright.behavior.light import Light, light_of
from casewright.behavior.painting import Painting, painting_of
from casewright.behavior.playing import Playing, playing_of
from casewright.behavior.power import Power, power_of
from casewright.behavior.routes import routes_of
from casewright.behavior.sight import Sight, sight_of
from casewright.behavior.sound import Sound, sound_of
from casewright.behavior.standing import Standing, standing_of
from casewright.behavior.stiffness import Stiffness, stiffness_of
from casewright.behavior.tolerance import Tolerance, tolerance_of
from casewright.behavior.wiring import Wiring, wiring_of
from casewright.catalog.load import Catalog
from casewright.geometry.model import Cabinet


class Topic(Protocol):
    """The result of one topic."""

    @property
    def numbers(self) -> tuple[Reckoning, ...]:
        """Its figures with their reasons."""
        ...


@dataclass(frozen=True)
class Behavior:
    """All topics of one cabinet."""

    balance: Balance
    standing: Standing
    lifting: Lifting
    hangings: tuple[Hanging, ...]
    content: Showing
    sight: Sight
    painting: Painting
    tolerance: Tolerance
    playing: Playing
    heat: Heat
    stiffness: Stiffness
    light: Light
    sound: Sound
    power: Power
    wiring: Wiring

    @property
    def topics(self) -> tuple[Topic, ...]:
        """Every topic that has numbers of its own."""
        return (
            self.standing,
            self.lifting,
            self.content,
            self.sight,
            self.painting,
            self.tolerance,
            self.playing,
            self.heat,
            self.stiffness,
            self.light,
            self.sound,
            self.power,
            self.wiring,
        )

    @cached_property
    def numbers(self) -> Mapping[str, Reckoning]:
        """All reckonings by key, the mass first."""
        own = (self.balance.number, *self.balance.centre_numbers)
        own += tuple(hanging.number for hanging in self.hangings)
        found = [*own, *(n for topic in self.topics for n in topic.numbers)]
        return {number.key: number for number in found}


def behavior_of(cabinet: Cabinet, balance: Balance, catalog: Catalog) -> Behavior:
    """Work out every topic."""
    routes = routes_of(cabinet)
    heat = heat_of(cabinet, catalog)
    light, power = light_of(cabinet, routes), power_of(cabinet)
    return Behavior(
        balance=balance,
        standing=standing_of(cabinet, balance),
        lifting=lifting_of(cabinet, balance),
        hangings=hangings_of(cabinet, balance),
        content=showing_of(cabinet, catalog),
        sight=sight_of(cabinet),
        painting=painting_of(cabinet),
        tolerance=tolerance_of(cabinet),
        playing=playing_of(cabinet),
        heat=heat,
        stiffness=stiffness_of(cabinet, balance, catalog),
        light=light,
        sound=sound_of(cabinet, balance, heat.inside),
        power=power,
        wiring=wiring_of(cabinet, routes, power.loads, light),
    )


__all__ = ["Behavior", "Topic", "behavior_of"]
