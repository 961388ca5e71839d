"""What stands together at each step of the assembly, and what is new in it.

A panel that gets its rails, a side that gets its cleats, a lid that gets its sockets lie on the bench by themselves;
everything else happens on the carcass that grows from step to step. What comes off for service is fitted once, taken
off again, and comes back when the cabinet is closed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from casewright.geometry.model import Cabinet
from casewright.planning.work.step import Step, is_removable


@dataclass(frozen=True)
class Scene:
    """The pieces and bodies of one picture, by key."""

    step: str
    """Key of the step."""
    so_far: tuple[str, ...]
    """What is there already."""
    new: tuple[str, ...]
    """What the step adds."""
    host: str = ""
    """The piece that lies on the bench by itself; empty for the carcass."""
    stays: bool = True
    """What is new is not taken off again."""


def step_scenes(cabinet: Cabinet, steps: Sequence[Step]) -> tuple[Scene, ...]:
    """A scene for every step that puts something in its place, in the order of the steps."""
    return tuple(_Growth(cabinet).scenes(steps))


class _Growth:
    """Follows the steps and knows what is joined to what."""

    def __init__(self, cabinet: Cabinet) -> None:
        self.pieces = cabinet.piece_by_key
        self.sides = tuple(piece.key for piece in cabinet.pieces if piece.kind == "side")
        self.carcass = list(self.sides)
        self.joined: dict[str, list[str]] = {}
        """What is on each piece, by the piece's key."""
        self.bodies: dict[str, list[str]] = {}
        for body in cabinet.bodies:
            if body.kind == "solid":
                self.bodies.setdefault(body.owner, []).append(body.key)

    def scenes(self, steps: Sequence[Step]) -> Iterator[Scene]:
        for step in steps:
            if step.stage not in ("glue", "fit", "close"):
                continue
            scene = self.scene(step)
            if scene.new:
                yield scene

    def scene(self, step: Step) -> Scene:
        fitted = [key for part in step.parts for key in self.bodies.get(part, ())]
        host = step.pieces[0] if step.pieces else ""
        if len(step.pieces) > 1 and step.stage == "glue" and not self.comes_off(step):
            # Cleats on a side, rails on a panel: the first piece carries the others.
            return self.on_host(step.key, host, list(step.pieces[1:]))
        if step.stage == "fit":
            new = [key for key in step.pieces if key not in self.carcass and key != host]
            if step.key.startswith("overlay.") and host in self.pieces:
                new, host = [host], self.pieces[host].panel
            return self.on_host(step.key, host, [*new, *fitted])
        brought = self.with_joined(step.pieces)
        so_far = self.with_joined(self.carcass)
        if not self.comes_off(step):
            self.carcass += step.pieces
        added = tuple(key for key in brought if key not in so_far)
        return Scene(step.key, so_far, added, stays=not self.comes_off(step))

    def on_host(self, step: str, host: str, new: list[str]) -> Scene:
        """A scene on the carcass if the host is part of it by now, else on the host alone."""
        stands = host in self.carcass and (host not in self.sides or len(self.carcass) > 2)
        so_far = self.with_joined(self.carcass if stands or not host else [host])
        self.joined.setdefault(host, []).extend(new)
        return Scene(step, so_far, tuple(new), "" if stands else host)

    def comes_off(self, step: Step) -> bool:
        """Whether all that the step handles is loose again afterwards, or was until now."""
        pieces = [self.pieces[key] for key in step.pieces]
        return all(is_removable(piece) or piece.kind == "door" for piece in pieces)

    def with_joined(self, keys: Sequence[str]) -> tuple[str, ...]:
        """The pieces with all that is on them, each once."""
        found: dict[str, None] = {}
        for key in keys:
            found[key] = None
            found.update(dict.fromkeys(self.joined.get(key, ())))
        return tuple(found)


__all__ = ["Scene", "step_scenes"]
