"""Verdicts in simulated drafts whose truth is known, at every level of detail.

The bars: the 20 cards called weakest lose at most a share of what raw rates lose (0.90 from
totals, 0.70 by archetype, 0.55 by archetype and skill band with unheld games), and less than
plain shrinkage loses; 90 % ranges hold the truth of 87 to 93 % of cards; of the cuts, no more
are wrong than stated and three points. The worlds differ in how much players, archetypes and
decks confound the records, see `winrate_tools.simulate.random_world`.
"""

from datetime import date

import pytest

from tests.calibration.scoring import Detail, Score, as_line, mean_score, score_world
from winrate_tools import __version__

SIZES = (25_000, 80_000, 250_000)
SEEDS = range(100, 120)
FEW_SEEDS = range(200, 203)
BOTH = ("archetype", "skill_band")
BARS = [
    (Detail("held"), 0.90),
    (Detail("opening"), 0.90),
    (Detail("deck"), 0.90),
    (Detail("held", ("archetype",)), 0.70),
    (Detail("held", BOTH), 0.70),
    (Detail("held", BOTH, unheld=True), 0.55),
]
HEAD = (
    "| games | raw | plain | ours | of raw | cover % | of cuts % | cuts | stated % | wrong % "
    "| keeps | wrong % |"
)


def check_bars(mean: Score, bar: float, *, more: float = 0.0) -> None:
    assert mean.regret <= (bar + more) * mean.raw_regret
    assert mean.regret < mean.plain_regret
    assert 0.87 - more <= mean.cover <= 0.93 + more
    assert mean.wrong <= mean.stated_wrong + (0.03 + more) * mean.cuts


@pytest.mark.parametrize(("detail", "bar"), [BARS[0], BARS[-1]], ids=["totals", "finest"])
def test_a_few_worlds_meet_the_bars(detail: Detail, bar: float):
    mean = mean_score(score_world(seed, games, detail) for games in SIZES for seed in FEW_SEEDS)

    assert mean.cuts > 1
    check_bars(mean, bar, more=0.05)


@pytest.mark.slow
@pytest.mark.parametrize(("detail", "bar"), BARS, ids=str)
def test_twenty_worlds_of_each_size_meet_the_bars(
    detail: Detail, bar: float, capsys: pytest.CaptureFixture[str]
):
    scores = [score_world(seed, games, detail) for games in SIZES for seed in SEEDS]
    lines = [
        as_line(f"{games:,}", mean_score(s for s in scores if s.games == games))
        for games in SIZES
    ]
    mean = mean_score(scores)
    with capsys.disabled():
        print(
            "",
            f"{detail}, version {__version__}, {date.today()}",
            HEAD,
            *lines,
            as_line("all", mean),
            sep="\n",
        )

    check_bars(mean, bar)
