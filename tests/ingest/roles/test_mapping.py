"""Roles that the user names."""

import numpy as np
import pytest

from tests.ingest.sheets import sheet
from winrate_tools.errors import MappingError, SettingError
from winrate_tools.ingest.roles.mapping import did_you_mean, resolve_mapping
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards

BRIEF = "Card,Games,Wins\nAsh Vine,12,7\nTin Moth,9,4\n"
GRID = sheet("Card,Win %,3,,Games", "Ash,50,1,2,4").grid


@pytest.mark.parametrize(
    ("columns", "message"),
    [
        ({"games": 4}, "column 4 for games; there are 3 columns"),
        ({"games": -1}, "column -1 for games"),
        ({"games": "Wins", "wins": "Wins"}, "cannot be both games and wins"),
        ({"games": ""}, "no column ''"),
        ({"games": "x"}, "no column 'x'; columns: 1 'Card', 2 'Games', 3 'Wins'"),
    ],
)
def test_a_mapping_that_cannot_be_is_refused(columns, message):
    with pytest.raises(MappingError, match=message):
        inspect_cards(BRIEF.encode(), columns=columns).sound_table()


def test_an_unknown_header_brings_the_likeliest_column_as_an_example():
    with pytest.raises(MappingError, match="no column 'Spam'") as caught:
        inspect_cards(BRIEF.encode(), columns={"wins": "Spam"}).sound_table()
    assert str(caught.value).endswith("--map wins=3")


def test_a_repeated_header_must_be_named_by_number():
    text = b"Card,Games,games,Wins\nAsh Vine,12,8,7\nTin Moth,9,8,4\n"

    assert read_cards(text, columns={"games": "games"}).games.tolist() == [8, 8]
    with pytest.raises(MappingError, match="columns 2 and 3; name one by its number") as caught:
        inspect_cards(text, columns={"games": "GAMES"}).sound_table()
    assert str(caught.value).endswith("--map games=2")


def test_an_unknown_role_gets_a_suggestion():
    with pytest.raises(SettingError, match="no role 'win', did you mean 'wins'"):
        inspect_cards(BRIEF.encode(), columns={"win": 3}).sound_table()


@pytest.mark.parametrize(
    ("choice", "number"),
    [("Card", 1), (" WIN_% ", 2), ("3", 3), (3, 3), ("4", 4), (5, 5), (0, 0), ("0", 0)],
)
def test_a_column_goes_by_header_first_and_number_second(choice: str | int, number: int):
    assert resolve_mapping({"games": choice}, GRID, ["games"]) == {"games": number}


def test_a_header_that_is_a_number_beats_the_number():
    grid = sheet("Card,1,Games", "Ash,50,1", "Tin,40,2").grid

    assert resolve_mapping({"games": "1"}, grid, ["games"]) == {"games": 2}
    assert resolve_mapping({"games": 1}, grid, ["games"]) == {"games": 1}


def test_two_roles_may_both_be_left_empty():
    roles = ["games", "wins"]

    assert resolve_mapping({"games": 0, "wins": 0}, GRID, roles) == {"games": 0, "wins": 0}


@pytest.mark.parametrize("choice", ["9" * 5000, "٣", "-1", "1.0", "²", "x" * 5000])
def test_what_is_no_header_and_no_number_is_refused_shortly(choice: str):
    with pytest.raises(MappingError, match="no column") as caught:
        resolve_mapping({"games": choice}, GRID, ["games"])

    assert len(str(caught.value)) < 400


def test_a_very_wide_table_is_not_listed_in_full():
    grid = sheet(",".join(f"h{n}" for n in range(999)), ",".join(["z"] * 999)).grid

    with pytest.raises(MappingError, match="40 'h39' and 959 more"):
        resolve_mapping({"games": "Preis"}, grid, ["games"])


def test_only_a_near_word_is_suggested():
    assert did_you_mean("gmaes", ["wins", "games"]) == ", did you mean 'games'?"
    assert did_you_mean("zzz", ["wins", "games"]) == ""


@pytest.mark.parametrize(
    ("columns", "said"),
    [
        (["games"], "columns must say which is which, as .* got \\['games'\\]"),
        ("games", "columns must say which is which"),
        ({"games": 3.5}, "'games' must be a header or the number of a column, got 3.5"),
        ({"games": True}, "'games' must be a header or the number of a column, got True"),
        ({"games": None}, "'games' must be a header or the number of a column, got None"),
    ],
)
def test_what_names_no_column_is_refused(columns: object, said: str):
    with pytest.raises(SettingError, match=said):
        resolve_mapping(columns, sheet("Card,Games", "Fox,1").grid, ("card", "games"))


def test_a_number_of_numpy_names_a_column():
    grid = sheet("Card,Games", "Fox,1").grid

    assert resolve_mapping({"games": np.int64(2)}, grid, ("card", "games")) == {"games": 2}
