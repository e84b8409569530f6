"""Checks on cells and rows: each problem with its place, caret and fix."""

import numpy as np
import pytest

from winrate_tools.errors import Problem, TableError
from winrate_tools.ingest.names import fold, tidy
from winrate_tools.ingest.rates import agrees
from winrate_tools.ingest.read import inspect_cards, read_cards

FULL = (
    "Card,Games,Wins,Win %,Archetype,Drafted,Played,Unheld games,Unheld wins,Mean pick,"
    "Player rate"
)
GOOD = "Good Card,100,50,50.0,Fair,9,7,40,20,3.5,52%"


def problems(*lines: str, **options: object) -> tuple[Problem, ...]:
    text = "\n".join([FULL, GOOD, *lines, ""])
    return inspect_cards(text.encode(), name="cards.csv", **options).problems


def notes(*lines: str, **options: object) -> str:
    text = "\n".join([*lines, ""])
    return "\n".join(read_cards(text.encode(), **options).source.notes)


@pytest.mark.parametrize(
    ("row", "cell", "words"),
    [
        ("A,50,[55],,,,,,,,", 3, "wins 55 is more than games 50 for 'A'"),
        ("A,[-5],,,,,,,,,", 2, "games must be 0 or more, got -5 for 'A'"),
        ("A,[5.5],,,,,,,,,", 2, "games must be a whole number, got 5.5 for 'A'"),
        ("A,[5%],,,,,,,,,", 2, "games must be a count without a percent sign, got 5% for 'A'"),
        (
            "A,[2e15],,,,,,,,,",
            2,
            "games: a number written in full was wanted, got '2e15' for 'A'",
        ),
        ("A,[2000000000000000],1,,,,,,,,", 2, "games must be at most 1e+15, got"),
        (
            "A,[infinity],,,,,,,,,",
            2,
            "games: a finite number was wanted, got 'infinity' for 'A'",
        ),
        ("A,[x],,,,,,,,,", 2, "games: a number was wanted, got 'x' for 'A'"),
        ("A,10,5,[110],,,,,,,", 4, "win rate must lie between 0 and 100%, got 110 for 'A'"),
        ("A,10,5,[-1],,,,,,,", 4, "win rate must lie between 0 and 100%, got -1 for 'A'"),
        ("A,10,5,[51.0],,,,,,,", 4, "win rate 51.0 contradicts wins / games = 50% for 'A'"),
        ("A,10,5,[0.5],,,,,,,", 4, "win rate must be fractions or percent throughout, got 0.5"),
        ("A,10,5,,,5,[6],,,,", 7, "played 6 is more than drafted 5 for 'A'"),
        ("A,10,5,,,,,5,[6],,", 9, "unheld wins 6 is more than unheld games 5 for 'A'"),
        ("A,10,5,,,,,,,[0.9],", 10, "mean pick must be at least 1, got 0.9 for 'A'"),
        ("A,10,5,,,,,,,[x],", 10, "mean pick: a number was wanted, got 'x' for 'A'"),
        (
            "A,10,5,,,,,,,,[100%]",
            11,
            "players' rate must lie between 0 and 1, got 100% for 'A'",
        ),
        ("[],10,5,,,,,,,,", 1, "a card name was wanted, got a blank cell"),
        ("[A\x07],10,5,,,,,,,,", 1, "a card name holds the invisible character U+0007"),
        ("[A\u202eB],10,5,,,,,,,,", 1, "a card name holds the invisible character U+202E"),
        ("[good  CARD] ,1,1,,fair,,,,,,", 1, "'Good Card' is listed twice, first on line 2"),
        (
            "[Total],99,9,,,,,,,,",
            1,
            "'Total' reads like a total, but its games are not the sum",
        ),
        ('"A, ""B""",9,[10],,,,,,,,', 3, "wins 10 is more than games 9 for 'A, \"B\"'"),
        ("A,9,3,,,,,,,[]", 10, "a row must have 11 cells as the header has, this one has 10"),
        (
            "A,9,3,,,,,,,,,[x]",
            12,
            "a row must have 11 cells as the header has, this one has 12",
        ),
        ('["A"b],9,3,,,,,,,,', 1, "a quoted cell must end with a quote and a delimiter"),
    ],
)
def test_each_problem_stands_under_its_cell(row: str, cell: int, words: str):
    start, end = row.index("["), row.index("]") - 1
    line = row.replace("[", "", 1).replace("]", "", 1)
    found = problems(line)

    assert len(found) == 1
    assert found[0].place == f"cards.csv:3:{cell}"
    assert words in found[0].message
    assert found[0].line == line
    assert found[0].start == start
    assert found[0].end == max(end, start + 1)
    assert found[0].fix


