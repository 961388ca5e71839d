"""`casewright cut`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich import box
from rich.table import Table

from casewright.basics.errors import CasewrightError, InputError
from casewright.basics.findings import worded
from casewright.basics.wording import listed
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.planning.blanks import Cutting, MaterialPlan
from casewright.planning.nests import NO_GAIN, NO_SAW
from casewright.session import Session
from casewright.session.keeping import keeping_edits, looked_longer
from casewright.workflow import Worked, open_project, work_out


def cut_project(
    file: Path,
    *,
    steps: int | None,
    seconds: float | None,
    keep: bool,
    as_json: bool,
    catalogs: Sequence[Path],
) -> int:
    """Print what the layouts come to, after so many steps or seconds of search; keep them where that is wished."""
    kept: tuple[str, ...] = ()
    try:
        if steps is not None and seconds is not None:
            raise InputError(
                "--seconds", got="with --steps", want="one of the two", example="--seconds 10"
            )
        if keep and steps is None and seconds is None:
            raise InputError(
                "--keep",
                got="without --seconds or --steps",
                want="how long to look",
                example="--seconds 10 --keep",
            )
        if keep:
            worked, cutting, kept = _kept(file, steps, seconds, catalogs)
        else:
            worked = work_out(open_project(file, catalogs=catalogs))
            cutting = worked.cutting
            if steps is not None or seconds is not None:
                cutting = looked_longer(worked, steps=steps, seconds=seconds)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    write = worked.opened.write_length
    if as_json:
        told = {"kept": list(kept)} if keep else {}
        print_json({"materials": [_data(one) for one in cutting.plans], **told})
        return FINE
    table = Table(box=box.SIMPLE_HEAD)
    for head in (
        "material",
        "sheets",
        "fewer possible",
        "largest offcut",
        "fence settings",
        "stages",
        "cuts",
    ):
        table.add_column(head, justify="left" if head == "material" else "right")
    for one in cutting.plans:
        plan = one.plan
        offcut = plan.largest_offcut
        table.add_row(
            one.label,
            str(len(plan.sheets)),
            "no" if plan.proven else f"at least {plan.lower_bound}",
            f"{write(offcut.length)} × {write(offcut.width)}" if offcut else "none",
            str(plan.fence_settings),
            str(plan.stages),
            write(plan.cut_length),
        )
    console().print(table)
    if keep:
        labels = {one.material: one.label for one in cutting.plans}
        console().print(
            f"Kept in {file.name}: {listed(labels[key] for key in kept)}. Papers made from now on show it."
            if kept
            else "No better layout was found; nothing is kept."
        )
    for one in cutting.plans:
        for blank in one.blanks:
            if blank.nested:
                console().print(
                    f"{one.label}: {listed(nested.name for nested in blank.nested)} in a nest of "
                    f"{write(blank.length)} × {write(blank.width)}, cut off edge to edge, then sawn along the lines."
                )
    for finding in cutting.findings:
        if finding.rule in (NO_GAIN.id, NO_SAW.id):
            remedies = " ".join(remedy.text for remedy in finding.remedies)
            console().print(worded(f"{finding.message} {remedies}".rstrip(), write))
    return FINE


def _kept(
    file: Path, steps: int | None, seconds: float | None, catalogs: Sequence[Path]
) -> tuple[Worked, Cutting, tuple[str, ...]]:
    """The project with what was found better written into its file, and the materials of which there was such."""
    session = Session.open(file, catalogs=catalogs)
    try:
        worked = session.sound
        edits = keeping_edits(worked, looked_longer(worked, steps=steps, seconds=seconds))
        if edits:
            session.edit(edits, "keep a layout")
            session.save()
            worked = session.sound
    finally:
        session.close(discard=True)
    return worked, worked.cutting, tuple(str(path[-1]) for path in edits)


def _data(one: MaterialPlan) -> dict[str, object]:
    plan = one.plan
    offcut = plan.largest_offcut
    return {
        "material": one.material,
        "sheets": len(plan.sheets),
        "bought": plan.bought,
        "lower_bound": plan.lower_bound,
        "proven": plan.proven,
        "price": plan.price,
        "largest_offcut_mm": [offcut.length, offcut.width] if offcut else None,
        "fence_settings": plan.fence_settings,
        "stages": plan.stages,
        "cut_length_mm": plan.cut_length,
        "kept_sheets": plan.kept,
        "nests": [
            {
                "blank_mm": [blank.length, blank.width],
                "pieces": [
                    {
                        "piece": nested.key,
                        "face_up": nested.face,
                        "turned_deg": nested.turned_deg,
                        "outline_mm": nested.outline,
                    }
                    for nested in blank.nested
                ],
            }
            for blank in one.blanks
            if blank.nested
        ],
    }


__all__ = ["cut_project"]
