"""`casewright keep`, `versions` and `difference`; `share` and `unpack`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.text import Text

from casewright.basics.errors import CasewrightError, InputError
from casewright.basics.findings import worded
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.outputs.difference import TITLES, changed_pieces, difference, line_words
from casewright.outputs.drawings.difference_view import difference_drawing
from casewright.outputs.drawings.svg import write_svg
from casewright.session.versions import keep_version, state_of, version_named, versions_of
from casewright.workflow import (
    SUFFIX,
    open_project,
    open_text,
    read_text,
    save_text,
    work_out,
)


def keep(file: Path, name: str, *, as_json: bool, catalogs: Sequence[Path]) -> int:
    """Keep the project as it stands in its file, under a name."""
    try:
        open_project(file, catalogs=catalogs)  # what cannot be read is not worth keeping
        version = keep_version(file, read_text(file), name)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json({"name": version.name, "when": version.when.isoformat()})
    else:
        console().print(Text(f"Kept as '{version.name}'."))
    return FINE


def list_versions(file: Path, *, bring: str | None, as_json: bool) -> int:
    """List the versions, or bring one back; what stood in the file is kept first."""
    try:
        if bring is not None:
            version = version_named(file, bring)
            if file.exists() and (text := read_text(file)) not in {
                v.text for v in versions_of(file)
            }:
                keep_version(file, text, _free_name(file, f"before '{version.name}' came back"))
            save_text(file, version.text)
            console().print(Text(f"{file.name} is as it was at '{version.name}'."))
            return FINE
        known = versions_of(file)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json([{"name": v.name, "when": v.when.isoformat()} for v in known])
        return FINE
    if not known:
        console().print(Text("No version is kept yet: casewright keep FILE NAME"))
    for number, version in enumerate(known, start=1):
        console().print(Text(f"{number}. {version.when:%Y-%m-%d %H:%M}  {version.name}"))
    return FINE


def _free_name(file: Path, name: str) -> str:
    names = {version.name for version in versions_of(file)}
    short = name[:70]
    return next(n for n in (short, *(f"{short} {i}" for i in range(2, 10_000))) if n not in names)


def tell_difference(
    file: Path,
    first: str | None,
    second: str | None,
    *,
    picture: Path | None,
    as_json: bool,
    catalogs: Sequence[Path],
) -> int:
    """What is different between two versions; without a second one, the file as it is."""
    try:
        known = versions_of(file)
        if first is None and not known:
            raise InputError(
                "version", got="none", want="a version; casewright keep FILE NAME keeps one"
            )
        start = version_named(file, first) if first is not None else known[-1]
        before = work_out(
            open_text(start.text, file=f"{file.name} at '{start.name}'", catalogs=catalogs)
        )
        if second is None:
            after = work_out(open_project(file, catalogs=catalogs))
        else:
            end = version_named(file, second)
            after = work_out(
                open_text(end.text, file=f"{file.name} at '{end.name}'", catalogs=catalogs)
            )
        lines = difference(state_of(before), state_of(after))
        if picture is not None:
            changed = changed_pieces(before.cabinet, after.cabinet)
            drawing = difference_drawing(before.cabinet, after.cabinet, changed)
            save_text(picture, write_svg(drawing, margin=8.0))
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    write = after.opened.write_length
    if as_json:
        print_json(
            [
                {
                    "kind": line.kind,
                    "what": line.what,
                    "before": worded(line.before, write) or None,
                    "after": worded(line.after, write) or None,
                }
                for line in lines
            ]
        )
        return FINE
    out = console()
    if not lines:
        out.print(Text("Nothing is different."))
    for kind, title in TITLES.items():
        mine = [line for line in lines if line.kind == kind]
        if mine:
            out.print(Text(title, style="bold"))
        for line in mine:
            out.print(Text(f"  {worded(line_words(line), write)}"))
    return FINE


def share(file: Path, *, out: Path | None, as_json: bool, catalogs: Sequence[Path]) -> int:
    """Write the project as one page that needs no server and no network."""
    from casewright.faces.share import share_page

    target = out or file.with_name(f"{file.name.removesuffix(SUFFIX)}.html")
    try:
        worked = work_out(open_project(file, catalogs=catalogs))
        page = share_page(worked, read_text(file), name=file.name)
        save_text(target, page.decode("utf-8"))
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json({"file": str(target), "bytes": len(page)})
    else:
        console().print(
            Text(f"{target}, {len(page) / 1e6:.1f} MB: opens in any browser, no network.")
        )
    return FINE


def unpack(page: Path, *, out: Path | None, as_json: bool, catalogs: Sequence[Path]) -> int:
    """Take the project file out of a shared page; an existing file is left alone."""
    from casewright.faces.share import project_in

    try:
        name, text = project_in(page)
        target = out or page.with_name(name)
        if target.exists():
            raise InputError(
                "--out", got=str(target), want="a file that is not there yet", example=f"my-{name}"
            )
        open_text(text, file=name, catalogs=catalogs)
        save_text(target, text)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json({"file": str(target)})
    else:
        console().print(Text(f"{target} is there. Next: casewright open {target.name}"))
    return FINE


__all__ = [
    "keep",
    "list_versions",
    "share",
    "tell_difference",
    "unpack",
]
