"""From a command's options to a judged pool, once it is sure that it can be written."""

import os
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from winrate_tools.cli.config_files import files_for
from winrate_tools.cli.configuration import Resolved, resolve
from winrate_tools.cli.loading import read_table, tell_near_misses, whole_decks
from winrate_tools.cli.options import Configured, Decks, Judging, Output, Reading
from winrate_tools.cli.targets import Target, demand_targets

if TYPE_CHECKING:
    from winrate_tools.ranking import Ranking
    from winrate_tools.tables import ArchetypeTable, CardTable


def judged(
    table: str,
    judging: Judging,
    decks: Decks,
    output: Output,
    reading: Reading,
    configured: Configured,
    *,
    others: Sequence[Target] = (),
    earlier: str | None = None,
) -> "tuple[Ranking, Mapping[str, str]]":
    """Read and judge a table, once it is sure that the result can be written.

    Parameters
    ----------
    others, earlier : optional
        As in `demand_output`.

    Returns
    -------
    tuple of Ranking and mapping of str to str
        The judged pool, and where each setting came from.
    """
    demand_output(
        output,
        table,
        decks.archetypes,
        configured=configured,
        others=others,
        earlier=earlier,
    )
    settled = resolved(table, judging, configured)
    cards = read_table(table, reading, configured)
    of_decks = whole_decks(decks, reading, configured)
    tell_near_misses(cards, of_decks)
    return ranked(cards, settled, of_decks), settled.origins


def ranked(
    cards: "CardTable", settled: Resolved, of_decks: "ArchetypeTable | None" = None
) -> "Ranking":
    """Judge a table that is read; what it does not know is told as the user asked for it."""
    from winrate_tools.cli.players import players_named
    from winrate_tools.ranking import rank

    with players_named(cards, settled.origins):
        return rank(cards, settled.settings, archetypes=of_decks)


def demand_output(
    output: Output,
    *tables: str | None,
    configured: Configured,
    others: Sequence[Target] = (),
    earlier: str | None = None,
) -> None:
    """Refuse an output that cannot be written, before anything is read.

    Parameters
    ----------
    *tables : str or None
        The tables that are read, the one that a configuration may stand beside first.
    others : sequence of Target, optional
        Files to write besides the result.
    earlier : str, optional
        Path of an earlier ranking that is read too.

    Raises
    ------
    OutputError
        If it is one of the files that are read, exists and may not go, has no folder, or its
        ending promises a format that is not written; or if two outputs are one file.
    SettingError
        If a configuration file is asked for and not there.
    """
    read: dict[str, Sequence[str | Path | None]] = {
        "table": tables,
        "configuration": files_for(next(iter(tables), None), configured),
        "earlier ranking": [earlier],
    }
    demand_targets([Target("-o", output.output), *others], read, force=output.force)
    output.chosen()


def notes_on(ranking: "Ranking") -> tuple[str, ...]:
    """List what was assumed on reading and what limits the verdicts."""
    from winrate_tools.report.cards.cautions import cautions

    return (*ranking.source.notes, *cautions(ranking.verdict))


def resolved(table: str | None, judging: Judging, configured: Configured) -> Resolved:
    """Settle every setting for a table, beside which a configuration may stand."""
    files = files_for(table, configured)
    return resolve(asdict(judging), environment=os.environ, files=files)
