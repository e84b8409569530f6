"""The published tables: whole, and named with their source."""

import csv
from pathlib import Path

import pytest

HERE = Path(__file__).parent
FILES = sorted(path.name for path in HERE.glob("*.csv"))
SOURCES = (HERE / "README.md").read_text(encoding="utf-8")

# File, rows, column of successes and their sum, column of trials and their sum. The sums of the
# free throws are those of Henderson and Newton's data as packaged; of the surgery, those of its
# overall rate 208/2814; the others were added up when the file came, and guard its digits.
TOTALS = [
    pytest.param("nba1314_freethrows.csv", 482, "FTM", 43_870, "FTA", 58_029),
    pytest.param("surgical_bugs.csv", 12, "deaths", 208, "n", 2_814),
    pytest.param("toxop_elsalvador.csv", 34, "positive", 356, "ssize", 697),
    pytest.param("lirat.csv", 58, "R", 267, "N", 607),
    pytest.param("efron_morris_1970.csv", 18, "r", 215, "n", 6_649),
    pytest.param("newcombe1998_table1.csv", 24, "x", 677, "n", 3_122),
    pytest.param("ucb_admissions.csv", 12, "adm", 1_755, "n", 4_526),
    pytest.param(
        "china_smoking.csv", 8, "smoking_yes_cancer_yes", 2_930, "smoking_no_cancer_yes", 1_151
    ),
    pytest.param("fay_feuer_birth_order.csv", 6, "cases.5", 740, "births.5", 442_811),
    pytest.param("cbpp.csv", 56, "incidence", 99, "size", 842),
    pytest.param("seeds_crowder1978.csv", 21, "r", 424, "n", 831),
    pytest.param("baseball_1987.csv", 42, "home.wins", 154, "away.wins", 119),
    pytest.param("football_2008.csv", 380, "won", 173, "drawn", 97),
    pytest.param("verbagg_people.csv", 316, "yes", 3_611, "items", 7_584),
    pytest.param("verbagg_items.csv", 24, "yes", 3_611, "people", 7_584),
]


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((HERE / name).read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("name", FILES)
def test_each_file_names_its_source(name: str):
    (line,) = [line for line in SOURCES.splitlines() if line.startswith(f"| `{name}`")]

    assert len([cell for cell in line.split("|") if cell.strip()]) == 5


@pytest.mark.parametrize(("name", "count", "part", "successes", "whole", "trials"), TOTALS)
def test_each_file_adds_up(
    name: str, count: int, part: str, successes: int, whole: str, trials: int
):
    table = rows(name)

    assert len(table) == count
    assert sum(int(row[part]) for row in table) == successes
    assert sum(int(row[whole]) for row in table) == trials


# Low-iron rats: litters, deaths and size of each group of VGAM's data.
@pytest.mark.parametrize(
    ("group", "litters", "deaths", "size"),
    [("1", 31, 248, 327), ("2", 12, 12, 118), ("3", 5, 2, 58), ("4", 10, 5, 104)],
)
def test_the_litters_fall_into_their_groups(group: str, litters: int, deaths: int, size: int):
    table = [row for row in rows("lirat.csv") if row["grp"] == group]

    assert len(table) == litters
    assert sum(int(row["R"]) for row in table) == deaths
    assert sum(int(row["N"]) for row in table) == size


def test_the_players_without_a_free_throw_are_there():
    assert sum(row["FTA"] == "0" for row in rows("nba1314_freethrows.csv")) == 21


def test_every_file_is_checked():
    assert {case.values[0] for case in TOTALS} == set(FILES)
