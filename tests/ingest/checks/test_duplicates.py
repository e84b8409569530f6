"""The same card twice."""

import numpy as np
import pytest

from tests.ingest.sheets import view
from winrate_tools.ingest.checks.duplicates import add_up, find_duplicates, report_duplicates
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards

NAN = np.nan


def test_the_same_card_in_two_archetypes_is_no_duplicate():
    assert len(read_cards(b"Card,Archetype,Games,Wins\nA,Fair,5,3\nA,Moon,5,3\n")) == 2


def test_adding_up_sums_counts_and_weighs_the_rest_by_games():
    table = read_cards(
        b"Card,Games,Wins,Mean pick,Role\nA,30,10,2,\nB,5,2,3,tool\nA,10,5,6,odd\nA,40,0,7,\n",
        sum_duplicates=True,
    )

    assert table.card == ("A", "B")
    assert table.games.tolist() == [80, 5]
    assert table.wins.tolist() == [15, 2]
    assert table.mean_pick == pytest.approx([5, 3])
    assert table.role == ("odd", "tool")


def test_a_row_repeats_the_first_of_its_card_and_stratum():
    card = ["A", "B", "a ", "A", "A", ""]
    labels = {
        "archetype": ["x", "x", "x", "y", "x", "x"],
        "role": ["1", "2", "3", "4", "5", "6"],
    }

    assert find_duplicates(card, labels, range(6)) == {2: 0, 4: 0}
    assert find_duplicates(card, labels, [2, 3, 4]) == {4: 2}
    assert find_duplicates(card, {}, range(6)) == {2: 0, 3: 0, 4: 0}


def test_rows_without_a_name_repeat_nothing():
    assert find_duplicates(["", ""], {}, range(2)) == {}


def test_a_report_names_both_lines():
    (found,) = report_duplicates(view("Card,Games", "A,1", "B,2", "a,3"), {2: 0}, {})

    assert found.problem.place == "cards.csv:4:1"
    assert found.problem.message == "'A' is listed twice, first on line 2"
    assert "--sum-duplicates" in found.problem.fix


@pytest.mark.parametrize(
    ("games", "wins", "total"),
    [
        ([10, 10], [NAN, 5], (10, 5)),
        ([10, 10], [5, NAN], (10, 5)),
        ([10, 20], [NAN, NAN], (30, NAN)),
        ([10, 20], [5, 6], (30, 11)),
        ([NAN, 20], [NAN, 6], (20, 6)),
    ],
)
def test_games_count_only_beside_known_wins(games, wins, total):
    numbers = {"games": np.array([*games, 7.0]), "wins": np.array([*wins, NAN])}
    added, _ = add_up(numbers, {}, {1: 0})

    np.testing.assert_array_equal([added["games"][0], added["wins"][0]], total)
    assert added["games"][2] == 7
    np.testing.assert_array_equal(numbers["games"][:2], games)


def test_rows_without_games_weigh_alike_in_a_mean():
    numbers = {"games": np.array([0.0, 0.0, 0.0]), "mean_pick": np.array([2.0, 4.0, NAN])}
    added, _ = add_up(numbers, {}, {1: 0, 2: 0})

    assert added["mean_pick"][0] == pytest.approx(3)


def test_rows_that_nothing_is_added_to_stay_as_they_are():
    picks = np.arange(1, 9, 0.1)
    games = np.full(len(picks), 7.0)
    numbers = {"games": games, "mean_pick": picks}
    added, _ = add_up(numbers, {}, {1: 0})

    np.testing.assert_array_equal(added["mean_pick"][2:], picks[2:])
    assert added["games"][:3].tolist() == [14, 7, 7]


def test_every_label_is_filled_from_the_rows_that_are_added():
    numbers = {"games": np.array([7.0, 7])}
    _, labels = add_up(numbers, {"factions": (None, "Cog"), "slot": ("main", "x")}, {1: 0})

    assert (labels["factions"][0], labels["slot"][0]) == ("Cog", "main")


def test_without_repeats_nothing_is_touched():
    numbers, labels = {"games": np.array([7.0])}, {"role": ("deed",)}

    assert add_up(numbers, labels, {}) == (numbers, labels)


SPLIT = "Card,x,y,Games,Wins\n" + "".join(
    f"Card {n},{style},{league},50,25\n"
    for n in range(6)
    for style in ("Kites", "Moths", "Bells")
    for league in ("low", "high")
)


@pytest.mark.parametrize("skip_bad", [False, True])
def test_columns_that_tell_many_repeats_apart_are_named_and_no_row_is_left_out(skip_bad: bool):
    seen = inspect_cards(SPLIT.encode(), name="split.csv", skip_bad=skip_bad)

    (problem,) = seen.problems
    assert problem.place == "split.csv:3:1"
    assert problem.message == (
        "30 of 36 rows repeat an earlier card, this one the first; x and y together tell the "
        "rows apart"
    )
    assert problem.fix == '--map archetype="x" --map skill_band="y"'


def test_what_is_told_to_be_added_up_is_not_asked_for():
    table = read_cards(SPLIT.encode(), sum_duplicates=True)

    assert table.games.tolist() == [300] * 6


def test_one_stratum_is_asked_for_where_the_other_is_known():
    (problem,) = inspect_cards(SPLIT.encode(), columns={"archetype": "x"}).problems

    assert problem.message.endswith("y tells the rows apart")
    assert problem.fix == '--map skill_band="y"'


def test_few_repeats_are_slips_whatever_stands_beside_them():
    rows = [f"Card {n},{'odd' if n else 'even'},9,4" for n in range(30)]
    seen = inspect_cards(
        "\n".join(["Card,x,Games,Wins", *rows, "Card 3,even,9,4", ""]).encode()
    )

    assert "is listed twice" in seen.problems[0].message


def test_a_stratum_that_has_its_column_is_not_asked_for_again():
    rows = b"Card,Archetype,Games,Wins\nA,Fair,5,3\nA,Fair,4,2\n"
    (one,) = inspect_cards(rows).problems
    (both,) = inspect_cards(
        b"Card,Archetype,Skill,Games,Wins\nA,Fair,x,5,3\nA,Fair,x,4,2\n"
    ).problems

    assert one.fix.endswith("tells them apart with --map skill_band=...")
    assert both.fix == "delete one line, or add both up with --sum-duplicates"
