"""Whose games an estimate is for."""

import numpy as np
import pytest
from scipy.special import expit, logit

from winrate_tools.errors import SettingError
from winrate_tools.settings import Settings
from winrate_tools.stats.cards.target import Target, target
from winrate_tools.stats.crossed.sample import sample
from winrate_tools.tables import CardTable


def table(*bands: str) -> CardTable:
    """Two cards; the first band wins 45 %, the second 60 %, a third 50 %."""
    rates = np.array([450, 600, 500])[: len(bands)]
    cards, wins = np.repeat(["a", "b"], len(bands)), np.tile(rates, 2)
    return CardTable(cards.tolist(), [1000] * len(cards), wins, skill_band=bands * 2)


TABLE = table("new", "expert")


def of(wanted: str, cards: CardTable = TABLE, **choices) -> Target:
    settings = Settings(target=wanted, **choices)
    return target(sample(cards, settings), settings)


def test_by_default_the_players_are_the_samples():
    found = of("sample")

    assert found.name == "sample"
    assert found.level == 0
    assert found.mean == found.baseline == pytest.approx(0.525)


def test_a_baseline_given_draws_the_line_and_leaves_the_players():
    assert of("sample", baseline=0.55)[1:] == pytest.approx((0, 0.525, 0.55))
    assert of("even", baseline=0.55)[2:] == pytest.approx((0.5, 0.55))
    assert of("even", baseline=np.float32(0.55)).baseline == pytest.approx(0.55)


@pytest.mark.parametrize("cards", [TABLE, CardTable(["a"], [1000], [525])])
def test_an_even_table_wins_half_its_games_with_bands_or_without(cards: CardTable):
    found = of("even", cards)

    assert (found.mean, found.baseline) == (0.5, 0.5)
    assert found.level == pytest.approx(-logit(0.525))


@pytest.mark.parametrize(("band", "rate"), [("new", 0.45), ("expert", 0.6)])
def test_a_band_wins_what_its_games_say(band: str, rate: float):
    found = of(band)

    assert found.mean == pytest.approx(rate, abs=1e-4)
    assert found.baseline == found.mean
    assert found.level == pytest.approx(logit(rate) - logit(0.525), abs=1e-3)
    assert found.name == band


@pytest.mark.parametrize(
    ("mix", "rate"),
    [
        ("new:3, expert:1", (3 * 0.45 + 0.6) / 4),
        ("new:30,expert:10", (3 * 0.45 + 0.6) / 4),
        (" new , expert ", 0.525),
        ("new:0.5,expert", (0.5 * 0.45 + 0.6) / 1.5),
        ("expert:7", 0.6),
    ],
)
def test_a_mix_averages_win_rates_by_its_shares(mix: str, rate: float):
    found = of(mix)

    assert found.mean == pytest.approx(rate, abs=1e-4)
    assert expit(logit(0.525) + found.level) == pytest.approx(found.mean)


@pytest.mark.parametrize(
    ("bands", "wanted", "rate"),
    [
        (("new, shy", "old"), "new, shy", 0.45),
        (("1200:1600", "1600:2000"), "1600:2000", 0.6),
        (("1200:1600", "1600:2000"), "1200:1600:3,1600:2000", (3 * 0.45 + 0.6) / 4),
    ],
)
def test_bands_may_be_called_what_they_like(bands, wanted: str, rate: float):
    assert of(wanted, table(*bands)).mean == pytest.approx(rate, abs=1e-4)


@pytest.mark.parametrize(
    ("wanted", "message"),
    [
        (
            "old",
            "target must be sample, even or skill bands of the table (new, expert), got 'old'",
        ),
        (
            "new, old:2",
            "target must be sample, even or skill bands of the table (new, expert), got 'old'",
        ),
        ("new:0", "the share of 'new' in the target must be above 0, got '0'"),
        ("new:-1,expert", "the share of 'new' in the target must be above 0, got '-1'"),
        ("new:nan", "the share of 'new' in the target must be above 0, got 'nan'"),
        ("new:inf", "the share of 'new' in the target must be above 0, got 'inf'"),
        ("new:many", "the share of 'new' in the target must be above 0, got 'many'"),
    ],
)
def test_unknown_players_are_refused(wanted: str, message: str):
    with pytest.raises(SettingError) as caught:
        of(wanted)

    assert str(caught.value) == message


def test_without_bands_nobody_can_be_asked_for():
    with pytest.raises(SettingError, match=r"bands of the table \(none\), got 'new'"):
        of("new", CardTable(["a"], [10], [5]))
