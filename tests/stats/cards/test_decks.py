"""Cards fitted all at once, against exact Newton steps, another library, and the truth."""

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.errors import CountError, FitError
from winrate_tools.stats.cards import deck_games
from winrate_tools.stats.cards import decks as decks_module
from winrate_tools.stats.cards.deck_games import DeckGames
from winrate_tools.stats.cards.decks import DeckFit, deck_fit

CARDS, GROUPS = 25, 4


def simulated(games: int, seed: int = 1):
    """Decks of five to nine copies, archetypes and skill, and what came of their games."""
    rng = np.random.default_rng(seed)
    decks = rng.integers(0, CARDS, (games, 9)).astype(np.int16)
    decks[np.arange(9) >= rng.integers(5, 10, games)[:, None]] = -1
    group, skill = rng.integers(0, GROUPS, games), rng.normal(size=games)
    effect, shift = 0.15 * rng.normal(size=CARDS), 0.2 * rng.normal(size=GROUPS)
    odds = np.append(effect, 0)[decks].sum(axis=1) + shift[group] + 0.3 * skill + 0.1
    return rng.random(games) < expit(odds), decks, group, skill[:, None], effect


def design_of(decks, group, skill):
    dense = np.zeros((len(decks), CARDS + GROUPS + 2))
    for column in decks.T:
        has = column >= 0
        dense[np.flatnonzero(has), column[has]] += 1
    dense[np.arange(len(decks)), CARDS + group] = 1
    dense[:, -2:] = np.column_stack([np.ones(len(decks)), skill])
    return dense


def newton(dense, won, penalty):
    """Maximise the penalised likelihood by exact Newton steps, in double precision."""
    effects = np.zeros(dense.shape[1])
    for _ in range(30):
        chance = expit(dense @ effects)
        curvature = (dense * (chance * (1 - chance))[:, None]).T @ dense + np.diag(penalty)
        effects += np.linalg.solve(curvature, dense.T @ (won - chance) - penalty * effects)
    return effects, np.sqrt(np.diag(np.linalg.inv(curvature)))


def fitted(won, decks, cards, *, group=None, slope=None, fixed=None, **options) -> DeckFit:
    return deck_fit(DeckGames(won, decks, cards, group, slope, fixed), **options)


def test_it_finds_what_exact_newton_steps_find():
    won, decks, group, skill, _ = simulated(60_000)
    fit = fitted(won, decks, CARDS, group=group, fixed=skill, card_sd=0.1, group_sd=0.3)
    penalty = np.repeat([100.0, 1 / 0.09, 0.0], [CARDS, GROUPS, 2])
    effects, errors = newton(design_of(decks, group, skill), won, penalty)

    found = np.concatenate([fit.card, fit.group, fit.fixed])
    assert np.abs(found - effects).max() < 0.001 * errors.min()
    given = np.concatenate([fit.card_se, fit.group_se, fit.fixed_se])
    assert np.allclose(given, errors, rtol=1e-4)
    assert np.allclose(np.diag(fit.card_covariance), fit.card_se**2)
    assert fit.passes <= 15


def test_a_number_can_have_a_slope_in_each_group():
    won, decks, group, skill, _ = simulated(6_000)
    fit = fitted(won, decks, CARDS, group=group, slope=skill[:, 0], group_sd=0.3, slope_sd=0.2)
    slopes = (group[:, None] == np.arange(GROUPS)) * skill
    dense = design_of(decks, group, skill[:, 0])[:, :-1]
    dense = np.insert(dense, [CARDS + GROUPS] * GROUPS, slopes, axis=1)
    penalty = np.repeat([0.12**-2, 0.3**-2, 0.2**-2, 0.0], [CARDS, GROUPS, GROUPS, 1])
    effects, errors = newton(dense, won, penalty)

    found = np.concatenate([fit.card, fit.group, fit.slope, fit.fixed])
    assert np.abs(found - effects).max() < 0.001 * errors.min()
    given = np.concatenate([fit.card_se, fit.group_se, fit.slope_se, fit.fixed_se])
    assert np.allclose(given, errors, rtol=1e-4)


def test_without_a_penalty_it_agrees_with_statsmodels():
    import statsmodels.api as sm

    won, decks, group, skill, _ = simulated(8_000, seed=2)
    fit = fitted(won, decks, CARDS, fixed=skill, card_sd=1e4)
    dense = np.delete(design_of(decks, group, skill), np.s_[CARDS : CARDS + GROUPS], axis=1)
    theirs = sm.Logit(won.astype(float), dense).fit(disp=0, tol=1e-12)

    assert np.allclose(np.append(fit.card, fit.fixed), theirs.params, atol=2e-5)
    assert np.allclose(np.append(fit.card_se, fit.fixed_se), theirs.bse, rtol=1e-4)
    assert np.allclose(fit.card_covariance, theirs.cov_params()[:CARDS, :CARDS], atol=1e-6)
    assert (fit.group.size, fit.group_se.size) == (0, 0)


