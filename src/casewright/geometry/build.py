"""From a project to a cabinet: the whole of geometry in one walk."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Finding
from casewright.basics.reckoning import Reckoning, stated
from casewright.basics.remembering import Kept, remembered
from casewright.catalog.kinds import Sign
from casewright.design.materials import Batten
from casewright.design.parts import KnownPart, Part
from casewright.design.project import Project
from casewright.design.wishes import Wishes, bare, wishes_of
from casewright.geometry.carcass import (
    SideGroove,
    board_piece,
    door_pieces,
    inner_pieces,
    panel_pieces,
    side_pieces,
    thicknesses,
    with_features,
)
from casewright.geometry.cleats import Behind, Cures, behind_panels, notched, side_cleats
from casewright.geometry.devices import fit_part
from casewright.geometry.edge_trim import trim_clashes, trim_slots
from casewright.geometry.fastening import ScrewSize, ScrewSizes
from casewright.geometry.fitting import Fitted, Stack, gathered
from casewright.geometry.hinges import hang, hinge_bodies, hinge_screws
from casewright.geometry.inside import clear_back, clear_inside
from casewright.geometry.model import (
    Cabinet,
    Corner,
    Feature,
    Piece,
    Placed,
    Point2,
    Slab,
    SolvedShape,
)
from casewright.geometry.naming import material_errors, place_errors
from casewright.geometry.own_features import feature_errors, own_features
from casewright.geometry.placing import place_parts, wish_errors
from casewright.geometry.recipes import solve_shape
from casewright.geometry.screwing import screw_cleats, split_by_screws
from casewright.geometry.seam_cleats import seam_cleats
from casewright.geometry.slabs import cut_slabs
from casewright.geometry.vanishing import check_width, without_vanished

LAYERS = ("panel", "overlay")
"""Kinds of pieces that make up a panel."""


def build_cabinet(
    project: Project, parts: Mapping[str, KnownPart], screws: Sequence[ScrewSize]
) -> Cabinet:
    """Work out every piece, feature and body of a project.

    Args:
        project: What the maker wants.
        parts: Its bought parts with every dimension settled.
        screws: Wood screws to choose from.

    Raises:
        InputErrors: names that lead nowhere, an outline that encloses nothing, no room between the sides.
    """
    shape = _shared(_solved(project, parts))
    check_width(project, shape)
    wishes = wishes_of(project)
    standing = _standing(project, parts, shape)
    shell, trim, fitted = standing.shell, standing.trim, standing.fitted
    slabs, corners, placed = shell.slabs, shell.corners, standing.placed
    numbers: list[Reckoning] = [
        stated("width", "width over both sides", shape.width),
        *shape.numbers,
        *shell.numbers,
        *trim.numbers,
        *fitted.numbers,
    ]
    findings = [*shape.findings, *shell.findings, *trim.findings, *fitted.findings]
    pieces, features, room = list(standing.pieces), list(standing.features), standing.room
    stock = screws if isinstance(screws, ScrewSizes) else ScrewSizes(screws)
    cures = _cures(project, parts, shape, standing, stock)
    cleats, cleat_findings = side_cleats(project, shape, pieces, room, cures)
    more, more_findings = seam_cleats(project, shape, corners, slabs, pieces, cleats, room, cures)
    cleats = (*cleats, *more)
    findings += [*cleat_findings, *more_findings]
    pieces = [
        notched(piece, cleats) if piece.kind in ("inner", "light board") else piece
        for piece in pieces
    ]
    pieces += cleats
    screwed = _screwed(wishes, shape, tuple(pieces), cleats, stock, project=project)
    features += screwed.features
    findings += screwed.findings

    extra: dict[str, list[Feature]] = {}
    for owner, feature in features:
        extra.setdefault(owner, []).append(feature)
    final = tuple(
        _PIECES.same(with_features(piece, tuple(extra.get(piece.key, ()))), piece.key)
        for piece in pieces
    )
    findings += trim_clashes(final)
    made = {piece.key: piece for piece in final}
    hung = [hang(project, parts, screws, made, key) for key in project.doors]
    hinged = [one for one in hung if one is not None]
    return Cabinet(
        project=project,
        parts=parts,
        shape=shape,
        slabs=slabs,
        corners=corners,
        pieces=final,
        placed=placed,
        bodies=(*fitted.bodies, *(body for one in hinged for body in hinge_bodies(one))),
        fastenings=(
            *fitted.fastenings,
            *screwed.fastenings,
            *(screw for one in hinged for screw in hinge_screws(one)),
        ),
        numbers={number.key: number for number in numbers},
        findings=tuple(findings),
    )


@dataclass(frozen=True)
class _Shell:
    """What stands before any bought part is in its place."""

    slabs: tuple[Slab, ...]
    corners: tuple[Corner, ...]
    sides: tuple[Piece, Piece]
    boards: tuple[Piece, ...]
    """Panels with their overlays, inner panels, boards, doors."""
    openings: tuple[tuple[str, Feature], ...]
    """Of doors, each with the key of the piece it is in."""
    stacks: Mapping[str, Stack]
    numbers: tuple[Reckoning, ...]
    findings: tuple[Finding, ...]


_SHAPES: Kept[SolvedShape] = Kept(64)
_PLACED: Kept[Placed] = Kept(4096)
_PIECES: Kept[Piece] = Kept(4096)
_BATTENS: Kept[Batten] = Kept(1, each=64)


@remembered(64, besides=("project",))
def _shell(wishes: Wishes, shape: SolvedShape, *, project: Project) -> _Shell:
    """Slabs, boards, sides and doors."""
    slabs, corners, slab_findings = cut_slabs(
        shape, thicknesses(project, shape), tilt_most=project.shop.tilt_most
    )
    numbers: list[Reckoning] = []
    made: list[Piece] = []
    grooves: list[SideGroove] = []
    for slab in slabs:
        layers, reckonings, cut = panel_pieces(project, shape, slab)
        made += layers
        numbers += reckonings
        grooves += cut
    for key, inner in project.inner.items():
        piece, cut = inner_pieces(project, shape, slabs, key, inner)
        made.append(piece)
        grooves += cut
    made += [board_piece(project, key, board) for key, board in project.boards.items()]
    boards, vanished = without_vanished(project, shape, made)
    left = {piece.key for piece in boards}
    slabs = tuple(slab for slab in slabs if slab.panel in left)
    stacks = {
        slab.panel: Stack(
            slab.panel, tuple(p for p in boards if p.panel == slab.panel and p.kind in LAYERS)
        )
        for slab in slabs
    }
    sides = side_pieces(project, shape, tuple(cut for cut in grooves if cut.owner in left))
    pieces = [*sides, *boards]
    by_key = {piece.key: piece for piece in pieces}
    openings: list[tuple[str, Feature]] = []
    standing = tuple(piece for piece in boards if piece.kind in ("inner", "board"))
    for key, door in project.doors.items():
        if door.on not in by_key:
            continue  # its panel came to nothing, which is said already
        door_made, opening = door_pieces(
            project, key, door, by_key[door.on], [b for b in standing if b.key != door.on]
        )
        pieces += door_made
        layers = stacks[door.on].pieces if door.on in stacks else (by_key[door.on],)
        openings += ((layer.key, opening) for layer in layers)
    for piece in pieces:
        if piece.kind != "overlay":
            stacks.setdefault(piece.key, Stack(piece.key, (piece,)))
    return _Shell(
        slabs=slabs,
        corners=corners,
        sides=sides,
        boards=tuple(pieces[2:]),
        openings=tuple(openings),
        stacks=stacks,
        numbers=tuple(numbers),
        findings=(*slab_findings, *vanished),
    )


@dataclass(frozen=True)
class _Standing:
    """What stands before the cleats do, and the room it leaves them."""

    shell: _Shell
    trim: Fitted
    inside: tuple[Point2, ...]
    placed: tuple[Placed, ...]
    fits: tuple[Fitted, ...]
    """What each of the placed asks for."""
    fitted: Fitted
    pieces: tuple[Piece, ...]
    features: tuple[tuple[str, Feature], ...]
    """Each with the key of the piece it is in."""
    room: Behind


def _standing(project: Project, parts: Mapping[str, KnownPart], shape: SolvedShape) -> _Standing:
    """Panels and boards with all that the bought parts ask of them."""
    shell = _shell(wishes_of(project), shape, project=project)
    trim = trim_slots(project, parts, shape, shell.sides)
    pieces = (*shell.sides, *shell.boards)
    inside = clear_inside(tuple(shape.corners.values()), shell.slabs)
    placed = tuple(
        _PLACED.same(one, (one.key, id(one.wish)))
        for one in place_parts(
            project,
            parts,
            {piece.key: piece for piece in pieces},
            {slab.panel: slab for slab in shell.slabs},
            shape_keys(project, shape),
            inside,
        )
    )
    fits = tuple(_fit(project, parts, p, shell, inside) for p in placed)
    return _with_fits(project, shape, shell, trim, inside, placed, fits)


def _with_fits(
    project: Project,
    shape: SolvedShape,
    shell: _Shell,
    trim: Fitted,
    inside: tuple[Point2, ...],
    placed: tuple[Placed, ...],
    fits: tuple[Fitted, ...],
) -> _Standing:
    fitted = gathered(fits)
    own = own_features(project, shell.stacks)
    features = (*trim.features, *shell.openings, *fitted.features, *own)
    pieces = (*shell.sides, *shell.boards, *fitted.pieces)
    room = behind_panels(project, shape, shell.slabs, pieces, fitted.bodies, features)
    return _Standing(shell, trim, inside, placed, fits, fitted, pieces, features, room)


def _cures(
    project: Project,
    parts: Mapping[str, KnownPart],
    shape: SolvedShape,
    standing: _Standing,
    screws: ScrewSizes,
) -> Cures:
    """Tries battens of other sizes everywhere: all of a cabinet are of one size, and shape and rails follow from it.

    None cures that is too small for its screws anywhere, where the one that the cabinet has is not.
    """
    held: dict[Batten, _Held] = {}
    split: dict[Batten, set[str]] = {}

    def split_by(batten: Batten) -> set[str]:
        """The panels behind which screws would split such battens."""
        if batten not in split:
            one = held[batten]
            wishes = wishes_of(one.project)
            screwed = _screwed(
                wishes, one.shape, one.pieces, one.cleats, screws, project=one.project
            )
            split[batten] = split_by_screws(screwed, one.cleats)
        return split[batten]

    def cures(batten: Batten, said: str) -> bool:
        if batten not in held:
            other = project.model_copy(update={"batten": _BATTENS.same(batten)})
            try:
                its_shape = _shared(_solved(other, parts))
            except InputErrors:
                return False
            its = (
                _refitted(other, parts, shape, standing)
                if its_shape == shape
                else _standing(other, parts, its_shape)
            )
            held[batten] = _Held.of(other, its_shape, its)
        if any(message.startswith(said) for message in held[batten].told):
            return False
        if project.batten not in held:
            held[project.batten] = _Held.of(project, shape, standing)
        return split_by(batten) <= split_by(project.batten)

    return cures


@dataclass(frozen=True)
class _Held:
    """A project with battens of one size: all of them, and what is told of them."""

    project: Project
    shape: SolvedShape
    pieces: tuple[Piece, ...]
    cleats: tuple[Piece, ...]
    told: tuple[str, ...]

    @classmethod
    def of(cls, project: Project, shape: SolvedShape, standing: _Standing) -> _Held:
        """Without its screws."""
        shell, room = standing.shell, standing.room
        pieces = tuple(_PIECES.same(piece, ("held", piece.key)) for piece in standing.pieces)
        cleats, some = side_cleats(project, shape, pieces, room)
        more, others = seam_cleats(project, shape, shell.corners, shell.slabs, pieces, cleats, room)
        told = tuple(finding.message for finding in (*some, *others))
        return cls(project, shape, pieces, (*cleats, *more), told)


def _refitted(
    project: Project, parts: Mapping[str, KnownPart], shape: SolvedShape, there: _Standing
) -> _Standing:
    """The same with other battens: only what is made of them is fitted anew."""
    fits = tuple(
        _fit(project, parts, placed, there.shell, there.inside)
        if any(piece.material == "batten" for piece in fit.pieces)
        else fit
        for placed, fit in zip(there.placed, there.fits, strict=True)
    )
    return _with_fits(project, shape, there.shell, there.trim, there.inside, there.placed, fits)


def _solved(project: Project, parts: Mapping[str, KnownPart]) -> SolvedShape:
    """The shape, when every name leads somewhere; all that is wrong at once."""
    errors = material_errors(project)
    shape = None
    if project.shape.recipe == "outline" or not errors:
        # a free outline needs no board's thickness, so it is judged in any case
        try:
            shape = solve_shape(project, parts)
        except InputErrors as wrong:
            errors += wrong.errors
    said = {error.field for error in errors}
    errors += feature_errors(project)
    errors += [error for error in place_errors(project, shape) if error.field not in said]
    if errors or shape is None:
        raise InputErrors([*errors, *wish_errors(project.parts, parts)])
    return shape


def shape_keys(project: Project, shape: SolvedShape) -> tuple[str, ...]:
    """Keys of everything a part may be placed on."""
    return (
        "left",
        "right",
        "sides",
        *shape.panels,
        *project.inner,
        *project.boards,
        *project.doors,
    )


@remembered(64, besides=("project",))
def _screwed(
    wishes: Wishes,
    shape: SolvedShape,
    pieces: tuple[Piece, ...],
    cleats: tuple[Piece, ...],
    screws: ScrewSizes,
    *,
    project: Project,
) -> Fitted:
    """Screws of all cleats; places of bought parts do not count: what they cut out is not in these pieces yet."""
    return screw_cleats(project, shape, pieces, cleats, screws)


def _shared(shape: SolvedShape) -> SolvedShape:
    """The same shape as the last time, where it is; what panels and seams say of themselves counts as well."""
    said = (*shape.panels.values(), *shape.seams)
    return _SHAPES.same(shape, tuple(frozenset(section.model_fields_set) for section in said))


def _fit(
    project: Project,
    parts: Mapping[str, KnownPart],
    placed: Placed,
    shell: _Shell,
    inside: tuple[Point2, ...],
) -> Fitted:
    """What a placed part asks of its panel; made anew only where something that it can depend on has changed."""
    stack = shell.stacks.get(placed.piece)
    if stack is None:
        return Fitted()
    own = project.parts[placed.part.key]
    return _fitted(
        placed,
        stack,
        shell,
        bare(placed.part.key, own),
        tuple(place.key for place in own.placed),
        parts if isinstance(placed.part.data, Sign) else None,
        inside=inside,
        project=project,
    )


@remembered(4096, besides=("inside", "project"))
def _fitted(
    placed: Placed,
    stack: Stack,
    shell: _Shell,
    own: Part,
    places: tuple[str, ...],
    parts: Mapping[str, KnownPart] | None,
    *,
    inside: tuple[Point2, ...],
    project: Project,
) -> Fitted:
    """The fitting of one part.

    Args:
        placed: The part in its place.
        stack: The panel that it sits on.
        shell: What stands before any part is in its place; it stays as it is as long as nothing of the project but its
            parts changes.
        own: The part as the project has it, without its places.
        places: Keys of its places in the file's order, by which remedies name them.
        parts: All parts, for those that look at others.
        inside: Clear inside of the shell in the side view.
        project: What the shell is made from and `own`, as the fittings take it.
    """
    clear = (
        clear_back(stack.board, inside, placed.v)
        if inside and stack.board.kind == "panel"
        else None
    )
    return fit_part(placed, stack, project, parts, clear=clear, inside=inside or None)


__all__ = ["build_cabinet", "shape_keys"]
