"""Scores in one cell."""

import numpy as np
import pytest

from tests.ingest.sheets import view
from winrate_tools.ingest.cells.scores import read_scores
from winrate_tools.ingest.roles.kinds import MATCHES
from winrate_tools.ingest.roles.view import Part


def read(*cells: str, **known: list[float]) -> Part:
    rows = (f"Ada,Bo,{cell},3,1,1" for cell in cells)
    seen = view("Player,Opponent,Score,Won,Lost,Draws", *rows, kind=MATCHES)
    return read_scores(seen, {role: np.array(values) for role, values in known.items()})


@pytest.mark.parametrize("cell", ["2-1", "2 - 1", "2:1", "2\u20131", "2 : 1"])
def test_a_score_is_games_won_and_lost(cell: str):
    numbers = read(cell).numbers

    assert {role: values.tolist() for role, values in numbers.items()} == {
        "games_won": [2],
        "games_lost": [1],
        "draws": [0],
    }


def test_draws_come_third():
    assert read("2-1-3").numbers["draws"].tolist() == [3]


@pytest.mark.parametrize("cell", ["won", "2", "2-", "-1", "2-1-1-1", "2.5-1", "2/1", "20210-1"])
def test_what_is_no_score_is_reported_in_its_place(cell: str):
    part = read("2-1", cell)
    [found] = part.findings

    assert found.problem.place == "cards.csv:3:3"
    assert found.problem.message == f"a score such as 2-1 was wanted, got {cell!r} for 'Ada'"
    assert np.isnan(part.numbers["games_won"]).tolist() == [False, True]


def test_a_blank_score_is_unknown():
    part = read("2-1", "")

    assert np.isnan(part.numbers["draws"][1])
    assert part.findings == ()


def test_columns_of_their_own_are_kept_and_compared():
    part = read("3-1", "2-1", "", games_won=[3, 3, 3], games_lost=[1, np.nan, 1])

    assert list(part.numbers) == ["draws"]
    assert [(one.problem.place, one.problem.message) for one in part.findings] == [
        ("cards.csv:3:3", "score 2-1 contradicts games won 3 for 'Ada'")
    ]
