"""Laying a player's buttons out under the hand: the edits that bring them to their places."""

from __future__ import annotations

import math
from collections.abc import Sequence

from casewright.basics.errors import InputError
from casewright.behavior.hands import Style, WhichHand, layout
from casewright.behavior.playing import Cluster
from casewright.checks.hands import BETWEEN, COMFORTABLE_PITCH, hardware_radius
from casewright.geometry.model import Placed, Point2
from casewright.session.arranging import placed_at
from casewright.workflow import Edits, Worked

FINE = 0.15
"""Places are rounded to tenths; two that are come this much nearer at most. [mm]"""

MOST_TRIED = 12
"""Up to so many buttons the places are shared out in the best way; more are shared out in order."""


def laid_out(
    worked: Worked,
    player: int,
    style: Style,
    *,
    which: WhichHand | None = None,
    thumb: bool = False,
    pitch: float | None = None,
) -> Edits:
    """The edits that lay a player's group of buttons out; its middle stays where it is.

    Each button goes to the place that makes all ways together shortest. Without a pitch it is what suits the hand that
    plays there, and never less than rims and nuts take.

    Raises:
        InputError: No such player or hand, more buttons than the style has places, or a pitch too narrow for the nuts.
    """
    cluster = _cluster(worked, player, which)
    buttons = [worked.cabinet.placed_by_key[key] for key in cluster.keys]
    least = 2 * max(hardware_radius(button) for button in buttons) + BETWEEN
    if pitch is not None and pitch < least:
        raise InputError(
            "pitch",
            got=pitch,
            want=f"at least {least:.1f} mm for these rims and nuts",
            example=str(math.ceil(least)),
        )
    if pitch is None:
        pitch = max(least, _comfortable(worked, cluster))
    places = layout(
        style, len(buttons), cluster.hand, pitch=pitch + FINE, which=cluster.which, thumb=thumb
    )
    return placed_at(
        worked,
        {
            button.key: {"u": u, "v": v}
            for button, (u, v) in zip(buttons, _shared(buttons, places), strict=True)
        },
    )


def _cluster(worked: Worked, player: int, which: WhichHand | None) -> Cluster:
    """The player's largest group for that hand."""
    clusters = worked.behavior.playing.clusters
    mine = [c for c in clusters if c.player == player and which in (None, c.which)]
    if not mine:
        known = ", ".join(dict.fromkeys(f"{c.player} {c.which}" for c in clusters))
        raise InputError(
            "player",
            got=f"{player} {which}" if which else player,
            want=f"a player with a group of buttons ({known or 'there is none'})",
            example="1",
        )
    return max(mine, key=lambda cluster: len(cluster.keys))


def _comfortable(worked: Worked, cluster: Cluster) -> float:
    """What the hand of whoever plays there likes. [mm]"""
    hands = {person.label: person.hand for person in worked.opened.project.people if person.plays}
    return COMFORTABLE_PITCH[hands.get(cluster.who, "middle")]


def _shared(buttons: Sequence[Placed], places: Sequence[Point2]) -> list[Point2]:
    """A place for each button, the middle of all kept."""
    us, vs = [b.u for b in buttons], [b.v for b in buttons]
    goal_u, goal_v = [u for u, _ in places], [v for _, v in places]
    du = (min(us) + max(us)) / 2 - (min(goal_u) + max(goal_u)) / 2
    dv = (min(vs) + max(vs)) / 2 - (min(goal_v) + max(goal_v)) / 2
    goals = [(round(u + du, 1), round(v + dv, 1)) for u, v in places]
    if len(buttons) > MOST_TRIED:
        order = sorted(range(len(buttons)), key=lambda i: (-round(buttons[i].v, 0), buttons[i].u))
        ranked = sorted(goals, key=lambda p: (-round(p[1], 0), p[0]))
        taken = dict(zip(order, ranked, strict=True))
        return [taken[i] for i in range(len(buttons))]
    ways = [[math.dist((b.u, b.v), goal) for goal in goals] for b in buttons]
    return [goals[j] for j in _shortest(ways)]


def _shortest(ways: Sequence[Sequence[float]]) -> tuple[int, ...]:
    """Whose place is which, so that all ways together are shortest.

    Source:
        Held and Karp's way of building up sets: the best for the first few on a set of places, from sets one smaller.
    """
    best: dict[int, tuple[float, tuple[int, ...]]] = {0: (0.0, ())}
    for row in ways:
        longer: dict[int, tuple[float, tuple[int, ...]]] = {}
        for taken, (way, order) in best.items():
            for place, more in enumerate(row):
                if taken >> place & 1:
                    continue
                found = (round(way + more, 6), (*order, place))
                now = longer.get(taken | 1 << place)
                if now is None or found < now:
                    longer[taken | 1 << place] = found
        best = longer
    ((_, order),) = best.values()
    return order


__all__ = ["FINE", "MOST_TRIED", "laid_out"]
