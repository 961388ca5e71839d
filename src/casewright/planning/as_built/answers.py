"""What to do with each piece that exists: nothing, saw, bore, shim, plug or make it anew."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from casewright.basics.findings import mm
from casewright.basics.wording import capital, counted, listed
from casewright.geometry.model import Cabinet, Circle, Feature, Piece, Rectangle
from casewright.planning.as_built.fits import HELD, SCREWED, EdgeFit, FeatureFit, Fit
from casewright.planning.as_built.made import MadePiece, sizes
from casewright.planning.setups import SQUARE_DEG

SHIM_MOST = 3.0
"""Widest gap that a glued-in strip of veneer or thin plywood fills. [mm] Common practice."""
WEDGE_MOST = 1.5
"""Widest gap on a hidden face that glue and filler close. [mm] Common practice."""
PLUG_MOST = 120.0
"""Longest opening that is plugged: a larger plug shows through any paint. [mm] Common practice."""

Verdict = Literal[
    "unchanged", "new size", "other place", "work on", "trim", "shim", "plug", "remake", "needless"
]
"""In the order of the trouble it makes.

"new size": not cut yet. "other place": serves as its mirror image. "work on": bore or rout something more.
"needless": the plan has no such piece any more.
"""
TROUBLE: tuple[Verdict, ...] = (
    "unchanged",
    "new size",
    "needless",
    "other place",
    "work on",
    "trim",
    "shim",
    "plug",
    "remake",
)
MINUTES: Mapping[Verdict, float] = {
    "unchanged": 0,
    "new size": 0,
    "needless": 0,
    "other place": 5,
    "work on": 10,
    "trim": 10,
    "shim": 15,
    "plug": 40,
    "remake": 60,
}
"""Work that a verdict asks for, setting up included. Common practice."""
REPAINT = 30.0
"""Minutes to touch up what was painted. Common practice."""


@dataclass(frozen=True)
class Answer:
    """One piece's answer. Lengths in texts are marked by `mm`."""

    piece: str
    label: str
    verdict: Verdict
    reason: str
    orders: tuple[str, ...] = ()
    """What to do, in order."""
    by: float = 0.0
    """Most that is sawn off, filled or moved. [mm]"""
    edge: str = ""
    tilt_deg: float = 0.0
    painted: bool = False
    """It is painted already, and what is done to it shows."""
    wood: float = 0.0
    """Board that it takes anew. [mm²]"""
    edges: tuple[EdgeFit, ...] = ()
    features: tuple[FeatureFit, ...] = field(default=(), repr=False)

    @property
    def trouble(self) -> int:
        """0 for none, for sorting."""
        return TROUBLE.index(self.verdict)

    @property
    def minutes(self) -> float:
        """Rough time that it takes."""
        again = REPAINT if self.painted and self.trouble > TROUBLE.index("other place") else 0.0
        return MINUTES[self.verdict] + again