def test_nine_in_ten_ranges_hold_the_truth_of_nine_in_ten_cards():
    inside = []
    for seed in range(3, 13):
        won, decks, group, skill, effect = simulated(5_000, seed)
        fit = fitted(won, decks, CARDS, group=group, fixed=skill, card_sd=0.15)
        inside.append(np.abs(fit.card - effect) < 1.645 * fit.card_se)

    assert 0.84 < np.mean(inside) < 0.95


def test_the_number_of_games_in_a_chunk_does_not_matter(monkeypatch):
    won, decks, group, skill, _ = simulated(3_000)
    whole = fitted(won, decks, CARDS, group=group, fixed=skill)
    monkeypatch.setattr(deck_games, "CHUNK", 700)
    monkeypatch.setattr(decks_module, "SAMPLE", 1000)
    parts = fitted(won, decks, CARDS, group=group, fixed=skill)

    assert np.abs(whole.card - parts.card).max() < 0.001 * whole.card_se.min()
    assert np.allclose(whole.card_se, parts.card_se, rtol=1e-4)


def test_a_card_that_nobody_plays_keeps_its_prior():
    won, decks, *_ = simulated(500)
    fit = fitted(won, decks, CARDS + 1, card_sd=0.2)

    assert fit.card[-1] == pytest.approx(0, abs=1e-9)
    assert fit.card_se[-1] == pytest.approx(0.2)


def test_swapping_wins_and_losses_flips_every_sign():
    won, decks, *_ = simulated(2_000)
    one, other = fitted(won, decks, CARDS), fitted(~won, decks, CARDS)

    assert np.allclose(one.card, -other.card, atol=1e-5)
    assert np.allclose(one.fixed, -other.fixed, atol=1e-5)


def test_errors_of_a_sample_are_near_those_of_all_games(monkeypatch):
    monkeypatch.setattr(decks_module, "SAMPLE", 6_000)
    won, decks, group, skill, _ = simulated(24_000)
    exact = fitted(won, decks, CARDS, group=group, fixed=skill)
    quick = fitted(won, decks, CARDS, group=group, fixed=skill, exact_errors=False)

    assert np.array_equal(quick.card, exact.card)
    assert np.allclose(quick.card_se, exact.card_se, rtol=0.1)
    assert not np.allclose(quick.card_se, exact.card_se, rtol=1e-4)


def test_every_card_can_have_a_spread_of_its_own():
    won, decks, *_ = simulated(3_000)
    spread = np.where(np.arange(CARDS) < 5, 1e-4, 0.3)
    fit = fitted(won, decks, CARDS, card_sd=spread)
    alike = fitted(won, decks, CARDS, card_sd=np.full(CARDS, 0.2))

    assert np.abs(fit.card[:5]).max() < 1e-5
    assert np.abs(fit.card[5:]).min() > 1e-4
    assert np.allclose(alike.card, fitted(won, decks, CARDS, card_sd=0.2).card)


def test_as_many_spreads_as_cards_are_wanted():
    with pytest.raises(CountError, match=r"card_sd must be one number or 5, got \(2,\)"):
        fitted([1, 0], [[0, 1], [2, -1]], 5, card_sd=[0.1, 0.2])


@pytest.mark.parametrize("spread", [0, -1, np.inf, np.nan])
@pytest.mark.parametrize("name", ["card_sd", "group_sd", "slope_sd"])
def test_a_spread_that_is_none_is_refused(name, spread):
    with pytest.raises(FitError, match=name):
        fitted([1, 0], [[0, 1], [2, -1]], 5, **{name: spread})


@pytest.mark.parametrize("column", [0.0, 1.0])
def test_columns_that_cannot_be_told_apart_are_told(column):
    won, decks, *_ = simulated(500)

    with pytest.raises(FitError, match="cannot tell all columns apart"):
        fitted(won, decks, CARDS, fixed=np.full((500, 1), column))


def test_a_climb_that_does_not_end_is_told(monkeypatch):
    monkeypatch.setattr(decks_module, "MOST_PASSES", 1)
    won, decks, *_ = simulated(500)

    with pytest.raises(FitError, match="did not end within 1 passes"):
        fitted(won, decks, CARDS)
