"""Which configuration files count."""

from pathlib import Path

import pytest

from winrate_tools.cli.config_files import files_for, user_file
from winrate_tools.cli.options import Configured
from winrate_tools.errors import SettingError


@pytest.fixture
def files(folder: Path) -> dict[str, Path]:
    places = {
        "own": user_file(),
        "here": Path("winrate.toml"),
        "beside": Path("data/winrate.toml"),
        "other": Path("other.toml"),
    }
    for path in places.values():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("")
    return places


@pytest.mark.parametrize(
    ("table", "options", "names"),
    [
        ("data/cards.csv", {}, ["own", "beside"]),
        ("cards.csv", {}, ["own", "here"]),
        ("-", {}, ["own", "here"]),
        (None, {}, ["own", "here"]),
        ("data/cards.csv", {"config": Path("other.toml")}, ["own", "other"]),
        ("data/cards.csv", {"no_config": True}, []),
        ("cards.csv", {"no_config": True, "config": Path("other.toml")}, ["other"]),
    ],
)
def test_the_nearest_file_counts_most(table, options, names, files):
    chosen = files_for(table, Configured(**options))

    assert chosen == [files[name] for name in names]


def test_the_folder_counts_where_nothing_lies_beside_the_table(files):
    files["beside"].unlink()

    assert files_for("data/cards.csv", Configured())[-1] == files["here"]


def test_no_file_is_no_trouble():
    assert files_for("cards.csv", Configured()) == []


def test_a_file_that_is_asked_for_must_be_there(files):
    with pytest.raises(
        SettingError, match=r"no configuration file 'othr\.toml'; did you mean 'other"
    ):
        files_for(None, Configured(config=Path("othr.toml")))
