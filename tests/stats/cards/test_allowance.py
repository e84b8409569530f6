"""How much of a record is the card's own."""

from typing import get_args

import numpy as np
import pytest
import statsmodels.api as sm

from winrate_tools.settings import Measure
from winrate_tools.stats.cards.allowance import (
    DECK,
    HELD,
    INDEPENDENT,
    LEAST_LEFT,
    LEAST_SHARE,
    USUAL,
    Allowance,
    given_allowance,
    learnt_allowance,
    scaled,
    shares,
    usual_allowance,
)

STRATA = [(), ("skill_band",), ("archetype",), ("archetype", "skill_band")]
VAGUE = Allowance(0.5, 1e4, 0.1)
BETWEEN = 0.04


def pool(cards: int, *, share=0.4, left=0.0, error=0.05, seed=1):
    """Contrasts of cards whose records are known to within .05."""
    rng = np.random.default_rng(seed)
    record = rng.normal(0, np.sqrt(BETWEEN), cards)
    truth = share * record + rng.normal(0, np.sqrt(left * BETWEEN), cards)
    variance = error**2 * rng.uniform(0.5, 1.5, cards)
    estimate = truth + rng.normal(0, 1, cards) * np.sqrt(variance)
    return estimate, variance, record, np.full(cards, 0.05**2)


@pytest.mark.parametrize("measure", get_args(Measure))
@pytest.mark.parametrize("strata", STRATA)
@pytest.mark.parametrize("factions", [True, False])
def test_every_kind_of_table_has_a_usual_allowance(measure, strata, factions):
    found = usual_allowance(measure, factions=factions, strata=strata)

    within = ("faction", *strata) if factions and "archetype" not in strata else strata
    assert found is USUAL[measure][", ".join(within) or "mixed"]
    assert not found.is_learnt


def test_the_usual_allowances_as_simulated_drafts_have_shown_them():
    shares = [[allowance.share for allowance in table.values()] for table in (HELD, DECK)]

    assert list(HELD) == list(DECK)
    assert shares == [
        [0.42, 0.55, 0.60, 0.85, 0.60, 0.96],
        [0.20, 0.30, 0.30, 0.60, 0.33, 0.80],
    ]


@pytest.mark.parametrize("table", [HELD, DECK], ids=["held", "deck"])
def test_the_more_is_told_apart_the_more_is_the_cards_own(table):
    share = {name: allowance.share for name, allowance in table.items()}

    assert share["mixed"] < share["faction"] < share["archetype"]
    assert share["archetype"] < share["archetype, skill_band"]
    assert share["skill_band"] < share["faction, skill_band"] < share["archetype, skill_band"]
    assert all(0 < allowance.left < 0.3 for allowance in table.values())
    assert all(0 < allowance.sd < allowance.share for allowance in table.values())


def test_a_record_of_decks_is_less_of_the_cards_own_than_one_of_held_games():
    assert all(DECK[name].share < HELD[name].share for name in HELD)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_a_share_given_is_certain_and_leaves_what_lies_between(share: float):
    found = given_allowance(share)

    assert (found.share, found.sd, found.is_learnt) == (share, 0, False)
    assert found.left == pytest.approx(INDEPENDENT * share * (1 - share))


def test_at_face_value_nothing_is_left():
    assert given_allowance(1) == Allowance(1.0, 0.0, 0.0)


def test_effects_twice_as_large_have_four_times_the_variance():
    assert scaled(Allowance(0.3, 0.1, 0.05, is_learnt=True), 2.0) == Allowance(
        0.6, 0.2, 0.2, is_learnt=True
    )


def test_the_share_is_the_slope_of_a_weighted_regression():
    estimate, variance, record, unsure = pool(80)

    found = learnt_allowance(VAGUE, estimate, variance, record, unsure, BETWEEN)

    noise = variance + VAGUE.share**2 * unsure + VAGUE.left * BETWEEN
    fit = sm.WLS(estimate, sm.add_constant(record), weights=1 / noise).fit()
    assert found.share == pytest.approx(fit.params[1], rel=1e-6)
    assert found.sd == pytest.approx(np.sqrt(fit.normalized_cov_params[1, 1]), rel=1e-6)
    assert found.is_learnt


def test_the_usual_share_joins_it_as_a_normal_prior():
    estimate, variance, record, unsure = pool(80)
    usual = Allowance(0.7, 0.05, 0.1)
    # The noise depends on the usual share, not on how sure it is.
    alone = learnt_allowance(
        Allowance(0.7, 1e4, 0.1), estimate, variance, record, unsure, BETWEEN
    )

    joined = learnt_allowance(usual, estimate, variance, record, unsure, BETWEEN)

    worth, prior = alone.sd**-2, usual.sd**-2
    assert joined.share == pytest.approx(
        (worth * alone.share + prior * 0.7) / (worth + prior), rel=1e-6
    )
    assert joined.sd == pytest.approx((worth + prior) ** -0.5, rel=1e-6)


