"""The command line: `flawtree diagnose`, `ask`, `show`, `sum`, `series`, `recipe`, `repeat`, `review`.

Exit codes: 0 done, 1 faults found by `review`, 2 input that cannot be used, 130 interrupted.
"""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from diagnose import __version__
from diagnose.errors import FlawtreeError, InputError, explain

if TYPE_CHECKING:
    from diagnose.knowledge.model import Knowledge

FORMAT = "The form of the answer."
SELDOM = (50_000, 20, 20)
"""How seldom to collect: one answer makes little garbage, ten thousand must not pile it up."""
UNUSABLE = 2
INTERRUPTED = 130


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="flawtree")
@click.option("--debug", is_flag=True, help="Show the traceback of an error.")
@click.option(
    "--rules", type=click.Path(path_type=Path, exists=True, file_okay=False), help="Another folder of rules."
)
@click.pass_context
def commands(context: click.Context, debug: bool, rules: Path | None) -> None:
    """Find the likeliest cause of a print defect, prove it, and mend it by a calculated amount."""
    context.obj = {"debug": debug, "rules": rules}


def _knowledge(context: click.Context) -> Knowledge:
    import gc

    from diagnose.knowledge.loader import load_knowledge

    # The rules live as long as the command: the collector need not walk them again and again.
    gc.disable()
    knowledge = load_knowledge(context.obj["rules"])
    gc.freeze()
    gc.set_threshold(*SELDOM)
    gc.enable()
    return knowledge


@commands.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "html"]),
    default="text",
    show_default=True,
    help=FORMAT,
)
@click.option("--out", type=click.Path(path_type=Path), help="Write to this file (or folder, for several).")
@click.option("--strict", is_flag=True, help="Exit with 2 when any word is not understood.")
@click.option("--full", is_flag=True, help="Show every cause, check and adjustment.")
@click.pass_context
def diagnose(
    context: click.Context, files: tuple[Path, ...], form: str, out: Path | None, strict: bool, full: bool
) -> None:
    """Diagnose complaint FILES; a folder stands for all the complaints in it.

    \b
    Example: flawtree diagnose cases/foam_marks/foam_after_pump_change.yaml
    """
    from diagnose.screens import answers

    context.exit(answers.answer_all(_knowledge(context), files, form, out, strict=strict, full=full))


@commands.command()
@click.argument("term")
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help=FORMAT
)
@click.pass_context
def show(context: click.Context, term: str, form: str) -> None:
    """Show a defect, cause, adjustment, check or quantity as a page.

    \b
    Example: flawtree show pinholes
    """
    from diagnose.screens import pages

    click.echo(pages.show(_knowledge(context), term, form))


@commands.command("sum")
@click.argument("name", required=False)
@click.argument("inputs", nargs=-1)
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help=FORMAT
)
def sum_(name: str | None, inputs: tuple[str, ...], form: str) -> None:
    """Run the sum NAME with inputs such as ph_now=7.6; without inputs, explain it; without a name, list all.

    \b
    Example: flawtree sum wetting_margin film_surface_energy=38 ink_surface_tension=32
    """
    from diagnose.screens import sums

    click.echo(sums.sum_text(name, inputs, form))


@commands.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--quantity", help="Only the column with this heading.")
@click.option("--low", type=float, help="Lower limit of the window.")
@click.option("--high", type=float, help="Upper limit of the window.")
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help=FORMAT
)
def series(file: Path, quantity: str | None, low: float | None, high: float | None, form: str) -> None:
    """Read a run from the CSV FILE (hours or clock times first): trend, time left, control charts.

    \b
    Example: flawtree series ph.csv --quantity pH --low 8.5 --high 9.2
    """
    from diagnose.screens import runs

    click.echo(runs.series_text(file, quantity, low, high, form))


@commands.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--kg", type=click.FloatRange(0.001, 1e6), help="Print a batch card for so many kilograms.")
@click.option(
    "--add",
    "added",
    multiple=True,
    metavar="NAME=SHARE",
    help="The recipe after so many % of the ink more of it.",
)
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help=FORMAT
)
@click.pass_context
def recipe(context: click.Context, file: Path, kg: float | None, added: tuple[str, ...], form: str) -> None:
    """Show the recipe sheet of a complaint FILE: mass balance, windows, faults of mixing, batch card.

    \b
    Example: flawtree recipe complaint.yaml --kg 25
    """
    from diagnose.screens import formulas

    click.echo(formulas.recipe_text(_knowledge(context), file, kg, form, added))


@commands.command()
@click.argument("distance")
@click.option(
    "--rollers",
    multiple=True,
    required=True,
    metavar="NAME=CIRCUMFERENCE",
    help="A roller of the press with its circumference (mm); say it once for each.",
)
@click.option(
    "--tolerance",
    type=click.FloatRange(0.01, 5),
    default=0.5,
    show_default=True,
    help="Per cent of the length.",
)
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help=FORMAT
)
def repeat(distance: str, rollers: tuple[str, ...], tolerance: float, form: str) -> None:
    """Find the roller that makes marks at a DISTANCE such as 471 or "471 mm".

    \b
    Example: flawtree repeat 471 --rollers impression=471.5 --rollers guide=314
    """
    from diagnose.screens import runs

    click.echo(runs.repeat_text(distance, rollers, tolerance, form))


@commands.command()
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help=FORMAT
)
@click.pass_context
def review(context: click.Context, form: str) -> None:
    """Read the rules over: every fault with its place, remarks of doubt, and what is covered."""
    from diagnose.screens import reviewing

    text, code = reviewing.review_text(context.obj["rules"], form)
    click.echo(text)
    context.exit(code)


@commands.command()
@click.pass_context
def ask(context: click.Context) -> None:
    """Ask and answer at the press, one question at a time."""
    from diagnose.screens import console

    context.exit(console.run(_knowledge(context)))


def run() -> None:
    """The command as installed: `main`, then leave at once: tidying up takes as long as some answers."""
    try:
        main()
    except SystemExit as leaving:
        code = leaving.code if isinstance(leaving.code, int) else UNUSABLE if leaving.code else 0
        for stream in (sys.stdout, sys.stderr):
            with contextlib.suppress(OSError, ValueError):
                stream.flush()
        os._exit(code)


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and leave with its exit code; errors go to standard error, without traceback."""
    arguments = sys.argv[1:] if arguments is None else arguments
    sys.exit(
        _guarded(lambda: commands.main(arguments, "flawtree", standalone_mode=False), "--debug" in arguments)
    )


def _guarded(run: Callable[[], Any], debug: bool) -> int:
    try:
        code = run()
        return code if isinstance(code, int) else 0
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    except click.Abort:
        return INTERRUPTED
    except KeyboardInterrupt:
        return INTERRUPTED
    except click.ClickException as error:
        error.show()
        return UNUSABLE
    except (BrokenPipeError, SystemExit):
        return 0  # the reader of our pipe has gone; click leaves by SystemExit then
    except FlawtreeError as error:
        if debug:
            raise
        tell(error)
        return UNUSABLE
    except (OSError, RecursionError, MemoryError) as error:
        if debug:
            raise
        click.echo(f"flawtree: {error}", err=True)
        return UNUSABLE


def tell(error: FlawtreeError) -> None:
    """Print an error for a person: every fault with its place, its lines and a caret."""
    faults = error.faults if isinstance(error, InputError) else ()
    for fault in faults:
        click.echo(explain(fault), err=True)
    if not faults:
        click.echo(f"flawtree: {error}", err=True)
