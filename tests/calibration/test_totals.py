"""Card totals with usage, in simulated drafts whose truth is known.

The bars: the 20 cards called weakest lose at most 0.90 of what raw rates lose, and less than
plain shrinkage loses; 90 % intervals cover 87 to 93 %; of the cuts, no more are wrong than
stated and three points. The worlds differ in how much players, archetypes and decks confound
the records (`winrate_tools.simulate.random_world`).
"""

import pytest

from tests.calibration.scoring import Score, as_line, mean_score, score_world

SIZES = (25_000, 80_000, 250_000)
SEEDS = range(100, 120)
FEW_SEEDS = range(200, 205)
ROOM_FOR_LUCK = 0.03


def check_bars(mean: Score, *, more: float = 0.0) -> None:
    assert mean.regret <= (0.90 + more) * mean.raw_regret
    assert mean.regret < mean.plain_regret
    assert 0.87 - more <= mean.cover <= 0.93 + more
    assert mean.wrong <= mean.stated_wrong + (0.03 + more) * mean.cuts


def test_a_few_worlds_meet_the_bars():
    mean = mean_score(
        score_world(seed, games, "held") for games in (25_000, 80_000) for seed in FEW_SEEDS
    )

    assert mean.cuts > 1
    check_bars(mean, more=ROOM_FOR_LUCK)


@pytest.mark.slow
@pytest.mark.parametrize("measure", ["held", "opening", "deck"])
def test_twenty_worlds_of_each_size_meet_the_bars(measure, capsys: pytest.CaptureFixture[str]):
    scores = [score_world(seed, games, measure) for games in SIZES for seed in SEEDS]
    lines = [
        as_line(f"{games:,}", mean_score(s for s in scores if s.games == games))
        for games in SIZES
    ]
    mean = mean_score(scores)
    with capsys.disabled():
        print("", f"measure: {measure}", *lines, as_line("all", mean), sep="\n")

    check_bars(mean)
