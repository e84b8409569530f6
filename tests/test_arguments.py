"""What the jobs of the library are handed: checked tables, not paths or frames."""

import inspect
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import winrate_tools as wt
from winrate_tools.arguments import MAKERS, PLAIN, _made, demanding_tables
from winrate_tools.errors import OutputError, SettingError
from winrate_tools.pools import CandidateTable, PoolTable

CARDS = wt.CardTable(["Ash Vine", "Tin Moth"], [900, 900], [360, 540])
POOL = wt.PoolTable([wt.PoolCard("Ash Vine", 3)])
RANKING = wt.rank(CARDS)
PLAYED = wt.MatchTable([wt.Match("Ada", "Bo", 2, 1)])
JOBS = [
    job
    for name in wt.__all__
    if inspect.isfunction(job := getattr(wt, name)) and ".ingest." not in job.__module__
]


@demanding_tables
def joined(pool: PoolTable, new: CandidateTable | None = None, *, times: int = 1) -> int:
    return times * (pool.size + (new is not None))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: wt.rank("x.csv"), "cards must be a CardTable, got the path 'x.csv'; read it "
         "first: read_cards('x.csv')"),
        (lambda: wt.rank(CARDS, archetypes="a.csv"), "archetypes must be an ArchetypeTable, "
         "got the path 'a.csv'; read it first: read_archetypes('a.csv')"),
        (lambda: wt.archetypes(None, "a.csv"), "decks must be an ArchetypeTable, got"),
        (lambda: wt.packs(Path("p.csv")), "pool must be a PoolTable, got the path 'p.csv'; read"
         " it first: read_pool('p.csv')"),
        (lambda: wt.plan("x.csv", POOL), "read it first: rank(read_cards('x.csv'))"),
        (lambda: wt.plan(CARDS, POOL), "ranking must be a Ranking, got a value of type "
         "CardTable; rank(read_cards(...)) gives one"),
        (lambda: wt.plan(wt.rank(CARDS), POOL, "c.csv"), "read_candidates('c.csv')"),
        (lambda: wt.changes(POOL, "p.csv"), "new must be a PoolTable, got the path 'p.csv'"),
        (lambda: wt.update(wt.rank(CARDS), "h.csv"), "read_matches('h.csv')"),
        (lambda: wt.power("x.csv"), "settings must be a Settings, got a value of type str; "
         "Settings(margin=0.02) gives one"),
        (lambda: wt.power(ranking="x.csv"), "read it first: rank(read_cards('x.csv'))"),
        (lambda: wt.write_report("x.csv", "y.md"), "answer must be an Answer, got the path"),
        (lambda: wt.rank(pd.DataFrame()), "got a value of type DataFrame; read_cards(...) giv"),
        (lambda: wt.update(RANKING, PLAYED, "Kites"), "changed must be a mapping of archetypes "
         "to the first day of the change or to None, such as {\"Kites\": date(2026, 1, 31)} or "
         "{\"Kites\": None}, got 'Kites'"),
        (lambda: wt.update(RANKING, PLAYED, {"Kites": "May"}), "got {'Kites': 'May'}"),
        (lambda: wt.update(RANKING, PLAYED, {1: None}), "got {1: None}"),
        (lambda: wt.update(RANKING, PLAYED, ["Kites"]), "got ['Kites']"),
        (lambda: wt.power(gaps=0.02), "gaps must be a list of numbers, such as [0.01, 0.02], "
         "got 0.02"),
        (lambda: wt.power(gaps=[0.02, "x"]), "got [0.02, 'x']"),
        (lambda: wt.power(gaps="0.02"), "got '0.02'"),
        (lambda: wt.power(gaps=""), "gaps must be a list of numbers, such as [0.01, 0.02], "
         "got ''"),
        (lambda: wt.power(gaps={0.02: 1}), "got {0.02: 1}"),
        (lambda: wt.power(gaps=iter([0.02])), "gaps must be a list of numbers, such as"),
        (lambda: wt.power(gaps=[True]), "got [True]"),
        (lambda: wt.power(games=1000), "games must be a list of whole numbers, such as "
         "[100, 1000], got 1000"),
        (lambda: wt.power(games=[10.5]), "got [10.5]"),
        (lambda: wt.packs(POOL, seats=2.5), "seats must be a whole number, got 2.5"),
        (lambda: wt.packs(POOL, 2, True), "packs must be a whole number, got True"),
        (lambda: wt.packs(POOL, places=["main"]), "places must be a mapping of slots to whole "
         "numbers, such as {\"lantern\": 1}, got ['main']"),
        (lambda: wt.packs(POOL, places={"main": "1"}), "got {'main': '1'}"),
        (lambda: wt.changes(POOL, POOL, "too weak"), "reasons must be a mapping of cards to "
         "texts, such as {\"Tin Moth\": \"too weak\"}, got 'too weak'"),
        (lambda: wt.write_report(RANKING, 3), "path must be a path, got 3"),
        (lambda: wt.write_report(RANKING, "x.md", force="no"), "force must be True or False, "
         "got 'no'"),
        (lambda: wt.changes(POOL, POOL, {"x" * 99: 1}), "xxx...xxx"),
        (lambda: wt.plan(RANKING, POOL, progress=3), "progress must be a function of a whole "
         "number, such as print, got 3"),
    ],
)  # fmt: skip
def test_what_is_no_table_is_refused_with_what_makes_one(call, message: str):
    with pytest.raises(SettingError) as caught:
        call()

    assert message in str(caught.value)


