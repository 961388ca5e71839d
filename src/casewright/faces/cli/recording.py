"""`casewright made` and `casewright replan`."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from rich.text import Text

from casewright.basics.errors import CasewrightError, InputError
from casewright.basics.findings import worded
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.outputs.built_words import way_words
from casewright.planning.as_built import Answer, Replan, Way
from casewright.session import Session
from casewright.session.recording import marked, printed, unmarked, way_edits
from casewright.workflow import KeyPath, Value, Worked, open_project, replan, work_out


def record_pieces(
    file: Path,
    pieces: Sequence[str],
    *,
    state: str,
    measured: dict[str, str],
    bevels: Sequence[str],
    holes: Sequence[str],
    everything: bool,
    forget: bool,
    as_json: bool,
    catalogs: Sequence[Path],
) -> int:
    """Mark pieces as made, with what the tape says, and say what that asks of the plan."""
    try:
        session = Session.open(file, catalogs=catalogs)
        try:
            worked = session.sound
            told = _told(measured, bevels, holes)
            if everything:
                edits = dict(printed(worked))
            elif not pieces:
                keys = ", ".join(list(worked.cabinet.piece_by_key)[:4])
                raise InputError("pieces", got="none", want=f"keys of pieces, such as {keys}")
            elif forget:
                edits = dict(unmarked(pieces))
            else:
                if told and len(pieces) > 1:
                    raise InputError(
                        "pieces",
                        got=", ".join(pieces),
                        want="one piece where something is measured",
                        example=pieces[0],
                    )
                edits = dict(marked(worked, pieces, state, told))  # type: ignore[arg-type]
            session.edit(edits, "mark as made")
            after = session.sound
            session.save()
        finally:
            session.close(discard=True)
        plan = replan(after)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    return _say(after, plan, as_json=as_json)


def plan_again(file: Path, *, take: int | None, as_json: bool, catalogs: Sequence[Path]) -> int:
    """Say the ways on from the pieces that exist; take one where asked to."""
    try:
        if take is None:
            worked = work_out(open_project(file, catalogs=catalogs))
            return _say(worked, replan(worked), as_json=as_json)
        session = Session.open(file, catalogs=catalogs)
        try:
            worked = session.sound
            ways = replan(worked).ways
            if not 1 <= take <= len(ways):
                raise InputError(
                    "--take",
                    got=str(take),
                    want=f"the number of a way, 1 to {len(ways)}",
                    example="1",
                )
            way = ways[take - 1]
            if way.changes:
                session.edit(way_edits(worked, way), "take a way on")
            after = session.sound
            session.save()
        finally:
            session.close(discard=True)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if not as_json:
        console().print(Text(f"Taken: {worded(way.title, after.opened.write_length)}."))
    return _say(after, replan(after), as_json=as_json)


def _told(
    measured: dict[str, str], bevels: Sequence[str], holes: Sequence[str]
) -> dict[str, Value]:
    told: dict[str, Any] = {key: value for key, value in measured.items() if value}
    for text in bevels:
        edge, sign, tilt = text.partition("=")
        if not sign or not edge.strip():
            raise InputError("--bevel", got=text, want="an edge and its tilt", example="upper=33")
        told.setdefault("bevels", {})[edge.strip()] = tilt.strip()
    for text in holes:
        name, sign, rest = text.partition("=")
        pairs = re.findall(r"(u|v|diameter|width|height|depth|face)\s*:\s*([^,]+)", rest)
        if not sign or not name.strip() or not pairs:
            raise InputError(
                "--hole",
                got=text,
                want="a hole and what is measured of it: u, v, diameter, width, height, depth, face",
                example="red1=u:144.3,v:140",
            )
        told.setdefault("holes", {})[name.strip()] = {key: value.strip() for key, value in pairs}
    return told


# ---- what is said ----


def _say(worked: Worked, plan: Replan, *, as_json: bool) -> int:
    write = worked.opened.write_length
    blocked = bool(plan.conflict)
    if as_json:
        print_json(replan_data(plan, write))
        return int(blocked)
    out = console()
    made = worked.opened.project.as_built
    if not made:
        out.print(Text("No piece is marked as made yet: casewright made FILE PIECE --state cut"))
        return FINE
    if plan.settled:
        out.print(Text("All that is made serves the plan as it is."))
        _say_answers(plan.kept, write)
        return FINE
    for number, way in enumerate(plan.ways, start=1):
        out.print(Text(f"{number}. {worded(way.title, write)}: {way_words(way)}", style="bold"))
        _say_answers(way, write)
    if plan.conflict:
        out.print(Text(worded(plan.conflict, write)))
    out.print(Text("casewright replan FILE --take NUMBER lets the plan go one of these ways."))
    return int(blocked)


def _say_answers(way: Way, write: Callable[[float], str]) -> None:
    out = console()
    for answer in way.answers:
        if answer.verdict == "unchanged":
            continue
        out.print(Text(f"   {answer.label}: {answer.verdict}. {worded(answer.reason, write)}"))
        for order in answer.orders:
            out.print(Text(f"      {worded(order, write)}"))


def replan_data(plan: Replan, write: Callable[[float], str]) -> dict[str, object]:
    """The ways on as plain data, lengths written out."""
    return {
        "settled": plan.settled,
        "conflict": worded(plan.conflict, write) or None,
        "ways": [
            {
                "title": worded(way.title, write),
                "changes": {_dotted(path): _plain(value) for path, value in way.changes},
                "new_board_m2": round(way.wood / 1e6, 4),
                "minutes": way.minutes,
                "stops": [worded(stop, write) for stop in way.stops],
                "answers": [_answer_data(answer, write) for answer in way.answers],
            }
            for way in plan.ways
        ],
    }


def _answer_data(answer: Answer, write: Callable[[float], str]) -> dict[str, object]:
    return {
        "piece": answer.piece,
        "label": answer.label,
        "answer": answer.verdict,
        "reason": worded(answer.reason, write),
        "orders": [worded(order, write) for order in answer.orders],
        "by_mm": round(answer.by, 3),
        "painted": answer.painted,
    }


def _dotted(path: KeyPath) -> str:
    return ".".join(str(step) for step in path)


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [one.model_dump(mode="json", exclude_defaults=True) for one in value]
    return value


__all__ = ["plan_again", "record_pieces", "replan_data"]
