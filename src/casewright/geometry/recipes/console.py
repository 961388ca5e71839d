r"""Deck, sloped screen and header over a front: common to cabinets on a table and on the floor.

Side view, counter-clockwise from the front of the base; the lower front is the caller's:

         D ____ C
         /     |       E-F underside, square to the screen
       E \     |       F-G screen, laid back by its tilt
          F    |       G-H deck, rising by its slope
         /     |
    H __G      |
     |         |
    A|_________|B
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Remedy
from casewright.basics.reckoning import Reckoning, Term, stated, total
from casewright.basics.units import TOUCHING
from casewright.design.panels import Panel
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.design.shape import StandingShape, TabletopShape
from casewright.geometry.model import Point2
from casewright.geometry.recipes import header, screen
from casewright.geometry.recipes.assembly import stack_thickness
from casewright.geometry.recipes.extents import Spot, spots_on
from casewright.geometry.recipes.ledger import TILT, Candidate, Ledger, largest
from casewright.geometry.recipes.tilt import square_tilt, tilt_reckoning
from casewright.geometry.viewers import Viewer, playing

ConsoleShape = TabletopShape | StandingShape

LEAST_TOP = 110.0
"""Top panel from the screen or header to the back: cleats fit, and it is safe to saw. [mm] Source: common practice."""

BARE_TOP = 20.0
"""Below this depth of the top there is no cabinet left. [mm]"""


@dataclass(frozen=True)
class _Thick:
    """Thickness of each panel, set-backs included. [mm]"""

    base: float
    back: float
    top: float
    header: float
    underside: float
    screen: float
    deck: float


@dataclass(frozen=True)
class Upper:
    """The upper half of the outline, for a front edge at some height."""

    foot: Point2
    screen_top: Point2
    header_low: Point2 | None
    header_high: Point2 | None
    tilt_deg: float

    @property
    def summit(self) -> Point2:
        """Front end of the top panel."""
        return self.header_high or self.screen_top


class Console:
    """Solves the upper half step by step; what is worked out goes to the ledger once, in `settle`."""

    def __init__(
        self,
        project: Project,
        parts: Mapping[str, KnownPart],
        shape: ConsoleShape,
        panels: Mapping[str, Panel],
        *,
        everybody: tuple[Viewer, ...],
        tilt_limits: tuple[float, float],
    ) -> None:
        self.project = project
        self.shape = shape
        self.limits = tilt_limits
        self.viewers = playing(everybody)
        self.thick = _Thick(
            **{key: stack_thickness(project, panels, key) for key in _Thick.__annotations__}
        )
        self.on: dict[str, tuple[Spot, ...]] = {
            key: spots_on(project, parts, key) for key in ("screen", "header", "underside")
        }
        self.has_screen = shape.screen_length is not None or (self._screen_need(0.0) is not None)

    # ---- the screen --------------------------------------------------------------------------------------------------

    def _losses(self, tilt: float) -> tuple[float, float, float]:
        """Taken from the screen's back face at its foot and top, and from the display's room at the top. [mm]

        Under a header the screen runs on behind the underside.
        """
        shape, thick = self.shape, self.thick
        foot = screen.foot_loss(
            thick.screen, tilt, shape.deck_slope_deg, self.project.shop.tilt_most
        )
        if shape.header:
            return foot, -thick.underside, 0.0
        return (foot, *screen.top_loss(thick.screen, thick.top, tilt))

    def _screen_need(self, tilt: float) -> Reckoning | None:
        foot, _, top = self._losses(tilt)
        return screen.screen_need(
            self.on["screen"], margin=self.shape.screen_margin, foot=foot, top=top
        )

    def _screen_length(self, tilt: float) -> float:
        if self.shape.screen_length is not None:
            return self.shape.screen_length
        need = self._screen_need(tilt)
        assert need is not None  # has_screen
        return need.value

    def foot(self, front: float, deck_depth: float) -> Point2:
        """Where the screen stands on the deck. [mm]"""
        slope = math.radians(self.shape.deck_slope_deg)
        return (deck_depth * math.cos(slope), front + deck_depth * math.sin(slope))

    def upper(
        self, front: float, deck_depth: float, overhang: float | None, face: float | None
    ) -> Upper:
        """Corners over a deck whose front edge is at a height; None takes what the parts ask for."""
        foot = self.foot(front, deck_depth)
        tilt = self.shape.screen_tilt_deg
        if tilt is None:
            tilt = square_tilt(foot, self._screen_length, self.viewers, limits=self.limits).tilt_deg
        t = math.radians(tilt)
        length = self._screen_length(tilt)
        y, z = foot[0] + length * math.sin(t), foot[1] + length * math.cos(t)
        if not self.shape.header:
            return Upper(foot, (y, z), None, None, tilt)
        over = self.underside_need(tilt).value if overhang is None else overhang
        high = self.face_need(tilt)[0].value if face is None else face
        lean = math.radians(self.shape.header_tilt_deg)
        low = (y - over * math.cos(t), z + over * math.sin(t))
        return Upper(
            foot,
            (y, z),
            low,
            (low[0] + high * math.sin(lean), low[1] + high * math.cos(lean)),
            tilt,
        )

    # ---- the header --------------------------------------------------------------------------------------------------

    def _under_inside(self, tilt: float) -> float:
        return 90.0 + tilt - self.shape.header_tilt_deg

    def underside_need(self, tilt: float) -> Reckoning:
        """Depth of the header's underside that its parts ask for. [mm]"""
        return header.underside_need(
            self.on["underside"],
            self.on["header"],
            face=self.thick.header,
            underside=self.thick.underside,
            inside_deg=self._under_inside(tilt),
        )

    def face_need(self, tilt: float) -> tuple[Reckoning, float]:
        """Height of the header's face that its parts ask for, and cannot do without. [mm]"""
        return header.face_need(
            self.on["header"],
            self.on["underside"],
            face=self.thick.header,
            top=self.thick.top,
            underside=self.thick.underside,
            top_inside_deg=90.0 + self.shape.header_tilt_deg,
            under_inside_deg=self._under_inside(tilt),
            batten=self.project.batten.height,
        )

    # ---- all of it ---------------------------------------------------------------------------------------------------

    def settle(
        self,
        ledger: Ledger,
        front: float,
        deck_depth: float,
        *,
        front_name: str,
        front_free: bool,
        front_base: float,
        front_spare: float,
    ) -> tuple[Upper, float, float, float]:
        """Settle screen, header, height and depth.

        Args:
            ledger: Takes numbers, findings and errors.
            front: Height of the deck's front edge that is wished or needed. [mm]
            deck_depth: Along the slope. [mm]
            front_name: The field that sets `front`.
            front_free: Whether `front` may change so that a wished height comes out.
            front_base: What the number of that field is more than `front`. [mm]
            front_spare: How much of `front` is comfort that a wished height may take. [mm]

        Returns:
            The upper corners, the front edge's height, the cabinet's height and depth. [mm]
        """
        shape = self.shape
        overhang, face = shape.header_overhang, shape.header_height
        natural = self.upper(front, deck_depth, overhang, face)
        if shape.height is not None and abs(shape.height - natural.summit[1]) > TOUCHING:
            if shape.header and face is None:
                low = natural.header_low
                assert low is not None
                face = (shape.height - low[1]) / math.cos(math.radians(shape.header_tilt_deg))
                least = self.thick.top + self.thick.underside
                if face <= least:
                    floor = low[1] + least * 2
                    ledger.refuse(
                        "height",
                        ledger.length(shape.height),
                        f"more than {ledger.least(floor)}, for the header over the screen",
                        ledger.length(floor),
                    )
                    raise InputErrors(ledger.errors)
            elif front_free:
                asked = front
                front = self._front_for(shape.height, front, deck_depth, overhang, face)
                terms = [
                    Term("as the parts and people ask", asked + front_base),
                    Term("from the wished height", front - asked),
                ]
                ledger.put(total(f"shape.{front_name}", "front edge, from the height", terms))
                least = self.thick.base + self.thick.deck + 1.0
                if front < least:
                    lowest = self.upper(least, deck_depth, overhang, face).summit[1]
                    ledger.refuse(
                        "height",
                        ledger.length(shape.height),
                        f"at least {ledger.least(lowest)}, for the screen over the deck",
                        ledger.length(natural.summit[1]),
                    )
                    raise InputErrors(ledger.errors)
            else:
                ledger.refuse(
                    "height",
                    ledger.length(shape.height),
                    f"{ledger.length(natural.summit[1])}, which the other wishes add up to, or one of {front_name} and "
                    "header_height left out",
                    ledger.length(natural.summit[1]),
                )
                raise InputErrors(ledger.errors)
        upper = self.upper(front, deck_depth, overhang, face)
        self._record_screen(ledger, upper)
        if shape.header:
            self._record_header(ledger, upper)
        spare = front_spare
        if shape.header and shape.header_height is None:
            need, least = self.face_need(upper.tilt_deg)
            spare = (need.value - least) * math.cos(math.radians(shape.header_tilt_deg))
        height = self._record_height(ledger, natural.summit[1] - spare, upper, front, front_name)
        depth = self._depth(ledger, upper, height)
        return upper, front, height, depth

    def _front_for(
        self,
        height: float,
        front: float,
        deck_depth: float,
        overhang: float | None,
        face: float | None,
    ) -> float:
        """Front edge that gives a height; the tilt changes with it only a little, so this closes in fast. [mm]"""
        for _ in range(80):
            short = height - self.upper(front, deck_depth, overhang, face).summit[1]
            front += short
            if abs(short) < 1e-9:
                break
        return front

    def _record_screen(self, ledger: Ledger, upper: Upper) -> None:
        shape = self.shape
        found = square_tilt(upper.foot, self._screen_length, self.viewers, limits=self.limits)
        asked = tilt_reckoning("shape.screen_tilt", found, self.limits)
        if shape.screen_tilt_deg is not None:
            ledger.numbers.append(
                stated("shape.screen_tilt", asked.label, shape.screen_tilt_deg, unit="deg")
            )
            asked = tilt_reckoning("shape.screen_tilt_needed", found, self.limits)
        elif abs(found.tilt_deg - found.unlimited_deg) > 0.05:
            ledger.findings.append(
                TILT.finding(
                    f"The eyes ask for a screen laid back by {found.unlimited_deg:.1f}°; it is kept at "
                    f"{found.tilt_deg:.1f}°, and the worst line of sight is {found.off_square_deg:.1f}° off square.",
                    remedies=(
                        Remedy(
                            f"Lay it back by {found.unlimited_deg:.1f}°.",
                            "shape.screen_tilt_deg",
                            round(found.unlimited_deg, 1),
                        ),
                        Remedy("Change the height it stands at, or the people's distance."),
                    ),
                    names=("screen",),
                )
            )
        ledger.numbers.append(asked)
        need = self._screen_need(upper.tilt_deg)
        if need is None:
            assert shape.screen_length is not None
            ledger.numbers.append(
                stated(
                    "shape.screen_length", "screen, from the deck to its top", shape.screen_length
                )
            )
        else:
            ledger.settle("screen_length", shape.screen_length, need, panels=("screen",))

    def _record_header(self, ledger: Ledger, upper: Upper) -> None:
        shape = self.shape
        assert upper.header_low is not None and upper.header_high is not None
        ledger.settle(
            "header_overhang",
            shape.header_overhang,
            self.underside_need(upper.tilt_deg),
            panels=("underside",),
        )
        need, least = self.face_need(upper.tilt_deg)
        if shape.height is None or shape.header_height is not None:
            ledger.settle(
                "header_height", shape.header_height, need, panels=("header",), least=least
            )
        else:  # what the wished height leaves; whether that is enough is said of the height
            made = math.dist(upper.header_low, upper.header_high)
            rest = [Term("needed", need.value), Term("from the wished height", made - need.value)]
            ledger.numbers.append(total(need.key, need.label, rest))

    def _record_height(
        self, ledger: Ledger, least: float, upper: Upper, front: float, front_name: str
    ) -> float:
        """The height, as it adds up; a wished one that leaves header or front too small is reported. [mm]"""
        terms = [
            Term("deck's front edge", front, key=f"shape.{front_name}"),
            Term("deck's rise", upper.foot[1] - front),
            Term("screen × cos(tilt)", upper.screen_top[1] - upper.foot[1]),
        ]
        if upper.header_low is not None and upper.header_high is not None:
            terms.append(
                Term("header's underside × sin(tilt)", upper.header_low[1] - upper.screen_top[1])
            )
            terms.append(
                Term("header's face × cos(its tilt)", upper.header_high[1] - upper.header_low[1])
            )
        height = total("shape.height", "height, without feet", terms)
        ledger.numbers.append(height)
        if height.value < least - TOUCHING:
            ledger.too_small("height", "height", height, height.value, least, ("header", "screen"))
        return height.value

    def _depth(self, ledger: Ledger, upper: Upper, height: float) -> float:
        shape, thick = self.shape, self.thick
        foot, top, _ = self._losses(upper.tilt_deg)
        length = self._screen_length(upper.tilt_deg)
        candidates = screen.depth_candidates(
            self.project,
            self.on["screen"],
            foot_y=upper.foot[0],
            tilt_deg=upper.tilt_deg,
            length=length,
            thickness=thick.screen,
            foot=foot,
            top=top,
            back=thick.back,
        )
        reach = max(upper.summit[0], upper.screen_top[0])
        candidates.append(
            Candidate(
                "the top",
                (Term("screen and header, rearmost", reach), Term("top panel", LEAST_TOP)),
            )
        )
        if upper.header_low is not None and upper.header_high is not None:
            candidates += header.depth_candidates(
                self.on["header"],
                front_y=upper.header_low[0],
                height=math.dist(upper.header_low, upper.header_high),
                tilt_deg=shape.header_tilt_deg,
                face=thick.header,
                back=thick.back,
            )
        need = largest("shape.depth", "depth, front edge to back", candidates)
        depth = ledger.settle(
            "depth",
            shape.depth,
            need,
            panels=("back",),
            least=max([c.least for c in candidates if c.name != "the top"], default=0.0),
        )
        if depth < reach + BARE_TOP:
            ledger.refuse(
                "depth",
                ledger.length(depth),
                f"at least {ledger.least(reach + BARE_TOP)}: the screen and header reach back {ledger.length(reach)}",
                ledger.length(need.value),
            )
            raise InputErrors(ledger.errors)
        return depth


__all__ = [
    "BARE_TOP",
    "LEAST_TOP",
    "Console",
    "ConsoleShape",
    "Upper",
]