def test_tables_pass_by_place_and_by_name_and_other_arguments_are_left_alone():
    assert joined(POOL) == 3
    assert joined(new=CandidateTable([]), pool=POOL, times=2) == 8
    assert joined(POOL, None) == 3


def test_a_file_in_the_way_is_told_with_what_a_program_can_do(tmp_path: Path):
    path = tmp_path / "cuts.md"
    path.write_text("mine")

    with pytest.raises(OutputError, match=r"cuts\.md exists; force=True writes over it$"):
        wt.write_report(RANKING, path)
    with pytest.raises(OutputError, match="there is no folder"):
        wt.write_report(RANKING, tmp_path / "no" / "cuts.md")


def test_a_job_keeps_its_name_its_words_and_its_parameters():
    assert joined.__name__ == "joined"
    assert list(inspect.signature(joined).parameters) == ["pool", "new", "times"]


def test_a_call_that_lacks_an_argument_says_which():
    with pytest.raises(TypeError, match="'pool'"):
        joined()


def test_whatever_holds_numbers_is_a_list_of_them():
    asked = [0.01, 0.02]
    wanted = wt.power(gaps=asked, games=[100]).rows

    assert wt.power(gaps=np.array(asked), games=np.array([100])).rows == wanted
    assert wt.power(gaps=pd.Series(asked), games=range(100, 101)).rows == wanted
    assert wt.packs(POOL, np.int64(2), size=3).rows == wt.packs(POOL, 2, size=3).rows


def test_nothing_is_asked_of_what_may_be_left_out():
    assert wt.power(games=None).rows == wt.power().rows
    assert wt.changes(POOL, POOL, None).rows == wt.changes(POOL, POOL).rows


@pytest.mark.parametrize("job", JOBS)
def test_every_parameter_of_a_job_is_checked(job):
    parameters = inspect.signature(job).parameters.values()
    unchecked = [
        one.name
        for one in parameters
        if one.kind is not one.VAR_KEYWORD
        and one.name not in PLAIN
        and _made(one.annotation) == ""
    ]

    assert unchecked == []
    assert len(parameters) > 0


@pytest.mark.parametrize("maker", MAKERS.values())
def test_what_makes_a_table_is_public(maker: str):
    *names, _ = maker.split("(")

    assert names
    assert set(names) <= set(wt.__all__)
