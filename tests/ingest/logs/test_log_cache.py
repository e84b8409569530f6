"""Logs kept as Parquet."""

from pathlib import Path

import numpy as np
import pyarrow.parquet as pq
import pytest

from winrate_tools.errors import OutputError
from winrate_tools.ingest.logs.coded import Coded, CodedRows
from winrate_tools.ingest.logs.log_cache import cache_folder, cached_path, kept_copy
from winrate_tools.ingest.logs.log_roles import LogRoles

ROLES = LogRoles(
    "wide", {"game": 1, "won": 2}, deck={"Fox": 3, "Moth": 4}, held={"Fox": 5, "Moth": 6}
)


def rows(**changes) -> CodedRows:
    given = {
        "rows": 2,
        "columns": {2: Coded(np.array([1, 0], dtype=np.int32), ("no", "yes"))},
        "numbers": {1: np.array([7, 8])},
        "copies": np.array([[2, 0, 1, 0], [0, 1, 0, 0]], dtype=np.uint8),
    }
    return CodedRows(**(given | changes))


def test_the_folder_is_the_users_own(monkeypatch):
    monkeypatch.setattr(Path, "home", lambda: Path("ann"))

    assert cache_folder({}) == Path("ann/.cache/winrate_tools")
    assert cache_folder({"XDG_CACHE_HOME": "caches"}) == Path("caches/winrate_tools")


def test_the_name_changes_with_the_bytes_and_the_mapping(tmp_path):
    log = tmp_path / "log.csv"
    log.write_text("a")
    one, mapped = (cached_path(str(log), columns, tmp_path) for columns in ({}, {"won": 2}))
    log.write_text("b")

    assert len({one, mapped, cached_path(str(log), {}, tmp_path)}) == 3
    assert one.parent == tmp_path


def test_a_copy_holds_the_columns_by_their_roles(tmp_path):
    target = tmp_path / "deep" / "copy.parquet"
    with kept_copy(target, ROLES) as copy:
        copy.add(rows())
        copy.add(rows())

    assert pq.read_table(target).slice(2).to_pylist() == [
        {"game": 7, "won": "yes", "cards": ["Fox", "Fox"], "held": ["Fox"]},
        {"game": 8, "won": "no", "cards": ["Moth"], "held": []},
    ]


def interrupted(target: Path) -> None:
    with kept_copy(target, ROLES) as copy:
        copy.add(rows())
        raise KeyboardInterrupt


def test_nothing_stays_of_a_copy_that_was_cut_short(tmp_path):
    with pytest.raises(KeyboardInterrupt):
        interrupted(tmp_path / "a.parquet")
    with kept_copy(tmp_path / "b.parquet", ROLES) as copy:
        copy.add(rows())
        copy.add(
            rows(
                numbers={},
                columns={1: Coded(np.zeros(2, dtype=np.int32), ("x",)), **rows().columns},
            )
        )
        copy.add(rows())
    with kept_copy(tmp_path / "c.parquet", ROLES):
        pass

    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").write_text("")

    with (
        pytest.raises(OutputError, match="cannot keep a copy in"),
        kept_copy(tmp_path / "file" / "copy.parquet", ROLES),
    ):
        pass
