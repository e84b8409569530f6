"""What a plan forecasts, in the journal that `update` reads."""

import csv
import datetime as dt
import re
import shutil
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
import typer

from tests.report.archetype_pools import judged, pooled
from winrate_tools.cli.forecasts import day, forecast_rows
from winrate_tools.decide.plan.forecast import Outcome

SAMPLE = Path(__file__).parent.parent.parent / "sample_data"
FILES = "cards_by_archetype.csv", "archetypes.csv", "pool.csv", "candidates.csv", "home.csv"
FIRST = dt.date(2026, 1, 2)


@pytest.fixture
def planning(folder: Path) -> list[str]:
    for name in FILES:
        shutil.copy(SAMPLE / name, folder / name)
    (folder / "winrate.toml").write_text("[goals]\nresolves = 3\n", "utf-8")
    return [
        *("plan", FILES[0], "--archetypes", FILES[1], "--pool", FILES[2]),
        *("--candidates", FILES[3], "-o", "plan.md", "--journal", "journal.csv"),
    ]


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_forecasts_are_noted_and_then_held_against_the_tables_games(run, planning, folder):
    planned = run(*planning, "--from", "2026-01-02")
    noted = rows_of(folder / "journal.csv")
    update = ("update", FILES[0], "--archetypes", FILES[1], "--matches", FILES[4])
    played = run(*update, "--journal", "journal.csv", "-o", "home.md")

    assert (planned.exit_code, played.exit_code) == (0, 0)
    assert {row["archetype"] for row in noted} == {"Floating Flowers", "Smoke & Mirrors"}
    assert {row["date"] for row in noted} == {"2026-01-02"}
    assert all(row["low"] < row["forecast"] < row["high"] for row in noted)
    assert all(row["seen"] for row in rows_of(folder / "journal.csv"))
    assert "forecast" in (folder / "home.md").read_text("utf-8")


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ((), "--journal goes with --from"),
        (("--from", "soon"), "must be a day such as 2026-01-31, got 'soon'"),
        (("--from", "2026-01-02", "--new-pool", "journal.csv"), "journal.csv"),
    ],
)
def test_what_cannot_be_noted_is_refused_before_any_work(more, said, run, planning, folder):
    result = run(*planning, *more)

    assert result.exit_code == 2
    assert said in " ".join(result.stderr.split())
    assert not (folder / "plan.md").exists()


def test_a_file_that_is_no_journal_stays_as_it_is(run, planning, folder):
    (folder / "journal.csv").write_text("a,b\n1,2\n", "utf-8")

    result = run(*planning, "--from", "2026-01-02")

    assert result.exit_code == 1
    assert (folder / "journal.csv").read_text("utf-8") == "a,b\n1,2\n"
    assert not (folder / "plan.md").exists()


def test_only_archetypes_that_were_off_are_forecast():
    found = pooled(judged("Moths", 0.5), judged("Kites", 0.55), judged("Bells", 0.6))
    names = [one.archetype for one in found.archetypes]
    numbers = [0.5, 0.48, 0.52, 0.51, 0.49, 0.53, 0.01, 0.0, 0.02, 0.9]
    plan = SimpleNamespace(
        moves=(1,),
        gone=(SimpleNamespace(change=-2), SimpleNamespace(change=-1)),
        come=(SimpleNamespace(change=3),),
        outcomes=tuple(Outcome(name, *numbers) for name in names),
        sure=0.9,
    )

    rows = forecast_rows(plan, replace(found, mean=0.5), FIRST)
    assert [row.archetype for row in rows] == ["Moths", "Bells"]
    assert [(row.forecast, row.low, row.high) for row in rows] == [
        pytest.approx((0.51, 0.49, 0.53)) for _ in rows
    ]
    assert {row.change for row in rows} == {"3 out, 3 in"}
    assert forecast_rows(plan, None, FIRST) == []


def test_a_day_is_written_year_first():
    assert day("2026-01-31") == dt.date(2026, 1, 31)
    with pytest.raises(typer.BadParameter, match=re.escape("got '31.1.2026'")):
        day("31.1.2026")
