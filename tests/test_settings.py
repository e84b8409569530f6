"""Every choice behind a ranking."""

from dataclasses import fields

import numpy as np
import pytest

from winrate_tools.errors import SettingError
from winrate_tools.settings import DEFAULT_MARGIN, MEANINGS, MEASURES, Settings


@pytest.mark.parametrize(
    ("choice", "message"),
    [
        ({"baseline": 0}, "baseline must be between 0 and 1, got 0"),
        ({"baseline": 1}, "baseline must be between 0 and 1, got 1"),
        ({"baseline": float("nan")}, "baseline must be between 0 and 1, got nan"),
        (
            {"baseline": "mean"},
            "baseline must be sample, player_rate or a rate between 0 and 1, got mean",
        ),
        ({"margin": -0.01}, "margin must be from 0 to below 0.5 (0.02 is 2 points), got -0.01"),
        ({"margin": 0.5}, "margin must be from 0 to below 0.5 (0.02 is 2 points), got 0.5"),
        ({"margin": "2"}, "margin must be a number or None, without quotes, got '2'"),
        ({"sure": "0,9"}, "sure must be a number, without quotes, got '0,9'"),
        (
            {"baseline": None},
            "baseline must be a number or 'sample' or 'player_rate', got None",
        ),
        (
            {"baseline": [0.5]},
            "baseline must be a number or 'sample' or 'player_rate', got [0.5]",
        ),
        ({"allowance": True}, "allowance must be a number or None, got True"),
        (
            {"design_effect": "1"},
            "design_effect must be a number or None, without quotes, got '1'",
        ),
        ({"shortlist": "9"}, "shortlist must be a whole number, without quotes, got '9'"),
        ({"shortlist": 2.0}, "shortlist must be a whole number, got 2.0"),
        ({"sure": None}, "sure must be a number, got None"),
        ({"seed": "9"}, "seed must be a whole number, without quotes, got '9'"),
        ({"seed": 2.5}, "seed must be a whole number, got 2.5"),
        ({"seed": None}, "seed must be a whole number, got None"),
        ({"seed": True}, "seed must be a whole number, got True"),
        ({"measure": 3}, "measure must be 'held' or 'opening' or 'deck', got 3"),
        ({"target": 3}, "target must be text, got 3"),
        ({"bands": ("new", "old")}, "bands must be text, got ('new', 'old')"),
        ({"sure": 0.5}, "sure must be above 0.5 and below 1, got 0.5"),
        ({"sure": 1}, "sure must be above 0.5 and below 1, got 1"),
        ({"measure": "drawn"}, "measure must be held or opening or deck, got drawn"),
        ({"target": " "}, "target must be a name, got ' '"),
        ({"bands": ""}, "bands must be names, got ''"),
        ({"allowance": 0}, "allowance must be above 0 and at most 1, got 0"),
        ({"allowance": 1.1}, "allowance must be above 0 and at most 1, got 1.1"),
        ({"design_effect": 0.9}, "design_effect must be at least 1, got 0.9"),
        ({"shortlist": 0}, "shortlist must be at least 1, got 0"),
        ({"seed": -1}, "seed must be at least 0, got -1"),
    ],
)
def test_refuses_what_makes_no_sense(choice: dict, message: str):
    with pytest.raises(SettingError) as caught:
        Settings(**choice)

    assert str(caught.value) == message


@pytest.mark.parametrize(
    "choice",
    [
        {"baseline": "player_rate"},
        {"baseline": 0.53, "margin": 0.0},
        {"allowance": 1.0, "design_effect": 1.0},
        {"shortlist": 1, "seed": 0},
        {"shortlist": np.int64(5), "seed": np.uint8(3), "sure": np.float32(0.75)},
        {"margin": None, "allowance": None, "design_effect": None},
    ],
)
def test_takes_the_ends_of_every_bound(choice: dict):
    settings = Settings(**choice)

    assert {name: getattr(settings, name) for name in choice} == choice


@pytest.mark.parametrize("measure", MEASURES)
def test_the_margin_is_the_measures_own_unless_given(measure: str):
    assert Settings(measure=measure).margin_used == DEFAULT_MARGIN[measure]
    assert Settings(measure=measure, margin=0.03).margin_used == 0.03


def test_every_setting_has_a_meaning():
    assert list(MEANINGS) == [field.name for field in fields(Settings)]
    assert all(text.endswith(".") for text in MEANINGS.values())
