"""The command ``demo``: data to try everything on."""

from pathlib import Path
from shlex import quote
from typing import Annotated

import typer

from winrate_tools.cli.output import say

FolderArgument = Annotated[
    Path, typer.Argument(metavar="DIR", help="Folder to write to; made if it is not there.")
]
ForceOption = Annotated[bool, typer.Option("--force", help="Write over files that exist.")]


def demo(folder: FolderArgument = Path("sample_data"), force: ForceOption = False) -> None:
    """Write the data of an invented game, the Lantern Fair, to try everything on.

    Example: winrate-tools demo sample_data
    """
    from winrate_tools.simulate.lantern_fair import write_demo

    paths = write_demo(folder, force=force)
    typer.echo("\n".join(str(path) for path in paths))
    say(f"next: winrate-tools rank {quote(str(folder / 'cards.csv'))}")
