from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from winrate_tools.simulate.truth import draw_truth, narrow_extra
from winrate_tools.simulate.world import Rarity, World

MANY = World(rarities=(Rarity("common", 20_000, 1), Rarity("special", 24, 1, special=True)))


@pytest.fixture(scope="module")
def truth():
    return draw_truth(MANY, np.random.default_rng(5))


@pytest.fixture(scope="module")
def ordinary(truth):
    return ~truth.is_trap & ~truth.is_unplayed


def test_traps_and_unplayed_cards_are_as_many_as_the_shares_say(truth):
    assert truth.is_trap.sum() == round(0.06 * MANY.cards)
    assert truth.is_unplayed.sum() == round(0.06 * MANY.cards)
    assert not np.any(truth.is_trap & truth.is_unplayed)


def test_traps_look_strong_and_are_weak(truth, ordinary):
    assert truth.perceived[truth.is_trap].mean() == pytest.approx(1.0, abs=0.05)
    assert truth.effect[truth.is_trap].mean() == pytest.approx(-0.2, abs=0.01)
    assert truth.effect[truth.is_trap].mean() < np.quantile(truth.effect[ordinary], 0.05)


def test_unplayed_cards_look_weaker_than_nearly_all_others(truth, ordinary):
    look = truth.perceived[truth.is_unplayed]
    behind = truth.effect[truth.is_unplayed].mean() - truth.effect[ordinary].mean()

    assert look.mean() == pytest.approx(-1.8, abs=0.05)
    assert behind == pytest.approx(MANY.unplayed_effect, abs=0.01)


def test_perceived_and_true_strength_correlate_as_foresight_says(truth, ordinary):
    correlation = np.corrcoef(truth.perceived[ordinary], truth.effect[ordinary])[0, 1]

    assert correlation == pytest.approx(MANY.foresight, abs=0.02)


def test_effects_spread_as_the_world_and_the_rarity_say(truth, ordinary):
    wide = draw_truth(
        replace(MANY, rarities=(Rarity("common", 20_000, 1, spread=2.0), MANY.rarities[1])),
        np.random.default_rng(5),
    )

    assert truth.effect[ordinary].std() == pytest.approx(MANY.effect_sd, rel=0.03)
    assert wide.effect[ordinary].std() == pytest.approx(2 * MANY.effect_sd, rel=0.03)


def test_a_fully_balanced_world_has_factions_of_equal_mean_strength():
    truth = draw_truth(World(balance=1.0), np.random.default_rng(2))
    means = np.bincount(truth.home, truth.effect) / np.bincount(truth.home)

    np.testing.assert_allclose(means, 0, atol=1e-12)


def test_an_unbalanced_world_has_factions_of_unequal_mean_strength():
    truth = draw_truth(World(balance=0.0), np.random.default_rng(2))
    means = np.bincount(truth.home, truth.effect) / np.bincount(truth.home)

    assert np.ptp(means[:6]) > 0.01


def test_homes_hold_the_shares_of_two_faction_and_open_cards(truth):
    counts = np.bincount(truth.home, minlength=16)

    assert counts[6:15].sum() == round(0.15 * MANY.cards)
    assert np.ptp(counts[6:15]) <= 1
    assert counts[15] == round(0.05 * MANY.cards)


UNEVEN = replace(MANY, slope_sd=0.2, narrow_share=0.1, narrow_effect=0.3)


@pytest.fixture(scope="module")
def uneven():
    return draw_truth(UNEVEN, np.random.default_rng(5))


def test_slopes_spread_as_the_world_says_and_are_none_by_default(truth, uneven):
    assert uneven.slope.std() == pytest.approx(0.2, rel=0.03)
    assert uneven.slope.mean() == pytest.approx(0, abs=0.01)
    assert not truth.slope.any()


def test_narrow_cards_are_as_many_as_the_share_says_and_none_by_default(truth, uneven):
    assert uneven.is_narrow.sum() == round(0.1 * UNEVEN.cards)
    assert not truth.is_narrow.any()


def test_narrow_cards_fit_several_archetypes_and_are_neither_traps_nor_unplayed(uneven):
    fits = UNEVEN.fits[:, uneven.home].sum(axis=0)

    assert fits[uneven.is_narrow].min() == 3
    assert not np.any(uneven.is_narrow & (uneven.is_trap | uneven.is_unplayed))


def test_narrow_cards_shine_in_one_archetype_that_they_fit_and_lack_it_in_the_others(uneven):
    narrow = uneven.is_narrow
    extra, fits = uneven.extra[narrow], UNEVEN.fits.T[uneven.home[narrow]]
    best = extra.argmax(axis=1)

    np.testing.assert_array_equal((extra > 0).sum(axis=1), 1)
    np.testing.assert_array_equal(extra.max(axis=1), 0.3)
    np.testing.assert_allclose((extra * fits).sum(axis=1), 0, atol=1e-12)
    assert np.all(fits[np.arange(len(best)), best])
    assert np.ptp(np.bincount(best, minlength=9)) < 0.3 * len(best) / 9


def test_a_narrow_card_lacks_elsewhere_what_it_has_in_its_best_archetype():
    extra = narrow_extra(np.array([True, False, True]), 2, 0.4)

    np.testing.assert_allclose(extra, [-0.4, -0.4, 0.4])


@pytest.mark.parametrize("name", ["effect", "home", "perceived", "lean", "tempo"])
def test_slopes_and_narrow_cards_leave_all_other_draws_alone(truth, uneven, name):
    np.testing.assert_array_equal(getattr(uneven, name), getattr(truth, name))


def test_narrow_cards_leave_the_slopes_alone_and_the_source_where_it_was():
    ends = []
    for world in (UNEVEN, replace(UNEVEN, narrow_share=0.0), MANY):
        rng = np.random.default_rng(5)
        ends.append((draw_truth(world, rng).slope, rng.random()))

    np.testing.assert_array_equal(ends[0][0], ends[1][0])
    assert ends[0][1] == ends[1][1] == ends[2][1]


def test_archetypes_keep_their_given_parts_where_nothing_is_random():
    world = World(archetype_sd=0.0, seen_sd=0.0, tempo_sd=0.0)
    truth = draw_truth(world, np.random.default_rng(1))

    np.testing.assert_array_equal(truth.archetype_effect, np.zeros(9))
    np.testing.assert_array_equal(truth.seen, np.full(9, 0.42))
    np.testing.assert_array_equal(truth.tempo, np.zeros(9))


def test_tails_are_students_and_leave_the_spread_and_all_else(truth, ordinary):
    heavy = draw_truth(replace(MANY, tails=6.0), np.random.default_rng(5))

    plain, far = truth.effect[ordinary], heavy.effect[ordinary]
    assert np.std(far) == pytest.approx(np.std(plain), rel=0.05)
    assert stats.kurtosis(plain) == pytest.approx(0, abs=0.15)
    assert stats.kurtosis(far) == pytest.approx(6 / (6 - 4), abs=1.5)
    standard = (far - far.mean()) / np.std(far) * np.sqrt(1.5)
    assert stats.kstest(standard, "t", args=(6,)).pvalue > 0.001
    assert (heavy.home == truth.home).all()
    assert (heavy.lean == truth.lean).all()
    assert (heavy.slope == truth.slope).all()


def test_slopes_and_narrow_cards_draw_from_the_first_two_children():
    world = replace(MANY, slope_sd=0.2)
    slopes, _ = np.random.default_rng(5).spawn(2)

    truth = draw_truth(world, np.random.default_rng(5))

    assert truth.slope == pytest.approx(0.2 * slopes.standard_normal(MANY.cards))
