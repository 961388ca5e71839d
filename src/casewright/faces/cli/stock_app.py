"""`casewright stock`: its commands and their options."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from casewright.faces.cli.named_paths import named_path

stock_app = typer.Typer(
    name="stock",
    help="The shop's stock: sheets, offcuts, lengths, hardware, paint and tools, and what projects take of it.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

StockOption = Annotated[
    str | None,
    typer.Option(
        "--stock",
        metavar="ADDRESS",
        help="A file, or a data base as postgresql://shop@server/stock; CASEWRIGHT_STOCK, else your own, if not given.",
    ),
]
WhoOption = Annotated[
    str, typer.Option("--who", help="In whose name; yours on this computer if not given.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Plain data for other programs.")]
UnitOption = Annotated[str, typer.Option("--unit", help="Of lengths that name none: mm or in.")]
FileArgument = Annotated[
    Path, typer.Argument(metavar="FILE", help="A project file, NAME.cabinet.yaml.")
]
CatalogOption = Annotated[
    list[Path] | None,
    typer.Option("--catalog", help="Your own catalog file, added to casewright's."),
]
MarkArgument = Annotated[str, typer.Argument(help="As on the label.")]
FieldsArgument = Annotated[
    list[str] | None,
    typer.Argument(metavar="FIELD=VALUE ...", help="Such as length=600mm place='rack 2'."),
]


@stock_app.command(name="list")
def list_(
    kind: Annotated[
        list[str] | None,
        typer.Option(help="Only sheet, offcut, length, hardware, paint or tool."),
    ] = None,
    used_up: Annotated[bool, typer.Option("--used-up", help="Also what is used up.")] = False,
    stock: StockOption = None,
    json: JsonOption = False,
) -> None:
    """List what there is, with place and price."""
    from casewright.faces.cli import stocking

    raise typer.Exit(
        stocking.list_entries(kind or [], used_up=used_up, address=stock, as_json=json)
    )


@stock_app.command()
def show(mark: MarkArgument, stock: StockOption = None, json: JsonOption = False) -> None:
    """Tell all of one entry, and what happened to it."""
    from casewright.faces.cli import stocking

    raise typer.Exit(stocking.show_entry(mark, address=stock, as_json=json))


@stock_app.command()
def add(
    kind: Annotated[str, typer.Argument(help="sheet, offcut, length, hardware, paint or tool.")],
    fields: FieldsArgument = None,
    unit: UnitOption = "mm",
    stock: StockOption = None,
    who: WhoOption = "",
    json: JsonOption = False,
) -> None:
    """Put an entry in: add offcut material=plywood measured=11.8 length=600 width=300 place=rack."""
    from casewright.faces.cli import stocking

    raise typer.Exit(
        stocking.add_entry(kind, fields or [], unit=unit, address=stock, who=who, as_json=json)
    )


@stock_app.command()
def change(
    mark: MarkArgument,
    fields: FieldsArgument = None,
    unit: UnitOption = "mm",
    stock: StockOption = None,
    who: WhoOption = "",
    json: JsonOption = False,
) -> None:
    """Change an entry: change C17 place=attic count=2; nothing after the sign takes a value out."""
    from casewright.faces.cli import stocking

    raise typer.Exit(
        stocking.change_entry(mark, fields or [], unit=unit, address=stock, who=who, as_json=json)
    )


@stock_app.command()
def remove(
    mark: MarkArgument, stock: StockOption = None, who: WhoOption = "", json: JsonOption = False
) -> None:
    """Take an entry out of the list for good."""
    from casewright.faces.cli import stocking

    raise typer.Exit(stocking.remove_entry(mark, address=stock, who=who, as_json=json))


@stock_app.command()
def take(
    mark: MarkArgument,
    count: Annotated[int, typer.Option(help="How many.")] = 1,
    for_: Annotated[str, typer.Option("--for", help="What for.")] = "",
    back: Annotated[bool, typer.Option("--back", help="Put them back instead.")] = False,
    stock: StockOption = None,
    who: WhoOption = "",
    json: JsonOption = False,
) -> None:
    """Take pieces by hand, or put them back."""
    from casewright.faces.cli import stocking

    raise typer.Exit(
        stocking.take_pieces(
            mark, count, project=for_, back=back, address=stock, who=who, as_json=json
        )
    )


@stock_app.command()
def offer(
    file: FileArgument,
    only: Annotated[
        list[str] | None, typer.Option(help="Only boards, have (what need not be bought) or tools.")
    ] = None,
    save: Annotated[
        bool, typer.Option("--save", help="Write the offers into the project file.")
    ] = False,
    stock: StockOption = None,
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Say what of the stock suits a project: offcuts and sheets, what need not be bought, saw and bits."""
    from casewright.faces.cli import stock_projects

    raise typer.Exit(
        stock_projects.offer_stock(
            file, only=only or [], save=save, address=stock, as_json=json, catalogs=catalog or []
        )
    )


