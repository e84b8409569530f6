"""The program: its commands, and what they share."""

import os
from importlib import import_module
from typing import Annotated, Any

import typer
from typer.core import TyperCommand, TyperGroup
from typer.main import get_group

from winrate_tools import __version__
from winrate_tools.cli.conversions import spare_conversions
from winrate_tools.cli.failures import told
from winrate_tools.cli.postponed import postpone

EXIT_CODES = (
    "Exit codes: 0 done; 1 bad data; 2 misuse, or columns that nobody can tell apart; "
    "3 a card is called cut and --fail-on-cut is given; 130 interrupted."
)
DEBUG = "--debug"
PLAIN: dict[str, Any] = {"rich_markup_mode": None, "add_completion": False}
COMMANDS = {
    "check": "Say how a table is understood, and its faults.",
    "rank": "Judge every card: cut, keep, or wait.",
    "archetypes": "Say which archetypes need help.",
    "report": "Write the cut report, in words.",
    "power": "Say how many games it takes to tell.",
    "plan": "Plan a new pool: what goes, what comes.",
    "packs": "Say what a table sees of a pool.",
    "changes": "Write what differs between two pools.",
    "update": "Fold in the games of your own table.",
    "tally": "Count game logs into a card table.",
    "decks": "Check a ranking against whole decks.",
    "demo": "Write sample data of an invented game.",
    "config": "Settings and where they come from.",
}
"""Each command, a module of its own that is loaded when asked for, and what it is for."""


class Program(TyperGroup):
    """The group of all commands: failures become one message, --debug may stand anywhere."""

    def __init__(self, **attributes: Any) -> None:
        super().__init__(**attributes)
        for name, purpose in COMMANDS.items():
            self.add_command(TyperCommand(name, short_help=purpose))

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Let --debug stand anywhere before a bare ``--``."""
        end = args.index("--") if "--" in args else len(args)
        if DEBUG in args[:end]:
            rest = [arg for arg in args[:end] if arg != DEBUG]
            args = [DEBUG, *rest, *args[end:]]
        spare_conversions(self, ctx)
        with told():
            return super().parse_args(ctx, args)

    def resolve_command(self, ctx: Any, args: list[str]) -> tuple[str | None, Any, list[str]]:
        """Put the command itself in the place of its line in the list."""
        name, listed, rest = super().resolve_command(ctx, args)
        if listed is None:
            return name, listed, rest
        command = loaded(str(listed.name))
        for each in (command, *getattr(command, "commands", {}).values()):
            spare_conversions(each, ctx)
        return name, command, rest

    def invoke(self, ctx: Any) -> Any:
        """Run a command and tell what goes wrong."""
        with told(
            debug=ctx.params.get("debug", False) or bool(os.environ.get("WINRATE_DEBUG"))
        ):
            return super().invoke(ctx)


def loaded(name: str) -> Any:
    """Return a command, or a group of them, from the module of its name."""
    postpone()
    home = typer.Typer(**PLAIN)
    command = getattr(import_module(f"winrate_tools.cli.commands.{name}"), name)
    if isinstance(command, typer.Typer):
        home.add_typer(command, name=name)
    else:
        home.command(name, epilog=EXIT_CODES)(command)
    return get_group(home).commands[name]


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
