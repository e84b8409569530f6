"""What readers advise a program."""

import re

import pytest

import winrate_tools as wt
from winrate_tools.errors import MappingError, SettingError, TableError
from winrate_tools.ingest.roles.kinds import JOURNAL, KINDS
from winrate_tools.ingest.tables import archetypes, candidates, cards, matches, pools
from winrate_tools.ingest.tables.advice import advising_programs, for_programs

BARE = b"a,b,c\nx,1,7\ny,2,8\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("--map card=HEADER --map wins=HEADER", 'columns={"card": "HEADER", "wins": "HEADER"}'),
        (
            'say so:\n--map card="Name of it" --map wins=3',
            'say so:\ncolumns={"card": "Name of it", "wins": 3}',
        ),
        (
            "--map archetype=... or --map skill_band=...",
            'columns={"archetype": ...} or columns={"skill_band": ...}',
        ),
        ("leave it out with --map win_rate=0", 'leave it out with columns={"win_rate": 0}'),
        (
            "--map wins and --map games are not swapped",
            'columns["wins"] and columns["games"] are not swapped',
        ),
        ("with --decimal . or --decimal ,", 'with decimal="." or decimal=","'),
        ("add both up with --sum-duplicates", "add both up with sum_duplicates=True"),
        ("the cell --mapped", "the cell --mapped"),
        ("begins: --skill-cuts 0.45,1200", "begins: skill_cuts=[0.45, 1200]"),
    ],
)
def test_options_are_written_as_a_program_gives_them(text: str, said: str):
    assert for_programs(text) == said


@pytest.mark.parametrize("kind", KINDS.values())
def test_what_a_table_is_for_is_a_call_of_the_library(kind):
    said = for_programs(f"such a one is for:\n    winrate-tools {kind.use}\n  columns:")

    assert said.startswith("such a one is for:\n    ")
    assert said.endswith(")\n  columns:")
    assert set(re.findall(r"(\w+)\(", said)) <= set(wt.__all__)
    assert "winrate-tools" not in said


def test_a_journal_is_for_the_command_line():
    said = for_programs(f"winrate-tools {JOURNAL.use}")

    assert said == f"winrate-tools {JOURNAL.use} (no program keeps one)"


@pytest.mark.parametrize(
    "read",
    [
        archetypes.read_archetypes,
        candidates.read_candidates,
        cards.read_cards,
        matches.read_matches,
        pools.read_pool,
    ],
)
def test_every_reader_asks_for_columns_and_speaks_of_no_option_of_the_command_line(read):
    with pytest.raises(MappingError, match=r"columns={") as asked:
        read(BARE)

    assert "--map" not in str(asked.value)


def test_what_is_asked_for_can_be_pasted():
    with pytest.raises(MappingError) as asked:
        cards.read_cards(b"a,b,c\nx,9,3\ny,8,4\n")
    answer = str(asked.value).splitlines()[-1]

    assert answer == 'columns={"card": "a", "wins": "c", "games": "b"}'
    assert asked.value.candidates


def test_the_fix_of_a_problem_speaks_of_the_readers_options():
    with pytest.raises(TableError) as refused:
        pools.read_pool(b"card,copies\nAsh,x\nTin,2\n")

    assert [one.fix for one in refused.value.problems] == [
        "mend the cell, or leave the line out with skip_bad=True"
    ]
    assert not isinstance(refused.value, MappingError)


def test_settings_are_told_in_the_same_words_and_results_go_through_as_they_are():
    def read(source: int) -> float:
        if not source:
            msg = "use --skip-bad"
            raise SettingError(msg)
        return 1 / source

    assert advising_programs(read)(2) == 0.5
    with pytest.raises(SettingError, match=r"use skip_bad=True$"):
        advising_programs(read)(0)
