"""Checks on cells and rows: each problem with its place, caret and fix."""

import pytest

from winrate_tools.errors import Problem, TableError
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards

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
