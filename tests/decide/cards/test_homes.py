"""Records of cards by archetype."""

import numpy as np

from winrate_tools.decide.cards.homes import HomeRecord, home_records
from winrate_tools.tables import CardTable


def test_rows_are_added_up_over_skill_bands_and_ordered_by_games():
    table = CardTable(
        ["Ash Vine"] * 3 + ["Elm Bell"],
        [40, 60, 300, 100],
        [18, 33, 150, 49],
        archetype=["Kites", "Kites", "Moths", "Kites"],
        skill_band=["new", "old", "new", "new"],
    )

    found = home_records(table)

    assert found["Ash Vine"] == (
        HomeRecord("Moths", 300, 150, 0.5),
        HomeRecord("Kites", 100, 51, 0.5),
    )
    assert found["Elm Bell"] == (HomeRecord("Kites", 100, 49, 0.5),)


def test_what_is_unknown_or_unlabelled_is_left_out():
    table = CardTable(
        ["Ash Vine"] * 4,
        [40, np.nan, 0, 30],
        [18, np.nan, 0, 9],
        archetype=["Kites", "Kites", "Moths", None],
    )

    assert home_records(table) == {"Ash Vine": (HomeRecord("Kites", 40, 18, 0.45),)}


def test_a_table_of_totals_has_none():
    assert home_records(CardTable(["Ash Vine"], [40], [18])) == {}
