"""Commands and their options."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from casewright import __version__
from casewright.faces.cli.exit_codes import INTERRUPTED, SAID
from casewright.faces.cli.named_paths import named_path
from casewright.faces.cli.stock_app import stock_app

app = typer.Typer(
    name="casewright",
    help="Works out a one-off cabinet round bought electronics, tells what will not work, and writes its bench papers.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

FileArgument = Annotated[
    Path, typer.Argument(metavar="FILE", help="A project file, NAME.cabinet.yaml.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Plain data for other programs.")]
CatalogOption = Annotated[
    list[Path] | None,
    typer.Option("--catalog", help="Your own catalog file, added to casewright's."),
]


@app.command()
def check(file: FileArgument, json: JsonOption = False, catalog: CatalogOption = None) -> None:
    """Work the cabinet out and list what to look at before buying and cutting."""
    from casewright.faces.cli.checking import check_project

    raise typer.Exit(check_project(file, as_json=json, catalogs=catalog or []))


@app.command()
def build(
    file: FileArgument,
    out: Annotated[
        Path | None,
        typer.Option(
            parser=named_path, metavar="PATH", help="Folder for the papers; out/NAME if not given."
        ),
    ] = None,
    paper: Annotated[
        str | None, typer.Option(help="A4, Letter, A3 or Tabloid; the project's own if not given.")
    ] = None,
    step: Annotated[
        bool | None,
        typer.Option(
            "--step/--no-step", help="Solids as STEP too; if the kernel is there, when not given."
        ),
    ] = None,
    start: Annotated[
        str | None,
        typer.Option(help="First day of painting, as 2027-03-05: adds a calendar of its days."),
    ] = None,
    bench_address: Annotated[
        str | None,
        typer.Option(
            help="Where phones find `open --lan`, as http://192.168.1.5:8080: codes on the pages lead there."
        ),
    ] = None,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Write all papers: bench book, templates, drawings, cutting, shopping, solids."""
    from casewright.faces.cli.building import build_project

    raise typer.Exit(
        build_project(
            file,
            out=out,
            paper=paper,
            step=step,
            start=start,
            bench=bench_address,
            as_json=json,
            catalogs=catalog or [],
        )
    )


@app.command(name="open")
def open_(
    file: Annotated[
        Path | None,
        typer.Argument(metavar="[FILE]", help="A project file; the start page if left out."),
    ] = None,
    port: Annotated[int, typer.Option(min=0, max=65535, help="0 takes a free one.")] = 0,
    lan: Annotated[
        bool,
        typer.Option("--lan", help="Phones in your network may open the bench view, with a code."),
    ] = False,
    host: Annotated[
        str | None,
        typer.Option(help="Address to listen on; others than your own computer need a code."),
    ] = None,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the page in your browser.")
    ] = True,
    catalog: CatalogOption = None,
) -> None:
    """Show the workbench: your cabinet in the browser, to look at and to change."""
    from casewright.faces.cli.opening import open_workbench

    raise typer.Exit(
        open_workbench(file, host=host, lan=lan, port=port, browser=browser, catalogs=catalog or [])
    )


