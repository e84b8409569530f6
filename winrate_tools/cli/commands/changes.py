"""The command ``changes``: the sheet for the table, from the old pool and the new one."""

import csv
import io
from pathlib import Path
from shlex import join
from typing import Annotated

import typer

from winrate_tools import __version__
from winrate_tools.cli.judging import demand_output
from winrate_tools.cli.loading import demand_one_stdin, inspected
from winrate_tools.cli.options import Configured, Output, PlainReading
from winrate_tools.cli.output import STDIN, say, tell_notes
from winrate_tools.cli.signature import with_options

OldArgument = Annotated[str, typer.Argument(metavar="OLD", help="The pool as it was.")]
NewArgument = Annotated[
    str,
    typer.Argument(
        metavar="NEW", help="The pool as it is now; a column why says why a card changed."
    ),
]


@with_options
def changes(
    old: OldArgument,
    new: NewArgument,
    output: Output,
    reading: PlainReading,
    configured: Configured,
) -> None:
    """Write the change sheet: what is out, what is in, how many copies, and why.

    Example: winrate-tools changes sample_data/pool.csv new_pool.csv -o changes.md
    """
    demand_output(output, old, new, configured=configured)
    demand_one_stdin((old, new))
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.ingest.tables.pools import inspect_pool
    from winrate_tools.jobs.changes import changes as changes_of
    from winrate_tools.report.plan.changes_section import changes_csv, changes_json

    before, after = (
        inspected(inspect_pool, file, reading, configured).sound_table() for file in (old, new)
    )
    said = {} if new == STDIN else reasons_in(Path(new), after.source.roles["card"])
    sheet = changes_of(before, after, said)
    deliver_result(
        output,
        lambda: sheet.document,
        csv=lambda: changes_csv(sheet.found),
        json=lambda: changes_json(sheet.found, *sheet.sources, version=__version__),
    )
    tell_notes(note for source in sheet.sources for note in source.notes)
    if new != STDIN:
        packs = join(["winrate-tools", "packs", "--pool", new, "--seats", "8"])
        say(f"next: what 8 seats get to see: {packs}")


def reasons_in(path: Path, card: str = "card") -> dict[str, str]:
    """Read the reasons that `plan` wrote beside the cards of a new pool.

    Parameters
    ----------
    card : str, optional
        Header of the column of cards.

    Returns
    -------
    dict of str to str
        Card to why it changed; empty for a file without that column or one called ``why``.
    """
    from winrate_tools.ingest.cells.names import unguarded

    text = path.read_bytes().decode("utf-8-sig", errors="ignore")
    header = text.partition("\n")[0]
    mark = max(",;\t", key=header.count)
    rows = csv.DictReader(io.StringIO(text, newline=""), delimiter=mark)
    if not {card, "why"} <= set(rows.fieldnames or ()):
        return {}
    return {
        unguarded(row[card]): unguarded(row["why"]) for row in rows if row[card] and row["why"]
    }
