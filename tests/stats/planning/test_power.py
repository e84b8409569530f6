"""How many games tell a weak card from a fine one."""

import numpy as np
import pytest
from scipy.special import bdtr, bdtrc

from winrate_tools.errors import CountError, LevelError, SettingError
from winrate_tools.stats.planning.power import chance_to_tell, games_to_tell, smallest_gap

# Games against a baseline of 55 % for a chance of 4 in 5 to be 9 in 10 sure, by the normal
# approximation (1.2816 + 0.8416)² 0.2475 / gap²: a textbook form, worked out by hand.
RULE_OF_THUMB = [(0.01, 11_157), (0.02, 2_789), (0.03, 1_240), (0.05, 446)]
LINES = [0.05, 0.3, 0.5, 0.55, 0.9]


def one_by_one(games: int, line: float, rate: float, tail: float, sides: int) -> float:
    """Add up the results that so few (or so many) wins call for, one number of wins a time."""
    found = 0.0
    for wins in range(games + 1):
        chance = bdtr(wins, games, rate) - (bdtr(wins - 1, games, rate) if wins else 0.0)
        is_low = bdtr(wins, games, line) <= tail
        is_high = wins > 0 and bdtrc(wins - 1, games, line) <= tail
        found += chance * (is_low or (sides == 2 and is_high))
    return float(found)


@pytest.mark.parametrize("sides", [1, 2])
@pytest.mark.parametrize("games", [1, 7, 40, 163])
@pytest.mark.parametrize("line", LINES)
def test_the_chance_is_that_of_the_results_added_up(line: float, games: int, sides: int):
    found = chance_to_tell(games, 0.04, line, sure=0.9, sides=sides)

    assert found == pytest.approx(
        one_by_one(games, line, line - 0.04, 0.1 / sides, sides), abs=1e-12
    )


@pytest.mark.parametrize("sure", [0.99, 0.999])
def test_the_chance_is_right_where_wins_are_few_and_sure_is_very_sure(sure: float):
    found = chance_to_tell(350, 0.015, 0.02, sure=sure)

    assert found == pytest.approx(one_by_one(350, 0.02, 0.005, 1 - sure, 1), abs=1e-12)
    assert found > 0


@pytest.mark.parametrize("sides", [1, 2])
@pytest.mark.parametrize("line", LINES)
def test_a_card_on_the_line_is_called_weak_no_more_often_than_was_asked(line, sides):
    found = chance_to_tell(np.arange(1, 3000), 0.0, line, sure=0.9, sides=sides)

    assert found.max() <= 0.1
    assert found[-1] > 0.09


@pytest.mark.parametrize("sides", [1, 2])
@pytest.mark.parametrize("chance", [0.3, 0.8, 0.95])
@pytest.mark.parametrize(("gap", "line"), [(0.3, 0.55), (0.08, 0.5), (0.03, 0.05), (0.06, 0.9)])
def test_the_games_are_the_first_from_which_on_any_number_does(gap, line, chance, sides):
    found = int(games_to_tell(gap, line, chance=chance, sides=sides))

    games = np.arange(3 * found + 300)
    enough = chance_to_tell(games, gap, line, sides=sides) >= chance
    assert enough[found:].all()
    assert not enough[found - 1]


@pytest.mark.parametrize(("gap", "games"), RULE_OF_THUMB)
def test_the_rule_of_thumb_falls_short_by_less_than_a_tenth(gap: float, games: int):
    assert games <= games_to_tell(gap, 0.55) <= 1.1 * games


def test_a_tiny_gap_takes_over_a_million_games():
    assert 1_115_000 < games_to_tell(0.001, 0.55) < 1_121_000


def test_many_gaps_at_once_are_what_each_is_alone():
    together = games_to_tell([[0.02, 0.05], [0.1, 0.2]], 0.5)

    assert together.tolist() == [
        [int(games_to_tell(0.02, 0.5)), int(games_to_tell(0.05, 0.5))],
        [int(games_to_tell(0.1, 0.5)), int(games_to_tell(0.2, 0.5))],
    ]


@pytest.mark.parametrize("games", [10, 100, 1000, 30_000])
@pytest.mark.parametrize("line", LINES)
def test_the_smallest_gap_is_told_with_just_the_chance(line: float, games: int):
    gap = smallest_gap(games, line, chance=0.8)

    if np.isnan(gap):
        assert (1 - line) ** games > 0.1
    else:
        assert chance_to_tell(games, gap, line) == pytest.approx(0.8)


