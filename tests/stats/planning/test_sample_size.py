"""Sample sizes by the normal approximation."""

import numpy as np
import pytest
from scipy.special import ndtr

from winrate_tools.errors import CountError, LevelError, SettingError
from winrate_tools.stats.planning.power import games_to_tell
from winrate_tools.stats.planning.sample_size import (
    chance_by_effect,
    chance_to_tell_apart,
    effect_size,
    games_by_effect,
    games_for_range,
    games_to_tell_apart,
)

# Cohen (1988), Statistical Power Analysis, chapter 6: exercise numbers as in the manual of the
# R package pwr, whose digits these are.
COHEN_CHANCES = [
    pytest.param({"games": 60, "effect": effect_size(0.5, 0.4)}, 0.3447014091, id="6.5"),
    pytest.param(
        {"games": 80, "effect": 0.3, "others": 80, "sides": 1}, 0.5996777045, id="6.1"
    ),
    pytest.param(
        {"games": 80, "effect": 0.3, "others": 245, "sides": 1}, 0.7532924472, id="6.3"
    ),
    pytest.param({"games": 763, "effect": 0.2, "others": 826}, 0.9784700269, id="vignette"),
]
COHEN_GAMES = [
    pytest.param({"effect": 0.2, "chance": 0.95}, 324.8677344, id="6.8"),
    pytest.param({"effect": effect_size(0.75, 0.5), "sides": 1}, 22.55126268, id="coins"),
    pytest.param({"effect": effect_size(0.65, 0.5)}, 84.54397133, id="two-sided"),
    pytest.param({"effect": effect_size(0.55, 0.5), "groups": 2}, 1564.529009, id="two groups"),
]
# Games of each of two groups at 95 %, chances 80 and 90 %. Cohen's table 6.4.1 prints 392, 174,
# 63 and 25 for 80 % (from memory).
COHEN_TABLE_6_4_1 = [
    (0.2, 392.4430, 525.3710),
    (0.3, 174.4191, 233.4982),
    (0.5, 62.79088, 84.05936),
    (0.8, 24.52769, 32.83569),
]


def test_effect_size_matches_the_manual_of_pwr():
    assert effect_size(0.5, 0.4) == pytest.approx(0.2013579208, abs=1e-10)
    assert effect_size(0.75, 0.5) == pytest.approx(0.5235987756, abs=1e-10)
    assert effect_size(0.65, 0.5) == pytest.approx(0.304692654, abs=1e-9)
    assert effect_size(0.55, 0.5) == pytest.approx(0.1001674212, abs=1e-10)


@pytest.mark.parametrize(("arguments", "chance"), COHEN_CHANCES)
def test_chances_match_cohen(arguments, chance: float):
    assert chance_by_effect(**arguments) == pytest.approx(chance, abs=1e-10)


@pytest.mark.parametrize(("arguments", "games"), COHEN_GAMES)
def test_games_match_cohen(arguments, games: float):
    # pwr counts the chance of the wrong direction too, and stops at 1e-5 of the games.
    assert games_by_effect(**arguments) == pytest.approx(games, rel=2e-5)


@pytest.mark.parametrize(("effect", "at_80", "at_90"), COHEN_TABLE_6_4_1)
def test_games_match_cohens_table(effect: float, at_80: float, at_90: float):
    found = [games_by_effect(effect, groups=2, chance=chance) for chance in (0.8, 0.9)]

    assert found == pytest.approx([at_80, at_90], rel=2e-5)


# The manual page of R's power.prop.test, whose root finder stops early: the second rate is good
# to four digits.
def test_two_groups_match_the_manual_of_r():
    assert chance_to_tell_apart(50, 0.5, 0.75) == pytest.approx(0.7401659013, abs=1e-9)
    assert chance_to_tell_apart(50, 0.5, 0.8026140907) == pytest.approx(0.9, abs=5e-5)
    assert games_to_tell_apart(0.5, 0.75, chance=0.9) == pytest.approx(76.70693011, rel=1e-6)
    assert games_to_tell_apart(0.5, 0.75, chance=0.9, sure=0.99) == pytest.approx(
        109.095229, rel=1e-6
    )
    assert games_to_tell_apart(0.5, 0.501, chance=0.9, sure=0.999) == pytest.approx(
        10_451_937, rel=1e-7
    )
    assert games_to_tell_apart(0.9, 1.0) == pytest.approx(73.37, abs=0.005)


