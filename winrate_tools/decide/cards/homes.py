"""The record of each card in each of its archetypes, beside what all cards win there."""

from dataclasses import dataclass

import numpy as np

from winrate_tools.tables import CardTable


@dataclass(frozen=True, slots=True)
class HomeRecord:
    """What one card did in one archetype.

    Attributes
    ----------
    archetype : str
        Name.
    games, wins : int
        Of the card there.
    usual : float
        Win rate there of all cards together, from 0 to 1.
    """

    archetype: str
    games: int
    wins: int
    usual: float


def home_records(table: CardTable) -> dict[str, tuple[HomeRecord, ...]]:
    """Gather the records of each card by archetype, the most games first.

    Parameters
    ----------
    table : CardTable
        Rows by card and archetype, or others.

    Returns
    -------
    dict of str to tuple of HomeRecord
        By card; empty if the table names no archetypes. Rows without a label, without games
        or of unknown wins are left out.

    Examples
    --------
    >>> homes = ("Kites", "Kites")
    >>> table = CardTable(["Ash Vine", "Elm Bell"], [40, 60], [18, 33], archetype=homes)
    >>> home_records(table)["Ash Vine"]
    (HomeRecord(archetype='Kites', games=40, wins=18, usual=0.51),)
    """
    if table.archetype is None:
        return {}
    cells: dict[tuple[str, str], tuple[float, float]] = {}
    sums: dict[str, tuple[float, float]] = {}
    for card, home, games, wins in zip(
        table.card, table.archetype, table.games, table.wins, strict=True
    ):
        if home is not None and games > 0 and not np.isnan(wins):
            played, won = cells.get((card, home), (0.0, 0.0))
            cells[card, home] = played + games, won + wins
            played, won = sums.get(home, (0.0, 0.0))
            sums[home] = played + games, won + wins
    found: dict[str, list[HomeRecord]] = {}
    for (card, home), (games, wins) in cells.items():
        usual = float(sums[home][1] / sums[home][0])
        found.setdefault(card, []).append(HomeRecord(home, int(games), int(wins), usual))
    return {
        card: tuple(sorted(records, key=lambda record: -record.games))
        for card, records in found.items()
    }
