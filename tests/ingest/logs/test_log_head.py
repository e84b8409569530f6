"""The first rows of a log."""

from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from winrate_tools.errors import MappingError
from winrate_tools.ingest.logs.log_head import (
    described_log,
    inspect_log,
    is_log,
    is_parquet,
    log_head,
)

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"


def on_disk(folder: Path, text: str) -> str:
    path = folder / "log.csv"
    path.write_text(text)
    return str(path)


def test_a_log_is_described_without_counting_it(tmp_path):
    path = on_disk(tmp_path, "game,won,cards\n1,yes,Fox|Moth\n")
    head, roles = described_log(path)

    assert (head.headers, roles.layout, roles.mark) == (("game", "won", "cards"), "list", "|")
    assert not is_parquet(path)
    assert not is_parquet("-")


def test_the_head_of_a_parquet_log_is_read_too(tmp_path):
    path = str(tmp_path / "log.parquet")
    pq.write_table(pa.table({"game": [1], "won": ["yes"], "cards": [["Fox", "Moth"]]}), path)

    assert log_head(path).headers == ("game", "won", "cards")
    assert is_log(path)
    assert inspect_log(path).problems == ()


def test_every_sample_but_the_log_is_no_log():
    logs = [path.name for path in sorted(SAMPLE.glob("*.csv")) if is_log(str(path))]

    assert logs == ["games.csv"]


def test_what_is_no_table_is_no_log(tmp_path):
    path = on_disk(tmp_path, "<html><body>sign in</body></html>")

    assert not is_log(path)


def test_a_log_needs_no_plain_headers_where_the_user_names_them(tmp_path):
    path = on_disk(tmp_path, "a,b\n1,Fox|Moth\n")

    assert not is_log(path)
    assert is_log(path, {"won", "cards"})
    assert inspect_log(path, {"won": 1, "cards": 2}).roles.where == {"won": 1, "cards": 2}
    with pytest.raises(MappingError, match="--map won="):
        inspect_log(path)


def test_every_problem_of_the_first_rows_has_its_place(tmp_path):
    rows = "1,yes,Fox|Moth\n2,what,Fox\n3,no,Fox\n1,no,Fox\n"
    found = inspect_log(on_disk(tmp_path, "game,won,cards\n" + rows))

    assert [problem.place for problem in found.problems] == ["log.csv:3:2"]


def test_more_problems_than_anyone_reads_end_the_look(tmp_path):
    rows = "".join(f"{n},what,Fox|Moth\n" for n in range(300))
    found = inspect_log(on_disk(tmp_path, "game,won,cards\n" + rows))

    assert 100 <= len(found.problems) < 300
