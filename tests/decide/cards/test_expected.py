"""What an average card would have won in the games of each card."""

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.decide.cards.expected import expected_rates
from winrate_tools.decide.cards.judgement import judge
from winrate_tools.settings import Settings
from winrate_tools.simulate.history import card_table, simulate
from winrate_tools.simulate.world import World
from winrate_tools.stats.cards.strength import strength
from winrate_tools.stats.crossed.expectation import expectation
from winrate_tools.stats.crossed.rows import held_rows, rows_of
from winrate_tools.tables import CardTable


def test_without_company_it_is_the_mean_of_the_table():
    fitted = strength(CardTable(["Ash", "Bee", "Cat"], [100, 300, 0], [52, 168, 0]))

    assert expected_rates(fitted) == pytest.approx([0.55] * 3)


@pytest.mark.parametrize("measure", ["held", "deck"])
def test_where_unheld_games_are_known_it_is_right_to_half_a_point(measure: str):
    table = card_table(simulate(World(drafts=1000), seed=3), detail=("archetype",), unheld=True)
    settings = Settings(measure=measure)
    fitted, totals = strength(table, settings), table.totals()
    rows = rows_of(table, totals, settings)
    counted = rows if measure == "deck" else held_rows(rows)
    rate = expectation(counted, fitted.sample.design_effect)
    won, games = (
        np.bincount(counted.card, each, len(totals))
        for each in (counted.games * rate, counted.games)
    )

    found = expected_rates(fitted)

    assert found == pytest.approx(won / games, abs=0.01)
    assert np.std(found - won / games) < 0.005
    assert np.std(found) > 0.02


def test_what_a_faction_shares_is_expected_of_its_cards():
    rng = np.random.default_rng(4)
    faction = np.repeat(["Cog", "Ferry", "Hearth", "Petal", "Quill", "Wick"], 20)
    company = np.where(faction == "Cog", -0.25, 0.05)
    wins = rng.binomial(4000, expit(company + rng.normal(0, 0.06, size=120)))
    names = [f"card {i}" for i in range(120)]
    fitted = strength(CardTable(names, [4000] * 120, wins, faction=faction))

    found = expected_rates(fitted)

    assert found[:20] == pytest.approx(expit(-0.25), abs=0.015)
    assert found[20:] == pytest.approx(expit(0.05), abs=0.015)


def test_where_players_are_known_it_is_what_they_win():
    table = CardTable(["Ash", "Bee"], [1000, 1000], [480, 640], player_rate=[0.5, 0.6])
    fitted = strength(table, Settings(baseline="player_rate"))

    found = expected_rates(fitted)

    assert found.mean() == pytest.approx(0.56)
    assert found[1] - found[0] == pytest.approx(0.1, abs=0.003)


def test_a_judged_card_carries_it_and_one_without_games_does_not():
    homes = ["Kites", "Kites", "Moths", "Moths", "Moths"]
    table = CardTable(
        ["Ash", "Bee", "Cat", "Dew", "Elm"],
        [1000, 1000, 1000, 1000, 0],
        [420, 380, 620, 580, 0],
        archetype=homes,
    )

    found = {card.card: card.expected_rate for card in judge(table).cards}

    assert found["Ash"] == pytest.approx(0.4, abs=0.01)
    assert found["Dew"] == pytest.approx(0.6, abs=0.01)
    assert found["Elm"] is None