def answer_of(cabinet: Cabinet, piece: Piece, made: MadePiece, fit: Fit, *, seam: float) -> Answer:
    """The mildest thing that makes a made piece serve the plan.

    Args:
        cabinet: The plan.
        piece: The plan's.
        made: As it is.
        fit: The one laid into the place of the other.
        seam: A gap within this closes by itself. [mm]

    Source:
        Plain geometry; how wide a gap may be filled is common practice.
    """
    painted = made.record.reached("painted")
    wood = piece.width * piece.height

    long, short = sorted(sizes(made.show, made.back), reverse=True)

    def remake(reason: str, *, by: float = 0.0, edge: str = "", tilt_deg: float = 0.0) -> Answer:
        order = (
            f"Make the {piece.label} anew by its page; keep the old one, {mm(long)} × {mm(short)}, "
            "as an offcut."
        )
        return Answer(
            piece.key,
            piece.label,
            "remake",
            reason,
            (order,),
            by=by,
            edge=edge,
            tilt_deg=tilt_deg,
            painted=painted,
            wood=wood,
            edges=fit.edges,
            features=fit.features,
        )

    if fit.other_shape:
        return remake("Its outline has other corners now.")
    orders: list[str] = []
    reasons: list[str] = []
    verdict: Verdict = "unchanged"
    by, edge_name, tilt = 0.0, "", 0.0

    def worse(than: Verdict) -> Verdict:
        return than if TROUBLE.index(than) > TROUBLE.index(verdict) else verdict

    for edge in fit.edges:
        where = edge_words(cabinet, piece, edge)
        if edge.short > seam:
            filled = _filled(cabinet, piece, edge, sawn=edge.spare > seam)
            if filled is None:
                return remake(
                    f"{mm(edge.short)} lacks at {where}.",
                    by=edge.short,
                    edge=where,
                    tilt_deg=edge.tilt_deg,
                )
            verdict, by, edge_name = worse("shim"), max(by, edge.short), edge_name or where
            tilt = tilt or edge.tilt_deg
            if edge.spare > seam:
                reasons.append(f"{mm(edge.spare)} stands over on one face of {where}.")
                orders.append(_trim_order(piece, edge, where))
            reasons.append(f"{mm(edge.short)} lacks at {where}.")
            orders.append(filled)
        elif edge.spare > seam:
            verdict = worse("trim")
            by, edge_name = max(by, edge.spare), edge_name or where
            tilt = tilt or edge.tilt_deg
            reasons.append(f"{mm(edge.spare)} stands over at {where}.")
            orders.append(_trim_order(piece, edge, where))
    told: dict[tuple[Verdict, str, str], list[str]] = {}
    screws = [change for change in fit.features if _is_screw_hole(change)]
    if screws:
        verdict = worse("work on")
        reason, order = _screw_holes(screws)
        reasons.append(reason)
        for label, further, way in _shifted_cleats(cabinet, piece, screws, seam=seam):
            reasons.append(f"{capital(label)} sits {further} further {way} now.")
            orders.append(f"Fix the {label} {further} further {way}: mark its line anew first.")
        orders.append(order)
    for change in fit.features:
        if change in screws:
            continue
        step = _feature_step(cabinet, piece, change)
        if step is None:
            return remake(_feature_reason(cabinet, change), by=change.off)
        if step[0] != "unchanged":
            told.setdefault(step, []).append(feature_words(cabinet, change))
            by = max(by, change.off if change.change == "moved" else 0.0)
    for (mild, reason, order), names in told.items():
        verdict = worse(mild)
        row = listed(names)
        reasons.append(capital(reason.format(row, "are" if len(names) > 1 else "is")))
        orders.append(capital(order.format(row, "them" if len(names) > 1 else "it")))
    if verdict in ("trim", "shim", "plug") and painted:
        orders.append("It is painted: seal and touch up what was worked on.")
    if verdict in ("shim", "plug"):
        orders.append(
            "Or, if that is to stay out of sight for good, make it anew: "
            f"{mm(max(piece.width, piece.height))} × {mm(min(piece.width, piece.height))}."
        )
    if verdict != "unchanged" and made.record.state == "fitted":
        orders.insert(0, "It is in its place already: take it out first.")
    return Answer(
        piece.key,
        piece.label,
        verdict,
        " ".join(dict.fromkeys(reasons)) or "It is as the plan has it.",
        tuple(dict.fromkeys(orders)),
        by=by,
        edge=edge_name,
        tilt_deg=tilt,
        painted=painted,
        edges=fit.edges,
        features=fit.features,
    )


def edge_words(cabinet: Cabinet, piece: Piece, edge: EdgeFit) -> str:
    """An edge by name; an edge of a side by the panel that stands on it."""
    if piece.kind == "side":
        middle = _edge_middle(piece, edge.index)
        for run in cabinet.shape.runs:
            _, y, z = piece.frame.point(*middle)
            ey, ez = run.direction
            t = (y - run.p[0]) * ey + (z - run.p[1]) * ez
            off = (y - run.p[0]) * run.normal[0] + (z - run.p[1]) * run.normal[1]
            if abs(off) < 0.5 and 0 <= t <= run.length and run.panel:
                labels = {p.key: p.label for p in cabinet.pieces}
                return f"the edge under the {labels.get(run.panel, run.panel)}"
    return f"the {edge.name} edge"


def _edge_middle(piece: Piece, index: int) -> tuple[float, float]:
    (u0, v0), (u1, v1) = piece.show[index], piece.show[(index + 1) % len(piece.show)]
    return ((u0 + u1) / 2, (v0 + v1) / 2)


def _trim_order(piece: Piece, edge: EdgeFit, where: str) -> str:
    if edge.tilt_deg < SQUARE_DEG:
        return f"Saw {mm(edge.spare)} off {where}, square."
    if abs(edge.made_tilt_deg - edge.tilt_deg) > 0.05:
        return (
            f"Saw {where} again, blade tilted to {edge.tilt_deg:.1f}° instead of the "
            f"{edge.made_tilt_deg:.1f}° it has; {mm(edge.spare)} falls at most."
        )
    return f"Saw {mm(edge.spare)} off {where}, blade tilted to {edge.tilt_deg:.1f}°."


