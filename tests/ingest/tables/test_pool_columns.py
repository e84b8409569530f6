"""Columns that a pool and candidates share."""

import numpy as np
import pytest

from tests.ingest.sheets import sheet
from winrate_tools.ingest.checks.check import Columns, check_rows
from winrate_tools.ingest.roles.kinds import POOL
from winrate_tools.ingest.tables.pool_columns import (
    PoolCards,
    read_copies,
    read_price_and_protection,
)
from winrate_tools.pools import PoolCard

HEADERS = ("card", "copies", "faction", "rarity", "role", "price", "protected", "slot")


def columns(header: str, *rows: str) -> Columns:
    seen = sheet(header, *rows, kind=POOL)
    where = {name: n for n, name in enumerate(header.split(","), 1)}
    return check_rows(seen, where, (read_copies, read_price_and_protection), total=None)


def test_every_column_finds_its_way_into_the_card():
    header = ",".join((*HEADERS, "archetypes"))
    told = columns(header, "Ash Vine,3,Wick,rare,tool,$0.40,yes,Lantern,Kites; Moths")

    assert PoolCards.of(told).card(0, 2) == PoolCard(
        "Ash Vine", 2, "Wick", "rare", "tool", 0.4, True, "Lantern", ("Kites", "Moths")
    )


def test_columns_that_are_not_there_leave_the_card_plain():
    told = columns("card,copies", "Ash Vine,3", "Tin Moth,1")

    assert PoolCards.of(told).card(1, 1) == PoolCard("Tin Moth", 1)


def test_blank_cells_are_unknown_and_no_protection():
    told = columns(",".join(HEADERS), "Ash Vine,3,,,,,,", "Tin Moth,1,Wick,,,1,no,main")

    assert PoolCards.of(told).card(0, 3) == PoolCard("Ash Vine", 3)
    assert PoolCards.of(told).card(1, 1) == PoolCard("Tin Moth", 1, "Wick", price=1.0)


@pytest.mark.parametrize("slot", ["main", "Main", "MAIN", ""])
def test_the_main_slot_has_one_name(slot: str):
    told = columns("card,copies,slot", f"Ash Vine,3,{slot}", "Tin Moth,1,Lantern")

    assert PoolCards.of(told).card(0, 3).slot == "main"
    assert PoolCards.of(told).card(1, 3).slot == "Lantern"


def test_copies_are_read_only_where_the_table_has_them():
    told = columns("card,price", "Ash Vine,3", "Tin Moth,1")

    assert "copies" not in told.numbers
    assert np.array_equal(told.numbers["price"], [3, 1])


def test_protection_is_a_truth_value():
    told = columns("card,copies,protected", "Ash Vine,3,yes", "Tin Moth,1,no")

    assert PoolCards.of(told).card(0, 3).is_protected is True
    assert PoolCards.of(told).card(1, 3).is_protected is False
