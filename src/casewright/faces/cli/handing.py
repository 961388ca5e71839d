"""`casewright hands`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, get_args

from rich.text import Text

from casewright.basics.errors import CasewrightError, InputError
from casewright.basics.units import parse_length
from casewright.behavior.hands import Style, WhichHand
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.session import Session
from casewright.session.handing import laid_out


def lay_out(
    file: Path,
    *,
    player: int,
    style: str,
    hand: str | None,
    thumb: bool,
    pitch: str | None,
    save: bool,
    as_json: bool,
    catalogs: Sequence[Path],
) -> int:
    """Lay a player's buttons out for the hand; write the file only when asked."""
    try:
        session = Session.open(file, catalogs=catalogs)
        try:
            before = session.sound
            edits = laid_out(
                before,
                player,
                _one_of(style, get_args(Style), "--style"),
                which=_one_of(hand, get_args(WhichHand), "--hand") if hand else None,
                thumb=thumb,
                pitch=parse_length(pitch, unit=before.opened.project.unit, field="--pitch")
                if pitch
                else None,
            )
            session.edit(edits, "hands")
            after = session.worked
            assert after is not None
            rows = [
                {
                    "key": key,
                    "u": after.cabinet.placed_by_key[key].u,
                    "v": after.cabinet.placed_by_key[key].v,
                }
                for cluster in before.behavior.playing.clusters
                if cluster.player == player
                for key in cluster.keys
            ]
            worst = max(
                (c.reach.worst for c in after.behavior.playing.clusters if c.player == player),
                default=0.0,
            )
            if save:
                session.save()
        finally:
            session.close(discard=True)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    write = before.opened.write_length
    if as_json:
        print_json({"placed": rows, "out_of_reach": worst, "saved": save})
        return FINE
    out = console()
    for row in rows:
        out.print(
            Text(f"{row['key']}  u {write(float(str(row['u'])))}  v {write(float(str(row['v'])))}")
        )
    out.print(Text(f"Farthest out of reach of the resting hand: {write(worst)}."))
    out.print(Text(f"Written to {file}." if save else "Nothing written; --save writes it."))
    return FINE


def _one_of(got: str, known: tuple[Any, ...], field: str) -> Any:
    """The known word that is meant."""
    for one in known:
        if one == got.strip().lower():
            return one
    raise InputError(field, got=got, want="one of " + ", ".join(known), example=known[0])


__all__ = ["lay_out"]
