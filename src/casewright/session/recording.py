"""Records of what exists: a piece marked as cut, drilled, painted or fitted, with what the tape says; a way taken."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches
from typing import Any

from casewright.basics.errors import InputError
from casewright.basics.units import Unit
from casewright.design.built import STATES, BuiltFeature, BuiltPiece, Drawn, State
from casewright.design.panels import Seam
from casewright.geometry.model import Piece
from casewright.planning.as_built import Way, drawn_of, keep
from casewright.planning.blanks import REST
from casewright.planning.cutting import Left, left_of
from casewright.session.reshaping import as_written
from casewright.workflow import REMOVE, Edits, KeyPath, Removal, Value, Worked, written_length

AS_BUILT = "as built"


def marked(
    worked: Worked,
    keys: Sequence[str],
    state: State,
    told: Mapping[str, Value] | None = None,
    *,
    anew: Collection[str] = (),
    adds: bool = False,
) -> Edits:
    """The edits that mark pieces as having come so far.

    A piece is kept as the plan has it now; one that does not fit the plan keeps the outline it was made with.

    Args:
        worked: The cabinet as it is.
        keys: Of the pieces.
        state: "drawn" to "fitted".
        told: What the tape says, as the record has it: "length", "width", "thickness", "bevels", "holes", "note".
        anew: Keys of those that were made anew: nothing of their old records is kept.
        adds: Bevels and holes are told one by one: those that were told before stay.

    Raises:
        InputError: There is no such piece or state.
    """
    if state not in STATES:
        raise InputError("state", got=state, want="one of " + ", ".join(STATES), example="cut")
    project = worked.opened.project
    pieces = worked.cabinet.piece_by_key
    off = {answer.piece for answer in keep(worked.cabinet).touched} if project.as_built else set()
    edits: dict[KeyPath, Any] = {}
    begun, used = _begun(worked, keys, state, anew)
    for key in keys:
        piece = pieces.get(key)
        if piece is None:
            near = get_close_matches(key, pieces, 3, 0.5) or sorted(pieces)[:3]
            want = f"the key of a piece, such as {', '.join(near)}"
            raise InputError("piece", got=key, want=want, example=near[0] if near else "")
        old = None if key in anew else project.as_built.get(key)
        edits[AS_BUILT, key] = _record(
            old, piece, state, dict(told or {}), unit=project.unit, keeps=key in off, adds=adds
        )
        edits[AS_BUILT, key] |= _sheet(
            project.as_built.get(key), begun.get(key), used.get(key, ()), project.unit
        )
    for key, numbers in used.items():
        if key not in keys:
            record = project.as_built[key]
            said = _sheet(record, None, numbers, project.unit)
            edits[AS_BUILT, key, "rests"] = said.get("rests", REMOVE)
    return edits


def _begun(
    worked: Worked, keys: Sequence[str], state: State, anew: Collection[str]
) -> tuple[dict[str, Left], dict[str, list[int]]]:
    """The sheets that these pieces come off, by the piece that comes off last; and the rests that were used up for it.

    A piece that was cut before comes off nothing now.
    """
    if state == "drawn":
        return {}, {}
    records = worked.opened.project.as_built
    new = {
        key
        for key in keys
        if key in anew or (old := records.get(key)) is None or not old.reached("cut")
    }
    begun: dict[str, Left] = {}
    used: dict[str, list[int]] = {}
    for plan in worked.cutting.plans:
        for sheet in plan.plan.sheets:
            # A nest is off the sheet as soon as one of its pieces is: what it leaves is no rectangle to plan with.
            nests = {blank.key: blank for blank in plan.blanks if new & set(blank.parts)}
            left = left_of(sheet, new | nests.keys())
            if left is None:
                continue
            if (nest := nests.get(left.last)) is not None:
                left = replace(left, last=next(key for key in nest.parts if key in new))
            before = begun.get(left.last)
            rests = (*(before.rests if before else ()), *left.rests)
            begun[left.last] = Left(left.stock, left.last, rests)
            if left.stock.startswith(REST):
                whose, _, number = left.stock.removeprefix(f"{REST} ").rpartition(", ")
                used.setdefault(whose, []).append(int(number))
    return begun, used


def _sheet(
    old: BuiltPiece | None, left: Left | None, used: Collection[int], unit: Unit
) -> dict[str, Any]:
    """What a record says of the sheet its piece came off: what it said, less what was used up, with what is new."""
    rests = [
        {"length": _length(rest.length, unit), "width": _length(rest.width, unit)}
        for number, rest in enumerate(old.rests if old else (), start=1)
        if number not in used
    ]
    if left is not None:
        rests += [
            {"length": _length(length, unit), "width": _length(width, unit)}
            for length, width in left.rests
        ]
    sheet = left.stock if left is not None else old.sheet if old else ""
    return {**({"sheet": sheet} if sheet else {}), **({"rests": rests} if rests else {})}


def unmarked(keys: Sequence[str]) -> Edits:
    """The edits that forget pieces: they do not exist after all."""
    return {(AS_BUILT, key): REMOVE for key in keys}


def printed(worked: Worked) -> Edits:
    """The edits that keep every piece that has no record yet as the papers show it, so that later changes are told."""
    project = worked.opened.project
    keys = [p.key for p in worked.cabinet.pieces if p.key not in project.as_built]
    return marked(worked, keys, "drawn")


def way_edits(worked: Worked, way: Way) -> Edits:
    """The edits that let the plan go a way: its values, written as the maker would."""
    unit = worked.opened.project.unit
    edits: dict[KeyPath, Value | Removal] = {}
    for path, value in way.changes:
        if isinstance(value, tuple):
            edits[path] = [as_written(seam, unit) for seam in value if isinstance(seam, Seam)]
        else:
            assert isinstance(value, float | int)
            if str(path[-1]).endswith("_deg"):
                edits[path] = round(float(value), 2)
                continue
            edits[path] = written_length(float(value), unit, like=_like(worked, path))
    return edits


def _like(worked: Worked, path: KeyPath) -> object:
    here: object = worked.opened.document.data
    for step in path:
        if isinstance(here, Mapping) and step in here:
            here = here[step]
        elif isinstance(here, Sequence) and not isinstance(here, str) and isinstance(step, int):
            here = here[step] if step < len(here) else None
        else:
            return None
    return here


def _record(
    old: BuiltPiece | None,
    piece: Piece,
    state: State,
    told: dict[str, Value],
    *,
    unit: Unit,
    keeps: bool,
    adds: bool,
) -> dict[str, Any]:
    record: dict[str, Any] = {"state": state}
    if old is not None and keeps and old.reached("cut"):
        record |= _kept(old, unit)
        drawn = old.drawn or drawn_of(piece)
        now = drawn_of(piece)
        drawn = drawn.model_copy(update={"features": {**now.features, **drawn.features}})
    else:
        drawn = drawn_of(piece)
        if old is not None and old.thickness is not None:
            record["thickness"] = written_length(old.thickness, unit, like=1.0)
        if old is not None and old.note:
            record["note"] = old.note
    if state == "drawn":
        drawn = drawn.model_copy(update={"features": {}})
    if adds:
        for name in {"bevels", "holes"} & told.keys() & record.keys():
            told[name] = _added(record[name], told[name])
    record |= told
    record["drawn"] = _drawn(drawn, unit)
    return record


def _added(old: Mapping[str, Any], new: Any) -> dict[str, Any]:
    """What was told before with what is told now over it, hole by hole."""
    both = dict(old)
    for key, value in new.items():
        before = both.get(key)
        both[key] = {**before, **value} if isinstance(before, Mapping) else value
    return both


def _kept(old: BuiltPiece, unit: Unit) -> dict[str, Any]:
    said = as_written(old.model_copy(update={"drawn": None}), unit)
    said.pop("state", None)
    for name in ("drawn", "sheet", "rests"):
        said.pop(name, None)
    if old.holes:
        said["holes"] = {key: _feature(hole, unit) for key, hole in old.holes.items()}
    if old.bevels:
        said["bevels"] = dict(old.bevels)
    return said


def _drawn(drawn: Drawn, unit: Unit) -> dict[str, Any]:
    written: dict[str, Any] = {"show": [_point(p, unit) for p in drawn.show]}
    if drawn.back:
        written["back"] = [_point(p, unit) for p in drawn.back]
        if drawn.thickness is not None:  # of a bevel's tilt; square edges ask for none
            written["thickness"] = _length(drawn.thickness, unit)
    if drawn.features:
        written["features"] = {key: _feature(f, unit) for key, f in drawn.features.items()}
    return written


def _feature(feature: BuiltFeature, unit: Unit) -> dict[str, Any]:
    written: dict[str, Any] = {}
    for name in feature.model_fields_set:
        value = getattr(feature, name)
        if name == "points":
            value = [_point(p, unit) for p in value]
        elif name == "turn":
            value = round(value, 3)
        elif isinstance(value, float):
            value = _length(value, unit)
        if value is not None and value != []:
            written[name] = value
    order = list(BuiltFeature.model_fields)
    return dict(sorted(written.items(), key=lambda item: order.index(item[0])))


def _point(point: tuple[float, float], unit: Unit) -> list[Value]:
    return [_length(point[0], unit), _length(point[1], unit)]


def _length(value: float, unit: Unit) -> Value:
    """A length to a thousandth of a millimeter, in the file's own unit where that is millimeters."""
    rounded = round(value, 3) + 0.0
    if unit == "mm":
        return int(rounded) if rounded == int(rounded) else rounded
    return f"{rounded:g} mm"


__all__ = ["AS_BUILT", "marked", "printed", "unmarked", "way_edits"]
