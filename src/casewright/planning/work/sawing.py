"""Steps at the saws: every cut of every sheet, every batten, every bevelled edge."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence

from casewright.basics.findings import mm
from casewright.basics.wording import listed
from casewright.geometry.model import Cabinet, Piece
from casewright.planning.blanks import Cutting, MaterialPlan
from casewright.planning.cautions import Hazard
from casewright.planning.cutting import Blank, CutResult, CutStep, SheetLayout
from casewright.planning.cutting.steps import SLED_REACH
from casewright.planning.setups import BevelEdge, saw_setups
from casewright.planning.work.apart import nest_steps
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.step import Setting, Step

PLASTICS = ("acrylic", "polycarbonate")
MARK = "Mark its name, show face and upper edge at once."

_Rect = tuple[float, float, float, float]


def cut_key(piece: str) -> str:
    """Key of the step that frees a piece where no cutting plan does."""
    return f"cut.{piece}"


def cutting_steps(cabinet: Cabinet, cutting: Cutting) -> list[Step]:
    """Every cut of the sheets, then pieces without a place on a sheet, then battens."""
    plans = {plan.material: plan for plan in cutting.plans}
    steps: list[Step] = []
    for rank, (key, material) in enumerate(cabinet.project.materials.items()):
        pieces = [piece for piece in cabinet.pieces if piece.material == key]
        if not pieces:
            continue
        plastic = material.kind in PLASTICS
        plan = plans.get(key)
        if plan:
            steps += _sheet_cuts(plan, rank=rank, plastic=plastic, thickness=material.thickness)
            steps += nest_steps(cabinet, plan, steps, rank=rank)
        freed = {key for step in steps for key in step.pieces}
        steps += [
            _loose_cut(piece, material.label or key, rank=rank, plastic=plastic)
            for piece in pieces
            if piece.key not in freed
        ]
    return [*steps, *_batten_cuts(cabinet)]


def freed_by(steps: Sequence[Step]) -> dict[str, str]:
    """Key of the step at which each piece comes off the saw."""
    return {piece: step.key for step in steps if step.stage == "cut" for piece in step.pieces}


def is_plastic(cabinet: Cabinet, piece: Piece) -> bool:
    """Whether it is cut from a plastic."""
    material = cabinet.project.materials.get(piece.material)
    return material is not None and material.kind in PLASTICS


def blade_for(cabinet: Cabinet, piece: Piece) -> str:
    """The jigsaw's blade for it."""
    return "for plastics" if is_plastic(cabinet, piece) else "for wood"


def _sheet_cuts(
    plan: MaterialPlan, *, rank: float, plastic: bool, thickness: float
) -> Iterator[Step]:
    blanks = {blank.key: blank for blank in plan.blanks}
    used: set[str] = set()
    for number, sheet in enumerate(plan.plan.sheets, start=1):
        makers: dict[_Rect, str] = {}
        for cut in sheet.cuts:
            key = _once(_cut_key(plan.material, sheet, cut), used)
            rect = _rect(cut.x, cut.y, cut.length, cut.width)
            needs = (makers[rect],) if rect in makers else ()
            for result in cut.results:
                makers[_rect(result.x, result.y, result.length, result.width)] = key
            yield _cut(
                plan,
                sheet,
                cut,
                key=key,
                number=number,
                needs=needs,
                rank=rank,
                plastic=plastic,
                blanks=blanks,
                thickness=thickness,
            )


def _cut(
    plan: MaterialPlan,
    sheet: SheetLayout,
    cut: CutStep,
    *,
    key: str,
    number: int,
    needs: tuple[str, ...],
    rank: float,
    plastic: bool,
    blanks: dict[str, Blank],
    thickness: float,
) -> Step:
    job = "trim cut" if cut.trimming else "saw cut"
    words = {
        "fence": f"fence at {mm(cut.fence)}",
        "sled": f"on a sled or against the miter gauge, stop block at {mm(cut.fence)}",
        "guide": f"along a clamped guide rail, {mm(cut.fence)} from the edge",
    }[cut.means]
    setting = _flat_setting(cut.fence, cut.means, plastic=plastic)
    parts = [result for result in cut.results if result.kind == "part"]
    gives = listed(result.name for result in cut.results) or "dust only"
    verb = "Trim" if cut.trimming else cut.direction.capitalize()
    where = f" {number} of {len(plan.plan.sheets)}" if len(plan.plan.sheets) > 1 else ""
    orders = [f"{verb} {cut.piece}, {words}: gives {gives}."]
    if not needs:
        orders.insert(
            0,
            f"Measure the sheet's thickness at four places; this book reckons with {mm(thickness)}.",
        )
    nests = [result for result in parts if blanks[result.blank].nested]
    if len(parts) > len(nests):
        orders.append(MARK)
    if nests:
        orders.append(
            "Mark on the nest which face is the show face, which end lies left in the drawing of the sheet."
        )
    minutes = minutes_table()
    means = {"fence": job, "sled": "sled cut", "guide": "guide rail cut"}[cut.means]
    hazards: tuple[Hazard, ...] = ("plastics", "saw") if plastic else ("saw", "dust")
    return Step(
        key=key,
        stage="cut",
        title=f"{plan.label}, sheet{where}, cut {cut.number}: {verb.lower()} {cut.piece}"
        + (f", gives {listed(r.name for r in parts)}" if parts else ""),
        orders=tuple(orders),
        pieces=tuple(
            dict.fromkeys(
                result.blank
                for result in parts
                if result.blank in blanks and not blanks[result.blank].nested
            )
        ),
        tool=_saw_words(cut.means, plastic=plastic),
        face_up="down under the rail" if cut.means == "guide" else "show face up",
        cautions=hazards,
        needs=needs,
        rank=rank,
        setting=setting,
        job=means,
        minutes=minutes.of(means, 1),
        sheet=(plan.material, sheet.index, cut.number),
    )


