"""What a table sees of a pool, in a notebook."""

import pytest

from winrate_tools.decide.packs.packs import packs_seen
from winrate_tools.errors import SettingError
from winrate_tools.jobs.packs import SHOWN, packs
from winrate_tools.pools import PoolCard, PoolTable
from winrate_tools.report.packs.packs_section import packs_report
from winrate_tools.stats.packs.exposure import Draft
from winrate_tools.tables import Source

POOL = PoolTable([PoolCard(f"Moth {n}", 2 + n % 2) for n in range(20)], Source("pool.csv"))


def test_it_finds_what_the_draft_deals():
    seen = packs(POOL, seats=2, packs=1, size=9)

    assert seen.found == packs_seen(POOL, Draft(2, 1, 9))
    assert seen.source is POOL.source
    assert seen.document == packs_report(seen.found, "pool.csv", SHOWN)


def test_a_table_has_eight_seats_and_three_packs_of_fifteen_unless_said_otherwise():
    assert packs(POOL).found.draft == Draft(8, 3, 15)


def test_places_of_slots_are_told():
    pool = PoolTable([*POOL.cards, PoolCard("Light", 9, slot="lantern")])
    seen = packs(pool, 2, 1, 9, places={"lantern": 3})

    assert [slot.places for slot in seen.found.slots] == [6, 3]


def test_rows_are_the_cards_likeliest_first():
    rows = packs(POOL, 2, 1, 9).rows

    assert [tuple(row) for row in rows] == [packs(POOL).columns] * 20
    chances = [row["chance_dealt"] for row in rows]
    assert chances == sorted(chances, reverse=True)
    assert rows[0]["copies"] == 3


def test_a_pool_too_small_has_no_rows_but_an_answer():
    seen = packs(POOL)

    assert seen.rows == []
    assert list(seen.to_frame().columns) == list(seen.columns)
    assert not seen.found.is_enough


def test_a_draft_that_is_none_is_refused():
    with pytest.raises(SettingError, match="seats must be a whole number from 2 to 100, got 1"):
        packs(POOL, 1)