def test_more_games_show_smaller_gaps():
    gaps = smallest_gap([30, 100, 300, 1000, 3000], 0.55)

    assert (np.diff(gaps) < 0).all()
    assert (smallest_gap(1000, 0.55, sides=2) > smallest_gap(1000, 0.55)).all()


def test_too_few_games_show_nothing():
    assert np.isnan(smallest_gap([0, 1, 2], 0.55)).all()
    assert chance_to_tell([0, 1, 2], 0.3, 0.55).tolist() == [0, 0, 0]


def test_games_that_resemble_each_other_count_for_less():
    assert chance_to_tell(128, 0.05, 0.5, design_effect=1.28) == chance_to_tell(100, 0.05, 0.5)
    assert chance_to_tell(127, 0.05, 0.5, design_effect=1.28) == chance_to_tell(99, 0.05, 0.5)
    assert smallest_gap(128, 0.5, design_effect=1.28) == smallest_gap(100, 0.5)
    assert games_to_tell(0.05, 0.5, design_effect=2) == 2 * games_to_tell(0.05, 0.5)


def test_the_games_found_are_enough_whatever_the_design_effect():
    for effect in (1.0, 1.28, 1.7, 3.0):
        games = games_to_tell([0.03, 0.07], 0.55, design_effect=effect)
        chance = chance_to_tell(games, [0.03, 0.07], 0.55, design_effect=effect)
        assert (chance >= 0.8).all()


def test_being_surer_takes_more_games():
    sure = [int(games_to_tell(0.05, 0.55, sure=level)) for level in (0.8, 0.9, 0.95)]
    chance = [int(games_to_tell(0.05, 0.55, chance=level)) for level in (0.5, 0.8, 0.9)]

    assert sure == sorted(set(sure))
    assert chance == sorted(set(chance))


@pytest.mark.parametrize(
    ("arguments", "error", "message"),
    [
        ({"games": -1}, CountError, "games must be a finite number from 0, got -1"),
        ({"games": float("inf")}, CountError, "games must be a finite number from 0, got inf"),
        (
            {"gap": 0.5},
            SettingError,
            r"gap must lie from 0 to below the line \(0\.5\), got 0\.5",
        ),
        ({"gap": -0.1}, SettingError, "gap must lie from 0 to below the line"),
        ({"line": 0}, LevelError, "line must lie strictly between 0 and 1, got 0"),
        ({"sure": 1}, LevelError, "sure must lie strictly between 0 and 1, got 1"),
        ({"sides": 3}, SettingError, "sides must be 1 or 2, got 3"),
        ({"design_effect": np.inf}, SettingError, "design effect must be at least 1, got inf"),
        ({"design_effect": 0.9}, SettingError, r"design effect must be at least 1, got 0\.9"),
    ],
)
def test_refuses_what_makes_no_sense(arguments, error, message: str):
    with pytest.raises(error, match=message):
        chance_to_tell(**{"games": 10, "gap": 0.1, "line": 0.5, **arguments})


def test_refuses_to_look_for_no_gap():
    with pytest.raises(SettingError, match="gap must be above 0, got 0"):
        games_to_tell([0.1, 0.0], 0.5)


@pytest.mark.parametrize("function", [games_to_tell, smallest_gap])
def test_refuses_certainty(function):
    with pytest.raises(LevelError, match="chance must lie strictly between 0 and 1, got 1"):
        function(0.1, 0.5, chance=1)


@pytest.mark.parametrize("gap", [2e-5, 1e-9, 1e-300])
@pytest.mark.parametrize("chance", [0.05, 0.8])
def test_refuses_a_gap_that_no_games_can_show(gap: float, chance: float):
    with pytest.raises(SettingError, match=f"a gap of {gap:g} takes more games than can be"):
        games_to_tell([0.1, gap], 0.5, chance=chance)


def test_a_gap_just_large_enough_takes_the_games_of_the_normal_approximation():
    needed = int(games_to_tell(4e-5, 0.5))

    assert needed == pytest.approx((1.2816 + 0.8416) ** 2 * 0.25 / 4e-5**2, rel=1e-4)


@pytest.mark.parametrize("games", [2.2e9, 1e15, 1e300])
def test_games_beyond_count_show_no_less_than_two_thousand_million(games: float):
    assert chance_to_tell(games, 0.001, 0.5) == pytest.approx(1)
    assert chance_to_tell(games, 0.0, 0.5) == pytest.approx(0.1, abs=1e-4)
    assert smallest_gap(games, 0.5) == smallest_gap(2**31 - 1, 0.5)
    assert 0 < smallest_gap(games, 0.5) < 3e-5
    assert chance_to_tell(games, 0.001, 0.5, design_effect=games) < 0.2
