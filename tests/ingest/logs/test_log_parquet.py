"""Logs in Parquet."""

import pandas as pd
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