def test_all_problems_come_in_file_order():
    places = [
        p.place
        for p in problems("A,5,6,,,,,,,0,", "B,1", "C,x,y,,,,,,,,", "good card,,,,fair,,,,,,")
    ]

    assert places == [f"cards.csv:{at}" for at in ("3:3", "3:10", "4:2", "5:2", "5:3", "6:1")]


def test_a_table_with_problems_is_refused_with_all_of_them():
    with pytest.raises(
        TableError, match=r"cards\.csv: 2 problems; first: cards\.csv:2:3"
    ) as caught:
        read_cards(b"Card,Games,Wins\nA,5,6\nB,x,6\n", name="cards.csv")

    assert len(caught.value.problems) == 2


def test_skipping_leaves_the_good_rows_and_says_what_went():
    table = read_cards(
        b"Card,Games,Wins\nA,5,6\nB,4,2\nC,1\nb ,4,2\nD,9,3\n", name="cards.csv", skip_bad=True
    )

    assert table.card == ("B", "D")
    said = [note for note in table.source.notes if note.startswith("left out: ")]
    assert [note.split(": ")[1] for note in said] == [
        "cards.csv:2:3",
        "cards.csv:4:2",
        "cards.csv:5:1",
    ]


def test_skipping_never_leaves_out_a_broken_quote():
    with pytest.raises(TableError, match="1 problem"):
        read_cards(b'Card,Games,Wins\n"A"x,5,3\nB,4,2\n', skip_bad=True)


def test_skipping_everything_is_refused():
    with pytest.raises(TableError, match="no row is left, of 2"):
        read_cards(b"Card,Games,Wins\nA,5,6\nB,4,5\n", skip_bad=True)


def test_blank_is_unknown_and_zero_is_zero():
    table = read_cards(b"Card,Games,Wins\nA,,\nB,0,0\nC,5,\nD,-,3\n")

    assert np.isnan(table.games).tolist() == [True, False, False, True]
    assert np.isnan(table.wins).tolist() == [True, False, True, True]
    assert table.games[1] == 0


def test_a_total_needs_the_name_and_the_sum():
    sums = b"Card,Games,Wins\nA,5,3\nB,4,2\nTotal,9,5\n"

    assert read_cards(sums).card == ("A", "B")
    assert read_cards(sums.replace(b"Total", b"Tonal")).card == ("A", "B", "Tonal")
    with pytest.raises(TableError, match="reads like a total"):
        read_cards(sums.replace(b"9,5", b"8,5"))


@pytest.mark.parametrize("word", ["TOTAL", "Gesamt:", "Summe", "** All **", "合計", ""])
def test_totals_have_many_names(word: str):
    assert len(read_cards(f"Card,Games,Wins\nA,5,3\nB,4,2\n{word},9,5\n".encode())) == 2


STRATA = """Card,Archetype,Games,Wins
A,Fair,5,3
A,Moon,4,2
A,All,9,5
B,Fair,7,3
B,All,7,3
Total,Fair,12,6
Total,Moon,4,2
Total,All,16,8
"""


def test_totals_are_found_along_cards_and_archetypes_alike():
    table = read_cards(STRATA.encode())

    assert list(zip(table.card, table.archetype, table.games, strict=True)) == [
        ("A", "Fair", 5),
        ("A", "Moon", 4),
        ("B", "Fair", 7),
    ]


def test_an_archetype_total_that_does_not_add_up_is_a_problem():
    with pytest.raises(TableError, match=":4:2: 'All' reads like a total"):
        read_cards(STRATA.replace("A,All,9,5", "A,All,10,5").encode())


