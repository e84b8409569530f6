"""The command ``decks``: every card seen with whole decks, beside its ranking."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from winrate_tools import __version__
from winrate_tools.cli.commands.tally import (
    Counting,
    LogsArgument,
    counted_logs,
    measured_effect,
)
from winrate_tools.cli.loading import demand_file
from winrate_tools.cli.options import Output
from winrate_tools.cli.output import tell_notes
from winrate_tools.cli.signature import with_options
from winrate_tools.cli.targets import Target, demand_targets
from winrate_tools.errors import CountError

if TYPE_CHECKING:
    from winrate_tools.decide.cards.whole_decks import WholeDecks

SURE = 0.95
"""Makes the ranking's ranges hold 9 in 10."""


@with_options
def decks(logs: LogsArgument, counting: Counting, output: Output) -> None:
    """Check a ranking against whole decks: what each card adds, given all beside it.

    Example: winrate-tools decks sample_data/games.csv
    """
    for path in logs:
        demand_file(path)
    demand_targets([Target("-o", output.output)], {"log": logs}, force=output.force)
    output.chosen()
    view, notes = seen(logs, counting)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.report.cards import whole_decks

    sources = ["<stdin>" if path == "-" else Path(path).name for path in logs]
    deliver_result(
        output,
        lambda: whole_decks.whole_decks_report(view, ", ".join(sources)),
        csv=lambda: whole_decks.whole_decks_csv(view),
        json=lambda: whole_decks.whole_decks_json(view, version=__version__, sources=sources),
    )
    tell_notes((*notes, whole_decks.agreement_sentence(view)))


def seen(logs: Sequence[str], counting: Counting) -> "tuple[WholeDecks, tuple[str, ...]]":
    """Read logs once, rank their cards, and see each with whole decks.

    Returns
    -------
    tuple of WholeDecks and tuple of str
        Both views, and what was assumed or left out.

    Raises
    ------
    MappingError
        If a log does not say which cards were held.
    CountError
        If there is no game.
    """
    from winrate_tools.decide.cards.whole_decks import seen_with_whole_decks
    from winrate_tools.ingest.logs.deck_log import DeckLog
    from winrate_tools.ranking import rank
    from winrate_tools.stats.cards.whole_decks import effects_in_hand

    log = DeckLog()
    counted = counted_logs(logs, counting, each=log.add)
    names, games = counted.tally.cards.names, log.rows()
    if not len(games.won):
        msg = "at least one game that somebody won is needed, got none"
        raise CountError(msg)
    measured = measured_effect(counted)
    effect = None if measured is None else measured[0]
    pool = rank(counted.tally.card_table(), sure=SURE, design_effect=effect).verdict
    found = effects_in_hand(
        games.won,
        games.held,
        games.deck,
        len(names),
        games.stratum,
        design_effect=pool.design_effect,
    )
    return seen_with_whole_decks(pool, names, found, len(games.won)), counted.notes
