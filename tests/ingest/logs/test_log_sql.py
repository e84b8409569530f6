"""The counts of a log by SQL: what DuckDB finds is what the tally finds."""

import duckdb
import pytest

from winrate_tools.ingest.logs.log_head import described_log
from winrate_tools.ingest.logs.log_sql import log_sql
from winrate_tools.ingest.logs.logs import count_logs
from winrate_tools.simulate.logs import log_text, simulate_log
from winrate_tools.simulate.world import World


def found_by_both(path: str, columns=None, cuts=()):
    head, roles = described_log(path, columns)
    theirs = duckdb.sql(log_sql(path, head, roles, cuts)).fetchall()
    ours = count_logs([path], columns=columns, skill_cuts=cuts).tally.card_table()
    labels = [column for column in (ours.archetype, ours.skill_band) if column is not None]
    counts = [ours.games, ours.wins, ours.unheld_games, ours.unheld_wins]
    numbers = [column.astype(int).tolist() for column in counts if column is not None]
    return sorted(theirs, key=str), sorted(
        zip(ours.card, *labels, *numbers, strict=True), key=str
    )


@pytest.mark.parametrize("hands", [True, False])
@pytest.mark.parametrize("layout", ["long", "list", "wide"])
def test_duckdb_counts_as_the_tally_does(layout, hands, tmp_path):
    path = tmp_path / "the log's.csv"
    path.write_text(log_text(simulate_log(World(drafts=3), 4), layout, hands=hands))
    theirs, ours = found_by_both(str(path))

    assert len(ours) > 200
    assert theirs == ours


def test_draws_titles_cuts_and_unknown_labels_are_dealt_with_alike(tmp_path):
    rows = [
        f"{n};{'draw' if n % 7 == 0 else n % 2};{1000 + n};{'' if n % 3 else 'Kites'};Fox|Moth"
        for n in range(60)
    ]
    path = tmp_path / "log.csv"
    path.write_text("our log\n\ngame;won;skill;archetype;cards\n" + "\n".join(rows) + "\n")
    theirs, ours = found_by_both(str(path), cuts=[1020, 1040.5])

    assert len(ours) == 12
    assert theirs == ours
    unbanded = found_by_both(str(path), {"skill": 0, "archetype": 0})
    assert unbanded[0] == unbanded[1]


def test_parquet_is_read_as_parquet(tmp_path):
    path = tmp_path / "log.csv"
    path.write_text("game,won,cards\n1,yes,Fox|Moth\n")

    assert "read_parquet('x.parquet')" in log_sql("x.parquet", *described_log(str(path)))
