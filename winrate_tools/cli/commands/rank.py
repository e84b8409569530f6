"""The command ``rank``: an estimate and a verdict for every card."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, ClassVar

import typer

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.failures import CUTS_FOUND
from winrate_tools.cli.files_beside import demand_extras, workbook, write_all
from winrate_tools.cli.judging import judged, notes_on
from winrate_tools.cli.misuse import count, one_of
from winrate_tools.cli.options import (
    Configured,
    Decks,
    Judging,
    Output,
    Reading,
    TableArgument,
    XlsxOption,
)
from winrate_tools.cli.output import say, tell_notes
from winrate_tools.cli.signature import with_options
from winrate_tools.cli.targets import asked, demand_ending

if TYPE_CHECKING:
    from winrate_tools.decide.cards.verdicts import CardVerdict
    from winrate_tools.ranking import Ranking

VERDICTS = ("cut", "keep", "more games")


@dataclass(frozen=True, slots=True)
class Shown:
    """Which cards to show, and what a cut means for the exit code."""

    verdict: Annotated[
        str | None,
        typer.Option(
            "--verdict",
            parser=one_of(VERDICTS),
            metavar="|".join(VERDICTS),
            help="Show only the cards with this verdict.",
        ),
    ] = None
    top: Annotated[
        int | None,
        typer.Option("--top", parser=count, metavar="N", help="Show only the N weakest."),
    ] = None
    fail_on_cut: Annotated[
        bool, typer.Option("--fail-on-cut", help="Exit with 3 if any card is called cut.")
    ] = False


@dataclass(frozen=True, slots=True)
class RankOutput(Output):
    """Where a ranking goes and how it looks."""

    elsewhere: ClassVar[Mapping[str, str]] = {".xlsx": "--xlsx"}

    xlsx: XlsxOption = None


@with_options
def rank(
    table: TableArgument,
    judging: Judging,
    decks: Decks,
    output: RankOutput,
    reading: Reading,
    configured: Configured,
    shown: Shown,
) -> None:
    """Estimate every card's win rate and say what to cut, what to keep, what to wait for.

    Example: winrate-tools rank sample_data/cards.csv --baseline 0.53 --margin 2
    """
    books = asked(xlsx=output.xlsx)
    for book in books:
        demand_ending(book, (".xlsx",))
    demand_extras(books)
    ranking, origins = judged(table, judging, decks, output, reading, configured, others=books)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.report.cards.ranking import ranking_document

    pool, source = ranking.verdict, ranking.source
    cards = [card for card in pool.cards if shown.verdict in {None, card.verdict}][: shown.top]
    files = {path: workbook(ranking, cards, origins) for _, path in books}
    deliver_result(
        output,
        lambda: ranking_document(pool, source, cards),
        csv=lambda: _csv(cards),
        json=lambda: _json(ranking, cards, origins),
    )
    write_all(files, force=output.force)
    tell_notes(notes_on(ranking))
    if again := tell_again("report", table, judging, decks, reading, configured):
        say(f"next: the reasons in words, with the same options: {again} -o cuts.md")
    if shown.fail_on_cut and ranking.cuts:
        raise typer.Exit(CUTS_FOUND)


def _csv(cards: "Sequence[CardVerdict]") -> str:
    from winrate_tools.report.cards.records import csv_text

    return csv_text(cards)


def _json(
    ranking: "Ranking", cards: "Sequence[CardVerdict]", origins: Mapping[str, str]
) -> str:
    from winrate_tools.report.cards.records import json_text

    pool, source, settings = ranking.verdict, ranking.source, ranking.settings
    return json_text(pool, cards, source, settings, origins=origins, version=__version__)
