"""The one way from a source to a checked table."""

import inspect

import pytest

from winrate_tools.errors import SettingError, TableError
from winrate_tools.ingest.checks.check import STEPS
from winrate_tools.ingest.roles.kinds import CARDS
from winrate_tools.ingest.roles.memory import remember_mapping
from winrate_tools.ingest.tables import archetypes, candidates, cards, matches, pools
from winrate_tools.ingest.tables.reader import Reader
from winrate_tools.ingest.tables.reading import Reading

READER = Reader(CARDS, STEPS, "games", cards.build_cards)
READERS = {
    cards.read_cards: b"card,games,wins\nAsh,9,4\nTin,7,5\n",
    archetypes.read_archetypes: b"archetype,games,wins\nKites,9,4\nMoths,7,5\n",
    pools.read_pool: b"card,copies\nAsh,3\nTin,1\n",
    candidates.read_candidates: b"card,guess\nAsh,like\nTin,weaker\n",
    matches.read_matches: b"player,opponent,score\nAda,Bo,2-1\nBo,Cy,2-0\n",
}


def test_a_reader_takes_every_option_that_is_told():
    options = inspect.signature(Reader.inspect).parameters

    assert set(Reading.__annotations__) == set(options) - {"self", "source"}
    assert {options[name].default for name in ("skip_bad", "sum_duplicates")} == {False}
    assert options["use_memory"].default is True


@pytest.mark.parametrize(("read", "data"), READERS.items())
def test_every_kind_is_read_and_named(read, data: bytes):
    table = read(data, name="mine")

    assert table.source.name == "mine"
    assert len(table.source.sha256) == 64


@pytest.mark.parametrize(("read", "data"), READERS.items())
def test_no_reader_passes_over_an_option_that_it_does_not_know(read, data: bytes):
    with pytest.raises(TypeError, match=r"there is no option 'skip_bat' .* columns, decimal"):
        read(data, skip_bat=True)


@pytest.mark.parametrize(("read", "data"), READERS.items())
def test_every_reader_refuses_a_decimal_mark_that_is_none(read, data: bytes):
    with pytest.raises(SettingError, match=r'decimal must be "\." or ",", got'):
        read(data, decimal=";")


@pytest.mark.parametrize(("read", "data"), READERS.items())
def test_every_reader_leaves_bad_rows_out_only_where_told(read, data: bytes):
    bad = data + b"x\n"

    with pytest.raises(TableError, match="1 problem"):
        read(bad)
    assert any(note.startswith("left out: ") for note in read(bad, skip_bad=True).source.notes)


def test_repeats_are_added_up_only_where_told():
    twice = b"card,games,wins\nAsh,9,4\nAsh,1,1\n"
    seen = READER.inspect(twice, sum_duplicates=True)

    assert len(READER.inspect(twice).problems) == 1
    assert seen.sound_table().games.tolist() == [10]


def test_remembered_columns_count_unless_told_not_to(tmp_path):
    path = tmp_path / "mine.csv"
    path.write_bytes(b"a,b,c\nAsh,9,4\nTin,7,5\n")
    remember_mapping(tmp_path, ("a", "b", "c"), {"card": "a", "games": "b", "wins": "c"})

    assert READER.inspect(path).sound_table().games.tolist() == [9, 7]
    assert READER.inspect(path, use_memory=False).table is None


def test_named_columns_count():
    seen = READER.inspect(
        b"a,b,c\nAsh,9,4\nTin,7,5\n", columns={"card": 1, "games": 2, "wins": 3}
    )

    assert seen.sound_table().wins.tolist() == [4, 5]


def test_totals_are_left_out_by_the_role_that_adds_up():
    data = b"card,games,wins\nAsh,9,4\nTin,7,5\nTotal,16,9\n"

    assert READER.inspect(data).sound_table().card == ("Ash", "Tin")
    assert Reader(CARDS, STEPS, None, cards.build_cards).inspect(data).table.card[2] == "Total"
