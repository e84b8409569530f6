"""How many verdicts a multiple of the games would settle."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.special import ndtri

from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.outlook import TIMES, outlook, standing
from winrate_tools.settings import Settings
from winrate_tools.simulate.history import card_table, simulate
from winrate_tools.simulate.world import World
from winrate_tools.stats.cards.contrast import EXTRA_SD
from winrate_tools.stats.cards.strength import Strength, strength
from winrate_tools.stats.planning.settling import Standing, record_look
from winrate_tools.tables import CardTable

MEAN = np.array([-0.1, -0.02, 0.0, 0.06, 0.3])
SD = np.array([0.05, 0.06, 0.08, 0.05, 0.1])
PART = 0.7
INFORMATION = 0.2 / 0.6**2
LOOKS = (record_look(PART * SD**2, INFORMATION),)
STANDING = Standing(MEAN, SD, PART * SD**2, 0.02, 0.9, LOOKS)
GAMES = np.array([500.0, 300.0, 200.0, 700.0, 100.0])
NOW = [True, False, False, False, True]


def simulated(times: int) -> np.ndarray:
    """Let the games be played: draw the truth, what they show of it, and judge again."""
    rng = np.random.default_rng(5)
    hidden = (1 - PART) * SD**2
    seen = rng.normal(MEAN, np.sqrt(PART) * SD, size=(100_000, 5))
    error = 1 / ((times - 1) * GAMES * INFORMATION)
    result = rng.normal(seen, np.sqrt(error))
    gain = PART * SD**2 / (PART * SD**2 + error)
    mean = MEAN + gain * (result - MEAN)
    sd = np.sqrt(hidden + PART * SD**2 * (1 - gain))
    return np.asarray((np.abs(mean - STANDING.line) >= ndtri(0.9) * sd).mean(axis=0))


@pytest.mark.parametrize("times", TIMES[1:])
def test_as_many_settle_as_do_when_the_games_are_played(times: int):
    [ahead] = [step for step in outlook(STANDING, GAMES, NOW) if step.times == times]

    chance = simulated(times)
    assert ahead.settled == pytest.approx(chance.sum(), abs=0.01)
    assert ahead.newly == pytest.approx(chance[1:4].sum(), abs=0.01)


def test_now_is_what_the_verdicts_say_and_not_what_a_normal_posterior_would():
    now = outlook(STANDING, GAMES, [True, True, True, False, False])[0]

    assert (now.times, now.settled, now.newly) == (1, 3.0, 0.0)


def test_cards_without_games_or_of_unknown_ones_stay_as_they_are():
    without_the_last = [True, False, False, False, False]

    steps = outlook(STANDING, [np.nan, 0, 0, np.nan, 0], without_the_last)
    assert {(step.settled, step.newly) for step in steps} == {(1.0, 0.0)}


def test_more_games_never_settle_fewer_of_the_open_cards():
    newly = [step.newly for step in outlook(STANDING, GAMES, NOW)]

    assert newly == sorted(newly)


def test_a_judged_pool_looks_ahead_from_its_own_verdicts():
    names = [f"Card {i}" for i in range(40)]
    games = np.full(40, 900)
    wins = np.random.default_rng(2).binomial(games, np.linspace(0.4, 0.6, 40))

    pool = judge(CardTable(names, games, wins))
    settled = sum(card.verdict != "more games" for card in pool.cards)
    assert pool.outlook[0].settled == settled
    assert [step.times for step in pool.outlook] == list(TIMES)
    assert 0 < pool.outlook[-1].newly <= 40 - settled


MEASURES = ("held", "deck")


@cache
def compared(measure: str) -> tuple[CardTable, Strength]:
    simulation = simulate(World(drafts=300), seed=2)
    table = card_table(simulation, measure, ("archetype", "skill_band"), unheld=True)
    return table, strength(table, Settings(measure=measure))


def doubled(table: CardTable) -> CardTable:
    counts = ("games", "wins", "unheld_games", "unheld_wins")
    return replace(table, **{name: 2 * getattr(table, name) for name in counts})


@pytest.mark.parametrize("measure", MEASURES)
def test_at_first_both_looks_are_as_sharp_as_they_were_found_to_be(measure: str):
    _, fitted = compared(measure)
    by_record, estimate, variance = fitted.looks()

    records, contrast = standing(fitted, 0.0, 0.9).looks

    assert not np.isnan(estimate).any()
    assert 1 / records.after(0) == pytest.approx(by_record.scale**2)
    assert 1 / contrast.after(0) == pytest.approx(variance)


def test_a_card_that_was_never_compared_is_seen_through_its_records():
    table, _ = compared("held")
    lone = np.array([card == table.card[0] for card in table.card])
    counts = {
        name: np.where(lone, 0.0, getattr(table, name))
        for name in ("unheld_games", "unheld_wins")
    }
    alone = strength(replace(table, **counts))

    records, contrast = standing(alone, 0.0, 0.9).looks

    assert (contrast.after(0) == 0).tolist() == [True] + [False] * (len(records.lasting) - 1)
    assert np.isfinite(standing(alone, 0.0, 0.9).left(100)).all()


@pytest.mark.parametrize("measure", MEASURES)
def test_twice_the_games_sharpen_the_comparison_as_foretold(measure: str):
    table, fitted = compared(measure)
    _, _, after = strength(doubled(table), Settings(measure=measure)).looks()

    contrast = standing(fitted, 0.0, 0.9).looks[1]

    ratio = 1 / contrast.after(fitted.sample.totals.games) / after
    known = ~np.isnan(ratio)
    assert known.sum() > 200
    assert np.median(ratio[known]) == pytest.approx(1, abs=0.04)
    assert np.quantile(ratio[known], [0.05, 0.95]) == pytest.approx([1, 1], abs=0.15)


@pytest.mark.parametrize("measure", MEASURES)
def test_games_tell_of_records_what_they_have_told_so_far(measure: str):
    _, fitted = compared(measure)
    evidence, mean = fitted.sample.evidence, fitted.sample.level.sample_mean

    records = standing(fitted, 0.0, 0.9).looks[0]

    of_records = evidence.games.sum() * mean * (1 - mean) / fitted.allowance.share**2
    told = records.information * fitted.sample.totals.games.sum()
    assert told == pytest.approx(of_records, rel=0.03)


@pytest.mark.parametrize("measure", MEASURES)
def test_endless_games_wear_off_neither_what_is_company_nor_what_counts_leave_out(measure):
    _, fitted = compared(measure)
    records, contrast = standing(fitted, 0.0, 0.9).looks

    share = 1 if measure == "held" else fitted.sample.seen
    unsure = fitted.looks()[0].scale ** 2
    worn = np.minimum((fitted.allowance.share * fitted.record().scale) ** 2, unsure)
    assert 1 / contrast.after(np.inf) == pytest.approx((EXTRA_SD * share) ** 2)
    assert 1 / records.after(np.inf) == pytest.approx(unsure - worn)


def test_games_wear_off_no_more_than_is_unsure():
    _, fitted = compared("held")
    bold = fitted.allowance._replace(share=3 * fitted.allowance.share)

    records = standing(replace(fitted, allowance=bold), 0.0, 0.9).looks[0]

    assert not records.lasting.any()
    assert 1 / records.after(0) == pytest.approx(fitted.looks()[0].scale ** 2)


def test_records_alone_are_all_that_is_seen_without_unheld_games():
    fitted = strength(card_table(simulate(World(drafts=100), seed=2)))

    here = standing(fitted, 0.01, 0.8)

    assert len(here.looks) == 1
    assert (here.line, here.sure) == (0.01, 0.8)
    assert here.left(0) == pytest.approx(
        np.minimum(fitted.removable(), fitted.own().scale ** 2)
    )
    assert here.left(np.inf) == pytest.approx(0)
