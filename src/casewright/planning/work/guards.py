"""Guards against the classic mistakes: each looks through a plan, says where it is warned of, and finds breaks.

A guard reads what the steps do (faces, stops, what is laid where, screws, needs), never their words; the words are
those that the steps say at that moment. A plan made by `plan_work` breaks none, but for what the design itself makes
impossible.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import listed
from casewright.geometry.captive import best_to_open, opening_values
from casewright.geometry.model import Cabinet, Piece, Placed
from casewright.planning.work.holes import ROUTED
from casewright.planning.work.part_orders import is_electric
from casewright.planning.work.step import GuardKey, Step, is_removable, labels_of, other, screws_of

STOP_PLAY = 0.05
"""Stops are set to a tenth of a millimeter. [mm]"""

COMMON = "Common practice"

TWO_LEFTS = Rule(
    "work.two-lefts",
    Severity.STOP,
    "Sides are made as a left and a right.",
    "Two lefts are found at the assembly, when the board is used up.",
    COMMON,
)
MARKS = Rule(
    "work.marks-on-show-face",
    Severity.STOP,
    "Guide strips and pins go on faces that nobody sees.",
    "Pin holes and torn fibres show through paint.",
    COMMON,
)
TEMPLATE = Rule(
    "work.template-face",
    Severity.STOP,
    "What is worked from a face is marked out on that face before.",
    "A template on the other face puts every hole into its mirror image.",
    COMMON,
)
THROUGH = Rule(
    "work.through-show-face",
    Severity.STOP,
    "What ends inside the board is worked against a stop that is set shorter than the board.",
    "A drill that comes through ruins the face that is seen.",
    COMMON,
)
SCREWS = Rule(
    "work.screws-through",
    Severity.STOP,
    "Every screw is driven where it was reckoned for, and its tip stays inside.",
    "A screw from the next box, one size longer, comes out of the show face.",
    COMMON,
)
BLOW_OUT = Rule(
    "work.blow-out",
    Severity.STOP,
    "What goes right through is worked on a backing board.",
    "Without it the far face breaks out round the hole.",
    COMMON,
)
PAINT = Rule(
    "work.paint-on-glue-face",
    Severity.STOP,
    "Nothing is glued on paint.",
    "Glue holds wood, not paint; the joint lets go later.",
    COMMON,
)
CLOSED = Rule(
    "work.closed-too-soon",
    Severity.STOP,
    "A panel that closes the cabinet comes after all that is fastened behind it.",
    "What is loose behind a glued panel stays loose.",
    COMMON,
)


@dataclass(frozen=True)
class Said:
    """A step that warns of the mistake."""

    step: str
    number: int
    words: str


@dataclass(frozen=True)
class Guard:
    """One classic mistake: where the plan warns of it, and where it would make it."""

    key: GuardKey
    title: str
    said: tuple[Said, ...]
    findings: tuple[Finding, ...]


def guards_of(cabinet: Cabinet, steps: Sequence[Step]) -> tuple[Guard, ...]:
    """All guards over a plan.

    Args:
        cabinet: The cabinet.
        steps: In the order of work, numbered.
    """
    return tuple(
        Guard(key, title, _said(steps, key, word), tuple(find(cabinet, steps)))
        for key, title, word, find in GUARDS
    )


def _said(steps: Sequence[Step], key: GuardKey, word: str) -> tuple[Said, ...]:
    """Steps that name the guard, with the order that says it."""
    found = []
    for step in steps:
        if key in step.guards:
            words = next((order for order in step.orders if word in order.lower()), step.orders[0])
            found.append(Said(step.key, step.number, words))
    return tuple(found)


# ---- what each looks for ----


def two_lefts(cabinet: Cabinet, steps: Sequence[Step]) -> Iterator[Finding]:
    """Sides sawn on each other lie like faces together; left and right are told apart before one face is worked."""
    sides = [piece.key for piece in cabinet.pieces if piece.kind == "side"]
    if len(sides) < 2:
        return
    labels = labels_of(cabinet)
    for step in steps:
        faces = {laid.face for laid in step.laid if laid.what == "other side"}
        if len(faces) > 1:
            yield TWO_LEFTS.finding(
                f"Step {step.number}: the sides are fixed on each other show face to back face: both come out alike.",
                remedies=(Remedy("Fix them back face to back face."),),
                names=tuple(sides),
            )
    told = [step for step in steps if "two lefts" in step.guards and step.job == "mark pair"]
    first = next(
        (s for s in steps if any(w.piece in sides and w.part == "whole" for w in s.works)), None
    )
    if first and (not told or told[0].number > first.number):
        yield TWO_LEFTS.finding(
            f"Step {first.number} works on the {labels[first.pieces[0]]} before left and right are told apart.",
            remedies=(Remedy("Mark LEFT and RIGHT on the inner faces before."),),
            names=tuple(sides),
        )
    # One piece in one setting: both sides from one list of places would be two lefts, unless it is worked in the edge.
    for step in steps:
        mine = {w.piece for w in step.works if w.piece in sides}
        if len(mine) > 1 and step.job != "slot":
            yield TWO_LEFTS.finding(
                f"Step {step.number} works both sides by one set of marks.",
                remedies=(Remedy("Mark out and work each side by its own sheet."),),
                names=tuple(sides),
            )


def marks_on_show_face(cabinet: Cabinet, steps: Sequence[Step]) -> Iterator[Finding]:
    """Strips never on a show face; pins neither."""
    labels = labels_of(cabinet)
    for step in steps:
        for laid in step.laid:
            if laid.face == "show" and (laid.what == "guide strips" or laid.held == "pins"):
                yield MARKS.finding(
                    f"Step {step.number} fixes {laid.what} on the show face of the {labels[laid.piece]}.",
                    remedies=(Remedy("Fix them on the back face and work from there."),),
                    names=(laid.piece,),
                )


def template_face(cabinet: Cabinet, steps: Sequence[Step]) -> Iterator[Finding]:
    """Marked on the face that lies up when it is worked, and before."""
    labels = labels_of(cabinet)
    marked: set[tuple[str, str]] = set()
    for step in steps:
        for laid in step.laid:
            if laid.what == "template" and (laid.piece, laid.face) not in step.marks:
                yield TEMPLATE.finding(
                    f"Step {step.number} lays the template on the {laid.face} face of the {labels[laid.piece]}, but "
                    "marks another.",
                    names=(laid.piece,),
                )
        if step.face is not None and step.job != "slot":
            for piece in dict.fromkeys(
                w.piece for w in step.works if w.part not in ("rim", "round")
            ):
                if (piece, step.face) not in marked and step.job != "centres":
                    yield TEMPLATE.finding(
                        f"Step {step.number} works the {labels[piece]} from its {step.face} face, which nobody has "
                        "marked out.",
                        remedies=(Remedy(f"Mark out the {step.face} face before."),),
                        names=(piece,),
                    )
        marked |= set(step.marks)


def through_show_face(cabinet: Cabinet, steps: Sequence[Step]) -> Iterator[Finding]:
    """Blind work has a stop, no deeper than meant and less than the board."""
    pieces = cabinet.piece_by_key
    for step in steps:
        for work in step.works:
            if work.part != "whole":
                continue
            piece = pieces[work.piece]
            feature = piece.feature(work.feature)
            if feature.depth is None or feature.kind == "slot":
                continue
            stop = step.setting.stop if step.setting else None
            if stop is None:
                yield THROUGH.finding(
                    f"Step {step.number} works {feature.label or feature.key} of the {piece.label} without a stop.",
                    remedies=(Remedy(f"Set the stop to {mm(feature.depth)}."),),
                    names=(piece.key,),
                )
            elif stop > feature.depth + STOP_PLAY + 1e-9 or stop >= piece.thickness:
                yield THROUGH.finding(
                    f"Step {step.number}: the stop stands at {mm(stop)}; {feature.label or feature.key} of the "
                    f"{piece.label} is {mm(feature.depth)} deep in {mm(piece.thickness)}.",
                    remedies=(Remedy(f"Set the stop to {mm(feature.depth)}."),),
                    names=(piece.key,),
                )


def screws_through(cabinet: Cabinet, steps: Sequence[Step]) -> Iterator[Finding]:
    """Screws by name as reckoned, with their tips inside."""
    by_key = {fastening.key: fastening for fastening in cabinet.fastenings}
    labels = labels_of(cabinet)
    for step in steps:
        mine = [by_key[key] for key in step.fastenings if key in by_key]
        if screws_of(mine) != step.screws:
            yield SCREWS.finding(
                f"Step {step.number} drives {_named(step.screws)}; reckoned are {_named(screws_of(mine))}.",
                remedies=(Remedy("Take the screws of the screw map."),),
                names=step.pieces,
            )
        for fastening in mine:
            if fastening.left < -TOUCHING:
                yield SCREWS.finding(
                    f"Step {step.number}: {fastening.name or 'the screw'} comes {mm(-fastening.left)} out of the "
                    f"{labels.get(fastening.into, fastening.into)}.",
                    remedies=(Remedy("Take a shorter screw."),),
                    names=(fastening.into,),
                )


def blow_out(cabinet: Cabinet, steps: Sequence[Step]) -> Iterator[Finding]:
    """A backing board under the far face of all that a bit goes right through."""
    pieces, labels = cabinet.piece_by_key, labels_of(cabinet)
    for step in steps:
        if step.face is None or step.setting is None:
            continue
        # A drill or a straight bit breaks out; the jigsaw lies show face down; a bearing runs along the rim.
        through = [
            w
            for w in step.works
            if w.part == "start" or (w.part == "whole" and _breaks_out(pieces[w.piece], w.feature))
        ]
        if not through:
            continue
        under = {laid.face for laid in step.laid if laid.what == "backing board"}
        if other(step.face) not in under:
            where = "on the wrong face" if under else "missing"
            yield BLOW_OUT.finding(
                f"Step {step.number} goes right through the {labels[through[0].piece]}; its backing board is {where}.",
                remedies=(Remedy(f"Clamp a backing board under the {other(step.face)} face."),),
                names=(through[0].piece,),
            )


def paint_on_glue_face(cabinet: Cabinet, steps: Sequence[Step]) -> Iterator[Finding]:
    """All glue before all paint, or its seat masked."""
    coats = [step for step in steps if step.stage == "paint" and "fumes" in step.cautions]
    if not coats:
        return
    masked = {key for step in steps if step.number < coats[0].number for key in step.masks}
    labels = labels_of(cabinet)
    for step in coats:
        bare = [key for key in step.pieces if key not in masked]
        if bare:
            yield PAINT.finding(
                f"Step {step.number} paints {listed(labels[key] for key in bare)} before the seats are masked.",
                remedies=(
                    Remedy("Mask every seat that something still comes on, before the first coat."),
                ),
                names=tuple(bare),
            )
            break
    for step in steps:
        if "glue" in step.cautions and step.number > coats[0].number:
            yield PAINT.finding(
                f"Step {step.number} glues on what step {coats[0].number} has painted.",
                remedies=(Remedy("Glue before painting."),),
                names=step.pieces,
            )


def closed_too_soon(cabinet: Cabinet, steps: Sequence[Step]) -> Iterator[Finding]:
    """Nothing inside is fastened after the cabinet is closed for good, nor left unfastened."""
    labels = labels_of(cabinet)
    for step in steps:
        for key in step.pieces if step.key.startswith("panel.") else ():
            loose_back = [
                s
                for s in steps
                if s.number > step.number and s.key.startswith("backing.") and s.pieces[0] == key
            ]
            for one in loose_back:
                yield CLOSED.finding(
                    f"Step {step.number} glues in the {labels[key]}; step {one.number} fastens to its back only "
                    "afterwards.",
                    remedies=(Remedy("Fasten to its back while it lies on the bench."),),
                    names=(key, *one.pieces[1:]),
                )
    closing = _closing(steps)
    if closing is None:
        return
    inside = {placed.key for placed in cabinet.placed if _is_inside(placed)}
    late = [s for s in steps if s.number > closing.number and s.stage in ("fit", "wire")]
    hidden = list(dict.fromkeys(key for s in late for key in s.parts if key in inside))
    if hidden:
        first = next(s.number for s in late if set(s.parts) & set(hidden))
        yield CLOSED.finding(
            f"From step {first} on hands must reach {listed(labels[key] for key in hidden)} inside, but step "
            f"{closing.number} has closed the cabinet.",
            remedies=(_opened(cabinet),),
            names=tuple(hidden),
        )
    driven = {key for step in steps for key in step.fastenings}
    fitted = {key for key, record in cabinet.project.as_built.items() if record.reached("fitted")}
    loose = [
        f
        for f in cabinet.fastenings
        if f.name and f.key not in driven and not {f.through, f.into} & fitted
    ]
    if loose:
        yield CLOSED.finding(
            f"Step {closing.number} closes the cabinet, but no step drives "
            f"{_named(screws_of(loose))}: {listed(labels.get(f.through, f.through) for f in loose)}.",
            names=tuple(dict.fromkeys(f.through for f in loose)),
        )


def is_shut(cabinet: Cabinet) -> bool:
    """Whether nothing comes off once the glue is dry: neither a board nor a door."""
    boards = ("panel", "inner", "board")
    return not any(
        piece.kind == "door" or (piece.kind in boards and is_removable(piece))
        for piece in cabinet.pieces
    )


def _opened(cabinet: Cabinet) -> Remedy:
    """The order to let a panel come off, with the one that is best reached through where there is such a one."""
    best = best_to_open(cabinet)
    words = "Let a panel come off for service: 'fixing: screwed' on the one that hands can best reach through."
    if not best:
        return Remedy(words)
    label = labels_of(cabinet).get(best, best)
    (field, value), *also = opening_values(cabinet, best)
    there = f"the {label}{', on cleats and not in grooves' if also else ''}"
    return Remedy(f"{words} Here: {there}.", field, value, tuple(also))


def _closing(steps: Sequence[Step]) -> Step | None:
    """The step after which nobody reaches inside."""
    last = [step for step in steps if step.stage == "close"]
    if last:
        return last[0]
    panels = [step for step in steps if step.key.startswith("panel.")]
    return panels[-1] if panels else None


def _is_inside(placed: Placed) -> bool:
    """Whether hands must reach inside to fasten it or its wires."""
    if placed.part.data.kind in ("foot", "grip", "vent"):
        return False
    if placed.part.data.kind == "speaker":
        return placed.face == "back"  # a loudspeaker is wired through its own hole
    return placed.face == "back" or is_electric(placed)


def _breaks_out(piece: Piece, key: str) -> bool:
    feature = piece.feature(key)
    if feature.depth is not None:
        return False
    return feature.tool not in ROUTED or feature.tool == "straight"


def _named(screws: Sequence[tuple[str, int]]) -> str:
    return listed(f"{count} × {name}" for name, count in screws) or "none"


Find = Callable[[Cabinet, Sequence[Step]], Iterator[Finding]]

GUARDS: tuple[tuple[GuardKey, str, str, Find], ...] = (
    ("two lefts", "Mirrored sides cut as two lefts", "two lefts", two_lefts),
    (
        "marks on a show face",
        "Nails or guide strips on a show face",
        "no nails",
        marks_on_show_face,
    ),
    ("template face", "A template on the wrong face", "template", template_face),
    ("through a show face", "Drilling through into a show face", "stay", through_show_face),
    ("screws through", "Screws through", "the tip of", screws_through),
    ("blow-out", "Blow-out without a backing board", "backing board", blow_out),
    ("paint on a glue face", "Paint on a glue face", "glue", paint_on_glue_face),
    (
        "closed too soon",
        "A panel closed over what is not fastened",
        "look",
        closed_too_soon,
    ),
)
"""Key, title, a word of the order that says it, and what looks for it."""

__all__ = [
    "GUARDS",
    "Guard",
    "Said",
    "blow_out",
    "closed_too_soon",
    "guards_of",
    "is_shut",
    "marks_on_show_face",
    "paint_on_glue_face",
    "screws_through",
    "template_face",
    "through_show_face",
    "two_lefts",
]