def test_a_sure_prior_is_not_moved_and_a_vague_one_does_not_matter():
    data = pool(80)

    sure = learnt_allowance(Allowance(0.5, 1e-6, 0.1), *data, BETWEEN)
    wide = learnt_allowance(Allowance(0.5, 10.0, 0.1), *data, BETWEEN)

    assert sure.share == pytest.approx(0.5, abs=1e-6)
    assert wide.share == pytest.approx(learnt_allowance(VAGUE, *data, BETWEEN).share, abs=1e-4)


@pytest.mark.parametrize("share", [0.2, 0.8])
@pytest.mark.parametrize("left", [0.02, 0.25])
def test_recovers_what_contrasts_were_drawn_with(share: float, left: float):
    data = pool(4000, share=share, left=left, error=0.03)
    # Records as good as known: what they leave open would be taken for noise.
    *seen, unsure = data

    found = learnt_allowance(Allowance(0.5, 0.2, 0.1), *seen, 0 * unsure, BETWEEN)

    assert found.share == pytest.approx(share, abs=4 * found.sd)
    assert found.sd < 0.015
    assert found.left == pytest.approx(left, rel=0.1, abs=0.003)


def test_what_is_left_joins_the_usual_figure_which_is_unsure_by_half():
    estimate, _, record, _ = pool(30, left=0.3)
    usual, chance = Allowance(0.5, 1e4, 0.1), np.full(30, 0.0025)

    found = learnt_allowance(usual, estimate, chance, record, np.full(30, 0.001), BETWEEN)

    # Thirty squares alike, less chance; one square of a normal varies by twice its square.
    rest = estimate - estimate.mean() - found.share * (record - record.mean())
    seen = ((rest**2).mean() - 0.0025 - found.share**2 * 0.001) / BETWEEN
    noise = 0.0025 + usual.share**2 * 0.001 + usual.left * BETWEEN
    error = 2 / 30 * (noise / BETWEEN) ** 2
    prior = (0.5 * usual.left) ** 2
    assert seen > 0.15
    assert found.left == pytest.approx((seen / error + 0.1 / prior) / (1 / error + 1 / prior))


@pytest.mark.parametrize("cards", [400, 40_000])
def test_contrasts_less_scattered_than_chance_leave_next_to_nothing(cards: int):
    _, _, record, _ = pool(cards)
    line, chance = 0.4 * record, np.full(cards, 0.01)

    found = learnt_allowance(VAGUE, line, chance, record, np.zeros(cards), BETWEEN)

    assert found.left == LEAST_LEFT


def test_contrasts_that_run_against_the_records_keep_the_share_above_0():
    estimate, variance, record, unsure = pool(200)

    found = learnt_allowance(VAGUE, -estimate, variance, record, unsure, BETWEEN)

    assert found.share == 0.02


def test_a_level_common_to_all_contrasts_does_not_matter():
    estimate, variance, record, unsure = pool(80)

    plain = learnt_allowance(VAGUE, estimate, variance, record, unsure, BETWEEN)
    moved = learnt_allowance(VAGUE, estimate + 3, variance, record - 2, unsure, BETWEEN)

    assert (moved.share, moved.left) == pytest.approx((plain.share, plain.left))


def test_cards_that_could_not_be_compared_have_no_say():
    estimate, variance, record, unsure = pool(60)
    gap = np.full(5, np.nan)
    padded = (
        np.append(estimate, gap),
        np.append(variance, gap),
        np.append(record, np.ones(5)),
        np.append(unsure, np.ones(5)),
    )

    assert learnt_allowance(VAGUE, *padded, BETWEEN) == learnt_allowance(
        VAGUE, estimate, variance, record, unsure, BETWEEN
    )


@pytest.mark.parametrize(("cards", "learns"), [(19, False), (20, True)])
def test_few_contrasts_teach_nothing(cards: int, learns: bool):
    estimate, variance, record, unsure = pool(30)
    estimate[cards:] = np.nan

    found = learnt_allowance(VAGUE, estimate, variance, record, unsure, BETWEEN)

    assert found.is_learnt == learns
    assert (found is VAGUE) != learns


def test_records_all_alike_leave_the_usual_share():
    estimate, variance, record, unsure = pool(40)

    found = learnt_allowance(
        Allowance(0.6, 0.1, 0.1), estimate, variance, 0 * record, unsure, BETWEEN
    )

    assert (found.share, found.sd) == pytest.approx((0.6, 0.1))


def test_shares_of_weighted_draws_have_the_allowances_mean_and_spread():
    weight = np.random.default_rng(1).dirichlet(np.ones(400))

    found = shares(Allowance(0.6, 0.1, 0.1), weight, seed=1)[:, 0]

    mean = weight @ found
    assert mean == pytest.approx(0.6, abs=0.002)
    assert np.sqrt(weight @ (found - mean) ** 2) == pytest.approx(0.1, rel=0.03)
    assert abs(np.corrcoef(found, weight)[0, 1]) < 0.2


def test_no_draw_has_a_share_of_nothing():
    found = shares(Allowance(0.1, 0.2, 0.1), np.full(100, 0.01), seed=1)

    assert found.min() == LEAST_SHARE
    assert found.max() > 0.4


def test_effects_three_times_as_large_leave_nine_times_the_variance():
    found = scaled(Allowance(0.5, 0.1, 0.04), 3)

    assert (found.share, found.sd, found.left) == pytest.approx((1.5, 0.3, 0.36))
