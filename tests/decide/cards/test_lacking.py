"""What a table of cards lacks, told before anything is fitted."""

from typing import get_args

import numpy as np
import pytest

from winrate_tools.decide.cards.doubts import doubts
from winrate_tools.decide.cards.lacking import Holdings, holdings, lacking
from winrate_tools.decide.cards.verdicts import Caution
from winrate_tools.stats.cards.prior import FEWEST_CARDS
from winrate_tools.stats.cards.strength import strength
from winrate_tools.tables import CardTable

FULL = Holdings(FEWEST_CARDS, True, True, ("archetype", "skill_band"), True)
LACKS = ("few cards", "no usage", "no factions", "no skill bands")
CARDS = 32
HALVES = ["first", "second"]


def table(cards: int = CARDS, **columns) -> CardTable:
    """Cards in two rows each, of which half the games are won."""
    games = np.full(2 * cards, 40.0)
    names = [f"card {i}" for i in range(cards)]
    return CardTable(2 * names, games, games / 2, **columns)


def by_row(first: str | None, second: str | None, cards: int = CARDS) -> list[str | None]:
    return [first] * cards + [second] * cards


UNHELD = {"unheld_games": np.full(2 * CARDS, 30.0), "unheld_wins": np.full(2 * CARDS, 12.0)}
TABLES = {
    "bare": table(),
    "few": table(29, faction=HALVES * 29),
    "enough": table(30, faction=HALVES * 30),
    "picks": table(mean_pick=np.arange(64.0) % 32 + 1),
    "one faction": table(faction=["first"] * 64),
    "factions": table(faction=HALVES * 32),
    "archetypes": table(archetype=by_row(*HALVES)),
    "bands": table(skill_band=by_row(*HALVES)),
    "one band": table(skill_band=by_row("first", "first")),
    "half without a band": table(skill_band=by_row("first", None)),
    "unheld": table(**UNHELD),
    "unheld, a row unknown": table(
        unheld_games=[np.nan, *[30.0] * 63], unheld_wins=[np.nan, *[12.0] * 63]
    ),
    "never left in the deck": table(unheld_games=[0.0] * 64, unheld_wins=[0.0] * 64),
}


@pytest.mark.parametrize("name", TABLES)
def test_what_is_told_before_a_fit_is_what_the_fit_tells(name: str):
    fitted = doubts(strength(TABLES[name])).cautions

    assert lacking(holdings(TABLES[name])) == tuple(one for one in fitted if one in LACKS)


@pytest.mark.parametrize(
    ("name", "lacks"),
    [
        ("bare", ("no usage", "no factions", "no skill bands")),
        ("few", ("few cards", "no usage", "no skill bands")),
        ("enough", ("no usage", "no skill bands")),
        ("picks", ("no factions", "no skill bands")),
        ("one faction", ("no usage", "no factions", "no skill bands")),
        ("archetypes", ("no usage", "no skill bands")),
        ("bands", ("no usage", "no factions")),
        ("one band", ("no usage", "no factions", "no skill bands")),
        ("half without a band", ("no usage", "no factions", "no skill bands")),
        ("unheld", ("no usage", "no factions")),
        ("unheld, a row unknown", ("no usage", "no factions", "no skill bands")),
        ("never left in the deck", ("no usage", "no factions", "no skill bands")),
    ],
)
def test_a_table_lacks_what_it_does_not_hold(name: str, lacks: tuple[str, ...]):
    assert lacking(holdings(TABLES[name])) == lacks


@pytest.mark.parametrize(
    ("change", "lacks"),
    [
        ({}, ()),
        ({"cards": FEWEST_CARDS - 1}, ("few cards",)),
        ({"usage": False}, ("no usage",)),
        ({"factions": False}, ()),
        ({"factions": False, "strata": ("skill_band",)}, ("no factions",)),
        ({"is_compared": False}, ()),
        ({"strata": ("archetype",)}, ()),
        ({"is_compared": False, "strata": ("archetype",)}, ("no skill bands",)),
    ],
)
def test_one_thing_stands_in_for_another(change: dict, lacks: tuple[str, ...]):
    assert lacking(FULL._replace(**change)) == lacks


def test_cards_without_games_or_results_are_not_counted():
    cards = CardTable(["a", "b", "c", "d"], [90, 0, np.nan, 50], [40, 0, np.nan, np.nan])

    assert holdings(cards).cards == 1


def test_a_table_of_unknown_counts_holds_nothing():
    unknown = CardTable(["a"], [np.nan], [np.nan])

    assert holdings(unknown) == Holdings(0, False, False, (), False)


def test_what_is_lacking_are_cautions():
    assert set(LACKS) <= set(get_args(Caution))
