"""Each end of a panel can be cut on the shop's saw."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_most, mm
from casewright.basics.units import TOUCHING
from casewright.checks.subject import Subject
from casewright.checks.trying import CLOSE
from casewright.geometry.model import Corner
from casewright.geometry.slabs import covered_tilt, miter_tilts, narrowest_miter
from casewright.geometry.thicker import WOODS, stock_takes

RULE = Rule(
    id="seam.tilt",
    severity=Severity.STOP,
    asks="No end of a panel needs more tilt than the saw has.",
    why="Past the blade's stop the piece cannot be cut lying flat on the table.",
    source="Project setting",
)


_FLOAT = 1e-6
"""So that equal boards that need 45.25 get the same tenth, whatever a float's last digit. [deg]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each corner with an end past the saw's tilt, or one for each end where the two differ."""
    shop = subject.cabinet.project.shop
    for corner in subject.cabinet.corners:
        ends = (
            (corner.first, corner.second, corner.first_tilt_deg),
            (corner.second, corner.first, corner.second_tilt_deg),
        )
        steep = [end for end in ends if end[0] and abs(end[2]) > shop.tilt_most + CLOSE]
        alike = len(steep) == 2 and abs(abs(steep[0][2]) - abs(steep[1][2])) < CLOSE
        for panel, other, tilt in steep[:1] if alike else steep:
            met = f" where it meets {subject.label(other)}" if other else ""
            who = f"{subject.label(panel)}{met} needs"
            if alike:
                who = (
                    f"{subject.label(panel)} and {subject.label(other)} each need, where they meet,"
                )
            yield RULE.finding(
                f"{who} a saw tilt of {abs(tilt) + _FLOAT:.1f}°; the saw tilts to {shop.tilt_most:g}°.",
                remedies=tuple(
                    _remedies(subject, corner, (panel, other) if alike else (panel,), tilt)
                ),
                names=(panel, other) if other else (panel,),
                point=(subject.cabinet.shape.width / 2, *corner.point),
            )


def _remedies(
    subject: Subject, corner: Corner, panels: Sequence[str], tilt: float
) -> Iterator[Remedy]:
    shop = subject.cabinet.project.shop
    butt = covered_tilt(corner.inside_deg)
    if corner.first and corner.second and corner.rule != "cover" and butt <= shop.tilt_most:
        for over, under in ((corner.first, corner.second), (corner.second, corner.first)):
            yield Remedy(
                f"Let {subject.label(over)} cover {subject.label(under)}: {butt:.1f}° then.",
                f"seams.{corner.first}/{corner.second}.over",
                over,
            )
    if corner.first and corner.second and corner.rule != "miter":
        slabs = subject.cabinet.slab_by_panel
        if corner.first in slabs and corner.second in slabs:
            pair = miter_tilts(
                corner.inside_deg, slabs[corner.first].thickness, slabs[corner.second].thickness
            )
            if max(abs(t) for t in pair) <= shop.tilt_most:
                yield Remedy(
                    f"Miter the seam: {abs(pair[0]):.1f}° and {abs(pair[1]):.1f}° then.",
                    f"seams.{corner.first}/{corner.second}.rule",
                    "miter",
                )
            else:
                yield from _miter_of_others(subject, corner)
    pieces = [subject.cabinet.piece_by_key.get(panel) for panel in panels]
    heights = [piece.height for piece in pieces if piece is not None]
    fits = len(heights) == len(panels) and max(heights) <= shop.edge_fence_most
    if fits and 90 - abs(tilt) <= shop.tilt_most:
        one = len(panels) == 1
        yield Remedy(
            f"Saw {'it' if one else 'both'} standing on {'its' if one else 'their'} end against a tall fence, blade at "
            f"{90 - abs(tilt) - _FLOAT:.1f}°, the piece clamped to a carrier; "
            f"{'it is' if one else 'the higher is'} {mm(max(heights))} high, {mm(shop.edge_fence_most)} is the most."
        )
    if corner.rule == "miter" and corner.inside_deg < 180:
        yield from _other_miters(subject, corner)
    elif corner.rule == "miter":
        yield from _miter_of_others(subject, corner, is_mitered=True)
    elif corner.rule in ("cover", "gap"):
        straight = 90 if corner.inside_deg < 180 else 270
        yield Remedy(
            f"Bring the corner's inside angle, {corner.inside_deg:.1f}° now, between "
            f"{straight - shop.tilt_most:.0f}° and {straight + shop.tilt_most:.0f}°."
        )


def _other_miters(subject: Subject, corner: Corner) -> Iterator[Remedy]:
    """The angle at which these two boards miter within the tilt, and the thickest board that does at this angle."""
    slabs, most = subject.cabinet.slab_by_panel, subject.cabinet.project.shop.tilt_most
    if corner.first not in slabs or corner.second not in slabs:
        return
    pair = sorted((slabs[corner.first], slabs[corner.second]), key=lambda slab: slab.thickness)
    thin, thick = pair
    equal = thick.thickness - thin.thickness <= TOUCHING
    angle = narrowest_miter(thin.thickness, thick.thickness, most)
    if angle is not None:
        boards = (
            "equal boards" if equal else f"boards of {mm(thin.thickness)} and {mm(thick.thickness)}"
        )
        yield Remedy(
            f"Open the corner to {_up(angle)}° or more: {boards} then miter within the tilt."
        )
    if not equal:
        for text, field, key in _other_board(subject, corner, thin.panel, thick.panel):
            yield Remedy(f"Make {text}", field, key)
    theta = math.radians(corner.inside_deg)
    # x = (t2 + t1·cos θ) / sin θ along the thin board may be t1·tan of the tilt at most
    allowed = thin.thickness * (math.sin(theta) * math.tan(math.radians(most)) - math.cos(theta))
    if not equal and allowed >= thin.thickness:
        yield Remedy(
            f"Make {subject.label(thick.panel)} {at_most(allowed)} thick or less, all its layers together: the miter "
            "then stays within the tilt."
        )


def _miter_of_others(
    subject: Subject, corner: Corner, *, is_mitered: bool = False
) -> Iterator[Remedy]:
    """A miter where these two boards, too unlike, pass the tilt: with another board for one of them."""
    slabs, most = subject.cabinet.slab_by_panel, subject.cabinet.project.shop.tilt_most
    if corner.first not in slabs or corner.second not in slabs:
        return
    thin, thick = sorted(
        (slabs[corner.first], slabs[corner.second]), key=lambda slab: slab.thickness
    )
    halved = abs(90 - corner.inside_deg / 2)
    if thick.thickness - thin.thickness <= TOUCHING or halved > most:
        return
    seam = (f"seams.{corner.first}/{corner.second}.rule", "miter")
    found = False
    for hosts in (False, True):
        for text, field, key in _other_board(subject, corner, thin.panel, thick.panel, hosts=hosts):
            held = " See then whether all that sits on it holds in that board." if hosts else ""
            if is_mitered:
                yield Remedy(f"Make {text}{held}", field, key)
            else:
                yield Remedy(f"Miter the seam, and make {text}{held}", *seam, also=((field, key),))
            found = True
        if found:
            return
    so = "" if is_mitered else " and miter the seam"
    yield Remedy(f"Make both equally thick{so}: {halved:.1f}° at both ends then.")


def _other_board(
    subject: Subject, corner: Corner, *panels: str, hosts: bool = False
) -> Iterator[tuple[str, str, str]]:
    """The board nearest in thickness that lets the two miter within the tilt: of the thin one, else of the thick one.

    In words, and as a field with its value.

    A panel that parts sit on stays as it is: threads and clips are made for its thickness. With `hosts` it is one.
    """
    project, pieces = subject.cabinet.project, subject.cabinet.piece_by_key
    thick = {panel: subject.cabinet.slab_by_panel[panel].thickness for panel in panels}
    for panel in panels:
        host = pieces.get(panel)
        is_host = any(placed.piece == panel for placed in subject.cabinet.placed)
        if host is None or (is_host and not hosts):
            continue
        other = next(p for p in panels if p != panel)
        found = []
        for key, material in project.materials.items():
            own = thick[panel] - host.thickness + material.thickness
            tilts = miter_tilts(corner.inside_deg, own, thick[other])
            within = max(abs(tilt) for tilt in tilts) <= project.shop.tilt_most
            if material.kind in WOODS and within and stock_takes(project, key, host):
                found.append((abs(material.thickness - host.thickness), key, tilts))
        if found:
            _, key, tilts = min(found)
            name = project.materials[key].label or key
            yield (
                f"{subject.label(panel)} of {name}, {mm(project.materials[key].thickness)} thick: "
                f"{abs(tilts[0]):.1f}° and {abs(tilts[1]):.1f}° then.",
                f"panels.{panel}.material",
                key,
            )
            return


def _up(angle: float) -> str:
    """An angle rounded up to a tenth, whole ones without decimals."""
    return f"{math.ceil(angle * 10 - 1e-6) / 10:g}"


__all__ = ["RULE", "find"]
