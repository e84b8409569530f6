"""Game logs counted for programs: lists of paths, and advice that a program can follow."""

from pathlib import Path

import numpy as np
import pytest

from winrate_tools.errors import MappingError, SettingError, TableError
from winrate_tools.ingest.logs import logs
from winrate_tools.ingest.tally_logs import tally_logs

LOG = "game,won,skill,cards\n1,yes,{},Fox|Moth\n2,no,{},Fox|Fox\n"


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "log.csv"
    path.write_text(LOG.format("new", "old"))
    return path


def test_logs_are_counted_as_the_command_line_counts_them(log: Path, tmp_path: Path):
    other = tmp_path / "other.csv"
    other.write_text(LOG.format("new", "new").replace("\n1,", "\n3,").replace("\n2,", "\n4,"))
    told, seen = [], []

    ours = tally_logs([log, str(other)], progress=told.append, each=seen.append).tally
    theirs = logs.count_logs([str(log), str(other)]).tally

    assert ours.card_table().card == theirs.card_table().card
    assert ours.card_table().wins.tolist() == theirs.card_table().wins.tolist()
    assert ours.games == 4
    assert told[-1] == len(other.read_bytes())
    assert seen


@pytest.mark.parametrize("paths", ["x.csv", Path("x.csv")])
def test_a_single_path_is_refused_with_the_list_to_give(paths: object):
    with pytest.raises(SettingError) as caught:
        tally_logs(paths)

    assert str(caught.value) == f"paths must be a list such as ['x.csv'], got {paths!r}"


@pytest.mark.parametrize(
    ("paths", "got"), [(3, "3"), (None, "None"), ([3], "[3]"), (b"x.csv", "b'x.csv'")]
)
def test_what_is_no_list_of_paths_is_refused(paths: object, got: str):
    with pytest.raises(SettingError) as caught:
        tally_logs(paths)

    assert str(caught.value) == f"paths must be a list such as ['games.csv'], got {got}"


@pytest.mark.parametrize("cuts", ["1200,1500", 1200, ["1200"], None])
def test_what_is_no_list_of_cuts_is_refused(log: Path, cuts: object):
    with pytest.raises(SettingError) as caught:
        tally_logs([log], skill_cuts=cuts)

    assert str(caught.value) == f"skill_cuts must be a list such as [1200, 1500], got {cuts!r}"


def test_paths_may_come_one_by_one_and_cuts_as_an_array(log: Path):
    log.write_text(LOG.format("1100", "1600"))

    counted = tally_logs((path for path in [log]), skill_cuts=np.array([1200, 1500]))

    assert len(set(counted.tally.card_table().skill_band)) == 2


def test_a_column_may_be_told_and_bad_rows_left_out(log: Path):
    log.write_text("aa,bb,cards\n1,yes,Fox\n2,maybe,Moth\n")
    told = {"game": "aa", "won": "bb"}

    with pytest.raises(TableError, match="'maybe'") as caught:
        tally_logs([log], columns=told)
    counted = tally_logs([log], columns=told, skip_bad=True)

    assert [problem.fix for problem in caught.value.problems if "--" in problem.fix] == []
    assert counted.tally.games == 1


def test_a_copy_is_kept_in_the_folder_named(log: Path, tmp_path: Path):
    folder = tmp_path / "cache"

    first = tally_logs([log], cache=str(folder)).tally
    copies = [*folder.iterdir()]
    again = tally_logs([log], cache=folder).tally

    assert copies
    assert again.card_table().wins.tolist() == first.card_table().wins.tolist()


def test_advice_is_given_as_a_program_takes_it(log: Path, tmp_path: Path):
    held = tmp_path / "held.csv"
    held.write_text("game,won,card,held\n1,yes,Fox,1\n2,no,Fox,0\n")
    skills = tmp_path / "skills.csv"
    skills.write_text("game,won,skill,cards\n" + "".join(f"{n},yes,{n},F\n" for n in range(60)))

    with pytest.raises(MappingError, match=r'count decks only with columns=\{"held": 0\}$'):
        tally_logs([held, log])
    with pytest.raises(SettingError, match=r": skill_cuts=\[20, 40\]$"):
        tally_logs([skills])


def test_an_option_that_is_none_is_refused_with_those_that_are(log: Path):
    with pytest.raises(
        TypeError, match="there are columns, skill_cuts, skip_bad, progress, ca"
    ):
        tally_logs([log], map={"won": 1})


def test_no_log_at_all_is_refused():
    with pytest.raises(SettingError, match="paths must name one log at least, got none"):
        tally_logs([])