@app.command()
def why(
    file: FileArgument,
    number: Annotated[
        str | None,
        typer.Argument(help="Name of a number, such as deck.length; all names if left out."),
    ] = None,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Explain a number: its terms, the rule it follows, its source."""
    from casewright.faces.cli.explaining import explain_number

    raise typer.Exit(explain_number(file, number, as_json=json, catalogs=catalog or []))


@app.command()
def steps(
    file: FileArgument,
    day: Annotated[int | None, typer.Option(min=1, help="Only what is done on that day.")] = None,
    setups: Annotated[
        bool, typer.Option("--setups", help="Only how often each thing is set.")
    ] = False,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """List the order of work: every cut and hole by setting and day, with its time."""
    from casewright.faces.cli.working import list_steps

    raise typer.Exit(list_steps(file, day=day, setups=setups, as_json=json, catalogs=catalog or []))


@app.command()
def cut(
    file: FileArgument,
    steps: Annotated[
        int | None,
        typer.Option(
            min=0, max=1_000_000, help="Steps of the search; the project's own if not given."
        ),
    ] = None,
    seconds: Annotated[
        float | None,
        typer.Option(
            min=0.05, max=3600, help="Look so long for fewer sheets of each material instead."
        ),
    ] = None,
    keep: Annotated[
        bool,
        typer.Option(
            "--keep", help="Write a better layout into the project, so that the papers show it."
        ),
    ] = False,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Tell what the cutting layouts come to: sheets, whether fewer are possible, offcut, settings, stages."""
    from casewright.faces.cli.cutting import cut_project

    raise typer.Exit(
        cut_project(
            file, steps=steps, seconds=seconds, keep=keep, as_json=json, catalogs=catalog or []
        )
    )


@app.command()
def batch(
    files: Annotated[
        list[Path], typer.Argument(metavar="FILE ...", help="Project files to be cut together.")
    ],
    copies: Annotated[
        list[int] | None,
        typer.Option(help="Copies of each; one number for all, or once for each project."),
    ] = None,
    steps: Annotated[
        int | None,
        typer.Option(
            min=0, max=1_000_000, help="Steps of the search; the projects' own if not given."
        ),
    ] = None,
    seconds: Annotated[
        float | None,
        typer.Option(
            min=0.05, max=3600, help="Look so long for fewer sheets of each material instead."
        ),
    ] = None,
    boards: Annotated[
        bool, typer.Option("--boards", help="Use boards of the shop's stock that save something.")
    ] = False,
    accept: Annotated[
        bool, typer.Option("--accept", help="Take the boards off the stock and book the offcuts.")
    ] = False,
    place: Annotated[str, typer.Option(help="Where the offcuts will lie.")] = "",
    again: Annotated[
        bool, typer.Option("--again", help="Accept it though it was accepted before.")
    ] = False,
    stock: Annotated[
        str | None, typer.Option("--stock", metavar="ADDRESS", help="The stock, as `stock` has it.")
    ] = None,
    who: Annotated[
        str, typer.Option("--who", help="In whose name; yours on this computer if not given.")
    ] = "",
    out: Annotated[
        Path | None,
        typer.Option(parser=named_path, metavar="PATH", help="Folder; out/batch if not given."),
    ] = None,
    paper: Annotated[
        str | None,
        typer.Option(help="A4, Letter, A3 or Tabloid; the first project's own if not given."),
    ] = None,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Cut several projects, or several copies, together: one layout, each piece with its project and copy."""
    from casewright.faces.cli.batching import cut_batch

    raise typer.Exit(
        cut_batch(
            files,
            copies=copies or [],
            steps=steps,
            seconds=seconds,
            boards=boards,
            accept=accept,
            place=place,
            again=again,
            address=stock,
            who=who,
            out=out,
            paper=paper,
            as_json=json,
            catalogs=catalog or [],
        )
    )


@app.command()
def explore(
    file: FileArgument,
    vary: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PLACE=VALUES",
            help="What to vary: shape.width='660 to 740 by 20', parts.lever.type='lever-ball, lever-bat'. "
            "Without any, NAME.explore.yaml beside the file says it.",
        ),
    ] = None,
    plan: Annotated[
        Path | None,
        typer.Option(
            parser=named_path, metavar="PATH", help="File that says what to vary; see the README."
        ),
    ] = None,
    show: Annotated[
        list[str] | None,
        typer.Option(metavar="NUMBER", help="A further number as `why` takes it: deck.length."),
    ] = None,
    aim: Annotated[
        list[str] | None,
        typer.Option(
            metavar="FIGURE", help="What is to be low or high: cost, mass, 'sight more' ..."
        ),
    ] = None,
    sample: Annotated[
        int | None, typer.Option(min=1, help="Try so many of all variants, drawn evenly.")
    ] = None,
    seed: Annotated[int | None, typer.Option(help="Draws another sample.")] = None,
    workers: Annotated[
        int | None,
        typer.Option(min=1, max=512, help="Processes; one for each core if not given."),
    ] = None,
    cluster: Annotated[
        str | None,
        typer.Option(
            metavar="ADDRESS", help="Work on a Dask cluster instead: tcp://scheduler:8786."
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            parser=named_path,
            metavar="PATH",
            help="Folder for plot and tables; out/NAME-explored if not given.",
        ),
    ] = None,
    keep: Annotated[
        Path | None,
        typer.Option(
            parser=named_path,
            metavar="PATH",
            help="File that keeps finished variants; in that folder if not given.",
        ),
    ] = None,
    pick: Annotated[
        int | None, typer.Option(metavar="N", help="Make variant N the project, and no more.")
    ] = None,
    to: Annotated[
        Path | None,
        typer.Option(
            parser=named_path,
            metavar="PATH",
            help="With --pick: write it to this new file instead.",
        ),
    ] = None,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Try thousands of variants: what each costs and weighs, what is seen, which ones no other one beats."""
    from casewright.faces.cli.exploring import explore_project

    code = explore_project(
        file,
        vary=vary or [],
        plan=plan,
        shown=show or [],
        aims=aim or [],
        sample=sample,
        seed=seed,
        workers=workers,
        cluster=cluster,
        out=out,
        keep=keep,
        pick=pick,
        to=to,
        as_json=json,
        catalogs=catalog or [],
    )
    raise typer.Exit(SAID if code == INTERRUPTED else code)


@app.command()
def made(
    file: FileArgument,
    pieces: Annotated[
        list[str] | None,
        typer.Argument(help="Keys of the pieces, as the list of pieces names them."),
    ] = None,
    state: Annotated[
        str, typer.Option(help="drawn, cut, shaped, drilled, painted or fitted.")
    ] = "cut",
    length: Annotated[str, typer.Option(help="Its length by the tape.")] = "",
    width: Annotated[str, typer.Option(help="Its width by the tape.")] = "",
    thickness: Annotated[str, typer.Option(help="Its thickness by the caliper.")] = "",
    bevel: Annotated[
        list[str] | None, typer.Option(help="An edge and the tilt it was sawn at: upper=33.")
    ] = None,
    hole: Annotated[
        list[str] | None,
        typer.Option(help="A hole and what is measured of it: red1=u:144.3,v:140."),
    ] = None,
    note: Annotated[str, typer.Option(help="Anything worth keeping.")] = "",
    papers: Annotated[
        bool,
        typer.Option("--papers", help="The papers are printed: keep all pieces as they show them."),
    ] = False,
    forget: Annotated[bool, typer.Option("--forget", help="They do not exist after all.")] = False,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Mark pieces as made, with what the tape says of them; say what that asks of the plan."""
    from casewright.faces.cli.recording import record_pieces

    raise typer.Exit(
        record_pieces(
            file,
            pieces or [],
            state=state,
            measured={"length": length, "width": width, "thickness": thickness, "note": note},
            bevels=bevel or [],
            holes=hole or [],
            everything=papers,
            forget=forget,
            as_json=json,
            catalogs=catalog or [],
        )
    )


@app.command()
def replan(
    file: FileArgument,
    take: Annotated[int | None, typer.Option(help="Let the plan go this way.")] = None,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Say the ways on from the pieces that exist: what to do with each, and how the plan may follow."""
    from casewright.faces.cli.recording import plan_again

    raise typer.Exit(plan_again(file, take=take, as_json=json, catalogs=catalog or []))


@app.command()
def keep(
    file: FileArgument,
    name: Annotated[str, typer.Argument(help="What to call it: 'before the overlay'.")],
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Keep the project as it is now, under a name."""
    from casewright.faces.cli import versions as doing

    raise typer.Exit(doing.keep(file, name, as_json=json, catalogs=catalog or []))


@app.command()
def versions(
    file: FileArgument,
    bring: Annotated[
        str | None, typer.Option(help="Bring this one back, by name or number.")
    ] = None,
    json: JsonOption = False,
) -> None:
    """List the kept versions; bring one back."""
    from casewright.faces.cli import versions as doing

    raise typer.Exit(doing.list_versions(file, bring=bring, as_json=json))


@app.command()
def difference(
    file: FileArgument,
    first: Annotated[
        str | None, typer.Argument(help="A version; the last one kept if not given.")
    ] = None,
    second: Annotated[
        str | None, typer.Argument(help="Another one; the file as it is if not given.")
    ] = None,
    picture: Annotated[
        Path | None,
        typer.Option(
            parser=named_path,
            metavar="PATH",
            help="Also draw it, to this SVG file: before grey, changes blue.",
        ),
    ] = None,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Tell what is different between two versions: sizes, parts, findings, cost."""
    from casewright.faces.cli import versions as doing

    raise typer.Exit(
        doing.tell_difference(
            file, first, second, picture=picture, as_json=json, catalogs=catalog or []
        )
    )


@app.command()
def share(
    file: FileArgument,
    out: Annotated[
        Path | None,
        typer.Option(
            parser=named_path, metavar="PATH", help="The page; beside the project if not given."
        ),
    ] = None,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Write one page with everything in it, the project too: for any browser, without a network."""
    from casewright.faces.cli import versions as doing

    raise typer.Exit(doing.share(file, out=out, as_json=json, catalogs=catalog or []))


@app.command()
def unpack(
    page: Annotated[Path, typer.Argument(help="A page written by 'casewright share'.")],
    out: Annotated[
        Path | None,
        typer.Option(parser=named_path, metavar="PATH", help="Where the project file goes."),
    ] = None,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Take the project file out of a shared page."""
    from casewright.faces.cli import versions as doing

    raise typer.Exit(doing.unpack(page, out=out, as_json=json, catalogs=catalog or []))


@app.command()
def hands(
    file: FileArgument,
    player: Annotated[int, typer.Option(min=1, max=16, help="Whose buttons.")] = 1,
    style: Annotated[str, typer.Option(help="arc, straight, 'two rows' or 'three rows'.")] = "arc",
    hand: Annotated[
        str | None, typer.Option(help="left or right, where a player has buttons for both.")
    ] = None,
    thumb: Annotated[bool, typer.Option("--thumb", help="One button for the thumb.")] = False,
    pitch: Annotated[
        str | None, typer.Option(help="Between two buttons; what suits the hand if not given.")
    ] = None,
    save: Annotated[bool, typer.Option("--save", help="Write the new places to the file.")] = False,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Lay a player's buttons out under the fingers of the hand that plays them."""
    from casewright.faces.cli.handing import lay_out

    raise typer.Exit(
        lay_out(
            file,
            player=player,
            style=style,
            hand=hand,
            thumb=thumb,
            pitch=pitch,
            save=save,
            as_json=json,
            catalogs=catalog or [],
        )
    )


@app.command()
def new(
    file: Annotated[
        Path | None, typer.Argument(metavar="[FILE]", help="Where to write it, NAME.cabinet.yaml.")
    ] = None,
    recipe: Annotated[
        str | None,
        typer.Option(help="tabletop, standing, lap, box or outline; asked if not given."),
    ] = None,
    name: Annotated[str | None, typer.Option(help="What the cabinet is called.")] = None,
    unit: Annotated[str | None, typer.Option(help="mm or in.")] = None,
    display: Annotated[str | None, typer.Option(help="Catalog type of the display.")] = None,
    players: Annotated[
        int | None, typer.Option(min=1, max=4, help="Players side by side; 1 if not given.")
    ] = None,
    buttons: Annotated[
        int | None, typer.Option(min=0, max=8, help="Buttons for each player; 6 if not given.")
    ] = None,
    width: Annotated[
        str | None, typer.Option(help="Width over both sides, such as 700 or 27 1/2.")
    ] = None,
    litres: Annotated[
        float | None, typer.Option(help="Volume inside a box, in liters; 12 if not given.")
    ] = None,
    force: Annotated[
        bool, typer.Option("--force", help="Overwrite the file if it exists.")
    ] = False,
) -> None:
    """Start a project file from a recipe: it builds as it is, then change what differs."""
    from casewright.faces.cli.starting import start_project

    raise typer.Exit(
        start_project(
            file,
            recipe=recipe,
            name=name,
            unit=unit,
            display=display,
            players=players,
            buttons=buttons,
            width=width,
            litres=litres,
            force=force,
        )
    )


@app.command()
def catalog(
    words: Annotated[
        list[str] | None, typer.Argument(help="A type to explain, or words to look for.")
    ] = None,
    json: JsonOption = False,
    unit: Annotated[str, typer.Option(help="mm or in.")] = "mm",
    catalog: CatalogOption = None,
) -> None:
    """List the generic part types, or explain one: every number with its source."""
    from casewright.faces.cli.browsing import browse_catalog

    raise typer.Exit(browse_catalog(words or [], unit=unit, as_json=json, catalogs=catalog or []))


@app.command()
def schema(
    results: Annotated[
        bool, typer.Option("--results", help="The schema of cabinet.json instead.")
    ] = False,
    server: Annotated[
        bool,
        typer.Option(
            "--server", help="The local server's addresses instead, as an OpenAPI description."
        ),
    ] = False,
) -> None:
    """Print the JSON Schema of the project file, for editors and other programs."""
    from casewright.faces.cli.browsing import print_schema

    raise typer.Exit(print_schema(results=results, server=server))


app.add_typer(stock_app, name="stock")


def _version(value: bool) -> None:
    if value:
        typer.echo(f"casewright {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    pass


__all__ = [
    "app",
    "batch",
    "build",
    "catalog",
    "check",
    "cut",
    "difference",
    "explore",
    "hands",
    "keep",
    "made",
    "new",
    "open_",
    "replan",
    "schema",
    "share",
    "steps",
    "unpack",
    "versions",
    "why",
]
