"""Amounts of money as people write them."""

import pytest

from winrate_tools.ingest.cells.currencies import amount


@pytest.mark.parametrize(
    ("cell", "number", "money"),
    [
        ("0.40", "0.40", None),
        ("12", "12", None),
        ("-3", "-3", None),
        (".50", ".50", None),
        ("$0.40", "0.40", "$"),
        ("$ 1,204.50", "1,204.50", "$"),
        ("-$2", "-$2", None),
        ("$-2", "-2", "$"),
        ("0,40 €", "0,40", "€"),
        ("0,40\u00a0€", "0,40", "€"),
        ("€0.40", "0.40", "€"),
        ("EUR 0.40", "0.40", "€"),
        ("1.204,50 Euro", "1.204,50", "€"),
        ("5.\u2013 CHF", "5", "CHF"),
        ("5.-", "5", None),
        ("Fr. 5.20", "5.20", "CHF"),
        ("CHF 1'204.50", "1'204.50", "CHF"),
        ("12 zł", "12", "PLN"),
        ("R$ 3", "3", "BRL"),
        ("30 kr", "30", "kr"),
        ("40 ct", "40", "¢"),
        ("₹ 30", "30", "₹"),
        ("£2", "2", "£"),
    ],
)
def test_a_price_is_a_number_and_a_money(cell: str, number: str, money: str | None):
    assert amount(cell) == (number, money)


@pytest.mark.parametrize("cell", ["3 apples", "€ 3 $", "cheap", "", "-", "3 + 4", "12%"])
def test_what_is_no_price_stays_as_it_is(cell: str):
    assert amount(cell) == (cell, None)


def test_two_ways_to_write_one_money_are_one():
    assert amount("€ 3 EUR") == ("3", "€")
