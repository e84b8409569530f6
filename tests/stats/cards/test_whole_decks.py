"""What cards add when drawn, against another library and against the truth of worlds."""

import numpy as np
import pytest
from scipy.special import expit, logit

from winrate_tools.errors import CountError, FitError
from winrate_tools.simulate.history import simulate, true_effects
from winrate_tools.simulate.logs import simulate_log
from winrate_tools.simulate.random_world import random_world
from winrate_tools.stats.cards import whole_decks
from winrate_tools.stats.cards.deck_games import DeckGames
from winrate_tools.stats.cards.decks import deck_fit
from winrate_tools.stats.cards.whole_decks import InHand, effects_in_hand

CARDS, STRATA = 12, 3


def played(games: int = 6_000, seed: int = 1):
    """Decks that differ in luck by the cards in them, and cards that do something in hand."""
    rng = np.random.default_rng(seed)
    decks = rng.integers(0, CARDS, (games, 6)).astype(np.int16)
    held = np.where(rng.random(decks.shape) < 0.5, decks, -1).astype(np.int16)
    stratum = rng.integers(0, STRATA, games)
    effect, company = 0.2 * rng.normal(size=CARDS), 0.1 * rng.normal(size=CARDS)
    odds = np.append(effect, 0)[held].sum(axis=1) + company[decks].sum(axis=1)
    return rng.random(games) < expit(odds + 0.3 * stratum), held, decks, CARDS, stratum


def test_without_penalties_it_agrees_with_statsmodels(monkeypatch):
    import statsmodels.api as sm

    won, held, decks, cards, stratum = played()
    for spread in ("CARD_SD", "COMPANY_SD", "STRATUM_SD", "LENGTH_SD"):
        monkeypatch.setattr(whole_decks, spread, 5.0)
    found = effects_in_hand(won, held, decks, cards, stratum)
    hand, deck = (
        (codes[:, :, None] == np.arange(cards)).sum(axis=1) for codes in (held, decks)
    )
    strata = (stratum[:, None] == np.arange(STRATA)).astype(float)
    length = strata * (hand.sum(axis=1) - hand.sum(axis=1).mean())[:, None]
    design = np.column_stack([hand, deck[:, 1:], strata, length[:, 1:]])
    theirs = sm.Logit(won.astype(float), design).fit(disp=0)
    average = hand.sum(axis=0) / hand.sum()
    beside = np.eye(cards) - average
    covariance = beside @ theirs.cov_params()[:cards, :cards] @ beside.T

    assert found.effect == pytest.approx(beside @ theirs.params[:cards], abs=2e-4)
    assert found.std_error == pytest.approx(np.sqrt(np.diag(covariance)), rel=1e-3)
    assert found.held.tolist() == hand.sum(axis=0).tolist()


def test_what_goes_with_the_deck_is_not_put_down_to_the_draw():
    rng = np.random.default_rng(3)
    decks = rng.integers(0, CARDS, (60_000, 6))
    held = np.where(rng.random(decks.shape) < 0.5, decks, -1)
    company = 0.1 * np.linspace(-1, 1, CARDS)
    won = rng.random(len(decks)) < expit(company[decks].sum(axis=1))
    found = effects_in_hand(won, held, decks, CARDS, np.zeros(len(decks), dtype=int))
    by_hand_alone = deck_fit(DeckGames(won, held, CARDS)).card

    leaks = [np.polyfit(company, effect, 1)[0] for effect in (found.effect, by_hand_alone)]
    assert leaks[1] > 0.9
    assert abs(leaks[0]) < 0.25


def test_the_mean_over_all_copies_held_is_the_measure():
    found = effects_in_hand(*played())

    assert found.effect @ found.held == pytest.approx(0, abs=1e-9)
    assert found.std_error.min() > 0


def test_nine_in_ten_ranges_hold_the_truth_of_simulated_drafts():
    scores = []
    for seed in (31, 32):
        world = random_world(np.random.default_rng(seed), games=8_000)
        log, truth = simulate_log(world, seed), true_effects(simulate(world, seed))
        decks = log.decks.cards[log.games.deck]
        held = np.where(log.games.held, decks, -1)
        band = np.searchsorted(world.skill_cuts, log.decks.skill)
        stratum = (len(world.bands) * log.decks.archetype + band)[log.games.deck]
        found = effects_in_hand(log.games.won, held, decks, world.cards, stratum)
        scores.append((found.effect - truth) / found.std_error)
    wrong = np.concatenate(scores)

    assert 0.87 < np.mean(np.abs(wrong) < 1.645) < 0.96
    assert 0.75 < np.mean(wrong**2) < 1.2


def test_games_that_go_together_count_for_fewer():
    alone = effects_in_hand(*played())
    won, held, decks, cards, stratum = played()
    columns = (np.repeat(column, 2, axis=0) for column in (won, held, decks))
    doubled = effects_in_hand(*columns, cards, np.repeat(stratum, 2), design_effect=2)

    assert doubled.effect == pytest.approx(alone.effect, abs=1e-5)
    assert doubled.std_error == pytest.approx(alone.std_error, rel=1e-4)
    with pytest.raises(FitError, match=r"design_effect must be at least 1, got 0\.9"):
        effects_in_hand(won, held, decks, cards, stratum, design_effect=0.9)


def test_rates_stand_around_the_baseline():
    found = InHand(np.array([0.0, 0.2]), np.array([0.1, 0.0]), np.array([5, 5]))
    estimate, low, high = found.rates(0.55)

    assert estimate == pytest.approx([0.55, expit(logit(0.55) + 0.2)])
    assert logit(high[0]) - logit(low[0]) == pytest.approx(2 * 1.644854 * 0.1, rel=1e-4)
    assert low[1] == estimate[1] == high[1]


def test_many_cards_need_wider_codes():
    _, held, decks, *_ = played(300)
    many = whole_decks.joined(held, decks, 20_000)
    few = whole_decks.joined(held, decks, CARDS)

    assert (many.max(), many.min(), few.max()) == (20_000 + CARDS - 1, -1, 2 * CARDS - 1)
    assert (many.dtype, few.dtype) == (np.int32, np.int16)
    assert np.array_equal(many[:, 6:] - 20_000, decks)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"held": [0, 1]}, "a row of cards for each game"),
        ({"decks": [0, 1]}, "a row of cards for each game"),
        ({"held": [[0]]}, "a row of cards for each game"),
        ({"held": [[-1], [-1]]}, "no copy was ever held"),
        ({"decks": [[0, 1], [5, 1]]}, "decks must hold codes from -1 to 4"),
        ({"held": [[0], [5]]}, "held must hold codes from -1 to 4"),
        ({"held": [[0], [-2]]}, "held must hold codes from -1 to 4"),
        ({"decks": [[0, 1], [-2, 1]]}, "decks must hold codes from -1 to 4"),
        ({"stratum": [0]}, "a row for each of the 2 games"),
    ],
)
def test_columns_that_do_not_fit_together_are_refused(options, words):
    given = {
        "won": [1, 0], "held": [[0], [-1]], "decks": [[0, 1], [2, -1]], "cards": 5,
        "stratum": [0, 0],
    }  # fmt: skip

    with pytest.raises(CountError, match=words):
        effects_in_hand(**given | options)
