"""Inspecting a table of whichever kind it is."""

import io
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.roles.kinds import KINDS
from winrate_tools.ingest.roles.memory import remember_mapping
from winrate_tools.ingest.tables.any_table import INSPECTORS, inspect_any
from winrate_tools.ingest.tables.candidates import inspect_candidates, read_candidates
from winrate_tools.ingest.tables.matches import inspect_matches
from winrate_tools.ingest.tables.pools import inspect_pool, read_pool
from winrate_tools.matches import MatchTable
from winrate_tools.pools import CandidateTable, PoolTable
from winrate_tools.tables import ArchetypeTable, CardTable

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"


def sound(found):
    """Return the table of whatever an inspection or a reader gives."""
    if isinstance(found, tuple):
        found = found[1]
    return found if isinstance(found, PoolTable) else found.sound_table()


@pytest.mark.parametrize(
    ("file", "title", "table"),
    [
        ("cards.csv", "cards", CardTable),
        ("market_export.csv", "cards", CardTable),
        ("archetypes.csv", "archetypes", ArchetypeTable),
        ("pool.csv", "pool", PoolTable),
        ("candidates.csv", "candidates", CandidateTable),
        ("home.csv", "matches", MatchTable),
    ],
)
def test_each_sample_is_read_as_what_it_is(file: str, title: str, table: type):
    kind, seen = inspect_any(SAMPLE / file)

    assert kind is KINDS[title]
    assert isinstance(seen.table, table)
    assert seen.name == file


def test_every_kind_has_a_reader():
    assert INSPECTORS.keys() == KINDS.keys()


def test_the_user_may_say_the_kind():
    kind, seen = inspect_any(SAMPLE / "pool.csv", kind="cards")

    assert kind.title == "cards"
    assert "which column holds games and wins" in str(seen.unclear)


def test_columns_that_the_user_names_tell_the_kind():
    kind, seen = inspect_any(b"a,b\nAsh,3\nTin,1\n", columns={"card": "a", "copies": "b"})

    assert kind.title == "pool"
    assert seen.table.size == 4


def test_remembered_columns_tell_the_kind_unless_they_are_not_to_count(tmp_path: Path):
    path = tmp_path / "mine.csv"
    path.write_text("a,b\nAsh,3\nTin,1\n", "utf-8")
    remember_mapping(tmp_path, ("a", "b"), {"card": "a", "copies": "b"})

    assert inspect_any(path)[0].title == "pool"
    assert inspect_any(path, use_memory=False)[0].title == "cards"


def test_standard_input_is_read_once(monkeypatch):
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(b"card,copies\nA,3\n")))

    kind, seen = inspect_any("-")
    assert (kind.title, seen.name, seen.table.size) == ("pool", "<stdin>", 3)


def test_reading_options_reach_the_reader():
    text = b"card,copies,price\nAsh,3,1.204\nAsh,1,2\nTin,x,2\n"
    _, seen = inspect_any(text, skip_bad=True, sum_duplicates=True, decimal=".", name="mine")

    assert seen.table.size == 4
    assert seen.table.cards[0].price == 1.204
    assert seen.name == "mine"


@pytest.mark.parametrize("inspect", [inspect_any, inspect_pool, read_pool])
def test_nothing_bad_is_passed_over_unless_asked(inspect):
    text = b"card,copies\nAsh,3\nash,1\nTin,x\n"

    with pytest.raises(TableError, match="2 problems"):
        sound(inspect(text))


@pytest.mark.parametrize("inspect", [inspect_pool, read_pool, inspect_any])
def test_remembered_columns_count_unless_told_not_to(tmp_path: Path, inspect):
    path = tmp_path / "mine.csv"
    path.write_text("a,b\nAsh,3\nTin,1\n", "utf-8")
    remember_mapping(tmp_path, ("a", "b"), {"card": "a", "copies": "b"})

    assert sound(inspect(path)).size == 4


def test_remembered_columns_count_for_candidates_and_matches_too(tmp_path: Path):
    path = tmp_path / "mine.csv"
    path.write_text("a,b,c\nAsh,Tin,2-1\n", "utf-8")
    roles = {"player": "a", "opponent": "b", "score": "c"}
    remember_mapping(tmp_path, ("a", "b", "c"), roles)
    matches = inspect_matches(path)
    remember_mapping(tmp_path, ("a", "b", "c"), {"card": "a"})

    assert matches.table.matches[0].score == "2-1"
    assert inspect_candidates(path, columns={"guess": 2}).assignments[0].column == 1
    assert inspect_candidates(path, columns={"guess": 2}).assignments[0].why.startswith("rem")


def test_repeated_candidates_are_refused_unless_they_are_to_be_added_up():
    text = b"card,games,wins,baseline\nAsh,9,4,.5\nAsh,9,5,.5\n"

    assert len(inspect_candidates(text).problems) == 1
    with pytest.raises(TableError):
        read_candidates(text)
