"""What is believed of the cards, whatever the line."""

import numpy as np
import pytest

from winrate_tools.decide.cards.judgement import judge
from winrate_tools.settings import Settings
from winrate_tools.tables import CardTable

RNG = np.random.default_rng(4)
GAMES = RNG.integers(100, 5000, size=40)
TABLE = CardTable([f"card {i}" for i in range(40)], GAMES, RNG.binomial(GAMES, 0.55))
POOL = judge(TABLE)


@pytest.mark.parametrize("margin", [0.0, 0.01, 0.05])
def test_they_judge_any_line_as_a_new_run_would(margin):
    again = judge(TABLE, Settings(margin=margin))

    chances = POOL.beliefs.chance_below(again.line)
    assert [c.card for c in again.cards] == [c.card for c in POOL.cards]
    assert chances == pytest.approx([card.chance_below for card in again.cards])


@pytest.mark.parametrize("sure", [0.6, 0.9, 0.97])
def test_their_ranges_are_those_of_a_run_as_sure(sure):
    again = judge(TABLE, Settings(sure=sure))

    rates = POOL.beliefs.rates([1 - sure, sure])
    wanted = np.array([(card.low, card.high) for card in again.cards])
    assert rates == pytest.approx(wanted, abs=1e-4)


def test_draws_stand_in_the_order_of_the_cards():
    estimates = np.array([card.estimate for card in POOL.cards])
    effects = POOL.beliefs.draws.mean(axis=0)

    assert POOL.beliefs.draws.shape == (2000, 40)
    assert np.corrcoef(estimates, effects)[0, 1] > 0.9
