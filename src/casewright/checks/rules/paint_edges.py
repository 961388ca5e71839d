"""Cut edges of fiberboard are closed before the color."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import counted
from casewright.checks.subject import Subject
from casewright.design.finish import Finish

COATS = 2
"""Coats of sealer or primer that close a cut edge of fiberboard. Source: mdf-sanding."""

RULE = Rule(
    id="paint.edges",
    severity=Severity.CAUTION,
    asks=f"Cut edges of fiberboard get {COATS} coats of sealer or primer before the color.",
    why="They are porous as a sponge: color sinks in, stays dull and shows every fiber.",
    source="mdf-sanding",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for the whole cabinet: all pieces are painted alike."""
    if subject.behavior is None:
        return
    cabinet, painting = subject.cabinet, subject.behavior.painting
    finish, materials = cabinet.project.finish, cabinet.project.materials
    if not (finish.color.coats or finish.clear.coats):
        return
    porous = [
        surface
        for surface in painting.surfaces
        if materials[cabinet.piece_by_key[surface.piece].material].kind == "mdf"
        and surface.edges > 0
    ]
    coats = sum(c.coats for c in (finish.sealer, finish.primer) if c.on != "faces")
    if not porous or coats >= COATS:
        return
    yield RULE.finding(
        f"Cut edges of fiberboard get {counted(coats, 'coat')} before the color; {COATS} are asked.",
        remedies=(_remedy(finish, COATS - coats),),
        names=tuple(surface.piece for surface in porous),
    )


def _remedy(finish: Finish, short: int) -> Remedy:
    """The product that can close them with one change."""
    for product in (finish.sealer, finish.primer):
        if product.on != "faces":
            return Remedy(
                f"Give the edges {counted(short, 'more coat')} of {product.name}, sanded between.",
                f"finish.{product.kind}.coats",
                product.coats + short,
            )
    for product in (finish.sealer, finish.primer):
        if product.coats >= short:
            return Remedy(
                f"Let the {product.name} go on the edges too.", f"finish.{product.kind}.on", "all"
            )
    return Remedy(f"Put {counted(COATS, 'coat')} of sealer on the edges, sanded between.")


__all__ = ["RULE", "find"]
