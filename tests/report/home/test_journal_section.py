"""Forecasts held against what was then seen, in words."""

import datetime as dt
from typing import get_args

from winrate_tools.decide.home.journal import Outcome, Review
from winrate_tools.journal import JournalRow
from winrate_tools.report.home.journal_section import OUTCOMES, journal_section

DAY = dt.date(2026, 1, 9)


def test_each_change_has_a_row():
    seen = JournalRow(DAY, "3 in", "Kites", 0.48, 0.46, 0.5, 0.9, DAY, 0.51, 0.4, 0.62, 1034)
    open_still = JournalRow(DAY, "rebuilt", "Moths")

    told, table = journal_section(
        [Review(seen, "as forecast", 0.38, 0.58), Review(open_still, "no forecast")]
    ).blocks

    assert table.rows == (
        (
            *("3 in", "2026-01-09", "Kites", "48.0%", "38.0 to 58.0%", "51.0%"),
            *("40.0 to 62.0%", "1,034", "as forecast"),
        ),
        ("rebuilt", "2026-01-09", "Moths", "", "", "", "", "", "no forecast"),
    )
    assert len(table.columns) == 9
    assert "both at an even table where 50% is the mean of all games" in told.text


def test_an_empty_journal_says_nothing():
    assert journal_section([]).blocks == ()


def test_what_cannot_be_told_apart_is_explained():
    row = JournalRow(DAY, "3 in", "Kites", 0.453, 0.44, 0.47, 0.9, DAY, 0.524, 0.4, 0.64, 31)

    _, table, why = journal_section([Review(row, "cannot tell apart", 0.38, 0.58)]).blocks

    assert table.rows[0][-1] == "cannot tell apart"
    assert why.text.startswith("Cannot tell apart: the range of what was seen holds both")


def test_every_outcome_has_its_words():
    assert set(OUTCOMES) == set(get_args(Outcome))
