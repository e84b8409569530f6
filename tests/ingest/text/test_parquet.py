"""Parquet, read as cells of text."""

import datetime as dt
import io
from decimal import Decimal

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from winrate_tools.errors import MappingError, TableError
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards
from winrate_tools.ingest.text import parquet as module
from winrate_tools.ingest.text.parquet import read_parquet


def parquet(**columns: pa.Array) -> bytes:
    file = io.BytesIO()
    pq.write_table(pa.table(columns), file)
    return file.getvalue()


def test_parquet_goes_through_the_same_checks():
    table = read_cards(
        parquet(
            Card=pa.array(["None", "007", "C"]).dictionary_encode(),
            Games=pa.array([1234, None, 8], pa.int32()),
            Wins=pa.array([617.0, float("nan"), 1.0]),
            Rate=pa.array([0.5, None, 0.125], pa.float32()),
            Pick=pa.array([1.234, 2.5, 3.3], pa.float32()),
        ),
        columns={"mean_pick": "Pick"},
    )

    assert table.card == ("None", "007", "C")
    np.testing.assert_array_equal(table.games, [1234, np.nan, 8])
    np.testing.assert_array_equal(table.wins, [617, np.nan, 1])
    assert table.mean_pick.tolist() == [1.234, 2.5, 3.3]


def test_parquet_problems_are_placed_by_row():
    data = parquet(Card=["A", "B,x"], Games=[5, 6], Wins=[3, 7], Note=[True, None])
    problem = inspect_cards(data, name="cards.parquet").problems[0]

    assert problem.place == "cards.parquet:row 2:3"
    assert problem.line == '"B,x",6,7,'
    assert problem.line[problem.start : problem.end] == "7"


def test_float32_rates_agree_with_their_counts():
    wins, games = np.arange(40, 60), np.arange(90, 110)
    rates = pa.array((wins / games).astype(np.float32))
    data = parquet(a=[f"Card {n}" for n in range(20)], b=games, c=wins, d=rates)

    assert inspect_cards(data).roles == {
        "card": "a",
        "games": "b",
        "wins": "c",
        "win_rate": "d",
    }


def test_parquet_without_rows_is_refused():
    with pytest.raises(TableError, match="1 columns and 0 rows, so nothing to read"):
        read_cards(parquet(Card=pa.array([], pa.string())))


@pytest.mark.parametrize(
    ("column", "cells"),
    [
        (pa.array([1, None], pa.uint8()), ["1", ""]),
        (pa.array([1e-7, 1e22]), ["0.0000001", "10000000000000000000000.0"]),
        (pa.array([0.1, float("nan")], pa.float32()), ["0.1", ""]),
        (pa.array([np.float16(0.25), None], pa.float16()), ["0.25", ""]),
        (pa.array([1e-7, None]).dictionary_encode(), ["0.0000001", ""]),
        (pa.array([float("inf"), 1.0]), ["inf", "1.0"]),
        (
            pa.array([Decimal(0), Decimal("12.5")], pa.decimal128(20, 10)),
            ["0.0000000000", "12.5000000000"],
        ),
        (pa.array([None, Decimal(7)], pa.decimal256(40, 0)), ["", "7"]),
        (pa.array(["a\n,b", None], pa.large_string()), ["a\n,b", ""]),
        (pa.array(["Käfer".encode(), None]), ["Käfer", ""]),
        (pa.array([b"\xffA", b"B"]), ["\\xffA", "B"]),
        (pa.array([True, None]), ["True", ""]),
        (pa.nulls(2), ["", ""]),
        (pa.array([[1, 2], None]), ["[1, 2]", ""]),
        (pa.array([dt.date(2026, 4, 3), None]), ["2026-04-03", ""]),
        (pa.array([2**62, 1], pa.timestamp("us")), ["(timestamp[us])"] * 2),
        (pa.array([2**62, 1], pa.duration("s")), ["(duration[s])"] * 2),
        (
            pa.array([1, 2], pa.timestamp("us", "No/Where")),
            ["(timestamp[us, tz=No/Where])"] * 2,
        ),
    ],
    ids=lambda value: str(value.type) if isinstance(value, pa.Array) else "",
)
def test_every_kind_of_column_becomes_text_in_full(column: pa.Array, cells: list[str]):
    grid = read_parquet(parquet(Card=column), "cards.parquet")

    assert [row.cells[0] for row in grid.rows] == cells


def test_text_that_is_not_utf_8_keeps_its_bytes_in_sight():
    broken = pa.Array.from_buffers(
        pa.string(), 1, [None, pa.py_buffer(b"\0\0\0\0\2\0\0\0"), pa.py_buffer(b"\xffB")]
    )

    assert read_parquet(parquet(Card=broken), "x").rows[0].cells == ["\\xffB"]


def test_repeated_headers_are_asked_about_and_not_called_damage():
    columns = [pa.array(["A", "B"]), pa.array([4, 5]), pa.array([6, 7]), pa.array([1, 2])]
    file = io.BytesIO()
    pq.write_table(pa.Table.from_arrays(columns, ["Card", "Games", "Games", "Wins"]), file)

    with pytest.raises(MappingError, match="2 columns could be games"):
        read_cards(file.getvalue())


def test_more_cells_than_any_table_has_are_refused_before_they_are_read(monkeypatch):
    monkeypatch.setattr(module, "MOST_CELLS", 7)

    assert len(read_parquet(parquet(a=[1] * 7), "x").rows) == 7
    with pytest.raises(TableError, match="2 columns and 4 rows, too much"):
        read_parquet(parquet(a=[1] * 4, b=[1] * 4), "x")


def test_a_file_with_any_broken_byte_is_read_or_refused():
    whole = parquet(Card=["Ash", "Tin"], Games=[4, 5], Wins=[1, 2])
    outcomes = set()
    for at in range(4, len(whole), 7):
        try:
            outcomes.add(
                type(read_parquet(whole[:at] + b"\xe1" + whole[at + 1 :], "x")).__name__
            )
        except TableError:
            outcomes.add("refused")

    assert outcomes == {"Grid", "refused"}