def _filled(cabinet: Cabinet, piece: Piece, edge: EdgeFit, *, sawn: bool) -> str | None:
    """How a gap at an edge is filled, which may be sawn on its other face first; None where it would show."""
    name = f"the {edge.name} edge"
    if edge.short_face == "back" and edge.short <= WEDGE_MOST:
        closes = "Then it closes" if sawn else f"Leave {name}: it closes"
        return (
            f"{closes} on the show face; fill the wedge of {mm(edge.short)} behind "
            "with glue and sawdust, or a sliver of veneer."
        )
    if edge.short > SHIM_MOST or piece.kind == "overlay":
        return None
    spans = piece.kind in ("panel", "inner") and edge.name in ("left", "right")
    if (
        spans
        or _is_covered(cabinet, piece, edge)
        or piece.kind in ("cleat", "rail", "strip", "duct")
    ):
        return (
            f"Glue a strip of veneer or thin plywood, {mm(edge.short)} thick, to {name} and trim it "
            "flush."
        )
    return None


def _is_covered(cabinet: Cabinet, piece: Piece, edge: EdgeFit) -> bool:
    """Whether a panel's edge along the run butts on the back of its neighbor, so that a filling hardly shows."""
    slab = cabinet.slab_by_panel.get(piece.key)
    if slab is None or edge.name not in ("lower", "upper"):
        return False
    at_start = (edge.name == "lower") == slab.run.climbs
    corner = slab.run.start if at_start else slab.run.end
    for seam in cabinet.corners:
        if seam.name == corner and seam.rule == "cover":
            return bool(seam.over) and seam.over != piece.key
    return False


# ---- holes ----


def _feature_step(
    cabinet: Cabinet, piece: Piece, change: FeatureFit
) -> tuple[Verdict, str, str] | None:
    """Verdict, reason and order for one feature, {} for its name; None where only a new piece helps."""
    if change.change == "missing":
        return ("work on", "the plan has {} now.", "make {} too, by the piece's page.")
    if change.change == "needless":
        assert change.made is not None
        if _is_hidden(change.made) or piece.kind not in HELD:
            return ("unchanged", "", "")
        return _plugged(piece, change.made, "{} {} not wanted any more.", "plug {}")
    planned, made = change.planned, change.made
    assert planned is not None and made is not None
    if planned.kind == "groove" and change.by:
        return _groove_step(change)
    if change.change == "smaller":
        return ("work on", "{} {} too small.", "enlarge {} to the size on the piece's page.")
    if change.change in ("larger", "deeper"):
        if _is_hidden(made) or _covers(cabinet, planned, made, 0.0):
            return ("unchanged", "", "")
        return _plugged(piece, made, "{} {} too large.", "plug {} and make {} anew")
    if change.change == "face":
        order = "glue a fitting strip into {}, plane it flush, and make {} in the other face"
        return _plugged(piece, made, "{} {} in the wrong face.", order)
    reason = f"{{}} {{}} {mm(change.off)} off."
    if _is_hidden(made):
        order = (
            "fill {} with glue and a sliver of wood, and bore {} at the place on the piece's page."
        )
        return ("work on", reason, order)
    if _covers(cabinet, planned, made, change.off):
        order = f"file {{}} out by {mm(change.off)} toward the place on the page; the part's rim covers the rest."
        return ("work on", reason, order)
    return _plugged(piece, made, reason, "plug {} and make {} anew at the place on the page")


def _groove_step(change: FeatureFit) -> tuple[Verdict, str, str]:
    """Verdict, reason and order for a groove whose board is thicker, thinner, longer or elsewhere now."""
    by = mm(change.by)
    if change.change == "loose":
        order = f"glue a strip of veneer {by} thick to the board's hidden face, where it goes into {{}}."
        return ("work on", f"{{}} {{}} {by} wider than the board needs.", order)
    if change.change == "narrow":
        order = "rout {} as wide as on the piece's page, on the wall that the board's hidden face meets."
        return ("work on", f"{{}} {{}} {by} too narrow for the board.", order)
    if change.change == "short":
        return (
            "work on",
            f"{{}} {{}} {by} too short.",
            "rout {} on to where the page has its end.",
        )
    order = "glue a fitting strip into {}, plane it flush, and rout the groove anew where the page has it."
    return ("work on", f"{{}} {{}} {by} off.", order)


def _is_screw_hole(change: FeatureFit) -> bool:
    """A hole for a screw that is elsewhere, or not bored yet: nobody sees it, and it is simply bored."""
    feature = change.planned or change.made
    return (
        feature is not None
        and change.change in ("moved", "missing", "smaller", "face")
        and feature.kind in SCREWED
    )


