"""A sheet seen through its roles."""

import numpy as np

from tests.ingest.sheets import view
from winrate_tools.errors import Problem
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.roles.view import Part, rows_where, word

SEEN = ("Card,Wins,Games", "Ash Vine, 7 ,12", f"Tin Moth,{'9' * 999},9", ",1,2")


def test_a_cell_is_found_by_row_and_role():
    seen = view(*SEEN)

    assert seen.cell(0, "wins") == "7"
    assert seen.cell(1, "card") == "Tin Moth"
    assert seen.cell(1, "wins") == "9" * 79 + "\u2026"


def test_a_finding_names_the_card_unless_the_card_is_the_trouble():
    seen = view(*SEEN)

    problem = seen.finding(0, "games", "odd", "mend it").problem
    assert (problem.place, problem.message) == ("cards.csv:2:3", "odd for 'Ash Vine'")
    assert (problem.line[problem.start : problem.end], problem.fix) == ("12", "mend it")
    assert seen.finding(0, "card", "odd").problem.message == "odd"
    assert seen.finding(2, "wins", "odd").problem.message == "odd"


def test_a_row_is_called_by_its_physical_line():
    assert view("Card,Games", '"A\nB",1', "C,2").line_of(1) == "line 4"


def test_a_place_is_file_and_line():
    assert view("Card,Games", '"A\nB",1', "C,2").place_of(1) == "cards.csv:4"


def test_a_later_part_replaces_columns_and_adds_words():
    one, two = (Finding(Problem(place, "odd")) for place in ("a", "b"))
    first = Part({"games": np.array([1.0]), "wins": np.array([0.0])}, (one,), ("x",))
    both = first.then(Part({"wins": np.array([1.0])}, (two,), ("y",)))

    assert {role: values.tolist() for role, values in both.numbers.items()} == {
        "games": [1.0],
        "wins": [1.0],
    }
    assert (both.findings, both.notes) == ((one, two), ("x", "y"))
    assert first.numbers["wins"].tolist() == [0.0]


def test_roles_have_words_and_flags_have_rows():
    assert (word("player_rate"), word("losses")) == ("players' rate", "losses")
    assert rows_where(np.array([True, False, True])) == [0, 2]
