"""Records of pieces that exist: whether their names lead somewhere, and what their answers amount to."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import capital
from casewright.geometry.model import Cabinet
from casewright.planning.as_built.made import feature_key
from casewright.planning.as_built.ways import Way
from casewright.planning.setups import edge_names

AS_BUILT = "as built"

FITS = Rule(
    id="built.fits",
    severity=Severity.CAUTION,
    asks="Every piece that is made serves the plan as it is.",
    why="A seam that does not close, or a hole that is elsewhere, is found at the glue-up otherwise.",
    source="Plain geometry",
)
ANEW = Rule(
    id="built.anew",
    severity=Severity.STOP,
    asks="No piece that is made has to be made again.",
    why="Before board is cut for it: another way on may save the piece.",
    source="Plain geometry",
)


def record_errors(cabinet: Cabinet) -> list[InputError]:
    """Names in the records that lead nowhere."""
    errors = []
    pieces = cabinet.piece_by_key
    for key, record in cabinet.project.as_built.items():
        piece = pieces.get(key)
        if piece is None:
            if record.drawn is None:  # with it, the piece was planned once
                errors.append(
                    _unknown(f"{AS_BUILT}.{key}", key, list(pieces), "the key of a piece")
                )
            continue
        names = set(edge_names(piece.show))
        for edge in record.bevels:
            if edge not in names:
                errors.append(
                    InputError(
                        f"{AS_BUILT}.{key}.bevels.{edge}",
                        got=edge,
                        want="an edge of the piece: " + ", ".join(sorted(names)),
                        example=sorted(names)[0],
                    )
                )
        for tilt in record.bevels.values():
            if tilt >= 80:
                errors.append(
                    InputError(
                        f"{AS_BUILT}.{key}.bevels",
                        got=f"{tilt:g}°",
                        want="a tilt of the saw below 80°",
                        example="upper: 33",
                    )
                )
        for name in record.holes:
            if feature_key(piece, record, name) is None:
                known = [feature.key for feature in piece.features]
                want = "a hole, opening or groove of the piece"
                errors.append(_unknown(f"{AS_BUILT}.{key}.holes.{name}", name, known, want))
    return errors


def _unknown(field: str, got: str, known: list[str], want: str) -> InputError:
    near = get_close_matches(got, known, 3, 0.4) or known[:3]
    if near:
        want += ", such as " + ", ".join(near)
    return InputError(field, got=got, want=want, example=near[0] if near else "")


def record_findings(cabinet: Cabinet, kept: Way) -> Iterator[Finding]:
    """What the pieces that exist ask of the plan as it is."""
    for answer in kept.answers:
        if answer.verdict in ("unchanged", "new size", "needless"):
            continue
        rule = ANEW if answer.verdict == "remake" else FITS
        painted = " It is painted already." if answer.painted else ""
        orders = tuple(Remedy(order) for order in answer.orders)
        yield rule.finding(
            f"{capital(answer.label)} as made: {answer.reason}{painted}",
            remedies=(*orders, Remedy("Look at the ways on: the plan may follow the piece.")),
            names=(answer.piece,),
            point=_middle(cabinet, answer.piece),
        )


def _middle(cabinet: Cabinet, key: str) -> tuple[float, float, float] | None:
    piece = cabinet.piece_by_key.get(key)
    if piece is None:
        return None
    low_u, low_v, high_u, high_v = piece.extent
    return piece.frame.point((low_u + high_u) / 2, (low_v + high_v) / 2)


__all__ = ["ANEW", "AS_BUILT", "FITS", "record_errors", "record_findings"]
