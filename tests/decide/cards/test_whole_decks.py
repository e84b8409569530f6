"""Two views of each card, side by side."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import logit

from winrate_tools.decide.cards.whole_decks import seen_with_whole_decks
from winrate_tools.errors import CountError
from winrate_tools.ranking import rank
from winrate_tools.simulate.history import card_table, simulate
from winrate_tools.simulate.logs import simulate_log
from winrate_tools.simulate.random_world import random_world
from winrate_tools.stats.cards.whole_decks import InHand, effects_in_hand
from winrate_tools.tables import CardTable

NAMES = ("Ash Vine", "Fox", "Moth", "Heron")


@pytest.fixture(scope="module")
def pool():
    table = CardTable(NAMES, games=[4000] * 4, wins=[1800, 2000, 2100, 2200])
    return rank(table, sure=0.95, allowance=1, baseline=0.5).verdict


def in_hand(pool, gaps, error=0.01) -> InHand:
    """Whole decks that see cards so far from the ranking, in points."""
    estimate = {card.card: card.estimate for card in pool.cards}
    rates = np.array([estimate[name] for name in NAMES]) + np.array(gaps) / 100
    return InHand(logit(rates), np.full(4, error), np.array([10, 20, 30, 40]))


def test_cards_that_both_see_alike_are_not_apart(pool):
    view = seen_with_whole_decks(pool, NAMES, in_hand(pool, [0, 0, 0, 0]), 9000)

    assert view.apart == ()
    assert (view.games, view.baseline) == (9000, 0.5)
    assert view.agreement == pytest.approx(1)
    assert [card.gap for card in view.cards] == pytest.approx([0] * 4, abs=1e-12)


def test_a_card_that_they_see_differently_is_apart(pool):
    view = seen_with_whole_decks(pool, NAMES, in_hand(pool, [0, 9, 0, -5]), 9000)

    assert [card.card for card in view.apart] == ["Fox", "Heron"]
    assert view.apart[0].gap == pytest.approx(0.09)
    assert view.agreement < 0.9


def test_cards_come_weakest_by_whole_decks_first(pool):
    view = seen_with_whole_decks(pool, NAMES, in_hand(pool, [9, 0, 0, 0]), 9000)

    rates = [card.whole for card in view.cards]
    assert rates == sorted(rates)
    assert [card.games for card in view.cards if card.card == "Heron"] == [40]


def test_the_range_of_a_gap_joins_both_ranges(pool):
    view = seen_with_whole_decks(pool, NAMES, in_hand(pool, [1, 0, 0, 0], 0.05), 9000)
    card = next(card for card in view.cards if card.card == "Ash Vine")
    whole, ranked = card.whole - card.whole_low, card.high - card.estimate

    assert card.gap - card.gap_low == pytest.approx((whole**2 + ranked**2) ** 0.5)
    whole, ranked = card.whole_high - card.whole, card.estimate - card.low
    assert card.gap_high - card.gap == pytest.approx((whole**2 + ranked**2) ** 0.5)
    assert card.low < card.estimate < card.high
    assert card.whole_low < card.whole < card.whole_high


@pytest.mark.parametrize("shift", [-1e-6, 1e-6])
def test_apart_begins_where_the_range_leaves_nought(pool, shift):
    view = seen_with_whole_decks(pool, NAMES, in_hand(pool, [3, 0, 0, 0]), 9000)
    card = next(card for card in view.cards if card.card == "Ash Vine")

    assert replace(card, gap_low=shift).is_apart == (shift > 0)
    assert replace(card, gap_low=-1, gap_high=shift).is_apart == (shift < 0)


def test_without_differences_there_is_no_agreement(pool):
    flat = InHand(np.zeros(4), np.ones(4), np.ones(4, dtype=int))

    assert seen_with_whole_decks(pool, NAMES, flat, 10).agreement is None


def test_cards_that_the_ranking_does_not_know_are_left_out(pool):
    names = ("Ash Vine", "Stranger", "Moth", "Heron")
    view = seen_with_whole_decks(pool, names, in_hand(pool, [0, 0, 0, 0]), 10)

    assert {card.card for card in view.cards} == {"Ash Vine", "Moth", "Heron"}
    with pytest.raises(CountError, match="knows none"):
        seen_with_whole_decks(pool, list("abcd"), in_hand(pool, [0, 0, 0, 0]), 10)


def test_a_ranking_with_other_ranges_is_refused(pool):
    with pytest.raises(CountError, match=r"sure=0.95\), got sure=0.9"):
        seen_with_whole_decks(replace(pool, sure=0.9), NAMES, in_hand(pool, [0] * 4), 10)


def test_both_views_agree_in_a_simulated_world_unless_outcomes_are_swapped():
    world = random_world(np.random.default_rng(41), games=8_000)
    log = simulate_log(world, 41)
    table = card_table(
        simulate(world, 41), "held", ["archetype", "skill_band"], usage=False, unheld=True
    )
    ranked = rank(table, sure=0.95).verdict
    decks = log.decks.cards[log.games.deck]
    held = np.where(log.games.held, decks, -1)
    stratum = log.decks.archetype[log.games.deck]
    views = [
        seen_with_whole_decks(
            ranked,
            log.truth.card,
            effects_in_hand(won, held, decks, world.cards, stratum),
            len(won),
        )
        for won in (log.games.won, ~log.games.won)
    ]

    assert len(views[0].apart) <= world.cards / 10
    assert views[0].agreement > 0.6
    assert views[1].agreement < -0.6
