"""Games of a log one by one."""

from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.ingest.logs_on_disk import CARDS, OUTCOMES, games, log_lines, written
from winrate_tools.errors import MappingError
from winrate_tools.ingest.logs.deck_log import DeckLog
from winrate_tools.ingest.logs.games import Cards, Games
from winrate_tools.ingest.logs.key_sample import mixed
from winrate_tools.ingest.logs.logs import count_logs


def batch(decks, *, held=None, key=None, begins=None, archetype=None, band=None, won=None):
    def cards(listed) -> Cards:
        game = np.repeat(np.arange(len(listed)), [len(one) for one in listed])
        return Cards(game, np.array([card for one in listed for card in one], dtype=np.int64))

    rows = len(decks)
    return Games(
        won=np.array([True] * rows if won is None else won),
        archetype=np.array([0] * rows if archetype is None else archetype),
        band=np.array([0] * rows if band is None else band),
        deck=cards(decks),
        held=cards(held or [[]] * rows),
        key=None if key is None else mixed(np.array(key)),
        run=None,
        begins=np.array([True] * rows if begins is None else begins),
    )


def listed(rows: np.ndarray) -> list[list[int]]:
    return [[card for card in row if card >= 0] for row in rows.tolist()]


@given(games, st.sampled_from(["long", "list", "wide"]))
@settings(max_examples=40, deadline=None)
def test_every_layout_gives_the_games_that_it_tells(played, layout):
    log = DeckLog()
    with TemporaryDirectory() as folder:
        path = Path(folder, "log.csv")
        path.write_text(written(log_lines(played, layout)), encoding="utf-8")
        names = count_logs([str(path)], each=log.add).tally.cards.names
    rows = log.rows()
    decided = [game for game in played if OUTCOMES[game.won] is not None]
    decks, hands = (
        [Counter(names[card] for card in row) for row in listed(cards)]
        for cards in (rows.deck, rows.held)
    )

    assert rows.won.tolist() == [OUTCOMES[game.won] == 1 for game in decided]
    assert decks == [Counter(card for card, _ in game.copies) for game in decided]
    assert hands == [Counter(card for card, held in game.copies if held) for game in decided]
    alike = {(game.archetype, game.skill) for game in decided}
    pairs = set(zip([(g.archetype, g.skill) for g in decided], rows.stratum, strict=True))
    assert len(set(rows.stratum.tolist())) == len(alike) == len(pairs)
    assert set(names) <= set(CARDS)


def test_a_game_that_goes_on_keeps_its_cards_together():
    log = DeckLog()
    log.add(batch([[0], [1, 2]], held=[[0], [2]], key=[1, 2]))
    log.add(batch([[3]], key=[2], begins=[False]))
    log.add(batch([[4], [5]], held=[[4], []], key=[2, 3], begins=[False, True]))
    rows = log.rows()

    assert listed(rows.deck) == [[0], [1, 2, 3, 4], [5]]
    assert listed(rows.held) == [[0], [2, 4], []]
    assert (len(rows.won), rows.stratum.tolist()) == (3, [0, 0, 0])


def test_the_rest_of_a_game_that_was_left_out_is_left_out():
    log = DeckLog()
    log.add(batch([[0]], key=[1]))
    log.add(batch([[7], [5]], key=[2, 3], begins=[False, True], won=[True, False]))
    rows = log.rows()

    assert listed(rows.deck) == [[0], [5]]
    assert rows.won.tolist() == [True, False]


def test_strata_are_archetypes_in_bands_and_unknown_ones_stand_apart():
    log = DeckLog()
    log.add(batch([[0]] * 3, archetype=[-1, 0, 1], band=[0, -1, 0]))
    log.add(batch([[0]] * 3, archetype=[0, -1, 0], band=[0, 0, -1]))

    assert log.rows().stratum.tolist() == [0, 1, 3, 2, 0, 1]


def test_cards_that_come_in_any_order_go_to_their_games():
    one = batch([[0], [1], [2]])
    mixed_up = Cards(np.array([2, 0, 1, 0]), np.array([5, 6, 7, 8]))
    log = DeckLog()
    log.add(Games(one.won, one.archetype, one.band, mixed_up, one.held, None, None, one.begins))

    assert listed(log.rows().deck) == [[6, 8], [7], [5]]


def test_codes_take_two_bytes_unless_there_are_too_many_cards():
    few, many = DeckLog(), DeckLog()
    few.add(batch([[0], [32_767]]))
    many.add(batch([[0], [1]]))
    many.add(batch([[32_768, 0]]))

    assert few.rows().deck.dtype == np.int16
    rows = many.rows()
    assert rows.deck.dtype == np.int32
    assert listed(rows.deck) == [[0], [1], [32_768, 0]]


def test_nothing_gathered_is_no_game():
    empty = batch([[0]]).where(np.array([False]))
    log = DeckLog()
    log.add(empty)
    rows = log.rows()

    assert [len(column) for column in rows] == [0, 0, 0, 0]
    assert rows.deck.ndim == 2


def test_a_log_that_does_not_tell_hands_is_refused():
    one = batch([[0]])
    blind = Games(one.won, one.archetype, one.band, one.deck, None, None, None, one.begins)

    with pytest.raises(MappingError, match=r"which of their cards were held.*--map held="):
        DeckLog().add(blind)
