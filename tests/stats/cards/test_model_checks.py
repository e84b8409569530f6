"""Whether a table looks as the fitted model says that tables look."""

import numpy as np
import pytest
from scipy import integrate, stats

from winrate_tools.stats.cards.homes import Homes
from winrate_tools.stats.cards.logit_normal import Evidence
from winrate_tools.stats.cards.model_checks import (
    FARTHEST,
    FEWEST_CARDS,
    RARE,
    WIDEST_NET,
    deviates,
    disagreement,
    outliers,
    scatter,
)
from winrate_tools.stats.cards.prior import Classes

TWO_CLASSES = Classes(
    np.log(np.array([[[0.8]], [[0.2]]])),
    np.array([[[0.02]], [[-0.25]]]),
    np.array([[[0.08]], [[0.1]]]),
)
ONE = np.ones(1)


def evidence(wins, games) -> Evidence:
    wins, games = np.asarray(wins, dtype=float), np.asarray(games, dtype=float)
    return Evidence(wins, games, np.zeros(len(wins)))


def classes_of(cards: int) -> Classes:
    wide = (np.broadcast_to(each, (2, 1, cards)) for each in TWO_CLASSES[:2])
    return Classes(*wide, TWO_CLASSES.sd)


@pytest.mark.parametrize("wins", [17_000, 19_000, 20_000, 21_500])
def test_a_deviate_is_the_place_in_the_mixture(wins: int):
    games = 40_000

    found = deviates(evidence([wins], [games]), TWO_CLASSES, ONE)

    rate = 1 / (1 + np.exp(-0.02))
    error = 1 / (games * rate * (1 - rate))
    seen = 0.02 + (wins - games * rate) * error

    def density(x: float) -> float:
        first = stats.norm.pdf(x, 0.02, np.sqrt(0.08**2 + error))
        return 0.8 * first + 0.2 * stats.norm.pdf(x, -0.25, np.sqrt(0.1**2 + error))

    place, _ = integrate.quad(density, -3, seen, epsabs=1e-10, limit=200)
    assert found == pytest.approx(stats.norm.ppf(place), abs=1e-5)


def test_deviates_of_the_models_own_data_are_standard_normal():
    rng = np.random.default_rng(1)
    cards = 4000
    fallen = rng.random(cards) < 0.2
    effect = np.where(fallen, -0.25, 0.02) + np.where(fallen, 0.1, 0.08) * rng.standard_normal(
        cards
    )
    games = rng.integers(200, 5000, cards)
    wins = rng.binomial(games, 1 / (1 + np.exp(-effect)))

    found = deviates(evidence(wins, games), classes_of(cards), ONE)

    assert stats.kstest(found, "norm").pvalue > 0.01
    assert np.std(found) == pytest.approx(1, abs=4 / np.sqrt(2 * cards))


def test_draws_count_by_their_weight():
    sharp = Classes(np.zeros((1, 2, 1)), np.zeros((1, 2, 1)), np.array([[[0.05], [0.5]]]))
    card = evidence([4400], [10_000])

    narrow, wide, mixed = (
        deviates(card, sharp, np.array(weight))[0]
        for weight in ([1.0, 0], [0, 1.0], [0.5, 0.5])
    )

    assert narrow < mixed < wide < 0
    below = (stats.norm.cdf(narrow) + stats.norm.cdf(wide)) / 2
    assert mixed == pytest.approx(stats.norm.ppf(below))


def test_a_card_without_games_has_no_deviate_and_a_hopeless_one_a_bounded_one():
    found = deviates(evidence([0, 0, 1e6], [0, 1e6, 1e6]), classes_of(3), ONE)

    assert np.isnan(found[0])
    assert found[1:].tolist() == [-FARTHEST, FARTHEST]


def test_a_net_wider_than_was_believed_hides_no_card():
    def net(sd: float) -> Classes:
        share = np.log(np.array([0.9, 0.1]))[:, None, None]
        return Classes(share, np.zeros((2, 1, 1)), np.array([0.1, sd])[:, None, None])

    far = Evidence(np.array([73_000.0]), np.array([100_000.0]), np.zeros(1))
    believed, learnt, narrow = (
        deviates(far, net(sd), np.ones(1))[0] for sd in (WIDEST_NET, 3 * WIDEST_NET, 0.2)
    )

    assert pytest.approx(0.1 * np.exp(1)) == WIDEST_NET
    assert learnt == believed
    assert narrow > believed


