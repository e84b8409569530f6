"""Columns that prove their roles by arithmetic."""

from itertools import product

import numpy as np
import pytest

from tests.ingest.sheets import sheet
from winrate_tools.ingest.roles import triples
from winrate_tools.ingest.roles.triples import Triple, find_triples

PAIRS = [(7, 12), (4, 9), (20, 50), (3, 8), (11, 31), (2, 7), (5, 6), (1, 9), (13, 40), (6, 19)]


def rows(rate: str = "{:.3f}", pairs: list[tuple[int, int]] = PAIRS) -> list[str]:
    return [
        f"C{n},{games},{wins},{rate.format(wins / games)}"
        for n, (wins, games) in enumerate(pairs)
    ]


@pytest.mark.parametrize(
    ("rate", "unit"),
    [
        ("{:.3f}", "0.001"),
        ("{:.1%}", "0.1"),
        ("{:.17f}", "0.00000000000000001"),
        ("{:.0%}", "1"),
    ],
)
def test_wins_over_games_give_the_rate_to_its_last_digit(rate: str, unit: str):
    assert find_triples(sheet("a,b,c,d", *rows(rate))) == [Triple(3, 2, 4, 10, 10, unit)]


def test_one_wrong_row_in_ten_is_forgiven_and_two_are_not():
    lines = rows()
    lines[3] = "C3,8,3,0.999"
    assert [triple.agree for triple in find_triples(sheet("a,b,c,d", *lines))] == [9]
    lines[8] = "C8,40,13,0.999"

    assert find_triples(sheet("a,b,c,d", *lines)) == []


@pytest.mark.parametrize("pairs", [PAIRS[:2], [(5, 10)] * 9, [(0, 10), (10, 10)] * 5])
def test_too_few_different_ratios_prove_nothing(pairs: list[tuple[int, int]]):
    assert find_triples(sheet("a,b,c,d", *rows(pairs=pairs))) == []


def test_unknown_rows_are_not_counted():
    lines = [*rows(), "X,,3,0.5", "Y,9,3,", "Z,0,0,"]
    (triple,) = find_triples(sheet("a,b,c,d", *lines))

    assert (triple.agree, triple.rows) == (10, 10)


def test_every_triple_of_many_columns_is_found_as_by_trying_them_all():
    rng = np.random.default_rng(5)
    games = rng.integers(20, 400, size=(6, 90))
    wins = rng.binomial(games, 0.5)
    columns = [*games, *wins, *(np.round(w / g, 4) for w, g in zip(wins, games, strict=True))]
    cells = np.array([[f"{value:g}" for value in column] for column in columns])
    header = ",".join(f"h{n}" for n in range(19))
    lines = [f"C{n}," + ",".join(row) for n, row in enumerate(cells.T)]

    found = {(t.wins, t.games, t.rate) for t in find_triples(sheet(header, *lines))}
    tried = {
        (a + 2, b + 2, c + 2)
        for a, b, c in product(range(12), range(12), range(12, 18))
        if np.mean(np.abs(columns[a] / columns[b] - columns[c]) <= 0.5e-4 + 1e-7) >= 0.9
    }
    assert found == tried
    assert len(found) == 6


@pytest.mark.parametrize(("most", "count"), [(2, 1), (1, 0)])
def test_a_very_wide_table_is_left_to_its_headers(most: int, count: int, monkeypatch):
    monkeypatch.setattr(triples, "MOST_COLUMNS", most)

    assert len(find_triples(sheet("a,b,c,d", *rows()))) == count
