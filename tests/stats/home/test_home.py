"""How far the home table differs from strangers, learnt over all cards."""

import numpy as np
import pytest

from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.home.home import (
    STRAY,
    STRAY_SHARE,
    USUAL,
    Discrepancy,
    at_home,
    discrepancy,
)


def normals(mean, sd):
    mean = np.atleast_1d(np.asarray(mean, dtype=float))
    return NormalMixture(np.ones((1, len(mean))), mean[None], np.full((1, len(mean)), sd))


def seen_at(usual, stray_share, count, error, seed):
    """Strangers' estimates, and what a table sees that differs from them as said."""
    rng = np.random.default_rng(seed)
    outside = rng.normal(0, 0.2, count)
    differs = np.where(rng.random(count) < stray_share, STRAY, usual)
    truth = outside + np.hypot(0.05, differs) * rng.normal(size=count)
    return normals(outside, 0.05), truth + error * rng.normal(size=count), truth


@pytest.mark.parametrize("usual", [0.03, 0.1, 0.2, 0.3])
def test_finds_the_usual_difference_where_games_are_many(usual):
    outside, seen, _ = seen_at(usual, 0.0, 2000, 0.05, seed=1)

    found = discrepancy(outside, seen, np.full(2000, 0.05**2))

    assert found.is_learnt
    assert found.usual == pytest.approx(usual, abs=0.02)


@pytest.mark.parametrize(("share", "low", "high"), [(0.0, 0.0, 0.03), (0.15, 0.1, 0.2)])
def test_finds_how_many_cards_differ_altogether(share, low, high):
    outside, seen, _ = seen_at(0.05, share, 2000, 0.05, seed=2)

    found = discrepancy(outside, seen, np.full(2000, 0.05**2))

    assert low <= found.stray_share <= high


@pytest.mark.parametrize(
    ("count", "error", "is_learnt"), [(29, 0.05, False), (30, 0.05, True), (200, 2.0, False)]
)
def test_few_cards_or_games_that_say_nothing_leave_the_defaults(count, error, is_learnt):
    outside, seen, _ = seen_at(0.1, 0.0, count, error, seed=3)

    found = discrepancy(outside, seen, np.full(count, error**2))

    assert found.is_learnt == is_learnt
    assert (found == Discrepancy(USUAL, STRAY_SHARE)) != is_learnt


def test_the_usual_difference_is_a_mean_over_its_posterior():
    outside, seen, _ = seen_at(0.2, 0.1, 40, 0.1, seed=5)
    off, error = seen - outside.mean[0], 0.05**2 + 0.1**2
    usual, share = np.linspace(0.01, 0.4, 40), np.linspace(0, 0.2, 9)
    density = np.zeros((9, 40))
    for n, part in enumerate(share):
        for m, sd in enumerate(usual):
            near, far = error + sd**2, error + STRAY**2
            each = (1 - part) * np.exp(-(off**2) / 2 / near) / np.sqrt(near)
            each += part * np.exp(-(off**2) / 2 / far) / np.sqrt(far)
            density[n, m] = np.log(each).sum() - 0.5 * (sd / 0.15) ** 2
    density = np.exp(density - density.max())

    found = discrepancy(outside, seen, np.full(40, 0.1**2))

    total = density.sum()
    assert found.usual == pytest.approx((density * usual).sum() / total, abs=1e-6)
    assert found.stray_share == pytest.approx((density.T * share).sum() / total, abs=1e-6)


def test_cards_without_home_games_do_not_count():
    outside, seen, _ = seen_at(0.1, 0.0, 60, 0.05, seed=3)
    variance = np.full(60, 0.05**2)
    seen[30:] = np.nan
    few = discrepancy(normals(outside.mean[0, :30], 0.05), seen[:30], variance[:30])

    assert discrepancy(outside, seen, variance) == few


def test_at_home_adds_the_difference_and_keeps_the_centre():
    here = at_home(normals([0.3, -0.1], 0.05), Discrepancy(0.1, 0.2))

    assert here.centre == pytest.approx([0.3, -0.1])
    variance = 0.8 * (0.05**2 + 0.1**2) + 0.2 * (0.05**2 + STRAY**2)
    assert here.scale == pytest.approx(np.sqrt([variance] * 2))


def test_games_are_weighed_by_the_defining_mixture():
    grid = np.linspace(-3, 3, 60001)
    near, far = np.hypot(0.05, 0.1), np.hypot(0.05, STRAY)
    prior = 0.95 * np.exp(-0.5 * (grid / near) ** 2) / near
    prior += 0.05 * np.exp(-0.5 * (grid / far) ** 2) / far
    density = prior * np.exp(-0.5 * (grid - 0.7) ** 2 / 0.02)

    found = at_home(normals(0.0, 0.05), Discrepancy()).given(np.array([0.7]), np.array([0.02]))

    assert found.centre[0] == pytest.approx((grid * density).sum() / density.sum(), abs=1e-6)


def test_a_table_that_contradicts_strangers_is_believed_in_proportion():
    here = at_home(normals(np.zeros(3), 0.05), Discrepancy())
    seen = np.full(3, -0.8)

    few, some, many = here.given(seen, 4 / np.array([10.0, 100.0, 2000.0])).centre / -0.8

    assert few < 0.15
    assert 0.3 < some < 0.9
    assert many > 0.97


@pytest.mark.parametrize("usual", [0.05, 0.2])
def test_ranges_hold_the_truth_as_often_as_they_say_and_beat_both_sources(usual):
    outside, seen, truth = seen_at(usual, 0.05, 4000, 0.25, seed=4)
    variance = np.full(4000, 0.25**2)
    found = at_home(outside, discrepancy(outside, seen, variance)).given(seen, variance)

    covered = (truth > found.quantile(0.05)) & (truth < found.quantile(0.95))
    errors = [np.mean((guess - truth) ** 2) for guess in (found.centre, outside.centre, seen)]
    assert 0.88 < covered.mean() < 0.92
    assert errors[0] < min(errors[1:])