def _screw_holes(changes: list[FeatureFit]) -> tuple[str, str]:
    """Reason and order for screw holes that are not where the plan has them."""
    moved = [change.off for change in changes if change.change != "missing"]
    new = len(changes) - len(moved)
    reasons = []
    if moved:
        places = counted(len(moved), "screw hole")
        reasons.append(f"{places} {'is' if len(moved) == 1 else 'are'} up to {mm(max(moved))} off.")
    if new:
        reasons.append(f"{counted(new, 'screw hole')} more {'is' if new == 1 else 'are'} needed.")
    order = "Bore the screw holes by the piece's page"
    if moved:
        order += "; fill the old ones with glue and a sliver of wood first where they touch"
    return " ".join(reasons), f"{order}."


def _shifted_cleats(
    cabinet: Cabinet, side: Piece, changes: list[FeatureFit], *, seam: float
) -> list[tuple[str, str, str]]:
    """Cleats whose screws in a side moved across them: label, length, and in or out of the cabinet."""
    across: dict[str, list[float]] = {}
    for change in changes:
        cleat = cabinet.piece_by_key.get(change.planned.owner) if change.planned else None
        if cleat is None or cleat.kind != "cleat" or change.change != "moved":
            continue
        frame = side.frame
        made = [change.du * a + change.dv * b for a, b in zip(frame.u, frame.v, strict=True)]
        across.setdefault(cleat.key, []).append(
            sum(a * b for a, b in zip(made, cleat.frame.n, strict=True))
        )
    found = []
    for key, shifts in across.items():
        inward = sum(shifts) / len(shifts)
        if abs(inward) > seam:
            label = cabinet.piece_by_key[key].label
            found.append((label, mm(abs(inward)), "in" if inward > 0 else "out"))
    return found


def _plugged(
    piece: Piece, made: Feature, reason: str, order: str
) -> tuple[Verdict, str, str] | None:
    """A hole is plugged where the piece is wood, its rim is plain and the plug is of a size that paint hides."""
    if piece.kind == "overlay" or made.chamfer:
        return None
    if isinstance(made.shape, Rectangle) and made.depth is None and made.shape.width > PLUG_MOST:
        return None
    plug = "with the same board, grain alike, glued and sanded flush"
    return ("plug", reason, f"{order}: {plug}.")


def _is_hidden(feature: Feature) -> bool:
    """Worked from the back and not right through: nobody sees it."""
    return feature.kind in SCREWED or (feature.face == "back" and feature.depth is not None)


def _covers(cabinet: Cabinet, planned: Feature, made: Feature, off: float) -> bool:
    """Whether the part's rim, at its place, covers the hole as it is made."""
    placed = cabinet.placed_by_key.get(planned.owner)
    if placed is None or not isinstance(made.shape, Circle):
        return False
    rim = rim_of(placed.part.data)
    return rim is not None and made.shape.diameter / 2 + off + 0.5 <= rim


def rim_of(data: object) -> float | None:
    """Radius that a part's bezel, flange or washer covers at least. [mm]"""
    for name in ("bezel", "frame", "flange", "knob"):
        value = getattr(data, name, None)
        if isinstance(value, float) and value > 0:
            return value / 2
    wide, high = getattr(data, "flange_width", None), getattr(data, "flange_height", None)
    if isinstance(wide, float) and isinstance(high, float) and wide and high:
        return min(wide, high) / 2
    return None


def feature_words(cabinet: Cabinet, change: FeatureFit) -> str:
    """What a feature is called, such as "the hole of red"."""
    feature = change.planned or change.made
    assert feature is not None
    placed = cabinet.placed_by_key.get(feature.owner)
    what = {"pilot": "pilot hole", "clearance": "screw hole"}.get(feature.kind, feature.kind)
    if placed is not None:
        return f"the {what} of {placed.label or placed.part.label}"
    if feature.label:
        return f"the {feature.label}"
    return f"the {what} {change.key}"


def _feature_reason(cabinet: Cabinet, change: FeatureFit) -> str:
    name = capital(feature_words(cabinet, change))
    said = {
        "moved": f"{name} is {mm(change.off)} off, and a plug would show.",
        "larger": f"{name} is too large, and a plug would show.",
        "deeper": f"{name} is too deep.",
        "needless": f"{name} is not wanted any more, and a plug would show.",
        "face": f"{name} is in the wrong face.",
    }
    return said.get(change.change, f"{name} is not as the plan has it.")


__all__ = ["Answer", "Verdict", "answer_of", "edge_words", "feature_words", "rim_of"]