def _flat_setting(fence: float, means: str, *, plastic: bool, tilt: str = "upright") -> Setting:
    blade = "plastics" if plastic else ""
    # Another blade is another proof of fence and rail.
    with_blade = ", blade for plastics" if plastic else ""
    if means == "guide":
        return Setting("guide rail saw", (f"{mm(round(fence, 2))}{with_blade}",))
    sled = "sled, stop at " if means == "sled" else ""
    return Setting("table saw", (tilt, f"{sled}{mm(round(fence, 2))}{with_blade}"), blade=blade)


def _saw_words(means: str, *, plastic: bool) -> str:
    saw = "Track saw or circular saw on a guide rail" if means == "guide" else "Table saw"
    return saw + (", blade for plastics" if plastic else "")


def _cut_key(material: str, sheet: SheetLayout, cut: CutStep) -> str:
    """A name from what the cut separates, not from places: it stays while the same pieces part the same way."""
    kept = cut.results[0] if cut.results else None
    near = _inside(sheet, kept) if kept else []
    whole = sorted(
        f"{p.blank}#{p.copy}"
        for p in sheet.placements
        if _covers((cut.x, cut.y, cut.length, cut.width), (p.x, p.y, p.length, p.width))
    )
    if cut.trimming and kept is not None:
        edge = (
            ("top" if kept.y <= cut.y + 1e-6 else "bottom")
            if cut.direction == "rip"
            else ("right" if kept.x <= cut.x + 1e-6 else "left")
        )
        return f"cut.{material}.trim-{edge}.{_digest(whole)}"
    first = near[0] if near else "rest"
    more = f"+{len(near) - 1}" if len(near) > 1 else ""
    return f"cut.{material}.{cut.direction}.{first}{more}.{_digest([*near, '|', *whole])}"


def _inside(sheet: SheetLayout, result: CutResult) -> list[str]:
    """The pieces that lie in what a cut gives."""
    outer = (result.x, result.y, result.length, result.width)
    return sorted(
        f"{p.blank}#{p.copy}" if p.copy > 1 else p.blank
        for p in sheet.placements
        if _covers(outer, (p.x, p.y, p.length, p.width))
    )


def _covers(outer: _Rect, inner: _Rect) -> bool:
    return (
        outer[0] <= inner[0] + 1e-3
        and outer[1] <= inner[1] + 1e-3
        and outer[0] + outer[2] >= inner[0] + inner[2] - 1e-3
        and outer[1] + outer[3] >= inner[1] + inner[3] - 1e-3
    )


def _digest(names: Sequence[str]) -> str:
    return hashlib.sha256("\n".join(names).encode()).hexdigest()[:6]


def _once(key: str, used: set[str]) -> str:
    """The key, or the key with the first number that makes it new."""
    number, made = 2, key
    while made in used:
        made = f"{key}.{number}"
        number += 1
    used.add(made)
    return made


def _rect(x: float, y: float, length: float, width: float) -> _Rect:
    return (round(x, 3), round(y, 3), round(length, 3), round(width, 3))


def _loose_cut(piece: Piece, label: str, *, rank: float, plastic: bool) -> Step:
    """A piece that no sheet of the plan holds: nobody knows from which board it comes."""
    hazards: tuple[Hazard, ...] = ("plastics", "saw") if plastic else ("saw", "dust")
    return Step(
        key=cut_key(piece.key),
        stage="cut",
        title=f"Cut the {piece.label} of {label}",
        orders=(
            f"Cut it to {mm(piece.width)} × {mm(piece.height)}, from a board that this plan does not know: see the "
            "findings.",
            MARK,
        ),
        pieces=(piece.key,),
        tool=_saw_words("fence", plastic=plastic),
        face_up="show face up",
        cautions=hazards,
        rank=rank,
        setting=_flat_setting(min(piece.width, piece.height), "fence", plastic=plastic),
        count=4,
        job="saw cut",
        minutes=minutes_table().of("saw cut", 4),
    )


