"""What the jobs of the library are handed: checked tables, not paths or frames."""

import inspect
from pathlib import Path

import pandas as pd
import pytest

import winrate_tools as wt
from winrate_tools.arguments import MAKERS, demanding_tables
from winrate_tools.errors import SettingError
from winrate_tools.pools import CandidateTable, PoolTable

CARDS = wt.CardTable(["Ash Vine", "Tin Moth"], [900, 900], [360, 540])
POOL = wt.PoolTable([wt.PoolCard("Ash Vine", 3)])


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


def test_a_job_keeps_its_name_its_words_and_its_parameters():
    assert joined.__name__ == "joined"
    assert list(inspect.signature(joined).parameters) == ["pool", "new", "times"]


def test_a_call_that_lacks_an_argument_says_which():
    with pytest.raises(TypeError, match="'pool'"):
        joined()


@pytest.mark.parametrize("maker", MAKERS.values())
def test_what_makes_a_table_is_public(maker: str):
    *names, _ = maker.split("(")

    assert names
    assert set(names) <= set(wt.__all__)
