"""What a table of cards can and cannot support."""

import numpy as np
import pytest

from winrate_tools.report.support.card_support import card_support, games
from winrate_tools.tables import CardTable

NAMES = ["Ash Vine", "Tin Moth"]


def said(table: CardTable) -> dict[str, str]:
    return {entry.lead: entry.text for entry in card_support(table)}


def split(label: str, labels: list[str | None], *, cards: list[str] | None = None) -> str:
    count = len(labels)
    names = cards or NAMES * (count // 2)
    table = CardTable(names, [1200] * count, [600] * count, **{label: labels})
    return said(table)["Archetypes and skill"]


def test_games_are_counted_and_the_middle_card_shown():
    assert games(3, [500, 900, 0], "card") == (
        "3 cards, 2 of them with games; the middle one has 700."
    )
    assert "1 has fewer than 400" in games(2, [399, 400], "card")
    assert "2 have fewer than 400" in games(2, [399, 1], "card")
    assert games(1, [np.nan], "card") == "1 card, none with games: nothing can be estimated."


@pytest.mark.parametrize(
    ("wins", "told"),
    [([0, 0], "No game was won: are"), ([500, 500], "Every game was won: are")],
)
def test_results_that_are_all_alike_are_doubted(wins: list[int], told: str):
    assert told in said(CardTable(NAMES, [500, 500], wins))["Games"]


@pytest.mark.parametrize(
    ("played", "wins"), [([500, 500], [0, 1]), ([500, 500], [500, 499]), ([0, 0], [0, 0])]
)
def test_results_that_differ_are_not(played: list[int], wins: list[int]):
    assert "was won" not in said(CardTable(NAMES, played, wins))["Games"]


def test_rows_without_results_do_not_hide_that_no_game_was_won():
    table = CardTable(NAMES, [500, 500], [0, np.nan])

    assert "No game was won" in said(table)["Games"]


def test_a_split_with_one_label_is_not_used():
    told = split("skill_band", ["old"] * 4)

    assert told.startswith("one row a card. The column of skill band is not used: all its ")
    assert "all its labels are 'old'." in told
    assert "Without a split by archetype or skill band" in told


def test_a_split_of_which_many_games_have_no_label_is_not_used():
    told = split("archetype", ["Kites", "Moths", None, None])

    assert "archetype is not used: more than 20% of the games have no label there." in told


def test_a_split_without_labels_is_not_used():
    assert "skill band is not used: it has no label." in split("skill_band", [None] * 4)


def test_a_split_that_is_used_is_named():
    told = split("skill_band", ["old", "old", "new", "new"])

    assert told.startswith("rows are split by skill band. Without a split by archetype,")


def test_archetypes_are_not_compared_where_they_are_not_used():
    told = split("archetype", ["Kites"] * 4)

    assert "No card has games" not in told
    assert "of the games" not in told


@pytest.mark.parametrize(("label", "games"), [(None, 400), ("Moths", 0)])
def test_games_elsewhere_are_games_with_a_label(label: str | None, games: int):
    table = CardTable(
        ["Ash Vine", "Tin Moth", "Ash Vine"],
        [1200, 1200, games],
        [600, 600, games // 2],
        archetype=["Kites", "Moths", label],
    )

    assert "No card has games in two archetypes" in said(table)["Archetypes and skill"]


def test_archetypes_that_share_no_card_are_told():
    apart = split("archetype", ["Kites", "Moths", "Kites", "Moths"])
    shared = split("archetype", ["Kites", "Moths", "Moths", "Moths"])

    assert "No card has games in two archetypes" in apart
    assert "No card has games" not in shared


@pytest.mark.parametrize(
    ("first", "told"), [(1201, "Kites has 50% of the games, so the table's"), (1200, None)]
)
def test_an_archetype_with_most_of_the_games_is_named(first: int, told: str | None):
    table = CardTable(
        ["Ash Vine", "Ash Vine"], [first, 1200], [600, 600], archetype=["Kites", "Moths"]
    )
    found = said(table)["Archetypes and skill"]

    assert (told in found) if told else ("has 50%" not in found)


def test_games_without_an_archetype_count_for_none():
    told = split(
        "archetype", [*["Kites", "Moths"] * 5, None, None], cards=["Ash Vine"] * 11 + ["Elm"]
    )

    assert "of the games" not in told
    assert "No card has games" not in told


@pytest.mark.parametrize(
    ("unheld", "told"),
    [
        ({}, "none. Games in which"),
        ({"unheld_games": [90, 80]}, "none. Games in which"),
        ({"unheld_games": [90, 80], "unheld_wins": [40, 40]}, "held and unheld games of"),
        ({"unheld_games": [90, np.nan], "unheld_wins": [40, np.nan]}, "not used. They must"),
        ({"unheld_games": [0, 0], "unheld_wins": [0, 0]}, "not used. They must"),
    ],
)
def test_unheld_games_that_cannot_be_used_are_told(unheld: dict, told: str):
    table = CardTable(NAMES, [1200, 900], [600, 450], **unheld)

    assert said(table)["Unheld games"].startswith(told)


def test_limits_are_those_that_a_report_would_state():
    limits = said(CardTable(NAMES, [1200, 900], [600, 450]))["Limits"]

    assert limits.startswith("Fewer than 30 cards have games")
    assert "The table names no factions" in limits
    assert "neither players' skill nor games with a card left" in limits


def test_a_table_that_lacks_nothing_is_told_so():
    games = np.linspace(900, 1500, 80)
    table = CardTable(
        2 * [f"card {i}" for i in range(40)],
        games.round(),
        (games / 2).round(),
        archetype=["Kites"] * 40 + ["Moths"] * 40,
        skill_band=["old", "new"] * 40,
    )

    assert said(table)["Limits"] == "none beyond the above."
    assert said(table)["Archetypes and skill"].endswith("be told from the card itself.")