@stock_app.command()
def accept(
    file: FileArgument,
    place: Annotated[str, typer.Option(help="Where the offcuts will lie.")] = "",
    again: Annotated[
        bool, typer.Option("--again", help="The project is cut once more, or this besides.")
    ] = False,
    stock: StockOption = None,
    who: WhoOption = "",
    json: JsonOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Accept a project's cutting layout: take its boards out of the stock, book the offcuts it leaves."""
    from casewright.faces.cli import stock_projects

    raise typer.Exit(
        stock_projects.accept_layout(
            file,
            place=place,
            again=again,
            address=stock,
            who=who,
            as_json=json,
            catalogs=catalog or [],
        )
    )


@stock_app.command()
def undo(
    number: Annotated[int, typer.Argument(help="Of an accepted layout, as 'history' tells it.")],
    stock: StockOption = None,
    who: WhoOption = "",
    json: JsonOption = False,
) -> None:
    """Take an accepted layout back: its boards return, its offcuts leave the list."""
    from casewright.faces.cli import stock_projects

    raise typer.Exit(stock_projects.undo_layout(number, address=stock, who=who, as_json=json))


@stock_app.command()
def history(stock: StockOption = None, json: JsonOption = False) -> None:
    """List the layouts that were accepted: by whom, for what, what they took and left."""
    from casewright.faces.cli import stock_projects

    raise typer.Exit(stock_projects.list_layouts(address=stock, as_json=json))


@stock_app.command()
def labels(
    marks: Annotated[
        list[str] | None, typer.Argument(help="Of what; of all sheets and offcuts if left out.")
    ] = None,
    out: Annotated[Path, typer.Option(parser=named_path, metavar="PATH", help="The file.")] = Path(
        "labels.pdf"
    ),
    paper: Annotated[str, typer.Option(help="A4, Letter, A3 or Tabloid.")] = "A4",
    bench_address: Annotated[
        str | None,
        typer.Option(help="Where phones find `open --lan`: the codes lead there."),
    ] = None,
    stock: StockOption = None,
    json: JsonOption = False,
) -> None:
    """Write a sheet of labels to print: mark, size, material, grain, place, square code."""
    from casewright.faces.cli import stocking

    raise typer.Exit(
        stocking.write_labels(
            marks or [], out=out, paper=paper, bench=bench_address, address=stock, as_json=json
        )
    )


@stock_app.command(name="export")
def export_(
    out: Annotated[Path, typer.Option(parser=named_path, metavar="PATH", help="The table.")] = Path(
        "stock.csv"
    ),
    force: Annotated[
        bool, typer.Option("--force", help="Overwrite the file if it exists.")
    ] = False,
    stock: StockOption = None,
    json: JsonOption = False,
) -> None:
    """Write all of it as a table, CSV."""
    from casewright.faces.cli import stocking

    raise typer.Exit(stocking.write_table(out, force=force, address=stock, as_json=json))


@stock_app.command(name="import")
def import_(
    table: Annotated[Path, typer.Argument(help="A CSV table; its first line names the columns.")],
    unit: UnitOption = "mm",
    stock: StockOption = None,
    who: WhoOption = "",
    json: JsonOption = False,
) -> None:
    """Read a table, all of it or nothing; entries whose mark is there already are changed."""
    from casewright.faces.cli import stocking

    raise typer.Exit(stocking.read_table(table, unit=unit, address=stock, who=who, as_json=json))


__all__ = [
    "accept",
    "add",
    "change",
    "export_",
    "history",
    "import_",
    "labels",
    "list_",
    "offer",
    "remove",
    "show",
    "stock_app",
    "take",
    "undo",
]