# Cochran (1977), as statsmodels' samplesize_confint_proportion works it out.
@pytest.mark.parametrize(
    ("half_width", "games"),
    [(0.05, 384.145882), (0.03, 1067.071895), (0.02, 2400.911763)],
)
def test_ranges_match_cochran(half_width: float, games: float):
    assert games_for_range(half_width) == pytest.approx(games, abs=5e-7)


def test_games_and_chances_answer_each_other():
    games = games_by_effect(0.2, chance=0.8, sides=1)
    apart = games_to_tell_apart(0.55, 0.5, chance=0.7)

    assert chance_by_effect(games, 0.2, sides=1) == pytest.approx(0.8)
    assert chance_to_tell_apart(apart, 0.55, 0.5) == pytest.approx(0.7)
    assert chance_to_tell_apart(apart, 0.5, 0.55) == pytest.approx(0.7)


def test_against_a_known_line_it_comes_near_the_exact_number():
    gaps = [0.02, 0.05, 0.1]
    normal = [games_by_effect(effect_size(0.55, 0.55 - gap), sure=0.9, sides=1) for gap in gaps]

    assert games_to_tell(gaps, 0.55) == pytest.approx(np.array(normal), rel=0.16)


def test_no_effect_is_told_as_often_as_chance_would():
    assert chance_by_effect(100, 0, sure=0.9) == pytest.approx(0.1)
    assert chance_by_effect(100, 0, sure=0.9, sides=1) == pytest.approx(0.1)


def test_a_chance_that_comes_by_itself_takes_no_games():
    assert games_by_effect(0.1, sure=0.9, chance=0.05, sides=1) == 0
    assert games_to_tell_apart(0.5, 0.6, sure=0.9, chance=0.05, sides=1) == 0


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (lambda: effect_size(1.2, 0.5), LevelError, "rates must lie from 0 to 1, got 1"),
        (lambda: chance_by_effect(0, 0.2), CountError, "games must be above 0, got 0"),
        (lambda: chance_by_effect(9, 0.2, others=0), CountError, "games must be above 0"),
        (lambda: chance_by_effect(9, 0.2, sure=1), LevelError, "must lie strictly between"),
        (lambda: chance_by_effect(9, 0.2, sides=0), SettingError, "sides must be 1 or 2"),
        (lambda: games_by_effect(0), SettingError, "effect must not be 0"),
        (lambda: games_by_effect(0.2, groups=3), SettingError, "groups 1 or 2, got"),
        (lambda: chance_to_tell_apart(0, 0.5, 0.6), CountError, "games must be above 0, got 0"),
        (lambda: chance_to_tell_apart(9, 0, 1), LevelError, "one of the rates must lie"),
        (lambda: games_to_tell_apart(0.5, 0.5), SettingError, "must differ, got"),
        (lambda: games_for_range(0), SettingError, "half width must be above 0, got 0"),
        (lambda: games_for_range(0.1, rate=2), LevelError, "rates must lie from 0 to 1, got 2"),
    ],
)
def test_refuses_what_makes_no_sense(call, error, message: str):
    with pytest.raises(error, match=message):
        call()


@pytest.mark.parametrize(
    ("ask", "error", "message"),
    [
        (lambda: games_by_effect(float("inf")), SettingError, "got inf"),
        (lambda: games_by_effect(0.2, sure=0.0), LevelError, "strictly between 0 and 1, got 0"),
        (lambda: games_by_effect(0.2, sure=-0.5), LevelError, "between 0 and 1, got -0.5"),
        (lambda: games_for_range(0.1, rate=-0.5), LevelError, "from 0 to 1, got -0.5"),
    ],
)
def test_what_lies_just_outside_is_refused_too(ask, error, message):
    with pytest.raises(error, match=message):
        ask()


def test_one_game_is_a_number_of_games():
    # sqrt(1/2) of an effect of 2 against 1.96; and one game of 0 against 1: sure to differ.
    assert chance_by_effect(1, 2, others=1, sides=1, sure=0.975) == pytest.approx(
        ndtr(2**0.5 - 1.959963984540054)
    )
    assert 0 < chance_to_tell_apart(1, 0.2, 0.9) < chance_to_tell_apart(2, 0.2, 0.9)
