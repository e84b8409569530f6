"""Logs in Parquet."""

import subprocess
import sys

import pandas as pd
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.logs import log_parquet as module
from winrate_tools.ingest.logs.coded import Wanted
from winrate_tools.ingest.logs.log_parquet import (
    parquet_head,
    parquet_log,
    parquet_rows,
    placed_rows,
)


@pytest.fixture
def path(tmp_path):
    frame = pd.DataFrame(
        {
            "game": [1, 2, 3],
            "won": [True, False, None],
            "cards": [["Fox", "Moth"], [], ["Fox"]],
            "archetype": ["Kites", None, "Masks"],
            "Vine": [0, 2, 100],
        }
    )
    frame.to_parquet(tmp_path / "log.parquet")
    return str(tmp_path / "log.parquet")


def test_the_head_is_text(path):
    with parquet_log(path) as file:
        head = parquet_head(file, "log.parquet")

    assert head.headers == ("game", "won", "cards", "archetype", "Vine")
    assert [row.cells for row in head.rows] == [
        ["1", "True", "Fox\x1fMoth", "Kites", "0"],
        ["2", "False", "", "", "2"],
        ["3", "", "Fox", "Masks", "100"],
    ]


@pytest.mark.parametrize("batch", [1, 2, 1 << 16])
def test_batches_are_coded_rows(path, batch, monkeypatch):
    monkeypatch.setattr(module, "BATCH", batch)
    wanted = Wanted((2, 4), (1,), {3: "|"}, (5,))
    with parquet_log(path) as file:
        parts = [rows for rows, _ in parquet_rows(file, path, wanted)]

    assert [n for rows in parts for n in rows.numbers[1].tolist()] == [1, 2, 3]
    for number, texts in ((2, ["True", "False", ""]), (4, ["Kites", "", "Masks"])):
        coded = [rows.columns[number] for rows in parts]
        assert [one.texts[code] for one in coded for code in one.codes] == texts
    lists = [rows.lists[3] for rows in parts]
    assert [one.texts[code] for one in lists for code in one.codes] == ["Fox", "Moth", "Fox"]
    assert [length for one in lists for length in one.lengths().tolist()] == [2, 0, 1]
    assert [n for rows in parts for n in rows.copies[:, 0].tolist()] == [0, 2, 255]
    assert [rows.line for rows in parts] == list(range(1, 4, min(batch, 3)))


def test_a_batch_can_be_written_as_text_to_point_at(path):
    with parquet_log(path) as file:
        head = parquet_head(file, "log.parquet")
        ((rows, columns),) = parquet_rows(file, path, Wanted((2,), (1,), {3: "|"}))
        grid = placed_rows(columns, head, rows)

    assert grid.rows[0].cells == ["1", "True", "Fox\x1fMoth", "", ""]
    assert grid.finding(2, 3, "wrong", "mend").problem.place == "log.parquet:row 3:3"


def test_a_damaged_or_empty_file_is_refused(tmp_path):
    bad = tmp_path / "bad.parquet"
    bad.write_bytes(b"PAR1 and no more")
    pd.DataFrame({"game": []}).to_parquet(tmp_path / "empty.parquet")

    with pytest.raises(TableError, match="is damaged"), parquet_log(str(bad)):
        pass
    with (
        pytest.raises(TableError, match="no rows"),
        parquet_log(str(tmp_path / "empty.parquet")),
    ):
        pass


@pytest.mark.parametrize("as_dictionary", [True, False])
def test_a_log_of_many_groups_is_read_whole(as_dictionary, tmp_path):
    cards = [["Fox", f"Card {n}"] for n in range(1000)]
    frame = pd.DataFrame({"won": ["yes", "no"] * 500, "cards": cards})
    path = str(tmp_path / "many.parquet")
    frame.to_parquet(path, row_group_size=300, use_dictionary=as_dictionary)
    with parquet_log(path) as file:
        parts = [
            rows.lists[2] for rows, _ in parquet_rows(file, path, Wanted((1,), lists={2: "|"}))
        ]

    entries = [part.texts[code] for part in parts for code in part.codes]
    assert entries == [name for deck in cards for name in deck]
    assert [len(part.ends) for part in parts] == [300, 300, 300, 100]


