"""Asking a person at a terminal which column is which."""

import sys

import typer

from winrate_tools.cli.output import STDIN, say
from winrate_tools.errors import MappingError


def can_ask(table: str) -> bool:
    """Tell whether somebody sits there to answer, and standard input is not the table."""
    return table != STDIN and sys.stdin.isatty() and sys.stderr.isatty()


def ask(error: MappingError) -> dict[str, int]:
    """Ask which of the candidates is meant.

    Returns
    -------
    dict of str to int
        Role to column number; empty where nothing was chosen.
    """
    most = len(error.candidates)
    if not most:
        return {}
    say(str(error))
    choice = typer.prompt(f"Which one, 1 to {most}? 0 for none", default="0", err=True)
    if choice not in map(str, range(1, most + 1)):
        return {}
    return dict(error.candidates[int(choice) - 1])