def _batten_cuts(cabinet: Cabinet) -> Iterator[Step]:
    """One step a length, the longest first."""
    battens = [piece for piece in cabinet.pieces if piece.material == "batten"]
    for piece in battens:
        length = max(piece.width, piece.height)
        yield Step(
            key=cut_key(piece.key),
            stage="cut",
            title=f"Batten: cut the {piece.label} to {mm(length)}",
            orders=(
                f"Cut {mm(length)} against the stop.",
                "Write its name on it, and which end is up.",
            ),
            pieces=(piece.key,),
            tool="Miter saw, or hand saw and miter box",
            cautions=("saw",),
            rank=1e5 - length,
            setting=Setting("miter saw", (mm(round(length, 1)),)),
            job="batten cut",
            minutes=minutes_table().of("batten cut", 1),
        )


def bevel_steps(cabinet: Cabinet, freed: dict[str, str]) -> Iterator[Step]:
    """One step a bevelled edge.

    Args:
        cabinet: The cabinet.
        freed: As `freed_by` gives it.
    """
    shop = cabinet.project.shop
    pieces = cabinet.piece_by_key
    used: set[str] = set()
    for setup in saw_setups(cabinet):
        for edge in setup.edges:
            piece = pieces[edge.piece]
            plastic = is_plastic(cabinet, piece)
            fence, means = bevel_fence(piece, edge), bevel_means(piece, edge, shop.fence_reach)
            led = {
                "fence": f"fence at {mm(fence)}, measured on the table",
                "sled": f"on a sled or against the miter gauge, stop block at {mm(fence)}, measured on the table",
                "guide": f"with a circular saw tilted, along a clamped guide rail, {mm(fence)} from the far edge",
            }[means]
            orders = [f"Tilt the blade to {setup.tilt_deg:.1f}°; prove it on scrap."]
            if setup.tilt_deg > shop.tilt_most + 0.05:
                orders = [
                    f"{setup.tilt_deg:.1f}° is more than the saw's {shop.tilt_most:.0f}°: do not force it. Choose "
                    "another seam, or saw the piece standing on end against a tall fence with a jig."
                ]
            orders += [
                f"Lay the {edge.label} {edge.longer} face up, {led}; the blade leans away from the fence.",
                f"Cut the {edge.edge} edge: long point on the {edge.longer} face, {mm(edge.across)} from the opposite "
                "edge.",
            ]
            tilt = f"{setup.tilt_deg:.1f}°"
            yield Step(
                key=_once(f"bevel.{edge.piece}.{edge.edge}", used),
                stage="bevel",
                title=f"Bevel the {edge.edge} edge of the {edge.label} at {tilt}",
                orders=tuple(orders),
                pieces=(edge.piece,),
                tool="Table saw, blade tilted" + (", blade for plastics" if plastic else ""),
                face_up=f"{edge.longer} face up, blade leaning away from the fence",
                face=edge.longer,
                cautions=("plastics", "saw") if plastic else ("saw",),
                needs=(freed[edge.piece],) if edge.piece in freed else (),
                rank=setup.tilt_deg,
                setting=Setting(
                    "table saw",
                    (
                        tilt,
                        f"{'' if means == 'fence' else f'{means} '}{mm(round(fence, 1))}"
                        + (", blade for plastics" if plastic else ""),
                    ),
                    blade="plastics" if plastic else "",
                ),
                job="bevel",
                minutes=minutes_table().of("bevel", 1),
            )


def bevel_fence(piece: Piece, edge: BevelEdge) -> float:
    """From the fence to the blade where it leaves the table: the far edge's outermost line to the shorter face. [mm]

    The piece lies with its longer face up, so that the shorter one is on the table; its far edge touches the fence with
    whichever face reaches further there.
    """
    outline = piece.show if edge.longer == "show" else piece.back
    axis = 0 if edge.edge in ("left", "right") else 1
    sign = 1 if edge.edge in ("right", "upper") else -1
    point = max(sign * p[axis] for p in outline)
    far = min(sign * p[axis] for p in (*piece.show, *piece.back))
    return point - far - edge.reach


def bevel_means(piece: Piece, edge: BevelEdge, reach: float | None) -> str:
    """What leads it, as flat cuts are led: the fence where the piece is long beside it, else sled or guide."""
    if reach is not None and edge.across > reach:
        return "guide"
    if edge.length >= edge.across:
        return "fence"
    return "sled" if edge.length <= SLED_REACH else "guide"


__all__ = [
    "PLASTICS",
    "bevel_fence",
    "bevel_means",
    "bevel_steps",
    "blade_for",
    "cut_key",
    "cutting_steps",
    "freed_by",
    "is_plastic",
]
