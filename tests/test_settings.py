"""Every choice behind a ranking."""

from dataclasses import fields

import pytest

from winrate_tools.errors import SettingError
from winrate_tools.settings import DEFAULT_MARGIN, MEANINGS, MEASURES, Settings

NAN = float("nan")


def test_the_defaults_make_sense_together():
    settings = Settings()

    assert settings.baseline == "sample"
    assert settings.sure == 0.9
    assert settings.margin_used == 0.02


@pytest.mark.parametrize(
    ("measure", "margin"), [("held", 0.02), ("opening", 0.02), ("deck", 0.01)]
)
def test_each_measure_has_its_own_margin(measure: str, margin: float):
    assert Settings(measure=measure).margin_used == margin


def test_no_measure_goes_without_a_margin():
    assert set(DEFAULT_MARGIN) == set(MEASURES)


def test_a_margin_given_wins_even_if_it_is_none_at_all():
    assert Settings(margin=0).margin_used == 0
    assert Settings(measure="deck", margin=0.03).margin_used == 0.03


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("baseline", 0.001),
        ("baseline", 0.999),
        ("baseline", "player_rate"),
        ("margin", 0),
        ("margin", 0.499),
        ("sure", 0.501),
        ("sure", 0.999),
        ("measure", "opening"),
        ("allowance", 0.001),
        ("allowance", 1),
        ("design_effect", 1),
        ("shortlist", 1),
        ("seed", 0),
    ],
)
def test_takes_whatever_lies_within_its_bounds(name: str, value: object):
    assert getattr(Settings(**{name: value}), name) == value


@pytest.mark.parametrize(
    ("name", "value", "wanted"),
    [
        ("baseline", 0, "between 0 and 1"),
        ("baseline", 1, "between 0 and 1"),
        ("baseline", 55, "between 0 and 1"),
        ("baseline", NAN, "between 0 and 1"),
        ("baseline", "mean", "sample, player_rate or a rate between 0 and 1"),
        ("margin", -0.01, "from 0 to below 0.5"),
        ("margin", 0.5, "from 0 to below 0.5"),
        ("margin", NAN, "from 0 to below 0.5"),
        ("sure", 0.5, "above 0.5 and below 1"),
        ("sure", 1, "above 0.5 and below 1"),
        ("measure", "drawn", "held or opening or deck"),
        ("allowance", 0, "above 0 and at most 1"),
        ("allowance", 1.01, "above 0 and at most 1"),
        ("design_effect", 0.99, "at least 1"),
        ("design_effect", NAN, "at least 1"),
        ("shortlist", 0, "at least 1"),
        ("seed", -1, "at least 0"),
    ],
)
def test_refuses_what_makes_no_sense(name: str, value: object, wanted: str):
    with pytest.raises(SettingError) as caught:
        Settings(**{name: value})

    assert str(caught.value) == f"{name} must be {wanted}, got {value}"


def test_every_setting_has_a_meaning():
    assert set(MEANINGS) == {field.name for field in fields(Settings)}
    assert [text for text in MEANINGS.values() if not text.endswith(".")] == []


def test_settings_cannot_be_changed():
    with pytest.raises(AttributeError):
        Settings().sure = 0.5
