"""Slabs and seams: where each panel of the outline ends, and at which saw tilt.

Side view, (y, z), inside to the left of the way round:

          show line of A  ──────────►  P (corner)
          back line of A  ─────────►  /│ end line of A
                                       │ show line of B
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.plane import Line, crossing, line_through
from casewright.design.panels import Panel, Role, Seam
from casewright.geometry.model import Corner, Point2, Run, Slab, SolvedShape

SeamRule = Literal["miter", "cover", "gap", "free"]

VANISHES = Rule(
    id="panel.vanishes",
    severity=Severity.STOP,
    asks="Each panel has room between its two neighbors.",
    why="Where the end planes of a panel cross each other inside its thickness there is nothing left to cut.",
    source="Plain geometry",
)
UNUSABLE_SEAM = Rule(
    id="seam.unusable",
    severity=Severity.STOP,
    asks="A seam's end plane crosses the panel it ends.",
    why="An end plane that runs along its own panel never meets it.",
    source="Plain geometry",
)

_COVERS_FIRST: Sequence[Role] = (
    "deck",
    "top",
    "header face",
    "baffle",
    "front",
    "back",
    "door",
    "riser",
    "screen",
    "header underside",
    "other",
    "shelf",
    "light board",
    "floor",
)
"""Which of two panels runs past the other, if nobody says so: what is touched and seen from above goes over."""


@dataclass(frozen=True)
class Strip:
    """A run with its panel's reveal and thickness: the endless strip its slab is cut from."""

    run: Run
    reveal: float
    thickness: float

    @property
    def show(self) -> Line:
        """Line of the show face; the inside is to its left."""
        return Line(self.run.p, self.run.direction).shifted(self.reveal)

    @property
    def back(self) -> Line:
        """Line of the back face."""
        return Line(self.run.p, self.run.direction).shifted(self.reveal + self.thickness)


def cut_slabs(
    shape: SolvedShape, thickness: Mapping[str, float], *, tilt_most: float
) -> tuple[tuple[Slab, ...], tuple[Corner, ...], tuple[Finding, ...]]:
    """End every panel on its neighbors by the seam rules.

    Args:
        shape: The settled outline.
        thickness: All layers of each panel together, by panel key. [mm]
        tilt_most: Most the saw tilts, for choosing a seam where none is wished. [deg]

    Returns:
        The slabs in the order of the runs, the corners likewise, and what cannot be built.
    """
    strips = [_strip(run, shape.panels, thickness) for run in shape.runs]
    ends: list[tuple[Line, Line]] = []
    seams: list[tuple[Seam | None, SeamRule, str]] = []
    for i, first in enumerate(strips):
        second = strips[(i + 1) % len(strips)]
        wish = _wish(shape.seams, first.run.panel, second.run.panel)
        rule, over = _settled(wish, first, second, tilt_most)
        ends.append(end_lines(first, second, rule, over=over, wish=wish))
        seams.append((wish, rule, over))
    slabs: list[Slab | None] = []
    findings: list[Finding] = []
    for i, strip in enumerate(strips):
        slab = _slab(strip, ends[i - 1][1], ends[i][0]) if strip.run.panel else None
        if strip.run.panel and (slab is None or not _is_whole(slab)):
            around = (strips[i - 1], strips[(i + 1) % len(strips)])
            findings.append(_nothing_left(strip, slab, around, (ends[i - 1][1], ends[i][0])))
            slab = None
        slabs.append(slab)
    corners = tuple(
        _corner(
            strips[i], strips[(i + 1) % len(strips)], seam, slabs[i], slabs[(i + 1) % len(strips)]
        )
        for i, seam in enumerate(seams)
    )
    return tuple(slab for slab in slabs if slab), corners, tuple(findings)


def end_lines(
    first: Strip, second: Strip, rule: SeamRule, *, over: str = "", wish: Seam | None = None
) -> tuple[Line, Line]:
    """The line that ends `first` and the line that starts `second` at the corner between them.

    Source:
        The seam rules of docs/words.md, "seam"; plain geometry.
    """
    reflex = turn_deg(first.run, second.run) < 0
    if rule == "free" and wish:
        return (
            _free_line(first, wish, at_end=True),
            _free_line(second, wish, at_end=False),
        )
    if rule == "miter":
        line = _miter_line(first, second)
        return line, line
    gap = wish.gap if wish and rule == "gap" else 0.0
    if rule == "gap" and goes_on(turn_deg(first.run, second.run)):
        return _parted(first, second, gap, over=over)
    if over == first.run.panel:
        # convex: second stops at first's back face; reflex: it stands on first's show face
        stop = first.show.shifted(-gap) if reflex else first.back.shifted(gap)
        return (second.back if reflex else second.show), stop
    stop = second.show.shifted(-gap) if reflex else second.back.shifted(gap)
    return stop, (first.back if reflex else first.show)


GOES_ON = 45.0
"""Where the outline turns less, a gap parts two ends cut alike: one moved back behind the other's back face would be
cut at more than this, past what home saws tilt. [deg]"""


_ROUNDED_DEG = 1e-6


