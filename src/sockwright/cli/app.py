"""The commands: each parses, calls the engine once and prints."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sockwright import __version__
from sockwright.cli.console import (
    machines_folder,
    print_error,
    print_lines,
    print_note,
    read_order,
    show_progress,
)
from sockwright.cli.keeping import check_workshop, restore_workshop
from sockwright.errors import SockwrightError
from sockwright.sheets import Paper

if TYPE_CHECKING:
    from sockwright.plan.make import PairPlan

EXIT_FINDINGS = 1

app = typer.Typer(
    name="sockwright",
    help="From a foot, a yarn and a circular sock machine to a proven crank program.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
order_app = typer.Typer(help="Order files.", no_args_is_help=True)
app.add_typer(order_app, name="order")

PaperChoice = Annotated[Paper, typer.Option(help="The paper to print on.")]
OrderPath = Annotated[Path, typer.Argument(metavar="ORDER.toml", help="The order file.")]


def _version(show: bool) -> None:
    if show:
        typer.echo(f"sockwright {__version__}")
        raise typer.Exit


@app.callback()
def _root(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_version, is_eager=True, help="Print the version and stop."
        ),
    ] = False,
) -> None:
    """From a foot, a yarn and a circular sock machine to a proven crank program."""


@app.command()
def plan(
    order: OrderPath,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print the plan as data (JSON) instead of text.")
    ] = False,
    loops: Annotated[
        Path | None,
        typer.Option(metavar="FILE.csv|.npz", help="Write the loop table of the dry run."),
    ] = None,
    save: Annotated[
        Path | None,
        typer.Option(
            metavar="DIR", help="Also write plan.txt, plan.json and loops.csv into this folder."
        ),
    ] = None,
    explain: Annotated[
        str | None,
        typer.Option(
            metavar="KEY|all",
            help="Print where a number comes from, such as gauge.course, instead of the plan.",
        ),
    ] = None,
) -> None:
    """Plan the socks of an order: fit, rounds, crank program, dry run, yarn and time.

    Exits 1 if the dry run finds an error, 2 if the order cannot be read.
    Example: sockwright plan winch-operator.toml --loops loops.csv
    """
    from sockwright.cli.plan import save_loops, save_plan
    from sockwright.needlebed.loops import check_table_path
    from sockwright.plan.data import plan_data
    from sockwright.plan.make import make_plan

    if loops is not None:
        check_table_path(loops)
    made = make_plan(read_order(order))
    written = [] if loops is None else save_loops(made, loops)
    if save is not None:
        written += save_plan(made, save)
    if explain is not None:
        _explain(made, explain, as_json)
    elif as_json:
        typer.echo(json.dumps(plan_data(made), ensure_ascii=False, indent=1))
    else:
        from sockwright.cli.plan import plan_text

        print_lines(plan_text(made))
        for path in written:
            typer.echo(f"wrote {path}")
    if not made.ok:
        raise typer.Exit(EXIT_FINDINGS)


def _explain(made: PairPlan, key: str, as_json: bool) -> None:
    """Print where one number of a plan comes from, or all of them, as text or as data."""
    from sockwright.cli.explain import chosen_numbers, explain_text

    numbers = chosen_numbers(made, key)
    if as_json:
        data = [each.as_data() for each in numbers]
        typer.echo(json.dumps(data, ensure_ascii=False, indent=1))
    else:
        print_lines(explain_text(made, numbers))


@app.command()
def check(order: OrderPath) -> None:
    """Run only the dry run of an order and say what it finds.

    Exits 1 on an error-level finding. Example: sockwright check winch-operator.toml
    """
    from sockwright.cli.plan import verdict_text
    from sockwright.plan.make import make_plan

    made = make_plan(read_order(order))
    print_lines(verdict_text(made))
    if not made.ok:
        raise typer.Exit(EXIT_FINDINGS)


@app.command()
def cylinders(order: OrderPath) -> None:
    """Rank the cylinders of the order's machine for its foot, with reasons.

    Example: sockwright cylinders winch-operator.toml
    """
    from sockwright.cli.plan import cylinders_text
    from sockwright.plan.make import rank_for_order

    loaded = read_order(order)
    print_lines(cylinders_text(loaded, rank_for_order(loaded)))


@app.command()
def sheets(
    order: OrderPath,
    folder: Annotated[
        Path, typer.Option("--output", "-o", metavar="DIR", help="The folder to write into.")
    ],
    paper: PaperChoice = Paper.A4,
    only: Annotated[str | None, typer.Option(metavar="NAME", help="Write only this sheet.")] = None,
) -> None:
    """Write the printed sheets of an order as PDFs, true to scale.

    The sheets are crank, marks, measuring, scale-card, swatch, chart and record.
    Example: sockwright sheets winch-operator.toml -o sheets --paper letter
    """
    from sockwright.plan.make import make_plan
    from sockwright.sheets.press import print_sheets, write_files
    from sockwright.sheets.typeset import lacking, missing_letters

    made = make_plan(read_order(order))
    files = print_sheets(made, paper, only, show_progress)
    for path in write_files(files, folder):
        typer.echo(f"wrote {path}")
    if strange := missing_letters(made.order):
        where = "; ".join(f'{lacking(words)} (in "{words}")' for words in strange)
        print_note(
            "These letters are in none of Sockwright's typefaces and print only if this computer "
            f"has them: {where}"
        )


@app.command()
def marks(
    needles: Annotated[int, typer.Argument(metavar="N", help="Needles of the cylinder.")],
    diameter: Annotated[
        str, typer.Option(metavar="D", help='Across the needle circle, such as "4.5 in".')
    ],
    folder: Annotated[
        Path, typer.Option("--output", "-o", metavar="DIR", help="The folder to write into.")
    ] = Path(),
    paper: PaperChoice = Paper.A4,
) -> None:
    """Write the marking strip and ring for any cylinder, without an order.

    Example: sockwright marks 72 --diameter "4 1/2 in"
    """
    from sockwright.quantities import parse_length_mm
    from sockwright.sheets.marks import marks_alone
    from sockwright.sheets.press import write_files

    pdf = marks_alone(needles, parse_length_mm(diameter), paper)
    for path in write_files({f"marks-{needles}.pdf": pdf}, folder):
        typer.echo(f"wrote {path}")


@app.command()
def serve(
    port: Annotated[
        int,
        typer.Option(min=0, max=65_535, help="The port to use; 0 takes any free one."),
    ] = 8765,
    database: Annotated[
        str | None,
        typer.Option(
            metavar="URL",
            help="Where it is saved, such as sqlite:///workshop.db or postgresql://user@host/name; "
            "by default in a file of your own.",
        ),
    ] = None,
    network: Annotated[
        bool,
        typer.Option("--network", help="Let others on the same network in, with a passphrase."),
    ] = False,
    name: Annotated[
        list[str] | None,
        typer.Option(
            metavar="HOST",
            help="Another name of this computer or its proxy; may be repeated. "
            "Asks for a passphrase too.",
        ),
    ] = None,
    pass_phrase_file: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Use the passphrase in this file instead of a new random one."
        ),
    ] = None,
    tls: Annotated[
        bool,
        typer.Option(
            "--tls", help="Encrypt the connection with a certificate that this computer makes."
        ),
    ] = False,
    workers: Annotated[
        int | None,
        typer.Option(
            min=0,
            max=64,
            help="How many processes plan at once; 0 plans in the server itself. By default one "
            "for each processor, at most 4.",
        ),
    ] = None,
    open_browser: Annotated[
        bool, typer.Option("--open/--no-open", help="Open the browser at once.")
    ] = True,
) -> None:
    """Open the workshop in the browser, to save and plan feet, yarns, machines and socks.

    Only this computer can reach it, unless --network says otherwise. Ctrl-C closes it.
    Example: sockwright serve
    """
    from sockwright.cli.serve import ServeOptions, serve_workshop

    own = tuple(name or ())
    serve_workshop(
        ServeOptions(port, database, network, own, pass_phrase_file, open_browser, tls, workers)
    )


app.command("check-workshop")(check_workshop)
app.command("restore-workshop")(restore_workshop)


@app.command()
def machines() -> None:
    """Print the folder in which orders look for machine files that they share.

    Example: sockwright machines
    """
    typer.echo(machines_folder())


@order_app.command("new")
def order_new(
    path: Annotated[
        Path | None,
        typer.Argument(metavar="FILE.toml", help="Where to write it; by default it is printed."),
    ] = None,
) -> None:
    """Write a commented order file to start from; an existing file is left alone.

    Example: sockwright order new mine.toml
    """
    from sockwright.order.reference import TEMPLATE

    if path is None:
        typer.echo(TEMPLATE, nl=False)
        return
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(TEMPLATE)
    except FileExistsError:
        raise SockwrightError(f"{path}: there is a file already; choose another name") from None
    typer.echo(f"wrote {path}")


def main() -> None:
    """Run the command line; errors a user can mend are printed, without a traceback."""
    # numpy reads it when it is first loaded: our matrices are small, and threads that share one
    # cost more than they save.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        app()
    except SockwrightError as error:
        sys.exit(print_error(error))
    except BrokenPipeError:
        # Whoever read our output has gone away: nothing is left to say.
        sys.stderr.close()
        sys.exit(EXIT_FINDINGS)
    except OSError as error:
        # Files are written beside their place first: the name asked for is the one without ".part".
        name = str(error.filename).removesuffix(".part")
        sys.exit(print_error(SockwrightError(f"{name}: {error.strerror}")))
