"""What archetypes and skill bands lead one to expect."""

import numpy as np
import pytest
from scipy.special import expit, logit

from winrate_tools.settings import Settings
from winrate_tools.stats.crossed.expectation import expectation
from winrate_tools.stats.crossed.rows import Rows, expected_rate, rows_of
from winrate_tools.tables import CardTable

BANDS = {"new": -0.4, "old": 0.4}
HOMES = {"Kites": 0.3, "Moths": 0.0, "Bells": -0.3}


def pool(cards: int, *, lift: float = 0.0, unlabelled: int = 0) -> Rows:
    """Count a pool whose archetypes and bands are as above, exactly as expected.

    Half the cards are `lift` stronger, and they play in Kites twice as often.
    """
    names, homes, bands, games, wins = [], [], [], [], []
    for i in range(cards):
        strong = i % 2
        for home, strength in HOMES.items():
            for band, skill in BANDS.items():
                count = 2000 * (1 + (home == "Kites") * strong)
                rate = expit(strength + skill + lift * strong + 0.02 * (i % 5 - 2))
                names.append(f"card {i}")
                homes.append(None if i < unlabelled else home)
                bands.append(band)
                games.append(count)
                wins.append(round(count * rate))
    table = CardTable(names, games, wins, archetype=homes, skill_band=bands)
    return rows_of(table, table.totals(), Settings())


def by_home(rows: Rows, rate: np.ndarray) -> dict[str, float]:
    labels = np.array(rows.labels["archetype"], dtype=object)
    young = np.array(rows.labels["skill_band"], dtype=object) == "new"
    return {home: float(logit(rate[(labels == home) & young][0])) for home in HOMES}


def test_an_archetype_is_not_stronger_for_its_strong_cards():
    rows = pool(60, lift=0.5)
    found, plain = (
        by_home(rows, rate) for rate in (expectation(rows, 1.0), expected_rate(rows)[0])
    )

    assert found["Kites"] - found["Moths"] == pytest.approx(0.3, abs=0.02)
    assert plain["Kites"] - plain["Moths"] > 0.36


def test_archetypes_and_bands_are_both_in_it():
    rows = pool(40)
    rate = expectation(rows, 1.3)
    labels = np.array(rows.labels["skill_band"], dtype=object)

    assert by_home(rows, rate)["Moths"] - by_home(rows, rate)["Bells"] == pytest.approx(
        0.3, abs=0.02
    )
    assert logit(rate[labels == "old"]).mean() - logit(
        rate[labels == "new"]
    ).mean() == pytest.approx(0.8, abs=0.01)


def test_rows_expect_as_many_wins_as_they_have():
    rows = pool(40, lift=0.3)

    assert rows.games @ expectation(rows, 1.0) == pytest.approx(rows.wins.sum(), rel=1e-9)


def test_unlabelled_rows_are_held_against_the_whole_sample():
    rows = pool(40, unlabelled=2)
    bare = ~rows.labelled

    assert bare.any()
    assert expectation(rows, 1.0)[bare] == pytest.approx(rows.mean)


def test_few_cards_are_held_against_the_strata_as_they_come():
    rows = pool(29)

    assert expectation(rows, 1.0).tolist() == expected_rate(rows)[0].tolist()


def test_a_band_that_always_wins_does_not_stop_the_estimate():
    rows = pool(40)
    always = np.array(rows.labels["skill_band"], dtype=object) == "old"
    rows = rows._replace(wins=np.where(always, rows.games, rows.wins))

    rate = expectation(rows, 1.0)
    assert np.all((rate > 0) & (rate < 1))


def test_labelled_rows_expect_their_own_wins_whatever_the_others_won():
    rows = pool(40, unlabelled=4)
    bare = ~rows.labelled
    rows = rows._replace(wins=np.where(bare, 0.9 * rows.games, rows.wins))

    expected = rows.games * expectation(rows, 1.0)
    assert expected[~bare].sum() == pytest.approx(rows.wins[~bare].sum(), rel=1e-9)
