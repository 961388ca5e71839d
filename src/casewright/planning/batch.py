"""Several cabinets cut together: pieces of all projects and copies on the same sheets, each told by project and copy.

For the cutting a batch is one cabinet of boards: every copy's pieces under names of their own, the projects' materials
put together where they are the same wood. So layouts, stock and papers are those of any cabinet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding, Rule, Severity
from casewright.basics.wording import listed
from casewright.design.cutting_wishes import CuttingWishes
from casewright.design.materials import Material, StockSheet
from casewright.design.project import Project
from casewright.geometry.model import Cabinet, Piece
from casewright.planning.blanks import rests_of, to_cut, whole_stock

MOST_COPIES = 100
MOST_PIECES = 2000
"""More would take the search minutes a step."""

MIXED = Rule(
    id="cutting.batch-mixed",
    severity=Severity.CAUTION,
    asks="Projects that are cut together are for the same saw and the same battens.",
    why="All sheets of a batch are laid out for one saw kerf, one trim, one batten.",
    source="Project setting",
)


@dataclass(frozen=True)
class Member:
    """A project of a batch."""

    name: str
    cabinet: Cabinet
    copies: int = 1
    again: frozenset[str] = frozenset()
    """Keys of pieces that are made but have to be made anew."""


@dataclass(frozen=True)
class Owner:
    """Whose a piece of a batch is."""

    letter: str
    """Of the project: A, B, C."""
    project: str
    copy: int
    """From 1."""
    piece: str
    """Its key in the project."""
    label: str
    """What the project calls it."""


@dataclass(frozen=True)
class Batch:
    """Several cabinets as one cabinet of boards."""

    cabinet: Cabinet
    members: tuple[Member, ...]
    owners: Mapping[str, Owner]
    """By the pieces' keys in the batch."""
    findings: tuple[Finding, ...]

    @cached_property
    def letters(self) -> Mapping[str, Member]:
        """Projects by the letter that stands on their pieces."""
        return {letter_of(number): member for number, member in enumerate(self.members)}


def batch_of(members: Sequence[Member], *, name: str = "") -> Batch:
    """Put projects together for cutting.

    The first project's saw, trim and wishes for layouts count for all. Materials are the same where kind, species,
    color, grain and thickness are; their sheet sizes are put together, each once. Of a project that is begun the first
    copy is the one whose pieces exist.

    Args:
        members: In the order of their letters.
        name: Of the batch; made from the projects' names if not given.

    Raises:
        InputError: There are none, or too many copies or pieces.
    """
    if not members:
        raise InputError("batch", got="no project", want="one project at least")
    for member in members:
        if not 1 <= member.copies <= MOST_COPIES:
            raise InputError(
                "--copies",
                got=str(member.copies),
                want=f"1 to {MOST_COPIES} of a project",
                example="12",
            )
    first = members[0].cabinet.project
    woods = _Woods()
    pieces: list[Piece] = []
    owners: dict[str, Owner] = {}
    together: dict[str, str] = {}
    for number, member in enumerate(members):
        letter, project = letter_of(number), member.cabinet.project
        keys = {key: woods.key(member, key) for key in project.materials}
        for copy in range(1, member.copies + 1):
            for piece in member.cabinet.pieces:
                if copy == 1 and not to_cut(project, piece.key, member.again):
                    continue
                key = f"{letter}{copy}.{piece.key}"
                owners[key] = Owner(letter, member.name, copy, piece.key, piece.label or piece.key)
                pieces.append(
                    replace(
                        piece,
                        key=key,
                        label=f"{piece.label or piece.key} {letter}{copy}",
                        material=keys.get(piece.material, piece.material),
                    )
                )
            for key, strip in project.cutting.together.items():
                together[f"{letter}{copy}.{key}"] = f"{letter}{copy} {strip}"
    if len(pieces) > MOST_PIECES:
        raise InputError("--copies", got=f"{len(pieces)} pieces", want=f"at most {MOST_PIECES}")
    wishes = CuttingWishes(
        first=first.cutting.first,
        second=first.cutting.second,
        third=first.cutting.third,
        stages=first.cutting.stages,
        shapes=first.cutting.shapes,
        steps=max(member.cabinet.project.cutting.steps for member in members),
        together={key: strip for key, strip in together.items() if key in owners},
    )
    project = first.model_copy(
        update={
            "name": name or name_of(members),
            "materials": woods.materials,
            "cutting": wishes,
            "as_built": {},
            "steps_done": {},
            "parts": {},
            "notes": "",
        }
    )
    cabinet = Cabinet(
        project=project,
        parts={},
        shape=members[0].cabinet.shape,
        slabs=(),
        corners=(),
        pieces=tuple(pieces),
        placed=(),
        bodies=(),
    )
    return Batch(cabinet, tuple(members), owners, tuple(_mixed(members)))


