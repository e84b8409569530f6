"""Rates beside counts, and wins rebuilt from them."""

import numpy as np
import pytest

from tests.ingest.sheets import view
from winrate_tools.ingest.cells.rates import (
    agrees,
    check_inner_rate,
    check_win_rate,
    read_rates,
    rebuild_wins,
)
from winrate_tools.ingest.tables.cards import read_cards


def test_wins_from_a_rate_say_how_far_off_they_can_be():
    table = read_cards(b"Card,Games,Win rate\nA,2000,55.5%\nB,20,50.0%\nC,0,\nD,9,-\n")

    assert "at most 1.0 wins off, in the worst row (line 2)" in "\n".join(table.source.notes)
    assert table.wins[:3].tolist() == [1110, 10, 0]
    assert np.isnan(table.wins[3])


@pytest.mark.parametrize(
    ("printed", "agree"),
    [(0.55, True), (0.545, True), (0.54, True), (0.56, False), (0.5389, False)],
)
def test_a_rate_agrees_if_rounded_or_cut_off(printed: float, agree: bool):
    found = agrees(np.array([printed]), np.array([0.549]), np.array([0.01]))

    assert found.tolist() == [agree]


def test_rates_that_are_all_unknown_give_no_wins():
    table = read_cards(b"Card,Games,Win rate\nA,5,-\nB,7,\n")

    assert np.isnan(table.wins).all()


@pytest.mark.parametrize(
    ("cells", "rates", "units"),
    [
        (("0.5", "0.25"), (0.5, 0.25), (0.1, 0.01)),
        (("50", "25.5"), (0.5, 0.255), (0.01, 0.001)),
        (("50%", "25.5 %"), (0.5, 0.255), (0.01, 0.001)),
        (("0.9%", "0.25%"), (0.009, 0.0025), (0.001, 0.0001)),
        (("0", "1"), (0, 1), (1, 1)),
        (("0", "100"), (0, 1), (0.01, 0.01)),
    ],
)
def test_a_column_has_one_scale(cells, rates, units):
    read = read_rates(
        view("Card,Win rate", *(f"C{n},{c}" for n, c in enumerate(cells))), "win_rate"
    )

    assert read.findings == ()
    assert read.values == pytest.approx(rates)
    assert read.unit == pytest.approx(units)


def test_the_rarer_scale_is_the_odd_one_unless_the_counts_prove_it():
    seen = view("Card,Win rate", "A,50.0", "B,0.5", "C,44.0")

    assert [found.row for found in read_rates(seen, "win_rate").findings] == [1]
    assert read_rates(seen, "win_rate", np.array([0.5, 0.005, 0.44])).findings == ()


def test_a_rate_that_contradicts_its_counts_is_found_and_silence_is_not():
    seen = view("Card,Win rate", "A,50.0", "B,51.0", "C,", "D,12.5")
    part = check_win_rate(seen, np.array([5, 5, 1, np.nan]), np.array([10.0, 10, 2, 8]))

    assert [found.problem.message for found in part.findings] == [
        "win rate 51.0 contradicts wins / games = 50% for 'B'"
    ]
    assert part.numbers == {}


def test_a_rate_that_is_no_number_is_not_used_where_games_and_wins_are_there():
    seen = view("Card,Win rate", "A,half", "B,50%", "C,even", "D,so", "E,so")
    part = check_win_rate(
        seen, np.array([5.0, 5, np.nan, 1, 0]), np.array([10.0, 10, 8, np.nan, 0])
    )

    assert [found.row for found in part.findings] == [2, 3]
    assert part.notes == (
        "Win rate: cells that are no numbers were not used, as games and wins are there; the "
        "first: 'half' on line 2",
    )


def test_a_rate_in_another_style_than_the_rest_stays_refused():
    seen = view("Card,Win rate", 'A,"50,1"', 'B,"51,2"', "C,52.3")
    part = check_win_rate(seen, np.array([501.0, 512, 523]), np.array([1000.0, 1000, 1000]))

    assert [found.row for found in part.findings] == [2]
    assert part.notes == ()


