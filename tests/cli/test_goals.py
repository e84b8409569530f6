"""Where each goal comes from."""

from pathlib import Path

import pytest

from winrate_tools.cli.goals import PARSERS, resolve_goals, written_goal
from winrate_tools.errors import SettingError
from winrate_tools.goals import GOAL_MEANINGS, Goals, Quota


def written(folder: Path, text: str, name: str = "winrate.toml") -> Path:
    (folder / name).write_text(text, "utf-8")
    return folder / name


def test_nobody_said_anything():
    found = resolve_goals({"changes": None}, [])

    assert found.goals == Goals()
    assert set(found.origins.values()) == {"default"}


def test_every_goal_can_be_read():
    assert set(PARSERS) == set(GOAL_MEANINGS)


def test_a_file_holds_goals_of_every_kind(folder: Path):
    path = written(
        folder,
        "[settings]\nmargin = 2\n[goals]\nlift = 3\nbudget = 40.5\nchanges = 8\n"
        'keep = ["faction", "role"]\nquotas = "role guest 60-80"\nwhole = false\n'
        'copies = "common 3, rare 1"\nbox_length = 300\ncard_thickness = "0,65"\n',
    )

    found = resolve_goals({}, [path])

    assert found.goals == Goals(
        lift=3,
        budget=40.5,
        changes=8,
        keep=("faction", "role"),
        quotas=(Quota("role", "guest", 60, 80),),
        whole=False,
        copies=(("common", 3), ("rare", 1)),
        box_length=300,
        card_thickness=0.65,
    )
    assert found.origins["lift"] == "winrate.toml:4:1"
    assert found.origins["floor"] == "default"


def test_the_command_line_goes_before_files_and_later_files_before_earlier(folder: Path):
    own = written(folder, "[goals]\nlift = 1\nslack = 1\nchanges = 1\n", "own.toml")
    project = written(folder, "[goals]\nlift = 2\nslack = 2\n")

    found = resolve_goals({"lift": "3", "quotas": ["role a 1-", "role b -2"]}, [own, project])

    assert (found.goals.lift, found.goals.slack, found.goals.changes) == (3, 2, 1)
    assert found.goals.quotas == (Quota("role", "a", 1), Quota("role", "b", None, 2))
    assert found.origins["lift"] == "command line: --lift"
    assert found.origins["slack"] == "winrate.toml:3:1"
    assert found.origins["changes"] == "own.toml:4:1"


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("lfit = 3", "winrate.toml:2:1: no goal is called 'lfit'; did you mean 'lift'?"),
        ("colour = 3", "winrate.toml:2:1: no goal is called 'colour'; there are floor, "),
        ("lift = -1", "winrate.toml:2:1: lift: must be from 0, got -1.0"),
        ("lift = 'much'", "winrate.toml:2:1: lift: must be a number, got 'much'"),
        ("lift = true", "winrate.toml:2:1: lift: must be a number, got True"),
        ("lift = inf", "winrate.toml:2:1: lift: must be a number, got inf"),
        ("changes = 1.5", "winrate.toml:2:1: changes: must be a whole number, got 1.5"),
        ("whole = 'perhaps'", "winrate.toml:2:1: whole: must be yes or no, got 'perhaps'"),
        ("keep = 3", "winrate.toml:2:1: keep: must be text, got 3"),
        ("quotas = ['role 3']", "winrate.toml:2:1: quotas: must be such as 'role guest"),
        ("quotas = 'role a 3-2'", "winrate.toml:2:1: quotas: role a must be LOW-HIGH"),
    ],
)
def test_a_file_that_says_nonsense_is_refused_with_its_place(folder: Path, line, message):
    path = written(folder, f"[goals]\n{line}\n")

    with pytest.raises(SettingError) as caught:
        resolve_goals({}, [path])

    assert str(caught.value).startswith(message)


def test_goals_must_be_a_table(folder: Path):
    with pytest.raises(SettingError, match="goals must be a table"):
        resolve_goals({}, [written(folder, "goals = 3\n")])


def test_an_option_that_makes_no_sense_is_named():
    with pytest.raises(SettingError, match=r"^--budget must be a number, got 'lots'$"):
        resolve_goals({"budget": "lots"}, [])
    with pytest.raises(SettingError, match=r"^--changes must be at least 0, got -1$"):
        resolve_goals({"changes": "-1"}, [])
    with pytest.raises(SettingError, match=r"^--quota must be such as 'role guest 60-80'"):
        resolve_goals({"quotas": ["guest 3"]}, [])


@pytest.mark.parametrize(
    ("raw", "budget"),
    [
        *(
            ("12,50 \u20ac", 12.5),
            ("\u20ac12.50", 12.5),
            ("12,5", 12.5),
            ("1.234,50 EUR", 1234.5),
        ),
        *(("1'250.50 CHF", 1250.5), ("30", 30), (30, 30), (30.5, 30.5), ("5.-", 5)),
    ],
)
def test_a_budget_is_read_as_prices_are(raw: object, budget: float):
    found = resolve_goals({"budget": raw}, [])

    assert found.goals.budget == budget
    assert found.origins["budget"] == "command line: --budget"


def test_an_amount_that_could_be_two_is_asked_about():
    with pytest.raises(SettingError, match=r"^--budget .* '1\.250 €' could be 1\.25 or 1250$"):
        resolve_goals({"budget": "1.250 \u20ac"}, [])


@pytest.mark.parametrize("raw", ["50%", "-3 €", "\u20ac", "3 apples", True])
def test_what_is_no_amount_is_no_budget(raw: object):
    with pytest.raises(SettingError, match=r"^--budget must be "):
        resolve_goals({"budget": raw}, [])


def test_goals_that_make_sense_only_together_are_tried_together(folder: Path):
    path = written(folder, "[goals]\nbox_length = 300\n")

    with pytest.raises(SettingError, match="box_length must be given together with card_th"):
        resolve_goals({}, [path])


WRITTEN = Goals(
    lift=3.5,
    changes=8,
    size=500,
    keep=("role",),
    quotas=(Quota("role", "guest", 60, 80), Quota("faction", "Cog", None, 40)),
    copies=(("common", 3), ("very rare", 1)),
    whole=False,
    budget=40.25,
    box_cards=600,
    box_length=300,
    card_thickness=0.65,
)


@pytest.mark.parametrize("name", GOAL_MEANINGS)
def test_a_goal_reads_back_as_it_is_written(name: str):
    assert PARSERS[name](written_goal(name, WRITTEN)) == getattr(WRITTEN, name)


def test_what_nobody_gave_is_said_to_be_so():
    nothing = ("size", "quotas", "copies", "budget", "box_cards", "box_length")

    assert {written_goal(name, Goals()) for name in nothing} == {"not given"}


def test_config_show_lists_goals_with_their_origins(run, folder: Path):
    written(folder, "[goals]\nlift = 3\n")

    result = run("config", "show")

    assert "- lift: 3 (winrate.toml:2:1). Worth of a point that an underp" in result.stdout
    assert "- quotas: not given (default)." in result.stdout
    assert "under [goals]" in result.stderr
