"""The change sheet, in a notebook."""

import pytest

from winrate_tools.decide.plan.changes import changes_between
from winrate_tools.errors import CountError
from winrate_tools.jobs.changes import changes
from winrate_tools.pools import PoolCard, PoolTable
from winrate_tools.report.plan.changes_section import changes_report
from winrate_tools.tables import Source

OLD = PoolTable([PoolCard("Ash", 3), PoolCard("Tin", 1), PoolCard("Elm", 1)], Source("old.csv"))
NEW = PoolTable([PoolCard("Ash", 2), PoolCard("Oar", 2), PoolCard("Elm", 1)], Source("new.csv"))


def test_it_finds_what_differs_and_why():
    sheet = changes(OLD, NEW, {"tin": "too weak"})

    assert sheet.found == changes_between(OLD, NEW, {"tin": "too weak"})
    assert sheet.sources == (OLD.source, NEW.source)
    assert sheet.document == changes_report(sheet.found, "old.csv", "new.csv")


def test_rows_are_what_is_out_in_more_and_fewer():
    sheet = changes(OLD, NEW, {"tin": "too weak"})
    rows = [(row["card"], row["copies_before"], row["copies_after"]) for row in sheet.rows]

    assert rows == [("Tin", 1, 0), ("Oar", 0, 2), ("Ash", 3, 2)]
    assert [row["why"] for row in sheet.rows] == ["too weak", "", ""]
    assert [tuple(row) for row in sheet.rows] == [sheet.columns] * 3


def test_pools_of_different_games_are_refused():
    with pytest.raises(CountError, match="no card in common"):
        changes(OLD, PoolTable([PoolCard("Oar", 1)]))
