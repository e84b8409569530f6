"""Tables of counts added up."""

import numpy as np
import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.logs.logs import count_logs
from winrate_tools.ingest.logs.merge import merged_archetypes, merged_cards
from winrate_tools.simulate.logs import log_text, simulate_log
from winrate_tools.simulate.world import World
from winrate_tools.tables import ArchetypeTable, CardTable


def test_parts_of_a_log_add_up_to_the_whole(tmp_path):
    head, *rows = log_text(simulate_log(World(drafts=4), 1)).splitlines(keepends=True)
    paths = []
    for name, part in (("a", rows[:60]), ("b", rows[60:]), ("all", rows)):
        paths.append(tmp_path / name)
        paths[-1].write_text(head + "".join(part))
    one, other, whole = (count_logs([str(path)]).tally for path in paths)
    cards = merged_cards([one.card_table(), other.card_table()])
    decks = merged_archetypes([one.archetype_table(), other.archetype_table()])

    def rows_of(table, *names):
        return sorted(zip(*(getattr(table, name) for name in names), strict=True))

    keys = ("card", "archetype", "skill_band", "games", "wins", "unheld_games", "unheld_wins")
    assert rows_of(cards, *keys) == rows_of(whole.card_table(), *keys)
    keys = ("archetype", "skill_band", "games", "wins")
    assert rows_of(decks, *keys) == rows_of(whole.archetype_table(), *keys)


def test_spellings_are_one_card_and_first_labels_are_kept():
    merged = merged_cards(
        [
            CardTable(["Fox", "Moth"], [4, 2], [1, 2], rarity=[None, "rare"]),
            CardTable(["FOX ", "Vine"], [1, 1], [1, 0], rarity=["common", None]),
        ]
    )

    assert merged.card == ("Fox", "Moth", "Vine")
    assert merged.games.tolist() == [5, 2, 1]
    assert merged.rarity == ("common", "rare", None)
    assert merged.drafted is None


def test_labels_of_some_tables_only_and_bandless_archetypes_are_kept():
    with_factions = ArchetypeTable(["Kites"], [4], [1], factions=["Wick"])
    merged = merged_archetypes([ArchetypeTable(["kites"], [3], [3]), with_factions])

    assert (merged.archetype, merged.games.tolist(), merged.factions) == (
        ("kites",),
        [7],
        ("Wick",),
    )
    assert merged.skill_band is None
    assert merged_archetypes([ArchetypeTable(["a"], [1], [1])]).factions is None


def test_tables_of_two_kinds_are_refused():
    plain, full = CardTable(["Fox"], [4], [1]), CardTable(["Fox"], [4], [1], unheld_games=[2])

    with pytest.raises(TableError, match=r"has unheld games and .* has not"):
        merged_cards([plain, full])
    with pytest.raises(TableError, match="has archetype"):
        merged_cards([CardTable(["Fox"], [4], [1], archetype=["Kites"]), plain])


def test_unknown_counts_stay_unknown():
    merged = merged_cards(
        [CardTable(["Fox"], [np.nan], [np.nan]), CardTable(["Moth"], [1], [1])]
    )

    assert np.isnan(merged.games[0])
    assert merged.games[1] == 1
