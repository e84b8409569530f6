"""Settings as people write them."""

import pytest

from winrate_tools.cli.values import PARSERS, parse, written
from winrate_tools.errors import SettingError
from winrate_tools.settings import MEANINGS, Settings


@pytest.mark.parametrize(
    ("name", "raw", "value"),
    [
        ("baseline", "0.53", 0.53),
        ("baseline", "53", 0.53),
        ("baseline", "53%", 0.53),
        ("baseline", "53 %", 0.53),
        ("baseline", "52,6", 0.526),
        ("baseline", 0.53, 0.53),
        ("baseline", 53, 0.53),
        ("baseline", "sample", "sample"),
        ("baseline", "player_rate", "player_rate"),
        ("margin", "2", 0.02),
        ("margin", "1.5", 0.015),
        ("margin", "0", 0.0),
        ("margin", "0.1", 0.001),
        ("margin", "2%", 0.02),
        ("sure", "0.9", 0.9),
        ("sure", "95%", 0.95),
        ("sure", 90, 0.9),
        ("allowance", "1", 1.0),
        ("allowance", "40%", 0.4),
        ("allowance", "0,4", 0.4),
        ("allowance", "100%", 1.0),
        ("design_effect", "1.4", 1.4),
        ("measure", "deck", "deck"),
        ("target", " new:3, expert:1 ", "new:3, expert:1"),
        ("shortlist", "20", 20),
        ("seed", 7, 7),
    ],
)
def test_a_setting_is_taken_as_it_is_meant(name: str, raw: object, value: object):
    assert parse(name, raw) == value


@pytest.mark.parametrize(
    ("name", "raw", "message"),
    [
        ("margin", "0.02", "margin is in points, and 0.02 is tiny; did you mean 2?"),
        ("margin", 0.015, "margin is in points, and 0.015 is tiny; did you mean 1.5?"),
        ("margin", "50", "margin must be from 0 to below 50 points, got 50"),
        ("margin", "-1", "margin must be from 0 to below 50 points, got -1"),
        ("margin", "two", "margin must be a number, got 'two'"),
        ("baseline", "0.53%", "baseline of 0.53% is tiny; did you mean 53%?"),
        (
            "baseline",
            "smaple",
            "baseline must be sample, player_rate or a win rate such as 0.53, got 'smaple'; "
            "did you mean 'sample'?",
        ),
        (
            "measure",
            "dek",
            "measure must be held or opening or deck, got 'dek'; did you mean 'deck'?",
        ),
        ("allowance", "2", "allowance must be a number above 0 and at most 1, got '2'"),
        ("allowance", 55, "allowance must be a number above 0 and at most 1, got '55'"),
        ("allowance", "0", "allowance must be a number above 0 and at most 1, got '0'"),
        ("allowance", "101%", "allowance must be a number above 0 and at most 1, got '101%'"),
        ("allowance", "half", "allowance must be a number, got 'half'"),
        ("shortlist", "2.5", "shortlist must be a whole number, got '2.5'"),
        ("seed", "", "seed must be a whole number, got ''"),
        ("sure", "9,5", "sure must be above 0.5 and below 1, got 9,5"),
        ("sure", "40%", "sure must be above 0.5 and below 1, got 40%"),
        ("sure", "0.5", "sure must be above 0.5 and below 1, got 0.5"),
        ("sure", "1", "sure must be above 0.5 and below 1, got 1"),
        ("sure", "inf", "sure must be a finite number, got 'inf'"),
        ("sure", True, "sure must be a number or a word, got True"),
        ("sure", [0.9], "sure must be a number or a word, got [0.9]"),
    ],
)
def test_nonsense_is_refused_with_what_was_probably_meant(name, raw, message):
    with pytest.raises(SettingError) as caught:
        parse(name, raw)

    assert str(caught.value) == message


def test_every_setting_can_be_parsed_and_has_a_meaning():
    names = list(Settings.__dataclass_fields__)

    assert list(PARSERS) == names
    assert list(MEANINGS) == names


@pytest.mark.parametrize(
    "settings",
    [
        Settings(baseline=0.53, margin=0.015, sure=0.95, allowance=0.4, design_effect=1.25),
        Settings(baseline="player_rate", measure="deck", shortlist=5, seed=3, margin=0.0),
        Settings(target="new:3, expert:1"),
    ],
)
def test_what_is_written_is_read_back(settings: Settings):
    chosen = [name for name in PARSERS if getattr(settings, name) is not None]

    assert chosen
    for name in chosen:
        assert parse(name, written(name, settings)) == getattr(settings, name)


def test_a_margin_left_open_is_written_as_the_measures():
    assert written("margin", Settings(measure="deck")) == "1"
    assert written("allowance", Settings()) == "by measure and table"
