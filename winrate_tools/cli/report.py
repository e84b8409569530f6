"""The command ``report``: the cut report, for people."""

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.loading import judged
from winrate_tools.cli.options import (
    Configured,
    Decks,
    Format,
    Judging,
    Output,
    Reading,
    TableArgument,
)
from winrate_tools.cli.output import STDOUT, say
from winrate_tools.cli.signature import with_options

FILE_ENDINGS = {Format.MD: "md", Format.CSV: "csv", Format.JSON: "json", Format.TABLE: "txt"}


@with_options
def report(
    table: TableArgument,
    judging: Judging,
    decks: Decks,
    output: Output,
    reading: Reading,
    configured: Configured,
) -> None:
    """Write the cut report: what to cut and why, what cannot be said yet, how it was found.

    Example: winrate-tools report sample_data/cards.csv -o cuts.md
    """
    ranking, origins = judged(table, judging, decks, output, reading, configured)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.report import records, sections

    pool, source = ranking.verdict, ranking.source
    deliver_result(
        output,
        sections.cut_report(pool, source, origins=origins, version=__version__),
        csv=lambda: records.csv_text(pool.cards),
        json=lambda: records.json_text(
            pool, pool.cards, source, ranking.settings, origins=origins, version=__version__
        ),
        default=Format.MD,
    )
    if output.output != STDOUT:
        say("next: read it with the people who draft the pool")
    elif again := tell_again("report", table, judging, decks, reading, configured):
        name = f"cuts.{FILE_ENDINGS[output.chosen(Format.MD)]}"
        say(f"next: keep it in a file: {again} -o {name}")
