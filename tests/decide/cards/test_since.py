"""What changed since an earlier ranking, and why."""

from dataclasses import replace

import numpy as np
import pytest

from tests.decide.earlier_pools import earlier_of
from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.since import Since, since
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.settings import Settings
from winrate_tools.tables import CardTable

RNG = np.random.default_rng(8)
CARDS = [f"Lamp {i}" for i in range(40)]
GAMES = RNG.integers(300, 900, size=40)
WINS = RNG.binomial(GAMES, np.linspace(0.45, 0.6, 40))
SETTINGS = Settings(allowance=1, design_effect=1, baseline=0.53)
NOW = judge(CardTable(CARDS, GAMES, WINS), SETTINGS)


def judged(games=GAMES, wins=WINS, cards=CARDS, settings=SETTINGS) -> PoolVerdict:
    return judge(CardTable(cards, games, wins), settings)


def compared(then: PoolVerdict, now: PoolVerdict, before=SETTINGS, after=SETTINGS) -> Since:
    return since(earlier_of(then, before), now, after)


def causes(found: Since) -> set[tuple[str, ...]]:
    return {move.causes for move in found.moves}


def test_nothing_changes_where_nothing_came():
    found = compared(NOW, NOW)

    assert (found.moves, found.new, found.gone, found.changed) == ((), (), (), ())
    assert (found.shared, found.games_added, found.fewer) == (40, 0, 0)


def test_new_games_of_a_card_that_settle_it_are_the_cause():
    card = next(i for i in range(40) if NOW.cards[i].verdict == "more games")
    place = CARDS.index(NOW.cards[card].card)
    games, wins = GAMES.copy(), WINS.copy()
    games[place] += 3000
    wins[place] += 1300

    found = compared(NOW, judged(games, wins))

    [move] = [move for move in found.moves if move.now.card == CARDS[place]]
    assert (move.before.verdict, move.now.verdict) == ("more games", "cut")
    assert move.causes == ("games",)
    assert move.games_added == found.games_added == 3000
    assert move.chance_at_old_line == pytest.approx(move.now.chance_below)
    assert move.before.chance_below == NOW.cards[card].chance_below


def test_other_cards_games_can_settle_a_card_through_the_pool():
    games, wins = GAMES.copy(), WINS.copy()
    games[:20] *= 30
    wins[:20] *= 30

    found = compared(NOW, judged(games, wins))

    untouched = [move for move in found.moves if move.now.card in CARDS[20:]]
    assert untouched
    assert {move.causes for move in untouched} == {("pool",)}
    assert {move.games_added for move in untouched} == {0}


def test_a_line_that_moves_is_the_cause_where_no_game_came():
    lower = replace(SETTINGS, margin=0.05)

    found = compared(NOW, judged(settings=lower), after=lower)

    assert causes(found) == {("line",)}
    assert found.changed == ("margin",)
    for move in found.moves:
        assert move.chance_at_old_line == pytest.approx(move.before.chance_below)
        assert move.now.chance_below < move.chance_at_old_line


def test_asking_to_be_surer_is_a_cause_of_its_own():
    surer = replace(SETTINGS, sure=0.97)

    found = compared(NOW, judged(settings=surer), after=surer)

    assert causes(found) == {("sure",)}
    assert {move.now.verdict for move in found.moves} == {"more games"}
    assert found.changed == ("sure",)


def test_other_assumptions_are_told_from_games():
    wary = replace(SETTINGS, allowance=0.3)

    found = compared(NOW, judged(settings=wary), after=wary)

    assert causes(found) == {("assumptions",)}
    assert found.changed == ("allowance",)


def test_games_and_assumptions_at_once_cannot_be_parted():
    wary = replace(SETTINGS, design_effect=1.5)

    found = compared(NOW, judged(GAMES * 9, WINS * 9, settings=wary), after=wary)

    assert ("games", "assumptions") in causes(found)


def test_games_and_line_are_both_named_where_both_changed_the_verdict():
    strict = replace(SETTINGS, margin=0.0)

    found = compared(NOW, judged(GAMES * 20, WINS * 20, settings=strict), after=strict)

    assert ("games", "line") in causes(found)
    assert all(move.chance_at_old_line < move.now.chance_below for move in found.moves)


def test_cards_come_and_go_by_name_whatever_the_spelling():
    names = ["LAMP  0", *CARDS[1:-1], "Ash Vine"]

    found = compared(NOW, judged(cards=names))

    assert [card.card for card in found.new] == ["Ash Vine"]
    assert [card.card for card in found.gone] == ["Lamp 39"]
    assert found.shared == 39


def test_a_part_of_a_ranking_makes_no_card_new():
    whole = earlier_of(NOW)

    found = since(replace(whole, cards=whole.cards[:5]), NOW, SETTINGS)

    assert (found.shared, found.new, found.gone) == (5, (), ())


def test_fewer_games_are_counted():
    games, wins = GAMES.copy(), WINS.copy()
    games[:3] -= 100
    wins[:3] -= 50

    found = compared(NOW, judged(games, wins))

    assert (found.fewer, found.games_added) == (3, -300)


def test_mended_wins_of_the_same_games_are_the_cards_own_too():
    place = next(CARDS.index(card.card) for card in NOW.cards if card.verdict == "more games")
    wins = WINS.copy()
    wins[place] -= 60

    found = compared(NOW, judged(wins=wins))

    [move] = [move for move in found.moves if move.now.card == CARDS[place]]
    assert (move.causes, move.games_added) == (("games",), 0)


def test_a_card_that_lost_its_games_is_open_by_its_games():
    low = replace(SETTINGS, baseline=0.3)
    then = judged(settings=low)
    games, wins = GAMES.copy(), WINS.copy()
    games[39] = wins[39] = 0

    found = since(earlier_of(then, low), judged(games, wins, settings=low), low)

    [move] = found.moves
    assert (move.before.verdict, move.now.verdict) == ("keep", "more games")
    assert move.chance_at_old_line < 0.1
    assert move.causes == ("games",)


def test_unknown_games_add_nothing():
    games, wins = GAMES.astype(float), WINS.astype(float)
    games[39] = wins[39] = np.nan

    found = compared(NOW, judged(games, wins))

    [move] = [move for move in found.moves if move.now.card == "Lamp 39"]
    assert move.games_added is None
    assert move.causes == ("games",)
    assert found.games_added == 0


def test_kinds_of_counts_that_differ_are_assumptions():
    picks = judge(CardTable(CARDS, GAMES, WINS, mean_pick=np.arange(1, 41.0)), SETTINGS)

    found = compared(NOW, picks)

    assert found.changed == ("usage_columns",)
    assert all("assumptions" in each for each in causes(found))


def test_another_baseline_is_told_and_moves_the_line():
    higher = replace(SETTINGS, baseline=0.56)

    found = compared(NOW, judged(settings=higher), after=higher)

    assert found.changed == ("baseline",)
    assert causes(found) == {("line",)}


def test_cuts_come_first_and_the_likeliest_of_them_on_top():
    found = compared(NOW, judged(GAMES * 20, WINS * 20))

    places = [("cut", "more games", "keep").index(move.now.verdict) for move in found.moves]
    cuts = [move.now.chance_below for move in found.moves if move.now.verdict == "cut"]
    assert places == sorted(places)
    assert cuts == sorted(cuts, reverse=True)
    assert len(cuts) > 1
