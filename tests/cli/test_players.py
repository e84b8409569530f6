"""Players whom a table does not know."""

from pathlib import Path

import pytest

from winrate_tools.cli.players import players_named
from winrate_tools.errors import SettingError
from winrate_tools.tables import CardTable

BANDS = CardTable(["Ash Vine"] * 2, [40, 50], [20, 30], skill_band=["new", "expert"])
NO_BANDS = CardTable(["Ash Vine"], [40], [20])


@pytest.fixture
def banded(folder: Path) -> str:
    rows = [f"Lamp {n},{b},{400 + n},{200 + 5 * n}" for n in range(9) for b in ("new", "old")]
    Path("bands.csv").write_text("\n".join(["card,skill_band,games,wins", *rows, ""]))
    return "bands.csv"


def test_without_skill_bands_the_option_and_the_missing_column_are_named(run, table):
    result = run("rank", table, "--for", "new")

    assert (result.exit_code, result.stderr) == (
        2,
        "error: --for must be sample, even or skill bands of the table (none), got 'new'; "
        "skill bands need a column skill_band: --map skill_band=HEADER\n",
    )


@pytest.mark.parametrize("command", ["rank", "report"])
def test_an_unknown_band_is_told_with_those_that_there_are(command, run, banded):
    result = run(command, banded, "--for", "nwe")

    assert result.exit_code == 2
    assert result.stderr.startswith("error: --for must be sample, even or skill bands")
    assert "new" in result.stderr.partition("(")[2].partition(")")[0]
    assert result.stderr.endswith("got 'nwe'; did you mean 'new'?\n")
    assert run(command, banded, "--for", "new").exit_code == 0


@pytest.mark.parametrize(
    ("origin", "asker"),
    [
        ("command line: --for", "--for must"),
        ("environment: WINRATE_FOR", "WINRATE_FOR must"),
        ("winrate.toml:2:1", "winrate.toml:2:1: target must"),
    ],
)
def test_the_place_of_the_wish_is_named(origin, asker):
    with pytest.raises(SettingError) as caught, players_named(BANDS, {"target": origin}):
        raise SettingError("target must be sample or a band, got 'x'")

    assert str(caught.value) == f"{asker} be sample or a band, got 'x'"


def test_a_wrong_share_is_told_with_its_place(run, banded):
    result = run("rank", banded, "--for", "new:0")

    assert result.stderr == "error: --for: the share of 'new' must be above 0, got '0'\n"


def test_what_is_not_about_players_goes_through():
    failure = SettingError("baseline must be a rate")

    with pytest.raises(SettingError) as caught, players_named(NO_BANDS, {"target": "default"}):
        raise failure
    assert caught.value is failure