def test_outliers_are_named_as_rarely_as_promised():
    rng = np.random.default_rng(2)
    pools = rng.standard_normal((3000, 100))

    alarms = np.mean([outliers(pool).size > 0 for pool in pools])

    assert alarms == pytest.approx(RARE, abs=4 * np.sqrt(RARE / 3000))


def test_the_more_cards_the_farther_an_outlier_must_lie():
    few, many = np.zeros(20), np.zeros(2000)
    few[3] = many[3] = -3.8

    assert outliers(few).tolist() == [3]
    assert outliers(many).size == 0


def test_unknown_deviates_are_neither_outliers_nor_counted():
    assert outliers([3.0, *[np.nan] * 500]).tolist() == [0]
    assert outliers([np.nan]).size == 0


def test_two_looks_that_are_right_lie_apart_by_chance():
    rng = np.random.default_rng(3)
    effect = rng.normal(0, 0.1, 3000)
    variance, unsure = rng.uniform(0.001, 0.01, (2, 3000))
    first = 0.3 + effect + np.sqrt(variance) * rng.standard_normal(3000)
    second = effect + np.sqrt(unsure) * rng.standard_normal(3000)

    found = disagreement(first, variance, second, unsure)

    assert stats.kstest(found, "norm").pvalue > 0.01


def test_a_card_with_one_look_disagrees_with_nobody():
    found = disagreement(
        np.array([0.2, np.nan, 0.2]), np.full(3, 0.01), np.zeros(3), np.full(3, 0.01)
    )
    nobody = disagreement(np.full(2, np.nan), np.full(2, np.nan), np.zeros(2), np.ones(2))

    assert np.isnan(found).tolist() == [False, True, False]
    assert found[[0, 2]] == pytest.approx(0)
    assert np.isnan(nobody).all()


def homes(rng, *, cards=600, archetypes=4, inflation=1.0, beyond=0.0) -> Homes:
    information = rng.uniform(20, 200, (cards, archetypes))
    effect = rng.normal(0, 0.2, (cards, 1)) + beyond * rng.standard_normal((cards, archetypes))
    noise = np.sqrt(inflation / information) * rng.standard_normal(information.shape)
    names = tuple(f"home {k}" for k in range(archetypes))
    return Homes(names, 4 * information, information * (effect + noise), information)


@pytest.mark.parametrize("inflation", [0.4, 1.0, 2.5])
@pytest.mark.parametrize("archetypes", [2, 4, 9])
def test_the_scatter_is_what_the_errors_are_off_by(archetypes: int, inflation: float):
    found = scatter(homes(np.random.default_rng(4), archetypes=archetypes, inflation=inflation))

    assert found == pytest.approx(inflation, rel=0.2)


def test_a_few_cards_that_suit_one_archetype_do_not_move_the_scatter():
    rng = np.random.default_rng(5)
    plain = homes(rng)
    tilt = np.zeros_like(plain.information)
    tilt[:12, 0] = 0.8

    tilted = plain._replace(surprise=plain.surprise + tilt * plain.information)

    assert scatter(tilted) == pytest.approx(scatter(plain), rel=0.1)


def test_cells_that_say_little_and_cards_with_one_home_do_not_count():
    rng = np.random.default_rng(6)
    plain = homes(rng, cards=40)
    more = np.full((40, 1), 4.9)
    lone = np.hstack([np.full((25, 1), 50.0), np.zeros((25, 4))])

    wider = Homes(
        (*plain.names, "rare"),
        np.vstack([np.hstack([plain.games, more]), lone]),
        np.vstack([np.hstack([plain.surprise, 10 * more]), 3 * lone]),
        np.vstack([np.hstack([plain.information, more]), lone]),
    )

    assert scatter(wider) == pytest.approx(scatter(plain))


def test_too_few_cards_tell_nothing():
    rng = np.random.default_rng(7)

    assert np.isnan(scatter(homes(rng, cards=FEWEST_CARDS - 1)))
    assert np.isfinite(scatter(homes(rng, cards=FEWEST_CARDS)))
