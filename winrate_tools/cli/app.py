"""The program: its commands, and what they share."""

import os
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from winrate_tools import __version__
from winrate_tools.cli.commands.archetypes import archetypes
from winrate_tools.cli.commands.changes import changes
from winrate_tools.cli.commands.check import check
from winrate_tools.cli.commands.config import config
from winrate_tools.cli.commands.demo import demo
from winrate_tools.cli.commands.packs import packs
from winrate_tools.cli.commands.plan import plan
from winrate_tools.cli.commands.power import power
from winrate_tools.cli.commands.rank import rank
from winrate_tools.cli.commands.report import report
from winrate_tools.cli.commands.tally import tally
from winrate_tools.cli.commands.update import update
from winrate_tools.cli.failures import told

EXIT_CODES = (
    "Exit codes: 0 done; 1 bad data; 2 misuse, or columns that nobody can tell apart; "
    "3 a card is called cut and --fail-on-cut is given; 130 interrupted."
)
DEBUG = "--debug"


class Program(TyperGroup):
    """The group of all commands: failures become one message, --debug may stand anywhere."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Let --debug stand anywhere before a bare ``--``."""
        end = args.index("--") if "--" in args else len(args)
        if DEBUG in args[:end]:
            rest = [arg for arg in args[:end] if arg != DEBUG]
            args = [DEBUG, *rest, *args[end:]]
        with told():
            return super().parse_args(ctx, args)

    def invoke(self, ctx: Any) -> Any:
        """Run a command and tell what goes wrong."""
        with told(
            debug=ctx.params.get("debug", False) or bool(os.environ.get("WINRATE_DEBUG"))
        ):
            return super().invoke(ctx)


def show_version(wanted: bool) -> None:
    """Print the version and stop."""
    if wanted:
        typer.echo(f"winrate-tools {__version__}")
        raise typer.Exit


VersionOption = Annotated[
    bool,
    typer.Option(
        "--version",
        "-V",
        callback=show_version,
        is_eager=True,
        help="Show the version and exit.",
    ),
]
DebugOption = Annotated[bool, typer.Option(DEBUG, help="Show where a bug comes from.")]

app = typer.Typer(
    cls=Program,
    name="winrate-tools",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog=EXIT_CODES,
)


@app.callback()
def program(version: VersionOption = False, debug: DebugOption = False) -> None:
    """Decide from win-rate data what to cut from a fixed pool of draft cards.

    Start with: winrate-tools demo sample_data
    """


app.command(epilog=EXIT_CODES, short_help="Say how a table is understood, and its faults.")(
    check
)
app.command(epilog=EXIT_CODES, short_help="Judge every card: cut, keep, or wait.")(rank)
app.command(epilog=EXIT_CODES, short_help="Say which archetypes need help.")(archetypes)
app.command(epilog=EXIT_CODES, short_help="Write the cut report, in words.")(report)
app.command(epilog=EXIT_CODES, short_help="Say how many games it takes to tell.")(power)
app.command(epilog=EXIT_CODES, short_help="Plan a new pool: what goes, what comes.")(plan)
app.command(epilog=EXIT_CODES, short_help="Say what a table sees of a pool.")(packs)
app.command(epilog=EXIT_CODES, short_help="Write what differs between two pools.")(changes)
app.command(epilog=EXIT_CODES, short_help="Fold in the games of your own table.")(update)
app.command(epilog=EXIT_CODES, short_help="Count game logs into a card table.")(tally)
app.command(epilog=EXIT_CODES, short_help="Write sample data of an invented game.")(demo)
app.add_typer(config, name="config")
