"""Two files of one command that stand in each other's place."""

from pathlib import Path

import pytest

from winrate_tools.cli.misplaced import Place, files_in_place
from winrate_tools.errors import MappingError, SettingError

FILES = {
    "cards.csv": "card,games,wins\nAsh,90,40\nTin,80,41\n",
    "pool.csv": "card,copies\nAsh,3\nTin,2\n",
    "new.csv": "card,copies,guess\nOar,2,like\nElm,1,weaker\n",
    "home.csv": "player,opponent,score\nAda,Bo,2-1\nBo,Cy,2-0\n",
    "decks.csv": "archetype,games,wins\nKites,90,40\nMoths,80,41\n",
    "odd.csv": "",
}


@pytest.fixture(autouse=True)
def files(folder: Path) -> None:
    for name, text in FILES.items():
        (folder / name).write_text(text, "utf-8")


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ("plan pool.csv --pool cards.csv", "TABLE and --pool are swapped: pool.csv is a pool, "
         "and cards.csv is a table of cards"),
        ("plan cards.csv --pool new.csv --candidates pool.csv", "--pool and --candidates are "
         "swapped: new.csv is a list of candidates, and pool.csv is a pool"),
        ("update home.csv --matches cards.csv", "TABLE and --matches are swapped: home.csv is "
         "a table of matches, and cards.csv is a table of cards"),
        ("update decks.csv --archetypes cards.csv --matches home.csv", "TABLE and --archetypes "
         "are swapped: decks.csv is a table of archetypes, and cards.csv is a table of cards"),
    ],
)  # fmt: skip
def test_files_that_are_swapped_are_named(arguments: str, message: str, run):
    result = run(*arguments.split())

    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"error: {message}\n"


@pytest.mark.parametrize("other", ["pool.csv", "odd.csv", "nothing.csv", "-", None])
def test_one_file_that_is_wrong_keeps_its_own_message(other: str | None):
    places = (Place("TABLE", "pool.csv", "cards"), Place("--pool", other, "pool"))

    with pytest.raises(MappingError, match=r"^which column$"), files_in_place(*places):
        raise MappingError("which column")


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("item,price\nmilk,3\nbread,2\n", id="no table of ours"),
        pytest.param("game,won,cards\n1,yes,Ash; Tin\n2,no,Tin\n", id="a log of games"),
        pytest.param("card,games\nAsh,90\n", id="half a table of cards"),
    ],
)
def test_what_is_not_said_fully_by_its_headers_is_not_called_swapped(text: str, run, folder):
    (folder / "other.csv").write_text(text, "utf-8")
    result = run("update", "home.csv", "--matches", "other.csv")

    assert result.exit_code == 2
    assert result.stderr.startswith("error: home.csv: a table of cards was wanted")


def test_kept_columns_that_are_not_asked_for_hide_no_swap(run, folder):
    (folder / "winrate.toml").write_text("x = [", "utf-8")
    result = run("update", "home.csv", "--matches", "cards.csv", "--no-config")

    assert result.stderr.startswith("error: TABLE and --matches are swapped")


def test_other_errors_pass_and_so_does_no_error():
    places = (Place("TABLE", "pool.csv", "cards"), Place("--pool", "cards.csv", "pool"))

    with pytest.raises(SettingError, match=r"^margin$"), files_in_place(*places):
        raise SettingError("margin")
    with files_in_place(*places):
        done = True
    assert done