def test_a_rate_that_counts_contradict_is_refused_beside_one_that_is_no_number():
    seen = view("Card,Win rate", "A,half", "B,60%", "C,101%")
    part = check_win_rate(seen, np.array([5.0, 5, 5]), np.array([10.0, 10, 10]))

    assert {found.row for found in part.findings} == {1, 2}
    assert len(part.notes) == 1


def test_small_percentages_without_a_sign_are_refused_with_their_mend():
    seen = view("Card,Win rate", "A,0.6", "B,0.5", "C,0.7", "D,1")
    part = check_win_rate(seen, np.array([6.0, 10, 7, 3]), np.array([1000.0, 2000, 10, 300]))

    assert [found.problem.message[:17] for found in part.findings] == [
        "win rate 0.6 cont", "win rate 0.5 cont", "win rate 1 contra",
    ]  # fmt: skip
    assert {found.problem.fix for found in part.findings} == {
        "a column whose rates are all 1 or less is taken for fractions: write percent signs, "
        "as in 0.6%; or leave the rate out with --map win_rate=0"
    }


@pytest.mark.parametrize(
    ("cells", "wins"), [(("0.6", "0.5"), (600.0, 700)), (("60%", "0.5%"), (6.0, 5))]
)
def test_a_rate_that_no_sign_would_mend_is_to_be_mended(cells, wins):
    seen = view("Card,Win rate", *(f"A,{cell}" for cell in cells))
    part = check_win_rate(seen, np.array(wins), np.array([1000.0, 1000]))

    assert [found.problem.fix for found in part.findings] == [
        "mend the line; or leave the rate out with --map win_rate=0"
    ]


@pytest.mark.parametrize(("wrong", "is_used"), [(5, True), (6, False)])
def test_a_rate_that_is_mostly_something_else_is_left_out(wrong: int, is_used: bool):
    rows = [f"C{n},{20.5 if n < wrong else 50.0}" for n in range(10)]
    part = check_win_rate(view("Card,Win rate", *rows), np.full(10, 5.0), np.full(10, 10.0))

    assert (len(part.findings), len(part.notes)) == ((wrong, 0) if is_used else (0, 1))


def test_wins_are_rebuilt_where_the_rate_allows_a_whole_number():
    seen = view("Card,Win rate", "A,33.3", "B,50.0", "C,", "D,40.0")
    part = rebuild_wins(seen, np.array([3.0, 3, 9, 0]))

    np.testing.assert_array_equal(part.numbers["wins"], [1, 2, np.nan, 0])
    assert [found.row for found in part.findings] == [1]
    assert part.notes[0].endswith("exact, unless the rate was cut off instead of rounded")


def test_the_players_rate_lies_strictly_between_0_and_1():
    part = check_inner_rate(
        view("Card,Player rate", "A,0", "B,52%", "C,100", "D,"), "player_rate"
    )

    np.testing.assert_array_equal(part.numbers["player_rate"], [np.nan, 0.52, np.nan, np.nan])
    assert [found.row for found in part.findings] == [0, 2]


@pytest.mark.parametrize(
    "cell", ["0.5429999999999999", "0.5430000000000001", "54.29999999999999"]
)
def test_a_rate_that_a_computer_worked_out_is_read_as_it_was_meant(cell: str):
    other = "55.5" if cell.startswith("54") else "0.555"
    table = read_cards(f"Card,Games,Win rate\nA,755,{cell}\nB,2000,{other}\n".encode())

    assert table.wins.tolist() == [410, 1110]


def test_a_rate_in_full_is_held_to_the_digits_that_a_computer_gets_right():
    table = read_cards(
        b"Card,Games,Win rate\nA,698,0.5429799426934097\nB,7,0.5714285714285714\n"
    )

    assert table.wins.tolist() == [379, 4]
    assert "exact" in "\n".join(table.source.notes)