def goes_on(turned_deg: float) -> bool:
    """Whether two panels meet end to end rather than at a corner, so that neither covers the other.

    At `GOES_ON` itself, which many outlines have, they meet at a corner, however its last digit is rounded.
    """
    return abs(turned_deg) < GOES_ON - _ROUNDED_DEG


def _parted(first: Strip, second: Strip, gap: float, *, over: str) -> tuple[Line, Line]:
    """Two ends on either side of a gap that halves the corner's angle; the panel that goes over keeps its full length.

    Source:
        Plain geometry: square ends where the outline goes straight on, else both tilted by half the turn.
    """
    (ay, az), (by, bz) = first.run.direction, second.run.direction
    length = math.hypot(ay + by, az + bz)
    on = ((ay + by) / length, (az + bz) / length)
    middle = Line(first.run.q, (-on[1], on[0]))  # its left looks back along the outline
    if over == first.run.panel:
        return middle, middle.shifted(-gap)
    return middle.shifted(gap), middle


def turn_deg(first: Run, second: Run) -> float:
    """How far the outline turns at the corner, positive to the left (convex). [deg]"""
    (ay, az), (by, bz) = first.direction, second.direction
    return math.degrees(math.atan2(ay * bz - az * by, ay * by + az * bz))


def miter_tilts(inside_deg: float, first: float, second: float) -> tuple[float, float]:
    """Saw tilts of a miter between boards of unequal thickness. [deg]

    Args:
        inside_deg: Angle between the two show faces, inside the material.
        first: Thickness of the first board. [mm]
        second: Thickness of the second board. [mm]

    Returns:
        Signed tilt of each board, positive where its show face is the longer.

    Source:
        Plain geometry: the cut runs from the meeting of the show faces to the meeting of the back faces. With x the
        way from the foot of the back corner to the show corner along a board, x = (t2 + t1·cos θ) / sin θ.

    Example:
        >>> [round(tilt, 1) for tilt in miter_tilts(105.78, 11.8, 18.0)]
        [52.5, 21.7]
    """
    theta = math.radians(inside_deg)
    along_first = (second + first * math.cos(theta)) / math.sin(theta)
    along_second = (first + second * math.cos(theta)) / math.sin(theta)
    return (
        math.degrees(math.atan2(along_first, first)),
        math.degrees(math.atan2(along_second, second)),
    )


def narrowest_miter(thin: float, thick: float, tilt_deg: float) -> float | None:
    """Least inside angle at which two boards miter with no more than this tilt; None if there is none. [deg]

    Args:
        thin: Thickness of the thinner board, whose tilt is the larger. [mm]
        thick: Thickness of the thicker board. [mm]
        tilt_deg: Most that the saw tilts, below 90. [deg]

    Source:
        Plain geometry: (t2 + t1·cos θ) / (t1·sin θ) = tan T, so cos(θ + T) = -(t2 / t1)·cos T.

    Example:
        >>> round(narrowest_miter(12, 12, 45) or 0.0, 6)
        90.0
    """
    tilt = math.radians(tilt_deg)
    lean = thick / thin * math.cos(tilt)
    if lean > 1 or tilt_deg >= 90:
        return None
    return math.degrees(math.acos(-lean) - tilt)


def covered_tilt(inside_deg: float) -> float:
    """Saw tilt of both ends of a butt seam, where one board covers the other. [deg]

    Example:
        >>> covered_tilt(70)
        20
    """
    return abs(90 - (inside_deg if inside_deg <= 180 else inside_deg - 180))


def _strip(run: Run, panels: Mapping[str, Panel], thickness: Mapping[str, float]) -> Strip:
    if not run.panel:
        return Strip(run, 0.0, 0.0)
    return Strip(run, panels[run.panel].reveal, thickness[run.panel])


def _wish(seams: Sequence[Seam], first: str, second: str) -> Seam | None:
    if not first or not second:
        return None
    return next((seam for seam in seams if set(seam.between) == {first, second}), None)


def _settled(
    wish: Seam | None, first: Strip, second: Strip, tilt_most: float
) -> tuple[SeamRule, str]:
    """The rule and the covering panel, chosen where the project does not say."""
    if not first.run.panel or not second.run.panel:
        return "cover", first.run.panel or second.run.panel
    if wish and wish.rule in ("miter", "free"):
        return wish.rule, ""
    if wish:
        return wish.rule, wish.over or _usual_cover(first, second)
    straight = abs(turn_deg(first.run, second.run)) < 30
    covered = covered_tilt(180 - turn_deg(first.run, second.run))
    if straight or covered > tilt_most:
        line = _miter_line(first, second)
        if max(abs(_tilt(first, line)), abs(_tilt(second, line))) <= tilt_most:
            return "miter", ""
    return "cover", _usual_cover(first, second)


def _usual_cover(first: Strip, second: Strip) -> str:
    ranks = [
        _COVERS_FIRST.index(s.run.role) if s.run.role in _COVERS_FIRST else 99
        for s in (first, second)
    ]
    return second.run.panel if ranks[1] < ranks[0] else first.run.panel


