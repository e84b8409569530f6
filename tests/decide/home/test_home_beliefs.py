"""What is believed of a table's players and archetypes."""

import numpy as np
import pytest
from scipy.special import expit, logit

from tests.decide.home_tables import (
    ARCHETYPES,
    POOL,
    WITHOUT_ARCHETYPES,
    home,
    match,
    nights,
)
from winrate_tools.decide.home.home_beliefs import CHANGED, DOUBT, UNHEARD, player_strengths
from winrate_tools.decide.home.home_counts import Change


def verdict(name):
    return next(one for one in POOL.archetypes.archetypes if one.archetype == name)


def test_strangers_estimates_become_distances_from_the_mean():
    outside = home(nights(1, 1, 1)).outside

    assert outside.holds.all()
    for place, name in enumerate(ARCHETYPES):
        one = verdict(name)
        assert outside.mean[place] == pytest.approx(
            logit(one.estimate) - logit(POOL.archetypes.mean)
        )
        low = expit(logit(one.estimate) - 1.2816 * outside.sd[place])
        assert low == pytest.approx(one.low, abs=2e-4)


def test_a_change_may_have_done_anything_unless_it_was_forecast():
    unknown = home(nights(1, 1, 1), [Change("Kites")]).outside

    forecast = home(nights(1, 1, 1), [Change("Kites", None, 0.5, 0.47, 0.53)]).outside

    assert (unknown.mean[4], unknown.sd[4]) == (0.0, CHANGED)
    assert not unknown.holds[4]
    assert forecast.mean[0] + 0.75 * forecast.mean[4] == pytest.approx(0.0, abs=2e-3)
    own = (logit(0.53) - logit(0.47)) / 2 / 1.2816
    assert forecast.sd[4] == pytest.approx(np.hypot(own, DOUBT), abs=1e-4)


def test_a_forecast_without_a_range_is_doubted_like_any():
    outside = home(nights(1, 1, 1), [Change("Kites", None, 0.48)]).outside

    assert outside.sd[4] == pytest.approx(DOUBT)


def test_forecasts_hold_against_the_mean_that_all_changes_make():
    changes = [Change("Kites", None, 0.5), Change("Drums", None, 0.53), Change("Moths")]

    found = home(nights(1, 1, 1), changes)

    start = found.before.of(found.relative).centre
    assert expit(start) == pytest.approx([0.5, 0.5, 0.47, 0.53], abs=0.016)
    assert expit(start[[0, 3]]) == pytest.approx([0.5, 0.53], abs=2e-3)


def test_a_table_that_changed_everything_still_has_a_start():
    changes = [Change(name, None, 0.52) for name in ARCHETYPES]

    assert np.isfinite(home(nights(1, 1, 1), changes).outside.mean).all()


def test_of_a_new_archetype_nobody_knows_anything():
    new = home([match("Ada", "Bo", 1, 1, "Gongs", "Kites")], [Change("Gongs")])

    assert (new.outside.mean[4], new.outside.sd[4]) == (0.0, UNHEARD)
    assert not new.outside.holds[4]
    assert new.share == pytest.approx([0.2] * 5)


def test_without_strangers_archetypes_start_from_the_mean():
    alone = home(nights(1, 1, 1), pool=WITHOUT_ARCHETYPES)

    assert alone.outside.sd.tolist() == [UNHEARD] * 3
    assert alone.share == pytest.approx([1 / 3] * 3)


def test_lines_lie_a_margin_from_an_even_share():
    lines = home(nights(1, 1, 1)).lines

    assert expit([lines.low, lines.high]) == pytest.approx([0.48, 0.52])
    assert (lines.sure, lines.balanced) == (0.9, 0.8)


def test_archetypes_are_held_against_the_mean_of_all_as_they_are_now():
    relative = home(nights(1, 1, 1), [Change("Kites")]).relative

    share = np.full(4, 0.25)
    assert relative[0, 4:] == pytest.approx([*(np.eye(4)[0] - share), 0.75])
    assert relative[1, 4:] == pytest.approx([*(np.eye(4)[1] - share), -0.25])
    assert (relative[:, :4] == 0).all()


def test_games_alone_know_nothing_of_strangers():
    played = home(nights(9, 1, 9))

    kites = played.alone.centre[0]
    assert kites > played.now.of(played.relative).centre[0] > 0.5


def test_games_alone_know_nothing_of_what_was_not_played():
    alone = home(nights(9, 1, 9)).alone

    assert alone.centre[3] == pytest.approx(0.045, abs=0.05)
    assert alone.scale[3] == pytest.approx(0.75, abs=0.05)


def test_games_alone_are_against_opponents_that_strangers_know_only_so_well():
    assert home(nights(900, 900, 9)).alone.scale[0] > 0.025


def test_many_games_leave_little_doubt_of_a_player():
    matches = [match("Ada", "Bo", 4000, 3000), match("Bo", "Ada", 3000, 4000)]

    best, _ = player_strengths(home(matches))

    assert best.high - best.low < 0.02


def test_a_night_is_as_long_as_those_so_far():
    assert home(nights(2, 1, 4)).games_a_night == 6.0


def test_players_are_held_against_the_tables_average_the_strongest_first():
    matches = [
        match("Ada", "Bo", 30, 10),
        match("Cy", "Bo", 20, 20),
        match("Ada", "Cy", 25, 15),
    ]

    found = player_strengths(home(matches))

    assert [one.player for one in found] == ["Ada", "Cy", "Bo"]
    assert [(one.games, one.wins) for one in found] == [(80, 55), (80, 35), (80, 30)]
    assert found[0].low < found[0].estimate < found[0].high
    assert sum(logit([one.estimate for one in found])) == pytest.approx(0, abs=1e-9)
    assert 0.52 < found[0].estimate < 0.62
