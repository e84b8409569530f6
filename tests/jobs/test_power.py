"""How many games it takes, in a notebook."""

import numpy as np
import pytest
from scipy.special import expit, logit

from winrate_tools.decide.cards.spread import spread_range
from winrate_tools.errors import SettingError
from winrate_tools.jobs.power import GAMES, GAPS, power
from winrate_tools.ranking import Ranking, rank
from winrate_tools.report.support.power_table import power_report
from winrate_tools.settings import Settings
from winrate_tools.stats.planning.power import chance_to_tell, games_to_tell, smallest_gap
from winrate_tools.tables import CardTable


def test_every_number_is_that_of_the_statistics():
    settings = Settings(baseline=0.6, margin=0.01, sure=0.8)
    found = power(settings, design_effect=2).found
    asked = {"sure": 0.8, "design_effect": 2}

    assert found.line == pytest.approx(0.59)
    assert (found.gaps, found.games) == (GAPS, GAMES)
    assert list(found.needed) == games_to_tell(GAPS, found.line, chance=0.8, **asked).tolist()
    assert list(found.smallest) == smallest_gap(GAMES, found.line, chance=0.8, **asked).tolist()
    for gap, told in zip(GAPS, found.told, strict=True):
        assert list(told) == chance_to_tell(GAMES, gap, found.line, **asked).tolist()


@pytest.mark.parametrize("baseline", ["sample", "player_rate"])
def test_without_a_rate_the_baseline_is_a_usual_one(baseline: str):
    found = power(baseline=baseline).found

    assert (found.baseline, found.margin, found.is_given) == (0.55, 0.02, False)
    assert found.design_effect == 1.28
    assert power(baseline=0.5).found.is_given


def test_rows_are_every_gap_with_every_number_of_games():
    needed = power(baseline=0.5, gaps=[0.02, 0.04], games=[2, 500])
    rows = [(row["gap"], row["games"]) for row in needed.rows]

    assert rows == [(0.02, 2), (0.02, 500), (0.04, 2), (0.04, 500)]
    assert needed.rows[0]["smallest_gap"] is None
    assert needed.rows[3]["games_needed"] == needed.found.needed[1]
    assert needed.rows[2]["chance"] == needed.found.told[1][0]
    assert needed.document == power_report(needed.found)


@pytest.mark.parametrize("gap", [0.48, 0.6, 0, -0.01, float("nan")])
def test_a_gap_needs_room_below_the_line(gap: float):
    with pytest.raises(SettingError, match=r"gaps must lie between 0 and the line of 48%, got"):
        power(baseline=0.5, gaps=[0.01, gap])


def test_a_margin_needs_room_below_the_baseline():
    with pytest.raises(SettingError, match="must leave a line above 0, got -1%"):
        power(baseline=0.1, margin=0.11)


@pytest.fixture(scope="module")
def spread_out() -> Ranking:
    games = [0, 100, 200, 300, 400, 500, 600, 700, 800, 900]
    wins = [0, 40, 90, 130, 200, 250, 330, 390, 410, 440]
    cards = CardTable([f"Moth {n}" for n in range(10)], games, wins)
    return rank(cards, margin=0.01, design_effect=1.5)


def test_a_ranking_gives_its_line_its_runs_and_the_games_of_its_cards(spread_out: Ranking):
    found = power(ranking=spread_out).found
    verdict = spread_out.verdict

    assert (found.baseline, found.is_given) == (verdict.baseline, False)
    assert (found.line, found.design_effect) == (pytest.approx(verdict.line), 1.5)
    assert found.games == found.pool.quarters == (300, 500, 700)
    assert found.pool.name == spread_out.source.name
    assert (found.pool.cards, found.pool.spread) == (10, verdict.spread)
    assert found.pool.baseline_origin == "sample"


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({"gaps": []}, "gaps must hold at least one distance below the line, got none"),
        ({"games": [100, 0]}, "games must be whole numbers from 1, got 0"),
    ],
)
def test_a_question_about_nothing_is_refused(asked, message: str):
    with pytest.raises(SettingError, match=message):
        power(**asked)


def test_no_games_named_are_the_usual_ones(spread_out: Ranking):
    assert power(ranking=spread_out, games=[]).found.games == GAMES


def test_the_range_of_the_spread_holds_8_in_10_however_sure_a_verdict_has_to_be():
    cards = CardTable([f"Moth {n}" for n in range(30)], [500] * 30, range(220, 280, 2))
    strict = rank(cards, sure=0.99)

    found = power(ranking=strict).found.pool

    assert found.spread_range == spread_range(strict.verdict, 0.9)[:2]
    assert found.spread_range[0] < found.spread < found.spread_range[1]


def test_what_is_chosen_goes_before_what_a_ranking_holds(spread_out: Ranking):
    found = power(ranking=spread_out, baseline=0.52, games=[50], design_effect=2).found
    other = power(Settings(margin=0.03), ranking=spread_out).found

    assert (found.baseline, found.is_given, found.design_effect) == (0.52, True, 2)
    assert (found.games, found.pool.quarters) == ((50,), ())
    assert (found.margin, other.margin, other.design_effect) == (0.01, 0.03, 1.5)


def test_cards_so_far_below_are_counted_in_what_is_believed_of_them(spread_out: Ranking):
    found = power(ranking=spread_out, gaps=[0.01, 0.04]).found
    beliefs = spread_out.verdict.beliefs
    rates = expit(logit(beliefs.mean) + beliefs.draws)

    for gap, (mean, low, high) in zip(found.gaps, found.pool.below, strict=True):
        counts = (rates < found.line - gap).sum(axis=1)
        assert mean == pytest.approx(beliefs.chance_below(found.line - gap).sum())
        assert mean == pytest.approx(counts.mean(), abs=0.15)
        assert np.mean(counts < low) <= 0.1 <= np.mean(counts <= low)
        assert np.mean(counts > high) <= 0.1 <= np.mean(counts >= high)
    assert found.pool.below[0][0] > found.pool.below[1][0]


def test_rows_of_a_ranking_say_how_many_cards_each_gap_is_about(spread_out: Ranking):
    needed = power(ranking=spread_out, gaps=[0.01, 0.04], games=[10, 20])

    assert needed.columns[-3:] == ("cards_below", "cards_below_low", "cards_below_high")
    assert [row["cards_below"] for row in needed.rows][::2] == [
        below[0] for below in needed.found.pool.below
    ]
    assert needed.to_frame().shape == (4, 8)


def test_numbers_of_games_that_agree_are_asked_about_once():
    table = CardTable(["Ash Vine", "Tin Moth", "Elm Bell"], [0, 900, 900], [0, 400, 500])
    found = power(ranking=rank(table)).found

    assert found.games == (900,)
    assert found.pool.quarters == (900, 900, 900)


@pytest.mark.parametrize(("cards", "is_borrowed"), [(29, True), (30, False)])
def test_the_spread_of_a_small_pool_is_known_to_be_that_of_others(cards, is_borrowed):
    names = [f"Moth {n}" for n in range(cards)]
    wins = [1800 + 10 * n for n in range(cards)]

    found = power(ranking=rank(CardTable(names, [4000] * cards, wins))).found

    assert found.pool.is_borrowed is is_borrowed
