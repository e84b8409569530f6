"""Where each setting comes from."""

from pathlib import Path

import pytest

from winrate_tools.cli.configuration import resolve, shown_path
from winrate_tools.errors import SettingError
from winrate_tools.settings import Settings

PLACES = ["flag", "environment", "project", "own", "default"]
VALUES = {"flag": 11, "environment": 12, "project": 13, "own": 14, "default": 20}
ORIGINS = {
    "flag": "command line: --shortlist",
    "environment": "environment: WINRATE_SHORTLIST",
    "project": "winrate.toml:2:1",
    "own": "own.toml:2:1",
    "default": "default",
}


def settings_file(path: Path, text: str) -> Path:
    path.write_text(text, "utf-8")
    return path


@pytest.mark.parametrize("strong", PLACES)
@pytest.mark.parametrize("weak", PLACES)
def test_each_place_goes_before_every_later_one(strong: str, weak: str, folder: Path):
    given = {strong, weak}
    content = {name: f"[settings]\nshortlist = {VALUES[name]}\n" for name in VALUES}
    files = [
        settings_file(folder / name, content[place])
        for place, name in (("own", "own.toml"), ("project", "winrate.toml"))
        if place in given
    ]
    flags = {"shortlist": str(VALUES["flag"]) if "flag" in given else None, "sure": None}
    environment = {"WINRATE_SHORTLIST": "12"} if "environment" in given else {"PATH": "x"}

    settled = resolve(flags, environment=environment, files=files)
    winner = min(given, key=PLACES.index)
    assert settled.settings == Settings(shortlist=VALUES[winner])
    assert settled.origins["shortlist"] == ORIGINS[winner]
    assert settled.origins["sure"] == "default"


def test_an_origin_names_the_option_as_it_is_typed():
    settled = resolve({"target": "even", "design_effect": "2"}, environment={}, files=[])

    assert settled.origins["target"] == "command line: --for"
    assert settled.origins["design_effect"] == "command line: --design-effect"
    with pytest.raises(SettingError, match=r"^--for must be a name, got ''$"):
        resolve({"target": " "}, environment={}, files=[])


def test_places_add_up(folder: Path):
    file = settings_file(
        folder / "winrate.toml", '[settings]\nmargin = 2.5\nbaseline = "53%"\n'
    )

    settled = resolve({"sure": "0.95"}, environment={"WINRATE_SEED": "4"}, files=[file])
    assert settled.settings == Settings(baseline=0.53, margin=0.025, sure=0.95, seed=4)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "[settings]\nmarign = 2\n",
            "winrate.toml:2:1: no setting is called 'marign'; did you mean 'margin'?",
        ),
        (
            "[setings]\nmargin = 2\n",
            "winrate.toml:1:2: no table is called 'setings'; did you mean 'settings'?",
        ),
        (
            "zebra = 2\n",
            "winrate.toml:1:1: no table is called 'zebra'; there are settings, mapping, goals",
        ),
        ("margin = 2\n", "winrate.toml:1:1: 'margin' belongs under [settings]"),
        ("settings = 2\n", "winrate.toml:1:1: settings must be a table: [settings]"),
        (
            "[settings]\n\n  sure = true\n",
            "winrate.toml:3:3: sure must be a number or a word, got True",
        ),
        (
            "[settings]\nmargin = 0.02\n",
            "winrate.toml:2:1: margin is in points, and 0.02 is tiny; did you mean 2?",
        ),
        (
            "[settings]\nsure = 0.4\n",
            "winrate.toml:2:1: sure must be above 0.5 and below 1, got 0.4",
        ),
        (
            "[settings]\nallowance = 2\n",
            "winrate.toml:2:1: allowance must be a number above 0 and at most 1, got '2'",
        ),
        (
            "[settings\n",
            "winrate.toml:1:10: not TOML: expected ']' at the end of a table declaration",
        ),
    ],
)
def test_a_wrong_file_is_named_with_line_and_column(text: str, message: str, folder: Path):
    file = settings_file(folder / "winrate.toml", text)

    with pytest.raises(SettingError) as caught:
        resolve({}, environment={}, files=[file])
    assert str(caught.value) == message


def test_kept_columns_are_nobody_elses_business(folder: Path):
    file = settings_file(folder / "winrate.toml", '[mapping."a1b2"]\ncard = "Karte"\n')

    assert resolve({}, environment={}, files=[file]).settings == Settings()


@pytest.mark.parametrize(
    ("environment", "message"),
    [
        (
            {"WINRATE_MARIGN": "2"},
            "environment: no setting belongs to WINRATE_MARIGN; did you mean 'WINRATE_MARGIN'?",
        ),
        ({"WINRATE_SURE": "x"}, "WINRATE_SURE must be a number, got 'x'"),
    ],
)
def test_a_wrong_variable_is_named(environment: dict[str, str], message: str):
    with pytest.raises(SettingError) as caught:
        resolve({}, environment=environment, files=[])

    assert str(caught.value) == message


def test_players_may_be_named_as_the_option_does(folder: Path):
    file = settings_file(folder / "winrate.toml", '[settings]\nfor = "even"\n')

    kept = resolve({}, environment={}, files=[file])
    set_ = resolve({}, environment={"WINRATE_FOR": "new"}, files=[file])
    assert (kept.settings.target, kept.origins["target"]) == ("even", "winrate.toml:2:1")
    assert (set_.settings.target, set_.origins["target"]) == ("new", "environment: WINRATE_FOR")


def test_two_spellings_of_one_setting_do_not_stand_together(folder: Path):
    file = settings_file(folder / "winrate.toml", '[settings]\nfor = "a"\ntarget = "b"\n')

    with pytest.raises(SettingError, match=r"^winrate\.toml:3:1: target sets target a second"):
        resolve({}, environment={}, files=[file])
    with pytest.raises(
        SettingError, match=r"^environment: WINRATE_TARGET sets target a second"
    ):
        resolve({}, environment={"WINRATE_FOR": "a", "WINRATE_TARGET": "a"}, files=[])


def test_a_wrong_value_is_told_in_the_spelling_of_its_writer(folder: Path):
    file = settings_file(folder / "winrate.toml", '[settings]\nfor = ""\n')

    with pytest.raises(SettingError, match=r"^winrate\.toml:2:1: for must be a name, got ''$"):
        resolve({}, environment={}, files=[file])
    with pytest.raises(SettingError, match=r"^--design-effect must be at least 1, got 0\.5$"):
        resolve({"design_effect": "0.5"}, environment={}, files=[])
    with pytest.raises(SettingError, match=r"^WINRATE_ALLOWANCE must be .* 1, got '2'$"):
        resolve({}, environment={"WINRATE_ALLOWANCE": "2"}, files=[])


def test_the_debug_variable_is_no_setting():
    assert resolve({}, environment={"WINRATE_DEBUG": "1"}, files=[]).settings == Settings()


def test_a_file_that_is_no_text_is_refused(folder: Path):
    (folder / "winrate.toml").write_bytes(b"\xff\xfe")

    with pytest.raises(SettingError, match=r"winrate\.toml: cannot read .*: not utf-8 text"):
        resolve({}, environment={}, files=[folder / "winrate.toml"])


def test_paths_are_shown_from_here_or_from_home(folder: Path):
    assert shown_path(folder / "a" / "winrate.toml") == str(Path("a/winrate.toml"))
    assert shown_path(folder.parent / "own" / "winrate.toml") == "~/own/winrate.toml"
    assert shown_path(Path("/elsewhere/winrate.toml")) == str(Path("/elsewhere/winrate.toml"))
