"""Frames of several libraries, read as every other table is."""

import datetime as dt
import sys
from pathlib import Path

import duckdb
import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pytest

from winrate_tools.errors import MappingError, MissingExtraError, TableError
from winrate_tools.ingest.tables.archetypes import read_archetypes
from winrate_tools.ingest.tables.candidates import read_candidates
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards
from winrate_tools.ingest.tables.matches import read_matches
from winrate_tools.ingest.tables.pools import read_pool
from winrate_tools.ingest.text.frames import frame_bytes

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"
LIBRARIES = {"pandas": pd.DataFrame, "polars": pl.DataFrame, "pyarrow": pa.table}
CARDS = {"Card": ["Ash", "Tin", "Elm"], "Games": [9, None, 4], "Wins": [4, None, 0]}


@pytest.mark.parametrize("make", LIBRARIES.values(), ids=LIBRARIES)
def test_a_frame_of_any_library_gives_the_same_table(make):
    table = read_cards(make(CARDS))

    assert table.card == ("Ash", "Tin", "Elm")
    np.testing.assert_array_equal(table.games, [9, np.nan, 4])
    np.testing.assert_array_equal(table.wins, [4, np.nan, 0])
    assert table.source.roles == {"card": "Card", "games": "Games", "wins": "Wins"}
    assert (table.source.name, len(table.source.sha256)) == ("<frame>", 64)


def test_rows_that_are_not_gathered_yet_are_gathered():
    lazy = pl.LazyFrame(CARDS)
    relation = duckdb.sql("select 'Ash' as Card, 9 as Games, 4 as Wins")

    assert read_cards(lazy).card == ("Ash", "Tin", "Elm")
    assert read_cards(relation).games.tolist() == [9]


@pytest.mark.parametrize(
    ("file", "read", "rows"),
    [
        ("cards.csv", read_cards, "card"),
        ("archetypes.csv", read_archetypes, "archetype"),
        ("pool.csv", read_pool, "cards"),
        ("candidates.csv", read_candidates, "candidates"),
        ("home.csv", read_matches, "matches"),
    ],
)
@pytest.mark.parametrize("load", [pd.read_csv, pl.read_csv])
def test_every_kind_of_table_is_read_from_a_frame_as_from_its_file(file, read, rows, load):
    from_file, from_frame = read(SAMPLE / file), read(load(SAMPLE / file))

    assert getattr(from_frame, rows) == getattr(from_file, rows)
    assert from_frame.source.roles == from_file.source.roles


@pytest.mark.parametrize("make", LIBRARIES.values(), ids=LIBRARIES)
def test_a_wrong_cell_is_placed_by_row_and_column(make):
    frame = make({"Card": ["Ash", "Tin"], "Games": [9, 3], "Wins": [4, 7]})
    [problem] = inspect_cards(frame, name="mine").problems

    assert problem.place == "mine:row 2:3"
    assert problem.message == "wins 7 is more than games 3 for 'Tin'"
    assert problem.line[problem.start : problem.end] == "7"


def test_a_column_of_several_kinds_is_read_cell_by_cell():
    frame = pd.DataFrame(
        {"Card": ["Ash", "Tin", "Elm"], "Games": [9, "many", np.nan], "Wins": [4, 2, 1]}
    )
    [problem] = inspect_cards(frame).problems

    assert problem.message == "games: a number was wanted, got 'many' for 'Tin'"
    assert read_cards(frame, skip_bad=True).card == ("Ash", "Elm")
    assert np.isnan(read_cards(frame, skip_bad=True).games[1])


@pytest.mark.parametrize("make", LIBRARIES.values(), ids=LIBRARIES)
def test_lists_and_days_mean_what_they_are(make):
    frame = make(
        {
            "player": ["Ada", "Bo"],
            "opponent": ["Bo", "Cy"],
            "games_won": [2, 2],
            "games_lost": [1, 0],
            "date": [dt.date(2026, 1, 31), dt.date(2026, 2, 1)],
            "cards": [["Ash", "Tin"], None],
        }
    )
    first, second = read_matches(frame).matches

    assert (first.cards, second.cards) == (("Ash", "Tin"), ())
    assert (first.date, second.date) == (dt.date(2026, 1, 31), dt.date(2026, 2, 1))


def test_arrays_in_the_cells_of_pandas_are_lists():
    cells = pd.Series([np.array(["Ash", "Tin"]), None])
    frame = pd.DataFrame(
        {"player": ["Ada", "Bo"], "opponent": ["Bo", "Cy"], "score": ["2-1", "2-0"]}
    ).assign(cards=cells)

    assert read_matches(frame).matches[0].cards == ("Ash", "Tin")


def test_times_of_pandas_are_days():
    frame = pd.DataFrame(
        {
            "player": ["Ada"],
            "opponent": ["Bo"],
            "score": ["2-1"],
            "date": pd.to_datetime(["2026-01-31"]),
        }
    )

    assert read_matches(frame).matches[0].date == dt.date(2026, 1, 31)


def test_headers_that_are_numbers_can_be_named():
    frame = pd.DataFrame([["Ash", 9, 4], ["Tin", 7, 3]])

    with pytest.raises(MappingError, match="cannot tell which column holds games and wins"):
        read_cards(frame)
    table = read_cards(frame, columns={"card": "0", "games": "1", "wins": "2"})
    assert table.wins.tolist() == [4, 3]


def test_what_is_missing_in_a_column_of_several_kinds_is_unknown():
    frame = pd.DataFrame(CARDS).assign(Faction=[1, "Cog", pd.NA])

    assert read_cards(frame).faction == ("1", "Cog", None)


def test_a_column_called_read_makes_no_file_of_a_frame():
    frame = pd.DataFrame(CARDS).assign(read="yes")

    assert read_cards(frame).card == ("Ash", "Tin", "Elm")


def test_an_index_is_no_column():
    frame = pd.DataFrame(CARDS).set_index("Card")

    with pytest.raises(MappingError, match="cannot tell which column holds card"):
        read_cards(frame)
    assert read_cards(frame.reset_index()).card == ("Ash", "Tin", "Elm")


def test_columns_of_one_name_are_refused():
    frame = pd.DataFrame([["Ash", 9, 4]], columns=["Card", "Games", "Games"])

    with pytest.raises(
        TableError, match=r"^<frame>: every column needs a name of its own; .*'G"
    ):
        read_cards(frame)


@pytest.mark.parametrize("make", LIBRARIES.values(), ids=LIBRARIES)
def test_a_frame_without_rows_is_refused(make):
    with pytest.raises(
        TableError, match=r"^<frame>: 2 columns and 0 rows, so nothing to read$"
    ):
        read_cards(make({"Card": [], "Games": []}))


@pytest.mark.parametrize("thing", [[1, 2], {"a": 1}, 3, None, pd.Series([1])])
def test_what_is_no_frame_is_refused_by_its_kind(thing):
    kind = type(thing).__name__

    with pytest.raises(TableError, match=f"^a path, bytes, .* was wanted, got {kind}$"):
        read_cards(thing)


def test_without_the_library_that_reads_frames_the_extra_is_named(monkeypatch):
    monkeypatch.setitem(sys.modules, "narwhals", None)

    with pytest.raises(MissingExtraError, match=r'pip install "winrate_tools\[frames\]"'):
        frame_bytes(pd.DataFrame(CARDS), "x")
