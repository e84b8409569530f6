"""Plans and forecasts in simulated drafts whose truth is known.

Sixteen cards are swapped for candidates of their kind, whose records elsewhere hold luck and
company, and the changed world is drafted and played anew. The bars: the forecast of archetypes'
changes errs by less than "no change" and less than a forecast from raw rates, by at most seven
tenths of either; 8 in 10 ranges hold at least as much of the truth (they allow for tables less
orderly than simulated ones); and the plan made from estimates leaves less below the line, in
truth, than the same plan made from raw rates.
"""

import pytest

from tests.calibration.swapping import (
    ForecastScore,
    PlanScore,
    mean_score,
    score_forecast,
    score_plan,
    setting,
)
from winrate_tools.goals import Goals

SIZES = (25_000, 80_000, 250_000)
SEEDS = range(100, 120)
FEW_SEEDS = range(200, 204)
FEWEST_SEEDS = range(200, 202)
GOALS = Goals(price_cost=0.0)
FLOOR_ONLY = Goals(price_cost=0.0, lift=0.0, restrain=0.0, surplus=0.0)


def check_forecasts(mean: ForecastScore, *, part: float = 0.7) -> None:
    assert mean.ours < part * mean.no_change
    assert mean.ours < part * mean.raw
    assert mean.covered >= 0.8


def check_plans(mean: PlanScore, *, gain: float) -> None:
    assert mean.ours < mean.raw - gain
    assert mean.ours < 0.8 * mean.before
    assert mean.from_truth <= mean.ours


def test_forecasts_of_a_few_worlds_meet_the_bars():
    worlds = [(setting(seed, 25_000, GOALS), seed) for seed in FEWEST_SEEDS]

    scores = [score_forecast(where, seed, drafts=1000) for where, seed in worlds]

    check_forecasts(mean_score(scores), part=0.85)


def test_plans_in_a_few_worlds_meet_the_bars():
    scores = [score_plan(setting(seed, 80_000, FLOOR_ONLY)) for seed in FEW_SEEDS]

    check_plans(mean_score(scores), gain=2.0)


@pytest.mark.slow
@pytest.mark.parametrize("games", SIZES)
def test_twenty_worlds_of_each_size_meet_the_bars(
    games: int, capsys: pytest.CaptureFixture[str]
):
    worlds = [(setting(seed, games, GOALS), seed) for seed in SEEDS]
    forecasts = mean_score([score_forecast(where, seed, 4000) for where, seed in worlds])
    plans = mean_score([score_plan(where) for where, _ in worlds])
    floors = mean_score([score_plan(setting(seed, games, FLOOR_ONLY)) for seed in SEEDS])
    with capsys.disabled():
        print(f"\n{games:,}: {forecasts}\nall aims: {plans}\nthe floor alone: {floors}")

    check_forecasts(forecasts)
    check_plans(plans, gain=2.0)
    check_plans(floors, gain=4.0)