def name_of(members: Sequence[Member]) -> str:
    """A batch in words: "12 × Quiz box and Kiosk"."""
    return listed(
        f"{member.copies} × {member.name}" if member.copies > 1 else member.name
        for member in members
    )[:100]


def letter_of(number: int) -> str:
    """The letter of a project by its place from 0: A to Z, then AA.

    Example:
        >>> letter_of(0), letter_of(25), letter_of(26)
        ('A', 'Z', 'AA')
    """
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


class _Woods:
    """Materials of all projects; those that are the same wood have one key."""

    def __init__(self) -> None:
        self.materials: dict[str, Material] = {}
        self._known: dict[tuple[object, ...], str] = {}

    def key(self, member: Member, own: str) -> str:
        """The batch's key of a project's material, whose sheets are added to it."""
        material = member.cabinet.project.materials[own]
        same = (
            material.kind,
            material.species,
            material.color,
            material.grain,
            round(material.thickness, 3),
        )
        key = self._known.get(same)
        sheets = _sheets_left(member.cabinet, own)
        if key is None:
            key = own
            while key in self.materials:
                key += "-2"
            self._known[same] = key
            label = material.label or own
            if any((one.label or at) == label for at, one in self.materials.items()):
                label += f" of {member.name}"  # another thickness, or another wood
            self.materials[key] = material.model_copy(update={"sheets": sheets, "label": label})
            return key
        there = self.materials[key]
        new = tuple(sheet for sheet in sheets if not _has(there.sheets, sheet))
        self.materials[key] = there.model_copy(update={"sheets": (*there.sheets, *new)})
        return key


def _sheets_left(cabinet: Cabinet, material: str) -> tuple[StockSheet, ...]:
    """A project's sheets less those that are begun, and what is left of these."""
    sheets = tuple(
        sheet if stock.available is None else sheet.model_copy(update={"quantity": stock.available})
        for sheet, stock in zip(
            cabinet.project.materials[material].sheets, whole_stock(cabinet, material), strict=True
        )
    )
    rests = tuple(
        StockSheet(length=rest.length, width=rest.width, quantity=1, offcut=True)
        for rest in rests_of(cabinet, material)
    )
    return (*sheets, *rests)


def _has(sheets: Sequence[StockSheet], new: StockSheet) -> bool:
    """Whether a sheet is there already: the same piece of the stock, or a size that can be bought."""
    if new.mark is not None:
        return any(sheet.mark == new.mark for sheet in sheets)
    return not new.offcut and new.quantity is None and new in sheets


def _mixed(members: Sequence[Member]) -> list[Finding]:
    """What the projects do not agree in."""
    first = members[0].cabinet.project
    found = []
    for member in members[1:]:
        own = member.cabinet.project
        differs = [words for words, of in _AGREED if of(own) != of(first)]
        if differs:
            found.append(
                MIXED.finding(
                    f"{member.name} has another {listed(differs)} than {members[0].name}, whose is taken for all."
                )
            )
    return found


_AGREED: tuple[tuple[str, Callable[[Project], object]], ...] = (
    ("saw kerf", lambda project: project.shop.kerf),
    ("edge trim", lambda project: project.shop.edge_trim),
    ("fence reach", lambda project: project.shop.fence_reach),
    ("longest piece to carry", lambda project: project.shop.carry_most),
    ("batten", lambda project: (project.batten.width, project.batten.height)),
)


__all__ = [
    "MIXED",
    "MOST_COPIES",
    "MOST_PIECES",
    "Batch",
    "Member",
    "Owner",
    "batch_of",
    "letter_of",
    "name_of",
]
