"""Counts added up batch by batch."""

import numpy as np
import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.logs import tally as module
from winrate_tools.ingest.logs.games import Cards, Games
from winrate_tools.ingest.logs.key_sample import mixed
from winrate_tools.ingest.logs.tally import Tally


def batch(won, archetype, band, deck, *, run=None, key=None, begins=None) -> Games:
    games = np.repeat(np.arange(len(won)), [len(cards) for cards in deck])
    cards = np.array([card for cards in deck for card in cards], dtype=np.int64)
    return Games(
        won=np.array(won, dtype=bool),
        archetype=np.array(archetype),
        band=np.array(band),
        deck=Cards(games, cards),
        held=None,
        key=None if key is None else mixed(np.array(key)),
        run=None if run is None else mixed(np.array(run)),
        begins=np.ones(len(won), dtype=bool) if begins is None else np.array(begins),
    )


def labelled(cards: str, archetypes: str, bands: str = "") -> Tally:
    tally = Tally()
    tally.cards.codes(list(cards))
    tally.archetypes.codes(list(archetypes))
    tally.skill.codes(list(bands))
    return tally


@pytest.mark.parametrize("few", [0, 1_000_000])
def test_room_grows_with_the_labels(few, monkeypatch):
    monkeypatch.setattr(module, "FEW_CELLS", few)
    tally = labelled("ab", "x")
    tally.add(batch([1, 0], [0, -1], [-1, -1], [[0, 1], [0]]))
    tally.cards.codes(["c"])
    tally.archetypes.codes(["y"])
    tally.skill.codes(["new"])
    tally.add(batch([1], [1], [0], [[2, 2, 0]]))
    table = tally.card_table()

    columns = (table.card, table.archetype, table.skill_band, table.games, table.wins)
    assert list(zip(*columns, strict=True)) == [
        ("a", None, None, 1, 0), ("a", "x", None, 1, 1), ("a", "y", "new", 1, 1),
        ("b", "x", None, 1, 1), ("c", "y", "new", 2, 2),
    ]  # fmt: skip
    decks = tally.archetype_table()
    assert (decks.archetype, decks.games.tolist()) == (("x", "y"), [1, 1])
    assert decks.skill_band == (None, "new")
    assert tally.games == 3


def test_a_game_that_goes_on_is_a_game_once():
    tally = labelled("ab", "x")
    tally.add(batch([1], [0], [-1], [[0]], run=[5]))
    tally.add(batch([1], [0], [-1], [[1]], run=[5], begins=[False]))

    assert tally.games == 1
    assert tally.archetype_table().games.tolist() == [1]
    assert tally.runs().games.tolist() == [1]
    assert tally.card_table().games.tolist() == [1, 1]


def test_runs_are_decks_with_the_rate_of_their_stratum():
    tally = labelled("a", "xy")
    decks = [[0]] * 6
    tally.add(
        batch([1, 1, 0, 0, 0, 1], [0, 0, 0, 0, 1, 1], [-1] * 6, decks, run=[1, 1, 2, 2, 3, 3])
    )
    runs = tally.runs()

    rows = sorted(zip(runs.games, runs.wins, runs.expected_rate.round(6), strict=True))
    assert rows == [(2, 0, 0.5), (2, 1, 0.5), (2, 2, 0.5)]
    assert labelled("a", "x").runs() is None


def test_games_seen_before_are_told():
    tally = labelled("a", "x")
    first = tally.seen_before(batch([1, 1, 0], [0] * 3, [-1] * 3, [[0]] * 3, key=[1, 2, 1]))
    second = tally.seen_before(batch([1, 1], [0] * 2, [-1] * 2, [[0]] * 2, key=[3, 2]))
    going_on = tally.seen_before(batch([1], [0], [-1], [[0]], key=[2], begins=[False]))

    assert first.tolist() == [False, False, True]
    assert second.tolist() == [False, True]
    assert going_on.tolist() == [False]
    assert tally.seen_before(batch([1], [0], [-1], [[0]])).tolist() == [False]


def test_more_cells_than_can_be_counted_are_refused(monkeypatch):
    monkeypatch.setattr(module, "MOST_CELLS", 10)

    with pytest.raises(TableError, match="3 cards x 4 archetypes x 0 skill bands are too many"):
        labelled("abc", "wxyz").add(batch([1], [0], [-1], [[0]]))
