"""What archetypes will do once the pool has changed."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from tests.decide.planning import archetype, archetypes, card_verdict, pool_verdict, stock
from winrate_tools.decide.plan.forecast import MODEL_ERROR, forecast
from winrate_tools.decide.plan.play import Play
from winrate_tools.errors import SettingError
from winrate_tools.pools import PoolCard

POOL = archetypes(archetype("Kites", 0.47), archetype("Moths", 0.53, wide=0.02))
PLAY = Play(
    ("Kites", "Moths"),
    np.array([[1.0, 0.0, 1.0], [0.0, 1.0, 0.0]]),
    np.array([2.0, 2.0]),
    np.array([0.5, 0.5]),
)
SHELF = stock([PoolCard(name, 1) for name in "abc"], [1, 1, 0], [-0.1, 0.0, 0.1], sd=0.03)
VERDICT = pool_verdict(
    [card_verdict(name) for name in "ab"], list(SHELF.effects.T[:2]), archetypes=POOL
)
SWAPPED = np.array([0, 1, 1])
Z90 = norm.ppf(0.9)


def test_a_stronger_card_lifts_its_archetype_and_lowers_the_others_against_it():
    kites, moths = forecast(SHELF, PLAY, VERDICT, SWAPPED)

    assert kites.change == pytest.approx(0.25 * 2 * 0.2 / 2, abs=1e-6)
    assert moths.change == pytest.approx(-kites.change)
    assert kites.after == pytest.approx(kites.before + kites.change)
    assert (kites.before, kites.before_low) == pytest.approx((0.47, 0.46))
    assert kites.before_high == pytest.approx(0.48)


def test_ranges_hold_the_draws_the_strength_and_the_models_own_error():
    kites, moths = forecast(SHELF, PLAY, VERDICT, SWAPPED)

    drawn = 0.25 * (SHELF.effects[:, 2] - SHELF.effects[:, 0]).std()
    doubt = np.hypot(drawn, MODEL_ERROR)
    assert kites.change_high - kites.change == pytest.approx(Z90 * doubt)
    assert kites.change - kites.change_low == pytest.approx(Z90 * doubt)
    assert kites.after_high - kites.after == pytest.approx(np.hypot(0.01, Z90 * doubt))
    assert moths.after - moths.after_low == pytest.approx(np.hypot(0.02, Z90 * doubt))


def test_wider_ranges_can_be_asked_for():
    usual, wide = (forecast(SHELF, PLAY, VERDICT, SWAPPED, sure=s)[0] for s in (0.9, 0.95))

    ratio = norm.ppf(0.95) / Z90
    assert wide.change_high - wide.change == pytest.approx(
        ratio * (usual.change_high - usual.change)
    )
    assert wide.after_high - wide.after == pytest.approx(
        ratio * (usual.after_high - usual.after)
    )


def test_the_chance_of_a_gain_counts_the_models_error():
    kites, moths = forecast(SHELF, PLAY, VERDICT, SWAPPED)

    moved = 0.25 * (SHELF.effects[:, 2] - SHELF.effects[:, 0])
    assert kites.chance_up == pytest.approx(norm.cdf(moved / MODEL_ERROR).mean())
    assert moths.chance_up == pytest.approx(1 - kites.chance_up)


def test_no_change_is_forecast_without_doubt():
    kites, _ = forecast(SHELF, PLAY, VERDICT, SHELF.before)

    assert (kites.change, kites.change_low, kites.change_high) == (0, 0, 0)
    assert (kites.after_low, kites.after_high) == pytest.approx((0.46, 0.48))
    assert kites.chance_up == 0.5


def test_without_archetypes_there_is_no_forecast():
    assert forecast(SHELF, PLAY, replace(VERDICT, archetypes=None), SWAPPED) == ()


def test_without_cards_by_archetype_there_is_no_forecast():
    nothing = Play((), np.zeros((0, 3)), np.zeros(0), np.zeros(0))

    assert forecast(SHELF, nothing, VERDICT, SWAPPED) == ()


def test_raw_records_are_refused():
    with pytest.raises(SettingError, match="an allowance of 1 takes their records at face"):
        forecast(SHELF, PLAY, replace(VERDICT, allowance=1.0), SWAPPED)


def test_a_share_of_one_that_was_learnt_is_no_raw_record():
    learnt = replace(VERDICT, allowance=1.0, is_learnt=True)

    assert len(forecast(SHELF, PLAY, learnt, SWAPPED)) == 2


def test_a_change_that_only_takes_away_has_the_models_error_too():
    known = stock([PoolCard(name, 1) for name in "abc"], [1, 1, 0], [-0.1, 0.0, 0.1])
    kites, _ = forecast(known, PLAY, VERDICT, np.array([0, 1, 0]))

    assert kites.change_high - kites.change == pytest.approx(Z90 * MODEL_ERROR, rel=1e-6)
    assert pytest.approx(0.0065) == MODEL_ERROR


@pytest.mark.parametrize(
    ("low", "high", "crosses"),
    [
        (0.47, 0.5, ("above", "below")),
        (0.47, 0.6, (None, "below")),
        (0.4, 0.5, ("above", None)),
        (0.44, 0.53, (None, None)),
        (0.4, 0.46, (None, None)),
        (0.51, 0.6, (None, None)),
    ],
)
def test_archetypes_that_would_come_to_lie_beyond_a_line_are_told(low, high, crosses):
    lines = archetypes(archetype("Kites", 0.47), archetype("Moths", 0.5), low_line=low,
                       high_line=high)  # fmt: skip
    kites, moths = forecast(SHELF, PLAY, replace(VERDICT, archetypes=lines), SWAPPED)

    assert (kites.crosses, moths.crosses) == crosses
    assert kites.line == (high if crosses[0] else None)
    assert moths.line == (low if crosses[1] else None)
    sd = (kites.after_high - kites.after) / Z90
    beyond = norm.cdf((kites.after - high) / sd) if crosses[0] else 0
    assert kites.chance_beyond == pytest.approx(beyond)
    sd = (moths.after_high - moths.after) / Z90
    beyond = norm.cdf((low - moths.after) / sd) if crosses[1] else 0
    assert moths.chance_beyond == pytest.approx(beyond)