def _miter_line(first: Strip, second: Strip) -> Line:
    outer = crossing(first.show, second.show)
    inner = crossing(first.back, second.back)
    if outer is None or inner is None or math.dist(outer, inner) < 1e-6:
        return Line(first.run.q, first.show.left)  # a straight or bare corner: cut square
    return line_through(outer, inner)


def _free_line(strip: Strip, wish: Seam, *, at_end: bool) -> Line:
    """The plane given for one panel: so far back from the corner on the show face, at the given tilt."""
    panel = strip.run.panel
    back = wish.setback.get(panel, 0.0)
    tilt = math.radians(wish.tilt.get(panel, 0.0))
    along = strip.run.length - back if at_end else back
    ey, ez = strip.show.direction
    ny, nz = strip.show.left
    lean = -math.tan(tilt) if at_end else math.tan(tilt)
    length = math.hypot(1.0, lean)
    return Line(strip.show.at(along), ((ny + lean * ey) / length, (nz + lean * ez) / length))


def _tilt(strip: Strip, line: Line) -> float:
    """Unsigned angle between an end line and the panel's normal. [deg]"""
    (ay, az), (by, bz) = strip.show.left, line.direction
    return math.degrees(math.atan2(abs(ay * bz - az * by), abs(ay * by + az * bz)))


def _slab(strip: Strip, start: Line, end: Line) -> Slab | None:
    points = [crossing(a, b) for a in (strip.show, strip.back) for b in (start, end)]
    show_start, show_end, back_start, back_end = points
    if show_start is None or show_end is None or back_start is None or back_end is None:
        return None
    along = strip.show.along
    start_tilt = math.degrees(math.atan2(along(back_start) - along(show_start), strip.thickness))
    end_tilt = math.degrees(math.atan2(along(show_end) - along(back_end), strip.thickness))
    return Slab(
        strip.run.panel,
        strip.run,
        strip.reveal,
        strip.thickness,
        show_start,
        show_end,
        back_end,
        back_start,
        start_tilt,
        end_tilt,
    )


def _is_whole(slab: Slab) -> bool:
    return slab.show_length > 1e-6 and slab.back_length > 1e-6


def _nothing_left(
    strip: Strip, slab: Slab | None, around: tuple[Strip, Strip], ends: tuple[Line, Line]
) -> Finding:
    key = strip.run.panel
    middle = ((strip.run.p[0] + strip.run.q[0]) / 2, (strip.run.p[1] + strip.run.q[1]) / 2)
    if slab is None:
        before, after = around
        along = [crossing(strip.show, line) is None for line in ends]
        pairs = [(before.run.panel, key)] * along[0] + [(key, after.run.panel)] * along[1]
        cures = [
            Remedy(f"Miter {a} and {b} there.", f"seams.{a}/{b}.rule", "miter")
            for a, b in pairs
            if a and b
        ]
        return UNUSABLE_SEAM.finding(
            f"The seam at one end of {key} runs along the panel itself, so it has no end there.",
            remedies=(
                *cures,
                Remedy("Or move the corner there until the two panels meet at an angle."),
            ),
            names=(key,),
            point=(0.0, *middle),
        )
    short = min(slab.show_length, slab.back_length)
    # Both faces grow with the run, so this much more makes it as high as it is thick.
    more = strip.thickness - short
    neighbors = [other.run.panel for other in around if other.run.panel]
    thinner = f"take a thinner board for it or for {' or '.join(neighbors)}, or "
    return VANISHES.finding(
        f"{key}: its run is {mm(strip.run.length)} long, but its neighbors leave {mm(short)}; "
        f"it is {mm(strip.thickness)} thick.",
        remedies=(
            Remedy(
                f"Move its corners {at_least(more)} further apart, so that its run is "
                f"{at_least(strip.run.length + more)} long."
            ),
            Remedy(f"Or {thinner if neighbors else ''}leave {key} out and let its neighbors meet."),
        ),
        names=(key,),
        point=(0.0, *middle),
    )


def _corner(
    first: Strip,
    second: Strip,
    seam: tuple[Seam | None, SeamRule, str],
    first_slab: Slab | None,
    second_slab: Slab | None,
) -> Corner:
    wish, rule, over = seam
    point: Point2 = first.run.q
    return Corner(
        name=first.run.end,
        point=point,
        first=first.run.panel,
        second=second.run.panel,
        rule=rule,
        over=over,
        gap=wish.gap if wish and rule == "gap" else 0.0,
        inside_deg=180 - turn_deg(first.run, second.run),
        first_tilt_deg=first_slab.end_tilt_deg if first_slab else 0.0,
        second_tilt_deg=second_slab.start_tilt_deg if second_slab else 0.0,
        wished=wish is not None,
        cleat=wish.cleat if wish else False,
    )


__all__ = [
    "GOES_ON",
    "UNUSABLE_SEAM",
    "VANISHES",
    "SeamRule",
    "Strip",
    "covered_tilt",
    "cut_slabs",
    "end_lines",
    "goes_on",
    "miter_tilts",
    "narrowest_miter",
    "turn_deg",
]
