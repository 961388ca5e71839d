"""Steps at the machines: cutting, bevelling, routing, drilling."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.findings import mm
from casewright.basics.wording import listed
from casewright.geometry.edge_trim import slot_reach
from casewright.geometry.model import Cabinet, Circle, Feature, Piece, Rectangle
from casewright.planning.blanks import Cutting
from casewright.planning.cautions import Hazard
from casewright.planning.setups import is_rectangle, saw_setups
from casewright.planning.step import Step, labels_of

PLASTICS = ("acrylic", "polycarbonate")
BOARDS = ("side", "panel", "overlay", "inner", "board", "door")
ROUTED = ("flush trim", "straight", "slot cutter", "jigsaw", "chamfer", "round over", "saw")
ROUTER_BITS = ("flush trim", "straight", "slot cutter", "chamfer", "round over")


def cutting_steps(cabinet: Cabinet, cutting: Cutting) -> Iterator[Step]:
    """One step a material, then the battens."""
    by_material: dict[str, list[Piece]] = {}
    for piece in cabinet.pieces:
        by_material.setdefault(piece.material, []).append(piece)
    plans = {plan.material: plan for plan in cutting.plans}
    for rank, (key, material) in enumerate(cabinet.project.materials.items()):
        pieces = by_material.get(key)
        if not pieces:
            continue
        plastic = material.kind in PLASTICS
        plan = plans.get(key)
        label = material.label or key
        orders = [
            f"Measure the sheet at four places; this book reckons with {mm(material.thickness)}."
        ]
        if plan:
            sheets = len(plan.plan.sheets)
            orders.append(
                f"Follow the cut order of {label}: {sheets} {'sheet' if sheets == 1 else 'sheets'}, "
                f"{plan.plan.fence_settings} fence settings."
            )
        orders.append("Mark name, show face and upper edge on every piece as it comes off the saw.")
        hazards: tuple[Hazard, ...] = ("plastics", "saw") if plastic else ("saw", "dust")
        yield Step(
            key=f"cut.{key}",
            stage="cut",
            title=f"Cut the pieces of {label}",
            orders=tuple(orders),
            pieces=tuple(piece.key for piece in pieces),
            tool="Table saw or track saw" + (", blade for plastics" if plastic else ""),
            face_up="show face up on the table saw, down under a track or hand-held saw",
            cautions=hazards,
            rank=rank,
        )
    battens = by_material.get("batten")
    if battens:
        yield Step(
            key="cut.battens",
            stage="cut",
            title="Cut the battens to length",
            orders=(
                f"Cut {len(battens)} lengths, the longest first, by the batten list; "
                "use a stop for equal ones.",
                "Write each name on its batten, and which end is up.",
            ),
            pieces=tuple(piece.key for piece in battens),
            tool="Miter saw, or hand saw and miter box",
            cautions=("saw",),
            rank=50,
        )


def bevel_steps(cabinet: Cabinet) -> Iterator[Step]:
    """One step a tilt of the saw."""
    most = cabinet.project.shop.tilt_most
    pieces = cabinet.piece_by_key
    for setup in saw_setups(cabinet):
        edges = setup.edges
        orders = [f"Tilt the blade to {setup.tilt_deg:.1f}°; prove it on scrap with a bevel gauge."]
        if setup.tilt_deg > most + 0.05:
            orders = [
                f"{setup.tilt_deg:.1f}° is more than the saw's {most:.0f}°: do not force it. Choose "
                "another seam, or saw the piece standing on end against a tall fence with a jig."
            ]
        orders += [
            f"Cut the {edge.edge} edge of the {edge.label}: long point on the {edge.longer} face, "
            f"{mm(edge.across)} from the opposite edge."
            for edge in edges
        ]
        keys = tuple(dict.fromkeys(edge.piece for edge in edges))
        yield Step(
            key=f"bevel.{setup.tilt_deg:.1f}",
            stage="bevel",
            title=f"Bevel at {setup.tilt_deg:.1f}°: "
            + listed(dict.fromkeys(edge.label for edge in edges)),
            orders=tuple(orders),
            pieces=keys,
            tool="Table saw, blade tilted",
            face_up="longer face up, blade leaning away from the fence",
            cautions=("saw",),
            needs=tuple(dict.fromkeys(_cut_key(pieces[key]) for key in keys)),
            rank=setup.tilt_deg,
        )


def shaping_steps(cabinet: Cabinet) -> Iterator[Step]:
    """Sides as a pair, then each panel with its overlays, then the small pieces."""
    labels = labels_of(cabinet)
    sides = [piece for piece in cabinet.pieces if piece.kind == "side"]
    groups: dict[str, list[Piece]] = {}
    small = []
    for piece in cabinet.pieces:
        if piece.kind == "side" or not (piece.features or not is_rectangle(piece)):
            continue
        if piece.kind in BOARDS:
            groups.setdefault(piece.panel or piece.key, []).append(piece)
        else:
            small.append(piece)
    if sides:
        yield _shaped("shape.sides", "sides", sides, labels, rank=0, orders=_side_orders(sides))
    for rank, (panel, pieces) in enumerate(groups.items(), start=1):
        title = listed(piece.label for piece in reversed(pieces))
        yield _shaped(f"shape.{panel}", title, pieces, labels, rank=rank)
    if small:
        hazards: tuple[Hazard, ...] = ("drill",)
        yield Step(
            key="shape.small",
            stage="shape",
            title="Drill the cleats, rails and other small pieces",
            orders=(
                "Bore the counterbores first, then the screw holes through their middles.",
                f"Follow the drilling table; {len(small)} pieces, each with its drawing.",
            ),
            pieces=tuple(piece.key for piece in small),
            tool="Drill press or drill with a stand",
            face_up="back face, away from what it is fixed to",
            cautions=hazards,
            needs=tuple(dict.fromkeys(_cut_key(piece) for piece in small)),
            rank=100,
        )


def made_before(piece: Piece, steps: Sequence[Step]) -> tuple[str, ...]:
    """Keys of all the steps that make this piece."""
    return tuple(
        step.key
        for step in steps
        if step.stage in ("cut", "bevel", "shape") and piece.key in step.pieces
    )


def _shaped(
    key: str,
    title: str,
    pieces: Sequence[Piece],
    labels: dict[str, str],
    *,
    rank: float,
    orders: Sequence[str] = (),
) -> Step:
    features = [(piece, feature) for piece in pieces for feature in piece.features]
    routed = [pair for pair in features if pair[1].tool in ROUTED]
    drilled = [pair for pair in features if pair[1].tool not in ROUTED]
    lines = list(orders)
    faces = [face for face in ("show", "back") if any(f.face == face for _, f in features)]
    routs: dict[str, int] = {}
    for piece in reversed(pieces):
        for feature in (f for p, f in routed if p is piece):
            order = _rout_order(piece, feature, several=len(pieces) > 1)
            routs[order] = routs.get(order, 0) + 1
    lines += [f"{order} {count} alike." if count > 1 else order for order, count in routs.items()]
    if len(pieces) > 1 and any(piece.kind == "overlay" for piece in pieces):
        lines.append(
            "Clamp the overlay onto its board, film on, edges flush, and drill the holes that go "
            "through both in one go from the show face."
        )
    for face in faces:
        count = sum(f.face == face for _, f in drilled)
        if not count:
            continue
        under = "the show face" if face == "back" else "the back face"
        lines.append(
            f"Drill from the {face} face by the drilling table ({count} "
            f"{'hole' if count == 1 else 'holes'}), backing board under {under}."
        )
    if any(feature.kind == "pilot" for _, feature in drilled):
        lines.append("Set the depth stop for pilot holes: they must not come through.")
    tools = []
    if any(f.tool in ROUTER_BITS for _, f in routed):
        tools.append("router")
    if any(f.tool in ("jigsaw", "saw") for _, f in routed) or "jigsaw" in " ".join(orders):
        tools.append("jigsaw")
    if drilled:
        tools.append("drill")
    hazards: list[Hazard] = []
    if "router" in tools:
        hazards.append("router")
    if "jigsaw" in tools and "router" not in tools:
        hazards.append("saw")
    if drilled:
        hazards.append("drill")
    if any(piece.kind == "overlay" for piece in pieces):
        hazards.append("plastics")
    hazards.append("dust")
    verbs = {"jigsaw": "saw", "router": "rout", "drill": "drill"}
    words = listed(verbs[tool] for tool in ("jigsaw", "router", "drill") if tool in tools)
    return Step(
        key=key,
        stage="shape",
        title=f"{(words or 'saw').capitalize()} the {title}",
        orders=tuple(lines),
        pieces=tuple(piece.key for piece in pieces),
        parts=tuple(dict.fromkeys(f.owner for _, f in features if f.owner in labels)),
        tool=", ".join(tools).capitalize(),
        face_up=", then ".join(f"{face} face" for face in faces),
        cautions=tuple(hazards),
        needs=tuple(dict.fromkeys(_cut_key(piece) for piece in pieces)),
        rank=rank,
    )


def _side_orders(sides: Sequence[Piece]) -> list[str]:
    orders = []
    if any(not is_rectangle(piece) for piece in sides):
        orders = [
            "Fix the two blanks on each other with double-sided tape, show faces outward, and the "
            "profile template on top.",
            "Saw the profile with the jigsaw a little outside the line, then trim or plane both "
            "to the line as a pair.",
        ]
    return [*orders, "Take them apart; draw the cabinetmaker's triangle and mark LEFT and RIGHT."]


def _rout_order(piece: Piece, feature: Feature, *, several: bool) -> str:
    where = f" in the {piece.label}" if several else ""
    shape = feature.shape
    what = feature.label or feature.kind
    if isinstance(shape, Rectangle):
        size = f", {mm(shape.width)} × {mm(shape.height)}"
    elif isinstance(shape, Circle):
        size = f", {mm(shape.diameter)} across"
    else:
        size = ""
    depth = "right through" if feature.depth is None else f"{mm(feature.depth)} deep"
    rim = f"; chamfer its rim {mm(feature.chamfer)} wide" if feature.chamfer else ""
    if feature.kind == "slot":
        return (
            f"Rout the {what}, {mm(feature.depth or 0.0)} wide and {mm(slot_reach(feature))} "
            f"deep, in the middle of the edges: set the cutter on scrap of the same board until the "
            f"slot stays where it is when the scrap is turned over."
        )
    if feature.tool == "flush trim" and feature.depth is None:
        return f"Saw out roughly{where}, then trim along guide strips: {what}{size}{rim}."
    verb = "Saw" if feature.tool in ("jigsaw", "saw") else "Rout"
    return f"{verb}{where}: {what}{size}, {depth}, from the {feature.face} face{rim}."


def _cut_key(piece: Piece) -> str:
    return "cut.battens" if piece.material == "batten" else f"cut.{piece.material}"


__all__ = [
    "BOARDS",
    "PLASTICS",
    "ROUTED",
    "ROUTER_BITS",
    "bevel_steps",
    "cutting_steps",
    "made_before",
    "shaping_steps",
]
