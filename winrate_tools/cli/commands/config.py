"""The command ``config show``: each setting and goal, its value, its origin, its meaning."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated

import typer

from winrate_tools.cli.config_files import files_for
from winrate_tools.cli.goals import resolve_goals, written_goal
from winrate_tools.cli.judging import demand_output, resolved
from winrate_tools.cli.loading import demand_file
from winrate_tools.cli.options import Configured, Judging, Output
from winrate_tools.cli.output import say
from winrate_tools.cli.signature import with_options
from winrate_tools.cli.values import written
from winrate_tools.goals import GOAL_MEANINGS
from winrate_tools.settings import MEANINGS

config = typer.Typer(help="Settings and where they come from.", no_args_is_help=True)

NearArgument = Annotated[
    str | None,
    typer.Argument(metavar="TABLE", help="Table beside which a winrate.toml may stand."),
]


@dataclass(frozen=True, slots=True)
class Choice:
    """One setting, settled."""

    setting: str
    value: str
    origin: str
    meaning: str


@config.command("show")
@with_options
def show(
    judging: Judging, output: Output, configured: Configured, table: NearArgument = None
) -> None:
    """Show each setting and each goal of a plan: its value, whence it came, what it means.

    Settings come from the command line, else from the environment (WINRATE_MARGIN=2), else
    from winrate.toml beside the table or in this folder, else from your own winrate.toml.
    There the setting target may be spelled for, as on the command line: WINRATE_FOR=even.

    Example: winrate-tools config show --margin 2
    """
    demand_output(output, table, configured=configured)
    if table is not None:
        demand_file(table)
    files = files_for(table, configured)
    settled, aims = resolved(table, judging, configured), resolve_goals({}, files)
    found = [
        *choices(MEANINGS, settled.origins, lambda name: written(name, settled.settings)),
        *choices(GOAL_MEANINGS, aims.origins, lambda name: written_goal(name, aims.goals)),
    ]
    from dataclasses import asdict

    from winrate_tools.cli.results import deliver_result
    from winrate_tools.report.cards import records
    from winrate_tools.report.document import Document, Entries, Entry, Section

    entries = tuple(
        Entry(one.setting, f"{one.value} ({one.origin}). {one.meaning}") for one in found
    )
    deliver_result(
        output,
        lambda: Document("Settings", (Section("", (Entries(entries),)),)),
        csv=lambda: records.rows_csv([asdict(one) for one in found]),
        json=lambda: records.object_json(settings=[asdict(one) for one in found]),
    )
    say(
        "next: put what you always want into winrate.toml, under [settings], and what your "
        "plans aim at under [goals]"
    )


def choices(
    meanings: Mapping[str, str], origins: Mapping[str, str], said: Callable[[str], str]
) -> list[Choice]:
    """List settings or goals as a reader sees them; `said` writes the value of each."""
    return [
        Choice(name, said(name), origins[name], meaning) for name, meaning in meanings.items()
    ]