def test_a_table_of_totals_only_stays():
    assert len(read_cards(b"Card,Archetype,Games,Wins\nA,All,5,3\nB,All,4,2\n")) == 2


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


HEADER = "Card,Archetype,Games,Wins"


def test_two_spellings_of_one_card_become_the_first_with_a_note():
    text = (
        "Card,Archetype,Games,Wins",
        "Ash Vine,Fair,5,3",
        "ASH  vine,fair ,4,2",
        "B,Moon,4,2",
    )

    with pytest.raises(TableError, match="listed twice"):
        notes(*text)
    said = notes(*text[:2], "ASH  vine,moon,4,2", text[3])
    assert "card 'ASH  vine' was read as 'Ash Vine'" in said
    assert "archetype 'Moon' was read as 'moon'" in said


def test_two_factions_of_one_card_are_said():
    said = notes("Card,Archetype,Faction,Games,Wins", "A,x,Wick,5,3", "A,y,,5,3", "A,z,Cog,5,3")

    assert said == "'A' has faction 'Wick' on line 2 and 'Cog' on line 4: the first was kept"


def test_wins_from_a_rate_say_how_far_off_they_can_be():
    said = notes("Card,Games,Win rate", "A,2000,55.5%", "B,20,50.0%", "C,0,", "D,9,-")

    assert "at most 1.0 wins off, in the worst row (line 2)" in said
    table = read_cards(b"Card,Games,Win rate\nA,2000,55.5%\nB,20,50.0%\nC,0,\nD,9,-\n")
    assert table.wins[:3].tolist() == [1110, 10, 0]
    assert np.isnan(table.wins[3])


@pytest.mark.parametrize(
    ("printed", "agree"),
    [(0.55, True), (0.545, True), (0.54, True), (0.56, False), (0.5389, False)],
)
def test_a_rate_agrees_if_rounded_or_cut_off(printed: float, agree: bool):
    found = agrees(np.array([printed]), np.array([0.549]), np.array([0.01]))

    assert found.tolist() == [agree]


@pytest.mark.parametrize(
    ("cell", "label"), [("", None), ("-", None), ("None", "None"), ("?", None)]
)
def test_labels_are_unknown_only_where_nothing_is_said(cell: str, label: str | None):
    table = read_cards(f"Card,Rarity,Games,Wins\nA,{cell},5,3\nB,rare,4,2\n".encode())

    assert table.rarity == (label, "rare")


def test_names_are_trimmed_and_otherwise_kept():
    assert tidy("\ufeff Ash\u00a0Vine \u200b") == "Ash\u00a0Vine"
    assert tidy("Ash \r\n Vine") == "Ash Vine"
    assert tidy("a|b  <i>") == "a|b  <i>"


def test_folding_joins_case_blanks_and_composed_accents():
    assert fold("  STRASSE  e\u0301 ") == fold("Stra\u00dfe \u00c9")
    assert fold("Ash Vine") != fold("Ashvine")


def test_a_count_in_a_style_the_user_ruled_out_is_answered_with_the_option():
    found = inspect_cards(b"Card;Games;Wins\nA;1.204;5\nB;7;2\n", decimal=".").problems

    assert found[0].message == "games must be a whole number, got 1.204 for 'A'"
    assert found[0].fix.startswith("if the mark groups thousands, say which mark")


def test_counts_in_two_number_styles_are_refused_both_ways():
    mixed = b"Card;Games;Wins\nA;1.204.000;5\nB;1,204,000;2\nC;2.000.000;2\nD;1.204;1\n"
    undecided = b"Card;Games;Wins\nA;1.204;5\nB;1.300;2\nC;1,500;2\n"

    assert [p.place for p in inspect_cards(mixed).problems] == ["<memory>:3:2", "<memory>:5:2"]
    assert [p.place for p in inspect_cards(undecided).problems] == ["<memory>:4:2"]


def test_rates_that_are_all_unknown_give_no_wins():
    table = read_cards(b"Card,Games,Win rate\nA,5,-\nB,7,\n")

    assert np.isnan(table.wins).all()