def heads_of(table, tmp_path, group: int):
    """Write a table in groups of so many rows, and read its head, and all of its cards."""
    path = str(tmp_path / "log.parquet")
    pq.write_table(table, path, row_group_size=group)
    with parquet_log(path) as file:
        head = parquet_head(file, "log.parquet")
        parts = [rows for rows, _ in parquet_rows(file, path, Wanted((), lists={1: "|"}))]
    return [row.cells[0] for row in head.rows], [part.lists[1] for part in parts]


@pytest.mark.parametrize("kind", [pa.list_(pa.string()), pa.large_list(pa.string())])
def test_lists_of_any_kind_are_read(kind, tmp_path):
    cards = [["Fox"], [], ["Moth", "Vine", "Fox"]]
    head, (lists,) = heads_of(pa.table({"cards": pa.array(cards, kind)}), tmp_path, 100)

    assert head == ["Fox", "", "Moth\x1fVine\x1fFox"]
    assert lists.ends.tolist() == [1, 1, 4]


@pytest.mark.parametrize("kind", [pa.list_(pa.string()), pa.large_list(pa.string())])
def test_lists_of_any_kind_are_read_unknown_ones_too(kind, tmp_path):
    cards = [["Fox"], None, ["Moth", None, "Fox"], []]
    head, (lists,) = heads_of(pa.table({"cards": pa.array(cards, kind)}), tmp_path, 100)

    assert head == ["Fox", "", "Moth\x1f\x1fFox", ""]
    assert lists.ends.tolist() == [1, 1, 4, 4]
    assert [lists.texts[code] for code in lists.codes] == ["Fox", "Moth", "", "Fox"]


@pytest.mark.parametrize("group", [1, 7, 1000, 3000])
def test_the_head_is_as_long_whatever_groups_it_lies_in(group, tmp_path, monkeypatch):
    monkeypatch.setattr(module, "HEAD_ROWS", 20)
    table = pa.table({"game": list(range(30))})
    pq.write_table(table, tmp_path / "log.parquet", row_group_size=group)
    with parquet_log(str(tmp_path / "log.parquet")) as file:
        head = parquet_head(file, "log.parquet")

    assert [row.cells for row in head.rows] == [[str(n)] for n in range(20)]


def test_cards_of_the_head_that_are_no_text_are_written_by_their_bytes(tmp_path):
    odd = pa.array([b"F\xff", b"Fox", b"F\xff"]).view(pa.string())
    pq.write_table(pa.table({"card": odd}), tmp_path / "log.parquet")
    with parquet_log(str(tmp_path / "log.parquet")) as file:
        head = parquet_head(file, "log.parquet")

    assert [row.cells for row in head.rows] == [["F\\xff"], ["Fox"], ["F\\xff"]]


def test_a_copy_of_ours_is_read_without_loading_what_computes(tmp_path):
    cards = pa.array([["Fox", "Moth"], ["Fox"]])
    pq.write_table(pa.table({"cards": cards, "game": [1, 2]}), tmp_path / "log.parquet")
    path = str(tmp_path / "log.parquet")
    script = f"""
import sys
from winrate_tools.ingest.logs import log_parquet as logs
from winrate_tools.ingest.logs.coded import Wanted
with logs.parquet_log({path!r}) as file:
    logs.parquet_head(file, "log.parquet")
    rows = list(logs.parquet_rows(file, {path!r}, Wanted((), (2,), {{1: "|"}})))
print(rows[0][0].lists[1].texts, {{"pyarrow.compute", "pandas"}} & set(sys.modules))
"""
    done = subprocess.run(
        [sys.executable, "-c", script], check=True, capture_output=True, text=True
    )

    assert done.stdout == "('Fox', 'Moth') set()\n"
