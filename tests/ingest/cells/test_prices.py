"""A column of prices."""

import numpy as np
import pytest

from tests.ingest.sheets import view
from winrate_tools.errors import MappingError
from winrate_tools.ingest.cells.prices import read_prices
from winrate_tools.ingest.roles.kinds import POOL


def read(*cells: str, decimal: str | None = None):
    rows = (f"Card {n};1;{cell}" for n, cell in enumerate(cells))
    return read_prices(view("Card;Copies;Price", *rows, kind=POOL, decimal=decimal))


@pytest.mark.parametrize(
    ("cells", "values"),
    [
        (("0.40", "12", "0"), [0.4, 12, 0]),
        (("0,40 €", "1.204,50 €", "3 €"), [0.4, 1204.5, 3]),
        (("$0.40", "$1,204.50", "2"), [0.4, 1204.5, 2]),
        (("EUR 3", "4 €"), [3, 4]),
        (("3", "4", "$5"), [3, 4, 5]),
    ],
)
def test_prices_are_read_in_any_dialect(cells: tuple[str, ...], values: list[float]):
    part = read(*cells)

    assert part.findings == ()
    assert part.numbers["price"].tolist() == values


def test_a_price_that_is_not_known_is_no_nothing():
    part = read("0.40", "", "-", "?")

    assert np.isnan(part.numbers["price"]).tolist() == [False, True, True, True]
    assert part.findings == ()


@pytest.mark.parametrize(
    ("cell", "message"),
    [
        ("-1.00", "price must be at least 0, got -1.00 for 'Card 1'"),
        ("$-1.00", "price must be at least 0, got $-1.00 for 'Card 1'"),
        ("3 apples", "price: a number was wanted, got '3 apples' for 'Card 1'"),
        ("5%", "price must be an amount of money, got 5% for 'Card 1'"),
        ("€2", "price must be in one money, got €2 beside $0.40 on line 2 for 'Card 1'"),
    ],
)
def test_what_is_no_price_is_reported_in_its_place(cell: str, message: str):
    part = read("$0.40", cell, "$0.50")
    messages = {found.problem.message: found.problem.place for found in part.findings}

    assert messages == {message: "cards.csv:3:3"}


def test_a_wrong_price_is_unknown():
    values = read("0.40", "-1", "5%").numbers["price"]

    assert values[0] == 0.4
    assert np.isnan(values[1:]).all()


def test_a_mark_that_could_be_either_is_asked_for():
    with pytest.raises(MappingError, match=r"price 1\.204 € on line 2 could be 1\.204 or 1204"):
        read("1.204 €", "2 €")

    assert read("1.204 €", "2 €", decimal=",").numbers["price"].tolist() == [1204, 2]
    assert read("1.204 €", "2 €", decimal=".").numbers["price"].tolist() == [1.204, 2]
